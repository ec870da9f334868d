"""What makes a task fall due, and what is known of a machine's hours."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

__all__ = ["Breaker", "DueAt", "Last", "Task"]


@dataclass(frozen=True, slots=True)
class Breaker:
    """How breaker work shortens a task: the sheet's table of (share of breaker hours, interval [h]), rising share.

    Without a table the harmonic rule is used with ``factor`` hours of wear for each breaker hour; ``factor`` 1 is none.
    """

    table: tuple[tuple[float, float], ...] = ()
    factor: float = 1.0


@dataclass(frozen=True, slots=True)
class Task:
    """A service task: its interval in hours and in months (either may be missing), and how its grid runs.

    ``counts_from`` *meter*: due at multiples of the interval on the hour meter; *last_done*: an interval after it was
    last done. ``tolerance_h``: how late it may be and keep the grid. ``includes``: shorter tasks done with it.
    """

    key: str
    name: str
    compartment: str | None
    interval_h: float | None
    interval_months: int | None
    first_h: float | None
    tolerance_h: float
    counts_from: Literal["meter", "last_done"]
    includes: tuple[str, ...]
    breaker: Breaker | None
    needs_option: str | None
    origin: str
    oil_change: bool = False


@dataclass(frozen=True, slots=True)
class Last:
    """When a task was last done: machine hours [h], day, and the hour of the grid it then stood for."""

    hours: float
    day: date
    grid_h: float | None


@dataclass(frozen=True, slots=True)
class DueAt:
    """When a task falls due: by the meter [h], by the calendar, and the day window that the usage so far gives.

    ``None`` where a clock does not run or is not known. ``by`` names the clock that comes first.
    """

    task: str
    due_h: float | None
    due_day: date | None
    early: date | None
    likely: date | None
    late: date | None
    by: Literal["hours", "months", "first", "breaker", "unknown"]
    grid_h: float | None
    rides_with: str | None = None
    notes: Mapping[str, str] | None = None
