"""Two years of the invented valley: what happened to each machine, and what was recorded of it.

Days count back from today. The same seed, day and people give the same facts. The business began with a service book;
since about ten months ago each job is worked by the card, as the app records it.
"""

from __future__ import annotations

import heapq
import random
import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from coldmark.bench import card as cards
from coldmark.bench import clocks
from coldmark.bench.facts import Fact
from coldmark.bench.ledger import State
from coldmark.bench.oil import Oil
from coldmark.bench.sheet import Sheet
from coldmark.demo.book import begin_book, serve_by_book
from coldmark.demo.findings import BY_STORY, EVERYDAY, SETTLED_WITH
from coldmark.demo.life import HYDRAULIC, Life, Look
from coldmark.demo.mechanic import Finding, Odd, quantity, work
from coldmark.demo.pen import Kept, Pen
from coldmark.demo.seasons import air_on, curve
from coldmark.demo.valley import MachineToLive, Valley

__all__ = ["CARD_DAYS", "DAYS", "History", "Stop", "VisitToPlan", "id_of", "make"]

DAYS = 730
CARD_DAYS = 300
"""For so many days jobs have been worked by the card."""

AHEAD = timedelta(days=14)
_LATE_H = 55.0  # how much later than due a machine is served that is always late
_STORY_DAYS = 40  # a story's finding is made at a service so long ago, else at a passing look
_ROWS_BACK = timedelta(days=30)  # visits so long ago are still rows
_STARTS, _LATEST = time(7, 30), time(14, 0)
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
    return _Valley(valley, sheets, oils, today, seed, people, zone).live()


