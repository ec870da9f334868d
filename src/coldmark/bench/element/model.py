"""Elements laid side by side: what can be seen, what can be measured, and what nobody can see."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Literal, Protocol

from coldmark.bench.errors import require_above
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Working

__all__ = [
    "ENDS",
    "FEATURES",
    "SEEN",
    "SIGHTS",
    "UNSEEN",
    "Answer",
    "Comparison",
    "Element",
    "Ends",
    "Judged",
    "Named",
    "Reject",
    "Seen",
    "tolerance_mm",
]

Seen = Literal["same", "in_doubt", "different", "not_looked"]
SEEN: tuple[Seen, ...] = ("same", "in_doubt", "different", "not_looked")

SIGHTS = ("length", "upper_end", "lower_end", "seal", "spigot")
"""What is looked at with new and old side by side, in this order: length against length, both ends, the seal, and the
opening or spigot on which it sits."""

Ends = Literal["alike", "differ", "not_looked"]
ENDS: tuple[Ends, ...] = ("alike", "differ", "not_looked")

UNSEEN: Mapping[str, tuple[str, ...]] = {
    "bypass": ("bypass",),
    "collapse": ("collapse",),
    "rating": ("rating", "beta"),
    "media": ("media",),
}
"""What no eye and no calliper finds, with the features by which a data sheet may name it."""

# How far two good elements may differ [mm]: common practice, no source.
_TOLERANCES_MM: Mapping[str, float] = {
    "length_mm": 1.0,
    "outer_mm": 1.0,
    "inner_mm": 0.3,
    "upper_mm": 0.3,
    "lower_mm": 0.3,
    "spigot_mm": 0.2,
    "section_mm": 0.15,
}
_OTHER_MM = 0.5

FEATURES = tuple(_TOLERANCES_MM)
"""What a calliper is put to: length, outside, the opening that it sits on, the openings of both ends, the outside of a
spigot of its own, and the thickness of its seal."""

Answer = Literal["fits", "in_doubt", "does_not_fit", "unproven"]


def tolerance_mm(feature: str) -> float:
    """Return how far two good elements may differ in a feature [mm].

    >>> tolerance_mm("length_mm"), tolerance_mm("flange_mm")
    (1.0, 0.5)
    """
    return _TOLERANCES_MM.get(feature, _OTHER_MM)


class Named(Protocol):
    """What a data sheet says of a part: :class:`coldmark.bench.sheet.Part` has it."""

    @property
    def number(self) -> str:
        """The number on it."""

    @property
    def features(self) -> Mapping[str, float]:
        """What can be measured on a new one, by names that end in a unit."""

    @property
    def serial_from(self) -> str:
        """First serial number of the machines that take it; empty: from the first on."""

    @property
    def serial_to(self) -> str:
        """Last serial number of the machines that take it; empty: to the last."""


@dataclass(frozen=True, slots=True)
class Element:
    """An element in hand: the number on it, as far as it can be read, and what was measured, by names in mm."""

    number: str = ""
    features: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for name, value in self.features.items():
            require_above(name, value, 0, "what a calliper can tell")


@dataclass(frozen=True, slots=True)
class Reject:
    """A part that was found to be the wrong one on this machine before: its number, the place, and the day.

    ``why`` is what was wrong with it, a choice of the kind of fact ``part_refused``; empty where nobody told.
    """

    number: str
    place: str
    day: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class Judged:
    """One feature: what is said of it, as a message id with its values."""

    feature: str
    answer: Answer
    message: str
    values: Mapping[str, str | float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Comparison:
    """Is this the right element: the answer, and what is said of each feature.

    ``answer`` is *fits* as far as eye and calliper can tell, *in doubt* while something is to be looked at or measured
    (``measure`` names the features), or *does not fit*. ``upside_down``: it may go in ``either_way`` up, only
    ``one_way``, it is ``mistakable`` (it goes in upside down, though it must not), or that is ``unproven``.
    """

    answer: Literal["fits", "in_doubt", "does_not_fit"]
    judged: tuple[Judged, ...]
    measure: tuple[str, ...]
    upside_down: Literal["either_way", "one_way", "mistakable", "unproven"]
    working: Working

    def having(self, answer: Answer) -> tuple[Judged, ...]:
        """Return the features of which this is said."""
        return tuple(one for one in self.judged if one.answer == answer)
