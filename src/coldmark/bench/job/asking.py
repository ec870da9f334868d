"""How what the card asks is read: by name, with the unit in the name, each refusal naming its field."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import units
from coldmark.bench.errors import (
    Contradiction,
    Missing,
    NotAChoice,
    NotANumber,
    Refused,
    require_between,
    require_choice,
)
from coldmark.bench.job.asks import LEVEL, METER, Ask, endings
from coldmark.bench.job.standing import LevelAsk

__all__ = ["level_ask", "meter_ask"]

Told = Mapping[str, Any]

_MARKS = "0 is the lower mark, 1 the upper"


def level_ask(told: Told) -> LevelAsk:
    """Read a level as it was read at the machine.

    Raises
    ------
    Refused
        Naming the field that is missing, unknown or not right.
    """
    _only(told, LEVEL)
    _choice(told, "moment")
    reading = told.get("reading")
    if reading is None:
        raise Missing(name="reading", needed_for="level")
    where: float | str = reading
    if reading not in ("below", "above"):
        where = require_between("reading", _number("reading", reading, right="0.35"), -1.0, 2.0, _MARKS)
    return LevelAsk(
        reading=where,
        posture=_word(told, "posture"),
        rods=_rods(told),
        oil_c=_quantity(told, "oil", LEVEL),
        warmth=_choice(told, "warmth"),
        air_c=_quantity(told, "air", LEVEL),
        engine=_choice(told, "engine"),
        settled_min=_minutes(told, "settled_min"),
        foam=_truth(told, "foam"),
        compartment=_word(told, "compartment"),
    )


def meter_ask(told: Told) -> float:
    """Read what an hour meter shows [h].

    Raises
    ------
    Refused
        Naming the field that is missing, unknown or not right.
    """
    _only(told, METER)
    reading = _quantity(told, "reading", METER)
    if reading is None:
        raise Missing(name="reading_h", needed_for="meter")
    return reading


def _only(told: Told, ask: Ask) -> None:
    for name in told:
        if name not in ask.names:
            raise NotAChoice(name="field", value=name[:60], choices=ask.names)


def _number(name: str, value: object, *, right: str = "12.5") -> float:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise NotANumber(name=name, value=str(value)[:60], right=right)
    return units.number(name, value if not isinstance(value, str) else value[:60], right=right)


def _quantity(told: Told, name: str, ask: Ask) -> float | None:
    """Read ``name`` with any unit of its kind, in the bench's unit; ``None`` when it is not there."""
    there = [ending for ending in endings(ask.fields[name]) if told.get(f"{name}_{ending}") is not None]
    if not there:
        return None
    if len(there) > 1:
        second = f"{name}_{there[1]}"
        raise Contradiction(name=name, value=str(told[second])[:60], why="desk.cannot.two_units")
    field = f"{name}_{there[0]}"
    return units.to_bench(_number(field, told[field]), there[0])


def _minutes(told: Told, name: str) -> float | None:
    value = told.get(name)
    return None if value is None else _number(name, value, right="15")


def _word(told: Told, name: str) -> str | None:
    value = told.get(name)
    if value is None or isinstance(value, str):
        return value
    raise Refused("api.not_text", name=name, value=str(value)[:60])


def _choice(told: Told, name: str) -> str | None:
    word = _word(told, name)
    return None if word is None else require_choice(name, word[:60], LEVEL.fields[name].choices)


def _truth(told: Told, name: str) -> bool:
    value = told.get(name, False)
    if value is None or isinstance(value, bool):
        return bool(value)
    raise NotAChoice(name=name, value=str(value)[:60], choices=("true", "false"))


def _rods(told: Told) -> Mapping[str, float] | None:
    value = told.get("rods")
    if value is None:
        return None
    if not isinstance(value, dict):
        raise Refused("api.not_shares", name="rods")
    return {rod: _number(f"rods.{rod[:60]}", share, right="0.25") for rod, share in value.items()}
