"""Take what somebody put in: any unit of the right kind, checked against the limits, refused by the input's name."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from coldmark.bench import oil as oils
from coldmark.bench import sheet as sheets
from coldmark.bench import words
from coldmark.bench.catalogue.model import MOST_ROWS, Input, Values
from coldmark.bench.errors import (
    Contradiction,
    Missing,
    NotAChoice,
    NotANumber,
    OutOfRange,
    Refused,
    RowRefused,
    require_choice,
)
from coldmark.bench.unit_table import of_name, shown_unit, stem
from coldmark.bench.units import convert, number

__all__ = ["take"]

_YES = {
    "true": True,
    "yes": True,
    "1": True,
    "on": True,
    "false": False,
    "no": False,
    "0": False,
    "off": False,
    "": False,
}


def _unit_of_key(key: str, one: Input, units: words.UnitSystem) -> str | None:
    """Return the ending of the unit in which a value was put in under ``key``, or raise when it is another kind's."""
    own = of_name(one.name)
    if own is None or key == one.name:
        return None if own is None else own.ending
    if key == one.stem:
        return shown_unit(own.ending, units).ending
    unit = of_name(key)
    if unit is None or unit.kind != own.kind:
        raise NotAChoice(name=key, value=key, choices=(one.name,))
    return unit.ending


def _near(value: float, limit: float) -> bool:
    """Say whether a value is a limit but for the rounding of a conversion."""
    return math.isclose(value, limit, rel_tol=1e-12, abs_tol=1e-9)


def _number(one: Input, raw: object, ending: str | None) -> float:
    if isinstance(raw, bool) or not isinstance(raw, str | int | float):
        raise NotANumber(name=one.name, value=str(raw))
    value = number(one.name, raw)
    own = of_name(one.name)
    if ending is not None and own is not None:
        value = convert(value, ending, own.ending)
    for limit in (one.low, one.high):
        if limit is not None and _near(value, limit):
            value = limit
    low = -math.inf if one.low is None else one.low
    high = math.inf if one.high is None else one.high
    if not low <= value <= high or (one.above and value <= low):
        above = one.above and value <= low
        # A sentence takes its values in the bench's unit of the kind, which is not always the name's (cm³, L).
        told, least, most = (one_value if own is None else own.to_bench(one_value) for one_value in (value, low, high))
        raise OutOfRange(name=one.name, value=told, low=least, high=most, source=one.source, above=above)
    if one.kind == "whole":
        if value % 1 > 0:
            raise NotANumber(name=one.name, value=str(raw), right="4")
        return int(value)
    return value


Row = Mapping[str, object] | list[object]
"""A row of a table: cells by the columns' names, in any unit of their kind, or in the columns' order and own units."""


def _headed(one: Input, rows: list[list[object]]) -> Sequence[Row]:
    """Return rows of text by their columns' names where the first line names them."""
    head = [str(cell) for cell in rows[0]] if rows else []
    if not head or not all(_input_of(one.columns, name) for name in head):
        return rows
    return [dict(zip(head, row, strict=False)) if len(row) <= len(head) else row for row in rows[1:]]


def _rows(one: Input, raw: object) -> Sequence[Row]:
    """Return a table's rows: lists as they are, or text with a row a line, cells apart by commas or blanks."""
    if isinstance(raw, str):
        text = raw.strip()
        if text.startswith("["):
            try:
                return _rows(one, json.loads(text))
            except json.JSONDecodeError:
                raise Contradiction(name=one.name, value=text[:40], why="catalogue.cannot.json") from None
        lines = [line.strip() for part in text.splitlines() for line in part.split(";")]
        return _headed(one, [list(line.replace(",", " ").split()) for line in lines if line])
    if not isinstance(raw, Sequence):
        raise Contradiction(name=one.name, value=str(raw)[:40], why="catalogue.cannot.table")
    found: list[Row] = []
    for row in raw:
        if isinstance(row, Mapping):
            found.append(row)
        elif isinstance(row, Sequence) and not isinstance(row, str):
            found.append(list(row))
        else:
            raise Contradiction(name=one.name, value=str(row)[:40], why="catalogue.cannot.row")
    return found


def _by_name(one: Input, row: Row) -> Mapping[str, object]:
    if isinstance(row, Mapping):
        return row
    needed = sum(not column.optional and column.default is None for column in one.columns)
    if not needed <= len(row) <= len(one.columns):
        names = ", ".join(column.name for column in one.columns)
        raise Contradiction(name=one.name, value=" ".join(map(str, row)), why="catalogue.cannot.cells", names=names)
    return {column.name: cell for column, cell in zip(one.columns, row, strict=False)}


