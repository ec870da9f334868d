"""JSON Schemas of what is asked and answered, made from the descriptions that the program itself works by.

From a dataclass: its fields and their types. From a fact's field: its type, choices and units. From an input of the
catalogue: its kind, limits and units. Nothing is described a second time.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from typing import Any, Literal

from coldmark.bench.catalogue import MOST_ROWS, Entry, Input
from coldmark.bench.facts import Field, json_schema
from coldmark.bench.job import Ask, told_as
from coldmark.bench.unit_table import UNITS, of_name

__all__ = ["ask_schema", "calculation_schema", "fact_schemas", "shape_schemas"]

Plain = dict[str, Any]

_PLAIN: Mapping[object, Plain] = {
    str: {"type": "string"},
    int: {"type": "integer"},
    float: {"type": "number"},
    bool: {"type": "boolean"},
    type(None): {"type": "null"},
}
_NUMBER: Plain = {"anyOf": [{"type": "number"}, {"type": "string", "minLength": 1, "maxLength": 60}]}


def ref(name: str) -> Plain:
    """A reference to a schema of the components."""
    return {"$ref": f"#/components/schemas/{name}"}


def shape_schemas(shapes: Iterable[type]) -> dict[str, Plain]:
    """Schemas of dataclasses and of those inside them, by their names."""
    found: dict[str, Plain] = {}
    for shape in shapes:
        _shape(shape, found)
    return found


def _shape(shape: type, found: dict[str, Plain]) -> Plain:
    if shape.__name__ not in found:
        told: Plain = {"type": "object", "description": (shape.__doc__ or "").strip()}
        found[shape.__name__] = told
        hints = typing.get_type_hints(shape)
        names = [field.name for field in fields(shape)]
        told["properties"] = {name: _type(hints[name], found) for name in names}
        told["required"] = names
        told["additionalProperties"] = False
    return ref(shape.__name__)


def _type(told: Any, found: dict[str, Plain]) -> Plain:
    if told in _PLAIN:
        return dict(_PLAIN[told])
    if told is Any:
        return {}
    origin, inside = typing.get_origin(told), typing.get_args(told)
    if origin is Literal:
        return {"enum": list(inside)}
    if origin in {types.UnionType, typing.Union}:
        return {"anyOf": [_type(one, found) for one in inside]}
    if origin is tuple and inside[-1] is Ellipsis:
        return {"type": "array", "items": _type(inside[0], found)}
    if origin is tuple:
        items = [_type(one, found) for one in inside]
        return {"type": "array", "prefixItems": items, "items": False, "minItems": len(items)}
    if isinstance(origin, type) and issubclass(origin, Mapping):
        values = _type(inside[1], found)
        return {"type": "object"} | ({"additionalProperties": values} if values else {})
    if is_dataclass(told) and isinstance(told, type):
        return _shape(told, found)
    raise TypeError(f"no schema for {told!r}")


def fact_schemas() -> dict[str, Plain]:
    """The schema of a fact, and of all that it is made of, by names that start with *fact*."""
    whole = json_schema()
    found = {f"fact.{name}": _moved(schema) for name, schema in whole["$defs"].items()}
    found["fact"] = {"description": whole["title"], "oneOf": _moved(whole["oneOf"])}
    return found


def _moved(schema: Any) -> Any:
    """The same schema with its references pointing into the components."""
    if isinstance(schema, dict):
        return {
            key: value.replace("#/$defs/", "#/components/schemas/fact.") if key == "$ref" else _moved(value)
            for key, value in schema.items()
        }
    return [_moved(one) for one in schema] if isinstance(schema, list) else schema


def ask_schema(ask: Ask, description: str) -> Plain:
    """The schema of a request's body."""
    properties: dict[str, Plain] = {}
    for key, field in ask.fields.items():
        for name in told_as(key, field):
            schema = _field(field)
            properties[name] = {"description": field.says} | (
                {"anyOf": [schema, {"type": "null"}]} if field.optional else schema
            )
    told: Plain = {
        "type": "object",
        "description": description,
        "properties": properties,
        "additionalProperties": False,
    }
    return told | _needs(told_as(key, ask.fields[key]) for key in ask.needed)


