"""What a machine's state says of its hours: usage, hours on a day, readings to doubt, breaker hours."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Literal

from coldmark.bench.clocks.model import BreakerSpan, DoneTask, HoursAt, Known, Last, Start, Usage
from coldmark.bench.clocks.usage import hours_at_ms, trusted, usage_of, why_doubt
from coldmark.bench.errors import CannotTell
from coldmark.bench.facts import moment_ms

__all__ = ["breaker_over_hours", "breaker_share", "hours_at", "last_of", "meter_doubt", "start_of", "usage"]


def last_of(done: DoneTask | None) -> Last | None:
    """Return what the clocks need of a task's last doing, or ``None`` when no record has it.

    Parameters
    ----------
    done
        What the machine's state has of the task.

    Returns
    -------
    Last or None
        Hours [h], day and hour of the grid.

    Valid for
        Every task.

    Raises
    ------
    Nothing.

    Source
        Definition.

    Examples
    --------
    >>> last_of(None) is None
    True
    """
    return None if done is None else Last(done.hours, date.fromisoformat(done.day), done.grid_h)


def start_of(state: Known) -> Start:
    """Return where a machine's records begin: from new when it was handed over, else at its first trusted read.

    Parameters
    ----------
    state
        The machine's state.

    Returns
    -------
    Start
        Whether its hand-over is known, and the first hours [h] that are.

    Valid for
        Every machine.

    Raises
    ------
    Nothing.

    Source
        Definition.

    Examples
    --------
    >>> from coldmark.bench.ledger.state import State
    >>> start_of(State("m", handed_over="2026-03-02"))
    Start(new=True, first_known_h=None)
    """
    points = trusted(state.meter)
    return Start(state.handed_over is not None, points[0].hours if points else None)


def usage(state: Known) -> Usage:
    """Return hours a day of a machine from its meter reads and its hand-over; see :func:`usage_of`.

    Parameters
    ----------
    state
        The machine's state.

    Returns
    -------
    Usage
        Hours a day with range and working.

    Valid for
        Two reads at least a week apart; the hand-over counts as one.

    Raises
    ------
    CannotTell
        When there are fewer.

    Source
        Theil–Sen slope (median of pairwise slopes).

    Examples
    --------
    >>> from coldmark.bench.ledger.state import State
    >>> usage(State("m"))
    Traceback (most recent call last):
    ...
    coldmark.bench.errors.CannotTell: Hours a day need two meter reads at least a week apart; there are 0 reads.
    """
    return usage_of(trusted(state.meter), state.handed_over)


def hours_at(state: Known, day: date) -> HoursAt:
    """Return the machine's hours since new at noon of a day, with range.

    Parameters
    ----------
    state
        The machine's state.
    day
        The day.

    Returns
    -------
    HoursAt
        As read, between two reads, or carried on from the last read by the usage so far.

    Valid for
        Days from the first read or the hand-over on. Meter swaps are counted through; while the meter is dead the
        hours are carried on.

    Raises
    ------
    CannotTell
        Before the first read, or where the usage cannot be told.

    Source
        Straight line between reads; beyond the last the usage of :func:`usage`.

    Examples
    --------
    >>> from coldmark.bench.ledger.state import MeterPoint, State
    >>> state = State("m")
    >>> state.meter.points += [MeterPoint(f"2026-01-{1 + 10 * i:02d}", 1_767_225_600_000 + i * 864_000_000, 0,
    ...                                   40.0 * i, "") for i in range(3)]
    >>> hours_at(state, date(2026, 1, 31)).hours.value
    122.0
    """
    return hours_at_ms(state.meter, moment_ms("day", f"{day.isoformat()}T12:00:00+00:00"), state.handed_over)


def meter_doubt(state: Known, reading_h: float, at: str) -> Literal["back", "too_fast", "standing"] | None:
    """Say whether a meter reading asks for a second look. It is a question, never a refusal.

    Parameters
    ----------
    state
        The machine's state before the reading.
    reading_h
        What the meter shows [h].
    at
        When, with UTC offset.

    Returns
    -------
    str or None
        *back*: below an earlier read or above a later one; *too_fast*: more than 24 h a day since the last;
        *standing*: not moved for a fortnight in which the usage so far would have moved it by 5 h at least, or the
        meter is known to be dead. ``None``: nothing to ask.

    Valid for
        Readings of the meter that is on the machine now.

    Raises
    ------
    Refused
        When ``at`` is no moment with UTC offset.

    Source
        common practice, no source; a day has 24 hours

    Examples
    --------
    >>> from coldmark.bench.ledger.state import MeterPoint, State
    >>> state = State("m")
    >>> state.meter.points.append(MeterPoint("2026-01-01", 1_767_225_600_000, 1500, 1500.0, ""))
    >>> meter_doubt(state, 1490, "2026-01-05T00:00:00+00:00"), meter_doubt(state, 1540, "2026-01-05T00:00:00+00:00")
    ('back', None)
    >>> meter_doubt(state, 1625, "2026-01-05T00:00:00+00:00")
    'too_fast'
    """
    return why_doubt(state.meter, reading_h, moment_ms("at", at))


def breaker_share(state: Known, since: str | None) -> tuple[float, bool] | None:
    """Return the share of breaker hours in a machine's hours since a day, and whether it was told for that time.

    Parameters
    ----------
    state
        The machine's state.
    since
        A day, or ``None`` for all that was told. Spans that began before it count by their days after it.

    Returns
    -------
    (float, bool) or None
        The share [-], at most 1; ``False`` when it is that of the latest time told before. ``None`` when breaker
        hours were never told or the machine's hours in that time are not known.

    Valid for
        Spans within the meter's reads or carried on from them.

    Raises
    ------
    Nothing: hours that are not known in a span leave it out.

    Source
        Breaker hours told ÷ machine hours by the meter in the same days.

    Examples
    --------
    >>> from coldmark.bench.ledger.state import State
    >>> breaker_share(State("m"), None) is None
    True
    """
    found = breaker_over_hours(state, since)
    return None if found is None else (min(1.0, found[0]), found[1])


def breaker_over_hours(state: Known, since: str | None) -> tuple[float, bool] | None:
    """Return what :func:`breaker_share` does, but more than 1 where more breaker hours were told than were run."""
    told = [span for span in state.breaker if since is None or span.to_day > since]
    spans = told or sorted(state.breaker, key=lambda span: span.to_day)[-1:]
    breaker = machine = 0.0
    for span in spans:
        part, first = _part_after(span, since if told else None)
        try:
            begin = hours_at(state, first).hours.value
            end = hours_at(state, date.fromisoformat(span.to_day) + timedelta(days=1)).hours.value
        except CannotTell:
            continue
        breaker += span.hours * part
        machine += end - begin
    if machine <= 0:
        return None
    return breaker / machine, bool(told)


def _part_after(span: BreakerSpan, since: str | None) -> tuple[float, date]:
    first, end = date.fromisoformat(span.from_day), date.fromisoformat(span.to_day) + timedelta(days=1)
    if since is None or span.from_day >= since:
        return 1.0, first
    cut = date.fromisoformat(since)
    return (end - cut).days / (end - first).days, cut
