"""The fold of hours: the meter, its swaps and its death, and the tasks that were done."""

from __future__ import annotations

from coldmark.bench.clocks import Last, Task, last_of, stands_for_h, why_doubt
from coldmark.bench.facts import Fact, moment_ms, quantity
from coldmark.bench.ledger.folding import Folding
from coldmark.bench.ledger.state import BreakerSpan, DoneMark, DoneTask, MeterPoint

__all__ = ["breaker_hours_told", "handed_over", "meter_read", "meter_stopped", "meter_swapped", "task_done"]

MOST_POINTS = 400
MOST_SPANS = 100


def handed_over(folding: Folding, fact: Fact) -> None:
    """The machine was new on this day."""
    folding.state.handed_over = fact.body["day"]


def meter_read(folding: Folding, fact: Fact) -> None:
    """Keep the reading; one that goes back or runs faster than the clock counts only when it was asked and kept."""
    meter = folding.state.meter
    shown = quantity(fact.body["reading"], "hours")
    doubt = why_doubt(meter, shown, fact.at_ms)
    kept = fact.body.get("doubt")
    if doubt == "standing" and meter.dead_since is None:
        doubt = None  # a machine may stand; the hours are what they are
    elif doubt is not None and doubt == kept and meter.dead_since is None:
        _believe(folding, fact, shown)
        doubt = None
    point = MeterPoint(fact.at, fact.at_ms, shown, shown + meter.offset_h, fact.id, doubt, meter.offset_spread_h)
    _keep(folding, point)
    if doubt is not None:
        folding.flag(fact, f"flag.meter_{doubt}", reading=f"{shown:g}")
    elif fact.job is not None:
        folding.job(fact.job).hours = point.hours
        _settle(folding, fact.job, point)


def _believe(folding: Folding, fact: Fact, shown: float) -> None:
    """Somebody stood at the meter, was asked and kept the reading: what contradicts it is doubted instead."""
    hours = shown + folding.state.meter.offset_h
    for point in folding.state.meter.points:
        if point.doubt is None and point.hours > hours:
            point.doubt = "back"
            folding.flag(fact, "flag.meter_earlier_doubted", reading=f"{point.shown_h:g}", at=point.at)


def _keep(folding: Folding, point: MeterPoint) -> None:
    folding.state.meter.points.append(point)
    del folding.state.meter.points[:-MOST_POINTS]


def _settle(folding: Folding, job: str, point: MeterPoint) -> None:
    """A meter read late in a job gives the hours of the tasks that were ticked before it."""
    for key, done in list(folding.state.tasks.items()):
        if done.job == job and done.estimated and done.with_task is None:
            done.hours, done.spread_h, done.estimated = point.hours, point.spread_h, False
            task = _task(folding, key)
            if task is not None:
                done.grid_h = stands_for_h(task, _before(done), folding.start(), point.hours)
                _ride(folding, task, done)


def meter_swapped(folding: Folding, fact: Fact) -> None:
    """Go on counting through a new meter: what the old one had, or what the machine must have worked since."""
    meter = folding.state.meter
    new_first = quantity(fact.body["new_first"], "hours")
    told = fact.body.get("old_last")
    old_last = None if told is None else quantity(told, "hours") + meter.offset_h
    last = folding.last_point()
    if old_last is not None and last is not None and old_last < last.hours:
        folding.flag(fact, "flag.meter_back", reading=f"{old_last - meter.offset_h:g}")
        old_last = None
    if old_last is not None and meter.dead_since is not None:
        # The dead meter still shows the hours at which it stopped.
        at_ms = max(moment_ms("since", f"{meter.dead_since}T12:00:00+00:00"), last.at_ms if last else 0)
        stopped = MeterPoint(meter.dead_since, at_ms, old_last - meter.offset_h, old_last, fact.id)
        stopped.spread_h = meter.offset_spread_h
        _keep(folding, stopped)
        old_last = None
    if old_last is not None:
        hours, spread = old_last, meter.offset_spread_h
    else:
        then = folding.then(fact)
        if then.hours is None:
            folding.flag(fact, "flag.meter_swap_from_unknown")
        hours, spread = then.hours or new_first, then.spread_h
    meter.offset_h, meter.offset_spread_h = hours - new_first, spread
    meter.dead_since, meter.swaps = None, meter.swaps + 1
    _keep(folding, MeterPoint(fact.at, fact.at_ms, new_first, hours, fact.id, None, spread))


