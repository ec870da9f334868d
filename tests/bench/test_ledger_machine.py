"""What the fold knows of a machine: meter, tasks, oils, levels, parts, findings, jobs."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import clocks
from coldmark.bench.facts import Fact
from coldmark.bench.ledger import OilPart, State, fold, state_from_json, state_to_json
from tests.bench.recorder import JOB, MACHINE, Recorder, hours, litres, uuid
from tests.bench.sheets import SHEET, sheet, task

TASKS = (
    task("hyd_500"),
    task("hyd_1000", 1000.0, includes=("hyd_500",)),
    task("engine_250", 250.0, counts_from="last_done"),
)


def begun() -> Recorder:
    record = Recorder()
    record("sheet_assigned", "2025-01-01", {"sheet": SHEET})
    record("handed_over", "2025-01-01", {"day": "2025-01-01"})
    return record


def folded(record: Recorder, system_l: float | None = 100.0) -> State:
    sheets = {SHEET: sheet(*TASKS, system_l=system_l)}
    return fold(record.made, machine=MACHINE, sheets=sheets, oils={})


def says(state: State) -> list[str]:
    return [flag.says for flag in state.flags]


def swap(record: Recorder, at: str, new_first: object = 0, old_last: object = None) -> Fact:
    old = {} if old_last is None else {"old_last": hours(old_last)}
    return record("meter_swapped", at, {"new_first": hours(new_first), **old})


# the meter


def test_hours_go_on_through_a_swapped_meter() -> None:
    record = begun()
    record.meter("2025-03-01", 240)
    swap(record, "2025-04-01", 12, 360)
    record.meter("2025-05-01", 132)
    state = folded(record)
    assert [point.hours for point in state.meter.points] == [240, 360, 480]
    assert (state.meter.offset_h, state.meter.swaps) == (348, 1)
    assert clocks.due(TASKS[0], state, sheet(*TASKS)).due_h == 500


def test_a_swap_of_which_nobody_noted_the_old_hours_is_estimated_with_its_spread() -> None:
    record = begun()
    record.meter("2025-02-10", 160)
    record.meter("2025-03-22", 320)
    swap(record, "2025-04-11")
    record.meter("2025-05-01", 80)
    state = folded(record)
    assert state.meter.points[-1].hours == pytest.approx(480, abs=1)
    assert state.meter.points[-1].spread_h == pytest.approx(12, abs=1)


def test_a_swap_below_the_last_read_is_flagged_and_estimated() -> None:
    record = begun()
    record.meter("2025-02-10", 160)
    record.meter("2025-03-22", 320)
    swap(record, "2025-03-22T10:00:00", 0, 300)
    state = folded(record)
    assert says(state) == ["flag.meter_back"]
    assert state.meter.points[-1].hours == 320


def test_a_swap_before_any_read_says_that_the_hours_before_are_not_known() -> None:
    record = Recorder()
    swap(record, "2025-03-22", 5)
    state = folded(record)
    assert "flag.meter_swap_from_unknown" in says(state)
    assert state.meter.points[-1].hours == 5


def test_a_dead_meters_readings_are_kept_and_not_used_until_a_new_one_is_fitted() -> None:
    record = begun()
    record.meter("2025-02-10", 160)
    record.meter("2025-03-22", 320)
    record.meter("2025-04-20", 330)
    record("meter_stopped", "2025-04-21", {"since": "2025-04-01"})
    record.meter("2025-05-01", 330)
    dead = folded(record)
    assert [point.doubt for point in dead.meter.points] == [None, None, "standing", "standing"]
    assert clocks.hours_at(dead, date(2025, 5, 1)).how == "carried_on"
    swap(record, "2025-05-11", 0, 330)
    record.meter("2025-05-21", 40)
    state = folded(record)
    assert state.meter.dead_since is None
    # at 330 h on 1 April, then 40 days at about 4 h a day, then 40 h on the new meter
    assert state.meter.points[-1].hours == pytest.approx(330 + 160 + 40, abs=8)
    assert state.meter.points[-1].spread_h > 10


def test_a_mistyped_reading_is_kept_flagged_and_not_used() -> None:
    record = begun()
    record.meter("2025-02-10", 160)
    record.meter("2025-02-20", 2000)
    record.meter("2025-03-02", 240)
    record.meter("2025-03-12", 28)
    state = folded(record)
    assert [point.doubt for point in state.meter.points] == [None, "too_fast", None, "back"]
    assert says(state) == ["flag.meter_too_fast", "flag.meter_back"]


def test_a_reading_that_was_asked_and_kept_is_believed_before_the_earlier_ones() -> None:
    record = begun()
    record.meter("2025-02-10", 160)
    record.meter("2025-02-20", 350)
    record.meter("2025-03-02", 240, doubt="back")
    record.meter("2025-03-03", 270, doubt="too_fast")
    state = folded(record)
    assert [point.doubt for point in state.meter.points] == [None, "back", None, None]
    assert says(state) == ["flag.meter_earlier_doubted"]


def test_a_machine_that_stood_is_not_doubted() -> None:
    record = begun()
    record.meter("2025-02-10", 160)
    record.meter("2025-03-22", 320)
    record.meter("2025-06-22", 320)
    assert [point.doubt for point in folded(record).meter.points] == [None, None, None]


# tasks


def test_a_task_resets_only_when_it_was_done_not_by_its_steps() -> None:
    record = begun()
    record.meter("2025-05-01", 480)
    record("job_opened", "2025-05-01", {"tasks": ["hyd_500"]}, job=JOB)
    record("step_done", "2025-05-01", {"step": "hyd_500.cover_on"}, job=JOB)
    assert folded(record).tasks == {}
    record.done("2025-05-01", "hyd_500", job=JOB)
    done = folded(record).tasks["hyd_500"]
    assert (done.hours, done.grid_h, done.day, done.times) == (480, 480, "2025-05-01", 1)


def test_a_task_done_late_inside_its_tolerance_keeps_the_grid() -> None:
    record = begun()
    record.meter("2025-05-01", 530)
    record.done("2025-05-01", "hyd_500")
    state = folded(record)
    assert state.tasks["hyd_500"].grid_h == 500
    assert clocks.due(TASKS[0], state, sheet(*TASKS)).due_h == 1000


def test_included_tasks_are_done_with_the_longer_one_and_take_its_grid() -> None:
    record = begun()
    record.meter("2025-05-01", 440)
    record.done("2025-05-01", "hyd_500")
    record.meter("2025-09-01", 1030)
    record.done("2025-09-01", "hyd_1000")
    state = folded(record)
    short, long = state.tasks["hyd_500"], state.tasks["hyd_1000"]
    assert (short.grid_h, short.hours, short.with_task, short.times) == (1000, 1030, "hyd_1000", 2)
    assert (long.grid_h, long.times) == (1000, 1)


@pytest.mark.parametrize("order", [("hyd_500", "hyd_1000"), ("hyd_1000", "hyd_500")])
def test_both_ticked_in_one_job_is_one_doing(order: tuple[str, str]) -> None:
    record = begun()
    record.meter("2025-09-01T07:00:00", 1030)
    for minute, key in enumerate(order):
        record.done(f"2025-09-01T08:0{minute}:00", key, job=JOB)
    short = folded(record).tasks["hyd_500"]
    assert (short.times, short.grid_h, short.with_task) == (1, 1000, "hyd_1000")


def test_a_task_ticked_twice_in_a_job_is_done_once() -> None:
    record = begun()
    record.meter("2025-05-01T07:00:00", 530)
    record.done("2025-05-01T08:00:00", "hyd_500", job=JOB)
    record.done("2025-05-01T09:00:00", "hyd_500", job=JOB)
    state = folded(record)
    assert (state.tasks["hyd_500"].times, state.tasks["hyd_500"].grid_h) == (1, 500)
    assert state.jobs[JOB].tasks_done == ["hyd_500"]


def test_a_meter_read_at_the_end_of_a_job_gives_the_hours_of_its_tasks() -> None:
    record = begun()
    record.meter("2025-02-10", 160)
    record.meter("2025-03-22", 320)
    record.done("2025-09-01T08:00:00", "hyd_1000", job=JOB)
    assert folded(record).tasks["hyd_1000"].estimated
    record("meter_read", "2025-09-01T09:00:00", {"reading": hours(1030), "way": "seen"}, job=JOB)
    state = folded(record)
    for key in ("hyd_1000", "hyd_500"):
        done = state.tasks[key]
        assert (done.hours, done.grid_h, done.estimated) == (1030, 1000, False)


def test_a_task_done_without_a_read_is_estimated_and_says_so() -> None:
    record = begun()
    record.meter("2025-02-10", 160)
    record.meter("2025-03-22", 320)
    record.done("2025-05-01", "engine_250")
    done = folded(record).tasks["engine_250"]
    assert done.hours == pytest.approx(480, abs=1)
    assert done.estimated
    assert done.spread_h > 10


def test_a_task_done_before_any_read_has_no_hours() -> None:
    record = Recorder()
    record.done("2025-05-01", "engine_250")
    assert folded(record).tasks["engine_250"].hours is None


def test_a_task_that_the_sheet_does_not_have_is_kept_and_flagged() -> None:
    record = begun()
    record.done("2025-05-01", "grease")
    state = folded(record)
    assert "grease" in state.tasks
    assert says(state) == ["flag.task_not_on_sheet"]


def test_without_the_sheet_tasks_are_kept_and_the_sheet_is_asked_for() -> None:
    record = begun()
    record.meter("2025-05-01", 530)
    record.done("2025-05-01", "hyd_500")
    state = fold(record.made, machine=MACHINE, sheets={}, oils={})
    assert says(state) == ["flag.sheet_not_here"]
    assert (state.tasks["hyd_500"].hours, state.tasks["hyd_500"].grid_h) == (530, None)


# oils


def pour(record: Recorder, at: str, way: str, amount: object, oil: str | None = None, key: str = "hydraulic") -> None:
    body = {"compartment": key, "way": way, "litres": litres(amount)}
    record("oil_moved", at, body if oil is None else body | {"oil": oil})


def shares(state: State, key: str = "hydraulic") -> dict[str | None, float]:
    return {part.oil: round(part.share, 6) for part in state.oils[key]}


def test_a_change_leaves_one_minus_drained_over_system() -> None:
    record = begun()
    pour(record, "2025-03-01", "drained", 60)
    pour(record, "2025-03-01", "fill", 60, "valley_46")
    state = folded(record)
    assert shares(state) == {"valley_46": 0.6, None: 0.4}
    pour(record, "2025-04-01", "drained", 60)
    pour(record, "2025-04-01", "fill", 60, "valley_46")
    assert shares(folded(record)) == {"valley_46": 0.84, None: 0.16}


def test_a_top_up_without_a_drain_makes_good_what_was_lost() -> None:
    record = begun()
    pour(record, "2025-03-01", "fill", 100, "valley_46")
    pour(record, "2025-04-01", "top_up", 5, "bio_46")
    assert shares(folded(record)) == {"valley_46": 0.95, "bio_46": 0.05}


def test_what_an_element_took_away_is_filled_up_first() -> None:
    record = begun()
    pour(record, "2025-03-01", "fill", 100, "valley_46")
    pour(record, "2025-04-01", "held_by_element", 2)
    pour(record, "2025-04-01", "spilt", 1)
    pour(record, "2025-04-01", "top_up", 3, "bio_46")
    state = folded(record)
    assert shares(state) == {"valley_46": 0.97, "bio_46": 0.03}
    assert state.drained_l["hydraulic"] == pytest.approx(0)
    assert [one.litres for one in state.pours["hydraulic"]] == [100, -2, -1, 3]


def test_drained_water_takes_no_oil_away() -> None:
    record = begun()
    pour(record, "2025-03-01", "fill", 100, "valley_46")
    pour(record, "2025-04-01", "water_drained", 10)
    state = folded(record)
    assert state.drained_l.get("hydraulic", 0.0) == 0
    assert state.pours["hydraulic"][-1].litres == -10


def test_oil_that_was_not_circulated_leaves_with_the_next_drain_and_is_kept_apart_until_then() -> None:
    record = begun()
    body = {"compartment": "hydraulic", "litres": litres(60)}
    record("oil_moved", "2025-03-01", body | {"way": "drained"})
    record("oil_moved", "2025-03-01", body | {"way": "fill", "oil": "valley_46", "circulated": False})
    state = folded(record)
    assert shares(state) == {"valley_46": 0.6, None: 0.4}
    assert [(part.oil, part.share) for part in state.unmixed["hydraulic"]] == [("valley_46", 0.6)]
    assert state_from_json(state_to_json(state)) == state
    record("oil_moved", "2025-03-01", body | {"way": "drained"})
    record("oil_moved", "2025-03-01", body | {"way": "fill", "oil": "bio_46", "circulated": True})
    state = folded(record)
    assert shares(state) == {"bio_46": 0.6, None: 0.4}
    assert state.unmixed == {}


def test_an_option_with_its_own_oil_makes_the_system_larger() -> None:
    record = begun()
    record("option_fitted", "2025-02-01", {"option": "breaker", "fitted": True})
    pour(record, "2025-03-01", "drained", 21)
    pour(record, "2025-03-01", "fill", 21, "valley_46")
    assert shares(folded(record)) == {"valley_46": 0.2, None: 0.8}


def test_another_compartment_has_its_own_capacity() -> None:
    record = begun()
    pour(record, "2025-03-01", "drained", 8, key="engine")
    pour(record, "2025-03-01", "fill", 8, "rim_10w30", key="engine")
    assert shares(folded(record), "engine") == {"rim_10w30": 1.0}


def test_without_the_systems_litres_the_shares_are_not_known() -> None:
    record = begun()
    pour(record, "2025-03-01", "fill", 8, "valley_46", key="winch")
    state = folded(record)
    assert state.oils["winch"] == [OilPart(None, 1.0)]
    assert says(state) == ["flag.compartment_not_on_sheet"]


OILS = st.sampled_from(["valley_46", "bio_46", None])
MOVES = st.lists(st.tuples(st.sampled_from(["fill", "top_up", "drained", "spilt"]), st.integers(0, 150), OILS))


@given(MOVES)
def test_shares_are_never_negative_and_make_one(moves: list[tuple[str, int, str | None]]) -> None:
    record = begun()
    for way, amount, oil in moves:
        pour(record, "2025-03-01", way, amount, oil)
    for parts in folded(record).oils.values():
        assert sum(part.share for part in parts) == pytest.approx(1, abs=1e-3)
        assert all(0 < part.share <= 1 + 1e-9 for part in parts)


# levels


def test_levels_are_kept_as_read_with_how_well_the_oils_warmth_is_known() -> None:
    record = begun()
    base = {"compartment": "hydraulic", "moment": "found", "reading": "0.35", "engine": "stopped"}
    celsius = {"value": "8", "unit": "c"}
    record("level_read", "2025-03-01", base | {"oil": celsius, "posture": "check", "settled_min": 10}, job=JOB)
    record("level_read", "2025-03-02", base | {"warmth": "as_the_air", "air": {"value": "50", "unit": "f"}})
    record("level_read", "2025-03-03", base | {"warmth": "as_the_air", "rods": {"boom": "0.5"}})
    record("level_read", "2025-03-04", base | {"reading": "above", "warmth": "too_hot_to_hold", "foam": True})
    first, second, third, fourth = folded(record).levels["hydraulic"]
    assert (first.reading, first.oil_c, first.oil_spread_k, first.posture, first.job) == (0.35, 8, 2, "check", JOB)
    assert second.oil_c == second.air_c == pytest.approx(10)
    assert second.oil_spread_k == pytest.approx(8)
    assert (third.oil_c, third.rods) == (None, {"boom": 0.5})
    assert (fourth.reading, fourth.foam) == ("above", True)
    assert fourth.oil_c is not None
    assert fourth.oil_c > 50


def test_the_latest_levels_are_kept() -> None:
    record = begun()
    for number in range(120):
        body = {"compartment": "hydraulic", "moment": "found", "reading": "0.5", "engine": "stopped"}
        record("level_read", f"2025-03-01T08:{number // 60:02d}:{number % 60:02d}", body)
    levels = folded(record).levels["hydraulic"]
    assert (len(levels), levels[-1].at) == (100, "2025-03-01T08:01:59+00:00")


def test_the_pours_of_an_open_job_are_all_kept_and_trimmed_when_it_closes() -> None:
    record = begun()
    record("job_opened", "2025-03-01T07:00:00", {"tasks": []}, job=JOB)
    for number in range(10):
        body = {"compartment": "hydraulic", "way": "top_up", "litres": litres(1)}
        record("oil_moved", f"2025-03-01T08:00:{number:02d}", body, job=JOB)
    for number in range(220):
        pour(record, f"2025-03-02T08:{number // 60:02d}:{number % 60:02d}", "top_up", 1)
    pours = folded(record).pours["hydraulic"]
    assert len(pours) == 210
    assert sum(one.job == JOB for one in pours) == 10
    record("job_closed", "2025-03-03", {"facts": []}, job=JOB)
    assert len(folded(record).pours["hydraulic"]) == 200


# parts, findings, jobs


def put(record: Recorder, at: str, *, fresh: bool, count: int = 1, **more: object) -> None:
    record("part_in", at, {"place": "return.element", "count": count, "fresh": fresh, **more}, job=JOB)


def test_a_new_element_is_fitted_from_now_on_and_named_by_the_sheets_stack() -> None:
    record = begun()
    record.meter("2025-05-01", 480)
    put(record, "2025-05-01T09:00:00", fresh=True)
    fitted = folded(record).fitted["return.element"]
    assert (fitted.part, fitted.number, fitted.hours) == ("return_element", "CM 48/210", 480)
    assert fitted.at.startswith("2025-05-01T09")


def test_an_element_put_back_keeps_its_age() -> None:
    record = begun()
    put(record, "2025-03-01", fresh=False)
    assert folded(record).fitted["return.element"].hours is None
    record.meter("2025-05-01", 480)
    put(record, "2025-05-01T09:00:00", fresh=True, number="X 9")
    put(record, "2025-07-01", fresh=False)
    fitted = folded(record).fitted["return.element"]
    assert (fitted.hours, fitted.number) == (480, "X 9")


def test_a_place_found_empty_or_left_empty_has_nothing_fitted() -> None:
    record = begun()
    put(record, "2025-03-01", fresh=True)
    record("part_out", "2025-04-01", {"place": "return.element", "count": 0, "state": "missing"}, job=JOB)
    assert folded(record).fitted == {}
    put(record, "2025-05-01", fresh=True)
    put(record, "2025-05-02", fresh=False, count=0)
    assert folded(record).fitted == {}


def test_findings_stay_open_until_they_are_settled() -> None:
    record = begun()
    body = {"about": "boom_hose", "what": "chafed_hose", "urgency": "plan_for_it", "photos": ["0" * 64]}
    first = record("finding", "2025-03-01", body, job=JOB)
    second = record("finding", "2025-03-02", body)
    record("finding_settled", "2025-04-01", {"finding": first.id})
    record("finding_settled", "2025-04-01", {"finding": uuid(0x99)})
    state = folded(record)
    assert state.findings[first.id].settled_at == "2025-04-01T08:00:00+00:00"
    assert state.findings[second.id].settled_by is None
    assert state.findings[first.id].photos == ["0" * 64]
    assert says(state) == ["flag.settles_nothing"]


def test_a_job_knows_what_was_done_skipped_opened_and_signed() -> None:
    record = begun()
    record("job_opened", "2025-03-01T08:00:00", {"tasks": ["hyd_500"], "visit": uuid(0xB1)}, job=JOB)
    record("job_opened", "2025-03-01T08:00:30", {"tasks": ["hyd_500", "engine_250"]}, job=JOB)
    record("step_skipped", "2025-03-01T08:01:00", {"step": "a", "reason": "tool_not_here"}, job=JOB)
    record("step_skipped", "2025-03-01T08:02:00", {"step": "b", "reason": "tool_not_here"}, job=JOB)
    record("step_done", "2025-03-01T08:03:00", {"step": "a"}, job=JOB)
    record("step_done", "2025-03-01T08:03:30", {"step": "a"}, job=JOB)
    record("gate_opened", "2025-03-01T08:04:00", {"gate": "g", "reason": "part_damaged"}, job=JOB)
    record("signature", "2025-03-01T08:05:00", {"by": "owner", "strokes": "0" * 64}, job=JOB)
    record("sample_taken", "2025-03-01T08:06:00", {"compartment": "hydraulic", "bottle": "B-1"}, job=JOB)
    state = folded(record)
    job = state.jobs[JOB]
    assert (job.done, job.skipped, job.gates, job.signed) == (
        ["a"],
        {"b": "tool_not_here"},
        {"g": "part_damaged"},
        ["owner"],
    )
    assert (job.tasks, job.visit, job.closed_at) == (["hyd_500", "engine_250"], uuid(0xB1), None)
    assert list(state.samples) == ["hydraulic"]


def test_open_jobs_are_all_kept_and_of_closed_ones_the_latest() -> None:
    record = begun()
    record("job_opened", "2025-03-01", {"tasks": []}, job=JOB)
    for number in range(60):
        job = uuid(0x5000 + number)
        record("job_opened", f"2025-03-02T08:{number:02d}:00", {"tasks": []}, job=job)
        record("job_closed", f"2025-03-02T08:{number:02d}:30", {"facts": []}, job=job)
    jobs = folded(record).jobs
    assert len(jobs) == 51
    assert JOB in jobs
    assert uuid(0x5000) not in jobs


def test_owners_follow_each_other() -> None:
    record = begun()
    for at, customer in (("2025-01-01", 0xC1), ("2025-02-01", 0xC1), ("2025-06-01", 0xC2)):
        record("owner_changed", at, {"customer": uuid(customer), "site": uuid(0xC9)})
    state = folded(record)
    assert (state.customer, state.site) == (uuid(0xC2), uuid(0xC9))
    assert [owner for _, owner in state.owners] == [uuid(0xC1), uuid(0xC2)]
