"""Timings on a machine's page: typed by the office or the mechanic, said plainly, drawn once there are two."""

from __future__ import annotations

import json
import uuid
from typing import Any

import pytest
from django.test import Client

from coldmark.records import services
from coldmark.records.models import Fact
from tests.records.house import House, sha, sheet_text
from tests.web.conftest import signed_in

TIMED = """
[timings.boom_rise]
name = "boom to full height"
kind = "cycle"
says = "Bucket empty"
oil_c = 50
most_s = 3.6
"""
SHEET = sheet_text() + TIMED


def address(house: House) -> str:
    return f"/machines/{house.machine}/timing/"


def typed(client: Client, house: House, **told: str) -> Any:
    form = client.get(address(house)).context["form"]
    filled = {bound.name: bound.value() for bound in form if bound.value() is not None}
    return client.post(address(house), filled | told, follow=True)


def last() -> dict[str, Any]:
    body: dict[str, Any] = json.loads(Fact.objects.filter(kind="function_timed").order_by("-arrival")[0].text)["body"]
    return body


@pytest.fixture
def timed_house(house: House) -> House:
    services.keep_sheet(house.office, SHEET)
    services.assign_sheet(house.office, house.machine, sha(SHEET))
    return house


def test_a_time_is_typed_kept_and_said_on_the_machines_page(timed_house: House) -> None:
    client = signed_in(timed_house.mechanic)
    page = typed(client, timed_house, timing="boom_rise", time="3,1", runs="3", oil="50").content.decode()
    assert "How well it still works" in page
    assert "Boom to full height" in page
    assert "Measured 3.1 s, for the first time" in page
    assert "within the most allowed, 3.6 s" in page
    assert "timing-trend" not in page
    assert last() == {
        "timing": "boom_rise",
        "what": "cycle",
        "time": {"value": "3.1", "unit": "s"},
        "oil": {"value": "50", "unit": "c"},
        "runs": 3,
    }


def test_a_second_one_is_held_against_the_first_and_drawn(timed_house: House) -> None:
    client = signed_in(timed_house.mechanic)
    typed(client, timed_house, timing="boom_rise", time="3.0", runs="3", oil="50")
    page = typed(client, timed_house, timing="boom_rise", time="4.1", runs="3", oil="50").content.decode()
    assert "It has grown slower: 4.1 s now, 3.0 s at first." in page
    assert "more than the most allowed, 3.6 s" in page
    assert "look at it" in page
    assert "timing-trend" in page
    assert "Timed, boom to full height: 4.1 s, oil at 50 °C." in page


def test_what_the_sheet_does_not_name_gets_a_name_of_its_own_and_is_offered_from_then_on(house: House) -> None:
    client = signed_in(house.mechanic)
    page = typed(client, house, name="Bucket, full load", moved="12", watched="5").content.decode()
    assert "Bucket full load" in page
    assert last()["timing"] == "bucket_full_load"
    assert 'value="bucket_full_load"' in client.get(address(house)).content.decode()


def test_a_us_reader_types_inches_fahrenheit_and_pounds(house: House) -> None:
    services.set_look(house.mechanic, units="us")
    client = signed_in(house.mechanic)
    assert "It sank by, in" in client.get(address(house)).content.decode()
    page = typed(client, house, name="arm", moved="0.5", watched="5", oil="122", load="500").content.decode()
    assert "0.100 in/min" in page
    assert (last()["moved"]["unit"], last()["oil"]["unit"], last()["load"]["unit"]) == ("in", "f", "lb")


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"name": "arm"}, "time"),
        ({"time": "3"}, "one of the list, or a name"),
        ({"name": "arm", "time": "3", "moved": "4", "watched": "5"}, "a time or a drift, not both"),
        ({"name": "arm", "moved": "4"}, "watched"),
        ({"name": "arm", "time": "3", "watched": "5"}, "how far it moved"),
        ({"name": "arm", "time": "quick"}, "quick"),
        ({"name": "arm", "time": "9999"}, "from 0 to 3600 s"),
        ({"name": "arm", "time": "3", "oil": "400"}, "from -60 to 200 °C"),
        ({"name": "arm", "time": "3", "runs": "2.5"}, "a whole number from 1 to 100"),
        ({"name": "arm", "time": "0"}, "more than 0"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field(house: House, told: dict[str, str], says: str) -> None:
    page = typed(signed_in(house.mechanic), house, **told).content.decode()
    assert says in page
    assert not Fact.objects.filter(kind="function_timed").exists()


def test_sending_the_form_twice_records_once(house: House) -> None:
    client = signed_in(house.mechanic)
    form = client.get(address(house)).context["form"]
    filled = {bound.name: bound.value() for bound in form if bound.value() is not None} | {"name": "arm", "time": "3"}
    for _ in range(2):
        client.post(address(house), filled)
    assert Fact.objects.filter(kind="function_timed").count() == 1


def test_an_owner_sees_it_and_another_does_not(house: House) -> None:
    typed(signed_in(house.mechanic), house, name="arm", time="3")
    assert "How well it still works" in signed_in(house.owner).get(f"/machines/{house.machine}/").content.decode()
    assert signed_in(house.owner).get(address(house)).status_code == 404
    assert signed_in(house.stranger).get(f"/machines/{house.machine}/").status_code == 404


def test_a_machine_that_is_not_there_is_not_found(house: House) -> None:
    assert signed_in(house.mechanic).get(f"/machines/{uuid.uuid4()}/timing/").status_code == 404
