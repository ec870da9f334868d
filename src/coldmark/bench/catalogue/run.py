"""Run a calculation of the catalogue, and describe it for a form."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, cast

from coldmark.bench import words
from coldmark.bench import working as workings
from coldmark.bench.catalogue import steps
from coldmark.bench.catalogue.entries import ENTRIES
from coldmark.bench.catalogue.model import Entry, Input, Outcome, Shown
from coldmark.bench.catalogue.taking import take
from coldmark.bench.errors import require_choice
from coldmark.bench.unit_table import of_name, shown_unit
from coldmark.bench.working import Range

__all__ = ["describe", "entry", "outcome_to_plain", "run"]

EXPLAINED = ("what", "when", "assumes", "limits")
"""The parts of the page that explains a calculation, by their messages' last word."""


def entry(name: str) -> Entry:
    """Return a calculation by its key.

    Parameters
    ----------
    name
        A key of :data:`ENTRIES`.

    Returns
    -------
    Entry
        The calculation.

    Valid for
        Keys of the catalogue.

    Raises
    ------
    NotAChoice
        For another name, with all that there are.

    Source
        The catalogue.

    Examples
    --------
    >>> entry("rod_volume").fields
    ('drawn_l', 'holds_in_l', 'holds_out_l')
    """
    return ENTRIES[require_choice("calculation", name, ENTRIES)]


def _text(name: str, value: float | str | None, units: words.UnitSystem, fine: bool) -> str:
    if value is None:
        return words.sentence("catalogue.nothing")
    if isinstance(value, str):
        told = f"catalogue.choice.{value}"
        return words.sentence(told) if words.has(told) else value
    unit = of_name(name)
    return words.figures(value, 4) if unit is None else words.quantity(value, unit.ending, units=units, fine=fine)


def _shown(name: str, found: float | str | Range | None, units: words.UnitSystem, fine: bool) -> Shown:
    label = words.sentence(f"catalogue.field.{name}")
    if not isinstance(found, Range):
        return Shown(name, label, found, None, None, _text(name, found, units, fine))
    unit = of_name(name)
    symbol = "" if unit is None else shown_unit(unit.ending, units).symbol
    text = words.sentence(
        "catalogue.range",
        value=_text(name, found.value, units, fine),
        # The unit once for both ends: on a phone each time more takes a line.
        low=_text(name, found.low, units, fine).removesuffix(symbol).rstrip(),
        high=_text(name, found.high, units, fine),
    )
    return Shown(name, label, found.value, found.low, found.high, text)


def run(name: str, raw: Mapping[str, object], units: words.UnitSystem = "metric") -> Outcome:
    """Run a calculation on what somebody put in.

    Parameters
    ----------
    name
        A key of the catalogue.
    raw
        Values by input name, as typed: the full name (``oil_c``), the same with another unit (``oil_f``), or without
        one (``oil``) for the reader's own unit. Tables are rows of cells; sheets and oils are their text.
    units
        ``"metric"`` or ``"us"``.

    Returns
    -------
    Outcome
        Sentences, fields, notes, working and, where there is one, a picture.

    Valid for
        The limits of each input.

    Raises
    ------
    Refused
        Naming the input, its value and what would be right.

    Source
        The calculation's own.

    Examples
    --------
    >>> raw = {"kind": "double", "bore_mm": 100, "rod_mm": 56, "stroke_mm": 800}
    >>> run("rod_volume", raw).fields[0].text
    '2.0 L'
    """
    chosen = entry(name)
    values = take(chosen.inputs, raw, units)
    answer = chosen.tell(chosen.function(**chosen.prepare(values)), values, units)
    return Outcome(
        key=chosen.key,
        says=answer.says,
        fields=tuple(_shown(field, answer.fields[field], units, chosen.fine) for field in chosen.fields),
        notes=answer.notes,
        working=answer.working,
        working_lines=tuple(workings.lines(answer.working, units)),
        picture=answer.picture,
    )


