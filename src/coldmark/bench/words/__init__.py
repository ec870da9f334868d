"""Sentences: made from a message id and values, one file a language, the same for every face.

A message is a plain sentence with fields in braces. A field whose name ends in a unit is shown in
the reader's own units with the decimals a reader wants: ``{add_l}`` becomes ``2.4 L`` or ``0.6 gal``.
``{value|name}`` shows ``value`` in the unit that the text held by ``name`` ends in. After a colon: a
digit sets the decimals, ``fine`` shows those that fits are judged by, ``given`` shows the number with
the digits that it came with, ``bare`` does so and leaves the unit out.
"""

from __future__ import annotations

import re
from decimal import Decimal

from coldmark.bench.unit_table import UnitSystem, of_name, shown_unit, stem
from coldmark.bench.words.days import day, span, weekday
from coldmark.bench.words.en import MESSAGES
from coldmark.bench.words.keeping import together, unit_words

__all__ = [
    "UnitSystem",
    "Value",
    "day",
    "figures",
    "has",
    "labels",
    "quantity",
    "sentence",
    "span",
    "spoken",
    "together",
    "unit_words",
    "weekday",
    "with_symbol",
]

Value = str | int | float

_FIELD = re.compile(r"\{([a-z0-9_]+)(?:\|([a-z0-9_]+))?(?::(\d|fine|given|bare))?\}")


def has(message: str) -> bool:
    """Say whether there is a sentence for this message id."""
    return message in MESSAGES


def spoken(name: str) -> str:
    """Return a parameter's name as a reader sees it: without its unit, blanks for underscores.

    >>> spoken("oil_c"), spoken("kv100_mm2_s"), spoken("rod_mm")
    ('oil', 'kv100', 'rod')
    """
    return stem(name).replace("_", " ")


# The decimals of measures that decide whether one part fits another; a thousandth of an inch is shown as it is.
_FINE = {"mm": 2, "pct": 1}


def quantity(
    value: float, ending: str, *, units: UnitSystem = "metric", digits: int | None = None, fine: bool = False
) -> str:
    """Return ``value``, kept in the bench's unit of ``ending``'s kind, as a reader sees it.

    ``fine`` shows a length to a hundredth of a millimetre, and a share to a tenth of a per cent.

    >>> quantity(2.38, "l"), quantity(3.785411784, "l", units="us"), quantity(8, "c", units="us")
    ('2.4 L', '1.00 gal', '46 °F')
    >>> quantity(3.53, "mm"), quantity(3.53, "mm", fine=True), quantity(3.53, "mm", units="us", fine=True)
    ('3.5 mm', '3.53 mm', '0.139 in')
    """
    unit = shown_unit(ending, units)
    shown = unit.from_bench(value)
    if fine and digits is None:
        digits = _FINE.get(unit.ending)
    text = f"{shown:.{unit.decimals(shown) if digits is None else digits}f}"
    if float(text) == 0:
        text = text.lstrip("-")
    return with_symbol(text, unit.symbol)


def with_symbol(text: str, symbol: str) -> str:
    """Set a unit's symbol behind a number as print has it: a blank between, but not before ° and %.

    >>> with_symbol("12", "mm"), with_symbol("12", "%"), with_symbol("0.5", "")
    ('12 mm', '12%', '0.5')
    """
    return f"{text}{symbol}" if symbol in {"", "°", "%"} else f"{text} {symbol}"


def figures(value: float, count: int = 10) -> str:
    """Return a number with up to ``count`` significant figures and no needless ones, without an exponent.

    >>> figures(2.0), figures(1.4), figures(100000), figures(1 / 3, 4), figures(0.00002)
    ('2', '1.4', '100000', '0.3333', '0.00002')
    """
    text = f"{value:.{count}g}"
    if "e" in text and 1e-9 < abs(value) < 1e15:
        text = format(Decimal(text), "f")
    return "0" if text == "-0" else text


def _as_given(value: float, ending: str, units: UnitSystem) -> tuple[str, str]:
    """Return number and symbol with the digits that the number came with; fewer once it had to be converted."""
    unit = shown_unit(ending, units)
    kept = unit.scale == 1.0 and unit.shift == 0.0
    return figures(unit.from_bench(value), 10 if kept else 6), unit.symbol


def _shown(field: str, unit_of: str | None, how: str | None, values: dict[str, Value], units: UnitSystem) -> str:
    value = values[field]
    if field == "name":
        return spoken(str(value))
    if isinstance(value, str):
        return value
    unit = of_name(str(values[unit_of]) if unit_of else field)
    if how in {"given", "bare"}:
        number, symbol = _as_given(value, unit.ending, units) if unit else (figures(value), "")
        return number if how == "bare" else with_symbol(number, symbol)
    decimals = int(how) if how is not None and how.isdigit() else None
    if unit is not None:
        return quantity(value, unit.ending, units=units, digits=decimals, fine=how == "fine")
    if isinstance(value, int) or decimals is None:
        return figures(value, 6)
    return f"{value:.{decimals}f}"


def sentence(message: str, /, *, units: UnitSystem = "metric", **values: Value) -> str:
    """Return the sentence of ``message`` with its fields filled in for a reader of ``units``.

    Raises
    ------
    KeyError
        When there is no such message, or a field of it has no value: a mistake in the program.

    A value is put in as it is: braces in what somebody typed are text, and are not filled in again.

    Examples
    --------
    >>> sentence("refused.choice", name="posture", value="sideways", choices="arm out, arm in")
    'posture = sideways is not one of: arm out, arm in.'
    """
    return _FIELD.sub(lambda found: _shown(found[1], found[2], found[3], values, units), MESSAGES[message])


def labels(prefix: str) -> dict[str, str]:
    """Return the fixed words whose message id starts with ``prefix``, by the rest of the id.

    >>> labels("paper.kit.")["title"]
    'Kit'
    """
    return {key.removeprefix(prefix): text for key, text in MESSAGES.items() if key.startswith(prefix)}
