"""The contract for others who write facts: JSON Schema and TypeScript types, made from the table of kinds.

``python -m coldmark.bench.facts FOLDER`` writes both into the folder; a test fails while they are stale.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from coldmark.bench.facts.checks import DAY, DECIMAL, HASH, KEY, LIMITS, LONGEST_LIST, MARK, MOMENT, SAFE_WHOLE, UUID
from coldmark.bench.facts.kinds import KINDS, Field, Kind
from coldmark.bench.facts.reading import APP, ENVELOPE, ID7
from coldmark.bench.facts.upgrades import OLDER
from coldmark.bench.unit_table import UNITS

if TYPE_CHECKING:
    from pathlib import Path  # a phone writes no files

__all__ = ["FILES", "json_schema", "typescript", "write"]

Plain = dict[str, Any]

_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def json_schema() -> Plain:
    """Return the JSON Schema of a fact of any known kind, in its present version and in those before it.

    The schema says what JSON Schema can say. What fields must hold together, days that are none (30 February) and
    the limits of quantities are checked by :func:`~coldmark.bench.facts.parse` alone.

    Returns
    -------
    dict
        A schema of draft 2020-12.

    Source
        JSON Schema draft 2020-12, core and validation.

    Examples
    --------
    >>> schema = json_schema()
    >>> len(schema["oneOf"]) == len(KINDS) + len(OLDER), schema["$defs"]["day"]["pattern"]
    (True, '^[0-9]{4}-[0-9]{2}-[0-9]{2}$')
    """
    definitions: Plain = {
        "id": _text(UUID),
        "id7": _text(ID7),
        "hash": _text(HASH),
        "key": _text(KEY),
        "mark": _text(MARK),
        "decimal": _text(DECIMAL),
        "day": _text(DAY),
        "moment": _text(MOMENT),
    }
    for measures in LIMITS:
        definitions[measures] = {
            "type": "object",
            "properties": {"value": {"$ref": "#/$defs/decimal"}, "unit": {"enum": _units(measures)}},
            "required": ["value", "unit"],
            "additionalProperties": False,
        }
    for name, kind in _named().items():
        definitions[f"{name}_body"] = _body_schema(kind)
        definitions[name] = _fact_schema(kind, f"{name}_body")
    return {
        "$schema": _DIALECT,
        "title": "A fact",
        "description": "One thing recorded at one time by one person on one device. Made by coldmark; do not edit.",
        "oneOf": [{"$ref": f"#/$defs/{name}"} for name in _named()],
        "$defs": definitions,
    }


def _named() -> dict[str, Kind]:
    """Return every version of every kind by its name in the schema: the present one's is that of the kind."""
    return KINDS | {f"{name}_v{version}": kind for (name, version), kind in OLDER.items()}


def _text(pattern: str) -> Plain:
    return {"type": "string", "pattern": f"^{pattern}$"}


def _units(measures: str) -> list[str]:
    return [ending for ending, unit in UNITS.items() if unit.kind == measures]


def _fact_schema(kind: Kind, body: str) -> Plain:
    whole = {"type": "integer", "minimum": 1, "maximum": SAFE_WHOLE}
    properties: Plain = {
        "id": {"$ref": "#/$defs/id7"},
        "kind": {"const": kind.name},
        "version": {"const": kind.version},
        "subject": {
            "type": "object",
            "properties": {"type": {"enum": list(kind.subjects)}, "id": {"$ref": "#/$defs/id"}},
            "required": ["type", "id"],
            "additionalProperties": False,
        },
        "job": {"$ref": "#/$defs/id"} if kind.needs_job else _or_null({"$ref": "#/$defs/id"}),
        "at": {"$ref": "#/$defs/moment"},
        "recorded": {"$ref": "#/$defs/moment"},
        "device": {"$ref": "#/$defs/id"},
        "number": whole,
        "person": {"$ref": "#/$defs/id"},
        "app": _text(APP),
        "body": {"$ref": f"#/$defs/{body}"},
    }
    return {"type": "object", "properties": properties, "required": list(ENVELOPE), "additionalProperties": False}


def _body_schema(kind: Kind) -> Plain:
    return {
        "type": "object",
        "description": kind.says,
        "properties": {
            name: _or_null(_field_schema(field)) if field.optional else _field_schema(field)
            for name, field in kind.fields.items()
        },
        "required": [name for name, field in kind.fields.items() if not field.optional],
        "additionalProperties": False,
    }


def _or_null(schema: Plain) -> Plain:
    return {"anyOf": [schema, {"type": "null"}]}


