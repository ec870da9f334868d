"""The JSON Schema of a data sheet, for editors that complete and check TOML, made from the field table."""

from __future__ import annotations

from typing import Any

from coldmark.bench.sheet.fields import KEY_PATTERN, Field, TableSpec
from coldmark.bench.sheet.table import ORIGINS, ROOT
from coldmark.bench.unit_table import UNITS
from coldmark.bench.units import convert

__all__ = ["json_schema"]

Schema = dict[str, Any]


def _number(field: Field, ending: str) -> Schema:
    schema: Schema = {"type": "number", "description": field.says}
    unit = field.unit
    for word, limit in (("minimum", field.low), ("maximum", field.high)):
        if limit is not None:
            schema[word] = limit if unit is None else convert(limit, unit.ending, ending)
    if ending:
        schema["description"] = f"{field.says} [{UNITS[ending].symbol}]" if UNITS[ending].symbol else field.says
    return schema


def _text(field: Field) -> Schema:
    if field.type in ("choice", "choices"):
        return {"enum": list(field.choices)}
    if field.type == "name":
        return {"type": "string", "pattern": KEY_PATTERN}
    schema: Schema = {"type": "string"}
    if field.required or field.type != "text":
        schema["pattern"] = r"\S"
    if field.high is not None:
        schema["maxLength"] = int(field.high)
    return schema


def _features() -> Schema:
    endings = "|".join(sorted(UNITS, key=len, reverse=True))
    return {"type": "object", "patternProperties": {f"^([a-z][a-z0-9_]*_)?({endings})$": {"type": "number"}}} | {
        "additionalProperties": False
    }


def _value(field: Field) -> Schema:
    match field.type:
        case "truth":
            schema: Schema = {"type": "boolean"}
        case "whole":
            schema = {"type": "integer", "minimum": int(field.low or 0), "maximum": int(field.high or 10**6)}
        case "texts" | "choices" | "references":
            schema = {"type": "array", "items": _text(field), "uniqueItems": True}
        case "shares":
            schema = {"type": "object", "additionalProperties": {"type": "number", "minimum": 0, "maximum": 1}}
        case "features":
            schema = _features()
        case "table" | "named" | "rows":
            schema = _nested(field)
        case _:
            schema = _text(field)
    return schema | {"description": field.says}


def _nested(field: Field) -> Schema:
    if field.table is None:
        raise TypeError(field.key)
    inner = _table(field.table)
    if field.type == "rows":
        return {"type": "array", "items": inner} | ({"minItems": 1} if field.required else {})
    if field.type == "named":
        least = {"minProperties": 1} if field.required else {}
        names: Schema = {"propertyNames": {"pattern": KEY_PATTERN}}
        return {"type": "object", "additionalProperties": inner} | names | least
    return inner


def _table(spec: TableSpec) -> Schema:
    properties: Schema = {}
    required: list[str] = []
    one_of: list[Schema] = []
    for field in spec.fields:
        spellings = field.spellings()
        for key, ending in spellings.items():
            properties[key] = _number(field, ending) if field.type == "number" else _value(field)
        if field.required and len(spellings) == 1:
            required.append(field.key)
        elif field.required:
            one_of.append({"oneOf": [{"required": [key]} for key in spellings]})
    if spec.origin:
        properties["origin"] = {"enum": list(ORIGINS), "description": "where this table's figures come from"}
    schema: Schema = {"type": "object", "description": spec.says, "properties": properties}
    schema |= {"additionalProperties": False}
    if required:
        schema["required"] = required
    if one_of:
        schema["allOf"] = one_of
    return schema


def json_schema() -> Schema:
    """Return the JSON Schema (draft 2020-12) of a data sheet.

    It knows keys, types, choices and limits, in every unit that a key may be written in. What one key says about
    another (references, orders, postures that name every cylinder) only :func:`~coldmark.bench.sheet.check` knows.

    Returns
    -------
    dict
        The schema, ready for JSON.

    Examples
    --------
    >>> json_schema()["properties"]["machine"]["properties"]["mass_t"]["maximum"]
    200.0
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Machine data sheet",
    } | _table(ROOT)
