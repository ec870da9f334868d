"""Making a job of what is due: opened now, or planned as a visit."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from coldmark.bench import words
from coldmark.records import queries, services
from coldmark.records.errors import refused
from coldmark.records.models import Person
from coldmark.records.services import VisitData, VisitPart
from coldmark.web.choosing import Chosen, chosen_of, ticked_of
from coldmark.web.fields import choices, day_field
from coldmark.web.pages import page, worked

__all__ = ["job_new", "job_open"]


class JobForm(forms.Form):
    """When, by whom and with which van; only the day is needed, and only for a visit."""

    id = forms.CharField(widget=forms.HiddenInput)
    day = day_field("Day of the visit", required=False)
    from_time = forms.TimeField(
        label="From", required=False, widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M")
    )
    to_time = forms.TimeField(
        label="To", required=False, widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M")
    )
    mechanic = forms.ChoiceField(label="Mechanic", required=False)
    van = forms.ChoiceField(label="Van", required=False)
    note = forms.CharField(
        label="Note", required=False, widget=forms.Textarea(attrs={"rows": 2}), help_text="Owners do not see it."
    )

    def __init__(self, person: Person, data: Any = None) -> None:
        super().__init__(
            data, initial={"id": str(uuid.uuid4()), "day": timezone.localdate(), "mechanic": str(person.id)}
        )
        mechanics = [(one.data.id, one.data.name) for one in queries.people(person, mechanics_only=True)]
        vans = [(one.id, one.name) for one in queries.vans(person)]
        for name, pairs in (("mechanic", mechanics), ("van", vans)):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = choices(pairs, "Not yet")


@require_http_methods(["GET", "POST"])
@page()
def job_new(request: HttpRequest, person: Person) -> HttpResponse:
    """Choose the tasks of one machine or several, and open the job or plan a visit."""
    told = request.POST if request.method == "POST" else request.GET
    if request.method == "GET" and not {"machine", "pick"} & told.keys():
        messages.info(request, words.sentence("web.due.none_ticked"))
        return redirect("due")
    chosen = chosen_of(person, told.getlist("machine"), told.getlist("pick"), told, first=request.method == "GET")
    form = JobForm(person, request.POST or None)
    if request.method == "POST":
        now = request.POST.get("action") == "open"
        went, address = worked(form, person, lambda: _open(person, chosen) if now else _plan(person, form, chosen))
        if went and address is not None:
            messages.success(request, "The job is open." if now else "The visit is planned.")
            return redirect(address)
    return render(request, "web/job_new.html", {"form": form, "chosen": chosen, "day": timezone.localdate()})


def _open(person: Person, chosen: Sequence[Chosen]) -> str:
    ticked = ticked_of(chosen)
    for one in ticked:
        services.open_job(person, one.machine.id, one.ticked, job=one.job)
    return reverse("card", args=[ticked[0].job]) if len(ticked) == 1 else reverse("today")


def _plan(person: Person, form: JobForm, chosen: Sequence[Chosen]) -> str:
    told = form.cleaned_data
    if told["day"] is None:
        raise refused("day", "nothing", "the day of the visit")
    ticked = ticked_of(chosen)
    sites = {one.machine.site for one in ticked}
    data = VisitData(
        id=told["id"],
        day=told["day"],
        machines=tuple(VisitPart(one.machine.id, one.ticked, one.job) for one in ticked),
        mechanic=told["mechanic"] or None,
        van=told["van"] or None,
        site=sites.pop() if len(sites) == 1 else None,
        from_time=told["from_time"],
        to_time=told["to_time"],
        note=told["note"],
    )
    services.plan_visit(person, data)
    return f"{reverse('today')}?day={told['day']:%Y-%m-%d}"


@require_POST
@page()
def job_open(_request: HttpRequest, person: Person, job: uuid.UUID) -> HttpResponse:
    """Open a planned job and go to its card; one that is open already is only gone to."""
    kit = queries.job_kit(person, str(job))
    if kit.job.opened_at is None:
        services.open_job(person, kit.machine.id, kit.job.tasks, job=str(job), visit=kit.job.visit)
    return redirect("card", job)
