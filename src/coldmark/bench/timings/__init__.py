"""Health timings: how long functions take, how far cylinders drift, and whether that has grown worse.

::

    Timing                          what a data sheet has timed
    Timed                           one measurement
    compare(now, before, oil)       -> Compared   two of them at one oil temperature
    against(now, timing, oil)       -> str        how one stands to the sheet's most
    trend(history, timing, oil)     -> Trend      over the machine's hours
    shrinkage_mm(column, cooled)    -> float      what only cooling moves
    says(trend, units)              -> list       in plain sentences
"""

from coldmark.bench.timings.compare import (
    MOST_APART_K,
    SLIP,
    Compared,
    against,
    compare,
    shrinkage_mm,
    usual_oil,
)
from coldmark.bench.timings.model import KINDS, STOPWATCH_S, TAPE_MM, Timed, Timing, TimingKind
from coldmark.bench.timings.trend import Point, Trend, says, says_value, trend

__all__ = [
    "KINDS",
    "MOST_APART_K",
    "SLIP",
    "STOPWATCH_S",
    "TAPE_MM",
    "Compared",
    "Point",
    "Timed",
    "Timing",
    "TimingKind",
    "Trend",
    "against",
    "compare",
    "says",
    "says_value",
    "shrinkage_mm",
    "trend",
    "usual_oil",
]
