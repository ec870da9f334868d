"""How a timing has gone over the machine's hours, against its own first value and the data sheet's most."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from coldmark.bench.errors import CannotTell, Missing
from coldmark.bench.shapes import dataclass
from coldmark.bench.timings.compare import Compared, Flows, against, compare
from coldmark.bench.timings.model import Timed, Timing
from coldmark.bench.words import UnitSystem, quantity, sentence
from coldmark.bench.working import Range, Working

__all__ = ["Point", "Trend", "says", "says_value", "trend"]

_LEAST_POINTS = 3
_LEAST_HOURS = 50.0


@dataclass(frozen=True, slots=True)
class Point:
    """One measurement of a trend at the oil temperature of the first: hours, and value with its range."""

    hours: float | None
    at: str
    value: Range


@dataclass(frozen=True, slots=True)
class Trend:
    """How a timing has gone. ``compared`` is the latest against the first that it may be held against.

    ``per_1000h`` is the middle slope of all pairs [s or mm/min, each 1000 h]. ``sheet`` is how the latest stands to
    the sheet's most. ``why_not`` are the reasons why measurements were left out or nothing can be said, as message ids
    with their values.
    """

    kind: str
    points: tuple[Point, ...]
    latest: Timed
    compared: Compared | None
    per_1000h: float | None
    sheet: Literal["over", "within", "open"] | None
    most: float | None
    why_not: tuple[tuple[str, dict[str, float]], ...]
    working: Working


def _middle(values: Sequence[float]) -> float:
    ordered, half = sorted(values), len(values) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def _slope(points: Sequence[Point]) -> float | None:
    """Return the middle of the slopes between all pairs, which one wild measurement does not move."""
    known = [(one.hours, one.value.value) for one in points if one.hours is not None]
    slopes = [
        (value - earlier) / (hours - before)
        for place, (before, earlier) in enumerate(known)
        for hours, value in known[place + 1 :]
        if abs(hours - before) > 1e-9
    ]
    if len(known) < _LEAST_POINTS or known[-1][0] - known[0][0] < _LEAST_HOURS or not slopes:
        return None
    return 1000 * _middle(slopes)


def trend(history: Sequence[Timed], timing: Timing | None = None, oil: Flows | None = None) -> Trend:
    """Return how a timing has gone: each measurement at the oil temperature of the first, and what that says.

    Parameters
    ----------
    history : the measurements, the earliest first; the first is what the machine is held against.
    timing : what the data sheet says of it, where it does.
    oil : the oil, for its viscosity; a VG 46 where it is not known.

    Returns
    -------
    Trend
        Points, the latest against the first and the sheet, the slope over the hours.

    Valid for
    ---------
    Measurements of one thing. Those with another load, speed or much warmer or colder oil are left out, and said so.

    Raises
    ------
    Missing
        When there is none.

    Source
    ------
    As :func:`~coldmark.bench.timings.compare`; slope by Theil and Sen, from memory.

    Examples
    --------
    >>> seen = [Timed("cycle", time_s=t, oil_c=50, hours=h) for h, t in ((100, 3.0), (600, 3.3), (1100, 3.6))]
    >>> found = trend(seen)
    >>> round(found.per_1000h, 2), found.compared.way
    (0.6, 'more')
    """
    if not history:
        raise Missing(name="history", needed_for="a trend")
    first, latest = history[0], history[-1]
    points: list[Point] = []
    why_not: list[tuple[str, dict[str, float]]] = []
    compared: Compared | None = None
    for one in history:
        try:
            found = compare(one, first, oil)
        except CannotTell as reason:
            why_not.append(_reason(reason))
            continue
        points.append(Point(one.hours, one.at, found.now))
        compared = found if one is latest and one is not first else None
    sheet = None
    if timing is not None:
        try:
            sheet = against(latest, timing, oil)
        except CannotTell as reason:
            why_not.append(_reason(reason))
    return Trend(
        kind=latest.kind,
        points=tuple(points),
        latest=latest,
        compared=compared,
        per_1000h=_slope(points),
        sheet=sheet,
        most=None if timing is None else timing.most,
        why_not=tuple(why_not),
        working=Working(()) if compared is None else compared.working,
    )


def _reason(error: CannotTell) -> tuple[str, dict[str, float]]:
    return error.message, {name: float(value) for name, value in error.values.items()}


def says_value(kind: str, value: float, units: UnitSystem = "metric") -> str:
    """Return a timing's value as a reader sees it.

    Parameters
    ----------
    kind : *cycle* or *drift*.
    value : seconds, or millimetres a minute.
    units : the reader's units.

    Returns
    -------
    str
        The value with its unit.

    Valid for
    ---------
    Both kinds.

    Raises
    ------
    Nothing
        Every value can be said.

    Source
    ------
    The table of units.

    Examples
    --------
    >>> says_value("cycle", 3.24), says_value("drift", 2.5), says_value("drift", 2.5, "us")
    ('3.2 s', '2.50 mm/min', '0.098 in/min')
    """
    return quantity(value, "s" if kind == "cycle" else "mm_min", units=units)


def says(found: Trend, units: UnitSystem = "metric") -> list[str]:
    """Return what a trend says in plain sentences, the answer first.

    Parameters
    ----------
    found : from :func:`trend`.
    units : the reader's units.

    Returns
    -------
    list of str
        Sentences.

    Valid for
    ---------
    Every trend.

    Raises
    ------
    Nothing
        Every case has its sentences.

    Source
    ------
    Coldmark's own words.

    Examples
    --------
    >>> says(trend([Timed("cycle", time_s=3.0, oil_c=50)]))
    ['Measured 3.0 s, for the first time: later ones are held against it.']
    """
    lines = []
    kind, now = found.kind, found.latest.value
    shown = says_value(kind, now, units)
    compared = found.compared
    if compared is not None:
        values = {
            "now": says_value(kind, compared.now.value, units),
            "before": says_value(kind, compared.before.value, units),
        }
        lines.append(sentence(f"timings.{kind}.{compared.way}", units=units, **values))
        if compared.corrected and compared.at_c is not None:
            lines.append(sentence("timings.brought", units=units, at_c=compared.at_c, measured=shown))
    elif len(found.points) <= 1 and not found.why_not:
        lines.append(sentence("timings.first", units=units, now=shown))
    else:
        lines.append(sentence("timings.not_compared", units=units, now=shown))
    if found.sheet is not None and found.most is not None:
        lines.append(sentence(f"timings.sheet.{found.sheet}", most=says_value(kind, found.most, units)))
    if found.per_1000h is not None and compared is not None and compared.way != "same":
        way = "up" if found.per_1000h > 0 else "down"
        lines.append(sentence(f"timings.slope.{way}", change=says_value(kind, abs(found.per_1000h), units)))
    lines += [sentence(message, units=units, **told) for message, told in found.why_not]
    return list(dict.fromkeys(lines))
