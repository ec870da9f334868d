"""Whom and what an issued document shows: told when it is issued, so that an erasure can find it."""

from __future__ import annotations

import uuid
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from coldmark.records.models import AttachmentUse, Document, Erasure, Fact, OwnerSpan, Site

__all__ = ["Shows", "documents_showing", "erased_so_far", "shows_of"]


@dataclass(frozen=True, slots=True)
class Shows:
    """Whose names a document bears, and which photos, texts and signatures are in it. What was erased shows no more."""

    people: tuple[str, ...] = ()
    customers: tuple[str, ...] = ()
    attachments: tuple[str, ...] = ()

    def plain(self) -> dict[str, list[str]]:
        """As it is kept, by what an erasure calls it."""
        return {
            "person": list(self.people),
            "customer": list(self.customers),
            "attachment": list(self.attachments),
        }


def erased_so_far() -> frozenset[tuple[str, str]]:
    """All that was erased until now. Asked before a document is put together, so that what goes later is noticed."""
    return frozenset(Erasure.objects.values_list("what", "target"))


def shows_of(
    people: Iterable[str],
    customer: str | None,
    site: str | None,
    attachments: Iterable[str],
    *,
    erased: Collection[tuple[str, str]],
) -> Shows:
    """What a document shows that names these people, a customer and a site, and holds these attachments."""
    customers = set() if customer is None else {customer}
    if site is not None:
        customers |= set(
            map(str, Site.objects.filter(id=site, customer__isnull=False).values_list("customer", flat=True))
        )
    return Shows(
        people=tuple(sorted(one for one in set(people) if ("person", one) not in erased)),
        customers=tuple(sorted(one for one in customers if ("customer", one) not in erased)),
        attachments=tuple(sorted(one for one in set(attachments) if ("attachment", one) not in erased)),
    )


def documents_showing(what: str, target: str) -> list[Document]:
    """The documents, not erased themselves, that show a person, a customer or an attachment."""
    rows = Document.objects.filter(erased_at__isnull=True).order_by("issued_at", "id")
    return [row for row in rows.iterator(chunk_size=500) if _shows(row, what, target)]


def _shows(row: Document, what: str, target: str) -> bool:
    told: Mapping[str, list[str]] | None = row.shows
    if told is not None:
        return target in told.get(what, ())
    # Issued before documents told: everybody and everything that its facts speak of.
    if what == "person":
        return Fact.objects.filter(id__in=row.facts, person=uuid.UUID(target)).exists()
    if what == "attachment":
        return AttachmentUse.objects.filter(sha256=target, fact__in=row.facts).exists()
    spans = OwnerSpan.objects.filter(customer=uuid.UUID(target), since__lte=row.issued_at)
    machine = spans.filter(machine=row.machine_id)
    return any(span.until is None or row.issued_at < span.until for span in machine)
