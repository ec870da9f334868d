"""One reason of an answer about an oil, and how answers weigh against each other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field
from typing import Literal

from coldmark.bench.shapes import dataclass
from coldmark.bench.words import Value

__all__ = ["Answer", "Reason", "weightiest"]

Answer = Literal["yes", "yes_with_notes", "no", "unknown"]

# One reason against it is enough; then what is not known; then what is to be noted.
_WEIGHT: dict[Answer, int] = {"no": 3, "unknown": 2, "yes_with_notes": 1, "yes": 0}


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason: a message id with its values, and what it alone would answer."""

    message: str
    weighs: Answer
    values: Mapping[str, Value] = field(default_factory=dict)


def weightiest(reasons: Iterable[Reason]) -> tuple[Reason, ...]:
    """Return the reasons, the weightiest first, those of one weight in the order in which they came."""
    return tuple(sorted(reasons, key=lambda reason: -_WEIGHT[reason.weighs]))
