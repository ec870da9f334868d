"""A job afterwards: what its report would tell now, and its entries, for the page that shows both."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from coldmark.bench.errors import Missing
from coldmark.bench.sheet import Sheet
from coldmark.papers import data as paper
from coldmark.records.models import Person
from coldmark.records.paperwork.closing import closed_job, closing_paper
from coldmark.records.paperwork.common import counted, units_of
from coldmark.records.paperwork.report import JobRecord, paper_of
from coldmark.records.queries.jobs import JobPage, job_page
from coldmark.records.queries.story import Entry
from coldmark.records.queries.telling import names_for, tell_entry
from coldmark.records.worktime import CLOCK_KINDS, Stamp, WorkTime, work_times

__all__ = ["JobAfter", "job_after"]


@dataclass(frozen=True, slots=True)
class JobAfter:
    """A job as its page shows it: what the report would tell now (nothing without a data sheet), and its entries.

    ``findings`` are those of the report, each with the note that was made with it, and ``times`` how long each was at
    it, by name: for staff alone, and in no report. ``own`` is what the reader's own clock is on, and since when.
    ``late`` are the entries that came after the ``closing``, and ``awaited`` says what a phone has not sent yet.
    """

    page: JobPage
    told: paper.ReportPaper | None
    findings: tuple[tuple[paper.FindingLine, str], ...]
    entries: tuple[tuple[Entry, str], ...]
    times: tuple[tuple[str, WorkTime], ...]
    own: tuple[str, datetime] | None
    closing: paper.ClosingCode | None
    late: frozenset[str]
    awaited: str


def job_after(person: Person, job: str) -> JobAfter:
    """A job afterwards, as far as the person may see it.

    Raises
    ------
    NotFound
        When there is no such job for this person.
    """
    told: paper.ReportPaper | None = None
    sheet: Sheet | None = None
    notes: tuple[str, ...] = ()
    awaited = 0
    try:
        it = JobRecord(person, job)
        page, told, sheet, closed = it.page, paper_of(it, ""), it.material.sheet, it.closed
        notes, awaited = _notes(it, page), it.kept.awaited
    except Missing:  # no data sheet: what was recorded can be shown all the same
        page = job_page(person, job)
        closed = closed_job(page.machine.id, job)
    names = names_for(page.entries, sheet, units_of(person))
    findings = () if told is None else tuple(zip(told.findings, notes, strict=True))
    times = work_times(_stamps(page)) if person.is_staff else ()
    called = {one.person: one.person_name for one in page.entries}
    return JobAfter(
        page,
        told,
        findings,
        tuple((one, tell_entry(one, names)) for one in page.entries),
        tuple((called[one.person], one) for one in times),
        next((one.running[0] for one in times if one.person == str(person.id) and one.running), None),
        None if closed is None else told.closing if told is not None else closing_paper(closed),
        frozenset() if closed is None else closed.late,
        counted("web.job.awaited", awaited),
    )


def _stamps(page: JobPage) -> Iterator[Stamp]:
    for one in page.entries:
        if one.kind in CLOCK_KINDS and one.known and one.now is not None and not one.held:
            yield Stamp(one.person, one.kind == "clock_on", one.now["work"], one.at)


def _notes(it: JobRecord, page: JobPage) -> tuple[str, ...]:
    """What was noted with each finding of a job; an owner's entries hold no such text."""
    said = {sha256: text or "" for entry in page.entries for sha256, text in entry.texts.items()}
    return tuple(said.get(found.note or "", "") for found in it.findings)
