"""Days and spans of days as people say them."""

from __future__ import annotations

from datetime import date

from coldmark.bench.words.en import MESSAGES

__all__ = ["day", "span", "weekday"]


def _month(number: int) -> str:
    return MESSAGES[f"month.{number}"]


def day(when: date, *, year: bool = True) -> str:
    """Return a day as it is said, the month in words so that no two readings are possible.

    >>> day(date(2026, 3, 2)), day(date(2026, 3, 2), year=False)
    ('2 March 2026', '2 March')
    """
    return f"{when.day} {_month(when.month)}" + (f" {when.year}" if year else "")


def weekday(when: date) -> str:
    """Return the name of a day's place in the week.

    >>> weekday(date(2026, 3, 2))
    'Monday'
    """
    return MESSAGES[f"weekday.{when.isoweekday()}"]


def span(early: date, late: date, *, year: int | None = None) -> str:
    """Return a span of days, no longer than it needs to be; ``year`` is the one that goes without saying.

    >>> span(date(2026, 3, 2), date(2026, 3, 20)), span(date(2026, 3, 2), date(2026, 4, 1))
    ('2 to 20 March 2026', '2 March to 1 April 2026')
    >>> span(date(2025, 12, 28), date(2026, 1, 9)), span(date(2026, 3, 2), date(2026, 3, 2))
    ('28 December 2025 to 9 January 2026', '2 March 2026')
    >>> span(date(2026, 3, 2), date(2026, 4, 1), year=2026), span(date(2025, 12, 28), date(2026, 1, 9), year=2025)
    ('2 March to 1 April', '28 December to 9 January 2026')
    """
    last = day(late, year=late.year != year)
    if early == late:
        return last
    if early.year != late.year:
        return f"{day(early, year=early.year != year)} to {last}"
    if early.month != late.month:
        return f"{day(early, year=False)} to {last}"
    return f"{early.day} to {last}"
