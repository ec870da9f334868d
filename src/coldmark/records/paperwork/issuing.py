"""Issue the report of a job: put together, set, numbered, kept with the facts it was made from."""

from __future__ import annotations

from django.utils import timezone

from coldmark.bench import words
from coldmark.papers.render import pdf
from coldmark.records.access import require_staff
from coldmark.records.models import Person
from coldmark.records.paperwork.report import report_of
from coldmark.records.plain import Issued
from coldmark.records.services.documents import Overtaken, issue_document, issued_before, next_document_number

__all__ = ["issue_report"]

MOST_TRIES = 6


def issue_report(person: Person, job: str, *, id: str | None = None) -> Issued:
    """Issue the service report of a job as it stands now. With an ``id`` of the caller's it is safe to repeat.

    Two who issue the same report at the same moment get the same one.

    Raises
    ------
    NotAllowed
        When the person does not belong to the firm.
    NotFound
        When there is no such job.
    Missing
        When the machine has no data sheet.
    Overtaken
        When others issue so many documents meanwhile that no number stays free for long enough.
    """
    require_staff(person, "issuing documents")
    before = None if id is None else issued_before(id, job)
    if before is not None:
        return before
    for _try in range(MOST_TRIES - 1):
        try:
            return _issue(person, job, id)
        except Overtaken:
            continue  # made anew, with the next number and without what was erased
    return _issue(person, job, id)


def _issue(person: Person, job: str, id: str | None) -> Issued:
    at = timezone.now()
    number = next_document_number(at)
    made = report_of(person, job, number=number)
    content = pdf("report", made.paper, labels=words.labels("paper.report."), pictures=made.pictures, issued=at)
    return issue_document(
        person,
        what="report",
        machine=made.machine,
        content=content,
        facts=made.facts,
        job=job,
        number=number,
        id=id,
        shows=made.shows,
        now=at,
    )
