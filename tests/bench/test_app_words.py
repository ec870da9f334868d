"""The card's app holds no text: every label that it asks for comes with the card."""

from __future__ import annotations

import json
import re
from pathlib import Path

from coldmark.bench.words import labels

CONTRACT = Path(__file__).resolve().parents[2] / "contract"


def asked() -> list[str]:
    keys: list[str] = json.loads((CONTRACT / "app_words.json").read_text(encoding="utf-8"))
    return keys


def test_every_label_that_the_app_asks_for_has_words() -> None:
    assert sorted(labels("app.")) == asked()


def test_no_label_is_empty_and_fields_are_plain_names() -> None:
    for key, text in labels("app.").items():
        assert text.strip(), key
        # The app fills {name} and nothing else: no unit endings to convert, no digits to round.
        for field in re.findall(r"\{([^}]*)\}", text):
            assert re.fullmatch(r"[a-z]+", field), (key, field)
