"""Making a job of what is due: opened now, or planned as a visit."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
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
from coldmark.records.queries import DueLine, MachineLine
from coldmark.records.services import VisitData, VisitPart
from coldmark.web.forms import choices, day_field
from coldmark.web.pages import page, worked

__all__ = ["job_new", "job_open"]

MOST_MACHINES = 20
SOON = ("over", "now")


@dataclass(frozen=True, slots=True)
class Choice:
    """A task that can be done, whether it is ticked, and when it falls due."""

    task: str
    name: str
    ticked: bool
    due: DueLine | None


@dataclass(frozen=True, slots=True)
class Chosen:
    """A machine of the job to be: its tasks to tick, and the id that its job will have."""

    machine: MachineLine
    job: str
    choices: tuple[Choice, ...]

    @property
    def ticked(self) -> tuple[str, ...]:
        """The tasks that are ticked."""
        return tuple(one.task for one in self.choices if one.ticked)


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
    chosen = _chosen(person, told.getlist("machine"), told.getlist("pick"), told, first=request.method == "GET")
    form = JobForm(person, request.POST or None)
    if request.method == "POST":
        now = request.POST.get("action") == "open"
        went, address = worked(form, person, lambda: _open(person, chosen) if now else _plan(person, form, chosen))
        if went and address is not None:
            messages.success(request, "The job is open." if now else "The visit is planned.")
            return redirect(address)
    return render(request, "web/job_new.html", {"form": form, "chosen": chosen, "day": timezone.localdate()})


def _chosen(
    person: Person, machines: Sequence[str], picks: Sequence[str], told: Any, *, first: bool
) -> tuple[Chosen, ...]:
    """The machines asked for with their tasks; those that are due are ticked where nothing was picked yet."""
    picked = [pick.partition(":") for pick in picks]
    ids = list(dict.fromkeys([*machines, *(machine for machine, _colon, _task in picked)]))
    if not ids:
        raise refused("machine", "nothing", "the machine that the job is on")
    if len(ids) > MOST_MACHINES:
        raise refused("machine", len(ids), f"at most {MOST_MACHINES} at once")
    day = timezone.localdate()
    return tuple(
        _machine(person, id, {task for machine, _colon, task in picked if machine == id}, told, day, first=first)
        for id in ids
    )


def _machine(person: Person, id: str, ticked: set[str], told: Any, day: date, *, first: bool) -> Chosen:
    found = queries.machine_page(person, id, day=day)
    due = {line.task: line for line in found.due}
    tasks = {} if found.sheet is None else {key: task.name for key, task in found.sheet.tasks.items()}
    if found.sheet is not None and found.state is not None:
        fitted = found.state.options
        tasks = {
            key: name
            for key, name in tasks.items()
            if (needs := found.sheet.tasks[key].needs_option) is None or fitted.get(needs, False)
        }
    if first and not ticked:
        ticked = {task for task, line in due.items() if line.stands(day) in SOON and not line.rides_with}
    # What falls due first is looked for first.
    order = sorted(tasks, key=lambda task: (task not in due or due[task].likely is None, _likely(due.get(task))))
    return Chosen(
        machine=found.machine,
        job=told.get(f"job_{id}") or str(uuid.uuid4()),
        choices=tuple(Choice(task, tasks[task], task in ticked, due.get(task)) for task in order),
    )


def _likely(line: DueLine | None) -> date:
    return date.max if line is None or line.likely is None else line.likely


def _ticked(chosen: Sequence[Chosen]) -> list[Chosen]:
    found = [one for one in chosen if one.ticked]
    if not found:
        raise refused("tasks", "nothing", words.sentence("web.job.a_task"))
    return found


def _open(person: Person, chosen: Sequence[Chosen]) -> str:
    ticked = _ticked(chosen)
    for one in ticked:
        services.open_job(person, one.machine.id, one.ticked, job=one.job)
    return reverse("card", args=[ticked[0].job]) if len(ticked) == 1 else reverse("today")


def _plan(person: Person, form: JobForm, chosen: Sequence[Chosen]) -> str:
    told = form.cleaned_data
    if told["day"] is None:
        raise refused("day", "nothing", "the day of the visit")
    ticked = _ticked(chosen)
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
