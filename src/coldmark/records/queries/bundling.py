"""What a phone takes along: the visits of the coming days, and of their machines all that a job there needs.

A snapshot of each machine's state travels, with the facts of its open and latest jobs, and not its history. Whatever a
person may not see any more is not in the next one, and the phone drops it. Only staff take anything along.
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import Any

from django.db.models import Q
from django.utils import timezone

from coldmark.bench import words
from coldmark.bench.errors import ColdmarkError
from coldmark.bench.job import due_says, places_asked, refusals, timings_asked
from coldmark.bench.ledger import CODE_VERSION, State, parts_from_json, state_to_json
from coldmark.bench.oil import Oil, oil_to_plain
from coldmark.bench.sheet import Sheet, to_plain
from coldmark.fleet.kit import Kit
from coldmark.records.access import machines_of, require_staff
from coldmark.records.corrections import MOST_ROUNDS, clock_errors_of
from coldmark.records.models import (
    DueRow,
    Fact,
    JobRow,
    Machine,
    MachineState,
    Person,
    Role,
    Van,
    Visit,
    VisitMachine,
)
from coldmark.records.numbers import read_store
from coldmark.records.queries.card import card_line
from coldmark.records.queries.lines import due_line, machine_line
from coldmark.records.queries.stories import MachineStory, stories
from coldmark.records.queries.today import kit_of
from coldmark.records.services.folding import STAMP, refresh
from coldmark.records.sheets import oils_by_key, sheet_of, sheets_of

__all__ = ["bundle"]

Plain = dict[str, Any]
Packed = Callable[[Kit, words.UnitSystem, Mapping[str, Oil]], Plain]

AHEAD = timedelta(days=14)
LATELY = timedelta(days=30)
STILL_HELD = timedelta(days=3)
"""How long the entries of a closed job stay on the phone, to be looked at and put right."""
MOST_ON_VISITS = 40
MOST_LATELY = 12
MOST_JOBS_LOOKED_AT = 120


@dataclass(frozen=True, slots=True)
class _Planned:
    visits: Sequence[Visit]
    stops: Mapping[uuid.UUID, Sequence[VisitMachine]]

    @property
    def machines(self) -> list[uuid.UUID]:
        """The machines in the order of the visits."""
        return [stop.machine_id for visit in self.visits for stop in self.at(visit)]

    def at(self, visit: Visit) -> Sequence[VisitMachine]:
        """The machines of a visit, in their order."""
        return self.stops.get(visit.id, ())

    @property
    def jobs(self) -> set[uuid.UUID]:
        """The jobs that are planned on them."""
        return {stop.job for stops in self.stops.values() for stop in stops}


def bundle(person: Person, *, now: datetime, packed: Packed) -> Plain:
    """What a person's phone takes along at a moment; ``packed`` puts a kit in words.

    A fixed number of queries, however many visits and machines; more only where a machine has facts that are not
    folded yet, or a sheet was not read before.

    Raises
    ------
    NotAllowed
        When the person does not belong to the firm.
    """
    require_staff(person, "taking records along")
    store = read_store()  # before all else: what arrives from here on is asked for by its number
    planned = _planned(person, timezone.localdate(now))
    recent = _recent(person, now)
    roots = _roots({*planned.machines, *(row.machine_id for row in recent)})
    on_visits = list(dict.fromkeys(roots[id] for id in planned.machines if id in roots))[:MOST_ON_VISITS]
    lately = list(dict.fromkeys(roots[row.machine_id] for row in recent if row.machine_id in roots))
    lately = [id for id in lately if id not in on_visits][:MOST_LATELY]
    machines = _machines(person, [*on_visits, *lately])
    units: words.UnitSystem = "us" if person.units == "us" else "metric"
    sheets = sheets_of({row.state.sheet for row in machines.values()} - {""})
    oils = oils_by_key()
    saying = _Saying(sheets, oils, units, packed)
    here = {id: machines[root] for id, root in roots.items() if root in machines}
    return {
        "epoch": str(store.epoch),
        "arrival": store.next_arrival - 1,
        "backed_up_to": store.backed_up_to,
        "person": {"id": str(person.id), "name": person.name, "role": person.role},
        "units": units,
        "coldest_c": store.coldest_c,
        "clock_errors": {device: [list(one) for one in errors] for device, errors in clock_errors_of().items()},
        "visits": [
            _visit(
                visit, [(stop, here[stop.machine_id]) for stop in planned.at(visit) if stop.machine_id in here], saying
            )
            for visit in planned.visits
        ],
        "machines": _parts(person, machines, sheets, planned.jobs, units, now, store.next_arrival - 1),
        "sheets": {sha256: _sheet_plain(sha256) for sha256 in sheets},
        "oils": {key: oil_to_plain(oil) for key, oil in oils.items()},
        "refusals": refusals(),
        "people": [{"id": str(id), "name": name} for id, name in _people()],
    }


def _planned(person: Person, day: date) -> _Planned:
    """The visits from a day on: the person's and those of nobody yet, or the whole firm's where he has none."""
    rows = list(
        Visit.objects.filter(day__gte=day, day__lt=day + AHEAD, called_off=False)
        .select_related("site", "site__customer", "van")
        .order_by("day", "from_time", "id")
    )
    own = [row for row in rows if row.mechanic_id in (person.id, None)]
    visits = own if any(row.mechanic_id == person.id for row in rows) else rows
    stops: dict[uuid.UUID, list[VisitMachine]] = {}
    for stop in VisitMachine.objects.filter(visit__in=[row.id for row in visits]).order_by("place", "id"):
        stops.setdefault(stop.visit_id, []).append(stop)
    return _Planned(visits, stops)


def _recent(person: Person, now: datetime) -> list[JobRow]:
    """Jobs that are open or were opened of late, latest first: those the person was at, then others that are open."""
    listed = JobRow.objects.filter(Q(closed_at__isnull=True, opened_at__isnull=False) | Q(opened_at__gte=now - LATELY))
    rows = list(listed.order_by("-opened_at", "job")[:MOST_JOBS_LOOKED_AT])
    told = Fact.objects.filter(job__in=[row.job for row in rows], person=person.id, held_apart=False)
    own = set(told.order_by().values_list("job", flat=True).distinct())
    mine = [row for row in rows if row.job in own]
    return mine + [row for row in rows if row.job not in own and row.closed_at is None]


def _roots(machines: Iterable[uuid.UUID]) -> dict[uuid.UUID, uuid.UUID]:
    """The record that goes on, for each; what is stale among them is folded first."""
    ids = set(machines)
    rows = list(MachineState.objects.filter(machine__in=ids).values_list("machine_id", "joined_into_id"))
    return {machine: into or machine for machine, into in rows}


def _machines(person: Person, ids: Sequence[uuid.UUID]) -> dict[uuid.UUID, Machine]:
    """The machines in this order, with their states brought up to date."""
    stale = MachineState.objects.filter(machine__in=ids).filter(Q(stale=True) | ~Q(code_version=STAMP))
    refresh(list(stale.order_by("machine").values_list("machine_id", flat=True)))
    rows = machines_of(person).filter(id__in=ids).select_related("state", "state__customer", "state__site")
    found = {row.id: row for row in rows}
    return {id: found[id] for id in ids if id in found}


def _people() -> Iterable[tuple[uuid.UUID, str]]:
    rows = Person.objects.filter(is_active=True, erased_at__isnull=True).exclude(role=Role.OWNER)
    return rows.order_by("name", "id").values_list("id", "name")


@lru_cache(maxsize=64)
def _sheet_plain(sha256: str) -> Plain:
    return to_plain(sheet_of(sha256))


def _visit(visit: Visit, stops: Iterable[tuple[VisitMachine, Machine]], say: _Saying) -> Plain:
    site = visit.site
    return {
        "id": str(visit.id),
        "day": visit.day.isoformat(),
        "from": None if visit.from_time is None else f"{visit.from_time:%H:%M}",
        "to": None if visit.to_time is None else f"{visit.to_time:%H:%M}",
        "person": None if visit.mechanic_id is None else str(visit.mechanic_id),
        "van": "" if visit.van is None else visit.van.name,
        "carries": [] if visit.van is None else say.carried(visit.van),
        "site": "" if site is None else site.name,
        "address": "" if site is None else site.address,
        "access": "" if site is None else site.access,
        "customer": "" if site is None or site.customer is None else site.customer.name,
        "note": visit.note,
        "jobs": [
            {
                "job": str(stop.job),
                "machine": str(machine.id),
                "tasks": list(stop.tasks),
                "bring": say.bring(machine, stop.tasks, visit.van),
            }
            for stop, machine in stops
        ],
    }


@dataclass(frozen=True, slots=True)
class _Saying:
    """What vans carry and what jobs want brought, in the person's units."""

    sheets: Mapping[str, Sheet]
    oils: Mapping[str, Oil]
    units: words.UnitSystem
    packed: Packed

    def carried(self, van: Van) -> list[Plain]:
        """The oils on a van, most first; one that is known here no more goes by its key."""
        named = {key: self.oils[key].name if key in self.oils else key for key in van.oils}
        listed = sorted(van.oils.items(), key=lambda one: (-one[1], named[one[0]]))
        return [{"name": named[key], "amount": words.quantity(litres, "l", units=self.units)} for key, litres in listed]

    def bring(self, machine: Machine, tasks: Iterable[str], van: Van | None) -> Plain | None:
        """The kit of a job; nothing without a data sheet, or where its sheet has one of the tasks no more."""
        sheet = self.sheets.get(machine.state.sheet)
        if sheet is None:
            return None
        try:
            return self.packed(kit_of(machine, tasks, sheet, van), self.units, self.oils)
        except ColdmarkError:
            return None


