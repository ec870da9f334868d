"""How old a hose is: from the quarter or month and the year that are stamped on it, against what guidance allows."""

from __future__ import annotations

import re
from datetime import date
from typing import Literal

from coldmark.bench.errors import Contradiction, require_choice
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["KEPT", "LIMITS_MONTHS", "Age", "Made", "age", "made"]

KEPT = ("in_use", "stored_hose", "stored_assembly")
"""How a hose was kept: on a machine, as hose without ends on the reel, or made up and on the shelf."""

LIMITS_MONTHS: dict[str, tuple[int, str]] = {
    "in_use": (72, "DIN 20066"),
    "stored_hose": (48, "ISO 8331"),
    "stored_assembly": (24, "ISO 8331"),
}
"""Guidance by how it was kept [months], as printed in stored excerpts: six years of service with at most two of
storage among them; four years as hose, two as an assembly."""

LONGEST_STORED_MONTHS = 120
"""Forty quarters as hose: ISO/TR 17165-2, as printed in a stored excerpt."""

_OLDEST_YEAR = 1960
# Compiled when they are first needed: most runs read no stamp.
_QUARTER = r"(?i)(?:([1-4])\s*Q|Q\s*([1-4]))\s*[-/. ]*\s*(\d{4}|\d{2})"
_YEAR_QUARTER = r"(?i)(\d{4})\s*[-/. ]*\s*(?:Q\s*([1-4])|([1-4])\s*Q)"
_TWO_NUMBERS = r"(\d{1,2})\s*[-/. ]\s*(\d{4}|\d{2})"
_YEAR_FIRST = r"(\d{4})\s*[-/. ]\s*(\d{1,2})"
_FOUR = r"(\d{2})(\d{2})"


@dataclass(frozen=True, slots=True)
class Made:
    """When a hose was made: from the first to the last day that the stamp leaves open.

    ``readings`` are the ways in which it can be read, each ``quarter``, ``month`` or ``year_month``.
    """

    first: date
    last: date
    readings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Age:
    """A hose's age [months] with the range that its stamp leaves open, and how it stands to the guidance.

    ``verdict``: *within* what the guidance allows, *over* it, or *open* where the stamp leaves it open.
    """

    made: Made
    months: Range
    limit_months: int
    limit_source: str
    verdict: Literal["within", "over", "open"]
    kept: str
    working: Working


def _year(text: str, today: date) -> int | None:
    """Return a year of four digits, or of two as the last such year that has come; none that no hose is from."""
    year = int(text)
    if len(text) == 2:
        year += today.year // 100 * 100
        year -= 100 if year > today.year else 0
    return year if _OLDEST_YEAR <= year <= today.year else None


