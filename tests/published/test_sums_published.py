"""Each calculation as somebody asks for it, against values that others printed."""

from __future__ import annotations

import pytest

from coldmark.bench import catalogue
from tests.published.asking import ROWS, check, key_of, told_of
from tests.published.reading import Row


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_a_calculation_gives_what_was_printed(row: Row) -> None:
    outcome = catalogue.run(key_of(row), told_of(row))
    name = row.asked.split(".")[1]
    check(row, next(field.value for field in outcome.fields if field.name == name))
