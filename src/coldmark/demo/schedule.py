"""When the mechanic comes to a machine, and what is done then: by what is due, as the office would plan it."""

from __future__ import annotations

from datetime import date, timedelta

from coldmark.bench import clocks
from coldmark.demo.life import Life
from coldmark.demo.world import World

__all__ = ["anchors", "day_to_come", "tasks_on", "tasks_planned"]

_LATE_H = 55.0  # how much later than due a machine is served that is always late
_MOVED_DAYS = 12  # a day that was full moves a visit on by this at most


def anchors(world: World, life: Life) -> list[date]:
    """The days of a machine whose services were such that the next is due so many hours from today.

    Between two services of a main task lies one of all that cannot wait for the next. It comes a little late, so that
    what is done twice as often stays out of step with the main task, which then falls due alone.
    """
    story, now = life.machine.story, life.hours.at(world.today)
    main = story.get("main")
    interval = _main_interval(life)
    step = interval + (_LATE_H if story.get("late") else 0.0)
    hours, between = now - (interval - float(story["due_in_h"])), step * 0.6
    days = [life.hours.day_of(hours + between)] if main else []
    while hours > life.hours.hours[0] + 20:
        days.append(life.hours.day_of(hours))
        life.main_days.add(world.working_day(days[-1]))
        if main:
            days.append(life.hours.day_of(hours - step + between))
        hours -= step + life.rng.uniform(-4, 4)
    if story.get("interrupted"):
        days.append(world.working_day_before(world.today))
    return sorted(set(map(world.working_day, days)))


def _main_interval(life: Life) -> float:
    main = life.machine.story.get("main")
    if main is not None:
        return clocks.interval_h(life.sheet.tasks[main], float(life.machine.story.get("breaker_share", 0.0)))
    return min(task.interval_h for task in life.sheet.tasks.values() if task.interval_h and not task.needs_option)


def day_to_come(world: World, life: Life, after: date) -> date:
    if life.machine.story.get("due_in_h") is not None:
        later = [day for day in life.anchors if day > after + timedelta(days=3)]
        return world.working_day(later[0]) if later else world.today
    slack = life.rng.uniform(-0.2, 0.75)
    days = []
    for one in life.due():
        task = life.sheet.tasks[one.task]
        if one.due_h is not None:
            days.append(life.hours.day_of(one.due_h + slack * task.tolerance_h))
        if one.due_day is not None:
            days.append(one.due_day + timedelta(days=round(slack * 14)))
    day = max(min(days, default=world.today), after + timedelta(days=12))
    return world.working_day(day)


def tasks_on(world: World, life: Life, day: date) -> tuple[str, ...]:
    """What is due on a day, or will be before the mechanic comes again."""
    hours, near = life.hours.at(day), []
    again_h, again = _again(world, life, day)
    left: dict[str, float] = {}
    for one in life.due():
        task = life.sheet.tasks[one.task]
        interval = task.interval_h or 500.0
        hours_left = float("inf") if one.due_h is None else one.due_h - hours
        days_left = float("inf") if one.due_day is None else (one.due_day - day).days
        left[one.task] = min(hours_left / interval, days_left / 300.0)
        if hours_left <= max(min(45.0, 0.13 * interval), again_h - task.tolerance_h) or days_left <= again:
            near.append(one.task)
    main = life.machine.story.get("main")
    if main is not None and day < world.today:
        near = [key for key in near if key != main and main not in life.sheet.tasks[key].includes]
        near += [main] if any(0 <= (day - one).days <= _MOVED_DAYS for one in life.main_days) else []
    visits_ago = sum((day - one).days <= _MOVED_DAYS for one in life.anchors)
    for key, ago in life.machine.story.get("also_done", {}).items():
        if ago == visits_ago and key not in near:
            near.append(key)
    chosen = near or [min(left, key=lambda task: left[task])]
    included = {task for key in chosen for task in life.sheet.tasks[key].includes}
    return tuple(task for task in chosen if task not in included)


def _again(world: World, life: Life, day: date) -> tuple[float, int]:
    """In how many hours and days the mechanic comes again, where that is settled; else what is near enough."""
    later = [one for one in [*life.anchors, world.today] if one > day]
    if not life.anchors or life.machine.story.get("late") or not later:
        return 0.0, 40
    return life.hours.at(later[0]) - life.hours.at(day), max(40, (later[0] - day).days - 10)


def tasks_planned(world: World, life: Life, day: date) -> tuple[str, ...]:
    main = life.machine.story.get("main")
    return tasks_on(world, life, day) if main is None else (str(main),)
