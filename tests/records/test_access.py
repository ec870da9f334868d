"""Who sees what: staff the firm, an owner his machines in his time and the listed kinds, another owner nothing."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any

import pytest

from coldmark.records import access, queries, services
from coldmark.records.errors import NotAllowed, NotFound
from coldmark.records.models import Person
from coldmark.records.services.attachments import TEXT
from tests.records.house import House, change_role, h, sha, sheet_text
from tests.records.pictures import a_photo, keep_photo


def a_job(house: House) -> str:
    """A job with a note, a photo, a finding and work clocks, on the house's machine, ten days in."""
    phone, job, at = house.phone, str(uuid.uuid4()), house.days(10)
    photo = keep_photo(house.mechanic, 1)
    for text in ("the driver is rude", "a new hose soon"):
        services.keep_attachment(house.mechanic, sha(text), TEXT, text.encode())
    phone.send(
        phone.fact("job_opened", {"tasks": ["hyd_500"]}, at=at, job=job),
        phone.fact("clock_on", {"work": "work"}, at=at, job=job),
        phone.meter(120, at=at, job=job),
        phone.fact("photo", {"photo": photo, "of": "glass"}, at=at, job=job),
        phone.fact(
            "finding",
            {
                "about": "boom",
                "what": "chafed_hose",
                "urgency": "plan_for_it",
                "note": sha("the driver is rude"),
                "advice": sha("a new hose soon"),
            },
            at=at,
            job=job,
        ),
    )
    return job


READS: dict[str, Callable[[Person, House, str], Any]] = {
    "machine_page": lambda person, house, _job: queries.machine_page(person, house.machine, day=house.days(12).date()),
    "machine_state": lambda person, house, _job: queries.machine_state(person, house.machine),
    "story": lambda person, house, _job: queries.story(person, house.machine),
    "job_page": lambda person, _house, job: queries.job_page(person, job),
    "photo": lambda person, _house, _job: services.read_attachment(person, a_photo(1)[0]),
    "advice": lambda person, _house, _job: services.read_attachment(person, sha("a new hose soon")),
}


@pytest.mark.parametrize("read", READS)
def test_staff_and_the_owner_see_it_and_another_customers_owner_does_not(house: House, read: str) -> None:
    job = a_job(house)
    for person in (house.office, house.mechanic, house.owner):
        READS[read](person, house, job)
    with pytest.raises(NotFound):
        READS[read](house.stranger, house, job)


@pytest.mark.parametrize("read", READS)
def test_somebody_who_may_sign_in_no_more_sees_nothing(house: House, read: str) -> None:
    job = a_job(house)
    for person in (house.mechanic, house.owner):
        services.set_active(house.office, str(person.id), False)
        gone = Person.objects.get(id=person.id)
        with pytest.raises(NotFound):
            READS[read](gone, house, job)


def test_lists_hold_an_owners_own_machines_alone(house: House) -> None:
    a_job(house)
    day = house.days(12).date()
    assert [line.id for line in queries.machines(house.owner).lines] == [house.machine]
    assert [line.id for line in queries.machines(house.stranger).lines] == [house.other_machine]
    assert queries.machines(house.office).total == 2
    assert {one.machine.id for one in queries.due_rows(house.stranger, day=day, weeks=500).machines} <= {
        house.other_machine
    }
    assert {one.machine.id for one in queries.due_rows(house.owner, day=day, weeks=500).machines} == {house.machine}
    assert [one.finding.about for one in queries.open_findings(house.owner).findings] == ["boom"]
    assert [one.name for one in queries.open_findings(house.owner).customers] == ["Stennet Quarry"]
    assert queries.open_findings(house.stranger).findings == ()
    assert queries.open_findings(house.stranger).customers == ()


def test_another_owners_visit_is_not_on_todays_page_nor_in_the_calendar(house: House) -> None:
    day = house.days(12).date()
    part = services.VisitPart(house.machine, ("hyd_500",))
    data = services.VisitData(
        str(uuid.uuid4()), day, (part,), str(house.mechanic.id), house.van, house.site, note="shh"
    )
    services.plan_visit(house.office, data)
    assert queries.today(house.stranger, day).visits == ()
    assert queries.visits(house.stranger, day, day) == ()
    (visit,) = queries.today(house.owner, day).visits
    assert (visit.note, visit.access, visit.van, visit.bring) == ("", "", "", None)
    assert [stop.machine.id for stop in visit.stops] == [house.machine]
    assert queries.visits(house.owner, day, day)[0].note == ""
    assert queries.today(house.mechanic, day).visits[0].note == "shh"


