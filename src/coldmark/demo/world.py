"""Where and when the invented valley lives: its days, who writes, what is kept, and what is still to happen."""

from __future__ import annotations

import heapq
import random
import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from coldmark.bench.facts import Fact
from coldmark.bench.oil import Oil
from coldmark.bench.sheet import Sheet
from coldmark.demo.life import Life
from coldmark.demo.pen import Kept, Pen
from coldmark.demo.seasons import air_on
from coldmark.demo.valley import Valley

__all__ = ["CARD_DAYS", "DAYS", "LATEST", "Stop", "VisitToPlan", "World", "id_of"]

DAYS = 730
CARD_DAYS = 300
"""For so many days jobs have been worked by the card."""

LATEST = time(14, 0)
"""No job is begun later in the day."""

_STARTS = time(7, 30)
_NAMES = uuid.UUID("6d1f0c1e-6a0b-5c1e-9f39-0d7a5e1b7c40")


def id_of(seed: int, kind: str, key: str) -> str:
    """Return the id of something in the valley, the same each time."""
    return str(uuid.uuid5(_NAMES, f"{seed}/{kind}/{key}"))


@dataclass(frozen=True, slots=True)
class Stop:
    """A machine of a visit: its tasks and its job."""

    machine: str
    tasks: tuple[str, ...]
    job: str


@dataclass(frozen=True, slots=True)
class VisitToPlan:
    """A visit that is a row: one of the last weeks, today's, or one of the next."""

    id: str
    day: date
    site: str
    starts: time
    ends: time
    stops: tuple[Stop, ...]
    note: str = ""


@dataclass
class World:
    """The valley while it is lived: nothing here is recorded but ``facts`` and what they name in ``kept``.

    ``events``: what is still to happen, by day. ``free``: when the mechanic is free on a day. ``coming``: machines
    whose next visit is today or later. ``built``: cards, as they hang on the sheet and the options alone.
    """

    valley: Valley
    sheets: Mapping[str, Sheet]
    oils: Mapping[str, Oil]
    today: date
    seed: int
    people: Mapping[str, str]
    zone: ZoneInfo
    facts: list[Fact] = field(default_factory=list)
    lives: dict[str, Life] = field(default_factory=dict)
    visits: list[VisitToPlan] = field(default_factory=list)
    events: list[tuple[date, bool, int, Callable[[date], None]]] = field(default_factory=list)
    free: dict[date, datetime] = field(default_factory=dict)
    built: dict[tuple[str, tuple[str, ...], tuple[str, ...]], dict[str, Any]] = field(default_factory=dict)
    coming: dict[str, date] = field(default_factory=dict)
    turns: int = 0

    def __post_init__(self) -> None:
        self.first = self.today - timedelta(days=DAYS)
        self.kept = Kept()
        self.photos = {name: self.kept.photo(content) for name, content in self.valley.photos.items()}
        self.mechanic = self._pen("mara")
        self.office = self._pen("jonas")
        self.next_call = self.at(self.first, time(9))
        weather = random.Random(f"{self.seed}/weather")
        self.air = {day: air_on(day, weather) for day in (self.first + timedelta(days=n) for n in range(DAYS + 1))}

    def _pen(self, key: str) -> Pen:
        rng = random.Random(f"{self.seed}/pen/{key}")
        return Pen(self.people[key], id_of(self.seed, "device", key), rng, self.kept)

    def live(self) -> None:
        """Let everything happen, day by day."""
        while self.events:
            day, _out, _turn, happen = heapq.heappop(self.events)
            happen(day)

    def later(self, day: date, happen: Callable[[date], None], *, out: bool = False) -> None:
        """Let something happen on a day: first what is told by telephone, then what the mechanic is out for."""
        if self.first < day < self.today:
            heapq.heappush(self.events, (day, out, self.turn(), happen))

    def turn(self) -> int:
        """Return the next number, so that what happens on one day keeps its order."""
        self.turns += 1
        return self.turns

    def at(self, day: date, clock: time) -> datetime:
        """Return a moment in the valley."""
        return datetime.combine(day, clock, tzinfo=self.zone)

    def working_day(self, day: date) -> date:
        """Return the day, or the Monday after a weekend."""
        return day + timedelta(days=(7 - day.weekday()) if day.weekday() > 4 else 0)

    def working_day_before(self, day: date) -> date:
        """Return the last working day before a day."""
        day -= timedelta(days=1)
        return day - timedelta(days=max(0, day.weekday() - 4))

    def slot(self, day: date) -> datetime | None:
        """When the mechanic is free on a day, or ``None`` when the day is full."""
        free = self.free.get(day, self.at(day, _STARTS))
        return None if free.timetz().replace(tzinfo=None) > LATEST else free

    def keep(self, life: Life, facts: list[Fact]) -> None:
        """Keep what was recorded of a machine."""
        life.facts += facts
        self.facts += facts

    def ago(self, days: int) -> date:
        """Return the working day so many days before today."""
        return self.working_day(self.today - timedelta(days=int(days)))

    def by_phone(self, day: date) -> datetime:
        """The office's telephone: its notes follow each other through the day."""
        at = max(self.at(day, time(6, 10)), self.next_call)
        self.next_call = at + timedelta(minutes=3)
        return at

    def job(self, life: Life, day: date) -> str:
        """Return the id of the job on a machine on a day."""
        return id_of(self.seed, "job", f"{life.machine.key}/{day}")

    def owner(self, key: str) -> str:
        """Return a customer's id."""
        return id_of(self.seed, "customer", key)
