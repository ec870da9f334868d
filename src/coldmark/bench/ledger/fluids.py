"""The fold of fluids: levels as read, oil in and out, and what each compartment holds by shares."""

from __future__ import annotations

from typing import Any

from coldmark.bench.facts import Body, Fact, quantity
from coldmark.bench.ledger.folding import Folding
from coldmark.bench.ledger.state import LevelSeen, Pour
from coldmark.bench.level import felt
from coldmark.bench.oilhistory.mixing import IN_WAYS, moved
from coldmark.bench.oilhistory.model import NOBODY_KNOWS, Contents
from coldmark.bench.oilhistory.system import system_l, tank_l

__all__ = ["level_read", "oil_moved", "sample_taken", "trim_pours"]

MOST_LEVELS = 100
MOST_POURS = 200

_SPREAD_MEASURED_K = 2.0


def level_read(folding: Folding, fact: Fact) -> None:
    """Keep the level as it was read."""
    body = fact.body
    air = _celsius(body.get("air"))
    oil, spread = _oil_c(body, air)
    reading = body["reading"]
    levels = folding.state.levels.setdefault(body["compartment"], [])
    levels.append(
        LevelSeen(
            at=fact.at,
            fact=fact.id,
            moment=body["moment"],
            reading=reading if reading in ("below", "above") else float(reading),
            oil_c=oil,
            oil_spread_k=spread,
            air_c=air,
            posture=body.get("posture"),
            rods=None if body.get("rods") is None else {name: float(out) for name, out in body["rods"].items()},
            engine=body["engine"],
            settled_min=body.get("settled_min"),
            foam=bool(body.get("foam")),
            job=fact.job,
            photo=body.get("photo"),
        )
    )
    del levels[:-MOST_LEVELS]


def _celsius(told: Any) -> float | None:
    return None if told is None else quantity(told, "temperature")


def _oil_c(body: Body, air_c: float | None) -> tuple[float | None, float]:
    measured, warmth = _celsius(body.get("oil")), body.get("warmth")
    if measured is not None:
        return measured, _SPREAD_MEASURED_K
    if warmth is None or (warmth == "as_the_air" and air_c is None):
        return None, 0.0
    as_felt = felt(warmth, air_c)
    return as_felt.oil_c, as_felt.spread_k


def oil_moved(folding: Folding, fact: Fact) -> None:
    """Keep the litres, and work out what the compartment holds now."""
    body, way = fact.body, fact.body["way"]
    key, litres = body["compartment"], quantity(body["litres"], "volume")
    oil = body.get("oil")
    pours = folding.state.pours.setdefault(key, [])
    pour = Pour(
        at=fact.at,
        fact=fact.id,
        way=way,
        litres=litres if way in IN_WAYS else -litres,
        oil=oil,
        temperature_c=_celsius(body.get("temperature")),
        job=fact.job,
        hours=folding.then(fact).hours,
        circulated=body.get("circulated"),
    )
    before = pours[-1].hours if pours else None
    pours.append(pour)
    trim_pours(folding, key)
    if folding.sheet is not None and key not in folding.sheet.compartments:
        folding.flag(fact, "flag.compartment_not_on_sheet", compartment=key)
    if oil is not None and folding.oils and oil not in folding.oils:
        folding.flag(fact, "flag.oil_not_known", oil=oil)
    _mix(folding, key, pour, None if before is None or pour.hours is None else pour.hours - before)


def _mix(folding: Folding, key: str, pour: Pour, worked_h: float | None) -> None:
    """Work out what the compartment holds after the pour; where nothing was ever poured in, nothing is told of it."""
    state = folding.state
    told = key in state.oils
    before = Contents(
        tuple(state.oils[key]) if told else NOBODY_KNOWS,
        state.drained_l.get(key, 0.0),
        tuple(state.unmixed.get(key, ())),
    )
    after = moved(
        before,
        pour,
        system_l=system_l(folding.sheet, key, state.options),
        tank_l=tank_l(folding.sheet, key),
        worked_h=worked_h,
    )
    if told or (pour.way in IN_WAYS and pour.litres > 0):
        state.oils[key] = list(after.parts)
    state.drained_l[key] = after.missing_l
    state.unmixed.pop(key, None)
    if after.unmixed:
        state.unmixed[key] = list(after.unmixed)


def trim_pours(folding: Folding, key: str) -> None:
    """Keep the latest pours and all of jobs that are still open."""
    pours = folding.state.pours[key]
    over = len(pours) - MOST_POURS
    if over > 0:
        old = [pour for pour in pours[:over] if folding.is_open(pour.job)]
        pours[:over] = old


def sample_taken(folding: Folding, fact: Fact) -> None:
    """Remember the compartment's latest sample."""
    folding.state.samples[fact.body["compartment"]] = fact.id
