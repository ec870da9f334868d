"""An invented mechanic who walks a real card from its first screen to its last and records what each screen asks for.

So the demo's history is what the app itself would have recorded, and tests and benchmarks can have a whole job's facts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, Protocol

from coldmark.bench import card as cards
from coldmark.bench.facts import Fact, text_hash
from coldmark.demo.pen import Pen

__all__ = ["NOTHING_ODD", "Eyes", "Finding", "Odd", "Pour", "Screen", "quantity", "work"]

Screen = Mapping[str, Any]


def quantity(value: float, unit: str, digits: int = 1) -> dict[str, str]:
    """Return a quantity as a fact holds it: a decimal as typed, and its unit.

    >>> quantity(2.44, "l")
    {'value': '2.4', 'unit': 'l'}
    """
    return {"value": f"{value:.{digits}f}", "unit": unit}


@dataclass(frozen=True, slots=True)
class Pour:
    """Oil that is moved: how, how much [L], and which."""

    way: str
    litres: float
    oil: str | None = None


class Eyes(Protocol):
    """What the mechanic finds at the machine: it answers what a screen asks."""

    def meter(self, again: bool) -> str | None:
        """What the hour meter shows, or ``None`` when it is dead."""

    def level(self, screen: Screen) -> dict[str, Any]:
        """The body of the level as it is read, without compartment and moment."""

    def moved(self, screen: Screen) -> Sequence[Pour]:
        """What oil comes out or goes in on this screen."""

    def bottle(self) -> str:
        """The mark on the sample's bottle."""


@dataclass(frozen=True, slots=True)
class Finding:
    """Something found; recorded after the first screen whose key ends with ``after``, else before the finish."""

    what: str
    about: str
    urgency: str
    advice: str
    after: str = "finish"
    photos: tuple[str, ...] = ()
    cost: tuple[int, int] | None = None
    waiting: tuple[int, int] | None = None

    def body(self, pen: Pen) -> dict[str, Any]:
        """Return the fact's body; the advice is kept apart."""
        told: dict[str, Any] = {"about": self.about, "what": self.what, "urgency": self.urgency}
        told["advice"] = pen.kept.text(self.advice)
        if self.photos:
            told["photos"] = list(self.photos)
        if self.cost:
            told["cost_low"], told["cost_high"] = self.cost
        if self.waiting:
            told["waiting_low"], told["waiting_high"] = self.waiting
        return told


@dataclass(frozen=True, slots=True)
class Odd:
    """What does not go by the card. Screens are named by the end of their key, gates by theirs.

    ``left_out`` and ``gates``: the reason, and a note in own words. ``states``: places whose part came out in another
    state than expected. ``photos``: (photo, of what) taken at a screen. ``stop_before``: the screen at which the
    mechanic was called away; the job stays open.
    """

    left_out: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    gates: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    states: Mapping[str, str] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    photos: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    stop_before: str | None = None
    signed_by: tuple[str, ...] = ("mechanic",)


NOTHING_ODD = Odd()
_MOST_POURS = 4


