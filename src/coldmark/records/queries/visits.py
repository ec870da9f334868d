"""Visits over a range of days, for lists and calendars."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time

from coldmark.bench.sheet import Sheet
from coldmark.records.access import machines_of, require_staff, stops_seen
from coldmark.records.errors import NotFound, uuid_of
from coldmark.records.models import JobRow, MachineState, Person, Visit, VisitMachine
from coldmark.records.plain import VisitData, VisitPart
from coldmark.records.sheets import sheets_of

__all__ = ["VisitLine", "VisitMachineLine", "visit_data", "visits"]


@dataclass(frozen=True, slots=True)
class VisitMachineLine:
    """A machine of a visit, its tasks, its job, and how far that is: *planned*, *open* or *closed*."""

    machine: str
    name: str
    number: str
    tasks: tuple[str, ...]
    task_names: tuple[str, ...]
    job: str
    how_far: str


@dataclass(frozen=True, slots=True)
class VisitLine:
    """A visit. ``changed`` counts its changes, as calendars want it."""

    id: str
    day: date
    from_time: time | None
    to_time: time | None
    mechanic: str
    van: str
    site_name: str
    address: str
    lat: float | None
    lon: float | None
    note: str
    changed: int
    called_off: bool
    machines: tuple[VisitMachineLine, ...]


def visits(person: Person, first: date, last: date, *, mechanic: str | None = None) -> tuple[VisitLine, ...]:
    """The visits from ``first`` to ``last``: all for staff (or one mechanic's), an owner's machines' for an owner.

    Three queries, four for an owner, and one more where a sheet was not read before.
    """
    found = Visit.objects.select_related("mechanic", "van", "site").filter(day__gte=first, day__lte=last)
    if mechanic is not None:
        found = found.filter(mechanic=uuid_of("mechanic", mechanic))
    if not person.is_staff:
        found = found.filter(machines__machine__in=machines_of(person)).distinct()
    rows = list(found.order_by("day", "from_time", "id"))
    parts = VisitMachine.objects.select_related("visit", "machine__state").defer("machine__state__snapshot")
    parts = parts.filter(visit__in=rows, machine__in=machines_of(person)).order_by("place", "id")
    by_visit: dict[uuid.UUID, list[VisitMachine]] = {}
    for part in stops_seen(person, parts):
        by_visit.setdefault(part.visit_id, []).append(part)
    ids = [part.job for listed in by_visit.values() for part in listed]
    closed = dict(JobRow.objects.filter(job__in=ids).values_list("job", "closed_at"))
    sheets = sheets_of({_sheet(part) for listed in by_visit.values() for part in listed} - {""})
    shown = [row for row in rows if person.is_staff or row.id in by_visit]
    return tuple(_line(person, row, by_visit.get(row.id, []), closed, sheets) for row in shown)


def _sheet(part: VisitMachine) -> str:
    state: MachineState | None = getattr(part.machine, "state", None)
    return "" if state is None else state.sheet


def _names(part: VisitMachine, sheet: Sheet | None) -> tuple[str, ...]:
    known = {} if sheet is None else sheet.tasks
    return tuple(known[task].name if task in known else task.replace("_", " ") for task in part.tasks)


def visit_data(person: Person, visit: str) -> VisitData:
    """A visit as its form needs it; for staff."""
    require_staff(person, "planning visits")
    row = Visit.objects.filter(id=uuid_of("visit", visit)).first()
    if row is None:
        raise NotFound("visit", visit)
    return VisitData(
        id=str(row.id),
        day=row.day,
        machines=tuple(VisitPart(str(p.machine_id), tuple(p.tasks), str(p.job)) for p in row.machines.all()),
        mechanic=None if row.mechanic_id is None else str(row.mechanic_id),
        van=None if row.van_id is None else str(row.van_id),
        site=None if row.site_id is None else str(row.site_id),
        from_time=row.from_time,
        to_time=row.to_time,
        note=row.note,
    )


def _line(
    person: Person,
    row: Visit,
    parts: list[VisitMachine],
    closed: Mapping[uuid.UUID, datetime | None],
    sheets: Mapping[str, Sheet],
) -> VisitLine:
    def how_far(job: uuid.UUID) -> str:
        return "planned" if job not in closed else "open" if closed[job] is None else "closed"

    site = row.site
    return VisitLine(
        id=str(row.id),
        day=row.day,
        from_time=row.from_time,
        to_time=row.to_time,
        mechanic=row.mechanic.name if row.mechanic is not None else "",
        van=row.van.name if row.van is not None and person.is_staff else "",
        site_name="" if site is None else site.name,
        address="" if site is None else site.address,
        lat=None if site is None else site.lat,
        lon=None if site is None else site.lon,
        note=row.note if person.is_staff else "",
        changed=row.changed,
        called_off=row.called_off,
        machines=tuple(
            VisitMachineLine(
                machine=str(part.machine_id),
                name=part.machine.name,
                number=part.machine.number,
                tasks=tuple(part.tasks),
                task_names=_names(part, sheets.get(_sheet(part))),
                job=str(part.job),
                how_far=how_far(part.job),
            )
            for part in parts
        ),
    )
