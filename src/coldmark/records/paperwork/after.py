"""A job afterwards: what its report would tell now, and its entries, for the page that shows both."""

from __future__ import annotations

from dataclasses import dataclass

from coldmark.bench.errors import Missing
from coldmark.bench.sheet import Sheet
from coldmark.papers import data as paper
from coldmark.records.models import Person
from coldmark.records.paperwork.common import units_of
from coldmark.records.paperwork.report import JobRecord, paper_of
from coldmark.records.queries.jobs import JobPage, job_page
from coldmark.records.queries.story import Entry
from coldmark.records.queries.telling import names_for, tell_entry

__all__ = ["JobAfter", "job_after"]


@dataclass(frozen=True, slots=True)
class JobAfter:
    """A job as its page shows it: what the report would tell now (nothing without a data sheet), and its entries.

    ``findings`` are those of the report, each with the note that was made with it: for staff alone, it is in no report.
    """

    page: JobPage
    told: paper.ReportPaper | None
    findings: tuple[tuple[paper.FindingLine, str], ...]
    entries: tuple[tuple[Entry, str], ...]


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
    try:
        it = JobRecord(person, job)
        page, told, sheet = it.page, paper_of(it, ""), it.material.sheet
        notes = _notes(it, page)
    except Missing:  # no data sheet: what was recorded can be shown all the same
        page = job_page(person, job)
    names = names_for(page.entries, sheet, units_of(person))
    findings = () if told is None else tuple(zip(told.findings, notes, strict=True))
    return JobAfter(page, told, findings, tuple((one, tell_entry(one, names)) for one in page.entries))


def _notes(it: JobRecord, page: JobPage) -> tuple[str, ...]:
    """What was noted with each finding of a job; an owner's entries hold no such text."""
    said = {sha256: text or "" for entry in page.entries for sha256, text in entry.texts.items()}
    return tuple(said.get(found.note or "", "") for found in it.findings)
