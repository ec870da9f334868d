"""Lines of the records as sentences, the same on pages, papers and in the API."""

from __future__ import annotations

from datetime import date

from coldmark.bench import words
from coldmark.records.queries.lines import DueLine

__all__ = ["due_days", "due_hours", "due_says", "due_when"]


def due_hours(line: DueLine, units: words.UnitSystem = "metric") -> str:
    """At which hours a task is due; empty where no hours are known."""
    return "" if line.due_h is None else words.quantity(line.due_h, "h", units=units, digits=0)


def due_days(line: DueLine, *, year: int | None = None) -> str:
    """About when a task is due, as a span of days; empty where nothing is known.

    ``year`` is the one that goes without saying.
    """
    if line.likely is None:
        return ""
    return words.span(line.early or line.likely, line.late or line.likely, year=year)


def due_says(line: DueLine, units: words.UnitSystem = "metric") -> str:
    """When a task is due, as a sentence."""
    hours, days = due_hours(line, units), due_days(line)
    return words.sentence(f"due.{_known(hours, days)}", task=line.name, due=hours, days=days)


def due_when(line: DueLine, day: date, units: words.UnitSystem = "metric") -> str:
    """When a task is due, for a line that names it already; empty where nobody knows. ``day`` is the reader's."""
    hours, days = due_hours(line, units), due_days(line, year=day.year)
    known = _known(hours, days)
    return "" if known == "unknown" else words.sentence(f"due.when.{known}", due=hours, days=days)


def _known(hours: str, days: str) -> str:
    return "hours_and_days" if hours and days else "hours" if hours else "days" if days else "unknown"
