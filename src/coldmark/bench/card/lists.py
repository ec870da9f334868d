"""What the card lets one choose from: postures, rods, warmth, oils, reasons and findings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from coldmark.bench.facts.kinds import KINDS, REASONS
from coldmark.bench.level.feel import QUARTERS, WARMTHS
from coldmark.bench.pictures import silhouette
from coldmark.bench.sheet.model import Sheet
from coldmark.bench.words import UnitSystem, sentence

__all__ = ["lists"]


def _said(prefix: str, keys: Sequence[str]) -> list[dict[str, str]]:
    return [{"key": key, "says": sentence(f"{prefix}.{key}")} for key in keys]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def postures(sheet: Sheet) -> list[dict[str, Any]]:
    """How a machine can stand to have its level read, each as a picture."""
    check = sheet.hydraulic.check_posture
    # The check posture stands first: it is the one to be in.
    ordered = sorted(sheet.hydraulic.postures.values(), key=lambda posture: posture.key != check)
    return [
        {
            "key": posture.key,
            "says": posture.says,
            "picture": silhouette(sheet.kind, posture.extension, title=posture.says),
            "check": posture.key == check,
        }
        for posture in ordered
    ]


def _rods(sheet: Sheet) -> list[dict[str, Any]]:
    resting = dict(sheet.hydraulic.postures[sheet.hydraulic.check_posture].extension)
    rods = []
    for cylinder in sheet.hydraulic.cylinders:
        name = _capital(cylinder.name.replace("_", " "))
        quarters = []
        for share, message in QUARTERS:
            says = sentence(message)
            title = sentence("card.rod", rod=name, how=says)
            picture = silhouette(sheet.kind, resting | {cylinder.name: share}, title=title, rod=cylinder.name)
            quarters.append({"value": f"{share:g}", "says": says, "picture": picture})
        rods.append({"name": cylinder.name, "says": name, "quarters": quarters})
    return rods


def _abouts(sheet: Sheet) -> list[dict[str, str]]:
    named = {key: place.name for key, place in sheet.compartments.items()}
    named |= {key: housing.name for key, housing in sheet.housings.items() if key not in named}
    places = [{"key": key, "says": _capital(name)} for key, name in named.items()]
    return [*places, {"key": "machine", "says": sentence("card.elsewhere")}]


def lists(sheet: Sheet, *, units: UnitSystem, oils: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Return the lists that the card's questions are answered from."""
    finding, out = KINDS["finding"].fields, KINDS["part_out"].fields
    unit = "gal" if units == "us" else "L"
    return {
        "compartments": {
            key: {"name": _capital(place.name), "unit": unit} for key, place in sheet.compartments.items()
        },
        "postures": postures(sheet),
        "rods": _rods(sheet),
        "warmth": [{"key": key, "says": _capital(sentence(f"level.warmth.{key}"))} for key in WARMTHS],
        "oils": [dict(oil) for oil in oils],
        "reasons": _said("reason", REASONS),
        "urgencies": _said("urgency", finding["urgency"].choices),
        "findings": _said("finding", finding["what"].choices),
        "abouts": _abouts(sheet),
        "refusals": _said("refused", KINDS["part_refused"].fields["why"].choices),
        "states": _said("part_state", out["state"].choices),
    }
