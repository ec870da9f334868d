"""A machine at a glance, as its page on a phone shows it: worked out from what the phone holds."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

import coldmark.demo
from coldmark.bench import desk
from coldmark.bench.facts import Fact
from coldmark.bench.ledger import CODE_VERSION, fold, state_to_json
from coldmark.bench.oil import Oil, from_text, oil_to_plain
from coldmark.bench.sheet import Sheet, read, to_plain
from tests.bench.recorder import MACHINE, Recorder, litres

DEMO = Path(next(iter(coldmark.demo.__path__)))
OIL = from_text((DEMO / "oils" / "varnol_hm46.toml").read_text(encoding="utf-8"))
OILS: dict[str, Oil] = {"varnol_hm46": OIL}


@pytest.fixture(scope="module")
def sheet() -> Sheet:
    return read((DEMO / "sheets" / "excavator_5t.toml").read_text(encoding="utf-8"))


def ask(**asked: Any) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(desk.answer(json.dumps(asked)))
    return told


def worked(sheet: Sheet) -> Recorder:
    record = Recorder()
    record("sheet_assigned", "2025-01-01", {"sheet": sheet.sha256})
    record.meter("2025-03-01", 240)
    record(
        "oil_moved",
        "2025-03-01",
        {"compartment": "hydraulic", "way": "fill", "litres": litres(60), "oil": "varnol_hm46"},
    )
    return record


def level(record: Recorder, at: str, reading: str, moment: str = "left") -> Fact:
    body = {
        "compartment": "hydraulic",
        "moment": moment,
        "reading": reading,
        "posture": "arm_out",
        "engine": "stopped",
        "settled_min": 5,
        "oil": {"value": "20", "unit": "c"},
        "air": {"value": "10", "unit": "c"},
        "foam": False,
    }
    return record("level_read", at, body)


def hold(sheet: Sheet | None, facts: list[Fact]) -> None:
    sheets = {} if sheet is None else {sheet.sha256: sheet}
    state = fold(facts, machine=MACHINE, sheets=sheets, oils=OILS)
    part = {"line": {"id": MACHINE}, "state": json.loads(state_to_json(state)), "folded_by": CODE_VERSION, "facts": []}
    held = {
        "machine": part,
        "sheet": None if sheet is None else to_plain(sheet),
        "oils": {key: oil_to_plain(oil) for key, oil in OILS.items()},
        "coldest_c": -10,
    }
    assert "ok" in ask(do="open", **held)


def glance(*since: Fact, units: str = "metric") -> dict[str, Any]:
    told: dict[str, Any] = ask(do="machine", machine=MACHINE, facts=[fact.text for fact in since], units=units)["ok"]
    return told


def test_it_shows_the_level_as_left_the_oil_what_is_due_and_how_to_stand(sheet: Sheet) -> None:
    record = worked(sheet)
    level(record, "2025-03-02", "0.5")
    hold(sheet, record.made)
    shown = glance()
    assert shown["level"]["moment"] == "left"
    assert shown["level"]["glass"].startswith("<svg")
    assert shown["level"]["how"] == [sheet.hydraulic.postures["arm_out"].says, "oil at 20 °C"]
    assert shown["level"]["says"]
    (inside,) = shown["oils"]
    assert (inside["parts"], inside["grade"]) == ([f"{OIL.name} 77%", "not known 23%"], "HM VG 46")
    assert inside["window"].startswith("<svg")
    assert {"hyd_500", "engine_250"} <= {one["task"] for one in shown["due"]} <= set(sheet.tasks)
    assert [one["check"] for one in shown["postures"]] == [True] + [False] * (len(sheet.hydraulic.postures) - 1)


def test_what_was_recorded_since_counts(sheet: Sheet) -> None:
    record = worked(sheet)
    level(record, "2025-03-02", "0.2")
    hold(sheet, record.made)
    later = level(record, "2025-03-09", "0.7")
    assert glance()["level"]["at"].startswith("2025-03-02")
    assert glance(later)["level"]["at"].startswith("2025-03-09")


def test_it_is_told_in_the_readers_units(sheet: Sheet) -> None:
    record = worked(sheet)
    level(record, "2025-03-02", "0.5")
    hold(sheet, record.made)
    assert glance(units="us")["level"]["how"][1] == "oil at 68 °F"


def test_of_a_machine_without_a_sheet_no_more_than_its_oils_is_told(sheet: Sheet) -> None:
    record = worked(sheet)
    hold(None, record.made[1:])
    shown = glance()
    assert (shown["level"], shown["due"], shown["postures"]) == (None, [], [])
    assert shown["oils"]


def test_another_machine_than_the_one_that_is_held_is_refused(sheet: Sheet) -> None:
    hold(sheet, worked(sheet).made)
    assert ask(do="machine", machine="elsewhere", facts=[])["refused"]["name"] == "machine"
