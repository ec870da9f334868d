"""Visits as rows: those of the last weeks, today's, and the next two weeks by site."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta

from coldmark.demo.life import Life
from coldmark.demo.schedule import tasks_planned
from coldmark.demo.world import Stop, VisitToPlan, World, id_of

__all__ = ["ROWS_BACK", "plan_ahead", "plan_today", "visit_row"]

ROWS_BACK = timedelta(days=30)
"""Visits so long ago are still rows."""

_AHEAD = timedelta(days=14)


def visit_row(world: World, life: Life, day: date, begins: datetime, tasks: tuple[str, ...], job: str) -> str:
    site = id_of(world.seed, "site", life.machine.site)
    id = id_of(world.seed, "visit", f"{life.machine.site}/{day}")
    stop = Stop(life.id, tasks, job)
    before = next((visit for visit in world.visits if visit.id == id), None)
    starts = begins.time().replace(second=0, microsecond=0)
    ends = (begins + timedelta(hours=3)).time().replace(second=0, microsecond=0)
    if before is None:
        world.visits.append(VisitToPlan(id, day, site, starts, ends, (stop,)))
    else:
        world.visits[world.visits.index(before)] = replace(
            before, stops=(*before.stops, stop), ends=max(ends, before.ends)
        )
    return id


def _plan(world: World, lives: list[Life], day: date, starts: time, ends: time, note: str = "") -> None:
    site = lives[0].machine.site
    stops = tuple(Stop(life.id, tasks_planned(world, life, day), world.job(life, day)) for life in lives)
    id = id_of(world.seed, "visit", f"{site}/{day}")
    world.visits.append(VisitToPlan(id, day, id_of(world.seed, "site", site), starts, ends, stops, note))


def plan_today(world: World) -> None:
    """Two visits at the quarry: one machine on the bench, two in the crusher's yard."""
    bench = [life for life in world.lives.values() if life.machine.site == "upper_bench"]
    crusher = [life for life in world.lives.values() if life.machine.site == "crusher"]
    if bench:
        _plan(world, bench, world.today, time(7, 30), time(10, 30), "Edda wants to be there when the filter comes out.")
    if crusher:
        _plan(world, crusher, world.today, time(11), time(15))
    for life in bench + crusher:
        world.coming.pop(life.machine.key, None)


def plan_ahead(world: World) -> None:
    """The next two weeks by site: who comes for one machine does the others there that are due soon."""
    sites: dict[str, list[tuple[date, Life]]] = {}
    for key, day in world.coming.items():
        life = world.lives[key]
        if not life.machine.story.get("interrupted") and day <= world.today + _AHEAD:
            sites.setdefault(life.machine.site, []).append((day, life))
    days: dict[date, int] = {}
    for found in sorted(sites.values(), key=lambda found: min(day for day, _ in found)):
        day = max(min(day for day, _ in found), world.today + timedelta(days=1))
        day = world.working_day(day)
        while days.get(day, 0) >= 2:
            day = world.working_day(day + timedelta(days=1))
        starts = time(7, 30) if days.get(day, 0) == 0 else time(12, 30)
        days[day] = days.get(day, 0) + 1
        _plan(world, [life for _, life in found], day, starts, time(starts.hour + 4, 0))
