"""One act as one screen: what it says, shows, asks for, and what holds its gates shut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from coldmark.bench import joint
from coldmark.bench.card.acts import Act, lets_cover_off
from coldmark.bench.card.cautions import caution_plain, usual
from coldmark.bench.card.gates import has
from coldmark.bench.card.needs import Needs, place_of
from coldmark.bench.card.parts import CAUGHT
from coldmark.bench.card.torque import torque_plain
from coldmark.bench.closing import FINISH
from coldmark.bench.level.model import GaugeKind
from coldmark.bench.pictures import bolt_order, glass, part
from coldmark.bench.shapes import dataclass
from coldmark.bench.sheet.model import Caution, Housing, Item, Sheet, SheetStep, Tool
from coldmark.bench.sheet.pressure import lets_off
from coldmark.bench.sheet.tank import hydraulic_key
from coldmark.bench.words import UnitSystem, quantity, sentence

__all__ = ["Maker", "caution_screen", "finish_screen"]

_MEASURES = ("length", "outer", "inner", "upper", "lower", "spigot", "section")

Screen = dict[str, Any]


def _blank(key: str, task: str, tasks: Sequence[str], kind: str, title: str) -> Screen:
    return {
        "key": key,
        "step": key,
        "task": task,
        "tasks": list(tasks),
        "kind": kind,
        "phase": "",
        "title": title,
        "says": "",
        "why": "",
        "minutes": 1,
        "cautions": [],
        "tools": [],
        "consumables": [],
        "parts": [],
        "wait_min": None,
        "torque": None,
        "bolts": None,
        "tray": None,
        "compartment": None,
        "glass": None,
        "litres": None,
        "gates": [],
        "done_when": has("step_done", step=key),
        "skippable": True,
    }


def caution_screen(caution: Caution, task: str) -> Screen:
    """Return the screen of a hard stop: it is left by having read and done it."""
    screen = _blank(f"stop.{caution.key}", task, [], "caution", caution.hazard)
    screen |= {
        "phase": "stop",
        "says": caution.avoidance,
        "why": caution.consequence,
        "cautions": [caution_plain(caution, stops=True)],
        "done_when": has("caution_acknowledged", caution=caution.key),
        "skippable": False,
    }
    return screen


def finish_screen(task: str) -> Screen:
    """Return the last screen: what is missing, the litres, the signature."""
    screen = _blank(FINISH, task, [], "finish", sentence("card.finish.title"))
    screen |= {
        "phase": "finish",
        "says": sentence("card.finish.says"),
        "minutes": 3,
        "done_when": has("job_closed"),
        "skippable": False,
    }
    return screen


@dataclass(frozen=True, slots=True)
class Maker:
    """What every screen of one card is made with: the sheet, the reader's units, the acts, and the hard stops."""

    sheet: Sheet
    units: UnitSystem
    acts: Sequence[Act]
    stops: Sequence[Caution]
    found: Mapping[str, float | str]

    def screen(self, act: Act) -> Screen:
        """Return the screen of one act."""
        step = act.step
        needs = Needs(self.sheet, self.acts, self.stops)
        screen = _blank(act.key, act.tasks[0], act.tasks, step.kind, step.says)
        housing = self.sheet.housings.get(step.housing or "")
        screen |= {
            "phase": step.phase,
            "says": self._says(act, housing),
            "why": step.why,
            "minutes": step.minutes,
            "cautions": self._cautions(step),
            "tools": [_tool(tool) for tool in step.tools],
            "consumables": [sentence("card.consumable", what=one.name, amount=one.amount) for one in step.consumables],
            "parts": [self._part(key, count) for key, count in step.parts if key in self.sheet.parts],
            "wait_min": step.wait_min,
            "torque": self._torque(step, housing),
            "bolts": self._bolts(act, housing),
            "tray": self._tray(housing) if housing and step.kind in {"tray_out", "tray_in", "close"} else None,
            "compartment": step.compartment or (housing.compartment if housing else None),
            "glass": self._glass(step),
            "litres": self._litres(step, housing),
            "gates": needs.gates(act, housing),
            "done_when": needs.done_when(act, housing),
        }
        return screen

    def _says(self, act: Act, housing: Housing | None) -> str:
        step, parts = act.step, []
        if housing and step.kind == "tray_out":
            parts.append(sentence(f"card.says.out_{housing.opens}"))
        if housing and housing.sprung and lets_cover_off(act, self.acts):
            parts.append(sentence("card.says.sprung_out"))
        if housing and step.kind == "tray_in":
            parts.append(sentence("card.says.in"))
        elif housing and step.kind == "close":
            parts += self._says_close(step, housing)
        elif step.kind in {"level_found", "level_left"} and step.compartment == hydraulic_key(self.sheet):
            parts += self._says_level()
        return " ".join(parts)

    def _says_close(self, step: SheetStep, housing: Housing) -> list[str]:
        parts = []
        if housing.sprung:
            parts.append(sentence("card.says.sprung_in"))
        if housing.spin_on:
            turn = housing.turn_after_contact
            parts.append(sentence("card.says.turn", turn=turn) if turn else sentence("card.says.no_turn"))
        elif self._torque(step, housing) is None and housing.fasteners:
            parts.append(sentence("card.says.no_torque"))
        return parts

    def _says_level(self) -> list[str]:
        system = self.sheet.hydraulic
        posture = system.postures[system.check_posture]
        parts = [sentence("card.says.level_posture", posture=posture.says)]
        parts.append(sentence(f"card.says.level_{system.engine}"))
        if system.settle_min:
            parts.append(sentence("card.says.level_settle", settle_min=system.settle_min))
        return parts

    def _cautions(self, step: SheetStep) -> list[dict[str, Any]]:
        # Hard stops were halted for at the card's start; here they remind.
        shown = [self.sheet.cautions[key] for key in step.cautions if key in self.sheet.cautions]
        if not shown and lets_off(step):
            shown = [usual("pressure_down")]
        return [caution_plain(caution, stops=False) for caution in shown]

    def _part(self, key: str, count: int) -> dict[str, Any]:
        known = self.sheet.parts[key]
        return {"key": key, "name": known.name, "number": known.number, "count": count}

    def _torque(self, step: SheetStep, housing: Housing | None) -> dict[str, Any] | None:
        fasteners = housing.fasteners if housing and step.kind == "close" else None
        value = step.torque_nm if step.torque_nm is not None else fasteners.torque_nm if fasteners else None
        if value is None:
            return None
        return torque_plain(value, fasteners, self.units)

    def _bolts(self, act: Act, housing: Housing | None) -> dict[str, Any] | None:
        step, out = act.step, lets_cover_off(act, self.acts)
        if housing is None or housing.fasteners is None or not (out or step.kind == "close"):
            return None
        count = housing.fasteners.count
        if not 2 <= count <= joint.MOST:
            return None
        order = joint.sequence(count, sprung=housing.sprung)
        turns = order.loosen if out else order.tighten
        says = [sentence("card.bolts.let_off" if out else "card.bolts.start")]
        if out and housing.sprung:
            says.append(sentence("card.bolts.last_two" if order.last_opposite else "card.bolts.last_two_odd"))
        if not out:
            known = self._torque(step, housing) is not None
            first, second, third = order.passes
            passes = sentence("card.bolts.passes", pass1_share=first, pass2_share=second, pass3_share=third)
            says.append(passes if known else sentence("card.bolts.evenly"))
            says.append(sentence("card.bolts.round" if known else "card.bolts.round_untold"))
        return {
            "count": count,
            "order": list(turns),
            "sprung": housing.sprung,
            "picture": bolt_order(turns, sprung=housing.sprung),
            "says": says,
        }

    def _tray(self, housing: Housing) -> dict[str, Any]:
        return {
            "housing": housing.key,
            "name": housing.name,
            "opens": housing.opens,
            "items": [self._item(housing, item) for item in housing.stack],
        }

    def _item(self, housing: Housing, item: Item) -> dict[str, Any]:
        known = self.sheet.parts.get(item.part or "")
        return {
            "place": place_of(housing.key, item.key),
            "name": item.name,
            "kind": item.kind,
            "count": item.count,
            "renew": item.renew,
            "note": item.note,
            "part": {"key": known.key, "name": known.name, "number": known.number} if known else None,
            "picture": part(item.kind, title=item.name),
            "measures": self._measures(item),
        }

    def _measures(self, item: Item) -> list[dict[str, str]]:
        """What the sheet has of a new element, to be held against the old one and the new one by eye."""
        known = self.sheet.parts.get(item.part or "")
        if known is None or not item.renew or item.kind not in CAUGHT:
            return []
        return [
            {
                "name": sentence(f"element.feature.{stem}"),
                "shown": quantity(known.features[f"{stem}_mm"], "mm", units=self.units),
            }
            for stem in _MEASURES
            if f"{stem}_mm" in known.features
        ]

    def _glass(self, step: SheetStep) -> str | None:
        if step.kind not in {"level_found", "level_left"} or step.compartment is None:
            return None
        kind: GaugeKind = "dipstick"
        if step.compartment == hydraulic_key(self.sheet):
            kind = self.sheet.hydraulic.gauge.kind
        seen = self.found.get(step.compartment) if step.kind == "level_left" else None
        return glass(seen if isinstance(seen, float) else None, kind=kind)

    def _litres(self, step: SheetStep, housing: Housing | None) -> dict[str, Any] | None:
        out = step.litres_out_l
        if out is None and housing and step.kind == "tray_out":
            out = self._comes_out(housing)
        if out is None and step.litres_in_l is None:
            return None
        shown = {
            side: None if value is None else quantity(value, "l", units=self.units)
            for side, value in (("in_shown", step.litres_in_l), ("out_shown", out))
        }
        return {"in": step.litres_in_l, "out": out, **shown}

    def _comes_out(self, housing: Housing) -> float | None:
        """Return what is lost with a housing's stack: what is spilt, and what the old elements carry away."""
        carried = [self.sheet.parts[item.part].holds_l for item in housing.stack if item.renew and item.part]
        known = [litres for litres in (housing.spill_l, *carried) if litres is not None]
        return sum(known) if known else None


def _tool(tool: Tool) -> str:
    if tool.hex_mm is None:
        return tool.name
    return sentence("card.tool", hex=f"{tool.hex_mm:g}", tool=tool.name)
