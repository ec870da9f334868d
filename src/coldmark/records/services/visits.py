"""Planning visits, opening jobs and closing them."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, replace
from datetime import datetime

from django.db import transaction

from coldmark.bench.errors import Contradiction
from coldmark.records.access import require_staff
from coldmark.records.errors import NotFound, refused, uuid_of
from coldmark.records.models import Fact, JobRow, Machine, MachineState, Person, Role, Site, Van, Visit, VisitMachine
from coldmark.records.numbers import locked_store, moment
from coldmark.records.plain import VisitData, VisitPart
from coldmark.records.services.accepting import Kept, record
from coldmark.records.services.folding import refresh
from coldmark.records.sheets import sheet_of

__all__ = ["JobOpened", "call_off_visit", "close_job", "open_job", "plan_visit"]


@dataclass(frozen=True, slots=True)
class JobOpened:
    """A job that was opened: its id and the fact that says so."""

    job: str
    fact: Kept


def plan_visit(person: Person, data: VisitData) -> VisitData:
    """Make or change a visit, and return it with the ids of its jobs.

    A machine that stays in the visit keeps its job; one whose job is open already cannot be taken out.
    """
    require_staff(person, "planning visits")
    if data.from_time is not None and data.to_time is not None and data.to_time <= data.from_time:
        begins = f"{data.from_time:%H:%M}"
        raise Contradiction(name="to_time", value=f"{data.to_time:%H:%M}", why="records.cannot.ends", begins=begins)
    machines = _checked_machines(data)
    with transaction.atomic():
        id = uuid_of("id", data.id)
        row = Visit.objects.select_for_update().filter(id=id).first() or Visit(id=id, changed=-1)
        row.day, row.from_time, row.to_time, row.note = data.day, data.from_time, data.to_time, data.note.strip()
        row.mechanic, row.van, row.site = _mechanic(data.mechanic), _van(data.van), _site(data.site)
        row.changed += 1
        row.called_off = False
        row.save()
        parts = _keep_parts(row, machines)
    return replace(data, machines=parts)


def call_off_visit(person: Person, visit: str) -> None:
    """Call a visit off; it stays to be seen in calendars as called off."""
    require_staff(person, "planning visits")
    with transaction.atomic():
        row = Visit.objects.select_for_update().filter(id=uuid_of("visit", visit)).first()
        if row is None:
            raise NotFound("visit", visit)
        if not row.called_off:
            row.called_off = True
            row.changed += 1
            row.save(update_fields=["called_off", "changed"])


def open_job(
    person: Person,
    machine: str,
    tasks: tuple[str, ...],
    *,
    job: str | None = None,
    visit: str | None = None,
    at: datetime | None = None,
    now: datetime | None = None,
) -> JobOpened:
    """Open a job on a machine with these tasks. With a ``job`` id of the caller's it is safe to repeat."""
    require_staff(person, "opening jobs")
    id = uuid.uuid4() if job is None else uuid_of("job", job)
    subject = uuid_of("machine", machine)
    _check_tasks(_machine(machine), tasks)
    body: dict[str, object] = {"tasks": list(tasks)}
    if visit is not None:
        body["visit"] = str(uuid_of("visit", visit))
    with transaction.atomic():
        locked_store()  # two presses at once open one job
        before = Fact.objects.filter(job=id, kind="job_opened").order_by("arrival").first()
        if before is not None:
            return JobOpened(str(id), Kept(str(before.id), before.arrival, before.text))
        kept = record(person, "job_opened", subject, body, job=id, at=at, now=now, fold=False)
    refresh([subject])
    return JobOpened(str(id), kept)


def close_job(person: Person, job: str, *, at: datetime | None = None, now: datetime | None = None) -> Kept:
    """Close a job over all facts that belong to it, each with its hash. Closing a closed job changes nothing."""
    require_staff(person, "closing jobs")
    id = uuid_of("job", job)
    with transaction.atomic():
        locked_store()
        row = JobRow.objects.filter(job=id).first()
        if row is None:
            raise NotFound("job", job)
        facts = list(Fact.objects.filter(job=id, held_apart=False).order_by("id"))
        if row.closed_at is not None:
            closed = [fact for fact in facts if fact.kind == "job_closed"]
            if closed:
                last = max(closed, key=lambda fact: fact.at)
                return Kept(str(last.id), last.arrival, last.text)
        sealed = sorted([str(fact.id), fact.sha256] for fact in facts)
        body = {"facts": sealed}
        kept = record(person, "job_closed", row.machine_id, body, job=id, at=at, now=moment(now), fold=False)
    refresh([row.machine_id])
    return kept


def _keep_parts(visit: Visit, machines: tuple[VisitPart, ...]) -> tuple[VisitPart, ...]:
    before = {str(part.machine_id): part for part in visit.machines.all()}
    gone = [part for machine, part in before.items() if machine not in {part.machine for part in machines}]
    begun = JobRow.objects.filter(job__in=[part.job for part in gone]).first()
    if begun is not None:
        raise refused("machines", "a list without one", "with the machine on which the job is open already")
    VisitMachine.objects.filter(id__in=[part.id for part in gone]).delete()
    kept: list[VisitPart] = []
    for place, part in enumerate(machines):
        row = before.get(part.machine) or VisitMachine(visit=visit, machine_id=uuid_of("machine", part.machine))
        row.tasks, row.place = list(part.tasks), place
        if part.job is not None:
            row.job = uuid_of("job", part.job)
        row.save()
        kept.append(VisitPart(part.machine, part.tasks, str(row.job)))
    return tuple(kept)


def _checked_machines(data: VisitData) -> tuple[VisitPart, ...]:
    parts = tuple(replace(part, machine=str(uuid_of("machine", part.machine))) for part in data.machines)
    if len({part.machine for part in parts}) != len(parts):
        raise refused("machines", "a machine twice", "each machine once, with all its tasks")
    for part in parts:
        _check_tasks(_machine(part.machine), part.tasks)
    return parts


def _check_tasks(state: MachineState | None, tasks: tuple[str, ...]) -> None:
    """Tasks are those of the machine's sheet; without a sheet there are none to check against."""
    if state is None or not state.sheet:
        return
    sheet = sheet_of(state.sheet)
    for task in tasks:
        if task not in sheet.tasks:
            raise refused("tasks", task, "of the machine's sheet: " + ", ".join(sheet.tasks))


def _machine(machine: str) -> MachineState | None:
    id = uuid_of("machine", machine)
    state = MachineState.objects.filter(machine=id).first()
    if state is None and not Machine.objects.filter(id=id).exists():
        raise NotFound("machine", machine)
    return state


def _mechanic(id: str | None) -> Person | None:
    if id is None:
        return None
    row = Person.objects.filter(id=uuid_of("mechanic", id), is_active=True).exclude(role=Role.OWNER).first()
    if row is None:
        raise NotFound("mechanic", id)
    return row


def _van(id: str | None) -> Van | None:
    if id is None:
        return None
    row = Van.objects.filter(id=uuid_of("van", id)).first()
    if row is None:
        raise NotFound("van", id)
    return row


def _site(id: str | None) -> Site | None:
    if id is None:
        return None
    row = Site.objects.filter(id=uuid_of("site", id)).first()
    if row is None:
        raise NotFound("site", id)
    return row
