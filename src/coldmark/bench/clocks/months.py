"""Months on the calendar."""

from __future__ import annotations

from datetime import date

from coldmark.bench.errors import require_between

__all__ = ["add_months"]


def add_months(day: date, months: int) -> date:
    """Return the same day of the month so many months later, or that month's last day where it is shorter.

    Parameters
    ----------
    day
        The day to count from.
    months
        Whole months [months], 0 to 1200.

    Returns
    -------
    date
        The day.

    Valid for
        Results up to the year 9999.

    Raises
    ------
    OutOfRange
        When there are too many months.

    Source
        common practice, no source

    Examples
    --------
    >>> add_months(date(2024, 2, 29), 12), add_months(date(2026, 1, 31), 1)
    (datetime.date(2025, 2, 28), datetime.date(2026, 2, 28))
    """
    require_between("interval_months", months, 0, 1200, "months on the calendar")
    ahead = day.year * 12 + day.month - 1 + months
    year, month = divmod(ahead, 12)
    require_between("year", year, 1, 9999, "the calendar")
    return date(year, month + 1, min(day.day, _days(year, month + 1)))


def _days(year: int, month: int) -> int:
    """Return how many days a month has: February's as the Gregorian calendar has them."""
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    return 29 if month == 2 and leap else _DAYS[month - 1]


_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
