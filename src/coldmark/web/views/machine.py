"""A machine's page, and what is recorded on it without a job."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from coldmark.bench import words
from coldmark.bench.oil import Oil
from coldmark.records import queries
from coldmark.records.models import Person
from coldmark.records.queries import MachinePage
from coldmark.web.drawing import falling, weeks_drawn, weeks_for
from coldmark.web.forms import ACTS, MachineForm, SettleForm
from coldmark.web.pages import page, units_of, worked
from coldmark.web.readings import ActForm
from coldmark.web.views.story import shown

__all__ = ["act", "machine", "machine_new", "settle"]

STORY_AT_FIRST = 10
MOST_FLAGS = 6


@require_safe
@page(staff=False)
def machine(request: HttpRequest, person: Person, machine: uuid.UUID) -> HttpResponse:
    """A machine as it stands: glass, oil, what is due, findings, and the beginning of its story."""
    day = timezone.localdate()
    units = units_of(person)
    found = queries.machine_page(person, str(machine), day=day)
    if found.joined_into is not None:
        return redirect("machine", found.joined_into)
    weeks = weeks_for(found.due, day)
    first = queries.chapters(person, str(machine), size=STORY_AT_FIRST)
    oils = queries.oils_by_key()
    content = {
        "it": found,
        "day": day,
        "level": None if found.state is None else queries.level_glance(found.state, found.sheet, units, oils),
        "losing": None if found.state is None else queries.losing(found.state, found.sheet, units, oils),
        "timings": () if found.state is None else queries.timing_glances(found.state, found.sheet, units, oils),
        "no_sheet": words.sentence("glance.no_sheet") if found.sheet is None else "",
        "oils": () if found.state is None else queries.oil_glances(found.state, found.sheet, units, oils),
        **_samples(person, found, units, oils),
        **_refused(person, found),
        "falling": falling(found.due, day, weeks),
        "weeks_drawn": weeks_drawn(day, weeks),
        "open_job": next((one for one in found.jobs if one.opened_at is not None and one.closed_at is None), None),
        "open_findings": [one for one in found.findings if one.settled_at is None],
        "settled": sum(one.settled_at is not None for one in found.findings),
        "options": _options(found),
        "flags": _flags(found, units),
        "likely": found.machine.hours_on(day),
        "story": shown(first, found.sheet, units, found.documents),
        "further": first.further,
    }
    return render(request, "web/machine.html", content)


def _samples(person: Person, found: MachinePage, units: words.UnitSystem, oils: Mapping[str, Oil]) -> dict[str, Any]:
    """What the samples say; causes are for those who open the machine, an owner hears of them by a report."""
    if found.state is None:
        return {}
    samples, causes = queries.sample_glances(person, found.machine.id, found.state, found.sheet, units, oils)
    return {"samples": samples, "causes": causes if person.is_staff else None}


def _refused(person: Person, found: MachinePage) -> dict[str, Any]:
    """Parts that nobody should bring again, for those who bring them; what the question about elements is led with."""
    if not person.is_staff:
        return {}
    parts = [] if found.state is None else found.state.remembered.found
    told = {
        "start": "",
        "sheet": found.machine.sheet or "",
        "serial": found.machine.serial,
        "refused": ", ".join(dict.fromkeys(one.number for one in parts)),
    }
    return {"refused": queries.refused_says(parts, found.sheet), "element_asked": urlencode(told)}


def _options(found: MachinePage) -> list[tuple[str, bool]]:
    if found.sheet is None or found.state is None:
        return []
    fitted = found.state.options
    return [(option.name, fitted.get(key, False)) for key, option in found.sheet.options.items()]


def _flags(found: MachinePage, units: words.UnitSystem) -> list[str]:
    flags = [] if found.state is None else found.state.flags[-MOST_FLAGS:]
    return [words.sentence(flag.says, units=units, **flag.values) for flag in flags]


@require_http_methods(["GET", "POST"])
@page()
def act(request: HttpRequest, person: Person, machine: uuid.UUID, act: str) -> HttpResponse:
    """One thing recorded of a machine."""
    if act not in ACTS:
        raise Http404
    form = ACTS[act](person, str(machine), request.POST or None)
    return _acted(request, person, form, str(machine))


@require_http_methods(["GET", "POST"])
@page()
def settle(request: HttpRequest, person: Person, machine: uuid.UUID, finding: uuid.UUID) -> HttpResponse:
    """A finding settled."""
    form = SettleForm(person, str(machine), request.POST or None)
    form.finding = str(finding)
    return _acted(request, person, form, str(machine))


def _acted(request: HttpRequest, person: Person, form: ActForm, machine: str) -> HttpResponse:
    if request.method == "POST":
        went, _kept = worked(form, person, form.record)
        if went:
            messages.success(request, form.done)
            return redirect("machine", machine)
    found = queries.machine_page(person, machine, day=timezone.localdate())
    return render(request, "web/act.html", {"form": form, "it": found})


@require_http_methods(["GET", "POST"])
@page()
def machine_new(request: HttpRequest, person: Person) -> HttpResponse:
    """A machine entered."""
    # The page that leads here says whose it is, or by which sheet: one choice less.
    known = {name: request.GET[name] for name in ("customer", "site", "sheet") if name in request.GET}
    form = MachineForm(person, request.POST or None, known)
    if request.method == "POST":
        went, id = worked(form, person, form.record)
        if went and id is not None:
            messages.success(request, "Entered.")
            return redirect("machine", id)
    return render(request, "web/machine_new.html", {"form": form})
