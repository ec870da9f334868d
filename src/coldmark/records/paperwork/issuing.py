"""Issue the report of a job: put together, set, numbered, kept with the facts it was made from."""

from __future__ import annotations

from django.utils import timezone

from coldmark.bench import words
from coldmark.papers.render import pdf
from coldmark.records.access import require_staff
from coldmark.records.errors import uuid_of
from coldmark.records.models import Document, Person
from coldmark.records.paperwork.report import report_of
from coldmark.records.plain import Issued, issued_plain
from coldmark.records.services.documents import issue_document, next_document_number

__all__ = ["issue_report"]


def issue_report(person: Person, job: str, *, id: str | None = None) -> Issued:
    """Issue the service report of a job as it stands now. With an ``id`` of the caller's it is safe to repeat.

    Raises
    ------
    NotAllowed
        When the person does not belong to the firm.
    NotFound
        When there is no such job.
    Missing
        When the machine has no data sheet.
    """
    require_staff(person, "issuing documents")
    if id is not None:
        before = Document.objects.filter(id=uuid_of("id", id)).first()
        if before is not None:
            return issued_plain(before)
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
        now=at,
    )
