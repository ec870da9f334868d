"""The fold: the same state in any order of arrival, each fact once, corrections applied, nothing lost."""

from __future__ import annotations

import json
from dataclasses import fields, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldmark.bench import words
from coldmark.bench.facts import KINDS, Fact, parse
from coldmark.bench.ledger import (
    RefoldNeeded,
    State,
    effective,
    fold,
    key_of,
    parts_from_json,
    resolve,
    state_from_json,
    state_to_json,
)
from coldmark.bench.ledger.fold import HANDLERS, WITHOUT_EFFECT
from tests.bench.recorder import DEVICE, JOB, MACHINE, OTHER_DEVICE, Recorder, hours, litres, uuid
from tests.bench.sheets import SHEET, sheet, task
from tests.bench.write_holding import GOLDEN_HOLDING, cases

SHEETS = {SHEET: sheet(task("hyd_500"), task("hyd_1000", 1000.0, includes=("hyd_500",)))}


def folded(record: Recorder, *, start: State | None = None) -> State:
    return fold(record.made, machine=MACHINE, sheets=SHEETS, oils={}, start=start)


def says(state: State) -> list[str]:
    return [flag.says for flag in state.flags]


def withdraw(record: Recorder, fact: Fact, at: str) -> Fact:
    return record("correction", at, {"of": fact.id, "action": "withdraw", "reason": "undo"})


def replaced(record: Recorder, fact: Fact, at: str, body: dict[str, object]) -> Fact:
    return record("correction", at, {"of": fact.id, "action": "replace", "reason": "mistyped", "body": body})


def story() -> Recorder:
    """A machine's first year: reads, jobs, oil, a swapped meter, findings, corrections, an unknown kind."""
    record = Recorder()
    record("sheet_assigned", "2025-01-02", {"sheet": SHEET})
    record("handed_over", "2025-01-02", {"day": "2025-01-02"})
    record("owner_changed", "2025-01-02", {"customer": uuid(0xC1)})
    record.meter("2025-01-20", "60")
    record.meter("2025-02-20", "180.5")
    wrong = record.meter("2025-03-20", "2950")
    replaced(record, wrong, "2025-03-21", {"reading": hours("295"), "way": "seen"})
    record("job_opened", "2025-06-01T08:00:00", {"tasks": ["hyd_500"]}, job=JOB)
    record("meter_read", "2025-06-01T08:05:00", {"reading": hours("530"), "way": "seen"}, job=JOB)
    record("level_read", "2025-06-01T08:10:00", level("0.3"), job=JOB)
    record("part_out", "2025-06-01T08:20:00", part_out("return.element"), job=JOB)
    record("part_in", "2025-06-01T08:30:00", {"place": "return.element", "count": 1, "fresh": True}, job=JOB)
    record("oil_moved", "2025-06-01T08:40:00", moved("top_up", "2", oil="valley_46"), job=JOB)
    record.done("2025-06-01T08:50:00", "hyd_500", job=JOB)
    found = record("finding", "2025-06-01T08:55:00", leak(), job=JOB)
    skipped = record("step_skipped", "2025-06-01T08:56:00", {"step": "a.b", "reason": "other"}, job=JOB)
    withdraw(record, skipped, "2025-06-01T08:57:00")
    record("signature", "2025-06-01T09:00:00", {"by": "owner", "strokes": "0" * 64}, job=JOB)
    record("job_closed", "2025-06-01T09:01:00", {"facts": []}, job=JOB)
    record("finding_settled", "2025-07-01", {"finding": found.id})
    record("meter_swapped", "2025-08-01", {"old_last": hours("700"), "new_first": hours("0")})
    record.meter("2025-09-01", "110")
    record("option_fitted", "2025-09-02", {"option": "breaker", "fitted": True})
    span = {"hours": hours("30"), "from_day": "2025-09-02", "to_day": "2025-10-01"}
    record("breaker_hours_told", "2025-10-02", span)
    record("clock_error", "2025-10-03", {"device": DEVICE, "seconds": 90}, subject_type="device")
    record.made.append(unknown(record))
    return record


def level(reading: str, **more: object) -> dict[str, object]:
    return {"compartment": "hydraulic", "moment": "found", "reading": reading, "engine": "stopped", **more}


def moved(way: str, amount: str, **more: object) -> dict[str, object]:
    return {"compartment": "hydraulic", "way": way, "litres": litres(amount), **more}


def part_out(place: str, state: str = "as_expected") -> dict[str, object]:
    return {"place": place, "count": 1, "state": state}


