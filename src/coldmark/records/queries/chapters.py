"""A machine's story as people tell it: each job as one thing, and what was recorded without a job entry by entry.

A job's dozens of entries are counted, and only those are read that say what became of the machine. All of them are
one step away.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Min, Q, QuerySet

from coldmark.bench.errors import ColdmarkError
from coldmark.records.access import Span, inside, owner_facts, require_machine
from coldmark.records.errors import NotFound, refused, uuid_of
from coldmark.records.models import Fact, JobRow, MachineState, Person
from coldmark.records.queries.lines import JobLine, job_line
from coldmark.records.queries.story import Entry, entries_of

__all__ = ["Chapter", "Chapters", "chapters", "job_entries"]

PAGE = 30
ROUTINE = frozenset({"caution_acknowledged", "clock_off", "clock_on", "part_out", "signature", "step_done"})
"""How a job was gone about. It is in all its entries, and not what is still asked of it years later."""


@dataclass(frozen=True, slots=True)
class Chapter:
    """A job, or one entry that belongs to none: then ``job`` is ``None`` and ``entries`` holds that one.

    ``line`` is the job as far as its facts go, where the person may open its page. ``count`` says how many entries it
    has in all; an owner, who sees some of them, is not told it.
    """

    at: datetime
    job: str | None
    line: JobLine | None
    entries: tuple[Entry, ...]
    count: int | None


@dataclass(frozen=True, slots=True)
class Chapters:
    """A page of a story, latest first; ``further`` is handed back to get the next page, ``None`` at the end."""

    chapters: tuple[Chapter, ...]
    further: str | None


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a chapter stands in the story: a job at its first entry, so that what follows does not move it."""

    at: datetime
    id: uuid.UUID
    count: int | None


def chapters(person: Person, machine: str, *, before: str | None = None, size: int = PAGE) -> Chapters:
    """A page of a machine's story by jobs, as far as the person may see it. At most ten queries."""
    id = uuid_of("machine", machine)
    spans = require_machine(person, id)
    seen = _seen(id, spans)
    places = _places(seen, before, size + 1)
    shown = places[:size]
    further = f"{shown[-1].at.isoformat()}~{shown[-1].id}" if len(places) > size else None
    jobs = [place.id for place in shown if place.count is not None]
    singles = [place.id for place in shown if place.count is None]
    rows = seen.filter(Q(id__in=singles) | (Q(job__in=jobs) & ~Q(kind__in=ROUTINE))) if shown else ()
    listed = entries_of(person, sorted(rows, key=lambda row: (row.at, row.number, row.id)))
    lines = {row.job: job_line(row) for row in JobRow.objects.filter(job__in=jobs, machine=id)} if jobs else {}
    by_place: dict[str, list[Entry]] = {}
    for entry in listed:
        by_place.setdefault(entry.job or entry.fact, []).append(entry)
    made = (_chapter(place, lines.get(place.id), by_place.get(str(place.id), []), spans) for place in shown)
    return Chapters(tuple(one for one in made if one.entries or one.count), further)


def _chapter(place: _Place, line: JobLine | None, entries: Sequence[Entry], spans: Sequence[Span] | None) -> Chapter:
    if line is not None and (line.opened_at is None or not inside(spans, line.opened_at)):
        line = None
    return Chapter(
        at=place.at,
        job=None if place.count is None else str(place.id),
        line=line,
        entries=tuple(entries),
        count=place.count if spans is None else None,
    )


def job_entries(person: Person, machine: str, job: str) -> tuple[Entry, ...]:
    """All entries of a job on a machine in time order, as far as the person may see them, else *not found*."""
    id = uuid_of("machine", machine)
    rows = _seen(id, require_machine(person, id)).filter(job=uuid_of("job", job))
    found = entries_of(person, list(rows.order_by("at", "number", "id")))
    if not found:
        raise NotFound("job", job)
    return found


def _seen(machine: uuid.UUID, spans: Sequence[Span] | None) -> QuerySet[Fact]:
    """The facts of a machine that its story is made of, without corrections, which stand with what they correct."""
    joined = MachineState.objects.filter(joined_into=machine).values("machine")
    of_it = Q(subject=machine) | Q(subject__in=joined)
    found = Fact.objects.filter(of_it, subject_type="machine", corrects__isnull=True)
    return found if spans is None else found.filter(owner_facts(spans), held_apart=False)


def _places(seen: QuerySet[Fact], before: str | None, size: int) -> list[_Place]:
    """Where the next chapters stand, latest first: single entries and jobs, each asked for once."""
    singles = seen.filter(job__isnull=True)
    jobs = seen.filter(job__isnull=False).values("job").annotate(first=Min("at"), count=Count("id"))
    if before is not None:
        at, id = _cursor(before)
        singles = singles.filter(Q(at__lt=at) | Q(at=at, id__lt=id))
        jobs = jobs.filter(Q(first__lt=at) | Q(first=at, job__lt=id))
    found = [_Place(one.at, one.id, None) for one in singles.order_by("-at", "-id").only("at", "id")[:size]]
    for one in jobs.order_by("-first", "-job")[:size]:
        if one["job"] is not None:
            found.append(_Place(one["first"], one["job"], one["count"]))
    return sorted(found, key=lambda place: (place.at, place.id), reverse=True)[:size]


def _cursor(text: str) -> tuple[datetime, uuid.UUID]:
    at, _mark, id = text.partition("~")
    try:
        return datetime.fromisoformat(at), uuid_of("before", id)
    except (ValueError, ColdmarkError):
        raise refused("before", text, "what the page before gave") from None
