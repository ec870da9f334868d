"""Visits: planned, changed, called off, and as a calendar file."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from itertools import groupby
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from coldmark.bench import words
from coldmark.records import paperwork, queries, services
from coldmark.records.models import Person
from coldmark.records.services import VisitData, VisitPart
from coldmark.web.choosing import MOST_MACHINES, Chosen, chosen_of, machine_choices
from coldmark.web.fields import choices, day_field
from coldmark.web.pages import asked_day, page, worked
from coldmark.web.views.jobs import JobForm

__all__ = ["visit", "visit_call_off", "visit_new", "visits", "visits_calendar"]

AHEAD = timedelta(days=60)
# A calendar that is read anew each time keeps what was, and sees a year ahead.
CALENDAR_BACK, CALENDAR_AHEAD = timedelta(days=90), timedelta(days=366)
MOST_FOUND = 6


class VisitForm(JobForm):
    """When, where, by whom and with which van."""

    day = day_field("Day")
    site = forms.ChoiceField(label="Site", required=False)
    field_order = ("id", "day", "from_time", "to_time", "mechanic", "van", "site", "note")

    def __init__(self, person: Person, data: Any = None, initial: Mapping[str, Any] | None = None) -> None:
        super().__init__(person, data)
        self.initial.update(initial or {})
        field = self.fields["site"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = choices([(one.id, one.name) for one in queries.sites(person)], "None named")


@require_safe
@page()
def visits(request: HttpRequest, person: Person) -> HttpResponse:
    """The visits from a day on, a day after the other."""
    first = asked_day(request)
    mechanic = request.GET.get("mechanic", "")
    found = queries.visits(person, first, first + AHEAD, mechanic=mechanic or None)
    content = {
        "days": [(day, list(lines)) for day, lines in groupby(found, key=lambda line: line.day)],
        "first": first,
        "last": first + AHEAD,
        "earlier": first - AHEAD,
        "later": first + AHEAD + timedelta(days=1),
        "today": timezone.localdate(),
        "mechanic": mechanic,
        "mechanics": queries.people(person, mechanics_only=True),
    }
    return render(request, "web/visits.html", content)


@require_safe
@never_cache
@page()
def visits_calendar(request: HttpRequest, person: Person) -> HttpResponse:
    """The visits as a calendar file."""
    today = timezone.localdate()
    content = paperwork.visits_ics(
        person,
        today - CALENDAR_BACK,
        today + CALENDAR_AHEAD,
        mechanic=request.GET.get("mechanic") or None,
        now=timezone.now(),
    )
    answer = HttpResponse(content, content_type="text/calendar; charset=utf-8")
    answer["Content-Disposition"] = 'attachment; filename="visits.ics"'
    return answer


@require_http_methods(["GET", "POST"])
@page()
def visit_new(request: HttpRequest, person: Person) -> HttpResponse:
    """Plan a visit; its machines come with what is due on them ticked."""
    if request.method == "POST":
        return _posted(request, person, None)
    site = request.GET.get("site", "")
    form = VisitForm(person, initial={"day": asked_day(request), "site": site})
    machines = list(dict.fromkeys([*request.GET.getlist("machine"), *(_at_site(person, site) if site else ())]))
    chosen = [_fresh(person, machine, {}) for machine in machines[:MOST_MACHINES]]
    return _shown(request, form, chosen, None)


@require_http_methods(["GET", "POST"])
@page()
def visit(request: HttpRequest, person: Person, visit: uuid.UUID) -> HttpResponse:
    """Change a visit."""
    if request.method == "POST":
        return _posted(request, person, str(visit))
    data = queries.visit_data(person, str(visit))
    jobs = {f"job_{part.machine}": part.job for part in data.machines}
    picks = [f"{part.machine}:{task}" for part in data.machines for task in part.tasks]
    machines = [part.machine for part in data.machines]
    chosen = chosen_of(person, machines, picks, jobs, first=False) if machines else ()
    initial = {
        "id": data.id,
        "day": data.day,
        "from_time": data.from_time,
        "to_time": data.to_time,
        "mechanic": data.mechanic or "",
        "van": data.van or "",
        "site": data.site or "",
        "note": data.note,
    }
    return _shown(request, VisitForm(person, initial=initial), chosen, data.id)


@require_http_methods(["GET", "POST"])
@page()
def visit_call_off(request: HttpRequest, person: Person, visit: uuid.UUID) -> HttpResponse:
    """Call a visit off; asked first."""
    data = queries.visit_data(person, str(visit))
    if request.method == "POST":
        services.call_off_visit(person, data.id)
        messages.success(request, words.sentence("web.visits.called_off"))
        return redirect(_address(data))
    return render(request, "web/visit_call_off.html", {"visit": data})


def _posted(request: HttpRequest, person: Person, id: str | None) -> HttpResponse:
    told = request.POST
    listed = told.getlist("machine")
    chosen = list(chosen_of(person, listed, told.getlist("pick"), told, first=False)) if listed else []
    if told.get("action") == "find":
        # Nothing is kept yet: what was typed comes back with the machines that were asked for.
        form = VisitForm(person, initial=told.dict())
        more = [machine for machine in _found(person, told) if machine not in listed]
        chosen += [_fresh(person, machine, told) for machine in more[: MOST_MACHINES - len(chosen)]]
        return _shown(request, form, chosen, id, told.get("q", ""), none_found=not more)
    form = VisitForm(person, told)
    went, data = worked(form, person, lambda: _plan(person, form, chosen, id))
    if not went or data is None:
        return _shown(request, form, chosen, id, told.get("q", ""))
    messages.success(request, words.sentence("web.visits.planned"))
    return redirect(_address(data))


def _shown(
    request: HttpRequest,
    form: VisitForm,
    chosen: Sequence[Chosen],
    id: str | None,
    q: str = "",
    *,
    none_found: bool = False,
) -> HttpResponse:
    content = {"form": form, "chosen": chosen, "visit": id, "q": q, "none_found": none_found}
    content["day"] = timezone.localdate()
    return render(request, "web/visit.html", content)


def _found(person: Person, told: Mapping[str, Any]) -> list[str]:
    """The machines that are looked for: by words, else those on the site."""
    search, site = str(told.get("q", "")).strip(), str(told.get("site", ""))
    if search:
        return [line.id for line in queries.machines(person, search).lines[:MOST_FOUND]]
    return _at_site(person, site) if site else []


def _at_site(person: Person, site: str) -> list[str]:
    return [line.id for line in queries.machines(person, site=site).lines]


def _fresh(person: Person, machine: str, told: Mapping[str, Any]) -> Chosen:
    """A machine that was not chosen before: what is due on it is ticked."""
    return machine_choices(person, machine, set(), told, timezone.localdate(), first=True)


def _plan(person: Person, form: VisitForm, chosen: Sequence[Chosen], id: str | None) -> VisitData:
    told = form.cleaned_data
    data = VisitData(
        id=told["id"] if id is None else id,
        day=told["day"],
        machines=tuple(VisitPart(one.machine.id, one.ticked, one.job) for one in chosen if one.ticked),
        mechanic=told["mechanic"] or None,
        van=told["van"] or None,
        site=told["site"] or None,
        from_time=told["from_time"],
        to_time=told["to_time"],
        note=told["note"],
    )
    return services.plan_visit(person, data)


def _address(data: VisitData) -> str:
    """The list of visits on the visit's own day: where it can be seen."""
    day: date = data.day
    today = timezone.localdate()
    query = "" if today <= day <= today + AHEAD else f"?day={day:%Y-%m-%d}"
    return f"{reverse('visits')}{query}#visit-{data.id}"
