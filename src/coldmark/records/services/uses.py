"""Which facts speak of which attachments."""

from __future__ import annotations

import re
import uuid
from collections.abc import Mapping
from typing import Any

from coldmark.bench.facts import KINDS, Fact
from coldmark.records.models import AttachmentUse
from coldmark.records.numbers import utc

__all__ = ["uses_of"]


def uses_of(fact: Fact) -> list[AttachmentUse]:
    """Which attachments a fact speaks of, by the types of its kind's fields; a correction by those of its new body."""
    if not fact.known:
        return []
    named: list[tuple[str, str]] = []
    bodies: list[Mapping[str, Any]] = [fact.body]
    if isinstance(fact.body.get("body"), Mapping):
        bodies.append(fact.body["body"])
    for body in bodies:
        for field, value in body.items():
            if field in _ATTACHED:
                named += [(field, sha256) for sha256 in ([value] if isinstance(value, str) else value or [])]
    return [
        AttachmentUse(
            sha256=sha256,
            fact=uuid.UUID(fact.id),
            field=field,
            kind=fact.kind,
            subject=uuid.UUID(fact.subject),
            at=utc(fact.at_ms),
        )
        for field, sha256 in dict.fromkeys(named)
        if isinstance(sha256, str) and _IS_HASH(sha256)
    ]


_IS_HASH = re.compile("[0-9a-f]{64}").fullmatch
_NOT_ATTACHED = {("sheet_assigned", "sheet"), ("document_issued", "content")}
_ATTACHED = frozenset(
    name
    for kind in KINDS.values()
    for name, field in kind.fields.items()
    if field.type in {"hash", "hashes"} and (kind.name, name) not in _NOT_ATTACHED
)
