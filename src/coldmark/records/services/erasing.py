"""Erasing: what a person asked to have forgotten goes, the facts stay, and a restore forgets it again.

What was issued bears names too. Whether the law lets a business erase that, or makes it keep it, is not for a program
to say: the office says it with each erasure, and a document can be erased later by itself.

Each erasure is written to a file beside the database as well: a backup from before it does not know of it, and the
database that does may be the one that was lost.
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal

from django.conf import settings
from django.db import transaction

from coldmark.bench.errors import require_choice
from coldmark.records import files, parts
from coldmark.records.access import require_office
from coldmark.records.errors import NotFound, refused, uuid_of
from coldmark.records.models import Attachment, Customer, Device, DeviceKey, Document, Erasure, Machine, Person, Site
from coldmark.records.numbers import locked_store, moment
from coldmark.records.searching import refresh_search
from coldmark.records.showing import documents_showing

__all__ = ["SHELVES", "Erased", "erase", "erasures_file", "read_erasures", "replay"]

What = Literal["attachment", "document", "person", "customer"]
GONE = "—"
SHELVES = {"attachment": files.ATTACHMENTS, "document": files.DOCUMENTS}
"""What is erased by the hash of its content, and where that lies."""


@dataclass(frozen=True, slots=True)
class Erased:
    """One erasure: what, which, why, when, by whom."""

    id: str
    what: str
    target: str
    reason: str
    at: datetime
    by: str | None


def erase(
    person: Person, what: What, target: str, reason: str, *, documents: bool = False, now: datetime | None = None
) -> Erased:
    """Erase an attachment's or a document's content, or the names of a person or a customer. Twice is once.

    Parameters
    ----------
    person
        Who erases; must be of the office.
    what, target
        An attachment or a document by the hash of its content, a person or a customer by id.
    reason
        Why; it is kept.
    documents
        Whether the documents that show it are erased as well. Else they stay as they were issued.

    Raises
    ------
    Refused
        When the reason is missing, or ``what`` is none of the four.
    NotFound
        When there is no such thing.
    """
    require_office(person, "erasing")
    require_choice("what", what, tuple(_DO))
    if not reason.strip():
        raise refused("reason", "nothing", "why it is erased")
    if what == "person" and target == str(person.id):
        raise refused("target", person.name, "somebody else: nobody erases himself")
    done = _once(what, target, reason, moment(now), str(person.id))
    if documents and what != "document":
        for sha256 in _showing(what, target):
            _once("document", sha256, done.reason, done.at, done.by)
    return done


def _once(what: str, target: str, reason: str, at: datetime, by: str | None) -> Erased:
    before = Erasure.objects.filter(what=what, target=target).first()
    if before is not None:
        return _plain(before)
    if not _exists(what, target):
        raise NotFound(what, target)
    done = Erased(str(uuid.uuid4()), what, target, reason.strip()[:200], at, by)
    # The file first: better an erasure that is done twice than one that a restore does not know of.
    files.append_line(erasures_file(), _line(done))
    replay([done])
    return done


def _showing(what: str, target: str) -> list[str]:
    """The hashes of the documents that show what was just erased; whoever is issuing one meanwhile is waited for."""
    with transaction.atomic():
        locked_store()
        return [row.sha256 for row in documents_showing(what, target)]


def replay(erasures: Iterable[Erased]) -> None:
    """Do erasures (again): safe to repeat, and fine when the target is not there."""
    for one in erasures:
        with transaction.atomic():
            Erasure.objects.get_or_create(
                what=one.what,
                target=one.target,
                defaults={"id": one.id, "reason": one.reason, "at": one.at, "by": one.by},
            )
            _DO[one.what](one)
        if one.what in SHELVES:
            files.remove(SHELVES[one.what], one.target)
        if one.what == "attachment":
            files.remove(files.SMALL, one.target)
            parts.drop(one.target)


def erasures_file() -> Path:
    """Where erasures are written beside the database."""
    return Path(settings.COLDMARK_DATA) / "erasures.jsonl"


def read_erasures(text: str) -> list[Erased]:
    """Read erasures from lines of JSON; a last line cut short by a power cut is left out."""
    found: list[Erased] = []
    for line in text.split("\n"):  # and not where Unicode sees line ends as well: a reason may hold such letters
        try:
            told = json.loads(line)
            found.append(Erased(**{**told, "at": datetime.fromisoformat(told["at"])}))
        except (ValueError, TypeError, KeyError):
            continue
    return found


def lines(erasures: Iterable[Erased]) -> str:
    """Erasures as lines of JSON."""
    return "".join(_line(one) + "\n" for one in erasures)


def all_erasures() -> list[Erased]:
    """All that the database and the file beside it know of, each once."""
    known = {(row.what, row.target): _plain(row) for row in Erasure.objects.order_by("at", "id")}
    path = erasures_file()
    if path.exists():
        for one in read_erasures(path.read_text(encoding="utf-8")):
            known.setdefault((one.what, one.target), one)
    return list(known.values())


def _line(one: Erased) -> str:
    told = {"id": one.id, "what": one.what, "target": one.target, "reason": one.reason}
    return json.dumps({**told, "at": one.at.isoformat(), "by": one.by}, ensure_ascii=False, separators=(",", ":"))


def _plain(row: Erasure) -> Erased:
    return Erased(str(row.id), row.what, row.target, row.reason, row.at, None if row.by is None else str(row.by))


def _exists(what: str, target: str) -> bool:
    if what in SHELVES:
        by_hash = Attachment if what == "attachment" else Document
        return by_hash._default_manager.filter(sha256=target).exists()
    table = Person if what == "person" else Customer
    return table._default_manager.filter(pk=uuid_of("target", target)).exists()


def _erase_attachment(one: Erased) -> None:
    Attachment.objects.filter(sha256=one.target).update(size=0, erased_at=one.at, reason=one.reason)


def _erase_document(one: Erased) -> None:
    Document.objects.filter(sha256=one.target).update(size=0, erased_at=one.at, reason=one.reason)


def _erase_person(one: Erased) -> None:
    person = Person.objects.filter(id=one.target).first()
    if person is None:
        return
    person.name, person.sign_in, person.is_active, person.erased_at = GONE, f"erased-{person.id}", False, one.at
    person.set_unusable_password()
    person.save()
    Device.objects.filter(person=person).update(label="")
    Device.objects.filter(person=person, revoked_at__isnull=True).update(revoked_at=one.at)
    DeviceKey.objects.filter(person=person, revoked_at__isnull=True).update(revoked_at=one.at)


def _erase_customer(one: Erased) -> None:
    Customer.objects.filter(id=one.target).update(
        name=GONE, contact="", phone="", email="", address="", note="", erased_at=one.at
    )
    Site.objects.filter(customer=uuid.UUID(one.target)).update(name=GONE, address="", access="", lat=None, lon=None)
    refresh_search(Machine.objects.filter(state__customer=uuid.UUID(one.target)))


_DO = {
    "attachment": _erase_attachment,
    "document": _erase_document,
    "person": _erase_person,
    "customer": _erase_customer,
}
