"""How values are read from a request's JSON: by name, with the unit in the name, each refusal naming its field."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from coldmark.bench import units
from coldmark.bench.errors import Contradiction, Missing, NotAChoice, NotANumber, Refused
from coldmark.records.queries.card import LevelAsk

__all__ = ["level_ask", "texts", "typed"]

_LEVEL = frozenset(
    {
        "compartment",
        "moment",
        "reading",
        "oil_c",
        "oil_f",
        "warmth",
        "air_c",
        "air_f",
        "posture",
        "rods",
        "engine",
        "settled_min",
        "foam",
    }
)


def typed(told: Mapping[str, Any], name: str, *endings: str) -> float | None:
    """Read ``name`` with any of these unit endings, in the bench's unit; ``None`` when it is not there.

    Raises
    ------
    NotANumber
        When it is not a number.
    Contradiction
        When it stands there in two units.
    """
    there = [ending for ending in endings if told.get(f"{name}_{ending}") is not None]
    if not there:
        return None
    if len(there) > 1:
        raise Contradiction(name=name, value=str(told[f"{name}_{there[1]}"]), why="it is given twice, in two units")
    field = f"{name}_{there[0]}"
    value = told[field]
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise NotANumber(name=field, value=str(value)[:60])
    return units.to_bench(units.number(field, value), there[0])


def texts(told: Mapping[str, Any], name: str) -> Sequence[str]:
    """Read a list of texts."""
    value = told.get(name)
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        raise Refused("api.not_texts", name=name)
    return value


def _word(told: Mapping[str, Any], name: str) -> str | None:
    value = told.get(name)
    if value is None or isinstance(value, str):
        return value
    raise Refused("api.not_text", name=name, value=str(value)[:60])


def _truth(told: Mapping[str, Any], name: str) -> bool:
    value = told.get(name, False)
    if value is None or isinstance(value, bool):
        return bool(value)
    raise NotAChoice(name=name, value=str(value)[:60], choices=("true", "false"))


def _rods(told: Mapping[str, Any]) -> Mapping[str, float] | None:
    value = told.get("rods")
    if value is None:
        return None
    if not isinstance(value, dict):
        raise Refused("api.not_shares", name="rods")
    return {str(rod): units.number(f"rods.{rod}", share, right="0.25") for rod, share in value.items()}


def level_ask(told: Mapping[str, Any]) -> LevelAsk:
    """Read a level as it was read at the machine.

    Raises
    ------
    Refused
        Naming the field that is missing, unknown or not right.
    """
    for name in told:
        if name not in _LEVEL:
            raise NotAChoice(name="field", value=name[:60], choices=sorted(_LEVEL))
    reading = told.get("reading")
    if reading is None:
        raise Missing(name="reading", needed_for="level")
    where = reading if reading in ("below", "above") else units.number("reading", reading, right="0.35")
    return LevelAsk(
        reading=where,
        posture=_word(told, "posture"),
        rods=_rods(told),
        oil_c=typed(told, "oil", "c", "f"),
        warmth=_word(told, "warmth"),
        air_c=typed(told, "air", "c", "f"),
        engine=_word(told, "engine"),
        settled_min=typed(told, "settled", "min"),
        foam=_truth(told, "foam"),
        compartment=_word(told, "compartment") or "hydraulic",
    )
