"""When tasks fall due, from what was recorded: hours, months, breaker work, and tasks that ride with longer ones."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from typing import Literal

from coldmark.bench.clocks.breaker import interval_h, interval_working
from coldmark.bench.clocks.grid import known_from_new, next_line_h
from coldmark.bench.clocks.machine import breaker_over_hours, last_of, start_of, usage
from coldmark.bench.clocks.model import DueAt, Known, Last, MeterPoint, Note, Served, Task, Usage
from coldmark.bench.clocks.months import add_months
from coldmark.bench.clocks.usage import day_of, trusted
from coldmark.bench.errors import CannotTell
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Step, Working

__all__ = ["all_due", "due"]

_FAR_DAYS = 20 * 365  # a window further away than that says nothing
_RIDE_DAYS = 31  # tasks by the calendar alone: a month is near enough to do both at once
_NEVER = (None, None, None)


@dataclass(frozen=True, slots=True)
class _Hours:
    """The clock of hours: when it runs out, by which rule, and how that was found."""

    due_h: float | None
    grid_h: float | None
    by: Literal["hours", "first", "breaker", "unknown"]
    notes: tuple[Note, ...]
    working: Working


def due(task: Task, state: Known, sheet: Served) -> DueAt:
    """Return when a task falls due, from facts alone: no day of today goes in.

    Parameters
    ----------
    task
        A task of the sheet.
    state
        The machine's state.
    sheet
        The machine's data sheet: which longer tasks the task may ride with, and which options are breakers.

    Returns
    -------
    DueAt
        Hours, day, the window of days, which clock comes first, notes and working.

    Valid for
        Any task; what is not known is ``None`` and a note says what is lacking.

    Raises
    ------
    OutOfRange, Contradiction
        When the sheet's breaker table makes no sense.

    Source
        The data sheet's intervals; the grid rule is common practice, no source.

    Examples
    --------
    >>> from coldmark.bench.ledger.state import State
    >>> from coldmark.bench.sheet import read, template
    >>> sheet = read(template("excavator"))
    >>> found = due(sheet.tasks["hyd_500"], State("m", handed_over="2026-03-02"), sheet)
    >>> found.by, found.due_h
    ('hours', 500.0)
    """
    used = _usage_or_none(state)
    own = _due(task, state, sheet, used)
    longer = [_due(other, state, sheet, used) for other in _applying(sheet, state) if task.key in other.includes]
    return _riding(own, task, longer)


def all_due(sheet: Served, state: Known) -> list[DueAt]:
    """Return when each task of a sheet falls due, in the sheet's order; tasks of options not fitted are left out.

    Parameters
    ----------
    sheet
        The machine's data sheet.
    state
        The machine's state.

    Returns
    -------
    list of DueAt
        See :func:`due`.

    Valid for
        Any sheet and state.

    Raises
    ------
    OutOfRange, Contradiction
        When the sheet's breaker table makes no sense.

    Source
        The data sheet.

    Examples
    --------
    >>> from coldmark.bench.ledger.state import State
    >>> from coldmark.bench.sheet import read, template
    >>> sheet = read(template("excavator"))
    >>> [found.task for found in all_due(sheet, State("m"))] == list(sheet.tasks)
    True
    """
    used = _usage_or_none(state)
    tasks = _applying(sheet, state)
    own = {task.key: _due(task, state, sheet, used) for task in tasks}
    return [
        _riding(own[task.key], task, [own[other.key] for other in tasks if task.key in other.includes])
        for task in tasks
    ]


def _usage_or_none(state: Known) -> Usage | None:
    try:
        return usage(state)
    except CannotTell:
        return None


def _applying(sheet: Served, state: Known) -> list[Task]:
    return [task for task in sheet.tasks.values() if not task.needs_option or state.options.get(task.needs_option)]


def _due(task: Task, state: Known, sheet: Served, used: Usage | None) -> DueAt:
    clock = _hours_clock(task, state, sheet)
    notes, working = list(clock.notes), clock.working
    due_day, step = _months_clock(task, state)
    if step is not None:
        working += Working((step,))
    elif task.interval_months is not None:
        notes.append(Note("due.no_day_to_count_from"))
    early, likely, late = _NEVER
    if clock.due_h is not None:
        (early, likely, late), step = _window(clock.due_h, state, used)
        if step is None:
            notes.append(Note("due.no_usage"))
        else:
            if used is not None:
                working += used.working
            working += Working((step,))
    if state.meter.dead_since is not None and clock.due_h is not None:
        notes.append(Note("due.meter_dead", {"since": state.meter.dead_since}))
    by: Literal["hours", "months", "first", "breaker", "unknown"] = clock.by
    if due_day is not None:
        if likely is None or due_day <= likely:
            by = "months"
        # Whichever comes first: no part of the window lies behind the day that the months give.
        early, likely, late = (due_day if day is None else min(day, due_day) for day in (early, likely, late))
    return DueAt(task.key, clock.due_h, due_day, early, likely, late, by, clock.grid_h, None, tuple(notes), working)


def _hours_clock(task: Task, state: Known, sheet: Served) -> _Hours:
    if task.interval_h is None:
        return _Hours(None, None, "unknown", (), Working(()))
    done = state.tasks.get(task.key)
    last, start = last_of(done), start_of(state)
    line = next_line_h(task, last, start)
    if line is None:
        note = "due.never_recorded" if last is None else "due.hours_not_known"
        return _Hours(None, None, "unknown", (Note(note),), Working(()))
    first = last is None and task.first_h is not None and line <= task.first_h
    interval = line if first or last is None else task.interval_h
    counted = Given("counted from", line - interval, "h", "measured" if last else "sheet")
    step = Step(
        "working.clocks.due_h",
        "counted from + interval",
        (counted, Given("interval", interval, "h", "sheet")),
        line,
        "h",
        "data sheet",
    )
    found = _Hours(line, line, "first" if first else "hours", (), Working((step,)))
    if last is None and not known_from_new(task, start):
        found = replace(found, notes=(Note("due.counted_by_the_meter"),))
    if done is not None and done.estimated:
        found = replace(found, notes=(*found.notes, Note("due.last_done_estimated", {"spread_h": done.spread_h})))
    return _with_breaker(found, task, state, sheet, last)


def _with_breaker(clock: _Hours, task: Task, state: Known, sheet: Served, last: Last | None) -> _Hours:
    fitted = any(option.breaker and state.options.get(option.key) for option in sheet.options.values())
    if task.breaker is None or not (fitted or state.breaker):
        return clock
    if last is None and not known_from_new(task, start_of(state)):
        return clock  # nobody knows what the oil has been through
    since = state.handed_over if last is None else last.day.isoformat()
    found = breaker_over_hours(state, since)
    if found is None:
        return replace(clock, notes=(*clock.notes, Note("due.breaker_not_told")))
    share, notes = (min(1.0, found[0]), found[1]), clock.notes
    if found[0] > 1:
        notes = (*notes, Note("due.breaker_more_than_run"))
    if not share[1]:
        notes = (*notes, Note("due.breaker_share_assumed", {"share_share": share[0]}))
    begun = 0.0 if last is None else last.hours
    if begun is None:
        return replace(clock, notes=notes)
    due_h = begun + interval_h(task, share[0])
    working = clock.working + Working((interval_working(task, share[0], "told" if share[1] else "assumed"),))
    if clock.due_h is not None and due_h >= clock.due_h:
        return replace(clock, notes=notes, working=working)
    givens = (Given("last done", begun, "h", "measured"), Given("I", due_h - begun, "h", "worked_out"))
    step = Step("working.clocks.due_breaker_h", "last done + I", givens, due_h, "h", "")
    return _Hours(due_h, clock.grid_h, "breaker", notes, working + Working((step,)))


def _months_clock(task: Task, state: Known) -> tuple[date | None, Step | None]:
    if task.interval_months is None:
        return None, None
    done = state.tasks.get(task.key)
    begun = state.handed_over if done is None else done.day
    if begun is None:
        return None, None
    months = task.interval_months
    day = add_months(date.fromisoformat(begun), months)
    if done is None:
        points = trusted(state.meter)
        since = day_of(points[0]) if points else day
        if day < since and task.counts_from == "last_done":
            return None, None  # it fell due before the records began, and nobody knows whether it was done
        while day < since:
            months += task.interval_months
            day = add_months(date.fromisoformat(begun), months)
    givens = (
        Given("handed over" if done is None else "last done", begun, "", "measured"),
        Given("months", float(months), "months", "sheet"),
    )
    return day, Step("working.clocks.due_day", "day + months", givens, day.isoformat(), "", "data sheet")


Window = tuple[date | None, date | None, date | None]


def _window(due_h: float, state: Known, used: Usage | None) -> tuple[Window, Step | None]:
    points = trusted(state.meter)
    if not points:
        return _NEVER, None
    last = points[-1]
    left = due_h - last.hours
    if left <= 0:
        day = _crossed(points, due_h, state.handed_over)
        givens = (Given("due", due_h, "h", "worked_out"), Given("last read", last.hours, "h", "measured"))
        return (day, day, day), Step("working.clocks.passed", "due ≤ last read", givens, day.isoformat(), "", "")
    if used is None:
        return _NEVER, None
    rate = used.per_day
    read = day_of(last)
    early = _ahead(read, max(0.0, left - last.spread_h), rate.high)
    likely, late = _ahead(read, left, rate.value), _ahead(read, left + last.spread_h, rate.low)
    on = (
        Given("due", due_h, "h", "worked_out"),
        Given("last read", last.hours, "h", "measured"),
        Given("on", read.isoformat(), "", "measured"),
        Given("rate", rate.value, "h/day", "worked_out"),
    )
    shown = likely.isoformat() if likely else "–"
    return (early, likely, late), Step("working.clocks.window", "on + (due − last read) ÷ rate", on, shown, "", "")


def _ahead(day: date, left_h: float, rate: float) -> date | None:
    if rate <= 0 or left_h / rate > _FAR_DAYS:
        return None
    return day + timedelta(days=round(left_h / rate))


def _crossed(points: list[MeterPoint], due_h: float, handed_over: str | None) -> date:
    """Return the day on which the hours were reached: between two reads by a straight line."""
    place = next(place for place, point in enumerate(points) if point.hours >= due_h)
    later = points[place]
    if place > 0:
        day, hours = day_of(points[place - 1]), points[place - 1].hours
    elif handed_over is not None and handed_over < later.at[:10]:
        day, hours = date.fromisoformat(handed_over), 0.0
    else:
        return day_of(later)
    share = (due_h - hours) / (later.hours - hours)
    return day + timedelta(days=int(share * (day_of(later) - day).days))


def _riding(own: DueAt, task: Task, longer: Iterable[DueAt]) -> DueAt:
    """Let a task ride with the first longer one that includes it, if waiting for that is inside its own tolerance."""
    able = [other for other in longer if _near(own, task, other)]
    if not able:
        return own
    with_task = min(able, key=lambda other: (other.likely or date.max, other.due_h or 0.0, other.task))
    return replace(own, rides_with=with_task.task, grid_h=with_task.grid_h or own.grid_h)


def _near(own: DueAt, task: Task, other: DueAt) -> bool:
    if own.due_day is not None and other.likely is not None and own.by == "months":
        return (other.likely - own.due_day).days <= _RIDE_DAYS
    if own.due_h is not None and other.due_h is not None:
        return other.due_h <= own.due_h + task.tolerance_h
    if own.likely is not None and other.likely is not None:
        return (other.likely - own.likely).days <= _RIDE_DAYS
    return False
