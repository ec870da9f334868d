"""Issuing documents: the bytes are kept by their hash, with the ids of the facts they were made from."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from coldmark.bench.errors import OutOfRange, require_choice
from coldmark.bench.facts import KINDS
from coldmark.records import files
from coldmark.records.access import documents_seen, require_staff, spans_of
from coldmark.records.errors import NotFound, refused, uuid_of
from coldmark.records.models import Document, Fact, Machine, Person
from coldmark.records.numbers import locked_store, moment
from coldmark.records.plain import Issued, issued_plain
from coldmark.records.services.accepting import record
from coldmark.records.services.folding import refresh

__all__ = ["DocumentContent", "issue_document", "next_document_number", "read_document"]

WHATS = KINDS["document_issued"].fields["what"].choices
LARGEST = 30_000_000


@dataclass(frozen=True, slots=True)
class DocumentContent:
    """A document to hand out."""

    issued: Issued
    media_type: str
    content: bytes


def next_document_number(now: datetime | None = None) -> str:
    """The number that the next document gets if none is issued meanwhile: to be printed on it."""
    with transaction.atomic():
        return _number(locked_store().next_document, moment(now))


def issue_document(
    person: Person,
    *,
    what: str,
    machine: str,
    content: bytes,
    facts: Iterable[str],
    job: str | None = None,
    number: str | None = None,
    id: str | None = None,
    now: datetime | None = None,
) -> Issued:
    """Keep a document's bytes, give it its number, and record that it was issued.

    Parameters
    ----------
    person
        Who issues it; must belong to the firm.
    what
        *report*, *card*, *quote* or *invoice*.
    machine, job
        What it is about.
    content
        The PDF.
    facts
        Ids of the facts it was made from; all must be kept here.
    number
        The number printed on it, as :func:`next_document_number` told. Refused when another document took it.
    id
        An id of the caller's makes it safe to repeat.
    """
    require_staff(person, "issuing documents")
    require_choice("what", what, WHATS)
    if not content.startswith(b"%PDF-"):
        raise refused("content", "these bytes", "a PDF")
    if len(content) > LARGEST:
        raise OutOfRange(name="size", value=len(content), low=1, high=LARGEST, source="bytes of a document")
    at = moment(now)
    subject = uuid_of("machine", machine)
    used = sorted({str(uuid_of("facts", fact)) for fact in facts})
    if not Machine.objects.filter(id=subject).exists():
        raise NotFound("machine", machine)
    if Fact.objects.filter(id__in=used).count() != len(used):
        raise refused("facts", "an id that is not kept here", "ids of kept facts")
    sha256 = files.keep(files.DOCUMENTS, content)
    with transaction.atomic():
        store = locked_store()
        row_id = uuid.uuid4() if id is None else uuid_of("id", id)
        before = Document.objects.filter(id=row_id).first()
        if before is not None:
            return issued_plain(before)
        given = _number(store.next_document, at)
        if number is not None and number != given:
            raise refused("number", number, f"{given}, as another document was issued meanwhile; make it again")
        store.next_document += 1
        store.save(update_fields=["next_document"])
        row = Document.objects.create(
            id=row_id,
            number=given,
            what=what,
            job=None if job is None else uuid_of("job", job),
            machine_id=subject,
            sha256=sha256,
            size=len(content),
            facts=used,
            issued_at=at,
            issued_by=person,
        )
        body = {"document": str(row_id), "what": what, "content": sha256}
        record(person, "document_issued", subject, body, job=row.job, at=at, now=at, fold=False)
    refresh([subject])
    return issued_plain(row)


def read_document(person: Person, document: str) -> DocumentContent:
    """Return a document that the person may see, else *not found*."""
    row = Document.objects.filter(id=uuid_of("document", document)).first()
    if row is not None and documents_seen(spans_of(person, row.machine_id), [row]):
        content = files.read(files.DOCUMENTS, row.sha256)
        if content is not None:
            return DocumentContent(issued_plain(row), row.media_type, content)
    raise NotFound("document", document)


def _number(count: int, at: datetime) -> str:
    return f"{at:%Y}-{count:05d}"
