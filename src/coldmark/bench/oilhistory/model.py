"""What a compartment holds, by oils: shares of all that is there, by volume."""

from __future__ import annotations

from typing import Protocol

from coldmark.bench.shapes import dataclass

__all__ = ["NOBODY_KNOWS", "Contents", "Movement", "OilPart"]


class Movement(Protocol):
    """Oil that went in or out, as the ledger keeps it: :class:`coldmark.bench.ledger.Pour` is one."""

    @property
    def way(self) -> str:
        """How: fill, top_up, drained …"""

    @property
    def litres(self) -> float:
        """How much [L]; the way says whether in or out, the sign does not matter."""

    @property
    def oil(self) -> str | None:
        """The oil's key, or ``None``: nobody knows."""

    @property
    def hours(self) -> float | None:
        """The machine's hours then, or ``None``: nobody knows."""

    @property
    def circulated(self) -> bool | None:
        """Whether every function was moved afterwards, or ``None``: nobody said."""


@dataclass(frozen=True, slots=True)
class OilPart:
    """One oil in a compartment, by its key (``None``: nobody knows which), and its share of what is there."""

    oil: str | None
    share: float


NOBODY_KNOWS = (OilPart(None, 1.0),)


@dataclass(frozen=True, slots=True)
class Contents:
    """What a compartment's system holds.

    ``parts``: every oil with its share of all that is there, the greatest first. ``missing_l``: what was let out and
    not yet filled in again [L]. ``unmixed``: what of it lies in the tank alone, because it was poured in and not every
    function has been moved since, also as shares of all that is there.
    """

    parts: tuple[OilPart, ...] = NOBODY_KNOWS
    missing_l: float = 0.0
    unmixed: tuple[OilPart, ...] = ()
