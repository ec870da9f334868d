"""From a folded state to the rows that lists need. Only what differs is written."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from django.db import models as django_models

from coldmark.bench.clocks import DueAt
from coldmark.bench.ledger import State
from coldmark.bench.sheet import Sheet
from coldmark.records.models import (
    Customer,
    DueRow,
    Fact,
    FindingRow,
    JobRow,
    Machine,
    MachineState,
    OwnerSpan,
    SheetVersion,
    Site,
)
from coldmark.records.searching import search_text

__all__ = ["clear", "project"]

Values = dict[str, Any]


def project(
    row: MachineState, state: State, sheet: Sheet | None, due: Sequence[DueAt], per_day: float | None
) -> list[uuid.UUID]:
    """Bring the machine's rows to its state. ``row`` is filled, but left to the caller to save.

    Returns the machines whose facts name a job that this one gave up: they are to be folded again.
    """
    machine = Machine.objects.get(id=row.machine_id)
    row.machine = machine
    row.customer = _row(Customer, state.customer)
    row.site = _row(Site, state.site)
    row.sheet = state.sheet or ""
    version = SheetVersion.objects.filter(sha256=row.sheet).only("title", "kind").first() if row.sheet else None
    row.sheet_title, row.kind = (version.title, version.kind) if version is not None else ("", "")
    last = next((point for point in reversed(state.meter.points) if point.doubt is None), None)
    row.hours, row.hours_at = (None, None) if last is None else (last.hours, _moment(last.at))
    row.per_day = per_day
    row.flags = len(state.flags)
    findings = _findings(state)
    row.open_findings = sum(1 for values in findings.values() if values["settled_at"] is None)
    jobs = _jobs(state)
    row.open_jobs = sum(1 for values in jobs.values() if values["closed_at"] is None)
    rows_due = _due(due, sheet)
    soonest = min(
        ((values["likely"], task) for (task,), values in rows_due.items() if values["likely"] is not None), default=None
    )
    row.next_likely, row.next_task = (None, "") if soonest is None else soonest
    row.search = search_text(machine, row)
    _bring(OwnerSpan, row.machine_id, ("customer", "since"), _owners(state))
    _bring(DueRow, row.machine_id, ("task",), rows_due)
    _bring(FindingRow, row.machine_id, ("fact",), findings)
    gone = _bring(JobRow, row.machine_id, ("job",), _own_jobs(row.machine_id, state, jobs))
    return _others_of(row.machine_id, gone)


def clear(machine: uuid.UUID, into: uuid.UUID) -> None:
    """Take away the rows of a record that was joined into another one; its own line stays and says where it went."""
    for table in (OwnerSpan, DueRow, FindingRow, JobRow):
        table._default_manager.filter(machine=machine).delete()
    # Written over and not made anew: who waits for the row, to say that there is more to fold, must still find it.
    MachineState(machine_id=machine, joined_into_id=into, stale=False).save()


def _owners(state: State) -> dict[tuple[Any, ...], Values]:
    """Times of ownership, from the moments at which the owner changed; a change to the same owner goes on."""
    spans: list[tuple[str, datetime]] = []
    for at, customer in state.owners:
        if not spans or spans[-1][0] != customer:
            spans.append((customer, _moment(at)))
    found: dict[tuple[Any, ...], Values] = {}
    for place, (customer, since) in enumerate(spans):
        until = spans[place + 1][1] if place + 1 < len(spans) else None
        if until is None or until > since:
            found[uuid.UUID(customer), since] = {"until": until}
    return found


def _due(due: Iterable[DueAt], sheet: Sheet | None) -> dict[tuple[Any, ...], Values]:
    if sheet is None:
        return {}
    return {
        (one.task,): {
            "name": sheet.tasks[one.task].name,
            "due_h": one.due_h,
            "due_day": one.due_day,
            "early": one.early,
            "likely": one.likely,
            "late": one.late,
            "by": one.by,
            "grid_h": one.grid_h,
            "rides_with": one.rides_with or "",
        }
        for one in due
    }


def _findings(state: State) -> dict[tuple[Any, ...], Values]:
    return {
        (uuid.UUID(found.fact),): {
            "at": _moment(found.at),
            "about": found.about,
            "what": found.what,
            "urgency": found.urgency,
            "job": _id(found.job),
            "settled_at": None if found.settled_at is None else _moment(found.settled_at),
        }
        for found in state.findings.values()
    }


def _jobs(state: State) -> dict[tuple[Any, ...], Values]:
    return {
        (uuid.UUID(job.job),): {
            "opened_at": None if job.opened_at is None else _moment(job.opened_at),
            "closed_at": None if job.closed_at is None else _moment(job.closed_at),
            "tasks": list(job.tasks),
            "tasks_done": list(job.tasks_done),
            "visit": _id(job.visit),
            "hours": job.hours,
        }
        for job in state.jobs.values()
    }


def _own_jobs(machine: uuid.UUID, state: State, jobs: dict[tuple[Any, ...], Values]) -> dict[tuple[Any, ...], Values]:
    """The jobs that are this machine's: one whose facts name two machines is where it was opened, and first.

    Which of them was folded last must not matter.
    """
    mine = [machine, *(uuid.UUID(other) for other in state.joined)]
    elsewhere = JobRow.objects.filter(job__in=[job for (job,) in jobs]).exclude(machine__in=mine) if jobs else ()
    lost = {
        (row.job,)
        for row in elsewhere
        if _claim(row.opened_at, row.machine_id) < _claim(jobs[row.job,]["opened_at"], machine)
    }
    return {key: values for key, values in jobs.items() if key not in lost}


def _claim(opened_at: datetime | None, machine: uuid.UUID) -> tuple[bool, float, uuid.UUID]:
    return opened_at is None, 0.0 if opened_at is None else opened_at.timestamp(), machine


def _others_of(machine: uuid.UUID, jobs: Iterable[Any]) -> list[uuid.UUID]:
    """The other machines whose facts name these jobs, marked stale."""
    given_up = list(jobs)
    if not given_up:
        return []
    named = Fact.objects.filter(job__in=given_up, subject_type="machine", held_apart=False).exclude(subject=machine)
    others = list(named.order_by().values_list("subject", flat=True).distinct())
    MachineState.objects.filter(machine__in=others).update(stale=True)
    return others


def _bring(
    table: type[django_models.Model],
    machine: uuid.UUID,
    keys: tuple[str, ...],
    wanted: Mapping[tuple[Any, ...], Values],
) -> list[Any]:
    """Make the machine's rows of a table those wanted: add, change and remove only where they differ.

    Returns the keys of the rows that were removed.
    """
    manager = table._default_manager
    there = {tuple(getattr(row, key) for key in keys): row for row in manager.filter(machine=machine)}
    gone = [row.pk for key, row in there.items() if key not in wanted]
    if gone:
        manager.filter(pk__in=gone).delete()
    # A job or finding that moved here with a joined record still lies under the other's name.
    fresh = [
        table(machine_id=machine, **dict(zip(keys, key, strict=True)), **values)
        for key, values in wanted.items()
        if key not in there
    ]
    if fresh:
        if table._meta.pk is not None and table._meta.pk.name in keys:
            manager.filter(pk__in=[row.pk for row in fresh]).delete()
        manager.bulk_create(fresh, batch_size=500)
    changed = []
    for key, row in there.items():
        values = wanted.get(key)
        if values is not None and any(getattr(row, name) != value for name, value in values.items()):
            for name, value in values.items():
                setattr(row, name, value)
            changed.append(row)
    if changed:
        manager.bulk_update(changed, list(next(iter(wanted.values()))), batch_size=500)
    return gone


def _row(table: type[django_models.Model], id: str | None) -> Any:
    """The row that a fact names; ``None`` when it is not here (yet)."""
    return None if id is None else table._default_manager.filter(pk=id).first()


def _moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


def _id(text: str | None) -> uuid.UUID | None:
    return None if text is None else uuid.UUID(text)
