"""Lines of the records as sentences, the same on pages, papers and in the API."""

from __future__ import annotations

from coldmark.bench import words
from coldmark.records.queries.lines import DueLine

__all__ = ["due_days", "due_hours", "due_says"]


def due_hours(line: DueLine, units: words.UnitSystem = "metric") -> str:
    """At which hours a task is due; empty where no hours are known."""
    return "" if line.due_h is None else words.quantity(line.due_h, "h", units=units, digits=0)


def due_days(line: DueLine) -> str:
    """About when a task is due, as a span of days; empty where nothing is known."""
    if line.likely is None:
        return ""
    return words.span(line.early or line.likely, line.late or line.likely)


def due_says(line: DueLine, units: words.UnitSystem = "metric") -> str:
    """When a task is due, as a sentence."""
    hours, days = due_hours(line, units), due_days(line)
    known = "hours_and_days" if hours and days else "hours" if hours else "days" if days else "unknown"
    return words.sentence(f"due.{known}", task=line.name, due=hours, days=days)
