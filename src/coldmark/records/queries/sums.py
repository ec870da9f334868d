"""Calculations of the catalogue with what is kept here: a sheet by its hash, an oil by its key."""

from __future__ import annotations

import re
from collections.abc import Mapping

from coldmark.bench import catalogue, words
from coldmark.bench.facts.checks import HASH
from coldmark.records.errors import NotFound
from coldmark.records.models import Person
from coldmark.records.queries.lists import sheet_page, sheets
from coldmark.records.sheets import oils_by_key, sheet_of, sheets_of

__all__ = ["calculate", "postures"]

_is_hash = re.compile(HASH).fullmatch


def calculate(
    person: Person, name: str, told: Mapping[str, object], units: words.UnitSystem = "metric"
) -> catalogue.Outcome:
    """Run a calculation. Where it wants a sheet or an oil, its text may be told, or its name here.

    Raises
    ------
    Refused
        Naming the input, its value and what would be right.
    NotFound
        When there is no such sheet or oil that the person may see.
    """
    kinds = {one.name: one.kind for one in catalogue.entry(name).inputs}
    values: dict[str, object] = {}
    for key, value in told.items():
        one_line = isinstance(value, str) and value.strip() and "\n" not in value.strip()
        if one_line and kinds.get(key) == "sheet":
            value = _sheet(person, str(value).strip())
        elif one_line and kinds.get(key) == "oil" and not str(value).strip().startswith("{"):
            value = _oil(str(value).strip())
        values[key] = value
    return catalogue.run(name, values, units)


def postures(person: Person) -> dict[str, str]:
    """What the postures of all kept sheets are called, by their keys: to choose one before the sheet is known."""
    kept = sheets_of(line.sha256 for line in sheets(person))
    return {
        key: posture.says
        for _sha256, sheet in sorted(kept.items())
        for key, posture in sheet.hydraulic.postures.items()
    }


def _sheet(person: Person, sha256: str) -> object:
    if not _is_hash(sha256):
        raise NotFound("sheet", sha256)
    sheet_page(person, sha256)  # refuses who may not see it
    return sheet_of(sha256)


def _oil(key: str) -> object:
    oil = oils_by_key().get(key)
    if oil is None:
        raise NotFound("oil", key)
    return oil
