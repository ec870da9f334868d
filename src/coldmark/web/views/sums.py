"""Sums: every calculation of the catalogue, each with a form made from its description."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from coldmark.bench import catalogue, words
from coldmark.bench.errors import ColdmarkError
from coldmark.bench.working import to_plain
from coldmark.records import queries
from coldmark.records.models import Person
from coldmark.web.pages import is_part, page, units_of, worked
from coldmark.web.sum_form import SumForm, defaults_of, example_of, limits_of

__all__ = ["sum_how", "sum_page", "sums"]

NOT_INPUTS = ("example", "start")


@require_safe
@page()
def sums(request: HttpRequest, _person: Person) -> HttpResponse:
    """The questions that can be worked out, under what one has in hand."""
    asked = request.GET.get("q", "").strip()[:200]
    topics = [
        (words.sentence(f"catalogue.topic.{topic}"), [(key, _question(key)) for key in keys])
        for topic, keys in catalogue.by_topic(catalogue.find(asked), best_first=bool(asked)).items()
    ]
    template = "web/_questions.html" if is_part(request) else "web/sums.html"
    return render(request, template, {"topics": topics, "q": asked})


@require_safe
@page()
def sum_page(request: HttpRequest, person: Person, name: str) -> HttpResponse:
    """One calculation: the answer first, its working below. Its address holds what was put in."""
    units, described = _described(person, name)
    told = {key: value for key, value in request.GET.items() if key not in NOT_INPUTS}
    if "start" in request.GET:
        # Led here from a page that knows some of it: the rest is still to be put in.
        form, outcome = SumForm(person, described, None, {**defaults_of(described), **told}), None
    elif told:
        form = SumForm(person, described, told)
        _went, outcome = worked(form, person, lambda: queries.calculate(person, name, form.told(), units))
    elif "example" in request.GET:
        example = example_of(person, name)
        form, outcome = SumForm(person, described, None, example), _tried(person, name, example, units)
    else:
        form, outcome = SumForm(person, described, None, defaults_of(described)), None
    template = "web/_answer.html" if is_part(request) else "web/sum.html"
    content = {
        "form": form,
        "described": described,
        "outcome": outcome,
        "working": _steps(outcome, units),
        **_presses(),
    }
    return render(request, template, content)


@require_safe
@page()
def sum_how(request: HttpRequest, person: Person, name: str) -> HttpResponse:
    """How a calculation is worked out, with an example."""
    units, described = _described(person, name)
    example = example_of(person, name)
    form, outcome = SumForm(person, described, None, example), _tried(person, name, example, units)
    content = {
        "form": form,
        "described": described,
        "outcome": outcome,
        "working": _steps(outcome, units),
        "limits": limits_of(described),
    }
    return render(request, "web/sum_how.html", content)


def _tried(person: Person, name: str, example: dict[str, Any], units: words.UnitSystem) -> catalogue.Outcome | None:
    """The answer to an example; nothing where none of the sheets and oils that are kept will do for it."""
    try:
        return queries.calculate(person, name, example, units)
    except ColdmarkError:
        return None


def _described(person: Person, name: str) -> tuple[words.UnitSystem, dict[str, Any]]:
    if name not in catalogue.ENTRIES:
        raise Http404
    units = units_of(person)
    return units, catalogue.describe(name, units)


def _steps(outcome: catalogue.Outcome | None, units: words.UnitSystem) -> list[dict[str, Any]]:
    return [] if outcome is None else to_plain(outcome.working, units)


def _presses() -> dict[str, str]:
    return {name: words.sentence(f"web.sums.{name}") for name in ("less", "more")}


def _question(key: str) -> str:
    return words.sentence(catalogue.entry(key).question)
