"""Facts stand where they happened and count for their own machine: clocks set right, corrections from elsewhere not."""

from __future__ import annotations

import uuid
from datetime import timedelta
from typing import Any

import pytest

from coldmark.bench.ledger import state_from_json
from coldmark.records import queries, services
from coldmark.records.errors import NotFound
from coldmark.records.models import Fact, JobRow, MachineState
from coldmark.records.queries.jobs import job_told
from tests.records.house import House, Phone
from tests.records.test_folding import content

AHEAD = timedelta(hours=5)


def a_wrong_clock(house: House) -> tuple[Any, Any, Any]:
    """Two phones on one machine, one of them five hours ahead since it was seen last; three readings in true order."""
    wrong, right = house.phone, Phone(house.mechanic, house.machine)
    early = wrong.meter(400)
    wrong.send(early, device_now=house.days(0.1), now=house.days(0.1))
    first = wrong.meter(420, at=house.days(2) + AHEAD)
    second = right.meter(421, at=house.days(2.1))
    right.send(second, device_now=house.days(2.1), now=house.days(2.1))
    wrong.send(first, device_now=house.days(2.2) + AHEAD, now=house.days(2.2))
    return early, first, second


def test_the_story_stands_in_the_order_of_the_fold_when_a_clock_was_wrong(house: House) -> None:
    early, first, second = a_wrong_clock(house)
    told = [entry for entry in queries.story(house.mechanic, house.machine).entries if entry.kind == "meter_read"]
    assert [entry.fact for entry in told] == [second.id, first.id, early.id]
    assert [entry.at for entry in told] == [house.days(2.1), house.days(2), house.days(0)]
    points = state_from_json(MachineState.objects.get(machine_id=house.machine).snapshot).meter.points
    assert [point.fact for point in points] == [early.id, first.id, second.id]


def test_what_the_same_phone_sends_later_stands_right_too(house: House) -> None:
    a_wrong_clock(house)
    later = house.phone.meter(430, at=house.days(3) + AHEAD)
    house.phone.send(later, device_now=house.days(3.1) + AHEAD, now=house.days(3.1))
    assert Fact.objects.get(id=later.id).at == house.days(3)


def test_a_measured_clock_reaches_every_machine_of_the_phone_and_a_rebuild_has_the_same(house: House) -> None:
    house.phone.send(house.phone.meter(90, machine=house.other_machine), now=house.days(0.05))
    a_wrong_clock(house)
    before, places = content(), set(Fact.objects.values_list("id", "at"))
    assert services.rebuild().failed == ()
    assert content() == before
    assert set(Fact.objects.values_list("id", "at")) == places


def test_a_rebuild_puts_rows_right_that_stood_elsewhere(house: House) -> None:
    _early, first, _second = a_wrong_clock(house)
    before = content()
    Fact.objects.filter(id=first.id).update(at=house.days(9))
    services.rebuild()
    assert Fact.objects.get(id=first.id).at == house.days(2)
    assert content() == before


def test_an_owners_time_is_held_against_when_it_happened_and_not_against_a_wrong_clock(house: House) -> None:
    _early, first, second = a_wrong_clock(house)
    services.move_machine(house.office, house.machine, house.other_customer, at=house.days(2.15))
    seen = {entry.fact for entry in queries.story(house.owner, house.machine).entries}
    assert {first.id, second.id} <= seen
    assert first.id not in {entry.fact for entry in queries.story(house.stranger, house.machine).entries}


def test_a_correction_sent_for_another_machines_fact_changes_neither_state_nor_story(house: House) -> None:
    fact = house.phone.meter(400)
    body = {"of": fact.id, "action": "withdraw", "reason": "wrong_machine"}
    house.phone.send(fact, house.phone.fact("correction", body, at=house.days(1), machine=house.other_machine))
    assert MachineState.objects.get(machine_id=house.machine).hours == pytest.approx(400)
    entry = queries.entry_of(house.mechanic, house.machine, fact.id)
    assert entry.now is not None
    assert entry.corrections == ()


def test_a_correction_from_the_record_that_was_joined_counts(house: House) -> None:
    other = str(uuid.uuid4())
    fact = house.phone.meter(400, machine=other)
    house.phone.send(fact)
    services.join_machines(house.office, house.machine, other)
    body = {"of": fact.id, "action": "withdraw", "reason": "mistyped"}
    house.phone.send(house.phone.fact("correction", body, at=house.days(1)))
    assert MachineState.objects.get(machine_id=house.machine).hours is None
    assert queries.entry_of(house.mechanic, house.machine, fact.id).now is None