def _field_schema(field: Field) -> Plain:
    match field.type:
        case "choice":
            found: Plain = {"enum": list(field.choices)}
        case "quantity":
            found = {"$ref": f"#/$defs/{field.measures}"}
        case "reading":
            found = {"anyOf": [{"$ref": "#/$defs/decimal"}, {"enum": ["below", "above"]}]}
        case "whole":
            least = -SAFE_WHOLE if field.least is None else field.least
            found = {"type": "integer", "minimum": least, "maximum": SAFE_WHOLE}
        case "truth":
            found = {"type": "boolean"}
        case "shares":
            names, shares = {"pattern": f"^{KEY}$"}, {"$ref": "#/$defs/decimal"}
            found = {"type": "object", "propertyNames": names, "additionalProperties": shares}
        case "body":
            found = {"type": "object"}
        case "hashes" | "keys":
            item = "hash" if field.type == "hashes" else "key"
            found = {"type": "array", "items": {"$ref": f"#/$defs/{item}"}, "maxItems": LONGEST_LIST}
        case "fact_hashes":
            pair = [{"$ref": "#/$defs/id"}, {"$ref": "#/$defs/hash"}]
            pairs = {"type": "array", "prefixItems": pair, "items": False, "minItems": 2}
            found = {"type": "array", "items": pairs, "maxItems": LONGEST_LIST}
        case _:
            found = {"$ref": f"#/$defs/{field.type}"}
    return {"description": field.says, **found}


def typescript() -> str:
    """Return TypeScript types of every known kind in its present version, and the kinds' versions as a constant.

    Returns
    -------
    str
        A module's source.

    Examples
    --------
    >>> "export interface MeterReadBody {" in typescript()
    True
    """
    parts = [_HEAD]
    for measures in LIMITS:
        units = " | ".join(f'"{unit}"' for unit in _units(measures))
        parts.append(f"export interface {_camel(measures)} {{\n  value: Decimal;\n  unit: {units};\n}}\n")
    parts.append(_ENVELOPE)
    for kind in KINDS.values():
        parts.append(_body_type(kind))
    lines = [
        f'  {kind.name}: Envelope<"{kind.name}", {kind.version}, {_subjects(kind)}, '
        f"{'Id' if kind.needs_job else 'Id | null'}, {_camel(kind.name)}Body>;"
        for kind in KINDS.values()
    ]
    parts.append("export interface FactOf {\n" + "\n".join(lines) + "\n}\n")
    parts.append("export type Kind = keyof FactOf;\nexport type Fact = FactOf[Kind];\n")
    versions = "\n".join(f"  {kind.name}: {kind.version}," for kind in KINDS.values())
    parts.append(f"export const VERSIONS = {{\n{versions}\n}} as const satisfies Record<Kind, number>;\n")
    return "\n".join(parts)


_HEAD = """\
// Made from the table of kinds by `python -m coldmark.bench.facts contract`. Do not edit.

/** UUID in lower case. */
export type Id = string;
/** SHA-256 of an attachment or a text: 64 hex digits in lower case. */
export type Hash = string;
/** A name from the data sheet: letters, digits, _ . or -. */
export type Key = string;
/** 1 to 40 characters as printed on a part or a bottle. */
export type Mark = string;
/** A decimal as text with a point, like "12.5". */
export type Decimal = string;
/** 2026-03-02 */
export type Day = string;
/** 2026-03-02T08:15:00+01:00, always with its UTC offset. */
export type Moment = string;
export type AnyBody = Record<string, unknown>;
"""

_ENVELOPE = """\
export type SubjectType = "machine" | "visit" | "van" | "device";

/** Written in this order of keys, as compact JSON: that text is what is kept and hashed. */
export interface Envelope<K extends string, V extends number, S extends SubjectType, J extends Id | null, B> {
  id: Id;
  kind: K;
  version: V;
  subject: { type: S; id: Id };
  job: J;
  at: Moment;
  recorded: Moment;
  device: Id;
  number: number;
  person: Id;
  app: string;
  body: B;
}
"""


def _camel(name: str) -> str:
    return "".join(part.capitalize() for part in name.split("_"))


def _subjects(kind: Kind) -> str:
    return " | ".join(f'"{subject}"' for subject in kind.subjects)


def _body_type(kind: Kind) -> str:
    lines = [f"/** {kind.says} */", f"export interface {_camel(kind.name)}Body {{"]
    for name, field in kind.fields.items():
        lines.append(f"  /** {field.says} */")
        lines.append(f"  {name}{'?' if field.optional else ''}: {_type(field)}{' | null' if field.optional else ''};")
    return "\n".join([*lines, "}\n"])


def _type(field: Field) -> str:
    if field.type == "choice":
        return " | ".join(f'"{choice}"' for choice in field.choices)
    if field.type == "quantity":
        return _camel(field.measures)
    return _TYPES[field.type]


_TYPES = {
    "id": "Id",
    "hash": "Hash",
    "key": "Key",
    "mark": "Mark",
    "decimal": "Decimal",
    "reading": 'Decimal | "below" | "above"',
    "whole": "number",
    "truth": "boolean",
    "day": "Day",
    "moment": "Moment",
    "shares": "Record<Key, Decimal>",
    "body": "AnyBody",
    "hashes": "Hash[]",
    "keys": "Key[]",
    "fact_hashes": "[Id, Hash][]",
}


def _schema_text() -> str:
    return json.dumps(json_schema(), indent=2, ensure_ascii=False) + "\n"


FILES = {"facts.schema.json": _schema_text, "facts.ts": typescript}


def write(folder: Path) -> None:
    """Write the generated files into ``folder``."""
    for name, made in FILES.items():
        (folder / name).write_text(made(), encoding="utf-8")
