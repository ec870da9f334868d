"""What all papers share: who issues them, the machine's name, days, and texts and photos by their hash."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import datetime

from django.utils import timezone

from coldmark.bench import words
from coldmark.bench.pictures import strokes
from coldmark.papers import data as paper
from coldmark.records import files
from coldmark.records.files import ATTACHMENTS, JPEG, STROKES, TEXT
from coldmark.records.models import Attachment, Person
from coldmark.records.numbers import read_store
from coldmark.records.queries.lines import MachineLine

__all__ = ["Kept", "business", "counted", "day_of", "machine_name", "units_of"]


def units_of(person: Person) -> words.UnitSystem:
    """The units in which a paper for this person is written."""
    return "us" if person.units == "us" else "metric"


def sheet_size(person: Person) -> str:
    """The paper's size: US letter goes with US units."""
    return "us-letter" if person.units == "us" else "a4"


def business() -> paper.Business:
    """Who issues papers."""
    row = read_store()
    lines = tuple(line.strip() for line in row.business_address.splitlines() if line.strip())
    return paper.Business(row.business_name or words.sentence("paper.no_name"), lines, row.business_phone)


def machine_name(line: MachineLine) -> paper.MachineName:
    """What a machine is called on paper."""
    name = line.name or line.number or line.serial or words.sentence("paper.unknown_machine")
    return paper.MachineName(name, line.sheet_title, line.serial)


def day_of(moment: datetime | str | None) -> str:
    """The day of a moment, in the workshop's time zone for one of the server, in the recorder's own for a fact's."""
    if moment is None:
        return ""
    if isinstance(moment, str):
        return words.day(datetime.fromisoformat(moment).date())
    return words.day(timezone.localtime(moment).date())


def counted(message: str, count: int) -> str:
    """What is said of one or of many; nothing of none."""
    return words.sentence(f"{message}.{'one' if count == 1 else 'many'}", count=count) if count else ""


class Kept:
    """Attachments of a paper, read once: texts, photos and signatures by hash; an erased one is empty."""

    def __init__(self, hashes: Iterable[str]) -> None:
        wanted = {one for one in hashes if one}
        rows = Attachment.objects.filter(sha256__in=wanted).values_list("sha256", "media_type", "erased_at")
        self._types = {sha256: media_type for sha256, media_type, erased_at in rows if erased_at is None}
        self.awaited = len(wanted) - len(rows)
        """How many were spoken of and are still on their way: a phone sends its photos after what it recorded."""
        self._photos: dict[str, str] = {}

    @property
    def hashes(self) -> frozenset[str]:
        """The hashes of what may be in the paper."""
        return frozenset(self._types)

    def _read(self, sha256: str | None, media_type: str) -> bytes | None:
        if sha256 is None or self._types.get(sha256) != media_type:
            return None
        return files.read(ATTACHMENTS, sha256)

    def text(self, sha256: str | None) -> str:
        """What a text says; empty when there is none."""
        content = self._read(sha256, TEXT)
        return "" if content is None else content.decode("utf-8")

    def photo(self, sha256: str) -> str | None:
        """The name by which a paper calls a photo; nothing when it is not there."""
        if self._types.get(sha256) != JPEG or not files.path_of(ATTACHMENTS, sha256).exists():
            return None
        name = f"{sha256}.jpg"
        self._photos[name] = sha256
        return name

    def pictures(self) -> dict[str, bytes]:
        """The photos that were named, to be handed over with the paper."""
        read = {name: files.read(ATTACHMENTS, sha256) for name, sha256 in self._photos.items()}
        return {name: content for name, content in read.items() if content is not None}

    def signature(self, sha256: str | None) -> str:
        """A signature as a drawing; empty when there is none, or only a name."""
        content = self._read(sha256, STROKES)
        if content is None:
            return ""
        told = json.loads(content)
        return strokes(told["strokes"], told["width"], told["height"]) if told["strokes"] else ""
