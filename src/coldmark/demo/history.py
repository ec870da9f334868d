"""Two years of the invented valley: what happened to each machine, and what was recorded of it.

Days count back from today. The same seed, day and people give the same facts. The business began with a service book;
since about ten months ago each job is worked by the card, as the app records it.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from coldmark.bench.facts import Fact
from coldmark.bench.oil import Oil
from coldmark.bench.sheet import Sheet
from coldmark.demo.between import stories
from coldmark.demo.book import begin_book
from coldmark.demo.life import Life
from coldmark.demo.pen import Kept
from coldmark.demo.plans import plan_ahead, plan_today
from coldmark.demo.rounds import look_in_passing, next_visit
from coldmark.demo.schedule import anchors
from coldmark.demo.seasons import curve
from coldmark.demo.valley import MachineToLive, Valley
from coldmark.demo.world import VisitToPlan, World, id_of

__all__ = ["History", "make"]

_PASSING_DAYS = 18


@dataclass(frozen=True, slots=True)
class History:
    """All that happened: facts in the order in which they were written, what they name by hash, and the visits."""

    facts: tuple[Fact, ...]
    kept: Kept
    visits: tuple[VisitToPlan, ...]
    lives: Mapping[str, Life]

    def by_machine(self) -> dict[str, list[Fact]]:
        """The facts of each machine."""
        found: dict[str, list[Fact]] = {}
        for fact in self.facts:
            found.setdefault(fact.subject, []).append(fact)
        return found


def make(
    valley: Valley,
    sheets: Mapping[str, Sheet],
    oils: Mapping[str, Oil],
    *,
    today: date,
    seed: int,
    people: Mapping[str, str],
    zone: ZoneInfo,
) -> History:
    """Live two years of the valley.

    Parameters
    ----------
    valley
        Its machines and what happens to them.
    sheets, oils
        Data sheets by the name of their file, and oils by key.
    today
        The day on which the demo is loaded; nothing is recorded on it.
    seed
        Chance.
    people
        The ids of the people, by key.
    zone
        Where the valley lies.
    """
    world = World(valley, sheets, oils, today, seed, people, zone)
    for machine in valley.machines:
        _begin(world, machine)
    world.live()
    plan_today(world)
    plan_ahead(world)
    used = {name for fact in world.facts for name in _hashes(fact.body)}
    kept = Kept({name: one for name, one in world.kept.by_hash.items() if name in used})
    visits = tuple(sorted(world.visits, key=lambda visit: (visit.day, visit.starts, visit.id)))
    return History(tuple(world.facts), kept, visits, world.lives)


def _begin(world: World, machine: MachineToLive) -> None:
    rng = random.Random(f"{world.seed}/machine/{machine.key}")
    sheet = world.sheets[machine.sheet]
    last = world.today + timedelta(days=60)
    hours = curve(machine.hours, machine.per_day, machine.days, world.first, last, rng)
    life = Life.begin(machine, id_of(world.seed, "machine", machine.key), sheet, world.oils, hours, rng)
    world.lives[machine.key] = life
    owner, site = world.owner(machine.story.get("sold_from", machine.customer)), _site(world, machine)
    world.keep(life, begin_book(life, world.office, world.at(world.first, time(8)), owner, site, world.zone))
    if "due_in_h" in machine.story:
        life.anchors = anchors(world, life)
    next_visit(world, life, world.first)
    stories(world, life)
    if "finding" in machine.story:
        world.later(world.ago(_PASSING_DAYS), lambda day: look_in_passing(world, life, day), out=True)


def _site(world: World, machine: MachineToLive) -> str | None:
    sold_from = machine.story.get("sold_from")
    if sold_from is None:
        return id_of(world.seed, "site", machine.site)
    before = next(customer for customer in world.valley.customers if customer.key == sold_from)
    return id_of(world.seed, "site", before.sites[0].key)


def _hashes(body: Mapping[str, Any]) -> list[str]:
    """The attachments that a body names."""
    names = ("note", "photo", "advice", "strokes", "name")
    found = [body[name] for name in names if isinstance(body.get(name), str)]
    return found + [one for one in body.get("photos") or () if isinstance(one, str)]