def test_an_owner_sees_no_work_clocks_and_no_internal_notes(house: House) -> None:
    job = a_job(house)
    page = queries.job_page(house.owner, job)
    assert "clock_on" not in {entry.kind for entry in page.entries}
    assert "clock_on" in {entry.kind for entry in queries.job_page(house.mechanic, job).entries}
    finding = next(entry for entry in page.entries if entry.kind == "finding")
    assert "note" not in finding.body
    assert set(finding.texts.values()) == {"a new hose soon"}
    told = next(entry for entry in queries.story(house.mechanic, house.machine).entries if entry.kind == "finding")
    assert set(told.texts.values()) == {"a new hose soon", "the driver is rude"}
    with pytest.raises(NotFound):
        services.read_attachment(house.owner, sha("the driver is rude"))
    assert services.read_attachment(house.mechanic, sha("the driver is rude")).content == b"the driver is rude"
    assert queries.machine_page(house.owner, house.machine, day=house.days(12).date()).note == ""
    state, _sheet = queries.machine_state(house.owner, house.machine)
    assert [found.note for found in state.findings.values()] == [None]


def test_kinds_that_no_list_names_are_never_shown_to_an_owner(house: House) -> None:
    for kind in ("clock_on", "clock_off", "machine_joined", "clock_error", "owner_changed"):
        assert kind not in access.OWNER_KINDS


def test_a_former_owner_sees_his_own_time_and_nothing_after(house: House) -> None:
    job = a_job(house)
    services.move_machine(house.office, house.machine, house.other_customer, at=house.days(30))
    house.phone.send(house.phone.meter(200, at=house.days(40)))
    day = house.days(41).date()
    before, after = queries.story(house.owner, house.machine), queries.story(house.stranger, house.machine)
    assert {entry.at for entry in before.entries if entry.kind == "meter_read"} == {house.days(10)}
    assert {entry.at for entry in after.entries if entry.kind == "meter_read"} == {house.days(40)}
    former = queries.machine_page(house.owner, house.machine, day=day)
    assert (former.state, former.due, former.machine.hours, former.machine.customer) == (None, (), None, None)
    present = queries.machine_page(house.stranger, house.machine, day=day)
    assert (present.findings, present.jobs) == ((), ())
    assert present.state is not None
    assert [point.shown_h for point in present.state.meter.points] == [200]
    assert queries.job_page(house.owner, job).entries
    for read in ("job_page", "photo"):
        with pytest.raises(NotFound):
            READS[read](house.stranger, house, job)
    assert queries.machines(house.owner).total == 0


def test_a_photo_recorded_on_the_wrong_machine_and_withdrawn_is_none_of_its_owners(house: House) -> None:
    photo = keep_photo(house.mechanic, 2)
    wrong = house.phone.fact("photo", {"photo": photo, "of": "glass"}, machine=house.other_machine)
    house.phone.send(wrong)
    assert services.read_attachment(house.stranger, photo).content is not None
    withdrawn = house.phone.withdraw(wrong, at=house.days(1))
    house.phone.send(withdrawn, house.phone.fact("photo", {"photo": photo, "of": "glass"}))
    with pytest.raises(NotFound):
        services.read_attachment(house.stranger, photo)
    assert wrong.id not in {entry.fact for entry in queries.story(house.stranger, house.other_machine).entries}
    assert services.read_attachment(house.owner, photo).content is not None
    shown = next(e for e in queries.story(house.mechanic, house.other_machine).entries if e.fact == wrong.id)
    assert shown.now is None
    assert [correction.reason for correction in shown.corrections] == ["wrong_machine"]
    house.phone.send(
        house.phone.fact(
            "correction",
            {"of": withdrawn.id, "action": "withdraw", "reason": "undo"},
            at=house.days(2),
            machine=house.other_machine,
        )
    )
    assert services.read_attachment(house.stranger, photo).content is not None


def test_an_attachment_that_no_fact_speaks_of_is_for_staff_alone(house: House) -> None:
    photo = keep_photo(house.mechanic, 3)
    assert services.read_attachment(house.mechanic, photo).content is not None
    with pytest.raises(NotFound):
        services.read_attachment(house.owner, photo)


