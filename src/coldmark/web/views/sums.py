"""Sums: every calculation of the catalogue, each with a form made from its description."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from coldmark.bench import catalogue, words
from coldmark.records import queries
from coldmark.records.models import Person
from coldmark.web.pages import page, units_of, worked
from coldmark.web.sum_form import SumForm, example_of

__all__ = ["sum_page", "sums"]

NOT_INPUTS = ("example",)


@require_safe
@page()
def sums(request: HttpRequest, _person: Person) -> HttpResponse:
    """The questions that can be worked out."""
    questions = [(key, words.sentence(entry.question)) for key, entry in catalogue.ENTRIES.items()]
    return render(request, "web/sums.html", {"questions": questions})


@require_safe
@page()
def sum_page(request: HttpRequest, person: Person, name: str) -> HttpResponse:
    """One calculation: the answer first, its working below. Its address holds what was put in."""
    if name not in catalogue.ENTRIES:
        raise Http404
    units = units_of(person)
    described = catalogue.describe(name, units)
    told = {key: value for key, value in request.GET.items() if key not in NOT_INPUTS}
    if told:
        form = SumForm(person, described, told)
        _went, outcome = worked(form, person, lambda: queries.calculate(person, name, form.told(), units))
    else:
        initial = example_of(person, name) if "example" in request.GET else _defaults(described)
        form, outcome = SumForm(person, described, None, initial), None
    return render(request, "web/sum.html", {"form": form, "described": described, "outcome": outcome})


def _defaults(described: dict[str, object]) -> dict[str, object]:
    inputs = described["inputs"]
    assert isinstance(inputs, list)
    return {one["stem"]: one["default"] for one in inputs if one["kind"] == "choice" and one["default"]}