def outcome_to_plain(outcome: Outcome, units: words.UnitSystem = "metric") -> dict[str, Any]:
    """Return an outcome as plain data for JSON.

    Parameters
    ----------
    outcome
        From :func:`run`.
    units
        The reader's units, for the working.

    Returns
    -------
    dict
        JSON-ready.

    Valid for
        Every outcome.

    Raises
    ------
    KeyError
        When a sentence is missing: a mistake in the program.

    Source
        Definition.

    Examples
    --------
    >>> raw = {"kind": "double", "bore_mm": 100, "rod_mm": 56, "stroke_mm": 800}
    >>> outcome_to_plain(run("rod_volume", raw))["fields"]["drawn_l"]["text"]
    '2.0 L'
    """
    return {
        "calculation": outcome.key,
        "says": list(outcome.says),
        "fields": {
            one.name: {"label": one.label, "value": one.value, "low": one.low, "high": one.high, "text": one.text}
            for one in outcome.fields
        },
        "notes": list(outcome.notes),
        "working": workings.to_plain(outcome.working, units),
        "picture": outcome.picture,
    }


def _in_readers_unit(one: Input, value: float | str | None, units: words.UnitSystem) -> float | None:
    if value is None or one.kind not in {"number", "whole", "reading"}:
        return None
    unit = of_name(one.name)
    number = float(value)
    return number if unit is None else round(shown_unit(unit.ending, units).from_bench(unit.to_bench(number)), 6)


def _example(one: Input, value: object, units: words.UnitSystem) -> object:
    """What the example puts in, as somebody types it in the reader's unit; a table's rows by its columns' stems."""
    if value in (None, "") or one.kind in {"sheet", "oil"}:
        return None
    if one.kind == "table":
        rows = cast(Sequence[object], value)
        return [_example_row(one.columns, row, units) for row in rows]
    if isinstance(value, bool) or one.kind not in {"number", "whole", "reading"} or value in ("below", "above"):
        return value
    shown = _in_readers_unit(one, str(value), units)
    return None if shown is None else words.figures(shown, 5)


def _example_row(columns: Sequence[Input], row: object, units: words.UnitSystem) -> dict[str, object]:
    cells = (
        row
        if isinstance(row, Mapping)
        else dict(zip((one.name for one in columns), cast(Sequence[object], row), strict=False))
    )
    return {
        one.stem: _example(one, cells.get(one.name), units) for one in columns if cells.get(one.name) not in (None, "")
    }


def _describe_input(one: Input, units: words.UnitSystem) -> dict[str, Any]:
    unit = of_name(one.name)
    shown = None if unit is None else shown_unit(unit.ending, units)
    numeric = _in_readers_unit(one, one.default, units)
    return {
        "name": one.name,
        "stem": one.stem,
        "label": words.sentence(one.label),
        "kind": one.kind,
        "unit": None if shown is None else {"ending": shown.ending, "symbol": shown.symbol},
        "low": _in_readers_unit(one, one.low, units),
        "high": _in_readers_unit(one, one.high, units),
        "above": one.above,
        "step": None if one.step is None else steps.in_readers_unit(one.name, one.step, units),
        "limits_from": one.source,
        "optional": one.optional or one.default is not None or one.kind == "truth",
        "default": one.default if numeric is None else numeric,
        "choices": [{"key": key, "says": words.sentence(f"catalogue.choice.{key}")} for key in one.choices],
        "columns": [_describe_input(column, units) for column in one.columns],
        "example": _example(one, one.example, units),
    }


def _told(chosen: Entry, part: str) -> str:
    message = f"catalogue.{chosen.key}.{part}"
    return words.sentence(message) if words.has(message) else ""


def describe(name: str, units: words.UnitSystem = "metric") -> dict[str, Any]:
    """Describe a calculation for a form and for the page that explains it: question, words, inputs, results, sources.

    Parameters
    ----------
    name
        A key of the catalogue.
    units
        The reader's units: limits and defaults are given in them.

    Returns
    -------
    dict
        JSON-ready. A value put in under an input's ``stem`` is read in the unit given here.

    Valid for
        Every calculation.

    Raises
    ------
    NotAChoice
        When there is no such calculation.

    Source
        The catalogue.

    Examples
    --------
    >>> described = describe("oil_density", "us")
    >>> described["question"], described["inputs"][1]["unit"]["symbol"]
    ('How heavy is the oil at a temperature?', '°F')
    """
    chosen = entry(name)
    return {
        "key": chosen.key,
        "topic": chosen.topic,
        "question": words.sentence(chosen.question),
        **{part: _told(chosen, part) for part in EXPLAINED},
        "formulas": list(chosen.formulas),
        "inputs": [_describe_input(one, units) for one in chosen.inputs],
        "fields": [{"name": one, "label": words.sentence(f"catalogue.field.{one}")} for one in chosen.fields],
        "sources": list(chosen.sources),
        "example": {one.name: one.example for one in chosen.inputs if one.kind not in {"sheet", "oil"} and one.example},
    }
