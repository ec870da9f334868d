"""What each type of field may hold. A check returns nothing, or what would have been right.

The checks are built once per field from the table of kinds, so that reading a fact is a walk over ready-made
functions: thousands are read each time a machine is folded.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime, timedelta, timezone
from decimal import Decimal
from functools import partial
from typing import Any

from coldmark.bench.errors import Refused
from coldmark.bench.facts.kinds import Field, FieldType
from coldmark.bench.unit_table import UNITS

__all__ = [
    "DAY",
    "DECIMAL",
    "HASH",
    "KEY",
    "LIMITS",
    "LONGEST_LIST",
    "MARK",
    "MOMENT",
    "SAFE_WHOLE",
    "UUID",
    "check_field",
    "moment_ms",
    "quantity",
    "refuse",
]

Check = Callable[[str, Any], None]

UUID = r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}"
HASH = r"[0-9a-f]{64}"
KEY = r"[A-Za-z0-9_.-]{1,120}"
# The same pattern for Python and for JSON Schema, whose regular expressions are JavaScript's: no blank at the ends,
# no control characters, no halves of surrogate pairs.
_BARRED = r"\u0000-\u001f\u007f\ud800-\udfff"
MARK = rf"[^\s{_BARRED}](?:[^{_BARRED}]{{0,38}}[^\s{_BARRED}])?"
DECIMAL = r"-?[0-9]{1,9}(?:\.[0-9]{1,6})?"
DAY = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
MOMENT = DAY + r"T[0-9]{2}:[0-9]{2}:[0-9]{2}(?:\.[0-9]{1,6})?[+-][0-9]{2}:[0-9]{2}"

_IS_UUID = partial(re.fullmatch, UUID)
_IS_HASH = partial(re.fullmatch, HASH)
_IS_KEY = partial(re.fullmatch, KEY)
_IS_MARK = partial(re.fullmatch, MARK)
_IS_DECIMAL = partial(re.fullmatch, DECIMAL)
_IS_DAY = partial(re.fullmatch, DAY)
_IS_MOMENT = partial(re.fullmatch, MOMENT)

_RIGHT: dict[FieldType, str] = {
    "id": "a UUID in lower case",
    "hash": "a SHA-256 as 64 hex digits in lower case",
    "key": "a name of 1 to 120 letters, digits, _ . or -",
    "mark": "1 to 40 characters as printed, no blank at either end",
    "decimal": 'a decimal as text, like "12.5"',
    "reading": 'a decimal as text from -1 to 2, like "0.35", or "below" or "above"',
    "truth": "true or false",
    "day": 'a day, like "2026-03-02"',
    "moment": 'a moment with its UTC offset, like "2026-03-02T08:15:00+01:00"',
    "shares": 'names with decimals as text from 0 to 1, like {"boom": "0.5"}',
    "body": "the body of a fact",
    "hashes": "a list of SHA-256, each 64 hex digits in lower case",
    "keys": "a list of names of letters, digits, _ . or -",
    "fact_hashes": "a list of [fact id, SHA-256 of its text], sorted by id, no id twice",
}

# What a quantity of each kind may be, in the bench's unit: wide enough for any machine, narrow enough for slips.
LIMITS: dict[str, tuple[float, float]] = {
    "hours": (0.0, 200_000.0),
    "volume": (0.0, 10_000.0),
    "temperature": (-60.0, 200.0),
    "torque": (0.0, 10_000.0),
    "seconds": (0.0, 3600.0),
    "minutes": (0.0, 10_080.0),
    "length": (0.0, 20_000.0),
    "mass": (0.0, 200_000.0),
    "speed": (0.0, 10_000.0),
}
_QUANTITY_KEYS = frozenset(("value", "unit"))
SAFE_WHOLE = 2**53 - 1  # what JavaScript carries without rounding
LONGEST_LIST = 5_000
_LONGEST_OFFSET = timedelta(hours=14)
_EARLIEST_OFFSET = -_LONGEST_OFFSET
_EPOCH = datetime(1970, 1, 1, tzinfo=timezone(timedelta(0)))
_MILLISECOND = timedelta(milliseconds=1)


def refuse(field: str, value: object, right: str) -> Refused:
    """Return the refusal of one field's value that says what would be right."""
    shown = str(value)
    return Refused(
        "fact.field", name=field, field=field, value=shown if len(shown) <= 60 else shown[:57] + "...", right=right
    )


