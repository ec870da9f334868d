"""Today: a day's visits, per machine what is due and what to bring, and the jobs that are still open."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta

from django.db.models import Q, QuerySet

from coldmark.bench.errors import ColdmarkError
from coldmark.bench.job import DueLine
from coldmark.bench.ledger import OilPart, parts_from_json
from coldmark.bench.sheet import Sheet
from coldmark.fleet.kit import Kit, VanRoom, combine, kit
from coldmark.records.access import machines_of, stops_seen
from coldmark.records.models import DueRow, JobRow, Machine, Person, Role, Van, Visit, VisitMachine
from coldmark.records.queries.lines import JobLine, MachineLine, due_line, job_line, machine_line
from coldmark.records.sheets import sheets_of

__all__ = ["Load", "OpenJob", "Today", "VisitStop", "VisitToday", "kit_of", "today"]

AHEAD = timedelta(days=28)
"""What falls due within four weeks after a visit is shown with it, because the next visit may come later."""


@dataclass(frozen=True, slots=True)
class VisitStop:
    """A machine of a visit: its planned tasks, what is due or nearly so, how far its job is, and its kit.

    ``task_names`` go with ``tasks``. ``job`` says how far it is: not opened, open, closed.
    """

    machine: MachineLine
    tasks: tuple[str, ...]
    task_names: tuple[str, ...]
    job: JobLine
    due: tuple[DueLine, ...]
    hours_likely: float | None
    kit: Kit | None


@dataclass(frozen=True, slots=True)
class VisitToday:
    """A visit of the day; ``bring`` is the kit of all its machines together. Notes and access are for staff alone."""

    id: str
    day: date
    from_time: time | None
    to_time: time | None
    mechanic: str
    van: str
    site: str
    site_name: str
    address: str
    access: str
    note: str
    called_off: bool
    stops: tuple[VisitStop, ...]
    bring: Kit | None


@dataclass(frozen=True, slots=True)
class OpenJob:
    """A job that is open and belongs to none of the day's visits."""

    machine: MachineLine
    job: JobLine


@dataclass(frozen=True, slots=True)
class Load:
    """What one van is loaded with for all that is still to be done on the day; ``machines`` says on how many."""

    van: str
    mechanic: str
    machines: int
    bring: Kit


@dataclass(frozen=True, slots=True)
class Today:
    """A day as a person sees it; ``loads`` are for staff alone."""

    day: date
    visits: tuple[VisitToday, ...]
    loads: tuple[Load, ...]
    open_jobs: tuple[OpenJob, ...]


def today(person: Person, day: date) -> Today:
    """The day's visits: a mechanic's own and nobody's, all for the office, those to his machines for an owner.

    Seven queries (eight for an owner), however many visits; one more where a sheet was not read before.
    """
    visits = list(_visits(person).filter(day=day))
    stops = VisitMachine.objects.select_related("visit").filter(visit__in=visits, machine__in=machines_of(person))
    parts = stops_seen(person, stops.order_by("place", "id"))
    jobs = {row.job: row for row in JobRow.objects.filter(job__in=[part.job for part in parts])}
    running = list(
        JobRow.objects.filter(closed_at__isnull=True, opened_at__isnull=False, machine__in=machines_of(person))
        .exclude(job__in=list(jobs))
        .order_by("-opened_at")[:30]
    )
    ids = {part.machine_id for part in parts}
    rows = _machines(ids | {row.machine_id for row in running})
    due: dict[uuid.UUID, list[DueRow]] = {}
    for row in DueRow.objects.filter(machine__in=ids, likely__lte=day + AHEAD).order_by("likely", "task"):
        due.setdefault(row.machine_id, []).append(row)
    sheets = sheets_of(rows[id].state.sheet for id in ids if id in rows and rows[id].state.sheet)
    by_visit: dict[uuid.UUID, list[VisitStop]] = {}
    for part in parts:
        stop = _stop(person, part, rows[part.machine_id], due.get(part.machine_id, []), jobs.get(part.job), sheets, day)
        by_visit.setdefault(part.visit_id, []).append(stop)
    shown = [visit for visit in visits if person.is_staff or visit.id in by_visit]
    return Today(
        day=day,
        visits=tuple(_visit(person, visit, by_visit.get(visit.id, [])) for visit in shown),
        loads=_loads(visits, by_visit) if person.is_staff else (),
        open_jobs=tuple(OpenJob(machine_line(rows[row.machine_id], person), job_line(row)) for row in running),
    )


