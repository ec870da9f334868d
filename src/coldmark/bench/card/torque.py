"""A cover's torque as the card has it: the sheet's figure and range, shown, and as somebody may type another."""

from __future__ import annotations

from typing import Any

from coldmark.bench.sheet.model import Fasteners
from coldmark.bench.unit_table import shown_unit
from coldmark.bench.words import UnitSystem, figures, sentence, with_symbol

__all__ = ["torque_plain", "torque_shown"]


def torque_shown(value_nm: float, units: UnitSystem) -> str:
    """Return a torque [N·m] as a reader sees it: the sheet's own digits, and once converted as many as a wrench has.

    Parameters
    ----------
    value_nm : the torque [N·m].
    units : the reader's units.

    Returns
    -------
    str
        Number and unit.

    Valid for
    ---------
    Any torque.

    Raises
    ------
    Nothing.

    Source
    ------
    The table of units.

    Examples
    --------
    >>> torque_shown(24.0, "metric"), torque_shown(4.5, "metric"), torque_shown(24.0, "us"), torque_shown(4.5, "us")
    ('24 N·m', '4.5 N·m', '18 lbf·ft', '3.3 lbf·ft')
    """
    return with_symbol(_number(value_nm, units), shown_unit("nm", units).symbol)


def _number(value_nm: float, units: UnitSystem) -> str:
    unit = shown_unit("nm", units)
    if unit.ending == "nm":
        return figures(round(value_nm, 2))
    shown = unit.from_bench(value_nm)
    return figures(round(shown, 0 if shown >= 10 else 1))


def torque_plain(value_nm: float, fasteners: Fasteners | None, units: UnitSystem) -> dict[str, Any]:
    """Return the sheet's torque as the card carries it; ``typed`` is what a box starts from and should lie between."""
    low, high = _range(value_nm, fasteners)
    # A fact says what was tightened to with few decimals; a sheet in another unit gives many.
    value = round(value_nm, 2)
    between = ""
    if low is not None and high is not None:
        between = sentence("card.torque_range", low=torque_shown(low, units), high=torque_shown(high, units))
    return {
        "value_nm": value,
        "shown": torque_shown(value, units),
        "low": low,
        "high": high,
        "range": between,
        "origin": "sheet",
        "typed": {
            "value": _number(value, units),
            "low": None if low is None else _number(low, units),
            "high": None if high is None else _number(high, units),
        },
    }


def _range(value: float, fasteners: Fasteners | None) -> tuple[float | None, float | None]:
    if fasteners is None or fasteners.torque_low_nm is None or fasteners.torque_high_nm is None:
        return None, None
    if not fasteners.torque_low_nm <= value <= fasteners.torque_high_nm:
        return None, None
    return round(fasteners.torque_low_nm, 2), round(fasteners.torque_high_nm, 2)
