"""The invented valley for tests: lived once, or a few of its machines."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from zoneinfo import ZoneInfo

from coldmark.bench.oil import Oil, from_text
from coldmark.bench.sheet import Sheet, read
from coldmark.demo.history import History, make
from coldmark.demo.life import Life
from coldmark.demo.valley import Valley, the_valley
from coldmark.demo.world import id_of

TODAY = date(2026, 3, 4)
ZONE = ZoneInfo("Europe/Vienna")


@cache
def sheets() -> Mapping[str, Sheet]:
    """The demo's sheets by name."""
    return {name: read(text) for name, text in the_valley().sheets.items()}


@cache
def oils() -> Mapping[str, Oil]:
    """The demo's oils by key."""
    return {oil.key: oil for oil in map(from_text, the_valley().oils.values()) if oil.key}


def some_of(names: Iterable[str]) -> Valley:
    """The valley with these machines alone."""
    valley = the_valley()
    wanted = set(names)
    return replace(valley, machines=tuple(machine for machine in valley.machines if machine.name in wanted))


def lived(valley: Valley, *, today: date = TODAY, seed: int = 1) -> History:
    """The valley's two years."""
    people = {person.key: id_of(seed, "person", person.key) for person in valley.people}
    return make(valley, sheets(), oils(), today=today, seed=seed, people=people, zone=ZONE)


@cache
def whole() -> History:
    """All machines' two years, lived once for all tests."""
    return lived(the_valley())


def called(name: str) -> Life:
    """A machine of the whole valley by its name."""
    return next(life for life in whole().lives.values() if life.machine.name == name)
