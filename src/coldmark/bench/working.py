"""How a result shows its working: what was put in, where it came from, and how wide it may be.

A result of the bench carries a :class:`Working`: the steps by which it was reached, each with its
formula, the values that went in with their origin, and the source of the method. A value that was
read with a limited resolution travels as a :class:`Range`.
"""

from __future__ import annotations

import math
from typing import Any, Literal

from coldmark.bench import words
from coldmark.bench.errors import Contradiction
from coldmark.bench.shapes import dataclass
from coldmark.bench.unit_table import UNITS, UnitSystem, shown_unit

__all__ = ["Given", "Origin", "Range", "Step", "Working", "lines", "shown", "to_plain"]

Origin = Literal["sheet", "measured", "told", "assumed", "practice", "learned", "worked_out"]
"""Where a value comes from: the data sheet, measured here, told by somebody, assumed for want of better,
common practice, learned from earlier jobs on this machine, or worked out in an earlier step."""


@dataclass(frozen=True, slots=True)
class Given:
    """One value that went into a step: its symbol in the formula, its number, unit and origin.

    ``unit`` is an ending that :mod:`coldmark.bench.units` knows (``mm2_s``), or empty for a pure number or a word.
    """

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
            why = "refused.cannot.between"
            raise Contradiction(name="range", value=self.value, why=why, low=self.low, high=self.high)

    @classmethod
    def about(cls, value: float, spread: float) -> Range:
        """Return ``value`` with the same ``spread`` to both sides.

        >>> Range.about(10.0, 0.5)
        Range(value=10.0, low=9.5, high=10.5)
        """
        return cls(value, value - abs(spread), value + abs(spread))

    @property
    def width(self) -> float:
        """High minus low, in the value's own unit."""
        return round(self.high - self.low, 12)

    def holds(self, value: float) -> bool:
        """Say whether ``value`` lies in the range."""
        return self.low <= value <= self.high


def shown(value: float | str, unit: str, units: UnitSystem = "metric") -> str:
    """Return a value of a working as a reader sees it: the formula's own unit, then the reader's where it differs.

    A formula with its constants holds in its own unit only, so that one always stands first.

    Examples
    --------
    >>> shown(46.0, "mm2_s"), shown(20, "c", "us"), shown(3.7465781, ""), shown("steel", "")
    ('46 mm²/s', '20 °C (68 °F)', '3.746578', 'steel')
    """
    if isinstance(value, str):
        return value
    if unit not in UNITS:
        return words.with_symbol(words.figures(value, 7), unit)
    own = words.with_symbol(words.figures(value, 5), UNITS[unit].symbol)
    if units == "metric" or shown_unit(unit, units) == shown_unit(unit, "metric") or not math.isfinite(value):
        return own
    return f"{own} ({words.quantity(UNITS[unit].to_bench(value), unit, units=units)})"


def lines(working: Working, units: UnitSystem = "metric") -> list[str]:
    """Return a working as plain lines: what each step finds, its formula, what went in, the result, the source.

    Parameters
    ----------
    working
        The steps.
    units
        The reader's units; they stand in brackets behind those of the formula where they differ.

    Examples
    --------
    >>> step = Step("working.oil.density", "ρ15 · CTL", (Given("ρ15", 880.0, "kg_m3", "told"),), 864.2, "kg_m3", "API")
    >>> for line in lines(Working((step,))):
    ...     print(line)
    1. Density of the oil: 864.2 kg/m³
       ρ15 · CTL
       ρ15 = 880 kg/m³ (told)
       Source: API
    """
    out: list[str] = []
    for number, step in enumerate(working.steps, 1):
        out.append(f"{number}. {words.sentence(step.what)}: {shown(step.result, step.unit, units)}")
        if step.formula:
            out.append(f"   {step.formula}")
        for given in step.givens:
            origin = words.sentence(f"origin.{given.origin}")
            out.append(f"   {given.symbol} = {shown(given.value, given.unit, units)} ({origin})")
        if step.source:
            out.append(f"   {words.sentence('working.source', source=step.source)}")
    return out


def _plain_value(value: float | str, unit: str, units: UnitSystem) -> dict[str, Any]:
    # JSON has no infinity; the shown text says it.
    number = value if isinstance(value, str) or math.isfinite(value) else None
    return {"value": number, "unit": unit, "shown": shown(value, unit, units)}


def to_plain(working: Working, units: UnitSystem = "metric") -> list[dict[str, Any]]:
    """Return a working as plain data for JSON: values, and the words that a reader of ``units`` is shown.

    Examples
    --------
    >>> to_plain(Working((Step("working.oil.density", "", (), 864.2, "kg_m3", ""),)))[0]["result"]
    {'value': 864.2, 'unit': 'kg_m3', 'shown': '864.2 kg/m³'}
    """
    return [
        {
            "what": step.what,
            "says": words.sentence(step.what),
            "formula": step.formula,
            "givens": [
                {
                    "symbol": given.symbol,
                    **_plain_value(given.value, given.unit, units),
                    "origin": given.origin,
                    "origin_says": words.sentence(f"origin.{given.origin}"),
                }
                for given in step.givens
            ],
            "result": _plain_value(step.result, step.unit, units),
            "source": step.source,
        }
        for step in working.steps
    ]
