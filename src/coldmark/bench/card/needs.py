"""What holds a screen's gates shut, and when the screen is done."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from coldmark.bench.card.acts import Act, lets_cover_off
from coldmark.bench.card.gates import Condition, accounted, all_of, any_of, has, refitted, renewed
from coldmark.bench.shapes import dataclass
from coldmark.bench.sheet.model import Caution, Housing, Sheet
from coldmark.bench.sheet.pressure import holding, lets_off
from coldmark.bench.sheet.tank import hydraulic_key
from coldmark.bench.words import sentence

__all__ = ["Needs", "place_of"]

Gate = dict[str, Any]

_GATED = ("work", "fill", "run")


def place_of(housing: str, item: str) -> str:
    """Return the name of a place in a housing's stack, as facts know it.

    >>> place_of("return", "spring")
    'return.spring'
    """
    return f"{housing}.{item}"


@dataclass(frozen=True, slots=True)
class Needs:
    """What is needed before and within each act of one card: the sheet, the acts, and the hard stops."""

    sheet: Sheet
    acts: Sequence[Act]
    stops: Sequence[Caution]

    def gates(self, act: Act, housing: Housing | None) -> list[Gate]:
        """Return the gates of an act's screen, in the order in which they are told."""
        gates = []
        if self.stops and act.phase in _GATED:
            read = all_of(*(has("caution_acknowledged", caution=stop.key) for stop in self.stops))
            gates.append(_gate("hard_stops", read, sentence("card.gate.hard_stops")))
        if housing and housing.key in holding(self.sheet):
            gates += self._let_off_gate(act)
        if act.step.kind == "close" and housing:
            gates += _close_gates(act.key, housing)
        if act.step.kind == "level_left":
            gates += self._level_gate(act)
        return gates

    def done_when(self, act: Act, housing: Housing | None) -> Condition:
        """Return the condition on which an act's screen is done."""
        step = act.step
        if step.kind == "tray_out" and housing:
            return all_of(*(has("part_out", place=place_of(housing.key, item.key)) for item in housing.stack))
        if step.kind == "tray_in" and housing:
            return any_of(all_of(_all_back(housing), *_all_new(housing)), has("step_done", step=act.key))
        if step.kind == "meter":
            return self._meter_read(act)
        if step.kind in {"level_found", "level_left"}:
            return has("level_read", moment=step.kind.removeprefix("level_"), compartment=step.compartment)
        if step.kind == "sample":
            return has("sample_taken", compartment=step.compartment)
        return has("step_done", step=act.key)

    def _let_off_gate(self, act: Act) -> list[Gate]:
        """Shut a housing that may hold pressure, from the first bolt on, until the pressure is let off."""
        let_off = next((one for one in self.acts if lets_off(one.step)), None)
        if let_off is None or not (act.step.kind == "tray_out" or lets_cover_off(act, self.acts)):
            return []
        return [_gate(f"{act.key}.let_off", all_of(has("step_done", step=let_off.key)), sentence("card.gate.let_off"))]

    def _level_gate(self, act: Act) -> list[Gate]:
        """Shut the level as left until what the sheet wants before it is done, each after the one before it."""
        chain = [one for one in self._leading_to(act) if one.step.kind == "do" and one.phase == "run"]
        if not chain:
            return []
        place = act.step.compartment
        closes = [
            one.key
            for one in self.acts
            if one.step.kind == "close"
            and one.step.housing
            and self.sheet.housings[one.step.housing].compartment == place
        ]
        titles = [one.step.says for one in chain]
        needs: list[Condition] = [has("step_done", step=one.key) for one in chain]
        if closes:
            needs.append(_after(has("step_done", step=closes), has("step_done", step=chain[0].key)))
        for one in chain:
            for key in one.before:
                if any(key == other.key for other in chain):
                    needs.append(_after(has("step_done", step=key), has("step_done", step=one.key)))
        oil = place == hydraulic_key(self.sheet)
        says = sentence("card.gate.settled") if oil else sentence("card.gate.first", steps="; ".join(titles))
        return [_gate(f"{act.key}.settled", all_of(*needs), says)]

    def _leading_to(self, act: Act) -> list[Act]:
        """Return the acts that must come before one, however far back, in the order of the card."""
        wanted, look = set[str](), [act]
        by_key = {one.key: one for one in self.acts}
        while look:
            for key in look.pop().before:
                if key in by_key and key not in wanted:
                    wanted.add(key)
                    look.append(by_key[key])
        return [one for one in self.acts if one.key in wanted]

    def _meter_read(self, act: Act) -> Condition:
        # A second reading counts only after the work that comes before it.
        if not any(one.step.kind == "meter" for one in self.acts[: self.acts.index(act)]):
            return has("meter_read")
        work = [one.key for one in self.acts[: self.acts.index(act)] if one.phase in _GATED]
        return all_of(
            has("meter_read"), has("step_done", step=work), _after(has("step_done", step=work), has("meter_read"))
        )


def _gate(key: str, needs: Condition, says: str) -> Gate:
    return {"key": key, "needs": needs, "says": says}


def _after(first: Condition, then: Condition) -> Condition:
    return {"after": {"first": first, "then": then}}


def _all_back(housing: Housing) -> Condition:
    return all_of(*(refitted(place_of(housing.key, item.key), item.count) for item in housing.stack))


def _all_new(housing: Housing) -> list[Condition]:
    return [renewed(place_of(housing.key, item.key)) for item in housing.stack if item.renew]


def _close_gates(key: str, housing: Housing) -> list[Gate]:
    """Shut a cover until all is back, nothing old is in without a reason, and every old seal is accounted for.

    A seal that the sheet lets go back is asked for too: where it was missing, a new one may lie on the old.
    """
    gates = [_gate(f"{key}.refitted", _all_back(housing), sentence("card.gate.refitted", housing=housing.name))]
    new = _all_new(housing)
    if new:
        gates.append(_gate(f"{key}.renewed", all_of(*new), sentence("card.gate.renewed", housing=housing.name)))
    seals = [accounted(place_of(housing.key, item.key), item.count) for item in housing.stack if item.kind == "seal"]
    if seals:
        gates.append(_gate(f"{key}.old_seals", all_of(*seals), sentence("card.gate.old_seals")))
    return gates