def moment_ms(field: str, value: object) -> int:
    """Return a moment with UTC offset as milliseconds since 1970-01-01 UTC; anything else is refused.

    Parameters
    ----------
    field
        The field's name, for the refusal.
    value
        What stands in it.

    Returns
    -------
    int
        Milliseconds; of smaller parts of a second nothing is kept.

    Valid for
        Offsets of up to 14 hours.

    Raises
    ------
    Refused
        Naming the field, its value and what would be right.

    Source
        RFC 3339, with seconds and a numeric offset.

    Examples
    --------
    >>> moment_ms("at", "1970-01-01T01:00:01+01:00")
    1000
    """
    if not isinstance(value, str) or not _IS_MOMENT(value):
        raise refuse(field, value, _RIGHT["moment"])
    try:
        moment = datetime.fromisoformat(value)
    except ValueError:
        raise refuse(field, value, _RIGHT["moment"]) from None
    offset = moment.utcoffset()
    if offset is None or not _EARLIEST_OFFSET <= offset <= _LONGEST_OFFSET:
        raise refuse(field, value, _RIGHT["moment"])
    return (moment - _EPOCH) // _MILLISECOND


def quantity(value: Mapping[str, str], measures: str) -> float:
    """Return a quantity of a body in the bench's unit of its kind.

    Parameters
    ----------
    value
        ``{"value": decimal as typed, "unit": a unit's ending}``.
    measures
        What it must measure, one of :data:`LIMITS`: *hours*, *volume*, *temperature* …

    Returns
    -------
    float
        The quantity [the bench's unit of that kind].

    Valid for
        Decimals of up to nine digits before the point and six behind it.

    Raises
    ------
    Refused
        When it is no such quantity, naming the part that is wrong.

    Source
        The table of units; decision 3 of the house.

    Examples
    --------
    >>> quantity({"value": "12.5", "unit": "h"}, "hours"), quantity({"value": "50", "unit": "f"}, "temperature")
    (12.5, 10.0)
    """
    return _quantity(measures, value, measures)


def _quantity(field: str, value: object, measures: str) -> float:
    if not isinstance(value, dict) or value.keys() != _QUANTITY_KEYS:
        raise refuse(field, value, f'{{"value": a decimal as text, "unit": one of {_units_of(measures)}}}')
    number, ending = value["value"], value["unit"]
    if not isinstance(number, str) or not _IS_DECIMAL(number):
        raise refuse(f"{field}.value", number, _RIGHT["decimal"])
    unit = UNITS.get(ending) if isinstance(ending, str) else None
    if unit is None or unit.kind != measures:
        raise refuse(f"{field}.unit", ending, f"one of {_units_of(measures)}")
    result = unit.to_bench(float(number))
    low, high = LIMITS.get(measures, (float("-inf"), float("inf")))
    if not low <= result <= high:
        shown = [f"{unit.from_bench(limit):g}" for limit in (low, high)]
        raise refuse(f"{field}.value", number, f"from {shown[0]} to {shown[1]} {unit.symbol}")
    return result


def _units_of(measures: str) -> str:
    return ", ".join(ending for ending, unit in UNITS.items() if unit.kind == measures)


def check_field(field: Field) -> Check:
    """Return the check of one field: called with the field's full name and its value, raises :class:`Refused`."""
    made = _MAKERS.get(field.type)
    return made(field) if made else _matching(field.type, _PATTERNS[field.type])


def _matching(kind: FieldType, matches: Callable[[str], object]) -> Check:
    right = _RIGHT[kind]

    def check(name: str, value: Any) -> None:
        if not isinstance(value, str) or not matches(value):
            raise refuse(name, value, right)

    return check


def _choice(field: Field) -> Check:
    offered, right = frozenset(field.choices), "one of " + ", ".join(field.choices)

    def check(name: str, value: Any) -> None:
        if not isinstance(value, str) or value not in offered:
            raise refuse(name, value, right)

    return check


