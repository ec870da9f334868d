"""The open findings of all machines."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from contextlib import AbstractContextManager

import pytest

from coldmark.records import services
from tests.records.house import House
from tests.web.conftest import signed_in

Count = Callable[..., AbstractContextManager[object]]


def found(house: House, urgency: str, *, days: float = 1, machine: str | None = None, about: str = "return") -> str:
    """Record a finding; return its id."""
    told = {"about": about, "what": "leak", "urgency": urgency}
    fact = house.phone.fact("finding", told, at=house.days(days), machine=machine)
    house.phone.send(fact)
    return fact.id


def test_the_gravest_stands_first_and_of_the_same_gravity_the_latest(house: House) -> None:
    watched = found(house, "keep_watching", days=9)
    old, new = (found(house, "plan_for_it", days=days, machine=house.other_machine) for days in (2, 8))
    grave = found(house, "before_next_work", days=1)
    page = signed_in(house.mechanic).get("/machines/findings/").text
    places = [page.index(f"/story/{one}/") for one in (grave, new, old, watched)]
    assert places == sorted(places)
    assert "4 findings not yet settled." in page
    for told in ("Leak, return filter: before the next work", "Digger", "Stennet Quarry, Upper bench", "Loader"):
        assert told in page, told


def test_what_is_settled_is_gone_and_nothing_is_said_plainly(house: House) -> None:
    client = signed_in(house.mechanic)
    assert "Nothing that was found is open." in client.get("/machines/findings/").text
    finding = found(house, "plan_for_it")
    assert f'href="/machines/{house.machine}/findings/{finding}/"' in client.get("/machines/findings/").text
    services.settle_finding(house.mechanic, house.machine, finding)
    assert "Nothing that was found is open." in client.get("/machines/findings/").text


def test_one_customers_are_chosen_and_the_choice_stays_in_the_address(house: House) -> None:
    found(house, "plan_for_it")
    found(house, "plan_for_it", machine=house.other_machine)
    client = signed_in(house.mechanic)
    page = client.get("/machines/findings/", {"customer": house.customer}).text
    assert "Digger" in page
    assert "<span>Loader" not in page
    assert f'value="{house.customer}" selected' in page
    part = client.get("/machines/findings/", {"customer": house.customer}, headers={"HX-Request": "true"}).text
    assert "<html" not in part
    assert "Digger" in part
    assert f'href="/machines/findings/?customer={house.customer}"' in client.get(f"/customers/{house.customer}/").text
    assert 'href="/machines/findings/"' in client.get("/machines/").text
    assert 'href="/machines/findings/"' in client.get("/more/").text


@pytest.mark.parametrize(("name", "value"), [("customer", "all"), ("page", "last")])
def test_a_choice_that_is_none_is_named(house: House, name: str, value: str) -> None:
    answer = signed_in(house.mechanic).get("/machines/findings/", {name: value})
    assert answer.status_code == 400
    assert f"{name} = {value} is not right" in answer.text


def test_an_owner_sees_those_of_his_machines_in_his_time_and_settles_none(house: House) -> None:
    found(house, "plan_for_it", about="engine")
    found(house, "plan_for_it", machine=house.other_machine)
    owner = signed_in(house.owner)
    for asked in ({}, {"customer": house.other_customer}):
        page = owner.get("/machines/findings/", asked).text
        assert "1 finding not yet settled." in page
        assert "Digger" in page
        assert "Loader" not in page
        assert "Hallbeck" not in page
        for hidden in ("Settle it", "<select"):
            assert hidden not in page
    services.move_machine(house.office, house.machine, house.other_customer, at=house.days(5))
    found(house, "keep_watching", days=8)
    assert "Nothing that was found is open." in owner.get("/machines/findings/").text
    new = signed_in(house.stranger).get("/machines/findings/").text
    assert "2 findings not yet settled." in new, "his loader's, and the digger's since it is his"


def test_many_findings_come_page_by_page_for_the_same_number_of_queries(
    house: House, django_assert_num_queries: Count
) -> None:
    client = signed_in(house.mechanic)
    found(house, "plan_for_it")
    client.get("/machines/findings/")  # the sheet is read once
    for more in (0, 60):
        told = {"about": "return", "what": "leak", "urgency": "keep_watching"}
        for machine in (house.machine, house.other_machine):
            facts = [house.phone.fact("finding", told, at=house.days(n / 9), machine=machine) for n in range(more)]
            house.phone.send(*facts)
        with django_assert_num_queries(6):
            page = client.get("/machines/findings/").text
    assert "121 findings not yet settled, page 1 of 3." in page
    assert page.count("Settle it") == 50
    assert 'href="/machines/findings/?page=2"' in page
    last = client.get("/machines/findings/", {"page": "3"}).text
    assert last.count("Settle it") == 21
    assert "Next page" not in last


def test_a_machine_without_a_sheet_or_owner_has_its_findings_too(house: House) -> None:
    found(house, "plan_for_it", machine=str(uuid.uuid4()), about="left_track")
    page = signed_in(house.mechanic).get("/machines/findings/").text
    assert "Leak, left track: plan for it" in page
    assert "Unknown machine" in page