@dataclass
class _Walk:
    """One walk through a card: the hour it is, and what was recorded."""

    card: Mapping[str, Any]
    pen: Pen
    at: datetime
    eyes: Eyes
    odd: Odd
    job: str
    facts: list[Fact] = field(default_factory=list)
    found: set[int] = field(default_factory=set)
    meters: int = 0

    def record(self, kind: str, body: Mapping[str, Any]) -> None:
        self.facts.append(self.pen.write(kind, self.card["machine"]["id"], self.at, body, job=self.job))

    def told(self, table: Mapping[str, Any], key: str) -> Any:
        return next((value for end, value in table.items() if key.endswith(end)), None)

    def reason(self, kind: str, field_: str, key: str, why: tuple[str, str]) -> None:
        body: dict[str, Any] = {field_: key, "reason": why[0]}
        if why[1]:
            body["note"] = self.pen.kept.text(why[1])
        self.record(kind, body)

    def screen(self, screen: Screen) -> None:
        """Do one screen, or leave it out; then go on as long as it took."""
        left_out = self.told(self.odd.left_out, screen["key"])
        if left_out is None and screen["kind"] == "meter" and self.eyes.meter(False) is None:
            left_out = ("part_damaged", "The meter is dead.")
        if left_out is not None:
            self.reason("step_skipped", "step", screen["step"], left_out)
        else:
            for gate in screen["gates"]:
                opened = self.told(self.odd.gates, gate["key"])
                if opened is not None:
                    self.reason("gate_opened", "gate", gate["key"], opened)
            _DO[screen["kind"]](self, screen)
        self._beside(screen["key"])
        minutes = max(screen["minutes"], screen["wait_min"] or 0)
        self.at += timedelta(seconds=round(60 * minutes * self.pen.rng.uniform(0.7, 1.2)) + 5)

    def _beside(self, key: str) -> None:
        """Record the photos taken and the findings made at a screen."""
        photo = self.told(self.odd.photos, key)
        if photo is not None:
            self.record("photo", {"photo": photo[0], "of": photo[1], "about": key})
        for place, finding in enumerate(self.odd.findings):
            if place not in self.found and key.endswith(finding.after):
                self.find(place)

    def find(self, place: int) -> None:
        self.found.add(place)
        self.record("finding", self.odd.findings[place].body(self.pen))

    def moved(self, screen: Screen) -> list[Pour]:
        pours = [one for one in self.eyes.moved(screen) if one.litres > 0]
        for pour in pours:
            body: dict[str, Any] = {"compartment": screen["compartment"], "way": pour.way}
            body["litres"] = quantity(pour.litres, "l")
            if pour.oil is not None:
                body["oil"] = pour.oil
            self.record("oil_moved", body)
        return pours

    def do(self, screen: Screen) -> None:
        self.moved(screen)
        self.record("step_done", {"step": screen["step"]})

    def caution(self, screen: Screen) -> None:
        for caution in screen["cautions"]:
            self.record("caution_acknowledged", {"caution": caution["key"], "step": screen["step"]})

    def tray_out(self, screen: Screen) -> None:
        for item in screen["tray"]["items"]:
            state = self.odd.states.get(item["place"], "as_expected")
            count = 0 if state == "missing" else item["count"]
            self.record("part_out", {"place": item["place"], "count": count, "state": state})
        self.moved(screen)

    def tray_in(self, screen: Screen) -> None:
        for item in reversed(screen["tray"]["items"]):
            body: dict[str, Any] = {"place": item["place"], "count": item["count"], "fresh": item["renew"]}
            if item["part"] is not None:
                body["part"] = item["part"]["key"]
            self.record("part_in", body)
            self.at += timedelta(seconds=self.pen.rng.randint(10, 40))

    def close(self, screen: Screen) -> None:
        body: dict[str, Any] = {"step": screen["step"]}
        if screen["torque"] is not None:
            body["torque"] = {"value": f"{screen['torque']['value_nm']:g}", "unit": "nm"}
            body["torque_from"] = "sheet"
        self.record("step_done", body)

    def meter(self, _screen: Screen) -> None:
        shown = self.eyes.meter(self.meters > 0)
        self.meters += 1
        assert shown is not None  # a dead meter's screen was left out
        self.record("meter_read", {"reading": {"value": shown, "unit": "h"}, "way": "seen"})

    def level(self, screen: Screen) -> None:
        moment = screen["kind"].removeprefix("level_")
        body = {"compartment": screen["compartment"], "moment": moment, **self.eyes.level(screen)}
        self.record("level_read", body)

    def add(self, screen: Screen) -> None:
        """Pour, and read again what was left; one pour is seldom the last."""
        place = screen["compartment"]
        left = next(
            (one for one in self.card["screens"] if one["kind"] == "level_left" and one["compartment"] == place), None
        )
        poured, times = self.moved(screen), 1
        self.record("step_done", {"step": screen["step"]})
        while poured and left is not None and self._was_read(place) and times <= _MOST_POURS:
            self.at += timedelta(minutes=6)
            self.level(left)
            poured, times = self.moved(screen), times + 1

    def _was_read(self, place: str) -> bool:
        return any(
            fact.body["compartment"] == place and fact.body["moment"] == "left"
            for fact in self.facts
            if fact.kind == "level_read"
        )

    def sample(self, screen: Screen) -> None:
        body = {"compartment": screen["compartment"], "bottle": self.eyes.bottle()}
        self.record("sample_taken", body)

    def finish(self) -> None:
        for place in range(len(self.odd.findings)):
            if place not in self.found:
                self.find(place)
        for standing in cards.completion(self.card, self.facts):
            if standing.done:
                self.record("task_done", {"task": standing.key})
        self.at += timedelta(minutes=2)
        for by in self.odd.signed_by:
            self.record("signature", {"by": by, "strokes": self.pen.signature()})
        self.at += timedelta(minutes=1)
        self.record("job_closed", {"facts": sorted([fact.id, text_hash(fact.text)] for fact in self.facts)})


_DO: Mapping[str, Any] = {
    "caution": _Walk.caution,
    "do": _Walk.do,
    "tray_out": _Walk.tray_out,
    "tray_in": _Walk.tray_in,
    "close": _Walk.close,
    "meter": _Walk.meter,
    "level_found": _Walk.level,
    "level_left": _Walk.level,
    "add": _Walk.add,
    "sample": _Walk.sample,
}


def work(
    card: Mapping[str, Any],
    pen: Pen,
    *,
    begins: datetime,
    eyes: Eyes,
    job: str | None = None,
    tasks: Sequence[str] = (),
    visit: str | None = None,
    odd: Odd = NOTHING_ODD,
) -> list[Fact]:
    """Work through a card and return the facts, from the job's opening to its closing.

    Parameters
    ----------
    card
        As :func:`coldmark.bench.card.build` makes it, with the machine's id.
    pen
        Who records.
    begins
        When the job is opened.
    eyes
        What is found at the machine.
    job, tasks
        The job and the tasks that it is opened with; those of the card where not given.
    visit
        The visit that the job belongs to.
    odd
        What does not go by the card.
    """
    walk = _Walk(card, pen, begins, eyes, odd, job or card["job"])
    wanted = list(tasks) or [task["key"] for task in card["tasks"]]
    walk.record("job_opened", {"tasks": wanted} if visit is None else {"tasks": wanted, "visit": visit})
    walk.at += timedelta(minutes=2)
    for screen in card["screens"]:
        if odd.stop_before is not None and screen["key"].endswith(odd.stop_before):
            return walk.facts
        if screen["kind"] == "finish":
            walk.finish()
        else:
            walk.screen(screen)
    return walk.facts