def _measured(field: Field) -> Check:
    def check(name: str, value: Any) -> None:
        _quantity(name, value, field.measures)

    return check


def _whole(field: Field) -> Check:
    least = -SAFE_WHOLE if field.least is None else field.least
    right = "a whole number" if field.least is None else f"a whole number, at least {least}"

    def check(name: str, value: Any) -> None:
        if type(value) is not int or not least <= value <= SAFE_WHOLE:
            raise refuse(name, value, right)

    return check


def _truth(_: Field) -> Check:
    def check(name: str, value: Any) -> None:
        if value is not True and value is not False:
            raise refuse(name, value, _RIGHT["truth"])

    return check


def _reading(_: Field) -> Check:
    def check(name: str, value: Any) -> None:
        if value in ("below", "above"):
            return
        if not isinstance(value, str) or not _IS_DECIMAL(value) or not -1 <= Decimal(value) <= 2:
            raise refuse(name, value, _RIGHT["reading"])

    return check


def _day(_: Field) -> Check:
    def check(name: str, value: Any) -> None:
        if not isinstance(value, str) or not _IS_DAY(value):
            raise refuse(name, value, _RIGHT["day"])
        try:
            date.fromisoformat(value)
        except ValueError:
            raise refuse(name, value, _RIGHT["day"]) from None

    return check


def _moment(_: Field) -> Check:
    def check(name: str, value: Any) -> None:
        moment_ms(name, value)

    return check


def _shares(_: Field) -> Check:
    def check(name: str, value: Any) -> None:
        if not isinstance(value, dict):
            raise refuse(name, value, _RIGHT["shares"])
        for key, share in value.items():
            if not _IS_KEY(key):
                raise refuse(f"{name}.{key}", key, _RIGHT["key"])
            if not isinstance(share, str) or not _IS_DECIMAL(share) or not 0 <= Decimal(share) <= 1:
                raise refuse(f"{name}.{key}", share, 'a decimal as text from 0 to 1, like "0.5"')

    return check


def _body(_: Field) -> Check:
    def check(name: str, value: Any) -> None:
        if not isinstance(value, dict):
            raise refuse(name, value, _RIGHT["body"])

    return check


def _list_of(kind: FieldType, matches: Callable[[str], object]) -> Callable[[Field], Check]:
    def make(_: Field) -> Check:
        def check(name: str, value: Any) -> None:
            if not isinstance(value, list) or len(value) > LONGEST_LIST:
                raise refuse(name, value, _RIGHT[kind])
            for place, item in enumerate(value):
                if not isinstance(item, str) or not matches(item):
                    raise refuse(f"{name}.{place}", item, _RIGHT[kind])

        return check

    return make


def _fact_hashes(_: Field) -> Check:
    right = _RIGHT["fact_hashes"]

    def check(name: str, value: Any) -> None:
        if not isinstance(value, list) or len(value) > LONGEST_LIST:
            raise refuse(name, value, right)
        before = ""
        for place, item in enumerate(value):
            if not isinstance(item, list) or len(item) != 2 or not all(isinstance(part, str) for part in item):
                raise refuse(f"{name}.{place}", item, right)
            if not _IS_UUID(item[0]) or not _IS_HASH(item[1]) or item[0] <= before:
                raise refuse(f"{name}.{place}", item, right)
            before = item[0]

    return check


_PATTERNS: dict[FieldType, Callable[[str], object]] = {
    "id": _IS_UUID,
    "hash": _IS_HASH,
    "key": _IS_KEY,
    "mark": _IS_MARK,
    "decimal": _IS_DECIMAL,
}
_MAKERS: dict[FieldType, Callable[[Field], Check]] = {
    "choice": _choice,
    "quantity": _measured,
    "reading": _reading,
    "whole": _whole,
    "truth": _truth,
    "day": _day,
    "moment": _moment,
    "shares": _shares,
    "body": _body,
    "hashes": _list_of("hashes", _IS_HASH),
    "keys": _list_of("keys", _IS_KEY),
    "fact_hashes": _fact_hashes,
}
