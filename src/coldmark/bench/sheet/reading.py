"""From a parsed TOML table to plain values in the bench's units, by the field table, gathering every fault."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

from coldmark.bench.sheet.faults import Fault, nearest, shown
from coldmark.bench.sheet.fields import KEY_PATTERN, Field, TableSpec
from coldmark.bench.sheet.lines import Path
from coldmark.bench.sheet.table import ORIGINS
from coldmark.bench.units import UNITS, convert, of_name, to_bench

__all__ = ["Reading", "dotted"]

_KEY = re.compile(KEY_PATTERN)
_HUGE = 1e12
_BAD = object()
_BENCH_UNIT = {unit.kind: unit.ending for unit in reversed(UNITS.values()) if unit.scale == 1.0 and unit.shift == 0.0}
_ORIGIN = Field("origin", "choice", "where the figures come from", choices=ORIGINS)


def dotted(path: Path) -> str:
    """Write a path as people write it: places in lists counted from 1."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}"
    return text.removeprefix(".")


class Reading:
    """One reading of a sheet: the values found, the faults, and how each key was written.

    A table that is read becomes a dict by the model's names, with a ``None`` or the field's default for what is not
    given, ``origin`` for where its figures come from, and nothing at all for a value that is at fault.
    """

    def __init__(self, lines: Mapping[Path, int]) -> None:
        self.lines = lines
        self.faults: list[Fault] = []
        self.written: dict[Path, Path] = {}

    # faults

    def line_of(self, path: Path) -> int:
        """Return the line of a path, or of the nearest table around it that has one."""
        path = self.written.get(path, path)
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)

    def fault(self, path: Path, value: object, message: str, /, **values: str | int | float) -> None:
        """Note a fault at ``path``; ``value`` is what stands there, or ``None`` where nothing does."""
        path = self.written.get(path, path)
        text = "" if value is None else shown(value)
        self.faults.append(Fault(self.line_of(path), dotted(path), text, message, values))

    # tables

    def table(self, spec: TableSpec, raw: object, path: Path, origin: str) -> dict[str, Any]:
        """Read one table by its spec."""
        if not isinstance(raw, dict):
            self.fault(path, raw, "sheet.right.table")
            return {}
        known = spec.known()
        if raw.get("origin") in ORIGINS:
            origin = str(raw["origin"])
        elif spec.origin and "origin" in raw:
            self.value(_ORIGIN, raw["origin"], (*path, "origin"), origin)
        given: dict[str, Any] = {}
        for key, value in raw.items():
            if key in known:
                self._one(*known[key], key, value, path, given, origin)
            elif not (spec.origin and key == "origin"):
                self._unknown(spec, key, (*path, key))
        for field in spec.fields:
            if field.name not in given:
                if field.required:
                    self.fault((*path, field.key), None, "sheet.right.needed", says=field.says)
                else:
                    given[field.name] = field.default
        given = {name: value for name, value in given.items() if value is not _BAD}
        given["origin"] = given.get("origin") or origin
        return given

    def _one(
        self, field: Field, ending: str, key: str, value: object, path: Path, given: dict[str, Any], origin: str
    ) -> None:
        here = (*path, key)
        if field.name in given:
            earlier = dotted(self.written[(*path, field.key)][-1:])
            self.fault(here, value, "sheet.right.twice", earlier=earlier)
            return
        self.written[(*path, field.key)] = here
        if field.type == "number":
            given[field.name] = self._number(field, ending, value, here)
        else:
            given[field.name] = self.value(field, value, here, origin)

    def _unknown(self, spec: TableSpec, key: str, path: Path) -> None:
        names = [*spec.known(), *(["origin"] if spec.origin else [])]
        near = nearest(key, names)
        if near is not None:
            self.fault(path, None, "sheet.right.nearest", near=near)
        else:
            own = ", ".join([*(field.key for field in spec.fields), *(["origin"] if spec.origin else [])])
            self.fault(path, None, "sheet.right.unknown", names=own)

    # values

    def value(self, field: Field, value: object, path: Path, origin: str) -> Any:
        """Read one value that is not a number by its field; a value at fault becomes the sentinel for *bad*."""
        match field.type:
            case "text" | "name" | "choice" | "reference":
                return self._text(field, value, path)
            case "truth":
                if isinstance(value, bool):
                    return value
                self.fault(path, value, "sheet.right.truth")
                return _BAD
            case "whole":
                return self._whole(field, value, path)
            case "texts" | "choices" | "references":
                return self._list(field, value, path)
            case "shares" | "features":
                return self._numbers(field, value, path)
            case _:
                return self._tables(field, value, path, origin)

    def _text(self, field: Field, value: object, path: Path) -> Any:
        if not isinstance(value, str):
            self.fault(path, value, "sheet.right.text")
        elif field.type in ("choice", "choices"):
            if value in field.choices:
                return value
            self.fault(path, value, "sheet.right.choice", choices=", ".join(field.choices))
        elif field.type == "name":
            if _KEY.match(value):
                return value
            self.fault(path, value, "sheet.right.name")
        elif not value.strip() and (field.required or field.type not in ("text",)):
            self.fault(path, value, "sheet.right.not_empty", says=field.says)
        elif field.high is not None and len(value) > field.high:
            self.fault(path, value, "sheet.right.shorter", most=int(field.high), count=len(value))
        elif any(ord(letter) < 32 for letter in value):
            self.fault(path, value, "sheet.right.one_line")
        else:
            return value.strip()
        return _BAD

    def _whole(self, field: Field, value: object, path: Path) -> Any:
        low, high = int(field.low or 0), int(field.high or 10**6)
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        self.fault(path, value, "sheet.right.whole", low=low, high=high)
        return _BAD

    def _number(self, field: Field, ending: str, value: object, path: Path) -> Any:
        if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < _HUGE:
            self.fault(path, value, "sheet.right.number")
            return _BAD
        unit = field.unit
        number = float(value)
        low, high = field.low, field.high
        if unit is not None and ending != unit.ending:
            number = convert(number, ending, unit.ending)
            low = None if low is None else convert(low, unit.ending, ending)
            high = None if high is None else convert(high, unit.ending, ending)
        if not math.isfinite(number):
            self.fault(path, value, "sheet.right.number")
        elif (field.low is not None and number < field.low) or (field.high is not None and number > field.high):
            self.fault(
                path,
                value,
                "sheet.right.between" if high is not None else "sheet.right.at_least",
                low=f"{low or 0:g}",
                high=f"{high or 0:g}",
            )
        else:
            return number
        return _BAD

    def _list(self, field: Field, value: object, path: Path) -> Any:
        if not isinstance(value, list):
            self.fault(path, value, "sheet.right.list")
            return _BAD
        found = [self._text(field, item, (*path, index)) for index, item in enumerate(value)]
        for index, item in enumerate(found):
            if item is not _BAD and item in found[:index]:
                self.fault((*path, index), item, "sheet.right.only_once")
        return tuple(item for item in found if item is not _BAD)

    def _numbers(self, field: Field, value: object, path: Path) -> Any:
        if not isinstance(value, dict):
            self.fault(path, value, "sheet.right.table")
            return _BAD
        found: dict[str, float] = {}
        for key, number in value.items():
            here = (*path, key)
            if field.type == "shares":
                share = self._number(Field(key, "number", "", low=0, high=1), "", number, here)
                if share is not _BAD:
                    found[key] = share
                continue
            unit = of_name(key)
            if unit is None or not _KEY.match(key):
                self.fault(here, number, "sheet.right.ends_in_unit")
                continue
            feature = self._number(Field("feature", "number", ""), "", number, here)
            if feature is not _BAD:
                found[key[: -len(unit.ending)] + _BENCH_UNIT[unit.kind]] = to_bench(feature, unit.ending)
        return found

    def _tables(self, field: Field, value: object, path: Path, origin: str) -> Any:
        spec = field.table
        if spec is None:
            raise TypeError(field.key)
        if field.type == "table":
            return self.table(spec, value, path, origin)
        if field.type == "named":
            return self._named(field, spec, value, path, origin)
        if not isinstance(value, list):
            self.fault(path, value, "sheet.right.rows", place=dotted(path))
            return _BAD
        if field.required and not value:
            self.fault(path, value, "sheet.right.not_empty", says=field.says)
        return tuple(self.table(spec, row, (*path, index), origin) for index, row in enumerate(value))

    def _named(self, field: Field, spec: TableSpec, value: object, path: Path, origin: str) -> Any:
        if not isinstance(value, dict):
            self.fault(path, value, "sheet.right.table")
            return _BAD
        if field.required and not value:
            self.fault(path, None, "sheet.right.needed", says=field.says)
        found: dict[str, dict[str, Any]] = {}
        for key, raw in value.items():
            here = (*path, key)
            if not _KEY.match(key):
                self.fault(here, None, "sheet.right.name")
            found[key] = self.table(spec, raw, here, origin)
        return found
