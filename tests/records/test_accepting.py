"""Facts come in: stored, answered one by one, numbered in order, folded apart."""

from __future__ import annotations

import json
import uuid
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from coldmark.bench.facts import Fact as BenchFact
from coldmark.bench.facts import text_hash
from coldmark.bench.ledger import state_from_json
from coldmark.records import queries, services
from coldmark.records.errors import NotAllowed
from coldmark.records.models import Device, Fact, Machine, MachineState, Store
from coldmark.records.paperwork.report import report_of
from tests.records.house import House, Phone, h


def state(machine: str) -> MachineState:
    return MachineState.objects.get(machine_id=machine)


def test_a_fact_is_kept_unchanged_and_folded(house: House) -> None:
    fact = house.phone.meter(412)
    answer = house.phone.send(fact).answers[0]
    row = Fact.objects.get(id=fact.id)
    assert (answer.id, answer.answer, answer.why) == (fact.id, "kept", None)
    assert answer.arrival == row.arrival
    assert row.text == fact.text
    assert row.sha256 == text_hash(fact.text)
    assert row.brought_by == house.mechanic
    assert state(house.machine).hours == pytest.approx(412)
    assert not state(house.machine).stale


def test_sending_twice_changes_nothing(house: House) -> None:
    fact = house.phone.meter(412)
    first = house.phone.send(fact)
    snapshot = state(house.machine).snapshot
    second = house.phone.send(fact, fact)
    assert [answer.answer for answer in second.answers] == ["known", "known"]
    assert {answer.arrival for answer in (*first.answers, *second.answers)} == {first.answers[0].arrival}
    assert Fact.objects.filter(kind="meter_read").count() == 1
    assert state(house.machine).snapshot == snapshot


def test_twice_in_one_batch_is_once(house: House) -> None:
    fact = house.phone.meter(412)
    assert [answer.answer for answer in house.phone.send(fact, fact).answers] == ["kept", "known"]


def test_the_same_id_with_another_text_is_refused_and_the_first_stays(house: House) -> None:
    fact = house.phone.meter(412)
    house.phone.send(fact)
    forged = fact.text.replace('"412"', '"512"')
    answer = services.accept_facts(house.mechanic, [forged]).answers[0]
    assert answer.answer == "refused"
    assert fact.id in str(answer.why)
    assert Fact.objects.get(id=fact.id).text == fact.text


def test_a_bad_fact_is_refused_with_its_id_and_what_would_be_right_and_the_rest_is_kept(house: House) -> None:
    good, bad = house.phone.meter(412), house.phone.meter(413)
    told = json.loads(bad.text)
    told["body"]["way"] = "guessed"
    broken = json.dumps(told, separators=(",", ":"), ensure_ascii=False)
    answers = services.accept_facts(house.mechanic, [broken, good.text, "rubbish"]).answers
    assert [answer.answer for answer in answers] == ["refused", "kept", "refused"]
    assert answers[0].id == bad.id
    assert "way = guessed" in str(answers[0].why)
    assert answers[2].id == ""


def test_half_a_surrogate_pair_is_refused(house: House) -> None:
    text = house.phone.meter(412).text.replace('"kind":"meter_read"', '"kind":"some_day"')
    text = text.replace('"way":"seen"', '"way":"\ud800"')
    assert services.accept_facts(house.mechanic, [text]).answers[0].answer == "refused"


def test_an_unknown_kind_is_kept_and_flagged(house: House) -> None:
    text = house.phone.meter(412).text.replace('"kind":"meter_read"', '"kind":"noise_heard"')
    assert services.accept_facts(house.mechanic, [text]).answers[0].answer == "kept"
    assert state(house.machine).flags == 1


def test_arrivals_run_without_a_gap_and_refusals_take_none(house: House) -> None:
    store = Store.objects.get()
    texts = [house.phone.meter(400).text, "rubbish", house.phone.meter(401).text]
    answers = services.accept_facts(house.mechanic, texts).answers
    assert [answer.arrival for answer in answers] == [store.next_arrival, None, store.next_arrival + 1]


def test_a_machine_nobody_has_entered_is_met_by_its_facts(house: House) -> None:
    unknown = str(uuid.uuid4())
    house.phone.send(house.phone.meter(90, machine=unknown))
    row = Machine.objects.get(id=unknown)
    assert not row.known
    assert state(unknown).hours == pytest.approx(90)


def test_an_owner_cannot_record(house: House) -> None:
    with pytest.raises(NotAllowed):
        services.accept_facts(house.owner, [house.phone.meter(412).text])
    with pytest.raises(NotAllowed):
        services.record(house.owner, "task_done", house.machine, {"task": "hyd_500"})


