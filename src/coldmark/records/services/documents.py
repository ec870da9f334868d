"""Issuing documents: the bytes are kept by their hash, with the ids of the facts they were made from.

A document is made before it is issued, with its number on it. Whoever comes second with the same number makes it anew;
when the first was the very same document of the same job, that one is the answer to both.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import Q

from coldmark.bench.errors import OutOfRange, Refused, require_choice
from coldmark.bench.facts import KINDS
from coldmark.records import files
from coldmark.records.access import documents_seen, require_staff, spans_of
from coldmark.records.errors import NotFound, refused, uuid_of
from coldmark.records.models import Document, Erasure, Fact, Machine, Person
from coldmark.records.numbers import locked_store, moment
from coldmark.records.plain import Issued, issued_plain
from coldmark.records.services.accepting import record
from coldmark.records.services.folding import refresh
from coldmark.records.showing import Shows

__all__ = [
    "DocumentContent",
    "Overtaken",
    "issue_document",
    "issued_before",
    "next_document_number",
    "read_document",
]

WHATS = KINDS["document_issued"].fields["what"].choices
LARGEST = 30_000_000


@dataclass(frozen=True, slots=True)
class DocumentContent:
    """A document to hand out; ``content`` is ``None`` when it was erased."""

    issued: Issued
    media_type: str
    content: bytes | None


class Overtaken(Refused):
    """What was made to be issued no longer holds: its number was taken, or something in it was erased meanwhile."""


def issued_before(id: str, job: str | None = None) -> Issued | None:
    """The document that was issued under an id of the caller's, or given as the answer to it."""
    row_id = uuid_of("id", id)
    row = Document.objects.filter(id=row_id).first()
    if row is None and job is not None:
        listed = Document.objects.filter(job=uuid_of("job", job)).only("answered", "id")
        row = next((one for one in listed if str(row_id) in one.answered), None)
    return None if row is None else issued_plain(row)


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
    shows: Shows | None = None,
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
        The number printed on it, as :func:`next_document_number` told.
    id
        An id of the caller's makes it safe to repeat.
    shows
        Whose names and which attachments are in it; what its facts speak of unless told.

    Returns
    -------
    Issued
        The document, or the very same one that somebody else issued since ``number`` was told.

    Raises
    ------
    Overtaken
        When another document took the number, or something shown was erased meanwhile: to be made anew.
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
    row_id = uuid.uuid4() if id is None else uuid_of("id", id)
    row = Document(
        id=row_id,
        number=number or "",
        what=what,
        job=None if job is None else uuid_of("job", job),
        machine_id=subject,
        size=len(content),
        facts=used,
        issued_at=at,
        issued_by=person,
        shows=None if shows is None else shows.plain(),
    )
    issued, new = _numbered(row, content)
    if new:
        refresh([subject])
    return issued


def _numbered(row: Document, content: bytes) -> tuple[Issued, bool]:
    """Keep a document under its number, unless it is there already; say whether it is new."""
    with transaction.atomic():
        store = locked_store()
        before = Document.objects.filter(id=row.id).first()
        if before is not None:
            return issued_plain(before), False
        given = _number(store.next_document, row.issued_at)
        if row.number not in ("", given):
            same = _the_same(row)
            if same is None:
                raise Overtaken("records.number_taken", name="number", value=row.number, right=given)
            same.answered = [*same.answered, str(row.id)]
            same.save(update_fields=["answered"])
            return issued_plain(same), False
        if _erased_meanwhile(row):
            raise Overtaken("records.erased_meanwhile", name="content", value=row.number)
        # The file before the row, so that a row has its file; and under the lock, so that what comes to be no document
        # leaves no names and photos lying about.
        row.number, row.sha256 = given, files.keep(files.DOCUMENTS, content)
        store.next_document += 1
        store.save(update_fields=["next_document"])
        row.save(force_insert=True)
        body = {"document": str(row.id), "what": row.what, "content": row.sha256}
        record(
            row.issued_by,
            "document_issued",
            row.machine_id,
            body,
            job=row.job,
            at=row.issued_at,
            now=row.issued_at,
            fold=False,
        )
    return issued_plain(row), True


def _the_same(row: Document) -> Document | None:
    """What somebody else issued of the same job since the number was told, from the same facts, in the same units."""
    if row.job is None:
        return None
    since = Document.objects.filter(job=row.job, what=row.what, number__gte=row.number, erased_at__isnull=True)
    alike = since.filter(issued_by__units=row.issued_by.units).order_by("-number")
    return next((one for one in alike if one.facts == row.facts and one.shows == row.shows), None)


def _erased_meanwhile(row: Document) -> bool:
    shown = Q(pk__in=())
    for what, targets in (row.shows or {}).items():
        shown |= Q(what=what, target__in=targets)
    return Erasure.objects.filter(shown).exists()


def read_document(person: Person, document: str) -> DocumentContent:
    """Return a document that the person may see, else *not found*."""
    row = Document.objects.filter(id=uuid_of("document", document)).first()
    if row is not None and documents_seen(spans_of(person, row.machine_id), [row]):
        content = None if row.erased_at is not None else files.read(files.DOCUMENTS, row.sha256)
        if content is not None or row.erased_at is not None:
            return DocumentContent(issued_plain(row), row.media_type, content)
    raise NotFound("document", document)


def _number(count: int, at: datetime) -> str:
    return f"{at:%Y}-{count:05d}"