def leak() -> dict[str, object]:
    return {"about": "boom_hose", "what": "leak", "urgency": "plan_for_it", "cost_low": 80, "cost_high": 120}


def unknown(record: Recorder) -> Fact:
    like = json.loads(record.meter("2025-11-01", "150").text)
    record.made.pop()
    return parse(json.dumps(like | {"kind": "tyre_pressure_read"}, separators=(",", ":")))


# laws


@settings(max_examples=60)
@given(st.randoms(use_true_random=False))
def test_the_order_of_arrival_does_not_matter_and_twice_is_once(random: object) -> None:
    record = story()
    expected = folded(record)
    shuffled = record.made + record.made[::3]
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    assert fold(shuffled, machine=MACHINE, sheets=SHEETS, oils={}) == expected
    assert [fact.id for fact in effective(shuffled)] == [fact.id for fact in effective(record.made)]


@given(st.integers(0, 40))
def test_going_on_from_a_snapshot_gives_the_same_state_or_asks_for_all(cut: int) -> None:
    record = story()
    ordered = sorted(resolve(record.made).facts + list_of_withdrawn(record), key=key_of)
    by_id = {fact.id: fact for fact in record.made}
    ordered = [by_id[fact.id] for fact in ordered]
    before = fold(ordered[:cut], machine=MACHINE, sheets=SHEETS, oils={})
    kept = state_to_json(before)
    try:
        after = fold(ordered[cut:], machine=MACHINE, sheets=SHEETS, oils={}, start=state_from_json(kept))
    except RefoldNeeded:
        needed = any(fact.kind in ("correction", "clock_error") for fact in ordered[cut:])
        assert needed
    else:
        assert replace(after, flags=[]) == replace(folded(record), flags=[])
        assert sorted(says(after)) == sorted(says(folded(record)))
    assert state_to_json(before) == kept


def list_of_withdrawn(record: Recorder) -> list[Fact]:
    return [fact for fact, _ in resolve(record.made).withdrawn.values()]


def test_a_snapshot_takes_up_later_facts_without_all_the_others() -> None:
    record = Recorder()
    record("sheet_assigned", "2025-01-02", {"sheet": SHEET})
    record.meter("2025-01-20", "60")
    start = folded(record)
    later = Recorder(number=record.number)
    later.meter("2025-02-20", "180")
    later.done("2025-02-20", "hyd_500")
    both = Recorder(made=record.made + later.made)
    assert folded(later, start=start) == folded(both)


def test_the_state_goes_through_json_unchanged() -> None:
    state = folded(story())
    assert state_from_json(state_to_json(state)) == state
    assert state_to_json(state_from_json(state_to_json(state))) == state_to_json(state)
    told = parts_from_json(state_to_json(state), *(field.name for field in fields(State)))
    assert State(**told) == state, "the parts are those of the whole"


def test_every_kind_has_its_place_in_the_fold() -> None:
    assert set(HANDLERS) | WITHOUT_EFFECT == set(KINDS)
    assert not set(HANDLERS) & WITHOUT_EFFECT


def test_every_flag_has_its_sentence() -> None:
    state = folded(story())
    assert says(state) == ["flag.unknown_kind"]
    for flag in state.flags:
        assert words.sentence(flag.says, units="metric", **flag.values)


# order, clock errors


def test_last_weeks_paper_card_typed_today_stands_last_week() -> None:
    record = Recorder()
    record.meter("2025-03-10", "120")
    record("meter_read", "2025-03-03", {"reading": hours("100"), "way": "told"}, recorded="2025-03-10T18:00:00")
    assert [point.hours for point in folded(record).meter.points] == [100, 120]


def test_a_devices_clock_error_is_taken_off_the_moments_that_its_clock_gave() -> None:
    record = Recorder()
    record.meter("2025-03-10T10:00:00", "120")
    fast = Recorder(device=OTHER_DEVICE)
    ahead = fast.meter("2025-03-10T11:00:00", "110")
    by_hand = fast("task_done", "2025-03-09T09:00:00", {"task": "hyd_500"}, recorded="2025-03-10T11:05:00")
    server = Recorder(device=uuid(0xD9))
    server("clock_error", "2025-03-10T09:10:00", {"device": OTHER_DEVICE, "seconds": 7200}, subject_type="device")
    facts = effective(record.made + fast.made + server.made)
    moments = {fact.id: fact.at for fact in facts}
    assert moments[ahead.id] == "2025-03-10T09:00:00+00:00"
    assert moments[by_hand.id] == by_hand.at
    own = [fact.kind for fact in facts if fact.subject == MACHINE]
    assert own == ["task_done", "meter_read", "meter_read"]
    assert next(fact for fact in facts if fact.id == ahead.id).text == ahead.text