def test_what_the_server_alone_records_is_refused_from_outside(house: House) -> None:
    fact = house.phone.fact(
        "clock_error", {"device": house.phone.device, "seconds": 4}, machine=house.phone.device, subject_type="device"
    )
    assert house.phone.send(fact).answers[0].answer == "refused"


def test_a_mechanic_cannot_join_machines_by_sending_the_fact(house: House) -> None:
    fact = house.phone.fact("machine_joined", {"other": house.other_machine})
    assert house.phone.send(fact).answers[0].answer == "refused"


def joined(house: House) -> str:
    """Two records joined into one by the office; the id of the fact."""
    return services.join_machines(house.office, house.machine, house.other_machine).id


def is_joined(house: House) -> bool:
    return MachineState.objects.get(machine=uuid.UUID(house.other_machine)).joined_into_id == uuid.UUID(house.machine)


def withdrawn(house: House, of: str) -> BenchFact:
    """What a mechanic's phone sends to withdraw a fact."""
    return house.phone.fact("correction", {"of": of, "action": "withdraw", "reason": "other"}, at=house.days(1))


def test_what_the_office_joined_a_mechanic_does_not_part_by_a_correction(house: House) -> None:
    of = joined(house)
    with pytest.raises(NotAllowed):
        services.correct(house.mechanic, of, "withdraw", "wrong_machine")
    answer = house.phone.send(withdrawn(house, of)).answers[0]
    assert answer.answer == "refused"
    assert answer.why == "machine_joined is not open to the role of mechanic; ask the office."
    assert is_joined(house)
    services.correct(house.office, of, "withdraw", "wrong_machine")
    assert not is_joined(house)


def test_nor_does_he_undo_what_the_office_corrected_of_it(house: House) -> None:
    parted = services.correct(house.office, joined(house), "withdraw", "wrong_machine").id
    with pytest.raises(NotAllowed):
        services.correct(house.mechanic, parted, "withdraw", "undo")
    assert house.phone.send(withdrawn(house, parted)).answers[0].answer == "refused"
    assert not is_joined(house)
    again = services.correct(house.office, parted, "withdraw", "undo").id
    assert is_joined(house)
    assert house.phone.send(withdrawn(house, again)).answers[0].answer == "refused"
    assert is_joined(house)


def test_a_correction_of_what_the_server_records_is_refused_from_everybody(house: House) -> None:
    house.phone.send(house.phone.meter(400), now=house.days(0))
    house.phone.send(device_now=house.days(1) + timedelta(hours=1), now=house.days(1))
    clock = Fact.objects.filter(kind="clock_error").latest("arrival")
    body = {"of": str(clock.id), "action": "withdraw", "reason": "other"}
    for person in (house.mechanic, house.office):
        phone = Phone(person, house.machine)
        answer = phone.send(phone.fact("correction", body)).answers[0]
        assert (answer.answer, answer.why) == ("refused", "clock_error is recorded by the server alone.")


def test_corrections_in_a_circle_and_of_what_is_not_here_are_kept_for_what_they_are(house: House) -> None:
    nowhere = str(uuid.uuid4())
    first = withdrawn(house, nowhere)
    second = withdrawn(house, first.id)
    texts = [first.text.replace(nowhere, second.id), second.text]
    for answer in services.accept_facts(house.mechanic, texts).answers:
        assert answer.answer == "kept"
    assert house.phone.send(withdrawn(house, first.id), withdrawn(house, nowhere)).answers[0].answer == "kept"


def test_a_device_never_seen_is_met_and_its_running_number_remembered(house: House) -> None:
    house.phone.send(house.phone.meter(400), house.phone.meter(401))
    row = Device.objects.get(id=house.phone.device)
    assert (row.person, row.last_number) == (house.mechanic, 2)
    assert services.device_of(house.mechanic, house.phone.device).next_number == 3


def test_a_revoked_devices_facts_are_kept_but_held_apart_until_the_office_lets_them_in(house: House) -> None:
    house.phone.send(house.phone.meter(400))
    services.revoke_device(house.mechanic, house.phone.device)
    late = house.phone.meter(450, at=house.days(9))
    assert house.phone.send(late).answers[0].answer == "kept"
    assert Fact.objects.get(id=late.id).held_apart
    assert state(house.machine).hours == pytest.approx(400)
    assert [e.fact for e in queries.story(house.office, house.machine).entries if e.held] == [late.id]
    assert late.id not in {e.fact for e in queries.story(house.owner, house.machine).entries}
    with pytest.raises(NotAllowed):
        services.admit_held(house.mechanic, house.phone.device)
    assert services.admit_held(house.office, house.phone.device) == 1
    assert state(house.machine).hours == pytest.approx(450)


