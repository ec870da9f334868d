"""Units: the ending of a name tells its unit, and values are converted at the edge only.

Inside the bench a quantity has one unit, and its name ends in it: ``oil_c``, ``kv40_mm2_s``,
``stroke_mm``. Data sheets, forms and papers may use any unit listed here; it is turned into the
bench's unit on the way in and into the reader's on the way out.
"""

from __future__ import annotations

import math
import re

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


_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d{1,3})?", re.ASCII)
# 1,250 is twelve hundred and fifty to one reader and one and a quarter to the next, so it is asked again.
_TWO_WAYS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}", re.ASCII)


def _unit(ending: str) -> Unit:
    unit = UNITS.get(ending)
    if unit is None:
        raise NotAChoice(name="unit", value=ending, choices=UNITS)
    return unit


def _finite(value: float, ending: str) -> float:
    if not math.isfinite(value):
        raise NotANumber(name=f"value_{ending}", value=str(value))
    return value


def to_bench(value: float, ending: str) -> float:
    """Turn ``value`` [``ending``] into the bench's unit of the same kind.

    Parameters
    ----------
    value
        The value [``ending``].
    ending
        How names end in its unit.

    Returns
    -------
    float
        The value in the bench's unit.

    Raises
    ------
    NotAChoice
        When the unit is unknown.
    NotANumber
        When the value is not a finite number.

    Examples
    --------
    >>> round(to_bench(1, "gal"), 6), to_bench(50, "f")
    (3.785412, 10.0)
    """
    return _unit(ending).to_bench(_finite(value, ending))


def from_bench(value: float, ending: str) -> float:
    """Turn ``value`` in the bench's unit into ``ending``'s unit.

    Parameters
    ----------
    value
        The value in the bench's unit.
    ending
        How names end in the unit wanted.

    Returns
    -------
    float
        The value [``ending``].

    Raises
    ------
    NotAChoice
        When the unit is unknown.
    NotANumber
        When the value is not a finite number.

    Examples
    --------
    >>> round(from_bench(25.4, "in"), 6)
    1.0
    """
    return _unit(ending).from_bench(_finite(value, ending))


def convert(value: float, source: str, target: str) -> float:
    """Turn ``value`` [``source``] into [``target``]; both must measure the same kind of thing.

    Parameters
    ----------
    value
        The value [``source``].
    source, target
        How names end in the two units.

    Returns
    -------
    float
        The value [``target``].

    Raises
    ------
    NotAChoice
        When a unit is unknown, or the two measure different things.
    NotANumber
        When the value is not a finite number.

    Examples
    --------
    >>> convert(68, "f", "c"), round(convert(3, "qt", "ml"))
    (20.0, 2839)
    """
    kind = _unit(source).kind
    if _unit(target).kind != kind:
        same = [unit.ending for unit in UNITS.values() if unit.kind == kind]
        raise NotAChoice(name="unit", value=target, choices=same)
    return from_bench(to_bench(value, source), target)


def number(name: str, text: str | float, *, right: str = "12.5") -> float:
    """Read a number as people type it: comma or point for the decimals, blanks around it allowed.

    Parameters
    ----------
    name
        What the number is for, as the refusal names it.
    text
        What was typed.
    right
        A number that would do, for the refusal.

    Returns
    -------
    float
        The number, in whatever unit the name ends in.

    Raises
    ------
    Missing
        When the text is empty.
    NotANumber
        When it is not a finite number, or can be read in two ways (``1,250``).

    Examples
    --------
    >>> number("oil_c", " 1,5 "), number("oil_c", "-8")
    (1.5, -8.0)
    """
    typed = str(text).strip()
    if not typed:
        raise Missing(name=name, needed_for="the result")
    plain = typed.replace("\N{MINUS SIGN}", "-")
    if _TWO_WAYS.fullmatch(plain):
        right = f"{plain.replace(',', '')} or {plain.replace(',', '.')}"
        raise NotANumber(name=name, value=typed, right=right)
    value = float(plain.replace(",", ".")) if _NUMBER.fullmatch(plain) else math.nan
    if not math.isfinite(value):
        raise NotANumber(name=name, value=typed, right=right)
    return value