def meter_stopped(folding: Folding, fact: Fact) -> None:
    """From this day on the meter says nothing; what it showed since is doubted."""
    since = fact.body["since"]
    folding.state.meter.dead_since = since
    for point in folding.state.meter.points:
        if point.at[:10] > since:
            point.doubt = "standing"


def breaker_hours_told(folding: Folding, fact: Fact) -> None:
    """Keep how many hours the breaker worked in a time."""
    body = fact.body
    spans = folding.state.breaker
    spans.append(BreakerSpan(body["from_day"], body["to_day"], quantity(body["hours"], "hours")))
    del spans[:-MOST_SPANS]


def task_done(folding: Folding, fact: Fact) -> None:
    """A task and the shorter ones that it includes were done; nothing else resets a clock."""
    key = fact.body["task"]
    if fact.job is not None:
        done_now = folding.job(fact.job).tasks_done
        if key not in done_now:
            done_now.append(key)
    sheet, task = folding.sheet, _task(folding, key)
    if sheet is not None and task is None:
        folding.flag(fact, "flag.task_not_on_sheet", task=key)
    done = _do(folding, fact, key, task)
    if task is not None:
        _ride(folding, task, done, fact)


def _do(folding: Folding, fact: Fact, key: str, task: Task | None) -> DoneTask:
    tasks = folding.state.tasks
    before = tasks.get(key)
    again = before is not None and _same_doing(before, fact)
    if again and before is not None and before.with_task is not None:
        return before  # done with a longer one in this very job: that one's grid stands
    mark = before.before if again and before is not None else _mark(before)
    then = folding.then(fact)
    done = DoneTask(
        then.hours,
        fact.at[:10],
        None,
        fact.id,
        times=(mark.times if mark else 0) + 1,
        spread_h=then.spread_h,
        estimated=then.estimated,
        job=fact.job,
        before=mark,
    )
    if task is not None and then.hours is not None:
        done.grid_h = stands_for_h(task, _before(done), folding.start(), then.hours)
    tasks[key] = done
    return done


def _ride(folding: Folding, longer: Task, done: DoneTask, fact: Fact | None = None) -> None:
    """Reset the tasks that a longer one includes: they take its grid where they count from the meter."""
    for key in longer.includes:
        task = _task(folding, key)
        if task is None:
            continue
        ridden = folding.state.tasks.get(key)
        if fact is not None:
            if ridden is not None and ridden.with_task is not None and _same_doing(ridden, fact):
                continue  # with a longer one yet
            ridden = _do(folding, fact, key, task)
        if ridden is None or ridden.job != done.job or ridden.day != done.day:
            continue
        ridden.with_task = longer.key
        ridden.hours, ridden.spread_h, ridden.estimated = done.hours, done.spread_h, done.estimated
        if ridden.hours is None:
            continue
        if task.counts_from == "meter" and done.grid_h:
            ridden.grid_h = done.grid_h
        else:
            ridden.grid_h = stands_for_h(task, _before(ridden), folding.start(), ridden.hours)


def _task(folding: Folding, key: str) -> Task | None:
    return None if folding.sheet is None else folding.sheet.tasks.get(key)


def _same_doing(done: DoneTask, fact: Fact) -> bool:
    return done.job == fact.job and (fact.job is not None or done.day == fact.at[:10])


def _mark(done: DoneTask | None) -> DoneMark | None:
    return None if done is None else DoneMark(done.hours, done.day, done.grid_h, done.times)


def _before(done: DoneTask) -> Last | None:
    mark = done.before
    return None if mark is None else last_of(DoneTask(mark.hours, mark.day, mark.grid_h, ""))
