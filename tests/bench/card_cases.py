"""What the card's tests share: the 5 t demo sheet, a card of it, and facts in short."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any

from coldmark.bench import card, sheet
from coldmark.bench.ledger.state import State

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "src" / "coldmark" / "demo" / "sheets"
GOLDEN_CARD = ROOT / "contract" / "golden" / "card.json"
JOB = "01935c5e-7a40-7c11-8a21-5d0f3b6c9e01"
MACHINE = {
    "id": "01935c5e-7a40-7c11-8a21-5d0f3b6c9e02",
    "name": "Digger 3",
    "serial": "1042",
    "site": "Gravel pit",
    "customer": "Valley Earthworks",
}
OILS = ({"key": "valley_46", "name": "Valley 46"}, {"key": "valley_46_bio", "name": "Valley 46 bio"})

Fact = dict[str, Any]
Plain = dict[str, Any]


@cache
def demo_sheet(name: str = "excavator_5t") -> sheet.Sheet:
    return sheet.read((DEMO / f"{name}.toml").read_text(encoding="utf-8"))


def demo_card(*tasks: str, name: str = "excavator_5t", **more: Any) -> Plain:
    wanted = tasks or ("hyd_500",)
    given: dict[str, Any] = {"state": State(MACHINE["id"]), "machine": MACHINE, "oils": OILS} | more
    return card.build(job=JOB, sheet=demo_sheet(name), tasks=wanted, **given)


def said(kind: str, **body: Any) -> Fact:
    return {"kind": kind, "body": body}


def done(step: str) -> Fact:
    return said("step_done", step=step)


def screen_of(built: Plain, key: str) -> Plain:
    found: Plain = next(screen for screen in built["screens"] if screen["key"] == key)
    return found


def keys(built: Plain, *kinds: str) -> list[str]:
    return [screen["key"] for screen in built["screens"] if not kinds or screen["kind"] in kinds]


def taken_out(screen: Plain, but: Iterable[str] = ()) -> list[Fact]:
    return [
        said("part_out", place=item["place"], count=item["count"], state="as_expected")
        for item in screen["tray"]["items"]
        if item["place"] not in but
    ]


def put_back(screen: Plain, but: Iterable[str] = ()) -> list[Fact]:
    return [
        said("part_in", place=item["place"], count=item["count"], fresh=item["renew"])
        for item in reversed(screen["tray"]["items"])
        if item["place"] not in but
    ]


def whole_job(built: Plain, but: Iterable[str] = ()) -> list[Fact]:
    """Return the facts of a job in which every screen was done, but those named."""
    facts: list[Fact] = []
    for screen in built["screens"]:
        if screen["key"] in but:
            continue
        kind = screen["kind"]
        if kind == "caution":
            facts.append(said("caution_acknowledged", caution=screen["cautions"][0]["key"]))
        elif kind == "meter":
            facts.append(said("meter_read", reading={"value": "1512.5", "unit": "h"}, way="seen"))
        elif kind in {"level_found", "level_left"}:
            moment = kind.removeprefix("level_")
            facts.append(said("level_read", compartment=screen["compartment"], moment=moment, reading="0.6"))
        elif kind == "tray_out":
            facts += taken_out(screen)
        elif kind == "tray_in":
            facts += put_back(screen)
        elif kind == "sample":
            facts.append(said("sample_taken", compartment=screen["compartment"], bottle="B1"))
        elif kind == "finish":
            facts += [said("signature", by="owner"), said("job_closed", facts=[])]
        else:
            facts.append(done(screen["step"]))
    return facts
