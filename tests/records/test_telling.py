"""Every kind of fact is told as a sentence, in the reader's units and with the sheet's names."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from coldmark.bench.facts import KINDS, parse
from coldmark.bench.job import name_of
from coldmark.bench.sheet import Sheet, read
from coldmark.records.queries.telling import Names, tell
from tests.records.house import sheet_text

GOLDEN = Path(__file__).parents[2] / "contract" / "golden" / "facts"
RELEASED = sorted(GOLDEN.glob("*.v*.json"))


@pytest.fixture(scope="module")
def sheet() -> Sheet:
    return read(sheet_text())


def golden(path: Path) -> tuple[str, Mapping[str, Any], bool]:
    fact = parse(json.loads(path.read_text(encoding="utf-8"))["text"], stored=True)
    return fact.kind, fact.body, fact.known


def test_the_golden_messages_hold_every_kind() -> None:
    assert {golden(path)[0] for path in RELEASED} == set(KINDS)


@pytest.mark.parametrize("path", RELEASED, ids=lambda path: path.stem)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_kind_is_told_as_a_sentence(path: Path, units: Any, sheet: Sheet) -> None:
    kind, body, known = golden(path)
    for names in (Names(units=units), Names(sheet, units)):
        told = tell(kind, body, names, known=known)
        assert told.endswith(".")
        assert told[0].isupper()
        assert "{" not in told
        assert "_" not in told
        assert ".." not in told


@pytest.mark.parametrize("name", ["unknown_kind", "unknown_version"])
def test_what_is_not_known_is_told_as_such(name: str) -> None:
    kind, body, known = golden(GOLDEN / f"{name}.json")
    assert "cannot read" in tell(kind, body, Names(), known=known)


def test_quantities_are_in_the_readers_units() -> None:
    body = {"compartment": "hydraulic", "way": "top_up", "litres": {"value": "2.5", "unit": "l"}, "oil": "x46"}
    assert tell("oil_moved", body, Names(oils={"x46": "Valley 46"})) == "Topped up, hydraulic: 2.5 L of Valley 46."
    assert "0.66 gal" in tell("oil_moved", body, Names(units="us"))


def test_names_come_from_the_sheet(sheet: Sheet) -> None:
    task = next(iter(sheet.tasks.values()))
    step = sheet.steps[task.key][0]
    assert tell("task_done", {"task": task.key}, Names(sheet)) == f"Task done: {task.name}."
    assert name_of(sheet, f"{task.key}.{step.key}") == step.says.rstrip(".")
    housing = next(iter(sheet.housings.values()))
    item = housing.stack[0]
    assert name_of(sheet, f"{housing.key}.{item.key}") == f"{item.name}, {housing.name}"


@pytest.mark.parametrize(
    ("step", "says"),
    [
        ("run_posture", "Take the check posture: Arm out"),
        ("run_stop", "Stop the engine"),
        ("read_left", "Read the oil level as left"),
        ("open_return", "Open: return filter"),
        ("shut_pilot", "Close: pilot filter"),
    ],
)
def test_a_step_that_the_card_added_is_called_as_on_the_card(sheet: Sheet, step: str, says: str) -> None:
    assert step not in {one.key for one in sheet.steps["hyd_500"]}
    told = tell("step_done", {"step": f"hyd_500.{step}"}, Names(sheet))
    assert told.startswith(f"Done: {says}")
    assert sheet.tasks["hyd_500"].name not in told


def test_another_torque_than_the_data_sheets_is_told_as_such(sheet: Sheet) -> None:
    body = {"step": "hyd_500.close", "torque": {"value": "30", "unit": "nm"}}
    assert tell("step_done", body, Names(sheet)) == "Done: Bolts in crosswise, to the torque, with 30 N·m."
    other = tell("step_done", body | {"torque_from": "other"}, Names(sheet, "us"))
    assert other == "Done: Bolts in crosswise, to the torque, with 22 lbf·ft, another figure than the data sheet's."


def test_a_wait_that_was_cut_short_is_told_as_such(sheet: Sheet) -> None:
    told = tell("gate_opened", {"gate": "hyd_500.settle.wait", "reason": "no_time_today"}, Names(sheet))
    assert told == "Gone on although the wait was not over, at: Let the oil settle. Reason: no time for it today."


def test_a_key_that_the_sheet_does_not_have_stays_readable(sheet: Sheet) -> None:
    assert name_of(sheet, "old_task.cover_off") == "old task, cover off"
    assert name_of(None, "arm_out") == "arm out"


def test_a_meter_that_was_doubted_says_so_and_keeps_its_digits() -> None:
    body = {"reading": {"value": "1523.4", "unit": "h"}, "way": "told", "doubt": "back"}
    assert tell("meter_read", body, Names()) == (
        "The hour meter shows 1523.4 h, as told. That is less than before; it was asked and kept."
    )


@pytest.mark.parametrize(
    ("reading", "says"), [("0.35", "35% of the way"), ("below", "no oil to be seen"), ("above", "above what the glass")]
)
def test_a_level_says_where_it_stands_how_warm_and_in_which_posture(sheet: Sheet, reading: str, says: str) -> None:
    body = {
        "compartment": "hydraulic",
        "moment": "left",
        "reading": reading,
        "oil": {"value": "50", "unit": "f"},
        "posture": "arm_out",
        "engine": "stopped",
    }
    told = tell("level_read", body, Names(sheet))
    assert told.startswith("Oil level as left, hydraulic system: ")
    assert says in told
    assert "Oil at 10 °C." in told
    assert sheet.hydraulic.postures["arm_out"].says in told


def test_an_opened_gate_says_what_was_lacking_where_and_why(sheet: Sheet) -> None:
    task = next(iter(sheet.tasks))
    body = {"gate": f"{task}.{sheet.steps[task][0].key}.refitted", "reason": "part_damaged"}
    told = tell("gate_opened", body, Names(sheet))
    assert "not everything was back in" in told
    assert "the part is damaged" in told
    assert tell("gate_opened", {"gate": "hard_stops", "reason": "other"}, Names()).startswith(
        "Gone on although the cautions were not all read."
    )
