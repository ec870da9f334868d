"""A laboratory's values and refused parts: typed on a machine's page, remembered where they count."""

from __future__ import annotations

import json
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client

from coldmark.bench import element, samples
from coldmark.bench import words as bench_words
from coldmark.records import queries
from coldmark.records.models import Fact
from coldmark.web.readings import LABORATORY
from tests.records.house import House
from tests.records.jobs import open_work
from tests.web.conftest import signed_in


def typed(client: Client, house: House, act: str, **told: str) -> Any:
    address = f"/machines/{house.machine}/{act}/"
    form = client.get(address).context["form"]
    filled = {bound.name: bound.value() for bound in form if bound.value() is not None}
    return client.post(address, filled | told, follow=True)


def bodies(kind: str) -> list[dict[str, Any]]:
    return [json.loads(row.text)["body"] for row in Fact.objects.filter(kind=kind).order_by("arrival")]


@pytest.fixture
def sample(house: House) -> str:
    """A bottle of the hydraulic oil, on its way to the laboratory."""
    taken = house.phone.fact("sample_taken", {"compartment": "hydraulic", "bottle": "B-7"}, at=house.days(20))
    house.phone.send(house.phone.meter(100), taken)
    return str(taken.id)


# what the laboratory found


def test_values_are_typed_once_and_each_is_a_fact_with_its_unit(house: House, sample: str) -> None:
    client = signed_in(house.office)
    page = typed(
        client, house, "laboratory", sample=sample, iron="12", viscosity_40="45,2", cleanliness="22/20/17"
    ).content.decode()
    assert bodies("lab_value") == [
        {"sample": sample, "name": "iron", "value": "12", "unit": "mg/kg"},
        {"sample": sample, "name": "viscosity_40", "value": "45.2", "unit": "mm²/s"},
        {"sample": sample, "name": "cleanliness", "code": "22/20/17"},
    ]
    assert "12 mg/kg" in page
    assert "Cleanliness code" in page
    assert "22/20/17" in page
    assert "beyond –/18/15" in page


def test_pressing_twice_keeps_them_once(house: House, sample: str) -> None:
    client = signed_in(house.office)
    address = f"/machines/{house.machine}/laboratory/"
    form = client.get(address).context["form"]
    told = {"id": form["id"].value(), "sample": sample, "iron": "12", "copper": "3"}
    client.post(address, told)
    client.post(address, told)
    assert len(bodies("lab_value")) == 2


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({}, "one value of it at least"),
        ({"iron": "many"}, "many"),
        ({"iron": "-3"}, "is outside"),
        ({"cleanliness": "18/19/20"}, "never rise"),
        ({"cleanliness": "class nine"}, "18/16/13"),
    ],
)
def test_what_is_not_right_is_said_and_nothing_is_kept(
    house: House, sample: str, told: dict[str, str], says: str
) -> None:
    page = typed(signed_in(house.office), house, "laboratory", sample=sample, iron="1").content.decode()
    before = len(bodies("lab_value"))
    page = typed(
        signed_in(house.office), house, "laboratory", **({"sample": sample, "copper": ""} | told)
    ).content.decode()
    assert says in page
    assert len(bodies("lab_value")) == before


def test_a_sample_of_another_machine_takes_no_values(house: House, sample: str) -> None:
    other = house.phone.fact("sample_taken", {"compartment": "hydraulic", "bottle": "X"}, machine=house.other_machine)
    house.phone.send(other)
    page = typed(signed_in(house.office), house, "laboratory", sample=str(other.id), iron="3")
    assert not bodies("lab_value")
    assert "sample" in page.context["form"].errors


def test_every_value_that_is_asked_for_has_a_name(house: House) -> None:
    for name in LABORATORY:
        assert bench_words.has(f"samples.{samples.plain_name(name)}"), name


# refused parts


def test_a_refused_part_is_remembered_on_the_page_and_in_the_kit(house: House) -> None:
    client = signed_in(house.mechanic)
    page = typed(
        client, house, "part-refused", place="return.element", number=" ZZ  7-1 ", why="too_short"
    ).content.decode()
    assert bodies("part_refused") == [{"place": "return.element", "number": "ZZ 7-1", "why": "too_short"}]
    assert "Parts that do not belong here" in page
    assert "Not for this machine: ZZ 7-1" in page
    assert "too short" in page
    assert "Refused: number ZZ 7-1" in page
    work = open_work(house)
    assert "Not for this machine: ZZ 7-1" in client.get(f"/jobs/{work.job}/kit/").content.decode()


def test_the_question_about_elements_is_led_with_what_was_refused(house: House) -> None:
    client = signed_in(house.mechanic)
    page = typed(client, house, "part-refused", place="return.element", number="ZZ-1", why="other_seal")
    asked = urlsplit("/sums/element_right/?" + page.context["element_asked"])
    assert parse_qs(asked.query)["refused"] == ["ZZ-1"]
    form = client.get(asked.geturl())
    assert form.context["outcome"] is None
    assert 'value="ZZ-1"' in form.content.decode()
    assert "is not right" not in form.content.decode()


def test_what_was_fitted_and_found_wrong_is_remembered_too(house: House) -> None:
    work = open_work(house)
    work.say("part_in", {"place": "return.element", "count": 1, "fresh": True, "number": "QQ-9"})
    work.say("finding", {"about": "return", "what": "wrong_part", "urgency": "before_next_work"})
    work.send()
    (found,) = queries.refused_parts(house.mechanic, house.machine)
    assert found == element.Reject("QQ-9", "return.element", found.day)
    page = signed_in(house.mechanic).get(f"/machines/{house.machine}/").content.decode()
    assert "Found to be the wrong part on" in page


def test_a_refusal_without_a_number_is_not_kept(house: House) -> None:
    page = typed(signed_in(house.mechanic), house, "part-refused", place="return.element", number=" ", why="other")
    assert not bodies("part_refused")
    assert "required" in page.content.decode()


def test_an_owner_records_neither(house: House) -> None:
    for act in ("laboratory", "part-refused"):
        assert signed_in(house.owner).get(f"/machines/{house.machine}/{act}/").status_code in (302, 403, 404)