def _parts(
    person: Person,
    machines: Mapping[uuid.UUID, Machine],
    sheets: Mapping[str, Sheet],
    planned: set[uuid.UUID],
    units: words.UnitSystem,
    now: datetime,
    arrival: int,
) -> list[Plain]:
    of_record = _records(machines)
    jobs: dict[uuid.UUID, list[JobRow]] = {}
    for job in JobRow.objects.filter(machine__in=machines).order_by("-opened_at", "job"):
        jobs.setdefault(job.machine_id, []).append(job)
    held = {
        job.job
        for listed in jobs.values()
        for job in listed
        if job.closed_at is None or job.closed_at >= now - STILL_HELD or job.job in planned
    }
    facts = _facts(of_record, held | planned, arrival)
    due: dict[uuid.UUID, list[Plain]] = {}
    for row in DueRow.objects.filter(machine__in=machines).order_by("likely", "task"):
        due.setdefault(row.machine_id, []).append(_due(row, units))
    told = stories(person, of_record, jobs, {id: sheets.get(row.state.sheet) for id, row in machines.items()}, units)
    return [
        _part(
            person,
            row,
            facts.get(id, []),
            due.get(id, []),
            told.get(id),
            [job for job in jobs.get(id, []) if job.job in held],
            _asked(row, sheets.get(row.state.sheet), units),
        )
        for id, row in machines.items()
    ]


