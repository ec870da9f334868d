"""Units: the ending of a name tells its unit, and values are converted at the edge only.

Inside the bench a quantity has one unit, and its name ends in it: ``oil_c``, ``kv40_mm2_s``,
``stroke_mm``. Data sheets, forms and papers may use any unit listed here; it is turned into the
bench's unit on the way in and into the reader's on the way out.
"""

from __future__ import annotations

from decimal import Decimal, InvalidOperation

from coldmark.bench.errors import Missing, NotAChoice, NotANumber
from coldmark.bench.unit_table import UNITS, Unit, UnitSystem, of_name, shown_unit, stem

__all__ = [
    "UNITS",
    "Unit",
    "UnitSystem",
    "convert",
    "from_bench",
    "number",
    "of_name",
    "shown_unit",
    "stem",
    "to_bench",
]


def _unit(ending: str) -> Unit:
    unit = UNITS.get(ending)
    if unit is None:
        raise NotAChoice(name="unit", value=ending, choices=UNITS)
    return unit


def to_bench(value: float, ending: str) -> float:
    """Turn ``value`` [``ending``] into the bench's unit of the same kind.

    >>> round(to_bench(1, "gal"), 6), to_bench(50, "f")
    (3.785412, 10.0)
    """
    return _unit(ending).to_bench(value)


def from_bench(value: float, ending: str) -> float:
    """Turn ``value`` in the bench's unit into ``ending``'s unit.

    >>> round(from_bench(25.4, "in"), 6)
    1.0
    """
    return _unit(ending).from_bench(value)


def convert(value: float, source: str, target: str) -> float:
    """Turn ``value`` [``source``] into [``target``]; both must measure the same kind of thing.

    Raises
    ------
    NotAChoice
        When a unit is unknown, or the two measure different things.
    """
    kind = _unit(source).kind
    if _unit(target).kind != kind:
        same = [unit.ending for unit in UNITS.values() if unit.kind == kind]
        raise NotAChoice(name="unit", value=target, choices=same)
    return from_bench(to_bench(value, source), target)


def number(name: str, text: str | float, *, right: str = "12.5") -> float:
    """Read a number as people type it: comma or point for the decimals, blanks around it allowed.

    Raises
    ------
    Missing
        When the text is empty.
    NotANumber
        When it is not a finite number.
    """
    if isinstance(text, str) and not text.strip():
        raise Missing(name=name, needed_for=stem(name))
    try:
        value = Decimal(str(text).strip().replace(",", "."))
    except InvalidOperation:
        raise NotANumber(name=name, value=str(text), right=right) from None
    if not value.is_finite():
        raise NotANumber(name=name, value=str(text), right=right)
    return float(value)
