"""Numbers are kept with their units where lines end, and nothing else is changed; the card does the same."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import words
from coldmark.bench.unit_table import UNITS
from coldmark.bench.words.keeping import NO_BREAK

GOLDEN = sorted((Path(__file__).parents[2] / "contract" / "golden" / "together").glob("*.json"))


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_it_keeps_what_the_golden_case_keeps(path: Path) -> None:
    case = json.loads(path.read_text(encoding="utf-8"))
    assert words.together(case["text"]) == case["kept"]


@pytest.mark.parametrize("ending", UNITS)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_no_quantity_can_be_broken_behind_its_number(ending: str, units: words.UnitSystem) -> None:
    shown = words.together(f"About {words.quantity(12.5, ending, units=units)}, or less.")
    number = shown.removeprefix("About ").removesuffix(", or less.")
    assert " " not in number.split(" per ")[0]


@given(st.text(st.sampled_from("0123456789 .,-Lhmings·²/°C}{\u00a0")))
def test_only_blanks_are_changed_and_once_is_enough(text: str) -> None:
    kept = words.together(text)
    assert kept.replace(NO_BREAK, " ") == text.replace(NO_BREAK, " ")
    assert words.together(kept) == kept


def test_sentences_themselves_have_ordinary_blanks() -> None:
    assert words.quantity(2.4, "l") == "2.4 L"
