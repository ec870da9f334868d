"""The plain lines that pages and the API are made of, and how rows become them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import QuerySet

from coldmark.bench.job import DueLine
from coldmark.records.models import DueRow, FindingRow, JobRow, Machine, MachineState, Person

__all__ = [
    "FindingLine",
    "JobLine",
    "MachineLine",
    "due_line",
    "finding_line",
    "job_line",
    "machine_line",
    "with_state",
]


@dataclass(frozen=True, slots=True)
class MachineLine:
    """A machine as lists show it. ``hours`` is what is known, at ``hours_at``; ``per_day`` how fast it grows."""

    id: str
    name: str
    number: str
    serial: str
    plate: str
    known: bool
    kind: str
    sheet: str
    sheet_title: str
    customer: str | None
    customer_name: str
    site: str | None
    site_name: str
    hours: float | None
    hours_at: datetime | None
    per_day: float | None
    open_findings: int
    open_jobs: int
    flags: int
    next_task: str
    next_likely: date | None
    stale: bool

    def hours_on(self, day: date) -> float | None:
        """The hours it should have on a day, going on as of late; ``None`` when too little is known."""
        if self.hours is None or self.hours_at is None or self.per_day is None:
            return None
        return self.hours + self.per_day * max(0, (day - self.hours_at.date()).days)


@dataclass(frozen=True, slots=True)
class FindingLine:
    """A finding, open while ``settled_at`` is ``None``."""

    fact: str
    at: datetime
    about: str
    what: str
    urgency: str
    job: str | None
    settled_at: datetime | None


@dataclass(frozen=True, slots=True)
class JobLine:
    """A job: open while ``closed_at`` is ``None``; planned only while ``opened_at`` is ``None``."""

    job: str
    machine: str
    opened_at: datetime | None
    closed_at: datetime | None
    tasks: tuple[str, ...]
    tasks_done: tuple[str, ...]
    visit: str | None
    hours: float | None


def with_state(machines: QuerySet[Machine]) -> QuerySet[Machine]:
    """Machines with all that a line needs, in the same query, without the long snapshot."""
    return machines.select_related("state", "state__customer", "state__site").defer("state__snapshot", "note")


def machine_line(machine: Machine, person: Person) -> MachineLine:
    """A machine's row as a line. What is the firm's own business (flags, stale) is shown to staff alone."""
    state: MachineState | None = getattr(machine, "state", None)
    if state is None:
        state = MachineState(machine=machine)
    staff = person.is_staff
    return MachineLine(
        id=str(machine.id),
        name=machine.name,
        number=machine.number,
        serial=machine.serial,
        plate=machine.plate,
        known=machine.known,
        kind=state.kind,
        sheet=state.sheet,
        sheet_title=state.sheet_title,
        customer=None if state.customer_id is None else str(state.customer_id),
        customer_name=state.customer.name if state.customer is not None else "",
        site=None if state.site_id is None else str(state.site_id),
        site_name=state.site.name if state.site is not None else "",
        hours=state.hours,
        hours_at=state.hours_at,
        per_day=state.per_day,
        open_findings=state.open_findings,
        open_jobs=state.open_jobs,
        flags=state.flags if staff else 0,
        next_task=state.next_task,
        next_likely=state.next_likely,
        stale=state.stale and staff,
    )


def due_line(row: DueRow) -> DueLine:
    """A due row as a line."""
    return DueLine(row.task, row.name, row.due_h, row.due_day, row.early, row.likely, row.late, row.by, row.rides_with)


def finding_line(row: FindingRow) -> FindingLine:
    """A finding's row as a line."""
    job = None if row.job is None else str(row.job)
    return FindingLine(str(row.fact), row.at, row.about, row.what, row.urgency, job, row.settled_at)


def job_line(row: JobRow) -> JobLine:
    """A job's row as a line."""
    return JobLine(
        job=str(row.job),
        machine=str(row.machine_id),
        opened_at=row.opened_at,
        closed_at=row.closed_at,
        tasks=tuple(row.tasks),
        tasks_done=tuple(row.tasks_done),
        visit=None if row.visit is None else str(row.visit),
        hours=row.hours,
    )
