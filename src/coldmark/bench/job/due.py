"""When tasks fall due, and how that is said: the same on pages, papers, the phone and in the API."""

from __future__ import annotations

from datetime import date
from typing import Literal

from coldmark.bench import words
from coldmark.bench.clocks import all_due
from coldmark.bench.ledger import State
from coldmark.bench.shapes import dataclass
from coldmark.bench.sheet import Sheet

__all__ = ["DueLine", "Stands", "due_days", "due_hours", "due_lines", "due_says", "due_when"]

Stands = Literal["over", "now", "ahead", "unknown"]


@dataclass(frozen=True, slots=True)
class DueLine:
    """When a task falls due. ``by`` names the clock that comes first."""

    task: str
    name: str
    due_h: float | None
    due_day: date | None
    early: date | None
    likely: date | None
    late: date | None
    by: str
    rides_with: str

    def stands(self, day: date) -> Stands:
        """Where a day stands to the window: after it, in it, or ahead of it."""
        if self.likely is None:
            return "unknown"
        if (self.late or self.likely) < day:
            return "over"
        return "now" if (self.early or self.likely) <= day else "ahead"


def due_lines(sheet: Sheet, state: State) -> tuple[DueLine, ...]:
    """Return when each task of a machine falls due, the soonest first.

    Parameters
    ----------
    sheet
        The machine's data sheet.
    state
        What its facts say.

    Returns
    -------
    tuple
        A line a task; those of which no day is known come last.

    Valid for
        Every machine with a sheet.

    Raises
    ------
    Nothing.

    Source
        The clocks, see docs/how/clocks.md.

    Examples
    --------
    >>> from coldmark.bench.sheet import read, template
    >>> lines = due_lines(read(template("dumper")), State("m"))
    >>> {line.by for line in lines}
    {'unknown'}
    """
    lines = (
        DueLine(
            task=one.task,
            name=sheet.tasks[one.task].name,
            due_h=one.due_h,
            due_day=one.due_day,
            early=one.early,
            likely=one.likely,
            late=one.late,
            by=one.by,
            rides_with=one.rides_with or "",
        )
        for one in all_due(sheet, state)
    )
    return tuple(sorted(lines, key=lambda line: (line.likely or date.max, line.task)))


def due_hours(line: DueLine, units: words.UnitSystem = "metric") -> str:
    """Return at which hours a task is due; empty where no hours are known.

    Parameters
    ----------
    line
        The task.
    units
        The reader's units.

    Returns
    -------
    str
        Hours with their unit.

    Valid for
        Every line.

    Raises
    ------
    Nothing.

    Source
        The clocks.

    Examples
    --------
    >>> window = (date(2026, 3, 2), date(2026, 3, 9), None)
    >>> line = DueLine("hyd_500", "Hydraulic service", 1500.0, None, *window, "hours", "")
    >>> due_hours(line)
    '1500 h'
    """
    return "" if line.due_h is None else words.quantity(line.due_h, "h", units=units, digits=0)


def due_days(line: DueLine, *, year: int | None = None) -> str:
    """Return about when a task is due, as a span of days; empty where nothing is known.

    Parameters
    ----------
    line
        The task.
    year
        The year that goes without saying.

    Returns
    -------
    str
        One day or a span.

    Valid for
        Every line.

    Raises
    ------
    Nothing.

    Source
        The clocks.

    Examples
    --------
    >>> window = (date(2026, 3, 2), date(2026, 3, 9), None)
    >>> line = DueLine("hyd_500", "Hydraulic service", 1500.0, None, *window, "hours", "")
    >>> due_days(line, year=2026)
    '2 to 9 March'
    """
    if line.likely is None:
        return ""
    return words.span(line.early or line.likely, line.late or line.likely, year=year)


def due_says(line: DueLine, units: words.UnitSystem = "metric") -> str:
    """Return when a task is due, as a sentence.

    Parameters
    ----------
    line
        The task.
    units
        The reader's units.

    Returns
    -------
    str
        The sentence.

    Valid for
        Every line.

    Raises
    ------
    Nothing.

    Source
        The clocks.

    Examples
    --------
    >>> window = (date(2026, 3, 2), date(2026, 3, 9), None)
    >>> line = DueLine("hyd_500", "Hydraulic service", 1500.0, None, *window, "hours", "")
    >>> due_says(line).startswith("Hydraulic service")
    True
    """
    hours, days = due_hours(line, units), due_days(line)
    return words.sentence(f"due.{_known(hours, days)}", task=line.name, due=hours, days=days)


def due_when(line: DueLine, day: date, units: words.UnitSystem = "metric") -> str:
    """Return when a task is due, for a line that names it already; empty where nobody knows.

    Parameters
    ----------
    line
        The task.
    day
        The reader's day.
    units
        The reader's units.

    Returns
    -------
    str
        The words, without the task.

    Valid for
        Every line.

    Raises
    ------
    Nothing.

    Source
        The clocks.

    Examples
    --------
    >>> window = (date(2026, 3, 2), date(2026, 3, 9), None)
    >>> line = DueLine("hyd_500", "Hydraulic service", 1500.0, None, *window, "hours", "")
    >>> "1500 h" in due_when(line, date(2026, 1, 1))
    True
    """
    hours, days = due_hours(line, units), due_days(line, year=day.year)
    known = _known(hours, days)
    return "" if known == "unknown" else words.sentence(f"due.when.{known}", due=hours, days=days)


def _known(hours: str, days: str) -> str:
    return "hours_and_days" if hours and days else "hours" if hours else "days" if days else "unknown"
