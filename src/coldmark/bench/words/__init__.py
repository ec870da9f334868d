"""Sentences: made from a message id and values, one file a language, the same for every face.

A message is a plain sentence with fields in braces. A field whose name ends in a unit is shown in
the reader's own units with the decimals a reader wants: ``{add_l}`` becomes ``2.4 L`` or ``0.6 gal``.
``{value|name}`` shows ``value`` in the unit that the text held by ``name`` ends in.
"""

from __future__ import annotations

import re

from coldmark.bench.unit_table import UnitSystem, of_name, shown_unit, stem
from coldmark.bench.words.en import MESSAGES

__all__ = ["UnitSystem", "has", "labels", "quantity", "sentence", "spoken"]

Value = str | int | float

_FIELD = re.compile(r"\{([a-z0-9_]+)(?:\|([a-z0-9_]+))?(?::(\d))?\}")


def has(message: str) -> bool:
    """Say whether there is a sentence for this message id."""
    return message in MESSAGES


def spoken(name: str) -> str:
    """Return a parameter's name as a reader sees it: without its unit, blanks for underscores.

    >>> spoken("oil_c"), spoken("kv100_mm2_s"), spoken("rod_mm")
    ('oil', 'kv100', 'rod')
    """
    return stem(name).replace("_", " ")


def quantity(value: float, ending: str, *, units: UnitSystem = "metric", digits: int | None = None) -> str:
    """Return ``value``, kept in the bench's unit of ``ending``'s kind, as a reader sees it.

    >>> quantity(2.38, "l"), quantity(3.785411784, "l", units="us"), quantity(8, "c", units="us")
    ('2.4 L', '1.0 gal', '46 °F')
    """
    unit = shown_unit(ending, units)
    decimals = unit.digits if digits is None else digits
    text = f"{unit.from_bench(value) + 0.0:.{decimals}f}"
    if float(text) == 0:
        text = text.lstrip("-")
    if not unit.symbol:
        return text
    return f"{text}{unit.symbol}" if unit.symbol in {"°", "%"} else f"{text} {unit.symbol}"


def _shown(field: str, unit_of: str | None, digits: str | None, values: dict[str, Value], units: UnitSystem) -> str:
    value = values[field]
    decimals = None if digits is None else int(digits)
    if field == "name":
        return spoken(str(value))
    if isinstance(value, str):
        return value
    unit = of_name(str(values[unit_of]) if unit_of else field)
    if unit is not None:
        return quantity(value, unit.ending, units=units, digits=decimals)
    if isinstance(value, int) or decimals is None:
        return f"{value:g}"
    return f"{value:.{decimals}f}"


def sentence(message: str, /, *, units: UnitSystem = "metric", **values: Value) -> str:
    """Return the sentence of ``message`` with its fields filled in for a reader of ``units``.

    Raises
    ------
    KeyError
        When there is no such message, or a field of it has no value: a mistake in the program.

    Examples
    --------
    >>> sentence("refused.choice", name="posture", value="sideways", choices="arm out, arm in")
    'posture = sideways is not one of: arm out, arm in.'
    """
    return _FIELD.sub(lambda found: _shown(*found.groups(), values, units), MESSAGES[message])


def labels(prefix: str) -> dict[str, str]:
    """Return the fixed words whose message id starts with ``prefix``, by the rest of the id.

    >>> labels("paper.kit.")["title"]
    'Kit'
    """
    return {key.removeprefix(prefix): text for key, text in MESSAGES.items() if key.startswith(prefix)}
