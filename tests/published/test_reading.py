from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from tests.published.reading import Row, rows, topics

TESTS = Path(__file__).parents[1]


def _row(printed: str, slack: str = "0.5") -> Row:
    return Row("topic", 1, "asked", {}, printed, "source", "as printed", Decimal(slack))


@pytest.mark.parametrize(("printed", "value"), [("8.5", 8.5331), ("156", 156.42), ("0.005", 0.00549), ("1.2e3", 1249)])
def test_a_value_agrees_when_it_rounds_to_the_printed_digits(printed: str, value: float) -> None:
    _row(printed).check(value)


@pytest.mark.parametrize(("printed", "value"), [("8.5", 8.56), ("8.50", 8.5331), ("156", 155.4), ("1.0", float("nan"))])
def test_a_value_that_rounds_otherwise_is_caught(printed: str, value: float) -> None:
    with pytest.raises((AssertionError, ArithmeticError)):
        _row(printed).check(value)


def test_a_source_that_rounded_on_the_way_may_be_off_by_what_its_row_allows() -> None:
    _row("156.37", "6").check(156.4235)
    with pytest.raises(AssertionError):
        _row("156.37", "5").check(156.4235)


def test_asking_for_rows_that_do_not_exist_fails_instead_of_testing_nothing() -> None:
    with pytest.raises(LookupError, match="no row for nonsense"):
        rows(topics()[0], "nonsense")


@pytest.mark.parametrize("topic", topics())
def test_every_row_of_every_table_is_used_by_a_test(topic: str) -> None:
    if topic.startswith("sums_"):
        return  # test_sums_published.py runs every row of these
    code = "\n".join(path.read_text(encoding="utf-8") for path in TESTS.rglob("*.py"))
    unused = {row.asked for row in rows(topic) if f'"{row.asked}"' not in code and f'"{topic}")' not in code}
    assert not unused
