"""The published values of whole calculations as questions: the tables ``sums_*.csv``.

``asked`` is ``calculation.field``; ``given`` is what is put in, a table as JSON without blanks, a data sheet or an oil
of the demo as ``@`` and the name of its file.
"""

from __future__ import annotations

import json
from pathlib import Path

from tests.published.reading import Row, rows, topics

__all__ = ["ROWS", "check", "key_of", "told_of"]

ROWS = [row for topic in topics() if topic.startswith("sums_") for row in rows(topic)]

DEMO = Path(__file__).parents[2] / "src" / "coldmark" / "demo"


def _put_in(text: str) -> object:
    if text.startswith("@"):
        return next(DEMO.glob(f"*/{text[1:]}.toml")).read_text(encoding="utf-8")
    return json.loads(text) if text.startswith("[") else text


def key_of(row: Row) -> str:
    """The calculation that the row is about."""
    return row.asked.split(".")[0]


def told_of(row: Row) -> dict[str, object]:
    """What is put into it."""
    return {one: _put_in(text) for one, text in row.given.items()}


def check(row: Row, value: float | str | None) -> None:
    """Assert that what came out in the field asked for is what was printed."""
    if isinstance(value, str):
        assert value == row.printed
    else:
        assert value is not None
        row.check(value)
