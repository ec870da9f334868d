"""The drawings that pages are given, made from the records' lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from coldmark.bench import pictures
from coldmark.records.queries import DueLine

__all__ = ["Falling", "falling", "weeks_drawn", "weeks_for"]

FEWEST_WEEKS, MOST_WEEKS = 8, 52


@dataclass(frozen=True, slots=True)
class Falling:
    """A task that falls due, and its window as it is drawn under the words that say it."""

    line: DueLine
    window: str


def weeks_for(lines: Sequence[DueLine], day: date) -> int:
    """How many weeks a strip must span so that the windows of these tasks are on it."""
    last = max((line.late or line.likely for line in lines if line.likely is not None), default=day)
    return min(max((last - day) // timedelta(weeks=1) + 2, FEWEST_WEEKS), MOST_WEEKS)


def falling(lines: Sequence[DueLine], day: date, weeks: int) -> list[Falling]:
    """What falls due on one machine, each with its window on the same weeks."""
    return [Falling(line, pictures.due_strip([_row(line)], day, weeks, what="windows")) for line in lines]


def weeks_drawn(day: date, weeks: int) -> str:
    """The weeks that the windows above are drawn on."""
    return pictures.due_strip([], day, weeks, what="weeks")


def _row(line: DueLine) -> pictures.DueRow:
    return pictures.DueRow(line.name, "", *_window(line))


def _window(line: DueLine) -> tuple[date | None, date | None, date | None]:
    if line.likely is None:
        return None, None, None
    early = line.likely if line.early is None else min(line.early, line.likely)
    return early, line.likely, None if line.late is None else max(line.late, line.likely)
