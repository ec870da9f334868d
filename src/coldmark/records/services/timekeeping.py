"""The clock of one's work on a job: on and off. It is the firm's own; no owner sees it and no report prints it."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from coldmark.bench.errors import Refused, require_choice
from coldmark.bench.facts import KINDS
from coldmark.records.access import require_staff
from coldmark.records.corrections import standing
from coldmark.records.errors import NotFound, refused, uuid_of
from coldmark.records.models import Fact, JobRow, Person
from coldmark.records.numbers import locked_store, moment
from coldmark.records.services.accepting import Kept, record
from coldmark.records.services.folding import refresh
from coldmark.records.worktime import CLOCK_KINDS, Stamp, work_times

__all__ = ["start_clock", "stop_clock"]

WORKS = KINDS["clock_on"].fields["work"].choices


def start_clock(person: Person, job: str, work: str, *, id: str | None = None, now: datetime | None = None) -> Kept:
    """Start one's clock on a job that is open: *work*, *travel* or *waiting*. With an ``id`` it is safe to repeat.

    Raises
    ------
    Refused
        When the job is closed, or one's clock on it runs already.
    """
    require_staff(person, "recording")
    require_choice("work", work, WORKS)
    with transaction.atomic():
        locked_store()  # of two presses at once the second sees the first
        before, row = _before(id), _job(job)
        if before is not None:
            return before
        if row.closed_at is not None:
            raise Refused("records.clock_closed", name="work")
        running = _running(person, row)
        if running is not None:
            raise Refused("records.clock_runs", name="work", since=_said(running[1]))
        kept = _record(person, "clock_on", row, work, id=id, now=now)
    refresh([row.machine_id])
    return kept


def stop_clock(
    person: Person, job: str, *, at: datetime | None = None, id: str | None = None, now: datetime | None = None
) -> Kept:
    """Stop one's clock on a job, now or at an earlier moment. With an ``id`` it is safe to repeat.

    Raises
    ------
    Refused
        When no clock of one's own runs on it, or ``at`` lies before it began or ahead.
    """
    require_staff(person, "recording")
    with transaction.atomic():
        locked_store()
        before, row = _before(id), _job(job)
        if before is not None:
            return before
        running = _running(person, row)
        if running is None:
            raise Refused("records.clock_stands", name="work")
        work, since = running
        if at is not None and not since <= at <= moment(now):
            raise refused("at", _said(at), f"a moment from {_said(since)} until now")
        kept = _record(person, "clock_off", row, work, at=at, id=id, now=now)
    refresh([row.machine_id])
    return kept


def _record(
    person: Person,
    kind: str,
    row: JobRow,
    work: str,
    *,
    at: datetime | None = None,
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    return record(person, kind, row.machine_id, {"work": work}, job=row.job, at=at, id=id, now=now, fold=False)


def _said(at: datetime) -> str:
    return f"{timezone.localtime(at):%Y-%m-%d %H:%M}"


def _before(id: str | None) -> Kept | None:
    row = None if id is None else Fact.objects.filter(id=uuid_of("id", id)).first()
    return None if row is None else Kept(str(row.id), row.arrival, row.text)


def _job(job: str) -> JobRow:
    row = JobRow.objects.filter(job=uuid_of("job", job)).first()
    if row is None:
        raise NotFound("job", job)
    return row


def _running(person: Person, job: JobRow) -> tuple[str, datetime] | None:
    """What a person's clock on a job is on, and since when; as far as what was recorded still holds."""
    rows = list(Fact.objects.filter(job=job.job, kind__in=CLOCK_KINDS, person=person.id).order_by("at", "number", "id"))
    stamps = [
        Stamp(fact.person, fact.kind == "clock_on", fact.body["work"], datetime.fromisoformat(fact.at))
        for fact in standing(rows).values()
        if fact.known
    ]
    times = work_times(stamps)
    return times[0].running[0] if times and times[0].running else None
