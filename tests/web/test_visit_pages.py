"""Visits on pages: planned with what is due ticked, changed, called off, and as a calendar file."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import Any
from uuid import uuid4

import icalendar
import pytest
from django.test import Client
from django.utils import timezone

from coldmark.records import queries, services
from coldmark.records.models import Visit
from tests.records.house import House
from tests.web.conftest import signed_in


@pytest.fixture
def client(house: House) -> Client:
    return signed_in(house.mechanic)


def told(house: House, **more: Any) -> dict[str, Any]:
    """What the form sends."""
    return {
        "action": "plan",
        "id": str(uuid4()),
        "day": f"{timezone.localdate() + timedelta(days=3):%Y-%m-%d}",
        "from_time": "08:00",
        "to_time": "11:30",
        "mechanic": str(house.mechanic.id),
        "van": house.van,
        "site": house.site,
        "note": "call first",
        "machine": [house.machine],
        "pick": [f"{house.machine}:hyd_500"],
    } | more


def shown(answer: Any) -> Mapping[str, list[str]]:
    """Which tasks are ticked on the page, by machine."""
    return {one.machine.id: list(one.ticked) for one in answer.context["chosen"]}


def test_a_visit_is_planned_and_seen_on_its_day(house: House, client: Client) -> None:
    form = told(house)
    answer = client.post("/visits/new/", form)
    assert answer["Location"] == f"/visits/#visit-{form['id']}"
    page = client.get("/visits/").text
    for part in ("08:00 to 11:30", "Upper bench", "Tom Weir, Blue van", "Hydraulic service: return", "call first"):
        assert part in page, part


def test_what_is_due_on_the_machines_of_a_site_is_ticked(house: House, client: Client) -> None:
    house.phone.send(house.phone.meter("900"), house.phone.meter("1000", at=house.days(20)))
    due = queries.machine_page(house.mechanic, house.machine, day=timezone.localdate()).due
    wanted = {one.task for one in due if one.stands(timezone.localdate()) in {"over", "now"} and not one.rides_with}
    assert wanted
    assert set(shown(client.get(f"/visits/new/?site={house.site}"))[house.machine]) == wanted


def test_pressing_twice_plans_one_visit(house: House, client: Client) -> None:
    form = told(house)
    client.post("/visits/new/", form)
    client.post("/visits/new/", form)
    assert Visit.objects.count() == 1
    assert Visit.objects.get().machines.count() == 1


def test_finding_a_machine_keeps_what_was_typed_and_plans_nothing(house: House, client: Client) -> None:
    form = told(house, action="find", q="loader", note="still typing", day="")
    answer = client.post("/visits/new/", form)
    assert not Visit.objects.exists()
    assert list(shown(answer)) == [house.machine, house.other_machine]
    assert shown(answer)[house.machine] == ["hyd_500"]
    assert "still typing" in answer.text
    assert "is empty" not in answer.text


def test_finding_with_no_words_brings_the_machines_on_the_site(house: House, client: Client) -> None:
    answer = client.post("/visits/new/", told(house, action="find", machine=[], pick=[]))
    assert list(shown(answer)) == [house.machine]


def test_finding_nothing_says_so(house: House, client: Client) -> None:
    answer = client.post("/visits/new/", told(house, action="find", q="steamship"))
    assert "No other machine was found." in answer.text


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"day": ""}, "Day is empty; it is needed."),
        ({"day": "someday"}, "Day = someday is not a day; write it like 2026-03-02."),
        ({"to_time": "07:00"}, "it ends after 08:00"),
        ({"from_time": "late"}, "From = late is not a time; write it like 08:15."),
        ({"van": "a bicycle"}, "Van = a bicycle is none of the choices"),
        ({"id": "seven"}, "id = seven is not right"),
    ],
)
def test_what_is_wrong_is_told_and_nothing_is_planned(
    house: House, client: Client, changes: dict[str, str], says: str
) -> None:
    answer = client.post("/visits/new/", told(house) | changes)
    assert answer.status_code == 200
    assert says in answer.text
    assert "call first" in answer.text
    assert shown(answer)[house.machine] == ["hyd_500"]
    assert not Visit.objects.exists()


def test_a_task_that_the_machine_does_not_have_is_not_planned(house: House, client: Client) -> None:
    client.post("/visits/new/", told(house, pick=[f"{house.machine}:polish_it"]))
    assert not [part for one in Visit.objects.all() for part in one.machines.all()]


def test_a_machine_with_nothing_ticked_is_not_part_of_the_visit(house: House, client: Client) -> None:
    client.post("/visits/new/", told(house, machine=[house.machine, house.other_machine]))
    assert [str(part.machine_id) for part in Visit.objects.get().machines.all()] == [house.machine]


def test_a_visit_comes_back_as_it_was_planned_and_keeps_its_jobs_when_changed(house: House, client: Client) -> None:
    form = told(house)
    client.post("/visits/new/", form)
    before = queries.visit_data(house.mechanic, form["id"])
    page = client.get(f"/visits/{form['id']}/")
    assert shown(page) == {house.machine: ["hyd_500"]}
    assert 'value="08:00"' in page.text
    (part,) = before.machines
    changed = told(house, id=str(uuid4()), note="bring a ladder", **{f"job_{house.machine}": part.job})
    client.post(f"/visits/{form['id']}/", changed)
    after = queries.visit_data(house.mechanic, form["id"])
    assert after.note == "bring a ladder"
    assert after.machines == before.machines
    assert Visit.objects.count() == 1


def test_a_machine_whose_job_is_open_cannot_be_taken_out_and_the_page_says_so(house: House, client: Client) -> None:
    form = told(house)
    client.post("/visits/new/", form)
    (part,) = queries.visit_data(house.mechanic, form["id"]).machines
    services.open_job(house.mechanic, house.machine, part.tasks, job=part.job)
    answer = client.post(f"/visits/{form['id']}/", told(house, pick=[]))
    assert "with the machine on which the job is open already" in answer.text
    assert len(queries.visit_data(house.mechanic, form["id"]).machines) == 1


def test_calling_off_is_asked_first_and_stays_to_be_seen(house: House, client: Client) -> None:
    form = told(house)
    client.post("/visits/new/", form)
    assert "Call the visit off?" in client.get(f"/visits/{form['id']}/call-off/").text
    assert not Visit.objects.get().called_off
    client.post(f"/visits/{form['id']}/call-off/")
    assert Visit.objects.get().called_off
    assert "called off" in client.get("/visits/").text


def test_the_list_is_of_one_mechanic_when_asked(house: House, client: Client) -> None:
    client.post("/visits/new/", told(house, mechanic="", note="nobody goes"))
    assert "nobody goes" in client.get("/visits/").text
    assert "nobody goes" not in client.get(f"/visits/?mechanic={house.mechanic.id}").text


def test_the_list_asks_as_often_for_three_visits_as_for_one(
    house: House, client: Client, django_assert_num_queries: Any
) -> None:
    client.post("/visits/new/", told(house))
    client.get("/visits/")
    with django_assert_num_queries(6):
        client.get("/visits/")
    for _more in range(2):
        client.post("/visits/new/", told(house, machine=[house.other_machine], pick=[f"{house.other_machine}:hyd_500"]))
    client.get("/visits/")
    with django_assert_num_queries(6):
        client.get("/visits/")


@pytest.mark.parametrize("address", ["/visits/?day=someday", "/visits/?mechanic=tom"])
def test_an_address_that_cannot_be_read_is_named(client: Client, address: str) -> None:
    answer = client.get(address)
    assert answer.status_code == 400
    assert "is not right" in answer.text


def test_the_calendar_file_holds_the_visits(house: House, client: Client) -> None:
    form = told(house)
    client.post("/visits/new/", form)
    answer = client.get("/visits.ics")
    assert answer["Content-Type"].startswith("text/calendar")
    (event,) = icalendar.Calendar.from_ical(answer.content).walk("VEVENT")
    assert str(event["uid"]) == form["id"]


NOBODYS = "46181bfe-3691-4870-aa1a-346341869fdc"  # fixed: a test's name must be the same in every process


@pytest.mark.parametrize("address", ["/visits/", "/visits/new/", "/visits.ics", f"/visits/{NOBODYS}/"])
def test_owners_find_no_visits(house: House, address: str) -> None:
    assert signed_in(house.owner).get(address).status_code == 404


@pytest.mark.parametrize("address", [f"/visits/{NOBODYS}/", f"/visits/{NOBODYS}/call-off/"])
def test_a_visit_that_is_not_there_is_not_found(client: Client, address: str) -> None:
    assert client.get(address).status_code == 404


def test_nobody_plans_without_signing_in(house: House) -> None:
    answer = Client(headers={"host": "localhost"}).post("/visits/new/", told(house))
    assert answer.status_code == 302
    assert answer["Location"].startswith("/sign-in/")
    assert not Visit.objects.exists()
