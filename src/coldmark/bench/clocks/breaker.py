"""Breaker work wears oil and elements faster: the interval for a share of breaker hours."""

from __future__ import annotations

from itertools import pairwise

from coldmark.bench.clocks.model import Task
from coldmark.bench.errors import CannotTell, Contradiction, require_above, require_between
from coldmark.bench.working import Given, Step

__all__ = ["interval_h", "interval_working"]


def interval_h(task: Task, share: float) -> float:
    """Return a task's interval when a share of the machine's hours is breaker work.

    Wear is taken to add up hour by hour: so many units an hour with the bucket, so many with the breaker. One over the
    interval is then a straight line over the share, which is the harmonic rule. The sheet's table gives points of that
    line; between its rows, before its first and beyond its last the line is drawn on through them.

    Parameters
    ----------
    task
        With its interval, and its breaker table or factor.
    share
        Breaker hours ÷ machine hours [-].

    Returns
    -------
    float
        Interval [h].

    Valid for
        Shares from 0 to 1.

    Raises
    ------
    OutOfRange
        When the share is not from 0 to 1, or a factor or an interval of the table makes no sense.
    Contradiction
        When the table does not rise in share, or an interval in it grows with the share.
    CannotTell
        When the task has no interval in hours.

    Source
        The data sheet's table; without one the harmonic rule, common practice, no source.

    Examples
    --------
    >>> from coldmark.bench.clocks.model import Breaker
    >>> task = Task("oil", "", None, 2000, None, None, 0, "meter", (), Breaker(((1.0, 600.0),)), None, "sheet")
    >>> round(interval_h(task, 1.0)), round(interval_h(task, 0.5), 1), round(interval_h(task, 0.0))
    (600, 923.1, 2000)
    """
    require_between("share", share, 0.0, 1.0, "a share of all hours")
    if task.interval_h is None:
        raise CannotTell("clocks.no_interval", task=task.name)
    if task.breaker is None:
        return task.interval_h
    if not task.breaker.table:
        require_between("breaker_factor", task.breaker.factor, 1.0, 50.0, "hours of wear for each breaker hour")
        return task.interval_h / (1 - share + share * task.breaker.factor)
    return 1 / _wear(_points(task), share)


def interval_working(task: Task, share: float, origin: str) -> Step:
    """Return the step that shows how breaker work shortened the interval."""
    told = Given("s", share, "share", "told" if origin == "told" else "assumed")
    base = Given("I₀", task.interval_h or 0.0, "h", "sheet")
    if task.breaker is not None and task.breaker.table:
        rows = "; ".join(f"{row_share:g}: {hours:g} h" for row_share, hours in task.breaker.table)
        formula, last = "1 ÷ I = straight line in s through the rows of the table", Given("table", rows, "", "sheet")
        source = "data sheet"
    else:
        factor = 1.0 if task.breaker is None else task.breaker.factor
        formula, last = "I = I₀ ÷ (1 − s + s · f)", Given("f", factor, "", "sheet")
        source = "common practice, no source"
    return Step("working.clocks.interval", formula, (base, told, last), interval_h(task, share), "h", source)


def _points(task: Task) -> list[tuple[float, float]]:
    assert task.breaker is not None
    rows = list(task.breaker.table)
    if rows[0][0] > 0 and task.interval_h is not None:
        rows.insert(0, (0.0, task.interval_h))
    for (share, hours), (next_share, next_hours) in pairwise(rows):
        if next_share <= share:
            why = "clocks.cannot.shares"
            raise Contradiction(name="breaker_table", value=next_share, unit_of="breaker_share", why=why)
        if next_hours > hours:
            why = "clocks.cannot.more_hours"
            raise Contradiction(name="breaker_table", value=next_hours, unit_of="interval_h", why=why)
    for share, hours in rows:
        require_between("breaker_share", share, 0.0, 1.0, "a share of all hours")
        require_above("breaker_interval_h", hours, 0.0, "an interval")
    return [(share, 1 / hours) for share, hours in rows]


def _wear(points: list[tuple[float, float]], share: float) -> float:
    if len(points) == 1:
        return points[0][1]
    place = next((i for i, (row, _) in enumerate(points[1:], 1) if share <= row), len(points) - 1)
    (low, wear_low), (high, wear_high) = points[place - 1], points[place]
    return wear_low + (wear_high - wear_low) * (share - low) / (high - low)
