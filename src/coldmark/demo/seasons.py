"""The valley's years: how cold it is on a day, and how many hours a machine has worked by then."""

from __future__ import annotations

import math
import random
from bisect import bisect_left
from dataclasses import dataclass
from datetime import date, timedelta

__all__ = ["Curve", "air_on", "curve"]

_COLDEST_DAY = 20
_MEAN_C, _SWING_C = 9.5, 10.5


def air_on(day: date, rng: random.Random) -> float:
    """Return the air's temperature on a morning [°C]: by season, with weather."""
    turn = 2 * math.pi * (day.timetuple().tm_yday - _COLDEST_DAY) / 365.25
    return max(-14.0, min(31.0, _MEAN_C - _SWING_C * math.cos(turn) + rng.gauss(0, 3.5)))


@dataclass(frozen=True, slots=True)
class Curve:
    """A machine's true hours on the morning of each day from ``first`` on."""

    first: date
    hours: tuple[float, ...]

    def at(self, day: date) -> float:
        """Return the hours on a morning [h]."""
        return self.hours[min(max(0, (day - self.first).days), len(self.hours) - 1)]

    def day_of(self, hours: float) -> date:
        """Return the first morning on which the machine has so many hours, or the last day known."""
        return self.first + timedelta(days=min(bisect_left(self.hours, hours), len(self.hours) - 1))


def curve(hours: float, per_day: float, days_a_week: int, first: date, last: date, rng: random.Random) -> Curve:
    """Return the hours of a machine from ``first`` to ``last``.

    Parameters
    ----------
    hours
        What it had on the first morning [h].
    per_day, days_a_week
        Hours on a usual working day, and how many of them a week has.
    first, last
        The days.
    rng
        Chance: the winter's dip, weeks that are busier than others, days that are off.
    """
    dip, idle, busy = rng.uniform(0.25, 0.6), rng.uniform(0.04, 0.1), 1.0
    mornings = [hours]
    for place in range((last - first).days):
        day = first + timedelta(days=place)
        if day.weekday() == 0 or place == 0:
            busy = rng.uniform(0.75, 1.2)
        cold = max(0.0, math.cos(2 * math.pi * (day.timetuple().tm_yday - _COLDEST_DAY) / 365.25))
        works = day.weekday() < days_a_week and rng.random() > idle and not _turn_of_year(day)
        worked = per_day * busy * (1 - dip * cold) * rng.uniform(0.7, 1.25) if works else 0.0
        mornings.append(mornings[-1] + worked)
    return Curve(first, tuple(mornings))


def _turn_of_year(day: date) -> bool:
    return (day.month, day.day) >= (12, 23) or (day.month, day.day) <= (1, 4)
