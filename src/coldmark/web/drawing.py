"""The drawings that pages are given, made from the records' lines."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from coldmark.bench import pictures, words
from coldmark.records import queries
from coldmark.records.queries import DueLine

__all__ = ["strip", "weeks_for"]

FEWEST_WEEKS, MOST_WEEKS = 8, 52


def weeks_for(lines: Sequence[DueLine], day: date) -> int:
    """How many weeks a strip must span so that the windows of these tasks are on it."""
    last = max((line.late or line.likely for line in lines if line.likely is not None), default=day)
    return min(max((last - day) // timedelta(weeks=1) + 2, FEWEST_WEEKS), MOST_WEEKS)


def strip(
    lines: Sequence[DueLine], day: date, weeks: int, units: words.UnitSystem, *, width: float = 360.0, title: str = ""
) -> str:
    """The strip of what falls due on one machine, in the order of its lines."""
    rows = [pictures.DueRow(line.name, _says(line, units), *_window(line)) for line in lines]
    return pictures.due_strip(rows, day, weeks, width=width, title=title)


def _says(line: DueLine, units: words.UnitSystem) -> str:
    """When it falls due, in as few words as a strip has room for."""
    return queries.due_days(line) or queries.due_hours(line, units) or words.sentence("due.no_days")


def _window(line: DueLine) -> tuple[date | None, date | None, date | None]:
    if line.likely is None:
        return None, None, None
    early = line.likely if line.early is None else min(line.early, line.likely)
    return early, line.likely, None if line.late is None else max(line.late, line.likely)