def _field(field: Field) -> Plain:
    match field.type:
        case "choice":
            return {"enum": list(field.choices)}
        case "reading":
            return {"anyOf": [*_NUMBER["anyOf"], {"enum": ["below", "above"]}]}
        case "truth":
            return {"type": "boolean"}
        case "shares":
            return {"type": "object", "additionalProperties": _NUMBER}
        case "key":
            return {"type": "string", "maxLength": 120}
        case "quantity" | "whole":
            return _NUMBER
    raise TypeError(f"no schema for a field of type {field.type}")


def _needs(names: Iterable[tuple[str, ...]]) -> Plain:
    """What makes one name of each of these tuples necessary."""
    listed = list(names)
    single = [one[0] for one in listed if len(one) == 1]
    several = [{"anyOf": [{"required": [name]} for name in one]} for one in listed if len(one) > 1]
    return ({"required": single} if single else {}) | ({"allOf": several} if several else {})


def calculation_schema(entry: Entry, question: str) -> Plain:
    """The schema of what is put into a calculation; each quantity in any unit of its kind."""
    examples = {one.name: one.example for one in entry.inputs if one.example is not None}
    return _named(entry.inputs) | {"description": question} | ({"examples": [examples]} if examples else {})


def _named(inputs: Iterable[Input]) -> Plain:
    """An object that holds each input under one of its names."""
    properties: dict[str, Plain] = {}
    needed = []
    for one in inputs:
        names = _input_names(one)
        for name in names:
            properties[name] = _input(one, name)
        if not (one.optional or one.default is not None or one.kind == "truth"):
            needed.append(names)
    return {"type": "object", "properties": properties, "additionalProperties": False} | _needs(needed)


def _input_names(one: Input) -> tuple[str, ...]:
    """The name with its own unit first, then in the others of its kind, then without: in the reader's own unit."""
    own = of_name(one.name)
    if own is None:
        return (one.name,)
    others = (f"{one.stem}_{ending}" for ending, unit in UNITS.items() if unit.kind == own.kind and unit is not own)
    return (one.name, *others, one.stem)


def _input(one: Input, name: str) -> Plain:
    match one.kind:
        case "number" | "whole" | "reading":
            words = [{"enum": ["below", "above"]}] if one.kind == "reading" else []
            return {"anyOf": [_limited(one, name), _NUMBER["anyOf"][1], *words]}
        case "choice":
            return {"enum": list(one.choices)}
        case "truth":
            return {"anyOf": [{"type": "boolean"}, {"enum": ["yes", "no"]}]}
        case "table":
            return _table(one)
        case "day":
            return {"type": "string", "format": "date"}
        case "sheet":
            return {"type": "string", "description": "a data sheet's text, or the SHA-256 of one that is kept here"}
        case "oil":
            return {"type": "string", "description": "an oil's text, or the key of one that is kept here"}
        case "text":
            return {"type": "string"}


def _limited(one: Input, name: str) -> Plain:
    """A number within the input's limits, where it is told in the input's own unit."""
    told: Plain = {"type": "number"}
    if name != one.name:
        return told
    if one.low is not None:
        told["exclusiveMinimum" if one.above else "minimum"] = one.low
    if one.high is not None:
        told["maximum"] = one.high
    if one.source:
        told["description"] = one.source
    return told


def _cell(column: Input) -> Plain:
    """A cell in its column's place; where it may be left empty, nothing or an empty text keeps the place."""
    told = _input(column, column.name)
    return {"anyOf": [told, {"enum": [None, ""]}]} if column.optional or column.default is not None else told


def _table(one: Input) -> Plain:
    columns = [_cell(column) for column in one.columns]
    needed = sum(not column.optional and column.default is None for column in one.columns)
    row = {"type": "array", "prefixItems": columns, "items": False, "minItems": needed}
    titles = ", ".join(column.name for column in one.columns)
    rows = {"anyOf": [row, _named(one.columns)]}
    return {"type": "array", "description": titles, "items": rows, "minItems": 1, "maxItems": MOST_ROWS}
