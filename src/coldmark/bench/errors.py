"""What the bench refuses, and how it says so.

::

    ColdmarkError
    ├── Refused                a value that cannot be worked with: names it, and says what would be right
    │   ├── OutOfRange         a number outside the limits of the method
    │   ├── NotAChoice         a word that is not one of those offered
    │   ├── NotANumber         text where a number was needed
    │   ├── Missing            a value that the result needs and nobody has given
    │   ├── Contradiction      two values that cannot both be true
    │   └── RowRefused         one row of a table, with what is wrong in it
    └── CannotTell             the method has no answer for this case, and says why

A refusal is a message id with values, so that every face says it in the reader's own words and
units; ``str(error)`` is the plain English sentence with metric units.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from coldmark.bench import words

__all__ = [
    "CannotTell",
    "ColdmarkError",
    "Contradiction",
    "Missing",
    "NotAChoice",
    "NotANumber",
    "OutOfRange",
    "Refused",
    "RowRefused",
    "require_above",
    "require_between",
    "require_choice",
]

Value = str | int | float


class ColdmarkError(Exception):
    """Base of all that Coldmark raises on purpose: a message id and the values of its sentence."""

    def __init__(self, message: str, /, **values: Value) -> None:
        self.message = message
        self.values: Mapping[str, Value] = values
        super().__init__(message, values)

    def say(self, units: words.UnitSystem = "metric") -> str:
        """Return the sentence for the reader in metric or US customary units."""
        return words.sentence(self.message, units=units, **self.values)

    def __str__(self) -> str:
        return self.say()


class Refused(ColdmarkError, ValueError):
    """A value that cannot be worked with. ``name`` is the parameter or field that it was given for."""

    name: str

    def __init__(self, message: str, /, *, name: str, **values: Value) -> None:
        self.name = name
        super().__init__(message, name=name, **values)


class OutOfRange(Refused):
    """A number outside the limits within which the method holds; ``high`` may be infinite for *at least* ``low``.

    >>> raise OutOfRange(name="kv100_mm2_s", value=1.4, low=2, high=500, source="ASTM D2270")
    Traceback (most recent call last):
    ...
    coldmark.bench.errors.OutOfRange: kv100 = 1.4 mm²/s is outside 2 to 500 mm²/s (ASTM D2270).
    """

    def __init__(self, *, name: str, value: float, low: float, high: float, source: str, above: bool = False) -> None:
        message = "refused.more_than" if above else "refused.least" if math.isinf(high) else "refused.range"
        super().__init__(message, name=name, value=value, low=low, high=high, source=source)


class NotAChoice(Refused):
    """A word that is not one of those offered."""

    def __init__(self, *, name: str, value: str, choices: Iterable[str]) -> None:
        super().__init__("refused.choice", name=name, value=value, choices=", ".join(choices))


class NotANumber(Refused):
    """Text where a number was needed; ``right`` shows one that would do."""

    def __init__(self, *, name: str, value: str, right: str = "12.5") -> None:
        super().__init__("refused.number", name=name, value=value, right=right)


class Missing(Refused):
    """A value that the result needs and nobody has given; ``needed_for`` says what it switches off."""

    def __init__(self, *, name: str, needed_for: str) -> None:
        super().__init__("refused.missing", name=name, needed_for=needed_for)


class Contradiction(Refused):
    """Two values that cannot both be true; ``why`` is the message that says what would have to hold.

    The values of that message are given by their names, and are said in the reader's units as ``value`` is.
    ``unit_of`` is a name that ends in the unit of ``value``, where ``name`` itself ends in none.

    >>> raise Contradiction(name="upper_mm", value=20, why="level.cannot.above_lower", lower_mm=30)
    Traceback (most recent call last):
    ...
    coldmark.bench.errors.Contradiction: upper = 20 mm cannot be: it must be above the lower mark, 30 mm.
    """

    def __init__(self, *, name: str, value: Value, why: str, unit_of: str | None = None, **holds: Value) -> None:
        self.why = why
        self.unit_of = unit_of
        self.holds: Mapping[str, Value] = holds
        super().__init__("refused.contradiction", name=name, value=value)

    def say(self, units: words.UnitSystem = "metric") -> str:
        """Return what cannot be and what would have to hold, both in the reader's units."""
        why = words.sentence(self.why, units=units, **self.holds)
        unit_of = self.unit_of or self.name
        return words.sentence(self.message, units=units, **self.values, unit_of=unit_of, why=why)

    def under(self, name: str, value: Value | None = None) -> Contradiction:
        """Return the same refusal under the name that a form has for the field, and with what was typed there."""
        unit_of = (self.unit_of or self.name) if value is None else None
        told = self.values["value"] if value is None else value
        return Contradiction(name=name, value=told, why=self.why, unit_of=unit_of, **self.holds)


