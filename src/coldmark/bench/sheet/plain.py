"""A sheet as plain data for JSON, and back: the phone gets the parsed sheet and needs no TOML reader.

Both ways follow the model's own classes, so that a new field needs nothing here.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from functools import cache
from typing import Any, Literal, Union, get_args, get_origin

from coldmark.bench.errors import Missing, NotAChoice, Refused
from coldmark.bench.level.model import Lying, Table, Upright, UprightRound
from coldmark.bench.sheet.model import Sheet

__all__ = ["FORMAT", "from_plain", "to_plain"]

FORMAT = 1
"""The version of the plain form; one that is not known is refused."""

_SHAPES: dict[str, type] = {"upright": Upright, "upright_round": UprightRound, "lying": Lying, "table": Table}
_SHAPE_NAMES = {shape: name for name, shape in _SHAPES.items()}


def _down(value: Any) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        plain = {field.name: _down(getattr(value, field.name)) for field in fields(value)}
        kind = _SHAPE_NAMES.get(type(value))
        return plain if kind is None else {"kind": kind} | plain
    if isinstance(value, Mapping):
        return {key: _down(one) for key, one in value.items()}
    if isinstance(value, tuple | list):
        return [_down(one) for one in value]
    return value


@cache
def _hints(kind: type) -> dict[str, Any]:
    return typing.get_type_hints(kind)


def _wrong(name: str, value: object, right: str) -> Refused:
    return Refused("sheet.plain", name=name, value=str(value)[:60], right=right)


def _object(kind: type, value: Any, name: str) -> Any:
    if not isinstance(value, Mapping):
        raise _wrong(name, value, "an object")
    given: dict[str, Any] = {}
    for field in fields(kind):
        if field.name in value:
            given[field.name] = _up(_hints(kind)[field.name], value[field.name], f"{name}.{field.name}")
        elif field.default is MISSING and field.default_factory is MISSING:
            raise Missing(name=f"{name}.{field.name}", needed_for="a sheet")
    return kind(**given)


def _union(choices: tuple[Any, ...], value: Any, name: str) -> Any:
    if value is None and type(None) in choices:
        return None
    kinds = [one for one in choices if one is not type(None)]
    if len(kinds) == 1:
        return _up(kinds[0], value, name)
    kind = value.get("kind") if isinstance(value, Mapping) else None
    if kind not in _SHAPES:
        raise NotAChoice(name=f"{name}.kind", value=str(kind)[:60], choices=_SHAPES)
    return _object(_SHAPES[str(kind)], value, name)


def _list(of: tuple[Any, ...], value: Any, name: str) -> tuple[Any, ...]:
    if not isinstance(value, list | tuple):
        raise _wrong(name, value, "a list")
    each = [of[0]] * len(value) if of[-1] is Ellipsis else list(of)
    if len(each) != len(value):
        raise _wrong(name, value, f"a list of {len(each)}")
    return tuple(_up(one, item, f"{name}[{place}]") for place, (one, item) in enumerate(zip(each, value, strict=True)))


def _up(hint: Any, value: Any, name: str) -> Any:
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return _union(inner, value, name)
    if origin is Literal:
        if value not in inner:
            raise NotAChoice(name=name, value=str(value)[:60], choices=inner)
        return value
    if origin is tuple:
        return _list(inner, value, name)
    if isinstance(origin, type) and issubclass(origin, Mapping):
        if not isinstance(value, Mapping):
            raise _wrong(name, value, "an object")
        return {str(key): _up(inner[1], one, f"{name}.{key}") for key, one in value.items()}
    if is_dataclass(hint) and isinstance(hint, type):
        return _object(hint, value, name)
    if hint is float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise _wrong(name, value, "a number")
        return float(value)
    if not isinstance(value, hint) or (hint is int and isinstance(value, bool)):
        raise _wrong(name, value, {str: "a text", int: "a whole number", bool: "true or false"}[hint])
    return value


def to_plain(sheet: Sheet) -> dict[str, Any]:
    """Return a sheet as plain data that JSON can carry.

    Parameters
    ----------
    sheet
        The sheet.

    Returns
    -------
    dict
        The model's fields by name, in the bench's units, with ``format`` for the version of the form.

    Valid for
        Every sheet.

    Raises
    ------
    Nothing.

    Source
        The fields of the model.

    Examples
    --------
    >>> from coldmark.bench.sheet import read, template
    >>> to_plain(read(template("dumper")))["kind"]
    'dumper'
    """
    return {"format": FORMAT} | typing.cast("dict[str, Any]", _down(sheet))


def from_plain(plain: Mapping[str, Any]) -> Sheet:
    """Return the sheet that :func:`to_plain` made plain.

    Parameters
    ----------
    plain
        The plain data, as they came back from JSON.

    Returns
    -------
    Sheet
        Equal to the one that was made plain.

    Valid for
        Plain data of this ``format``.

    Raises
    ------
    Refused
        Naming the field, when the data are not of this form.

    Source
        The fields of the model.

    Examples
    --------
    >>> from coldmark.bench.sheet import read, template
    >>> sheet = read(template("dumper"))
    >>> from_plain(to_plain(sheet)) == sheet
    True
    """
    if plain.get("format") != FORMAT:
        raise NotAChoice(name="format", value=str(plain.get("format"))[:60], choices=[str(FORMAT)])
    sheet = _object(Sheet, plain, "sheet")
    return typing.cast(Sheet, sheet)