def test_each_sync_measures_the_error_of_what_it_brought() -> None:
    phone, server = Recorder(), Recorder(device=uuid(0xD9))
    first = phone.meter("2025-03-10T10:01:00", "100")
    second = phone.meter("2025-03-12T10:10:00", "110")
    last = phone.meter("2025-03-20T10:10:00", "140")
    for at, seconds in (("2025-03-10T10:05:00", 60), ("2025-03-12T10:05:00", 600)):
        server("clock_error", at, {"device": DEVICE, "seconds": seconds}, subject_type="device")
    moments = {fact.id: fact.at[11:16] for fact in effective(phone.made + server.made)}
    assert [moments[fact.id] for fact in (first, second, last)] == ["10:00", "10:00", "10:00"]


def test_a_clock_error_measured_later_asks_for_all_facts() -> None:
    record = Recorder()
    record.meter("2025-03-10", "120")
    start = folded(record)
    server = Recorder(device=uuid(0xD9))
    server("clock_error", "2025-03-11", {"device": DEVICE, "seconds": 60}, subject_type="device")
    with pytest.raises(RefoldNeeded):
        folded(server, start=start)
    right = Recorder(device=uuid(0xD9))
    right("clock_error", "2025-03-11", {"device": DEVICE, "seconds": 0}, subject_type="device")
    assert folded(right, start=start).meter == start.meter


def test_an_earlier_fact_asks_for_all_facts() -> None:
    record = Recorder()
    record.meter("2025-03-10", "120")
    start = folded(record)
    late = Recorder(device=OTHER_DEVICE)
    late.meter("2025-03-01", "100")
    with pytest.raises(RefoldNeeded, match="fold all its facts anew"):
        folded(late, start=start)
    with pytest.raises(RefoldNeeded, match="not of"):
        fold([], machine=uuid(0xA9), sheets={}, oils={}, start=start)


def test_two_texts_under_one_id_are_flagged_and_the_order_of_arrival_does_not_decide() -> None:
    record = Recorder()
    one = record.meter("2025-03-10", "120")
    other = parse(one.text.replace('"120"', '"130"'))
    for facts in ([one, other], [other, one]):
        state = fold(facts, machine=MACHINE, sheets={}, oils={})
        assert [point.hours for point in state.meter.points] == [120]
        assert says(state) == ["flag.id_twice"]


# corrections


def test_a_withdrawn_fact_is_gone_and_both_versions_are_shown() -> None:
    record = Recorder()
    one = record.meter("2025-03-10", "120")
    correction = withdraw(record, one, "2025-03-10T09:00:00")
    assert folded(record).meter.points == []
    assert resolve(record.made).withdrawn == {one.id: (one, correction)}


def test_of_several_corrections_the_latest_in_the_order_wins() -> None:
    record = Recorder()
    one = record.meter("2025-03-10", "120")
    later = replaced(record, one, "2025-03-12", {"reading": hours("122"), "way": "seen"})
    replaced(record, one, "2025-03-11", {"reading": hours("121"), "way": "seen"})
    assert [point.hours for point in folded(record).meter.points] == [122]
    assert resolve(record.made).replaced == {one.id: (one, later)}


def test_undoing_a_correction_brings_the_fact_back() -> None:
    record = Recorder()
    one = record.meter("2025-03-10", "120")
    gone = withdraw(record, one, "2025-03-11")
    withdraw(record, gone, "2025-03-12")
    found = resolve(record.made)
    assert [point.hours for point in folded(record).meter.points] == [120]
    assert set(found.withdrawn) == {gone.id}


def test_a_correction_can_be_replaced_itself() -> None:
    record = Recorder()
    one = record.meter("2025-03-10", "120")
    first = replaced(record, one, "2025-03-11", {"reading": hours("1121"), "way": "seen"})
    better = {"of": one.id, "action": "replace", "reason": "mistyped"}
    replaced(record, first, "2025-03-12", better | {"body": {"reading": hours("121"), "way": "seen"}})
    assert [point.hours for point in folded(record).meter.points] == [121]


