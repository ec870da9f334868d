"""Due: all machines with what falls due in the coming weeks."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import F, Min, Q

from coldmark.bench.job import DueLine
from coldmark.records.access import machines_of
from coldmark.records.errors import uuid_of
from coldmark.records.models import Customer, DueRow, MachineState, Person, Site
from coldmark.records.queries.lines import MachineLine, due_line, machine_line, with_state

__all__ = ["Choice", "Due", "DueMachine", "due_rows"]

PAGE = 50


@dataclass(frozen=True, slots=True)
class Choice:
    """Something to choose from a list."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class DueMachine:
    """A machine and what falls due on it, soonest first."""

    machine: MachineLine
    due: tuple[DueLine, ...]


@dataclass(frozen=True, slots=True)
class Due:
    """A page of machines, the one whose next task comes soonest first, and what the lists to filter by hold."""

    day: date
    last: date
    machines: tuple[DueMachine, ...]
    total: int
    page: int
    pages: int
    customers: tuple[Choice, ...]
    sites: tuple[Choice, ...]
    tasks: tuple[Choice, ...]


def due_rows(
    person: Person,
    *,
    day: date,
    weeks: int = 8,
    customer: str | None = None,
    site: str | None = None,
    task: str | None = None,
    page: int = 1,
) -> Due:
    """What falls due until ``weeks`` after ``day``, and all that is over. Six queries."""
    last = day + timedelta(weeks=weeks)
    seen = MachineState.objects.filter(machine__in=machines_of(person), joined_into__isnull=True)
    wanted = seen
    if customer is not None:
        wanted = wanted.filter(customer=uuid_of("customer", customer))
    if site is not None:
        wanted = wanted.filter(site=uuid_of("site", site))
    # Without a day, because nobody knows how much the machine works, it is shown too, last: somebody should look.
    unknown = Q(likely__isnull=True, due_h__isnull=False)
    rows = DueRow.objects.filter(Q(likely__lte=last) | unknown, machine__in=wanted.values("machine"))
    if task is not None:
        rows = rows.filter(task=task)
    soonest = rows.values("machine").annotate(first=Min("likely")).order_by(F("first").asc(nulls_last=True), "machine")
    found = list(soonest.values_list("machine", flat=True))
    pages = max(1, -(-len(found) // PAGE))
    page = min(max(page, 1), pages)
    shown = found[(page - 1) * PAGE : page * PAGE]
    by_machine: dict[uuid.UUID, list[DueRow]] = {}
    for row in rows.filter(machine__in=shown).order_by(F("likely").asc(nulls_last=True), "task"):
        by_machine.setdefault(row.machine_id, []).append(row)
    # Sheets may name a task of the same key differently; one name is enough to choose by.
    names = dict(DueRow.objects.filter(machine__in=seen.values("machine")).values_list("task", "name").distinct())
    machines = {row.id: row for row in with_state(machines_of(person)).filter(id__in=shown)}
    return Due(
        day=day,
        last=last,
        machines=tuple(
            DueMachine(machine_line(machines[id], person), tuple(map(due_line, by_machine[id])))
            for id in shown
            if id in machines
        ),
        total=len(found),
        page=page,
        pages=pages,
        customers=tuple(
            Choice(str(row.id), row.name) for row in Customer.objects.filter(id__in=seen.values("customer"))
        ),
        sites=tuple(Choice(str(row.id), row.name) for row in Site.objects.filter(id__in=seen.values("site"))),
        tasks=tuple(Choice(key, name) for key, name in sorted(names.items())),
    )