@dataclass
class _Valley:
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
        self.rng = random.Random(f"{self.seed}/valley")
        self.kept = Kept()
        self.photos = {name: self.kept.photo(content) for name, content in self.valley.photos.items()}
        self.mechanic = self._pen("mara")
        self.office = self._pen("jonas")
        self.next_call = self._at(self.first, time(9))
        weather = random.Random(f"{self.seed}/weather")
        self.air = {day: air_on(day, weather) for day in (self.first + timedelta(days=n) for n in range(DAYS + 1))}

    def _pen(self, key: str) -> Pen:
        rng = random.Random(f"{self.seed}/pen/{key}")
        return Pen(self.people[key], id_of(self.seed, "device", key), rng, self.kept)

    def live(self) -> History:
        """Let everything happen, day by day."""
        for machine in self.valley.machines:
            self._begin(machine)
        while self.events:
            day, _out, _turn, happen = heapq.heappop(self.events)
            happen(day)
        self._plan_today()
        self._plan_ahead()
        used = {hash_ for fact in self.facts for hash_ in _hashes(fact.body)}
        self.kept.by_hash = {name: one for name, one in self.kept.by_hash.items() if name in used}
        visits = tuple(sorted(self.visits, key=lambda visit: (visit.day, visit.starts, visit.id)))
        return History(tuple(self.facts), self.kept, visits, self.lives)

    # beginnings

    def _begin(self, machine: MachineToLive) -> None:
        rng = random.Random(f"{self.seed}/machine/{machine.key}")
        sheet = self.sheets[machine.sheet]
        last = self.today + timedelta(days=60)
        hours = curve(machine.hours, machine.per_day, machine.days, self.first, last, rng)
        life = Life.begin(machine, id_of(self.seed, "machine", machine.key), sheet, self.oils, hours, rng)
        self.lives[machine.key] = life
        owner, site = self._owner(machine.story.get("sold_from", machine.customer)), self._site(machine)
        self._keep(life, begin_book(life, self.office, self._at(self.first, time(8)), owner, site, self.zone))
        if "due_in_h" in machine.story:
            life.anchors = self._anchors(life)
        self._next_visit(life, self.first)
        self._stories(life)

    def _owner(self, key: str) -> str:
        return id_of(self.seed, "customer", key)

    def _site(self, machine: MachineToLive) -> str | None:
        sold_from = machine.story.get("sold_from")
        if sold_from is None:
            return id_of(self.seed, "site", machine.site)
        before = next(customer for customer in self.valley.customers if customer.key == sold_from)
        return id_of(self.seed, "site", before.sites[0].key)

    def _anchors(self, life: Life) -> list[date]:
        """The days of a machine whose services were such that the next is due so many hours from today.

        Between two services of a main task lies one of all that cannot wait for the next.
        """
        story, now = life.machine.story, life.hours.at(self.today)
        main = story.get("main")
        interval = self._main_interval(life)
        step = interval + (_LATE_H if story.get("late") else 0.0)
        hours, half = now - (interval - float(story["due_in_h"])), step / 2
        days = [life.hours.day_of(hours + half)] if main else []
        while hours > life.hours.hours[0] + 20:
            days.append(life.hours.day_of(hours))
            life.main_days.add(self._working_day(days[-1]))
            if main:
                days.append(life.hours.day_of(hours - half))
            hours -= step + life.rng.uniform(-4, 4)
        if story.get("interrupted"):
            days.append(self._working_day_before(self.today))
        return sorted(set(map(self._working_day, days)))

    def _main_interval(self, life: Life) -> float:
        main = life.machine.story.get("main")
        if main is not None:
            return clocks.interval_h(life.sheet.tasks[main], float(life.machine.story.get("breaker_share", 0.0)))
        return min(task.interval_h for task in life.sheet.tasks.values() if task.interval_h and not task.needs_option)

    def _stories(self, life: Life) -> None:
        story = life.machine.story
        if "meter_swap_days_ago" in story:
            self._later(self._ago(story["meter_swap_days_ago"]), lambda day: self._swap(life, day), out=True)
        if "dead_meter_days_ago" in story:
            self._later(self._ago(story["dead_meter_days_ago"]), lambda day: self._stop_meter(life, day))
        if "sold_days_ago" in story:
            self._later(self._ago(story["sold_days_ago"]), lambda day: self._sell(life, day))
        if "breaker_share" in story:
            for place in range(26):
                month = (self.first.year * 12 + self.first.month - 1) + place
                begins = date(month // 12, month % 12 + 1, 1)
                if begins >= self.first:
                    self._later(begins + timedelta(days=life.rng.randint(2, 5)), lambda day: self._breaker(life, day))
        if "leak_l_100h" in story:
            for days in range(DAYS - 20, 0, -28):
                self._later(self._ago(days), lambda day: self._look_at_glass(life, day))
        if "finding" in story:
            self._later(self._ago(18), lambda day: self._look_in_passing(life, day), out=True)
        if life.rng.random() < 0.6:
            for days in range(DAYS - life.rng.randint(20, 60), 5, -life.rng.randint(38, 60)):
                self._later(self._ago(days), lambda day: self._tell_meter(life, day))

    def _ago(self, days: int) -> date:
        return self._working_day(self.today - timedelta(days=int(days)))

    # time

    def _later(self, day: date, happen: Callable[[date], None], *, out: bool = False) -> None:
        """Let something happen on a day: first what is told by telephone, then what the mechanic is out for."""
        if self.first < day < self.today:
            heapq.heappush(self.events, (day, out, self._turn(), happen))

    def _turn(self) -> int:
        self.turns += 1
        return self.turns

    def _at(self, day: date, clock: time) -> datetime:
        return datetime.combine(day, clock, tzinfo=self.zone)

    def _working_day(self, day: date) -> date:
        return day + timedelta(days=(7 - day.weekday()) if day.weekday() > 4 else 0)

    def _working_day_before(self, day: date) -> date:
        day -= timedelta(days=1)
        return day - timedelta(days=max(0, day.weekday() - 4))

    def _slot(self, day: date) -> datetime | None:
        """When the mechanic is free on a day, or ``None`` when the day is full."""
        free = self.free.get(day, self._at(day, _STARTS))
        return None if free.timetz().replace(tzinfo=None) > _LATEST else free

    def _keep(self, life: Life, facts: list[Fact]) -> None:
        life.facts += facts
        self.facts += facts

    # visits

    def _next_visit(self, life: Life, after: date) -> None:
        """Say when the mechanic comes next, by what is due; visits from today on are planned, not lived."""
        day = self._day_to_come(life, after)
        if day < self.today:
            self._later(day, lambda on: self._visit(life, on), out=True)
        else:
            self.coming[life.machine.key] = day

    def _day_to_come(self, life: Life, after: date) -> date:
        if life.machine.story.get("due_in_h") is not None:
            later = [day for day in life.anchors if day > after + timedelta(days=3)]
            return self._working_day(later[0]) if later else self.today
        slack = life.rng.uniform(-0.2, 0.75)
        days = []
        for one in life.due():
            task = life.sheet.tasks[one.task]
            if one.due_h is not None:
                days.append(life.hours.day_of(one.due_h + slack * task.tolerance_h))
            if one.due_day is not None:
                days.append(one.due_day + timedelta(days=round(slack * 14)))
        day = max(min(days, default=self.today), after + timedelta(days=12))
        return self._working_day(day)

    def _tasks(self, life: Life, day: date) -> tuple[str, ...]:
        """What is due on a day, or will be before the mechanic comes again."""
        hours, near = life.hours.at(day), []
        again_h, again = self._again(life, day)
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
        if main is not None and day < self.today:
            near = [key for key in near if key != main and main not in life.sheet.tasks[key].includes]
            near += [main] if day in life.main_days else []
        visits_ago = sum(one >= day for one in life.anchors)
        for key, ago in life.machine.story.get("also_done", {}).items():
            if ago == visits_ago and key not in near:
                near.append(key)
        chosen = near or [min(left, key=lambda task: left[task])]
        included = {task for key in chosen for task in life.sheet.tasks[key].includes}
        return tuple(task for task in chosen if task not in included)

    def _again(self, life: Life, day: date) -> tuple[float, int]:
        """In how many hours and days the mechanic comes again, where that is settled; else what is near enough."""
        later = [one for one in [*life.anchors, self.today] if one > day]
        if not life.anchors or life.machine.story.get("late") or not later:
            return 0.0, 40
        return life.hours.at(later[0]) - life.hours.at(day), max(40, (later[0] - day).days - 10)

    def _visit(self, life: Life, day: date) -> None:
        interrupted = bool(life.machine.story.get("interrupted")) and day == self._working_day_before(self.today)
        begins = self._slot(day)
        if begins is None and not interrupted:
            tomorrow = self._working_day(day + timedelta(days=1))
            if tomorrow < self.today:
                self._later(tomorrow, lambda on: self._visit(life, on), out=True)
            else:
                self.coming[life.machine.key] = tomorrow
            return
        begins = begins or self._at(day, _LATEST)
        life.live_to(day)
        look = Look.at(life, day, self.air[day])
        tasks = self._tasks(life, day)
        if (self.today - day).days > CARD_DAYS:
            facts = serve_by_book(life, self.mechanic, look, begins, tasks, self._card(life, tasks))
        else:
            facts = self._by_card(life, look, begins, tasks, interrupted)
        self._keep(life, facts)
        life.visits += 1
        self.free[day] = datetime.fromisoformat(facts[-1].at).astimezone(self.zone) + timedelta(minutes=40)
        self._after(life, facts, day)
        self._next_visit(life, day)

    def _card(self, life: Life, tasks: tuple[str, ...]) -> dict[str, Any]:
        """The card of these tasks: it hangs on the sheet and the options, hardly on the machine."""
        key = (life.machine.sheet, tasks, life.options())
        if key not in self.built:
            self.built[key] = cards.build(
                job="", sheet=life.sheet, tasks=tasks, state=State(life.id), options=life.options()
            )
        return self.built[key] | {"machine": {"id": life.id}}

    def _by_card(
        self, life: Life, look: Look, begins: datetime, tasks: tuple[str, ...], interrupted: bool
    ) -> list[Fact]:
        day, card = begins.date(), self._card(life, tasks)
        job = self._job(life, day)
        visit = self._visit_row(life, day, begins, tasks, job) if self.today - day <= _ROWS_BACK else None
        settled = self._settle(life, begins)
        odd = self._odd(life, look, card, day)
        if interrupted:
            keys = [screen["key"] for screen in card["screens"] if screen["kind"] == "tray_in"]
            odd = replace(odd, stop_before=keys[0] if keys else "finish", findings=())
        if life.machine.story.get("seen_folded") and (self.today - day).days < 120:
            look.posture = str(life.machine.story["seen_folded"])
        facts = work(card, self.mechanic, begins=begins, eyes=look, job=job, tasks=tasks, visit=visit, odd=odd)
        return settled + facts

    def _odd(self, life: Life, look: Look, card: Mapping[str, Any], day: date) -> Odd:
        """What does not go by the card on this job."""
        rng, story = life.rng, life.machine.story
        keys = [screen["key"] for screen in card["screens"]]
        hydraulic = any(key.endswith(".tray_out") for key in keys)
        findings: list[Finding] = []
        told = story.get("finding")
        if told and not life.told_story and hydraulic and (self.today - day).days < _STORY_DAYS:
            findings.append(BY_STORY[told])
            life.told_story = True
        elif rng.random() < 0.2:
            findings.append(rng.choice([one for one in EVERYDAY if one.what not in life.seen]))
            life.seen.add(findings[-1].what)
        left_out: dict[str, tuple[str, str]] = {}
        if rng.random() < 0.3:
            left_out[".sample"] = ("done_lately", "The last one is at the laboratory.")
        if rng.random() < 0.12:
            left_out |= dict.fromkeys(
                (".fuel", ".fuel_air"), ("part_not_here", "The fuel filter in the van was the wrong one.")
            )
        gates, states = {}, {}
        if hydraulic and rng.random() < 0.06:
            states["return.element_ring"] = "missing"
            gates["close.old_seals"] = ("part_was_missing", "The old ring was not in the housing; looked with a torch.")
        elif hydraulic and rng.random() < 0.1:
            states["return.cover_ring"] = "deformed"
        photos = {}
        if hydraulic:
            photos[".tray_out"] = (self.photos["tray"], "tray")
            stands = life.tank.reading(look.oil_c)
            look.photo = self.photos["glass_low" if stands < 0.25 else "glass_middle"]
        findings = [replace(one, photos=tuple(self.photos[name] for name in one.photos)) for one in findings]
        signed = ("mechanic", "owner") if rng.random() < 0.5 else ("mechanic",)
        return Odd(left_out, gates, states, tuple(findings), photos, None, signed)

    def _settle(self, life: Life, begins: datetime) -> list[Fact]:
        """Put right at a visit what was found at the last one, mostly; what a story tells of stays open."""
        facts: list[Fact] = []
        kept: list[str] = []
        for id in life.open_findings:
            found = next(fact for fact in life.facts if fact.id == id)
            note = SETTLED_WITH.get(found.body["what"])
            if note is None or life.rng.random() < 0.25:
                kept.append(id)
                continue
            body = {"finding": id, "note": self.kept.text(note)}
            at = begins - timedelta(minutes=25 - 5 * len(facts))
            facts.append(self.mechanic.write("finding_settled", life.id, at, body))
        life.open_findings = kept
        return facts

    def _after(self, life: Life, facts: list[Fact], day: date) -> None:
        """What a job brings with it later: laboratory values, and a repair that could not wait."""
        story = {one.advice for one in BY_STORY.values()}
        for fact in facts:
            if fact.kind == "sample_taken":
                later = self._working_day(day + timedelta(days=life.rng.randint(8, 13)))
                self._later(later, lambda on, id=fact.id: self._lab(life, on, id))  # type: ignore[misc]
            elif fact.kind == "finding":
                advice = self.kept.by_hash[fact.body["advice"]][1].decode()
                if advice in story:
                    continue
                life.open_findings.append(fact.id)
                if fact.body["urgency"] == "before_next_work":
                    later = self._working_day(day + timedelta(days=life.rng.randint(2, 5)))
                    self._later(later, lambda on: self._repair(life, on), out=True)

    def _repair(self, life: Life, day: date) -> None:
        begins = self._slot(day)
        if begins is None:
            self._later(self._working_day(day + timedelta(days=1)), lambda on: self._repair(life, on), out=True)
            return
        facts = self._settle(life, begins + timedelta(hours=1))
        if facts:
            self._keep(life, facts)
            self.free[day] = begins + timedelta(hours=1, minutes=30)

    def _look_in_passing(self, life: Life, day: date) -> None:
        """See what a story tells of on the way to another machine, where no service has shown it."""
        if life.told_story:
            return
        life.told_story = True
        begins = self._slot(day) or self._at(day, _LATEST)
        finding = BY_STORY[life.machine.story["finding"]]
        finding = replace(finding, photos=tuple(self.photos[name] for name in finding.photos))
        self._keep(life, [self.mechanic.write("finding", life.id, begins, finding.body(self.mechanic))])
        self.free[day] = begins + timedelta(minutes=30)

    # what happens between visits

    def _tell_meter(self, life: Life, day: date) -> None:
        shown = life.shown(day)
        if shown is not None:
            body = {"reading": {"value": shown, "unit": "h"}, "way": "told"}
            self._keep(life, [self.office.write("meter_read", life.id, self._by_phone(day), body)])

    def _by_phone(self, day: date) -> datetime:
        """The office's telephone: its notes follow each other through the day."""
        at = max(self._at(day, time(6, 10)), self.next_call)
        self.next_call = at + timedelta(minutes=3)
        return at

    def _swap(self, life: Life, day: date) -> None:
        old = life.shown(day)
        begins = self._slot(day) or self._at(day, _LATEST)
        body = {"old_last": {"value": old, "unit": "h"}, "new_first": quantity(0, "h")}
        swapped = self.mechanic.write("meter_swapped", life.id, begins, body)
        photo = {"photo": self.photos["meter"], "of": "meter"}
        taken = self.mechanic.write("photo", life.id, begins + timedelta(minutes=2), photo)
        self._keep(life, [swapped, taken])
        self.free[day] = begins + timedelta(minutes=50)
        life.meter_offset_h = life.hours.at(day)

    def _stop_meter(self, life: Life, day: date) -> None:
        body = {"since": (day - timedelta(days=2)).isoformat()}
        self._keep(life, [self.office.write("meter_stopped", life.id, self._by_phone(day), body)])
        life.meter_dead = True

    def _sell(self, life: Life, day: date) -> None:
        machine = life.machine
        body = {"customer": self._owner(machine.customer), "site": id_of(self.seed, "site", machine.site)}
        self._keep(life, [self.office.write("owner_changed", life.id, self._by_phone(day), body)])

    def _breaker(self, life: Life, day: date) -> None:
        until = day.replace(day=1) - timedelta(days=1)
        since = max(until.replace(day=1), self.first)
        if until <= since:
            return
        worked = life.hours.at(until + timedelta(days=1)) - life.hours.at(since)
        hours = round(worked * float(life.machine.story["breaker_share"]))
        body = {"hours": quantity(hours, "h", 0), "from_day": since.isoformat(), "to_day": until.isoformat()}
        self._keep(life, [self.office.write("breaker_hours_told", life.id, self._by_phone(day), body)])

    def _look_at_glass(self, life: Life, day: date) -> None:
        """The driver of a machine that leaks looks at the glass, and pours in what he told the office of."""
        life.live_to(day)
        if life.tank.reading(25.0) > 0.22:
            return
        litres = round(life.rng.uniform(1.5, 2.5), 1) if (life.sheet.hydraulic.system_l or 0) > 60 else 0.8
        life.tank.move(litres, max(8.0, self.air[day]))
        body = {"compartment": HYDRAULIC, "way": "top_up", "litres": quantity(litres, "l"), "oil": life.oil}
        self._keep(life, [self.office.write("oil_moved", life.id, self._by_phone(day), body)])

    def _lab(self, life: Life, day: date, sample: str) -> None:
        rng = life.rng
        hot = life.machine.story.get("finding") in {"bronze_flakes", "water"} and (self.today - day).days < 150
        values = (
            ("iron", f"{rng.uniform(6, 22):.0f}", "mg/kg"),
            ("copper", f"{rng.uniform(34, 52) if hot else rng.uniform(2, 11):.0f}", "mg/kg"),
            ("silicon", f"{rng.uniform(4, 13):.0f}", "mg/kg"),
            ("water", f"{rng.uniform(600, 1400) if hot else rng.uniform(60, 190):.0f}", "mg/kg"),
            ("viscosity_40", f"{rng.uniform(43.6, 46.8):.1f}", "mm²/s"),
        )
        for name, value, unit in values:
            body = {"sample": sample, "name": name, "value": value, "unit": unit}
            self._keep(life, [self.office.write("lab_value", life.id, self._by_phone(day), body)])

    # visits as rows

    def _visit_row(self, life: Life, day: date, begins: datetime, tasks: tuple[str, ...], job: str) -> str:
        site = id_of(self.seed, "site", life.machine.site)
        id = id_of(self.seed, "visit", f"{life.machine.site}/{day}")
        stop = Stop(life.id, tasks, job)
        before = next((visit for visit in self.visits if visit.id == id), None)
        starts = begins.time().replace(second=0, microsecond=0)
        ends = (begins + timedelta(hours=3)).time().replace(second=0, microsecond=0)
        if before is None:
            self.visits.append(VisitToPlan(id, day, site, starts, ends, (stop,)))
        else:
            self.visits[self.visits.index(before)] = replace(
                before, stops=(*before.stops, stop), ends=max(ends, before.ends)
            )
        return id

    def _plan(self, lives: list[Life], day: date, starts: time, ends: time, note: str = "") -> None:
        site = lives[0].machine.site
        stops = tuple(Stop(life.id, self._planned(life, day), self._job(life, day)) for life in lives)
        id = id_of(self.seed, "visit", f"{site}/{day}")
        self.visits.append(VisitToPlan(id, day, id_of(self.seed, "site", site), starts, ends, stops, note))

    def _job(self, life: Life, day: date) -> str:
        return id_of(self.seed, "job", f"{life.machine.key}/{day}")

    def _planned(self, life: Life, day: date) -> tuple[str, ...]:
        main = life.machine.story.get("main")
        return self._tasks(life, day) if main is None else (str(main),)

    def _plan_today(self) -> None:
        """Two visits at the quarry: one machine on the bench, two in the crusher's yard."""
        bench = [life for life in self.lives.values() if life.machine.site == "upper_bench"]
        crusher = [life for life in self.lives.values() if life.machine.site == "crusher"]
        self._plan(bench, self.today, time(7, 30), time(10, 30), "Edda wants to be there when the filter comes out.")
        self._plan(crusher, self.today, time(11), time(15))
        for life in bench + crusher:
            self.coming.pop(life.machine.key, None)

    def _plan_ahead(self) -> None:
        """The next two weeks by site: who comes for one machine does the others there that are due soon."""
        sites: dict[str, list[tuple[date, Life]]] = {}
        for key, day in self.coming.items():
            life = self.lives[key]
            if not life.machine.story.get("interrupted") and day <= self.today + AHEAD:
                sites.setdefault(life.machine.site, []).append((day, life))
        days: dict[date, int] = {}
        for found in sorted(sites.values(), key=lambda found: min(day for day, _ in found)):
            day = max(min(day for day, _ in found), self.today + timedelta(days=1))
            day = self._working_day(day)
            while days.get(day, 0) >= 2:
                day = self._working_day(day + timedelta(days=1))
            starts = time(7, 30) if days.get(day, 0) == 0 else time(12, 30)
            days[day] = days.get(day, 0) + 1
            self._plan([life for _, life in found], day, starts, time(starts.hour + 4, 0))


def _hashes(body: Mapping[str, Any]) -> list[str]:
    """The attachments that a body names."""
    names = ("note", "photo", "advice", "strokes", "name")
    found = [body[name] for name in names if isinstance(body.get(name), str)]
    return found + [one for one in body.get("photos") or () if isinstance(one, str)]
