"""What the records refuse beyond wrong values: what is not there, what this person may not do, and waiting."""

from __future__ import annotations

import uuid

from coldmark.bench.errors import ColdmarkError, Refused

__all__ = ["NotAllowed", "NotFound", "NotNow", "refused", "uuid_of"]


class NotFound(ColdmarkError):
    """There is no such thing, or this person may not know of it: the two are not told apart."""

    def __init__(self, what: str, value: object) -> None:
        super().__init__("records.not_found", what=what, value=str(value)[:80])


class NotAllowed(ColdmarkError):
    """This person's role does not include it."""

    def __init__(self, what: str, role: str) -> None:
        super().__init__("records.not_allowed", what=what, role=role)


class NotNow(ColdmarkError):
    """Too many tries; ``wait_s`` seconds must pass before the next."""

    def __init__(self, wait_s: int) -> None:
        self.wait_s = wait_s
        super().__init__("records.wait", wait=str(wait_s))


def refused(name: str, value: object, right: str) -> Refused:
    """A refusal that names the field, the value and what would be right."""
    return Refused("records.field", name=name, field=name, value=str(value)[:120], right=right)


def uuid_of(name: str, value: str | uuid.UUID) -> uuid.UUID:
    """Read an id; anything that is none is refused with its name."""
    if isinstance(value, uuid.UUID):
        return value
    try:
        return uuid.UUID(value)
    except (ValueError, AttributeError, TypeError):
        raise refused(name, value, "an id like 019ccf2c-4a20-7000-8000-000000000001") from None
