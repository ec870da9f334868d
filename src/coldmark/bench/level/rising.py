"""Whether the level of a gearbox, final drive or engine rises by itself: oil from elsewhere gets into it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from coldmark.bench.level.model import Reading

__all__ = ["RISES_SHARE", "rising"]

RISES_SHARE = 0.25
"""By how much of the distance between the marks a level must have risen to be called rising. A dipstick or a small
glass is read to about a tenth of it; common practice, no source."""

APART_K = 15.0
"""How far apart the oil's temperatures may be: warmer oil of a gearbox stands higher without anything getting in."""

_BEYOND = {"below": -0.1, "above": 1.1}


def rising(readings: Iterable[tuple[Reading, float | None]]) -> Literal["rising", "steady", "unknown"]:
    """Say whether a level rises although nothing is poured in.

    Parameters
    ----------
    readings
        Readings since oil last went in or out, oldest first, each with the oil's temperature [°C], ``None`` where it
        was not told; 0 is the lower mark, 1 the upper.

    Returns
    -------
    str
        *rising*, *steady* (looked at, and it does not rise), or *unknown*: too few readings at like temperatures.

    Valid for
        Closed compartments whose level no rod moves.

    Raises
    ------
    Nothing.

    Source
        Common practice, no source.

    Examples
    --------
    >>> rising([(0.4, 20), (0.6, 25), ("above", 18)]), rising([(0.4, 20), (0.45, 22)]), rising([(0.4, 20), (0.8, 60)])
    ('rising', 'steady', 'unknown')
    """
    told = [(_BEYOND[one] if isinstance(one, str) else one, oil_c) for one, oil_c in readings if oil_c is not None]
    if not told:
        return "unknown"
    last, last_c = told[-1]
    alike = [one for one, oil_c in told[:-1] if abs(oil_c - last_c) <= APART_K]
    if not alike:
        return "unknown"
    return "rising" if last - alike[0] >= RISES_SHARE else "steady"