def _table(one: Input, raw: object, units: words.UnitSystem) -> list[dict[str, Any]]:
    rows = _rows(one, raw)
    if not 1 <= len(rows) <= MOST_ROWS:
        raise OutOfRange(name=one.name, value=len(rows), low=1, high=MOST_ROWS, source="rows of a table")
    taken = []
    for place, row in enumerate(rows, 1):
        try:
            taken.append(_taken(one.columns, _by_name(one, row), units))
        except Refused as error:
            raise RowRefused(place, error, name=one.name) from None
    return taken


def _oil(one: Input, raw: object) -> oils.Oil:
    if isinstance(raw, oils.Oil):
        return raw
    if isinstance(raw, Mapping):
        return oils.oil_from_plain(raw)
    if isinstance(raw, str):
        return oils.from_text(raw)
    raise Contradiction(name=one.name, value=str(raw)[:40], why="catalogue.cannot.oil")


def _sheet(one: Input, raw: object) -> sheets.Sheet:
    if isinstance(raw, sheets.Sheet):
        return raw
    if isinstance(raw, Mapping):
        return sheets.from_plain(raw)
    if isinstance(raw, str):
        return sheets.read(raw)
    raise Contradiction(name=one.name, value=str(raw)[:40], why="catalogue.cannot.sheet")


def _day(one: Input, raw: object) -> date:
    try:
        return date.fromisoformat(str(raw).strip())
    except ValueError:
        raise Contradiction(name=one.name, value=str(raw), why="catalogue.cannot.day") from None


def _truth(one: Input, raw: object) -> bool:
    if isinstance(raw, bool):
        return raw
    return _YES[require_choice(one.name, str(raw).strip().lower(), _YES)]


def _one(one: Input, raw: object, key: str, units: words.UnitSystem) -> Any:
    if raw is None or (isinstance(raw, str) and not raw.strip() and one.kind != "truth"):
        raw = one.default
    if raw is None:
        if one.kind == "truth":
            return False
        if one.optional:
            return None
        raise Missing(name=one.name, needed_for="the result")
    if one.kind == "table":
        return _table(one, raw, units)
    if one.kind == "oil":
        return _oil(one, raw)
    if one.kind == "sheet":
        return _sheet(one, raw)
    if one.kind == "truth":
        return _truth(one, raw)
    if one.kind == "choice":
        return require_choice(one.name, str(raw).strip(), one.choices)
    if one.kind == "day":
        return _day(one, raw)
    if one.kind == "text":
        return str(raw).strip()
    if one.kind == "reading" and raw in ("below", "above"):
        return raw
    return _number(one, raw, _unit_of_key(key, one, units))


def take(inputs: Sequence[Input], raw: Mapping[str, object], units: words.UnitSystem = "metric") -> Values:
    """Take raw inputs by name: the full name, the name with another unit of the same kind, or the name without a unit.

    Parameters
    ----------
    inputs
        What the calculation takes.
    raw
        What was given, by name; a number may be text.
    units
        The units in which a name without one is meant.

    Returns
    -------
    Mapping
        Every input's value in the unit that its name ends in, defaults filled in.

    Valid for
        Every calculation of the catalogue.

    Raises
    ------
    Refused
        Naming the input; a name that is no input's is refused too, and one that is told twice.

    Source
        The descriptions in the catalogue.

    Examples
    --------
    >>> from coldmark.bench.catalogue.model import Input
    >>> take([Input("oil_c", low=-40, high=120)], {"oil_f": "50"})
    {'oil_c': 10.0}
    """
    return _taken(inputs, raw, units)


def _input_of(inputs: Sequence[Input], key: str) -> Input | None:
    return next((one for one in inputs if key in (one.name, one.stem)), None) or next(
        (one for one in inputs if of_name(one.name) is not None and stem(key) == one.stem), None
    )


def _taken(inputs: Sequence[Input], raw: Mapping[str, object], units: words.UnitSystem) -> dict[str, Any]:
    given: dict[str, tuple[str, object]] = {}
    for key, value in raw.items():
        found = _input_of(inputs, key)
        if found is None:
            raise NotAChoice(name="input", value=key, choices=[one.name for one in inputs])
        if found.name in given:
            told = given[found.name][0]
            raise Contradiction(name=found.name, value=str(value), why="catalogue.cannot.told", told=told)
        given[found.name] = (key, value)
    taken = {}
    for one in inputs:
        key, value = given.get(one.name, (one.name, None))
        # What stands in for an empty field is kept in the input's own unit.
        empty = value is None or (isinstance(value, str) and not value.strip())
        taken[one.name] = _one(one, value, one.name if empty else key, units)
    return taken
