"""Recording that a part which was at hand is not the right one, so that nobody brings it again."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from coldmark.bench.errors import require_choice
from coldmark.bench.facts import KINDS
from coldmark.records.errors import refused
from coldmark.records.models import Person
from coldmark.records.services.accepting import Kept
from coldmark.records.services.telling import keep_text, record_of

__all__ = ["refuse_part"]


def refuse_part(
    person: Person,
    machine: str,
    place: str,
    number: str,
    why: str,
    note: str = "",
    *,
    at: datetime | None = None,
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    """Record that the part with this number is not the right one for a place, and what is wrong with it.

    Raises
    ------
    Refused
        Naming the field, its value and what would be right.
    """
    require_choice("why", why, KINDS["part_refused"].fields["why"].choices)
    if not number.strip():
        raise refused("number", "nothing", "the number that stands on the part")
    if not place.strip():
        raise refused("place", "nothing", "the place that it was meant for")
    body: dict[str, Any] = {"place": place.strip(), "number": " ".join(number.split()), "why": why}
    sha256 = keep_text(person, note)
    if sha256 is not None:
        body["note"] = sha256
    return record_of(person, "part_refused", machine, body, at=at, id=id, now=now)
