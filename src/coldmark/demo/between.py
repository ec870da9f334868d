"""What happens between two visits: told by telephone, sent by the laboratory, or done to the machine."""

from __future__ import annotations

import random
from datetime import date, timedelta
from typing import Any

from coldmark.bench import cleanliness
from coldmark.demo.life import Life
from coldmark.demo.mechanic import quantity
from coldmark.demo.world import DAYS, LATEST, World, id_of

__all__ = ["laboratory", "stories"]


def stories(world: World, life: Life) -> None:
    story = life.machine.story
    if "meter_swap_days_ago" in story:
        world.later(world.ago(story["meter_swap_days_ago"]), lambda day: _swap(world, life, day), out=True)
    if "dead_meter_days_ago" in story:
        world.later(world.ago(story["dead_meter_days_ago"]), lambda day: _stop_meter(world, life, day))
    if "sold_days_ago" in story:
        world.later(world.ago(story["sold_days_ago"]), lambda day: _sell(world, life, day))
    if "breaker_share" in story:
        for place in range(26):
            month = (world.first.year * 12 + world.first.month - 1) + place
            begins = date(month // 12, month % 12 + 1, 1)
            if begins >= world.first:
                world.later(begins + timedelta(days=life.rng.randint(2, 5)), lambda day: _breaker(world, life, day))
    if "leak_l_100h" in story:
        for days in range(DAYS - 20, 0, -28):
            world.later(world.ago(days), lambda day: _look_at_glass(world, life, day))
    if "slowing_share" in story:
        for days in (650, 470, 290, 100, 12):
            world.later(world.ago(days), lambda day: _time_functions(world, life, day))
    if life.rng.random() < 0.6:
        for days in range(DAYS - life.rng.randint(20, 60), 5, -life.rng.randint(38, 60)):
            world.later(world.ago(days), lambda day: _tell_meter(world, life, day))


def _tell_meter(world: World, life: Life, day: date) -> None:
    shown = life.shown(day)
    if shown is not None:
        body = {"reading": {"value": shown, "unit": "h"}, "way": "told"}
        world.keep(life, [world.office.write("meter_read", life.id, world.by_phone(day), body)])


def _swap(world: World, life: Life, day: date) -> None:
    old = life.shown(day)
    begins = world.slot(day) or world.at(day, LATEST)
    body = {"old_last": {"value": old, "unit": "h"}, "new_first": quantity(0, "h")}
    swapped = world.mechanic.write("meter_swapped", life.id, begins, body)
    photo = {"photo": world.photos["meter"], "of": "meter"}
    taken = world.mechanic.write("photo", life.id, begins + timedelta(minutes=2), photo)
    world.keep(life, [swapped, taken])
    world.free[day] = begins + timedelta(minutes=50)
    life.meter_offset_h = life.hours.at(day)


def _stop_meter(world: World, life: Life, day: date) -> None:
    body = {"since": (day - timedelta(days=2)).isoformat()}
    world.keep(life, [world.office.write("meter_stopped", life.id, world.by_phone(day), body)])
    life.meter_dead = True


def _sell(world: World, life: Life, day: date) -> None:
    machine = life.machine
    body = {"customer": world.owner(machine.customer), "site": id_of(world.seed, "site", machine.site)}
    world.keep(life, [world.office.write("owner_changed", life.id, world.by_phone(day), body)])


def _breaker(world: World, life: Life, day: date) -> None:
    until = day.replace(day=1) - timedelta(days=1)
    since = max(until.replace(day=1), world.first)
    if until <= since:
        return
    worked = life.hours.at(until + timedelta(days=1)) - life.hours.at(since)
    hours = round(worked * float(life.machine.story["breaker_share"]))
    body = {"hours": quantity(hours, "h", 0), "from_day": since.isoformat(), "to_day": until.isoformat()}
    world.keep(life, [world.office.write("breaker_hours_told", life.id, world.by_phone(day), body)])


def _time_functions(world: World, life: Life, day: date) -> None:
    """The driver times what the data sheet has timed, and tells the office: each time a little worse."""
    worn = (day - world.first).days / (world.today - world.first).days * float(life.machine.story["slowing_share"])
    # A chance of its own, so that what else happens in the valley stays as it is.
    rng = random.Random(f"{world.seed}/{life.machine.key}/timed/{day}")
    facts = []
    for key, timing in life.sheet.timings.items():
        value = (timing.most or 1.0) * (0.8 + 0.4 * worn) * rng.uniform(0.98, 1.02)
        body: dict[str, Any] = {"timing": key, "what": timing.kind, "oil": quantity(rng.uniform(48, 52), "c", 0)}
        if timing.kind == "cycle":
            body |= {"time": quantity(value, "s"), "runs": 3}
        else:
            watched = timing.watched_min or 5.0
            body |= {"moved": quantity(value * watched, "mm", 0), "watched": quantity(watched, "min", 0)}
        facts.append(world.office.write("function_timed", life.id, world.by_phone(day), body))
    world.keep(life, facts)


def _look_at_glass(world: World, life: Life, day: date) -> None:
    """The driver of a machine that leaks looks at the glass, and pours in what he told the office of."""
    life.live_to(day)
    if life.tank.reading(25.0) > 0.22:
        return
    litres = round(life.rng.uniform(1.5, 2.5), 1) if (life.sheet.hydraulic.system_l or 0) > 60 else 0.8
    life.tank.move(litres, max(8.0, world.air[day]))
    body = {"compartment": life.main_tank, "way": "top_up", "litres": quantity(litres, "l"), "oil": life.oil}
    world.keep(life, [world.office.write("oil_moved", life.id, world.by_phone(day), body)])


def laboratory(world: World, life: Life, day: date, sample: str) -> None:
    rng = life.rng
    hot = life.machine.story.get("finding") in {"bronze_flakes", "water"} and (world.today - day).days < 150
    values = (
        ("iron", f"{rng.uniform(6, 22):.0f}", "mg/kg"),
        ("copper", f"{rng.uniform(34, 52) if hot else rng.uniform(2, 11):.0f}", "mg/kg"),
        ("silicon", f"{rng.uniform(4, 13):.0f}", "mg/kg"),
        ("water", f"{rng.uniform(600, 1400) if hot else rng.uniform(60, 190):.0f}", "mg/kg"),
        ("viscosity_40", f"{rng.uniform(43.6, 46.8):.1f}", "mm²/s"),
    )
    for name, value, unit in values:
        body = {"sample": sample, "name": name, "value": value, "unit": unit}
        world.keep(life, [world.office.write("lab_value", life.id, world.by_phone(day), body)])
    # A chance of its own, so that what else happens in the valley stays as it is.
    dirt = random.Random(f"{world.seed}/{life.machine.key}/counted/{day}")
    counts = [dirt.uniform(1500, 9000) * (6 if hot else 1)]
    counts += [counts[0] * dirt.uniform(0.2, 0.35), counts[0] * dirt.uniform(0.02, 0.06)]
    body = {"sample": sample, "name": "cleanliness", "code": str(cleanliness.code(counts))}
    world.keep(life, [world.office.write("lab_value", life.id, world.by_phone(day), body)])
