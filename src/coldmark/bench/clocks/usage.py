"""Hours a day from the meter reads, hours on a day, and readings that want a second look."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from itertools import pairwise

from coldmark.bench.clocks.model import Doubt, HoursAt, MeterPoint, MeterState, Usage
from coldmark.bench.errors import CannotTell
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["DAY_MS", "day_of", "hours_at_ms", "trusted", "usage_of", "why_doubt"]

DAY_MS = 86_400_000
HOURS_A_DAY = 24.0

_RECENT_DAYS = 365
_MOST_POINTS = 40
_LEAST_DAYS = 7
_LEAST_SPREAD = 0.15  # reads and weeks are never evener than this
_SHOWS_H = 0.1  # what a meter shows at best
_STANDING_DAYS = 14
_STANDING_H = 5.0


def _median(values: Sequence[float]) -> float:
    """Return the middle of the values in order; between the two middle ones where their number is even."""
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def trusted(meter: MeterState) -> list[MeterPoint]:
    """Return the points that are not doubted, in time order.

    Parameters
    ----------
    meter
        The hour meter as folded.

    Returns
    -------
    list of MeterPoint
        Those that the clocks use.

    Valid for
        Every meter.

    Raises
    ------
    Nothing.

    Source
        Definition.

    Examples
    --------
    >>> trusted(MeterState())
    []
    """
    return [point for point in meter.points if point.doubt is None]


def day_of(point: MeterPoint) -> date:
    """Return the local day of a point."""
    return date.fromisoformat(point.at[:10])


def _handed_over_ms(day: str) -> int:
    return int((datetime.fromisoformat(day + "T12:00:00+00:00").timestamp()) * 1000)


def usage_of(points: Sequence[MeterPoint], handed_over: str | None = None) -> Usage:
    """Return hours a day from trusted meter points.

    The middle is the median of the slopes between all pairs of reads of the last year up to the latest read, which one
    wrong or odd read in four cannot carry away. The range holds eight tenths of that time by the rates of the
    stretches between neighbouring reads; with a single stretch it is half to double, assumed.

    Parameters
    ----------
    points
        Trusted points in time order [h].
    handed_over
        Day of hand-over, which counts as a read of 0 h, or ``None``.

    Returns
    -------
    Usage
        Hours a day [h per day] with range and working.

    Valid for
        At least two reads a week or more apart.

    Raises
    ------
    CannotTell
        When there are fewer.

    Source
        Theil–Sen slope (median of pairwise slopes).

    Examples
    --------
    >>> reads = [MeterPoint(f"2026-01-{1 + 10 * i:02d}", i * 10 * DAY_MS, 0, 40.0 * i, "") for i in range(3)]
    >>> usage_of(reads).per_day
    Range(value=4.0, low=3.4, high=4.6)
    """
    reads = _one_a_day(points, handed_over)
    recent = [read for read in reads if read[0] >= reads[-1][0] - _RECENT_DAYS * DAY_MS] if reads else []
    chosen = _thinned(recent if len(recent) >= 3 else reads[-3:])
    days = (chosen[-1][0] - chosen[0][0]) / DAY_MS if len(chosen) > 1 else 0.0
    if days < _LEAST_DAYS:
        raise CannotTell("clocks.too_few_reads", reads=len(points))
    slopes = [
        (later[1] - earlier[1]) / (later[0] - earlier[0]) * DAY_MS
        for place, earlier in enumerate(chosen)
        for later in chosen[place + 1 :]
    ]
    rate = min(max(_median(slopes), 0.0), HOURS_A_DAY)
    low, high = _spread(chosen, rate)
    step = Step(
        "working.clocks.usage",
        "median of (h₂ − h₁) ÷ (t₂ − t₁) over all pairs of reads",
        (
            Given("n", float(len(chosen)), "", "measured"),
            Given("first", chosen[0][1], "h", "measured"),
            Given("last", chosen[-1][1], "h", "measured"),
            Given("days between", days, "days", "measured"),
            Given("range", f"{low:.2f}–{high:.2f}", "", "assumed" if len(chosen) == 2 else "worked_out"),
        ),
        rate,
        "h/day",
        "Theil–Sen slope",
    )
    return Usage(Range(rate, low, high), len(chosen), days, Working((step,)))


def _one_a_day(points: Sequence[MeterPoint], handed_over: str | None) -> list[tuple[int, float]]:
    by_day: dict[int, tuple[int, float]] = {}
    for point in points:
        by_day[point.at_ms // DAY_MS] = (point.at_ms, point.hours)
    reads = list(by_day.values())
    if handed_over is not None:
        start = _handed_over_ms(handed_over)
        if not reads or start + DAY_MS <= reads[0][0]:
            reads.insert(0, (start, 0.0))
    return reads


def _thinned(reads: list[tuple[int, float]]) -> list[tuple[int, float]]:
    if len(reads) <= _MOST_POINTS:
        return reads
    last = len(reads) - 1
    return [reads[round(place * last / (_MOST_POINTS - 1))] for place in range(_MOST_POINTS)]


def _spread(reads: list[tuple[int, float]], rate: float) -> tuple[float, float]:
    if len(reads) == 2:
        return rate / 2, min(rate * 2, HOURS_A_DAY)
    stretches = sorted(
        ((later[1] - earlier[1]) / (later[0] - earlier[0]) * DAY_MS, later[0] - earlier[0])
        for earlier, later in pairwise(reads)
    )
    low, high = _weighted(stretches, 0.1), _weighted(stretches, 0.9)
    low = max(0.0, min(low, rate * (1 - _LEAST_SPREAD)))
    return low, min(HOURS_A_DAY, max(high, rate * (1 + _LEAST_SPREAD)))


def _weighted(stretches: list[tuple[float, int]], share: float) -> float:
    target = share * sum(weight for _, weight in stretches)
    reached = 0
    for rate, weight in stretches:
        reached += weight
        if reached >= target:
            return rate
    return stretches[-1][0]


def hours_at_ms(meter: MeterState, at_ms: int, handed_over: str | None = None) -> HoursAt:
    """Return the machine's hours since new at a moment [ms since 1970-01-01 UTC]; see :func:`hours_at`.

    Parameters
    ----------
    meter
        The hour meter as folded.
    at_ms
        Milliseconds since 1970-01-01 UTC.
    handed_over
        Day of hand-over, which counts as 0 h, or ``None``.

    Returns
    -------
    HoursAt
        Hours [h] with range.

    Valid for
        As :func:`hours_at`.

    Raises
    ------
    CannotTell
        Before the first read, or where the usage cannot be told.

    Source
        Straight line between reads; beyond the last the usage so far.

    Examples
    --------
    >>> meter = MeterState([MeterPoint("2026-01-01", 0, 1500, 1500.0, "")])
    >>> hours_at_ms(meter, DAY_MS // 4).hours.value
    1500.0
    """
    points = trusted(meter)
    before = next((point for point in reversed(points) if point.at_ms <= at_ms), None)
    after = next((point for point in points if point.at_ms > at_ms), None)
    if before is not None and abs(at_ms - before.at_ms) < DAY_MS // 2:
        return _known(before)
    if after is not None and after.at_ms - at_ms < DAY_MS // 2:
        return _known(after)
    if before is not None and after is None:
        return _carried_on(points, before, at_ms, handed_over)
    start = (before.at_ms, before.hours, before.spread_h) if before is not None else None
    if start is None and handed_over is not None and _handed_over_ms(handed_over) <= at_ms:
        start = (_handed_over_ms(handed_over), 0.0, 0.0)
    if start is None or after is None:
        raise CannotTell("clocks.no_reads", reads=len(points))
    return _between(start, after, at_ms)


def _known(point: MeterPoint) -> HoursAt:
    given = (Given("shown", point.shown_h, "h", "measured"),)
    step = Step("working.clocks.hours_read", "shown + what earlier meters had", given, point.hours, "h", "")
    return HoursAt(Range.about(point.hours, point.spread_h), "read", Working((step,)))


def _between(start: tuple[int, float, float], after: MeterPoint, at_ms: int) -> HoursAt:
    share = (at_ms - start[0]) / (after.at_ms - start[0])
    value = start[1] + share * (after.hours - start[1])
    givens = (
        Given("h₁", start[1], "h", "measured"),
        Given("h₂", after.hours, "h", "measured"),
        Given("share", share, "", "worked_out"),
    )
    step = Step("working.clocks.hours_between", "h₁ + share of the time · (h₂ − h₁)", givens, value, "h", "")
    low, high = start[1] - start[2], after.hours + after.spread_h
    return HoursAt(Range(value, min(low, value), max(high, value)), "between", Working((step,)))


def _carried_on(points: list[MeterPoint], last: MeterPoint, at_ms: int, handed_over: str | None) -> HoursAt:
    days = (at_ms - last.at_ms) / DAY_MS
    used = usage_of(points, handed_over)
    rate = used.per_day
    value = last.hours + rate.value * days
    givens = (
        Given("last", last.hours, "h", "measured"),
        Given("days", days, "days", "measured"),
        Given("rate", rate.value, "h/day", "worked_out"),
    )
    step = Step("working.clocks.hours_carried_on", "last + days · rate", givens, value, "h", "")
    low = last.hours - last.spread_h + rate.low * days
    high = last.hours + last.spread_h + rate.high * days
    return HoursAt(Range(value, low, high), "carried_on", used.working + Working((step,)))


def why_doubt(meter: MeterState, reading_h: float, at_ms: int) -> Doubt | None:
    """Return why a reading [h] at a moment [ms since 1970-01-01 UTC] is to be doubted, or ``None``.

    Parameters
    ----------
    meter
        The hour meter as folded.
    reading_h
        What it shows [h].
    at_ms
        Milliseconds since 1970-01-01 UTC.

    Returns
    -------
    Doubt or None
        As :func:`coldmark.bench.clocks.meter_doubt`; ``None``: nothing to ask.

    Valid for
        The meter that is on the machine now.

    Raises
    ------
    Nothing.

    Source
        Common practice, no source; a day has 24 hours.

    Examples
    --------
    >>> meter = MeterState([MeterPoint("2026-01-01", 0, 1500, 1500.0, "")])
    >>> why_doubt(meter, 1490.0, 4 * DAY_MS), why_doubt(meter, 1700.0, 4 * DAY_MS)
    ('back', 'too_fast')
    """
    points = trusted(meter)
    hours = reading_h + meter.offset_h
    before = next((point for point in reversed(points) if point.at_ms <= at_ms), None)
    after = next((point for point in points if point.at_ms > at_ms), None)
    if before is not None:
        if hours < before.hours - _SHOWS_H:
            return "back"
        if hours - before.hours > (at_ms - before.at_ms) / DAY_MS * HOURS_A_DAY + _SHOWS_H:
            return "too_fast"
    if after is not None and hours > after.hours + _SHOWS_H:
        return "back"
    if meter.dead_since is not None:
        return "standing"
    if before is not None and hours - before.hours < _SHOWS_H and _should_have_moved(points, before, at_ms):
        return "standing"
    return None


def _should_have_moved(points: list[MeterPoint], before: MeterPoint, at_ms: int) -> bool:
    days = (at_ms - before.at_ms) / DAY_MS
    if days < _STANDING_DAYS:
        return False
    try:
        return usage_of(points).per_day.low * days >= _STANDING_H
    except CannotTell:
        return False
