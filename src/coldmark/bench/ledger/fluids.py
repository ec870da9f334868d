"""The fold of fluids: levels as read, oil in and out, and what each compartment holds by shares."""

from __future__ import annotations

from typing import Any

from coldmark.bench.facts import Body, Fact, quantity
from coldmark.bench.ledger.folding import Folding
from coldmark.bench.ledger.state import LevelSeen, OilPart, Pour
from coldmark.bench.level import felt
from coldmark.bench.sheet.tank import hydraulic_key

__all__ = ["level_read", "oil_moved", "sample_taken", "trim_pours"]

MOST_LEVELS = 100
MOST_POURS = 200

_IN = frozenset(("fill", "top_up", "attachment_on"))
_NOT_OIL = frozenset(("water_drained",))
_SPREAD_MEASURED_K = 2.0
_GONE = 1e-4  # a share smaller than that is not worth a line


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
    pours.append(
        Pour(
            at=fact.at,
            fact=fact.id,
            way=way,
            litres=litres if way in _IN else -litres,
            oil=oil,
            temperature_c=_celsius(body.get("temperature")),
            job=fact.job,
            hours=folding.then(fact).hours,
        )
    )
    trim_pours(folding, key)
    if folding.sheet is not None and key not in folding.sheet.compartments:
        folding.flag(fact, "flag.compartment_not_on_sheet", compartment=key)
    if oil is not None and folding.oils and oil not in folding.oils:
        folding.flag(fact, "flag.oil_not_known", oil=oil)
    if way in _NOT_OIL:
        return
    if way in _IN:
        _pour_in(folding, key, litres, oil)
    else:
        folding.state.drained_l[key] = folding.state.drained_l.get(key, 0.0) + litres


def _pour_in(folding: Folding, key: str, litres: float, oil: str | None) -> None:
    """Mix what is poured in with what is there.

    What is there is all that the compartment's system holds less what was let out, and never more than leaves room
    for the pour: a top-up without a drain makes good what was lost unseen. So a drain and fill leaves a share of
    1 - drained / system of the oil before.
    """
    system = _system_l(folding, key)
    missing = folding.state.drained_l.get(key, 0.0)
    if litres <= 0:
        return
    if system is None:
        folding.state.oils[key] = [OilPart(None, 1.0)]
        return
    there = max(0.0, system - max(missing, litres))
    parts = {part.oil: part.share * there for part in folding.state.oils.get(key, [OilPart(None, 1.0)])}
    parts[oil] = parts.get(oil, 0.0) + litres
    total = there + litres
    shares = [OilPart(name, amount / total) for name, amount in parts.items() if amount / total > _GONE]
    shares.sort(key=lambda part: (-part.share, part.oil or ""))
    folding.state.oils[key] = shares
    folding.state.drained_l[key] = max(0.0, missing - litres)


def _system_l(folding: Folding, key: str) -> float | None:
    sheet = folding.sheet
    compartment = None if sheet is None else sheet.compartments.get(key)
    if sheet is None or compartment is None:
        return None
    if key != hydraulic_key(sheet):
        return compartment.capacity_l
    base = sheet.hydraulic.system_l or compartment.capacity_l
    if base is None:
        return None
    fitted = [option for name, option in sheet.options.items() if folding.state.options.get(name)]
    return base + sum(option.extra_l or 0.0 for option in fitted)


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
