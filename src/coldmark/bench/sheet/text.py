"""From the text of a sheet to the sheet, or to all that is wrong with it."""

from __future__ import annotations

import hashlib
import re
import tomllib
from typing import Any

from coldmark.bench.errors import Refused
from coldmark.bench.sheet.build import build
from coldmark.bench.sheet.crossing import cross_check
from coldmark.bench.sheet.faults import Fault, SheetFaults
from coldmark.bench.sheet.lines import key_lines
from coldmark.bench.sheet.model import Sheet
from coldmark.bench.sheet.reading import Reading
from coldmark.bench.sheet.table import ROOT

__all__ = ["check", "read", "sheet_hash"]

_LARGEST = 500_000
_AT = re.compile(r" \(at line (\d+), column (\d+)\)$| \(at end of document\)$")


def sheet_hash(text: str) -> str:
    """Return the SHA-256 of a sheet's text, the name by which facts speak of it."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _of_text(message: str, **values: str | int | float) -> tuple[Fault, ...]:
    return (Fault(0, "sheet", "", message, values),)


def _parse(text: str) -> tuple[dict[str, Any], Reading] | tuple[Fault, ...]:
    """Parse the text, or return what stops it from being parsed."""
    if len(text) > _LARGEST:
        return _of_text("sheet.right.size", most=_LARGEST, count=len(text))
    try:
        text.encode("utf-8")
        plain = text.removeprefix("\ufeff")  # the mark that some editors put before the first letter
        return tomllib.loads(plain), Reading(key_lines(plain))
    except UnicodeEncodeError:
        return _of_text("sheet.right.utf8")
    except RecursionError:
        return _of_text("sheet.right.nested")
    except ValueError as fault:
        said = str(fault)
        place = _AT.search(said)
        line = int(place.group(1)) if place and place.group(1) else text.count("\n") + 1
        lines = text.split("\n")
        written = lines[line - 1].strip() if 0 < line <= len(lines) else ""
        why = _AT.sub("", said)
        column = int(place.group(2)) if place and place.group(2) else len(lines[-1]) + 1
        return (Fault(line, "sheet", written[:60], "sheet.right.toml", {"why": why[:120], "column": column}),)


def _whole(text: str) -> Sheet | tuple[Fault, ...]:
    """Return the sheet, or all that is wrong with it."""
    parsed = _parse(text)
    if not isinstance(parsed[1], Reading):
        return tuple(fault for fault in parsed if isinstance(fault, Fault))
    raw, reading = parsed
    values = reading.table(ROOT, raw, (), "")
    cross_check(reading, values)
    if reading.faults:
        order = sorted(range(len(reading.faults)), key=lambda index: (reading.faults[index].line, index))
        return tuple(reading.faults[index] for index in order)
    try:
        return build(values, sheet_hash(text))
    except Refused as refusal:
        # The classes of the sums guard themselves; what they alone know to be impossible is a fault of the sheet too.
        return _of_text("sheet.right.impossible", why=refusal.say().removesuffix("."))


def check(text: str) -> tuple[Fault, ...]:
    """Return all that is wrong with a sheet's text: the first fault of syntax, else every fault of a value.

    Parameters
    ----------
    text
        The sheet's TOML text.

    Returns
    -------
    tuple of Fault
        In the order of the text, each with line, key, value and what would be right; empty for a sound sheet.

    Examples
    --------
    >>> [fault.say() for fault in check('origin = "manual')]
    ['Line 1: "origin = "manual" this is not TOML (Illegal character, column 18).']
    """
    found = _whole(text)
    return () if isinstance(found, Sheet) else found


def read(text: str) -> Sheet:
    """Read a machine's data sheet.

    Parameters
    ----------
    text
        The sheet's TOML text.

    Returns
    -------
    Sheet
        The sheet in the bench's units; what the text does not give is ``None``.

    Raises
    ------
    SheetFaults
        With all that is wrong, when anything is.
    """
    found = _whole(text)
    if not isinstance(found, Sheet):
        raise SheetFaults(found)
    return found
