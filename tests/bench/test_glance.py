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
from tests.bench.recorder import JOB, MACHINE, Recorder, litres

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


def timed(record: Recorder, at: str, seconds: str, **more: Any) -> Fact:
    body = {"timing": "boom_up", "what": "cycle", "time": {"value": seconds, "unit": "s"}, "runs": 3, **more}
    return record("function_timed", at, body)


WARM = {"oil": {"value": "50", "unit": "c"}}


def test_what_was_timed_is_said_first_and_drawn_once_there_are_two(sheet: Sheet) -> None:
    record = worked(sheet)
    timed(record, "2025-03-02", "3.0", **WARM)
    hold(sheet, record.made)
    (shown,) = glance()["timings"]
    assert shown["name"] == sheet.timings["boom_up"].name
    assert shown["says"][0].startswith("Measured 3.0 s, for the first time")
    assert (shown["how"], shown["drawing"]) == (sheet.timings["boom_up"].says, "")
    later = timed(record, "2025-09-01", "4.4", **WARM)
    (shown,) = glance(later)["timings"]
    assert shown["says"][0] == "It has grown slower: 4.4 s now, 3.0 s at first."
    assert shown["worse"]
    assert shown["drawing"].startswith("<svg")
    assert (shown["first"][:10], shown["at"][:10]) == ("2025-03-02", "2025-09-01")


def test_what_was_timed_since_and_taken_back_is_shown_no_more(sheet: Sheet) -> None:
    record = worked(sheet)
    hold(sheet, record.made)
    slip = timed(record, "2025-03-02", "30.0", **WARM)
    undone = record("correction", "2025-03-02", {"of": slip.id, "action": "withdraw", "reason": "undo"})
    assert glance(slip)["timings"]
    assert glance(slip, undone)["timings"] == []


def test_a_part_that_was_refused_is_told_with_what_was_wrong_with_it_the_latest_first(sheet: Sheet) -> None:
    record = worked(sheet)
    told = {"place": "return.element", "number": "ZZ-1", "why": "too_long"}
    record("part_refused", "2025-03-02", told)
    hold(sheet, record.made)
    (kept,) = glance()["refused"]
    assert kept.startswith("Not for this machine: ZZ-1, ")
    assert kept.endswith(": too long.")
    other = record("part_refused", "2025-03-03", told | {"number": "YY-2", "why": "other_seal"})
    assert [one.split(",")[0] for one in glance(other)["refused"]] == [
        "Not for this machine: YY-2",
        "Not for this machine: ZZ-1",
    ]


def test_what_was_fitted_before_and_is_found_wrong_since_is_told_too(sheet: Sheet) -> None:
    record = worked(sheet)
    fitted = {"place": "return.element", "count": 1, "fresh": True, "number": "QQ-9"}
    record("part_in", "2025-03-02", fitted, job=JOB)
    hold(sheet, record.made)
    assert glance()["refused"] == []
    finding = {"about": "return", "what": "wrong_part", "urgency": "before_next_work"}
    (told,) = glance(record("finding", "2025-03-09", finding))["refused"]
    assert told.startswith("Not for this machine: QQ-9, ")
    assert "Found to be the wrong part on" in told


def test_nothing_is_shown_of_what_was_neither_timed_nor_refused(sheet: Sheet) -> None:
    hold(None, worked(sheet).made[1:])
    shown = glance()
    assert (shown["timings"], shown["refused"]) == ([], [])
