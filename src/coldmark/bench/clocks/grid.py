"""The grid of a task: the hours at which it falls due, and which of them a service stands for."""

from __future__ import annotations

import math

from coldmark.bench.clocks.model import Last, Start, Task

__all__ = ["known_from_new", "next_line_h", "stands_for_h"]

# Readings have at most some decimals; sums of them may be off in the last bit.
_SLIP_H = 1e-6


def known_from_new(task: Task, start: Start) -> bool:
    """Say whether a machine's records reach back into the first interval of a task after the hand-over."""
    if not start.new or task.interval_h is None:
        return start.new
    return start.first_known_h is None or start.first_known_h <= task.interval_h + task.tolerance_h


def next_line_h(task: Task, last: Last | None, start: Start) -> float | None:
    """Return the hours at which a task falls due next by its interval, breaker work aside.

    Parameters
    ----------
    task
        The task.
    last
        When it was last done, or ``None`` when no record has it.
    start
        Where the machine's records begin.

    Returns
    -------
    float or None
        Hours since new [h]; ``None`` when the task has no hours, or when it was never recorded as done and nothing
        tells where its count begins.

    Valid for
        Any task. Never recorded: a machine handed over new whose records begin inside the first interval owes its
        first-time interval, else its interval; one that came later owes the first line that had not passed, by more
        than the tolerance, when its records began.

    Raises
    ------
    Nothing: hours that are not known are ``None``.

    Source
        The data sheet's interval, first-time interval, tolerance and *counts from*.

    Examples
    --------
    >>> from datetime import date
    >>> task = Task("hyd_500", "", None, 500, 12, 50, 50, "meter", (), None, None, "sheet")
    >>> next_line_h(task, None, Start(new=True)), next_line_h(task, None, Start(first_known_h=2310))
    (50, 2500)
    >>> next_line_h(task, Last(530, date(2026, 3, 2), 500), Start())
    1000
    """
    if task.interval_h is None:
        return None
    if last is not None:
        counted_from = last.hours if task.counts_from == "last_done" or last.grid_h is None else last.grid_h
        return None if counted_from is None else counted_from + task.interval_h
    if known_from_new(task, start):
        return task.first_h or task.interval_h
    if start.first_known_h is None:
        return None
    open_from = start.first_known_h - task.tolerance_h - _SLIP_H
    if task.first_h is not None and task.first_h >= open_from:
        return task.first_h
    if task.counts_from == "meter":
        return max(1, math.ceil(open_from / task.interval_h)) * task.interval_h
    return task.interval_h if task.interval_h >= open_from else None


def stands_for_h(task: Task, last: Last | None, start: Start, done_h: float) -> float:
    """Return the hour of the grid that a service done at ``done_h`` stands for; the next is an interval later.

    Late inside the tolerance keeps the grid, early moves it, and late beyond the tolerance moves it too: the count
    then goes on from the hours at which it was done. No rule here ever makes the next interval longer than the
    sheet's. Missed lines are passed over: the latest one before the service is the one that counts.

    Parameters
    ----------
    task, last, start
        As in :func:`next_line_h`, before the service.
    done_h
        Hours since new at the service [h].

    Returns
    -------
    float
        Hour of the grid [h]. 0 for the first-time service of a task that counts from the meter: the grid's own first
        line comes next.

    Valid for
        Any task; one that counts from last done has no grid and stands for the hours at which it was done.

    Raises
    ------
    Nothing.

    Source
        common practice, no source

    Examples
    --------
    >>> task = Task("hyd_500", "", None, 500, 12, None, 50, "meter", (), None, None, "sheet")
    >>> [stands_for_h(task, None, Start(new=True), hours) for hours in (480, 500, 530, 550, 551)]
    [480, 500, 500, 500, 551]
    """
    line = next_line_h(task, last, start)
    if task.interval_h is None or task.counts_from == "last_done" or line is None:
        return done_h
    if last is None and task.first_h is not None and line <= task.first_h:
        if done_h <= (task.first_h + task.interval_h) / 2:
            return 0.0
        line = task.interval_h
    if done_h < line - _SLIP_H:
        return done_h
    missed = math.floor((done_h - line + _SLIP_H) / task.interval_h)
    line += missed * task.interval_h
    return line if done_h - line <= task.tolerance_h + _SLIP_H else done_h
