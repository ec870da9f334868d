"""The latest of several machines' stories at once, in sentences: what a phone takes along to read."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.db.models import F, Window
from django.db.models.functions import RowNumber
from django.utils import timezone

from coldmark.bench import words
from coldmark.bench.sheet import Sheet
from coldmark.records.models import Attachment, Fact, JobRow, Person
from coldmark.records.queries.chapters import ROUTINE, Chapter
from coldmark.records.queries.lines import job_line
from coldmark.records.queries.story import Entry, entries_of
from coldmark.records.queries.telling import Names, names_for, tell_entry
from coldmark.records.queries.telling_jobs import tell_job

__all__ = ["MachineStory", "stories"]

MOST_JOBS = 3
MOST_SINGLES = 8
MOST_TOLD = 8
MOST_PHOTOS = 6


@dataclass(frozen=True, slots=True)
class MachineStory:
    """What is told of a machine, latest first, and its latest photos by hash."""

    told: Sequence[Mapping[str, Any]]
    photos: Sequence[str]


def stories(
    person: Person,
    of_record: Mapping[uuid.UUID, uuid.UUID],
    jobs: Mapping[uuid.UUID, Sequence[JobRow]],
    sheets: Mapping[uuid.UUID, Sheet | None],
    units: words.UnitSystem,
) -> dict[uuid.UUID, MachineStory]:
    """The latest jobs and the latest entries of no job of each machine, for staff. A fixed number of queries.

    Parameters
    ----------
    person
        Who reads.
    of_record
        The machine that each record is, joined ones among them.
    jobs
        Each machine's jobs, latest first.
    sheets
        Each machine's sheet.
    units
        The reader's units.
    """
    latest = {row.job: row for rows in jobs.values() for row in rows[:MOST_JOBS]}
    rows = _facts(of_record, latest)
    machine_of = {str(row.id): of_record[row.subject] for row in rows}
    entries = [one for one in entries_of(person, rows) if not one.held]
    names = names_for(entries, None, units)
    by_machine: dict[uuid.UUID, list[Entry]] = {}
    for entry in entries:
        by_machine.setdefault(machine_of[entry.fact], []).append(entry)
    erased = _erased(photo for entry in entries for photo in entry.photos)
    return {
        machine: _story(listed, latest, replace(names, sheet=sheets.get(machine)), erased)
        for machine, listed in by_machine.items()
    }


def _facts(of_record: Mapping[uuid.UUID, uuid.UUID], jobs: Iterable[uuid.UUID]) -> list[Fact]:
    of_them = Fact.objects.filter(
        subject__in=of_record, subject_type="machine", corrects__isnull=True, held_apart=False
    )
    numbered = Window(RowNumber(), partition_by=F("subject"), order_by=[F("at").desc(), F("id").desc()])
    singles = of_them.filter(job__isnull=True).annotate(place=numbered).filter(place__lte=MOST_SINGLES)
    told = of_them.filter(job__in=list(jobs)).exclude(kind__in=ROUTINE)
    rows = {row.id: row for row in (*singles, *told)}
    return sorted(rows.values(), key=lambda row: (row.at, row.number, row.id))


def _erased(photos: Iterable[str]) -> set[str]:
    gone = Attachment.objects.filter(sha256__in=set(photos), erased_at__isnull=False)
    return set(gone.values_list("sha256", flat=True))


def _story(entries: Sequence[Entry], jobs: Mapping[uuid.UUID, JobRow], names: Names, erased: set[str]) -> MachineStory:
    told: list[tuple[Any, dict[str, Any]]] = []
    by_job: dict[str, list[Entry]] = {}
    for entry in entries:
        if entry.job is not None:
            by_job.setdefault(entry.job, []).append(entry)
        elif entry.now is not None:
            says = [tell_entry(entry, replace(names, texts=entry.texts))]
            told.append((entry.at, _line(entry, None, says, [entry.person_name])))
    for job, listed in by_job.items():
        row = jobs.get(uuid.UUID(job))
        chapter = Chapter(listed[0].at, job, None if row is None else job_line(row), tuple(listed), None)
        made = tell_job(chapter, names)
        head = ", ".join((*made.tasks, *([made.hours] if made.hours else [])))
        says = [head[:1].upper() + head[1:] if head else "", *(line.says for line in made.lines)]
        told.append((listed[0].at, _line(listed[0], job, [one for one in says if one], made.mechanics)))
    told.sort(key=lambda one: one[0], reverse=True)
    seen = [photo for entry in reversed(entries) if entry.now is not None for photo in entry.photos]
    photos = [photo for photo in dict.fromkeys(seen) if photo not in erased]
    return MachineStory([line for _at, line in told[:MOST_TOLD]], photos[:MOST_PHOTOS])


def _line(entry: Entry, job: str | None, says: Sequence[str], by: Iterable[str]) -> dict[str, Any]:
    day = timezone.localtime(entry.at).date().isoformat()
    return {"day": day, "job": job, "says": list(says), "by": ", ".join(name for name in by if name)}