def test_a_fact_of_another_machine_is_no_part_of_a_job_that_it_names(house: House) -> None:
    job = services.open_job(house.mechanic, house.machine, ("hyd_500",), at=house.days(1), now=house.days(1)).job
    stray = house.phone.meter(77, at=house.days(1.1), job=job, machine=house.other_machine)
    own = house.phone.meter(400, at=house.days(1.2), job=job)
    house.phone.send(stray, own)
    for person in (house.mechanic, house.owner):
        assert stray.id not in {entry.fact for entry in queries.job_page(person, job).entries}
    facts = {fact.id for fact in queries.job_material(house.mechanic, job).facts}
    assert own.id in facts
    assert stray.id not in facts
    with pytest.raises(NotFound):
        queries.job_page(house.stranger, job)
    before = content()
    services.rebuild()
    assert content() == before


def test_a_job_recorded_on_the_wrong_machine_and_withdrawn_there_goes_to_the_right_one(house: House) -> None:
    job = str(uuid.uuid4())
    wrong = house.phone.fact(
        "job_opened", {"tasks": ["hyd_500"]}, job=job, at=house.days(1), machine=house.other_machine
    )
    right = house.phone.fact("job_opened", {"tasks": ["hyd_500"]}, job=job, at=house.days(1.1))
    house.phone.send(wrong, right)
    assert str(JobRow.objects.get(job=job).machine_id) == house.other_machine
    house.phone.send(house.phone.withdraw(wrong, at=house.days(1.2)))
    assert str(JobRow.objects.get(job=job).machine_id) == house.machine
    before = content()
    services.rebuild()
    assert content() == before


def test_what_the_office_corrects_later_holds_for_the_former_owner_too(house: House) -> None:
    job = services.open_job(house.mechanic, house.machine, ("hyd_500",), at=house.days(1), now=house.days(1)).job
    wrong = house.phone.meter(4000, at=house.days(1.1), job=job)
    house.phone.send(wrong)
    services.move_machine(house.office, house.machine, house.other_customer, at=house.days(5))
    services.correct(house.office, wrong.id, "withdraw", "mistyped", now=house.days(6))
    assert wrong.id not in {fact.id for fact in job_told(house.owner, job).facts}


def test_facts_let_in_late_reach_who_has_pulled_further_already(house: House) -> None:
    services.device_of(house.mechanic, None)
    house.phone.send(house.phone.meter(400))
    services.revoke_device(house.mechanic, house.phone.device)
    held = house.phone.meter(410, at=house.days(1))
    house.phone.send(held)
    other = Phone(house.mechanic, house.machine)
    other.send(other.meter(420, at=house.days(2)))
    pulled = queries.pull(house.mechanic, 0)
    assert held.text not in pulled.texts
    assert services.admit_held(house.office, house.phone.device) == 1
    assert queries.pull(house.mechanic, pulled.last).texts == (held.text,)
    assert house.phone.send(held).answers[0].answer == "known"


def test_a_kind_with_a_long_name_is_kept(house: House) -> None:
    kind = "noise_heard_" + "x" * 48
    text = house.phone.meter(412).text.replace('"kind":"meter_read"', f'"kind":"{kind}"')
    assert len(kind) == 60
    assert services.accept_facts(house.mechanic, [text]).answers[0].answer == "kept"


def test_a_customer_and_a_site_entered_after_the_fact_that_names_them_are_taken_in(house: House) -> None:
    customer, site = str(uuid.uuid4()), str(uuid.uuid4())
    house.phone.send(house.phone.fact("owner_changed", {"customer": customer, "site": site}, at=house.days(1)))
    services.keep_customer(house.office, services.CustomerData(customer, "Late Quarry"))
    services.keep_site(house.office, services.SiteData(site, "Late pit", customer))
    row = MachineState.objects.get(machine_id=house.machine)
    assert (str(row.customer_id), str(row.site_id), row.stale) == (customer, site, False)
    assert "late quarry" in row.search
    before = content()
    services.rebuild()
    assert content() == before


def test_a_job_given_up_in_one_batch_with_the_others_facts_is_taken_at_once(house: House) -> None:
    for wrong_one, right_one in ((house.machine, house.other_machine), (house.other_machine, house.machine)):
        job = str(uuid.uuid4())
        opened = {"tasks": ["hyd_500"]}
        wrong = house.phone.fact("job_opened", opened, job=job, at=house.days(1), machine=wrong_one)
        house.phone.send(wrong)
        right = house.phone.fact("job_opened", opened, job=job, at=house.days(1.1), machine=right_one)
        house.phone.send(right, house.phone.withdraw(wrong, at=house.days(1.2)))
        assert str(JobRow.objects.get(job=job).machine_id) == right_one
        assert not MachineState.objects.filter(stale=True).exists()
