"""The level on a slope: how far the glass is off, and how two readings with a half turn between cancel it."""

from __future__ import annotations

import math

from coldmark.bench.errors import Missing, NotANumber, require_between
from coldmark.bench.level.model import Gauge, Reading
from coldmark.bench.shapes import dataclass

__all__ = ["SlewedReading", "mean_of_two", "slope_mm", "slope_share"]

_STEEPEST_DEG = 15.0


@dataclass(frozen=True, slots=True)
class SlewedReading:
    """The mean of two readings with a half turn between, and by how much the slope moved each of them."""

    reading: float
    slope_share: float


def slope_mm(gauge: Gauge, pitch_deg: float, roll_deg: float) -> float:
    """How much higher the oil stands at the gauge than in the tank's middle when the machine is not level.

    Parameters
    ----------
    gauge
        With its offsets from the tank's middle, ahead and to the left [mm].
    pitch_deg
        Nose up positive [°].
    roll_deg
        Left side up positive [°].

    Returns
    -------
    float
        Height at the gauge less height in the middle [mm].

    Valid for
        Tanks with upright walls whose oil neither leaves the bottom bare nor touches the top; up to 15°.

    Raises
    ------
    Missing
        When the gauge's offset is not known.
    OutOfRange
        When the slope is steeper.

    Source
        Geometry: the surface stays level, so along the tilted tank it is a plane; with upright walls its height in
        the middle of the area is that of the level tank.

    Examples
    --------
    >>> round(slope_mm(Gauge("glass", ahead_mm=-150.0, left_mm=0.0), pitch_deg=5.0, roll_deg=0.0), 2)
    13.12
    """
    for name, angle in (("pitch_deg", pitch_deg), ("roll_deg", roll_deg)):
        require_between(name, angle, -_STEEPEST_DEG, _STEEPEST_DEG, "a machine on uneven ground")
    if gauge.ahead_mm is None or gauge.left_mm is None:
        name = "ahead_mm" if gauge.ahead_mm is None else "left_mm"
        raise Missing(name=name, needed_for="the level on a slope")
    return -(gauge.ahead_mm * math.tan(math.radians(pitch_deg)) + gauge.left_mm * math.tan(math.radians(roll_deg)))


def slope_share(gauge: Gauge, pitch_deg: float, roll_deg: float) -> float:
    """How much a slope moves the reading, as a share of the span; the worse of both signs of pitch against roll.

    Parameters
    ----------
    gauge
        With its offsets and the marks' heights [mm].
    pitch_deg, roll_deg
        How far the machine may stand off level, either way [°].

    Returns
    -------
    float
        Share of the span between the marks [-], zero or more.

    Valid for
        As :func:`slope_mm`.

    Raises
    ------
    Missing
        When the gauge's offset or a mark's height is not known.
    OutOfRange
        When the slope is steeper than 15°.

    Source
        Geometry, by :func:`slope_mm`.

    Examples
    --------
    >>> gauge = Gauge("glass", lower_mm=150, upper_mm=250, ahead_mm=-150.0, left_mm=0.0)
    >>> round(slope_share(gauge, pitch_deg=5.0, roll_deg=0.0), 3)
    0.131
    """
    if gauge.lower_mm is None or gauge.upper_mm is None:
        name = "lower_mm" if gauge.lower_mm is None else "upper_mm"
        raise Missing(name=name, needed_for="the level on a slope")
    worst = abs(slope_mm(gauge, pitch_deg, 0.0)) + abs(slope_mm(gauge, 0.0, roll_deg))
    return worst / (gauge.upper_mm - gauge.lower_mm)


def mean_of_two(first: Reading, second: Reading) -> SlewedReading:
    """Cancel the slope by two readings: read, turn the upper structure by half, read again.

    Parameters
    ----------
    first, second
        The two readings, 0 at the lower mark and 1 at the upper [-].

    Returns
    -------
    SlewedReading
        The level machine's reading [-], and how much the slope had moved the first one.

    Valid for
        A tank on the upper structure, the ground's slope the same under both: it moves the two by the same amount,
        once up and once down.

    Raises
    ------
    NotANumber
        When one of them is *below* or *above*: a mean needs two that can be read.

    Source
        Geometry: a half turn changes the sign of pitch and roll.

    Examples
    --------
    >>> mean_of_two(0.7, 0.4).reading
    0.55
    """
    values: list[float] = []
    for name, reading in (("first", first), ("second", second)):
        if isinstance(reading, str):
            raise NotANumber(name=name, value=reading, right="0.45")
        values.append(require_between(f"{name}_share", reading, -1.0, 2.0, "0 is the lower mark, 1 the upper"))
    return SlewedReading(round((values[0] + values[1]) / 2, 12), round((values[0] - values[1]) / 2, 12))
