"""What was timed and what was refused, as the fold keeps it: corrections applied, and no more than is of use."""

from __future__ import annotations

from typing import Any

import pytest

from coldmark.bench.element import Reject
from coldmark.bench.element.remembered import MOST_FOUND
from coldmark.bench.errors import Refused
from coldmark.bench.facts import Fact
from coldmark.bench.ledger import State, fold, state_from_json, state_to_json
from coldmark.bench.ledger.health import MOST_TIMINGS
from coldmark.bench.timings import trend
from tests.bench.recorder import JOB, MACHINE, Recorder

Body = dict[str, Any]


def told(value: object, unit: str) -> dict[str, str]:
    return {"value": str(value), "unit": unit}


def cycle(record: Recorder, at: str, seconds: object, **more: Any) -> Fact:
    body = {"timing": "boom_up", "what": "cycle", "time": told(seconds, "s"), **more}
    return record("function_timed", at, body)


def folded(record: Recorder) -> State:
    return fold(record.made, machine=MACHINE, sheets={}, oils={})


def test_a_time_is_kept_with_the_machines_hours_and_its_warmth() -> None:
    record = Recorder()
    record.meter("2026-03-02T08:00:00", 1200)
    cycle(record, "2026-03-02T09:00:00", "3.4", oil=told(122, "f"), runs=3, speed=told(2200, "rpm"))
    (seen,) = folded(record).timings["boom_up"]
    assert (seen.kind, seen.time_s, seen.runs, seen.hours, seen.engine_rpm) == ("cycle", 3.4, 3, 1200, 2200)
    assert seen.oil_c == pytest.approx(50)


def test_a_drift_in_inches_and_pounds_is_kept_in_millimetres_and_kilograms() -> None:
    record = Recorder()
    body = {
        "timing": "arm",
        "what": "drift",
        "moved": told("0.5", "in"),
        "watched": told(5, "min"),
        "load": told(500, "lb"),
    }
    record("function_timed", "2026-03-02", body)
    (seen,) = folded(record).timings["arm"]
    assert seen.value == pytest.approx(12.7 / 5)
    assert seen.load_kg == pytest.approx(226.796, abs=0.001)
    assert seen.hours is None


def test_the_first_is_kept_for_good_and_of_the_others_the_latest() -> None:
    record = Recorder()
    for place in range(MOST_TIMINGS + 15):
        cycle(record, f"2026-{1 + place // 28:02}-{1 + place % 28:02}", f"{3 + place / 100:.2f}")
    seen = folded(record).timings["boom_up"]
    assert len(seen) == MOST_TIMINGS
    assert seen[0].time_s == pytest.approx(3.0)
    assert seen[1].time_s == pytest.approx(3.16)
    assert seen[-1].time_s == pytest.approx(3 + (MOST_TIMINGS + 14) / 100)


def test_a_time_that_was_mistyped_is_put_right_or_withdrawn() -> None:
    record = Recorder()
    wrong = cycle(record, "2026-03-02", "34")
    body: Body = {"timing": "boom_up", "what": "cycle", "time": told("3.4", "s")}
    record("correction", "2026-03-03", {"of": wrong.id, "action": "replace", "body": body, "reason": "mistyped"})
    assert [one.time_s for one in folded(record).timings["boom_up"]] == [3.4]
    record("correction", "2026-03-04", {"of": wrong.id, "action": "withdraw", "reason": "wrong_machine"})
    assert folded(record).timings.get("boom_up", []) == []


def test_the_order_of_arrival_does_not_matter_and_a_state_comes_back_from_json() -> None:
    record = Recorder()
    record.meter("2026-01-01", 100)
    for day, seconds in ((1, "3.0"), (2, "3.3"), (3, "3.9")):
        cycle(record, f"2026-02-0{day}", seconds, oil=told(50, "c"))
    state = folded(record)
    assert fold(record.made[::-1], machine=MACHINE, sheets={}, oils={}) == state
    assert state_from_json(state_to_json(state)) == state
    compared = trend(state_from_json(state_to_json(state)).timings["boom_up"]).compared
    assert compared is not None
    assert compared.way == "more"


@pytest.mark.parametrize(
    ("body", "name"),
    [
        ({"what": "cycle"}, "body.time"),
        ({"what": "cycle", "time": told(0, "s")}, "body.time.value"),
        ({"what": "cycle", "time": told(3, "s"), "watched": told(3, "min")}, "body.watched"),
        ({"what": "drift", "moved": told(3, "mm")}, "body.watched"),
        ({"what": "drift", "watched": told(3, "min")}, "body.moved"),
        ({"what": "drift", "moved": told(3, "mm"), "watched": told(3, "min"), "runs": 2}, "body.runs"),
        ({"what": "cycle", "time": told(3, "s"), "runs": 0}, "body.runs"),
        ({"what": "glide", "time": told(3, "s")}, "body.what"),
        ({"what": "cycle", "time": told(4000, "s")}, "body.time.value"),
    ],
)
def test_a_body_that_contradicts_itself_is_refused_by_the_field_to_change(body: Body, name: str) -> None:
    with pytest.raises(Refused) as caught:
        Recorder()("function_timed", "2026-03-02", {"timing": "boom_up", **body})
    assert caught.value.name == name


def refused(record: Recorder, at: str, number: str, why: str = "too_long") -> Fact:
    return record("part_refused", at, {"place": "return.element", "number": number, "why": why})


def test_a_part_that_was_refused_is_remembered_and_forgotten_when_that_is_withdrawn() -> None:
    record = Recorder()
    refused(record, "2026-03-02", "ZZ-1")
    slip = refused(record, "2026-03-03", "YY-2")
    record("correction", "2026-03-04", {"of": slip.id, "action": "withdraw", "reason": "undo"})
    state = folded(record)
    assert state.remembered.found == [Reject("ZZ-1", "return.element", "2026-03-02", "too_long")]
    assert state_from_json(state_to_json(state)) == state


def test_a_snapshot_goes_on_to_find_wrong_what_was_fitted_before_it() -> None:
    record = Recorder()
    record("part_in", "2026-03-02", {"place": "return.element", "count": 1, "fresh": True, "number": "QQ-9"}, job=JOB)
    before = folded(record)
    found = record("finding", "2026-03-03", {"about": "return", "what": "wrong_part", "urgency": "before_next_work"})
    after = fold([found], machine=MACHINE, sheets={}, oils={}, start=before)
    assert after == folded(record)
    assert after.remembered.found == [Reject("QQ-9", "return.element", "2026-03-03")]
    assert before.remembered.found == []


def test_of_many_refused_parts_the_latest_are_kept() -> None:
    record = Recorder()
    for number in range(MOST_FOUND + 5):
        refused(record, "2026-03-02", f"A-{number}")
    found = folded(record).remembered.found
    assert (len(found), found[0].number, found[-1].number) == (MOST_FOUND, "A-5", f"A-{MOST_FOUND + 4}")