class RowRefused(Refused):
    """One row of the table ``name``, counted from 1; ``inner`` says what is wrong in it and names the column.

    >>> raise RowRefused(3, NotANumber(name="t_c", value="warm"), name="moved")
    Traceback (most recent call last):
    ...
    coldmark.bench.errors.RowRefused: Row 3: t = warm is not a number; write it like 12.5.
    """

    def __init__(self, row: int, inner: Refused, *, name: str) -> None:
        self.inner = inner
        super().__init__("refused.row", name=name, row=row)

    def say(self, units: words.UnitSystem = "metric") -> str:
        """Return the sentence of the column, with its row."""
        return words.sentence(self.message, units=units, row=self.values["row"], says=self.inner.say(units))


class CannotTell(ColdmarkError):
    """The method has no answer for this case; the message says why and what would help."""


def require_between(name: str, value: float, low: float, high: float, source: str) -> float:
    """Return ``value`` when it is finite and ``low <= value <= high``, else raise :class:`OutOfRange`.

    Parameters
    ----------
    name
        The parameter's own name, unit included.
    value
        Its value, in the unit that the name ends in.
    low, high
        The limits, which belong to the range.
    source
        The method that sets them.

    Returns
    -------
    float
        The value.

    Raises
    ------
    OutOfRange
        When it is not finite or outside of the limits.

    Examples
    --------
    >>> require_between("oil_c", 20.0, -50, 150, "a thermometer")
    20.0
    """
    if not (low <= value <= high and math.isfinite(value)):
        raise OutOfRange(name=name, value=value, low=low, high=high, source=source)
    return value


def require_above(name: str, value: float, low: float, source: str) -> float:
    """Return ``value`` when it is finite and more than ``low``, else raise :class:`OutOfRange`.

    Parameters
    ----------
    name
        The parameter's own name, unit included.
    value
        Its value, in the unit that the name ends in.
    low
        The limit that it must exceed.
    source
        The method that sets the limit.

    Returns
    -------
    float
        The value.

    Raises
    ------
    OutOfRange
        When it is not finite or not above the limit.

    Examples
    --------
    >>> require_above("stroke_mm", 0.0, 0, "a cylinder moves")
    Traceback (most recent call last):
    ...
    coldmark.bench.errors.OutOfRange: stroke = 0 mm must be more than 0 mm (a cylinder moves).
    """
    if not low < value < math.inf:
        raise OutOfRange(name=name, value=value, low=low, high=math.inf, source=source, above=True)
    return value


def require_choice(name: str, value: str, choices: Iterable[str]) -> str:
    """Return ``value`` when it is one of ``choices``, else raise :class:`NotAChoice`.

    Parameters
    ----------
    name
        The parameter's own name.
    value
        The word given.
    choices
        Those offered.

    Returns
    -------
    str
        The word.

    Raises
    ------
    NotAChoice
        When it is not offered; the sentence lists what is.

    Examples
    --------
    >>> require_choice("way", "fill", ("fill", "drained"))
    'fill'
    """
    offered = tuple(choices)
    if value not in offered:
        raise NotAChoice(name=name, value=value, choices=offered)
    return value
