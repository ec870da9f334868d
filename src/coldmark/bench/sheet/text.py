"""From the text of a sheet to the sheet, or to all that is wrong with it."""

from __future__ import annotations

import hashlib
import re
import tomllib
from typing import Any

from coldmark.bench.errors import Refused
from coldmark.bench.sheet.build import build
from coldmark.bench.sheet.crossing import cross_check
from coldmark.bench.sheet.faults import Fault, SheetFaults, shown
from coldmark.bench.sheet.lines import Path, key_lines
from coldmark.bench.sheet.model import Sheet
from coldmark.bench.sheet.pressure import unrelieved
from coldmark.bench.sheet.reading import Reading, dotted
from coldmark.bench.sheet.table import ROOT
from coldmark.bench.words import sentence

__all__ = ["check", "read", "remarks", "sheet_hash"]

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


def remarks(text: str) -> tuple[Fault, ...]:
    """Return what a sound sheet leaves out that somebody could be hurt by, and what the card does about it.

    Parameters
    ----------
    text
        The sheet's TOML text.

    Returns
    -------
    tuple of Fault
        In the order of the text, told as faults are; the sheet can be used all the same. Empty for a sheet that has
        faults, which come first.

    Valid for
        Every text.

    Raises
    ------
    Nothing: remarks are the answer.

    Source
        Common practice, no source: stored pressure is let off before anything that may hold it is opened.

    Examples
    --------
    >>> from coldmark.bench.sheet import template
    >>> text = template("excavator")
    >>> remarks(text), [one.value for one in remarks(text.replace("holds_pressure = false", "holds_pressure = true"))]
    ((), ['"return"'])
    """
    try:
        sheet = read(text)
    except SheetFaults:
        return ()
    _raw, lines = _parse(text)
    found = []
    for task, index, housing in unrelieved(sheet):
        path: Path = ("tasks", task, "steps", index, "housing")
        message = "sheet.remark.let_off" if housing.holds_pressure else "sheet.remark.accumulator"
        line = next((lines[path[:end]] for end in range(len(path), 0, -1) if path[:end] in lines), 1)
        found.append(Fault(line, dotted(path), shown(housing.key), message, {"step": sentence("card.step.let_off")}))
    return tuple(sorted(found, key=lambda one: one.line))


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