def _month_span(year: int, month: int, months: int) -> tuple[date, date]:
    end = year * 12 + month - 1 + months
    return date(year, month, 1), date.fromordinal(date(end // 12, end % 12 + 1, 1).toordinal() - 1)


def _readings(stamp: str, today: date) -> list[tuple[str, date, date]]:
    """Return every way in which a stamp can be read: its kind, first and last day. Days to come are left out."""
    found: list[tuple[str, int | None, int, int]] = []
    if match := re.fullmatch(_QUARTER, stamp):
        found.append(("quarter", _year(match[3], today), 3 * int(match[1] or match[2]) - 2, 3))
    elif match := re.fullmatch(_YEAR_QUARTER, stamp):
        found.append(("quarter", _year(match[1], today), 3 * int(match[2] or match[3]) - 2, 3))
    elif match := re.fullmatch(_YEAR_FIRST, stamp):
        found.append(("year_month", _year(match[1], today), int(match[2]), 1))
    elif match := re.fullmatch(_TWO_NUMBERS, stamp) or re.fullmatch(_FOUR, stamp):
        one, other = match[1], match[2]
        found.append(("month", _year(other, today), int(one), 1))
        if len(one) == 1 and int(one) in (1, 2, 3, 4):
            found.append(("quarter", _year(other, today), 3 * int(one) - 2, 3))
        if len(one) == len(other) == 2:
            found.append(("year_month", _year(one, today), int(other), 1))
    spans = [
        (kind, *_month_span(year, month, months)) for kind, year, month, months in found if year and 1 <= month <= 12
    ]
    return [(kind, first, last) for kind, first, last in spans if first <= today]


def made(stamp: str, today: date) -> Made:
    """Read the date of manufacture from a hose.

    Parameters
    ----------
    stamp : as on the hose (quarter and year, such as ``2Q18``) or on its ferrule (month and year, ``06/18``, or year
        and month, ``1806``).
    today : the day, for the century of a year of two digits.

    Returns
    -------
    Made
        First and last day that the stamp leaves open: where it can be read in two ways, both are in it.

    Valid for
    ---------
    Hoses from 1960 on. Makers' own codes are not read.

    Raises
    ------
    Contradiction
        When it is no such date, or one that has not come.

    Source
    ------
    Marking of EN 853 hoses (quarter, year) and of assemblies (year and month), as printed in stored excerpts.

    Examples
    --------
    >>> made("2Q18", date(2026, 3, 2)).first, made("2Q18", date(2026, 3, 2)).last
    (datetime.date(2018, 4, 1), datetime.date(2018, 6, 30))
    >>> made("1606", date(2026, 3, 2)).readings
    ('year_month',)
    """
    typed = stamp.strip()
    spans = _readings(typed, today)
    if not spans:
        raise Contradiction(name="stamp", value=typed[:40], why="hose.cannot.stamp")
    return Made(
        first=min(first for _, first, _ in spans),
        last=min(today, max(last for _, _, last in spans)),
        readings=tuple(dict.fromkeys(kind for kind, _, _ in spans)),
    )


def _months(since: date, until: date) -> float:
    whole = (until.year - since.year) * 12 + until.month - since.month
    return whole + (until.day - since.day) / 30.4375


def age(stamp: str, today: date, kept: str = "in_use") -> Age:
    """Return how old a hose is by its stamp, and how that stands to what guidance allows.

    Parameters
    ----------
    stamp : the date of manufacture, as stamped.
    today : the day.
    kept : how it was kept, one of :data:`KEPT`.

    Returns
    -------
    Age
        In months, with range and verdict.

    Valid for
    ---------
    Rubber hoses of hydraulic systems. Age is no proof either way: a chafed hose is due at once, whatever its stamp.

    Raises
    ------
    Contradiction
        When the stamp cannot be read.
    NotAChoice
        For another way of keeping.

    Source
    ------
    DIN 20066 and ISO 8331, as printed in stored excerpts. The machine's manual, site rules and local law come first.

    Examples
    --------
    >>> found = age("2Q18", date(2026, 3, 2))
    >>> round(found.months.value), found.verdict
    (94, 'over')
    """
    require_choice("kept", kept, KEPT)
    when = made(stamp, today)
    low, high = max(0.0, _months(when.last, today)), max(0.0, _months(when.first, today))
    months = Range((low + high) / 2, low, high)
    limit, source = LIMITS_MONTHS[kept]
    verdict: Literal["within", "over", "open"] = "open"
    if months.low >= limit:
        verdict = "over"
    elif months.high < limit:
        verdict = "within"
    step = Step(
        what="working.hose.age",
        formula="today − date of manufacture",
        givens=(
            Given("stamp", stamp.strip(), "", "measured"),
            Given("first day", when.first.isoformat(), "", "worked_out"),
            Given("last day", when.last.isoformat(), "", "worked_out"),
            Given("limit", float(limit), "months", "practice"),
        ),
        result=months.value,
        unit="months",
        source=f"{source}, as printed in a stored excerpt",
    )
    return Age(when, months, limit, source, verdict, kept, Working((step,)))
