"""Keeping the texts that say what machines and oils are: named by their hash, never rewritten."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet

from coldmark.bench.errors import Missing
from coldmark.bench.oil import from_text, text_hash
from coldmark.bench.sheet import read
from coldmark.records.access import require_staff
from coldmark.records.models import MachineState, OilVersion, Person, SheetVersion
from coldmark.records.numbers import moment
from coldmark.records.services.folding import refresh

__all__ = ["OilKept", "SheetKept", "keep_oil", "keep_sheet"]


@dataclass(frozen=True, slots=True)
class SheetKept:
    """A sheet that is kept: its hash, its title, and whether it was known before."""

    sha256: str
    title: str
    known: bool


def keep_sheet(person: Person, text: str, *, now: datetime | None = None) -> SheetKept:
    """Check a data sheet's text and keep it unchanged.

    Raises
    ------
    SheetFaults
        With all its faults: line, key, value, and what would be right.
    """
    require_staff(person, "keeping sheets")
    sheet = read(text)
    title = f"{sheet.maker} {sheet.model}".strip()[:200]
    _row, made = SheetVersion.objects.get_or_create(
        sha256=sheet.sha256, defaults={"text": text, "title": title, "kind": sheet.kind, "kept_at": moment(now)}
    )
    if made:
        # A fact may have named it before it came; such machines are folded again, now with their sheet.
        _fold_anew(MachineState.objects.filter(sheet=sheet.sha256))
    return SheetKept(sheet.sha256, title, not made)


@dataclass(frozen=True, slots=True)
class OilKept:
    """An oil that is kept: its hash, its key, its name, and whether this text was known before."""

    sha256: str
    key: str
    name: str
    known: bool


def keep_oil(person: Person, text: str, *, now: datetime | None = None) -> OilKept:
    """Check an oil's text and keep it unchanged.

    Raises
    ------
    Refused
        Naming the key, its value and what would be right.
    """
    require_staff(person, "keeping oils")
    oil = from_text(text)
    if not oil.key:
        raise Missing(name="key", needed_for="calling the oil by it in facts")
    sha256 = text_hash(text)
    first = not OilVersion.objects.exists()
    new_key = not OilVersion.objects.filter(key=oil.key).exists()
    _row, made = OilVersion.objects.get_or_create(
        sha256=sha256, defaults={"key": oil.key, "text": text, "kept_at": moment(now)}
    )
    if new_key:
        # Oils that nobody had entered were flagged where they were poured in; as long as there were none, none was.
        _fold_anew(MachineState.objects.filter(snapshot__contains='"oil":"' if first else "flag.oil_not_known"))
    return OilKept(sha256, oil.key, oil.name, not made)


def _fold_anew(states: QuerySet[MachineState]) -> None:
    machines = list(states.values_list("machine_id", flat=True))
    MachineState.objects.filter(machine__in=machines).update(stale=True, snapshot="", folded_to=0)
    refresh(machines)
