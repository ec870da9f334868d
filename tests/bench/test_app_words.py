"""The phone's app holds no text: every label that it shows is a message of the bench, built into it."""

from __future__ import annotations

import json
import re
from pathlib import Path

from coldmark.bench.words import labels, unit_words

CONTRACT = Path(__file__).resolve().parents[2] / "contract"


def test_the_labels_that_are_built_into_the_app_are_those_of_the_bench() -> None:
    built: dict[str, str] = json.loads((CONTRACT / "app_words.json").read_text(encoding="utf-8"))
    assert built == labels("app."), "stale: run `python -m coldmark.bench.words contract`"


def test_the_units_that_are_built_into_the_app_are_those_of_the_bench() -> None:
    built: list[str] = json.loads((CONTRACT / "unit_words.json").read_text(encoding="utf-8"))
    assert built == list(unit_words()), "stale: run `python -m coldmark.bench.words contract`"


def test_no_label_is_empty_and_fields_are_plain_names() -> None:
    for key, text in labels("app.").items():
        assert text.strip(), key
        # The app fills {name} and nothing else: no unit endings to convert, no digits to round.
        for field in re.findall(r"\{([^}]*)\}", text):
            assert re.fullmatch(r"[a-z]+", field), (key, field)