def test_a_correction_whose_body_cannot_be_read_leaves_the_fact_and_is_flagged() -> None:
    record = Recorder()
    one = record.meter("2025-03-10", "120")
    replaced(record, one, "2025-03-11", {"reading": "121", "way": "seen"})
    body = {"reading": hours("121"), "way": "seen"}
    correction = {"of": one.id, "action": "replace", "reason": "other", "version": 9}
    record("correction", "2025-03-10T09:00:00", correction | {"body": body})
    state = folded(record)
    assert [point.hours for point in state.meter.points] == [120]
    assert says(state) == ["flag.correction_unreadable"]
    assert "body.reading" in state.flags[0].values["why"]


def test_corrections_that_speak_of_nothing_here_or_of_themselves_are_flagged() -> None:
    record = Recorder()
    correction = {"of": uuid(0x77), "action": "withdraw", "reason": "undo"}
    record("correction", "2025-03-11", correction)
    own = json.loads(record("correction", "2025-03-12", correction).text)
    record.made[-1] = parse(json.dumps(own | {"body": correction | {"of": own["id"]}}, separators=(",", ":")))
    state = folded(record)
    assert sorted(says(state)) == ["flag.corrects_itself", "flag.corrects_nothing"]
    assert state.waiting == [uuid(0x77)]


def test_a_fact_that_a_folded_correction_waited_for_asks_for_all_facts() -> None:
    record = Recorder()
    one = record.meter("2025-03-20", "120")
    correction = withdraw(record, one, "2025-03-11")
    start = fold([correction], machine=MACHINE, sheets={}, oils={})
    with pytest.raises(RefoldNeeded):
        fold([one], machine=MACHINE, sheets={}, oils={}, start=start)


def test_a_correction_of_a_folded_fact_asks_for_all_facts() -> None:
    record = Recorder()
    one = record.meter("2025-03-10", "120")
    start = folded(record)
    correction = withdraw(record, one, "2025-03-11")
    with pytest.raises(RefoldNeeded):
        fold([correction], machine=MACHINE, sheets={}, oils={}, start=start)


# what does not fit


def test_a_stored_body_that_cannot_be_read_is_flagged_and_kept() -> None:
    record = Recorder()
    text = record.meter("2025-03-10", "120").text.replace('"way":"seen"', '"way":"guessed"')
    state = fold([parse(text, stored=True)], machine=MACHINE, sheets={}, oils={})
    assert says(state) == ["flag.unreadable"]
    assert state.count == 1


def test_a_correction_repairs_a_body_that_cannot_be_read() -> None:
    record = Recorder()
    one = record.meter("2025-03-10", "120")
    text = one.text.replace('"way":"seen"', '"way":"guessed"')
    replaced(record, one, "2025-03-11", {"reading": hours("121"), "way": "seen"})
    state = fold([parse(text, stored=True), record.made[-1]], machine=MACHINE, sheets={}, oils={})
    assert [point.hours for point in state.meter.points] == [121]
    assert says(state) == []


def test_facts_about_another_machine_are_flagged_and_do_not_count() -> None:
    other = Recorder(machine=uuid(0xA7))
    other.meter("2025-03-10", "120")
    state = folded(other)
    assert says(state) == ["flag.other_machine"]
    assert state.meter.points == []


def test_facts_of_a_joined_record_count_as_the_machines_own() -> None:
    own, other = Recorder(), Recorder(machine=uuid(0xA7), device=OTHER_DEVICE)
    third = Recorder(machine=uuid(0xA8), device=uuid(0xD3))
    other.meter("2025-03-10", "120")
    third.meter("2025-04-10", "150")
    other("machine_joined", "2025-03-11", {"other": uuid(0xA8)})
    start = folded(own)
    own("machine_joined", "2025-05-01", {"other": uuid(0xA7)})
    state = fold(own.made + other.made + third.made, machine=MACHINE, sheets={}, oils={})
    assert [point.hours for point in state.meter.points] == [120, 150]
    assert sorted(state.joined) == [uuid(0xA7), uuid(0xA8)]
    with pytest.raises(RefoldNeeded):
        folded(own, start=start)


def test_facts_about_visits_vans_and_devices_do_not_touch_a_machine() -> None:
    record = Recorder()
    record("clock_on", "2025-03-10", {"work": "travel"}, subject_type="visit", subject=uuid(0xB1))
    assert folded(record) == State(MACHINE)


def test_the_golden_cases_of_what_holds_are_the_benchs() -> None:
    """The phone decides it too: its tests are held to the same file."""
    golden = json.loads(GOLDEN_HOLDING.read_text(encoding="utf-8"))
    assert golden == json.loads(json.dumps(cases())), "stale: run `python -m tests.bench.write_holding`"
