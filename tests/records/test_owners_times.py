"""An owner's time: what happened before it, after it, or was set right since is none of his business."""

from __future__ import annotations

import uuid

import pytest

from coldmark.records import queries, services
from coldmark.records.errors import NotFound
from coldmark.records.models import Document
from tests.records.house import House, h
from tests.records.pictures import keep_photo


def a_job(house: House, *, day: float = 1) -> str:
    at = house.days(day)
    return services.open_job(house.mechanic, house.machine, ("hyd_500",), at=at, now=at).job


def sold(house: House, *, day: float = 5) -> None:
    services.move_machine(house.office, house.machine, house.other_customer, at=house.days(day))


def a_report(house: House, job: str | None, *, day: float) -> str:
    return services.issue_document(
        house.mechanic,
        what="report",
        machine=house.machine,
        job=job,
        content=b"%PDF-1.7",
        facts=[],
        now=house.days(day),
    ).id


def test_a_report_goes_with_its_job_however_late_it_is_issued(house: House) -> None:
    job = a_job(house)
    sold(house)
    late = a_report(house, job, day=8)
    own = a_report(house, None, day=9)
    assert services.read_document(house.owner, late).content
    assert {one.id for one in queries.job_page(house.owner, job).documents} == {late}
    with pytest.raises(NotFound):
        services.read_document(house.stranger, late)
    assert services.read_document(house.stranger, own).content
    day = house.days(10).date()
    assert {one.id for one in queries.machine_page(house.stranger, house.machine, day=day).documents} == {own}
    assert {one.id for one in queries.machine_page(house.owner, house.machine, day=day).documents} == {late}
    assert Document.objects.count() == 2


def test_a_former_owners_job_tells_nothing_of_the_machine_as_it_is_now(house: House) -> None:
    job = a_job(house)
    sold(house)
    house.phone.send(house.phone.meter(900, at=house.days(6)))
    page = queries.job_page(house.owner, job)
    assert (page.machine.hours, page.machine.customer, page.machine.customer_name) == (None, None, "")
    assert page.due == ()
    assert queries.job_page(house.mechanic, job).machine.customer == house.other_customer


def test_a_visit_from_before_his_time_is_not_shown_to_the_new_owner(house: House) -> None:
    before, after = house.days(2).date(), house.days(8).date()
    for day in (before, after):
        data = services.VisitData(str(uuid.uuid4()), day, (services.VisitPart(house.machine, ()),), site=house.site)
        services.plan_visit(house.office, data)
    sold(house)
    assert [visit.day for visit in queries.visits(house.stranger, before, after)] == [after]
    assert queries.today(house.stranger, before).visits == ()
    assert len(queries.today(house.stranger, after).visits) == 1
    assert len(queries.visits(house.office, before, after)) == 2


def test_a_photo_that_was_replaced_is_shown_to_the_owner_no_more(house: House) -> None:
    wrong, right = keep_photo(house.mechanic, 1), keep_photo(house.mechanic, 2)
    fact = house.phone.fact("photo", {"photo": wrong, "of": "glass"}, at=house.days(1))
    house.phone.send(fact)
    assert services.read_attachment(house.owner, wrong).content
    services.correct(house.office, fact.id, "replace", "mistyped", body={"photo": right, "of": "glass"})
    with pytest.raises(NotFound):
        services.read_attachment(house.owner, wrong)
    assert services.read_attachment(house.owner, right).content
    assert services.read_attachment(house.mechanic, wrong).content


def test_a_photo_put_right_after_the_sale_belongs_to_the_time_of_what_it_puts_right(house: House) -> None:
    wrong, right = keep_photo(house.mechanic, 1), keep_photo(house.mechanic, 2)
    fact = house.phone.fact("photo", {"photo": wrong, "of": "glass"}, at=house.days(1))
    house.phone.send(fact)
    sold(house)
    body = {"photo": right, "of": "glass"}
    services.correct(house.office, fact.id, "replace", "mistyped", body=body, now=house.days(6))
    assert services.read_attachment(house.owner, right).content
    with pytest.raises(NotFound):
        services.read_attachment(house.stranger, right)


def test_the_record_that_was_joined_leads_its_owner_to_the_one_that_goes_on(house: House) -> None:
    other = str(uuid.uuid4())
    house.phone.send(house.phone.fact("meter_read", {"reading": h(5), "way": "seen"}, machine=other))
    report = services.issue_document(
        house.mechanic, what="report", machine=other, content=b"%PDF-1.7", facts=[], now=house.days(2)
    ).id
    services.join_machines(house.office, house.machine, other)
    day = house.days(10).date()
    assert queries.machine_page(house.owner, other, day=day).joined_into == house.machine
    assert {one.id for one in queries.machine_page(house.owner, house.machine, day=day).documents} == {report}
    assert services.read_document(house.owner, report).content
    with pytest.raises(NotFound):
        services.read_document(house.stranger, report)
