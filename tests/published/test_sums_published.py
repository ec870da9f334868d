"""Each calculation as somebody asks for it, against values that others printed: the tables ``sums_*.csv``.

``asked`` is ``calculation.field``; ``given`` is what is put in, a table as JSON without blanks.
"""

from __future__ import annotations

import json

import pytest

from coldmark.bench import catalogue
from tests.published.reading import Row, rows, topics

ROWS = [row for topic in topics() if topic.startswith("sums_") for row in rows(topic)]


def _put_in(text: str) -> object:
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