def kit_of(machine: Machine, tasks: Iterable[str], sheet: Sheet, van: Van | None = None) -> Kit:
    """The kit for tasks on a machine, by its options and the oil inside as folded."""
    snapshot = machine.state.snapshot
    # A day has many stops, and a kit asks for two fields of a state that may be years long.
    known = parts_from_json(snapshot, "options", "oils") if snapshot else {"options": {}, "oils": {}}
    fitted = tuple(option for option, fitted in known["options"].items() if fitted)
    room = None if van is None else VanRoom(van.waste_l, van.oils)
    return kit(sheet, tasks, options=fitted, inside=_inside(known["oils"]), van=room)


def _inside(oils_of: Mapping[str, Sequence[OilPart]]) -> dict[str, str]:
    """The oil of the greatest share in each compartment, where it is known."""
    found: dict[str, str] = {}
    for compartment, oils in oils_of.items():
        most = max(oils, key=lambda part: part.share, default=None)
        if most is not None and most.oil is not None:
            found[compartment] = most.oil
    return found


def _visits(person: Person) -> QuerySet[Visit]:
    visits = Visit.objects.select_related("mechanic", "van", "site").order_by("from_time", "id")
    if person.role == Role.MECHANIC:
        return visits.filter(Q(mechanic=person) | Q(mechanic__isnull=True))
    if person.is_staff:
        return visits
    return visits.filter(machines__machine__in=machines_of(person)).distinct()


def _machines(ids: Iterable[uuid.UUID]) -> dict[uuid.UUID, Machine]:
    rows = Machine.objects.filter(id__in=ids).select_related("state", "state__customer", "state__site")
    return {row.id: row for row in rows if hasattr(row, "state")}


def _stop(
    person: Person,
    part: VisitMachine,
    machine: Machine,
    due: list[DueRow],
    job: JobRow | None,
    sheets: dict[str, Sheet],
    day: date,
) -> VisitStop:
    tasks = tuple(job.tasks) if job is not None and job.tasks else tuple(part.tasks)
    sheet = sheets.get(machine.state.sheet)
    made: Kit | None = None
    if sheet is not None and tasks:
        try:
            made = kit_of(machine, tasks, sheet)
        except ColdmarkError:
            made = None  # a task that a newer sheet has no more; the tasks themselves are shown all the same
    line = machine_line(machine, person)
    names = {} if sheet is None else {key: task.name for key, task in sheet.tasks.items()}
    planned = JobLine(str(part.job), str(machine.id), None, None, tasks, (), str(part.visit_id), None)
    return VisitStop(
        machine=line,
        tasks=tasks,
        task_names=tuple(names.get(task, task) for task in tasks),
        job=planned if job is None else job_line(job),
        due=tuple(map(due_line, due)),
        hours_likely=line.hours_on(day),
        kit=made,
    )


def _loads(visits: Sequence[Visit], stops_of: Mapping[uuid.UUID, Sequence[VisitStop]]) -> tuple[Load, ...]:
    """What each van brings for the whole day; where no van is chosen yet, each mechanic."""
    first: dict[tuple[object, object], Visit] = {}
    kits: dict[tuple[object, object], list[Kit]] = {}
    for visit in visits:
        if visit.called_off:
            continue
        key = (visit.van_id, None if visit.van_id is not None else visit.mechanic_id)
        open_stops = [stop for stop in stops_of.get(visit.id, ()) if stop.job.closed_at is None]
        found = [stop.kit for stop in open_stops if stop.kit is not None]
        if found:
            first.setdefault(key, visit)
            kits.setdefault(key, []).extend(found)
    return tuple(
        Load(
            van="" if visit.van is None else visit.van.name,
            mechanic="" if visit.mechanic is None else visit.mechanic.name,
            machines=len(kits[key]),
            bring=combine(kits[key], _room(visit)),
        )
        for key, visit in first.items()
    )


def _room(visit: Visit) -> VanRoom | None:
    return None if visit.van is None else VanRoom(visit.van.waste_l, visit.van.oils)


def _visit(person: Person, visit: Visit, stops: list[VisitStop]) -> VisitToday:
    kits = [stop.kit for stop in stops if stop.kit is not None]
    staff = person.is_staff
    return VisitToday(
        id=str(visit.id),
        day=visit.day,
        from_time=visit.from_time,
        to_time=visit.to_time,
        mechanic=visit.mechanic.name if visit.mechanic is not None else "",
        van=visit.van.name if visit.van is not None and staff else "",
        site="" if visit.site is None else str(visit.site.id),
        site_name="" if visit.site is None else visit.site.name,
        address="" if visit.site is None else visit.site.address,
        access=visit.site.access if visit.site is not None and staff else "",
        note=visit.note if staff else "",
        called_off=visit.called_off,
        stops=tuple(stops),
        bring=combine(kits, _room(visit)) if kits and staff else None,
    )
