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
from coldmark.bench.sheet.lines import Path, key_lines
from coldmark.bench.sheet.model import Sheet
from coldmark.bench.sheet.reading import Reading
from coldmark.bench.sheet.table import ROOT

__all__ = ["check", "read", "sheet_hash"]

_LARGEST = 500_000
_AT = re.compile(r" \(at line (\d+), column (\d+)\)$| \(at end of document\)$")


def sheet_hash(text: str) -> str:
    """Return the name by which facts speak of a sheet's text.

    Parameters
    ----------
    text
        The sheet's TOML text, unchanged.

    Returns
    -------
    str
        Its SHA-256 in UTF-8, 64 hex digits.

    Valid for
        Every text.

    Raises
    ------
    Nothing.

    Source
        FIPS 180-4.

    Examples
    --------
    >>> sheet_hash("abc")[:16]
    'ba7816bf8f01cfea'
    """
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _of_text(message: str, **values: str | int | float) -> SheetFaults:
    return SheetFaults((Fault(0, "sheet", "", message, values),))


def _syntax(text: str, said: str) -> SheetFaults:
    """Return the parser's complaint as a fault with its line."""
    lines = text.split("\n")
    place = _AT.search(said)
    if place and place.group(1):
        line, column = int(place.group(1)), int(place.group(2))
    else:
        line, column = len(lines), len(lines[-1]) + 1
    written = lines[line - 1].strip() if 0 < line <= len(lines) else ""
    values: dict[str, str | int | float] = {"why": _AT.sub("", said)[:120], "column": column}
    return SheetFaults((Fault(line, "sheet", written[:60], "sheet.right.toml", values),))


def _parse(text: str) -> tuple[dict[str, Any], dict[Path, int]]:
    """Return the parsed text and the line of each key in it."""
    if len(text) > _LARGEST:
        raise _of_text("sheet.right.size", most=_LARGEST, count=len(text))
    plain = text.removeprefix("\ufeff")  # the mark that some editors put before the first letter
    try:
        text.encode("utf-8")
        return tomllib.loads(plain), key_lines(plain)
    except UnicodeEncodeError:
        raise _of_text("sheet.right.utf8") from None
    except RecursionError:
        raise _of_text("sheet.right.nested") from None
    except ValueError as fault:
        raise _syntax(plain, str(fault)) from None


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

    Valid for
        Every text.

    Raises
    ------
    Nothing: faults are the answer.

    Source
        The table of keys.

    Examples
    --------
    >>> [(fault.line, fault.value) for fault in check('origin = "manual')]
    [(1, 'origin = "manual')]
    """
    try:
        read(text)
    except SheetFaults as found:
        return found.faults
    return ()


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

    Valid for
        TOML 1.0.

    Raises
    ------
    SheetFaults
        With all that is wrong, when anything is.

    Source
        The table of keys; decisions of the house on the data sheet.

    Examples
    --------
    >>> from coldmark.bench.sheet import template
    >>> read(template("dumper")).tasks["hyd_500"].interval_h
    500.0
    """
    raw, lines = _parse(text)
    reading = Reading(lines)
    values = reading.table(ROOT, raw, (), "")
    cross_check(reading, values)
    if reading.faults:
        order = sorted(range(len(reading.faults)), key=lambda index: (reading.faults[index].line, index))
        raise SheetFaults(tuple(reading.faults[index] for index in order))
    try:
        return build(values, sheet_hash(text))
    except Refused as refusal:
        # The classes of the sums guard themselves; what they alone know to be impossible is a fault of the sheet too.
        raise _of_text("sheet.right.impossible", why=refusal.say().removesuffix(".")) from refusal