def _records(machines: Iterable[uuid.UUID]) -> dict[uuid.UUID, uuid.UUID]:
    """The machine that each record is: itself, and those that were joined into it."""
    joined = MachineState.objects.filter(joined_into__in=machines).values_list("machine_id", "joined_into_id")
    found = {id: id for id in machines}
    found |= {record: into for record, into in joined if into is not None}
    return found


def _facts(of_record: Mapping[uuid.UUID, uuid.UUID], jobs: set[uuid.UUID], arrival: int) -> dict[uuid.UUID, list[Fact]]:
    """The facts of these jobs by machine, with the corrections of them, in the order of arrival.

    So are those that arrived after all this was begun: a phone takes it that what came before is in the state, of
    whatever job or none it is.
    """
    kept: dict[uuid.UUID, Fact] = {}
    wanted = Q(job__in=jobs) | Q(arrival__gt=arrival)
    for _round in range(MOST_ROUNDS):
        rows = Fact.objects.filter(wanted, subject__in=of_record, subject_type="machine", held_apart=False)
        fresh = {row.id: row for row in rows if row.id not in kept}
        kept |= fresh
        wanted = Q(corrects__in=list(fresh))
    found: dict[uuid.UUID, list[Fact]] = {}
    for row in sorted(kept.values(), key=lambda row: row.arrival):
        found.setdefault(of_record[row.subject], []).append(row)
    return found


def _due(row: DueRow, units: words.UnitSystem) -> Plain:
    line = due_line(row)
    days = {"early": line.early, "likely": line.likely, "late": line.late}
    told = {"task": line.task, "name": line.name, "says": due_says(line, units), "rides_with": line.rides_with}
    return told | {name: None if day is None else day.isoformat() for name, day in days.items()}


def _part(
    person: Person,
    row: Machine,
    facts: Sequence[Fact],
    due: Sequence[Plain],
    story: MachineStory | None,
    jobs: Sequence[JobRow],
    asked: Plain,
) -> Plain:
    line = machine_line(row, person)
    customer, site = row.state.customer, row.state.site
    return {
        "id": line.id,
        "line": card_line(line)
        | {
            "number": line.number,
            "plate": line.plate,
            "kind": line.kind,
            "model": line.sheet_title,
            "contact": "" if customer is None else customer.contact,
            "phone": "" if customer is None else customer.phone,
            "address": "" if site is None else site.address,
            "access": "" if site is None else site.access,
            "note": row.note,
            "hours": line.hours,
            "hours_at": None if line.hours_at is None else line.hours_at.isoformat(),
            "per_day": line.per_day,
        },
        "sheet": line.sheet or None,
        "state": json.loads(row.state.snapshot or state_to_json(State(line.id))),
        "folded_by": int(row.state.code_version.partition(".")[0] or CODE_VERSION),
        "facts": [fact.text for fact in facts if fact.arrival <= row.state.folded_to],
        "since": [fact.text for fact in facts if fact.arrival > row.state.folded_to],
        "jobs": [_job(job) for job in jobs],
        "due": list(due),
        "story": [] if story is None else story.told,
        "photos": [] if story is None else story.photos,
        **asked,
    }


def _asked(row: Machine, sheet: Sheet | None, units: words.UnitSystem) -> Plain:
    """What may be timed on a machine, and the places that a part may be refused for: a phone asks by them."""
    timed = parts_from_json(row.state.snapshot, "timings")["timings"] if row.state.snapshot else {}
    return {"timed": timings_asked(timed, sheet, units), "places": places_asked(sheet)}


def _job(row: JobRow) -> Plain:
    return {
        "job": str(row.job),
        "visit": None if row.visit is None else str(row.visit),
        "tasks": list(row.tasks),
        "opened_at": None if row.opened_at is None else row.opened_at.isoformat(),
        "closed_at": None if row.closed_at is None else row.closed_at.isoformat(),
    }
