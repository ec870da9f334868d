"""How a result shows its working: what was put in, where it came from, and how wide it may be.

A result of the bench carries a :class:`Working`: the steps by which it was reached, each with its
formula, the values that went in with their origin, and the source of the method. A value that was
read with a limited resolution travels as a :class:`Range`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from coldmark.bench.errors import Contradiction

__all__ = ["Given", "Origin", "Range", "Step", "Working"]

Origin = Literal["sheet", "measured", "told", "assumed", "practice", "learned", "worked_out"]
"""Where a value comes from: the data sheet, measured here, told by somebody, assumed for want of better,
common practice, learned from earlier jobs on this machine, or worked out in an earlier step."""


@dataclass(frozen=True, slots=True)
class Given:
    """One value that went into a step: its symbol in the formula, its number, unit and origin."""

    symbol: str
    value: float | str
    unit: str
    origin: Origin


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a working: what it finds (a message id), the formula, what went in, what came out."""

    what: str
    formula: str
    givens: tuple[Given, ...]
    result: float | str
    unit: str
    source: str


@dataclass(frozen=True, slots=True)
class Working:
    """The steps by which a result was reached, in order."""

    steps: tuple[Step, ...]

    def __add__(self, other: Working) -> Working:
        return Working(self.steps + other.steps)


@dataclass(frozen=True, slots=True)
class Range:
    """A value with the range that the resolution of its inputs leaves open.

    >>> Range(2.4, 2.1, 2.8).width
    0.7
    """

    value: float
    low: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high:
            raise Contradiction(name="range", value=self.value, why=f"it must lie between {self.low} and {self.high}")

    @property
    def width(self) -> float:
        """High minus low, in the value's own unit."""
        return round(self.high - self.low, 12)
