"""Read the tables of published values, and compare a result with them at the digits that were printed.

A table ``tests/published/<topic>.csv`` has these columns:

``asked``     what the row checks; the tests pick their rows by it
``given``     the inputs, ``name=value`` set apart by blanks
``printed``   the value exactly as the source has it, as text
``source``    standard and clause, handbook, or library and version
``standing``  how the value is known, one of :data:`STANDINGS`
``slack``     may be missing or empty: how many units of the last printed digit are allowed, when the source itself
              rounded on the way; half a unit else

Lines that begin with ``#`` are remarks.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

__all__ = ["STANDINGS", "Row", "rows", "topics"]

HERE = Path(__file__).parent

STANDINGS = (
    "as printed",  # seen in a stored excerpt of the source
    "library",  # given by a general-purpose library, with its version
    "worked from the formula",  # the formula was seen; the value was worked out apart from this code
    "from memory",  # remembered, not seen
    "common practice, no source",  # a fact of the trade
)

_COLUMNS = {"asked", "given", "printed", "source", "standing"}


@dataclass(frozen=True)
class Row:
    """One published value with what it was found from."""

    topic: str
    line: int
    asked: str
    given: Mapping[str, str]
    printed: str
    source: str
    standing: str
    slack: Decimal

    def number(self, name: str) -> float:
        """Return one input as a number."""
        return float(self.given[name])

    def numbers(self) -> dict[str, float]:
        """Return all inputs as numbers, ready to be handed on by name."""
        return {name: float(text) for name, text in self.given.items()}

    def check(self, value: float) -> None:
        """Assert that ``value`` is the printed one at its printed digits."""
        printed = Decimal(self.printed)
        exponent = printed.as_tuple().exponent
        assert isinstance(exponent, int), f"{self}: {self.printed} is not a number"
        allowed = self.slack * Decimal(10) ** exponent
        # A billionth of the value for the arithmetic of floats, so that an exact half does not hang on the last bit.
        allowed += abs(printed) * Decimal("1e-9")
        off = abs(Decimal(repr(float(value))) - printed)
        assert off <= allowed, f"{self}: printed {self.printed}, worked out {value!r} ({self.source})"

    def __str__(self) -> str:
        given = " ".join(f"{name}={text}" for name, text in self.given.items())
        return f"{self.topic}:{self.line} {self.asked} {given}"


def topics() -> list[str]:
    """Return the names of all tables."""
    return sorted(path.stem for path in HERE.glob("*.csv"))


def _row(topic: str, line: int, cells: Mapping[str, str]) -> Row:
    given = dict(pair.split("=", 1) for pair in cells["given"].split())
    standing = cells["standing"]
    if standing not in STANDINGS:
        raise ValueError(f"{topic}.csv line {line}: standing = {standing} is not one of {', '.join(STANDINGS)}")
    if not cells["source"].strip() or not cells["printed"].strip():
        raise ValueError(f"{topic}.csv line {line}: printed and source must not be empty")
    return Row(
        topic=topic,
        line=line,
        asked=cells["asked"],
        given=given,
        printed=cells["printed"],
        source=cells["source"],
        standing=standing,
        slack=Decimal(cells.get("slack") or "0.5"),
    )


def rows(topic: str, asked: str | None = None) -> list[Row]:
    """Return the rows of a table, or those that check one thing; there must be some."""
    text = (HERE / f"{topic}.csv").read_text(encoding="utf-8")
    kept = [(number, line) for number, line in enumerate(text.splitlines(), 1) if line.strip() and line[0] != "#"]
    reader = csv.DictReader((line for _, line in kept), strict=True)
    missing = _COLUMNS - set(reader.fieldnames or ())
    if missing:
        raise ValueError(f"{topic}.csv lacks the columns {', '.join(sorted(missing))}")
    found = [_row(topic, number, cells) for (number, _), cells in zip(kept[1:], reader, strict=True)]
    chosen = [row for row in found if asked is None or row.asked == asked]
    if not chosen:
        raise LookupError(f"{topic}.csv has no row for {asked}")
    return chosen