def test_both_versions_of_a_corrected_fact_are_shown(house: House) -> None:
    wrong = house.phone.meter(1200)
    body = {"reading": h(120), "way": "seen"}
    right = house.phone.fact(
        "correction", {"of": wrong.id, "action": "replace", "body": body, "reason": "mistyped"}, at=house.days(1)
    )
    house.phone.send(wrong, right)
    (entry,) = (e for e in queries.story(house.mechanic, house.machine).entries if e.fact == wrong.id)
    assert entry.body["reading"] == h(1200)
    assert entry.now is not None
    assert entry.now["reading"] == h(120)


OFFICE_ALONE: dict[str, Callable[[Person, House], Any]] = {
    "people": lambda person, house: services.set_active(person, str(house.owner.id), False),
    "roles": lambda person, house: change_role(person, house.owner, "office"),
    "erasing": lambda person, house: services.erase(person, "customer", house.customer, "asked to"),
    "joining": lambda person, house: services.join_machines(person, house.machine, house.other_machine),
    "business": lambda person, house: services.keep_business(person, services.BusinessData("Mine")),
    "database": lambda person, house: queries.store(person),
    "passwords": lambda person, house: services.set_password(person, str(house.office.id), "another long one"),
}


@pytest.mark.parametrize("action", OFFICE_ALONE)
def test_what_is_for_the_office_is_closed_to_mechanics_and_owners(house: House, action: str) -> None:
    for person in (house.mechanic, house.owner):
        with pytest.raises(NotAllowed):
            OFFICE_ALONE[action](person, house)


STAFF_ALONE: dict[str, Callable[[Person, House], Any]] = {
    "customers": lambda person, house: queries.customers(person),
    "customer": lambda person, house: queries.customer(person, house.customer),
    "sites": lambda person, house: queries.sites(person),
    "vans": lambda person, house: queries.vans(person),
    "people": lambda person, house: queries.people(person),
    "sheets": lambda person, house: queries.sheets(person),
    "oils": lambda person, house: queries.oils(person),
    "pull": lambda person, house: queries.pull(person, 0),
    "keep_customer": lambda person, house: services.keep_customer(
        person, services.CustomerData(house.customer, "Mine")
    ),
    "keep_machine": lambda person, house: services.keep_machine(person, services.MachineData(house.machine, "Mine")),
    "move_machine": lambda person, house: services.move_machine(person, house.machine, house.customer),
    "keep_sheet": lambda person, house: services.keep_sheet(person, ""),
    "plan": lambda person, house: services.plan_visit(
        person, services.VisitData(str(uuid.uuid4()), house.days(1).date())
    ),
    "open_job": lambda person, house: services.open_job(person, house.machine, ("hyd_500",)),
    "attachment": lambda person, house: keep_photo(person, 9),
    "document": lambda person, house: services.issue_document(
        person, what="report", machine=house.machine, content=b"%PDF-1.7", facts=()
    ),
}


@pytest.mark.parametrize("action", STAFF_ALONE)
def test_what_is_for_staff_is_closed_to_the_machines_own_owner(house: House, action: str) -> None:
    with pytest.raises(NotAllowed):
        STAFF_ALONE[action](house.owner, house)


def test_an_owner_reads_the_sheet_of_his_machine(house: House) -> None:
    found = queries.sheet_page(house.owner, house.sheet)
    assert found.text == sheet_text()
    assert found.line.machines == 1, "of another customer's machines he is told nothing"
    assert queries.sheet_page(house.mechanic, house.sheet).line.machines == 2
    services.move_machine(house.office, house.machine, house.other_customer, at=house.days(1))
    with pytest.raises(NotFound):
        queries.sheet_page(house.owner, house.sheet)


def test_an_owner_does_not_read_the_sheet_of_anothers_machine_even_by_its_hash(house: House) -> None:
    other = services.keep_sheet(house.office, sheet_text("telehandler")).sha256
    services.assign_sheet(house.office, house.other_machine, other, at=house.days(-50))
    assert queries.sheet_page(house.stranger, other)
    with pytest.raises(NotFound):
        queries.sheet_page(house.owner, other)
    with pytest.raises(NotFound):
        queries.sheet_page(house.stranger, house.sheet)
