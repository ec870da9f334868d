"""The examples of the calculations, with a data sheet and oils where one is wanted."""

from __future__ import annotations

from typing import Any

from coldmark.bench.catalogue import Entry, Input
from tests.bench.card_cases import ROOT

DEMO = ROOT / "src" / "coldmark" / "demo"
SHEET_FILE = DEMO / "sheets" / "excavator_5t.toml"
OIL_FILES = (DEMO / "oils" / "varnol_hm46.toml", DEMO / "oils" / "varnol_hv46.toml")

# Postures are those of the sheet, so that an example can name them only with it.
_OF_THE_SHEET: dict[str, dict[str, Any]] = {
    "level": {"posture": "arm_out"},
    "glass_moves": {"posture": "arm_out", "second_posture": "folded"},
}


def file_of(entry: Entry, one: Input) -> str | None:
    """The name of the file, without its folder, that an example gives for this input."""
    if one.kind == "sheet":
        return None if one.optional and one.example is None else SHEET_FILE.name
    if one.kind == "oil":
        if one.optional and one.example is None and entry.key not in _OF_THE_SHEET:
            return None
        return OIL_FILES[[other.name for other in entry.inputs if other.kind == "oil"].index(one.name)].name
    return None


def text_of(file: str) -> str:
    """The text of a file of the demo."""
    folder = "sheets" if file == SHEET_FILE.name else "oils"
    return (DEMO / folder / file).read_text(encoding="utf-8")


def example_of(entry: Entry) -> dict[str, Any]:
    """What is put into the example of a calculation."""
    files = {one.name: text_of(file) for one in entry.inputs if (file := file_of(entry, one))}
    return entry.example | files | _OF_THE_SHEET.get(entry.key, {})


def example_typed(entry: Entry) -> dict[str, Any]:
    """The same as somebody types it at a command line: a file by its name."""
    files = {one.name: f"@{file}" for one in entry.inputs if (file := file_of(entry, one))}
    return entry.example | files | _OF_THE_SHEET.get(entry.key, {})
