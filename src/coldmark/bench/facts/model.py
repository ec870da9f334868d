"""A fact: one thing recorded at one time by one person on one device."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from coldmark.bench.shapes import dataclass

__all__ = ["Body", "Fact", "SubjectType"]

SubjectType = Literal["machine", "visit", "van", "device"]
Body = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact as it was recorded, its body brought to the present version of its kind.

    ``version`` is the version in which it was written and ``text`` its canonical text, both unchanged. ``known`` is
    false for a kind or version that this program does not know, or a stored body that it cannot read: such a fact is
    kept as it is and flagged. ``at_ms`` and ``recorded_ms`` are the two moments in milliseconds since 1970-01-01 UTC.
    """

    id: str
    kind: str
    version: int
    subject_type: SubjectType
    subject: str
    job: str | None
    at: str
    recorded: str
    device: str
    number: int
    person: str
    app: str
    body: Body
    text: str
    known: bool
    at_ms: int
    recorded_ms: int
