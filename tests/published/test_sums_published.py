"""Each calculation as somebody asks for it, against values that others printed: the tables ``sums_*.csv``.

``asked`` is ``calculation.field``; ``given`` is what is put in, a table as JSON without blanks, a data sheet or an oil
of the demo as ``@`` and the name of its file.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coldmark.bench import catalogue
from tests.published.reading import Row, rows, topics

ROWS = [row for topic in topics() if topic.startswith("sums_") for row in rows(topic)]


DEMO = Path(__file__).parents[2] / "src" / "coldmark" / "demo"


def _put_in(text: str) -> object:
    if text.startswith("@"):
        return next(DEMO.glob(f"*/{text[1:]}.toml")).read_text(encoding="utf-8")
    return json.loads(text) if text.startswith("[") else text


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_a_calculation_gives_what_was_printed(row: Row) -> None:
    key, name = row.asked.split(".")
    outcome = catalogue.run(key, {one: _put_in(text) for one, text in row.given.items()})
    value = next(field.value for field in outcome.fields if field.name == name)
    if isinstance(value, str):
        assert value == row.printed
    else:
        assert value is not None
        row.check(value)