def test_a_fold_that_fails_marks_the_machine_stale_and_loses_nothing(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    from coldmark.records.services import folding

    def broken(*_args: object, **_more: object) -> None:
        raise RuntimeError("no fold today")

    fact = house.phone.meter(412)
    with monkeypatch.context() as patch:
        patch.setattr(folding, "fold", broken)
        assert house.phone.send(fact).answers[0].answer == "kept"
    row = state(house.machine)
    assert row.stale
    assert "no fold today" in row.trouble
    assert services.refresh_stale().failed == ()
    row = state(house.machine)
    assert (row.stale, row.trouble) == (False, "")
    assert row.hours == pytest.approx(412)


def test_facts_can_be_stored_first_and_folded_later(house: House) -> None:
    house.phone.send(house.phone.meter(412), fold=False)
    assert state(house.machine).stale
    services.refresh_stale()
    assert state(house.machine).hours == pytest.approx(412)


def test_a_wrong_clock_is_recorded_as_a_fact_and_sets_right_only_what_was_recorded_since(house: House) -> None:
    phone = house.phone
    early = phone.meter(400, at=house.days(0))
    phone.send(early, device_now=house.days(0.1), now=house.days(0.1))
    ahead = timedelta(hours=5)
    late = phone.meter(420, at=house.days(2) + ahead)
    phone.send(late, device_now=house.days(2.1) + ahead, now=house.days(2.1))
    points = state_from_json(state(house.machine).snapshot).meter.points
    assert [point.at_ms for point in points] == [
        early.at_ms,
        late.at_ms - ahead // timedelta(milliseconds=1),
    ]
    assert Fact.objects.filter(kind="clock_error").count() == 2
    phone.send(phone.meter(421, at=house.days(3) + ahead), device_now=house.days(3) + ahead, now=house.days(3))
    assert Fact.objects.filter(kind="clock_error").count() == 2


def test_a_fact_made_on_the_server_is_by_the_offices_device_and_safe_to_repeat(house: House) -> None:
    first = services.record(house.office, "meter_read", house.machine, {"reading": h(77), "way": "told"})
    again = services.record(house.office, "meter_read", house.machine, {"reading": h(99), "way": "told"}, id=first.id)
    assert again == first
    row = Fact.objects.get(id=first.id)
    assert row.device == Store.objects.get().office_device


def test_a_batch_takes_a_number_of_queries_that_does_not_grow_with_it(house: House) -> None:
    def queries(count: int, first_day: int) -> int:
        phone = Phone(house.mechanic, house.machine)
        phone.send(phone.meter(first_day, at=house.days(first_day)))
        facts = [phone.meter(first_day + i, at=house.days(first_day + i)) for i in range(1, count + 1)]
        with CaptureQueriesContext(connection) as captured:
            phone.send(*facts)
        return len(captured)

    assert queries(3, 10) == queries(60, 100)


@pytest.mark.parametrize("name", ["at", "recorded"])
@pytest.mark.parametrize(
    "moment", ["0001-01-01T00:00:00+14:00", "1899-12-31T23:59:59+00:00", "9999-12-31T23:59:59-14:00"]
)
def test_a_moment_at_the_end_of_the_calendar_is_refused_and_the_rest_of_the_batch_is_kept(
    house: House, name: str, moment: str
) -> None:
    good, told = house.phone.meter(412), json.loads(house.phone.meter(413).text)
    odd = json.dumps({**told, name: moment}, separators=(",", ":"), ensure_ascii=False)
    refused, kept = services.accept_facts(house.mechanic, [odd, good.text]).answers
    assert (refused.answer, kept.answer) == ("refused", "kept")
    assert f"{name} = {moment}" in str(refused.why)


@pytest.mark.parametrize(("kind", "version"), [("noise_heard", 1), ("finding", 7), ("photo", 7), ("signature", 7)])
@pytest.mark.parametrize("value", [7, None, [7], [["x"]], {"a": 1}, "x" * 64])
def test_a_fact_of_a_newer_version_stops_neither_a_page_nor_a_report(
    house: House, kind: str, version: int, value: object
) -> None:
    job = services.open_job(house.mechanic, house.machine, ("hyd_500",), at=house.days(1), now=house.days(1)).job
    told = json.loads(house.phone.meter(412, at=house.days(1), job=job).text)
    names = ("photo", "photos", "note", "advice", "strokes", "name", "about", "what")
    told |= {"kind": kind, "version": version, "body": dict.fromkeys(names, value)}
    text = json.dumps(told, separators=(",", ":"), ensure_ascii=False)
    assert services.accept_facts(house.mechanic, [text]).answers[0].answer == "kept"
    entry = next(one for one in queries.story(house.mechanic, house.machine).entries if one.fact == told["id"])
    assert (entry.known, entry.body, entry.photos, entry.texts) == (False, {}, (), {})
    assert entry in queries.job_page(house.mechanic, job).entries
    assert told["id"] in report_of(house.mechanic, job, number="2026-00001").facts
