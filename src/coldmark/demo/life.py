"""One invented machine as it truly is, beside what is recorded of it."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from coldmark.bench import level
from coldmark.bench.clocks import DueAt, all_due
from coldmark.bench.facts import Fact
from coldmark.bench.ledger import State, fold
from coldmark.bench.oil import Oil
from coldmark.bench.sheet import Sheet, hydraulic_key
from coldmark.demo.mechanic import Pour, Screen, quantity
from coldmark.demo.seasons import Curve
from coldmark.demo.tank import TrueOil
from coldmark.demo.valley import MachineToLive

__all__ = ["COLDEST_C", "Life", "Look"]

COLDEST_C = -18.0
"""The coldest start that the valley reckons with [°C]."""

_OTHER_OILS = {"engine oil": "ardent_15w40", "gear oil": "ardent_gear90"}
_GLASS_ENDS = 0.12  # the glass shows a little beyond either mark
_USUAL_LOSS = (0.0004, 0.0011)  # of all the oil, in a hundred hours


@dataclass
class Life:
    """A machine: what it truly has (hours, oil, meter), what was recorded, and the state that follows from that."""

    machine: MachineToLive
    id: str
    sheet: Sheet
    oils: Mapping[str, Oil]
    hours: Curve
    tank: TrueOil
    rng: random.Random
    oil: str
    loss_l_100h: float
    meter_offset_h: float = 0.0
    meter_dead: bool = False
    facts: list[Fact] = field(default_factory=list)
    state: State | None = None
    lived_to_h: float = 0.0
    drained_l: float = 0.0
    visits: int = 0
    anchors: list[date] = field(default_factory=list)
    main_days: set[date] = field(default_factory=set)
    open_findings: list[str] = field(default_factory=list)
    seen: set[str] = field(default_factory=set)
    told_story: bool = False
    bottles: int = 0
    _folded: int = 0

    @classmethod
    def begin(
        cls, machine: MachineToLive, id: str, sheet: Sheet, oils: Mapping[str, Oil], hours: Curve, rng: random.Random
    ) -> Life:
        """Begin with the oil somewhere between the marks, and a loss that every machine has."""
        oil = str(machine.story.get("oil", "varnol_hm46"))
        tank = TrueOil(sheet.hydraulic, oils[oil], rng.uniform(0.4, 0.7), 20.0)
        system_l = sheet.hydraulic.system_l or 0.0
        loss = system_l * rng.uniform(*_USUAL_LOSS) + float(machine.story.get("leak_l_100h", 0.0))
        return cls(machine, id, sheet, oils, hours, tank, rng, oil, loss, lived_to_h=hours.hours[0])

    @property
    def main_tank(self) -> str:
        """The compartment that its hydraulic tank is."""
        key = hydraulic_key(self.sheet)
        assert key is not None  # a sheet that was read says it
        return key

    def live_to(self, day: date) -> None:
        """Let the machine work until a morning: oil goes unseen."""
        hours = self.hours.at(day)
        self.tank.lose(max(0.0, hours - self.lived_to_h) / 100.0 * self.loss_l_100h)
        self.lived_to_h = max(self.lived_to_h, hours)

    def shown(self, day: date, *, worked_h: float = 0.0) -> str | None:
        """What the meter shows on a day, or ``None`` when it is dead; ``worked_h`` later the same day."""
        if self.meter_dead:
            return None
        tomorrow = self.hours.hours[min((day - self.hours.first).days + 1, len(self.hours.hours) - 1)]
        hours = min(self.hours.at(day) + worked_h, tomorrow)
        return f"{math.floor((hours - self.meter_offset_h) * 10 + 1e-6) / 10:.1f}"

    def know(self) -> State:
        """Fold what was recorded since the last time, and return the state."""
        if self._folded < len(self.facts) or self.state is None:
            self.state = fold(
                self.facts[self._folded :],
                machine=self.id,
                sheets={self.sheet.sha256: self.sheet},
                oils=self.oils,
                start=self.state,
            )
            self._folded = len(self.facts)
        return self.state

    def due(self) -> list[DueAt]:
        """When each task falls due, by what was recorded."""
        return all_due(self.sheet, self.know())

    def options(self) -> tuple[str, ...]:
        """The options fitted."""
        option = self.machine.story.get("option")
        return () if option is None else (str(option),)


@dataclass
class Look:
    """What the mechanic finds at a machine on one day: its meter, its glass, its oil."""

    life: Life
    day: date
    air_c: float
    oil_c: float
    posture: str
    photo: str | None = None
    last: dict[str, Any] = field(default_factory=dict)

    @classmethod
    def at(cls, life: Life, day: date, air_c: float, *, posture: str | None = None) -> Look:
        """Come to a machine that has worked a little this morning."""
        life.live_to(day)
        warm = max(air_c + life.rng.uniform(7, 22), life.rng.uniform(12, 26))
        return cls(life, day, air_c, min(46.0, warm), posture or life.sheet.hydraulic.check_posture)

    def meter(self, again: bool) -> str | None:
        """What the hour meter shows; the machine ran a little during the job."""
        return self.life.shown(self.day, worked_h=0.3 if again else 0.0)

    def level(self, screen: Screen) -> dict[str, Any]:
        """Read a level: the glass of the hydraulic tank truly, a dipstick as it usually is."""
        rng, system = self.life.rng, self.life.sheet.hydraulic
        if screen["kind"] == "level_left":
            self.oil_c = min(52.0, self.oil_c + (rng.uniform(4, 9) if not self.last else 0.0))
        hydraulic = screen["compartment"] == self.life.main_tank
        found = hydraulic and screen["kind"] == "level_found"
        posture = self.posture if found else system.check_posture
        stands = self.life.tank.reading(self.oil_c, posture) if hydraulic else rng.uniform(0.7, 0.95)
        body: dict[str, Any] = {"reading": _as_read(stands + rng.gauss(0, 0.008))}
        body |= self._warmth()
        body["air"] = quantity(self.air_c, "c", 0)
        body |= {"posture": posture, "engine": system.engine if hydraulic else "stopped"}
        body |= {"settled_min": round(system.settle_min or 5) + rng.randint(0, 5), "foam": False}
        if hydraulic:
            if self.photo is not None:
                body["photo"], self.photo = self.photo, None
            self.last = body
        return body

    def _warmth(self) -> dict[str, Any]:
        """Most oil is measured; the rest is told as a hand feels it."""
        if self.life.rng.random() < 0.3:
            if 30 <= self.oil_c <= 40:
                return {"warmth": "hand_warm"}
            if abs(self.oil_c - self.air_c) < 6:
                return {"warmth": "as_the_air"}
        return {"oil": quantity(self.oil_c, "c", 0)}

    def moved(self, screen: Screen) -> Sequence[Pour]:
        """What comes out and goes in; the hydraulic tank truly holds less or more afterwards."""
        if screen["kind"] == "tray_out":
            return self._held(screen)
        if screen["compartment"] is None:
            return []
        hydraulic = screen["compartment"] == self.life.main_tank
        litres, rng = screen["litres"] or {}, self.life.rng
        if screen["kind"] == "do":
            if not litres.get("out"):
                return []
            out = round(litres["out"] * rng.uniform(0.97, 1.02), 1)
            if hydraulic:
                self.life.tank.move(-out, self.oil_c)
                self.life.drained_l += out
            return [Pour("drained", out)]
        if not hydraulic:
            fluid = self.life.sheet.compartments[screen["compartment"]].fluid
            return [Pour("top_up", round(litres.get("in") or 0.0, 1), _OTHER_OILS.get(fluid))]
        amount = self._fill() if screen["phase"] == "fill" else self._wanted()
        self.life.tank.move(amount, max(8.0, self.air_c))
        return [Pour("top_up", amount, self.life.oil)]

    def _held(self, screen: Screen) -> list[Pour]:
        """What an old element takes along and a housing spills."""
        if screen["compartment"] != self.life.main_tank:
            return []
        housing = self.life.sheet.housings[screen["tray"]["housing"]]
        parts = [self.life.sheet.parts.get(item.part or "") for item in housing.stack if item.renew]
        held = round(sum(part.holds_l or 0.0 for part in parts if part is not None), 1)
        spilt = round(housing.spill_l or 0.0, 1)
        self.life.tank.move(-held - spilt, self.oil_c)
        return [Pour("held_by_element", held), Pour("spilt", spilt)]

    def _fill(self) -> float:
        """As much as came out: the level is set when the machine has run."""
        litres, self.life.drained_l = round(self.life.drained_l, 1), 0.0
        return litres

    def _wanted(self) -> float:
        """As much as the level's verdict asks for, poured a little short of it."""
        reading = self.last.get("reading")
        if reading is None or reading in ("below", "above"):
            return round(0.04 * (self.life.sheet.hydraulic.system_l or 25.0), 1) if reading == "below" else 0.0
        verdict = level.read(
            self.life.sheet.hydraulic,
            float(reading),
            self.oil_c,
            self.last["posture"],
            oil=self.life.tank.oil,
            air_c=self.air_c,
            coldest_c=COLDEST_C,
            engine=self.life.sheet.hydraulic.engine,
            cannot_move=True,
        )
        if verdict.add_l is None and float(reading) < 0.4 and self.life.sheet.hydraulic.tank.between_marks_l is None:
            return 1.5  # the sheet does not say how much lies between the marks: a can, and look again
        if verdict.add_l is None or verdict.state not in ("low", "may_add"):
            return 0.0
        wanted = verdict.add_l.value * self.life.rng.uniform(0.8, 0.97)
        return round(wanted, 1) if wanted > 0.15 else 0.0

    def bottle(self) -> str:
        """Bottles are numbered by machine."""
        self.life.bottles += 1
        return f"{self.life.machine.serial[-4:]}-{self.life.bottles:02d}"


def _as_read(stands: float) -> str:
    if stands < -_GLASS_ENDS:
        return "below"
    if stands > 1 + _GLASS_ENDS:
        return "above"
    return f"{max(0.0, stands) if abs(stands) < 0.005 else stands:.2f}"
