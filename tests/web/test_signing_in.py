"""Signing in and out, the first person, and the pages that say why there is no page."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from django.http import HttpRequest
from django.test import Client

from coldmark.records.models import Person
from coldmark.web.views.errors import went_wrong
from tests.records.house import PASSWORD, House
from tests.web.conftest import Reading, signed_in

if TYPE_CHECKING:
    from pytest_django import Settings

FIRST = {
    "business": "Varne Valley Service",
    "name": "Ina Orr",
    "sign_in": "ina",
    "password": PASSWORD,
    "again": PASSWORD,
}


def browser() -> Client:
    return Reading(headers={"host": "localhost"})


def test_an_empty_house_leads_to_its_first_person(db: None, data_folder: Path) -> None:
    assert browser().get("/sign-in/").headers["Location"] == "/start/"


def test_the_first_person_is_of_the_office_and_signed_in_at_once(db: None, data_folder: Path) -> None:
    client = browser()
    assert client.post("/start/", FIRST).headers["Location"] == "/"
    assert Person.objects.get().role == "office"
    assert client.get("/").status_code == 200


def test_where_others_can_reach_the_server_the_first_person_types_the_code_it_printed(
    db: None, data_folder: Path, settings: Settings
) -> None:
    settings.COLDMARK_START_CODE = "k7dm-3xpa"
    client = browser()
    assert 'name="start_code"' in client.get("/start/").content.decode()
    for wrong in ("", "k7dm-3xpb", "k7dm", "ключ"):
        answer = client.post("/start/", FIRST | {"start_code": wrong})
        assert answer.context["form"].errors["start_code"]
        assert not Person.objects.exists()
    assert client.post("/start/", FIRST | {"start_code": " K7DM 3XPA"}).headers["Location"] == "/"


def test_on_this_machine_alone_no_code_is_asked_for(db: None, data_folder: Path) -> None:
    assert "code" not in browser().get("/start/").content.decode()


def test_nobody_makes_a_second_first_person(house: House) -> None:
    assert browser().post("/start/", FIRST | {"sign_in": "eve"}).headers["Location"] == "/sign-in/"
    assert not Person.objects.filter(sign_in="eve").exists()


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("sign_in", "ina orr", "without blanks"),
        ("password", "short", "not good enough"),
        ("again", "another one", "not the same"),
        ("business", "", "Your business is empty; it is needed."),
    ],
)
def test_a_wrong_value_is_told_beside_its_field_and_the_rest_is_kept(
    db: None, data_folder: Path, field: str, value: str, says: str
) -> None:
    told = FIRST | {field: value} | ({"again": value} if field == "password" else {})
    answer = browser().post("/start/", told)
    page = answer.content.decode()
    assert answer.status_code == 200
    assert says in " ".join(answer.context["form"].errors[field])
    assert f'id="id_{field}_error"' in page
    assert 'value="Ina Orr"' in page
    assert PASSWORD not in page
    assert not Person.objects.exists()


def test_signing_in_leads_to_where_one_wanted_to_go(house: House) -> None:
    client = browser()
    asked = client.get("/machines/?q=digger")
    assert asked.headers["Location"] == "/sign-in/?next=%2Fmachines%2F%3Fq%3Ddigger"
    answer = client.post("/sign-in/", {"sign_in": "Tom", "password": PASSWORD, "next": "/machines/?q=digger"})
    assert answer.headers["Location"] == "/machines/?q=digger"


def test_signing_in_leads_nowhere_else(house: House) -> None:
    told = {"sign_in": "tom", "password": PASSWORD, "next": "https://elsewhere.example/"}
    assert browser().post("/sign-in/", told).headers["Location"] == "/"


def test_a_wrong_password_is_told_without_saying_which_was_wrong(house: House) -> None:
    answer = browser().post("/sign-in/", {"sign_in": "tom", "password": "not this one"})
    assert answer.context["form"].errors["password"] == ["Name or password is not right."]
    assert 'value="tom"' in answer.content.decode()


def test_guessing_is_made_to_wait_and_told_how_long(house: House) -> None:
    client = browser()
    for _try in range(5):
        client.post("/sign-in/", {"sign_in": "tom", "password": "not this one"})
    answer = client.post("/sign-in/", {"sign_in": "tom", "password": PASSWORD})
    assert "Too many tries. Wait 4 s and try again." in answer.content.decode()


def test_signing_out_is_asked_first(house: House) -> None:
    client = signed_in(house.mechanic)
    assert "Sign out" in client.get("/sign-out/").content.decode()
    assert client.get("/").status_code == 200
    client.post("/sign-out/")
    assert client.get("/").status_code == 302


def test_a_part_of_a_page_sends_the_whole_page_to_the_sign_in(house: House) -> None:
    answer = browser().get("/machines/?q=x", headers={"HX-Request": "true"})
    assert answer.status_code == 401
    assert answer.headers["HX-Redirect"].startswith("/sign-in/?next=")


def test_what_is_not_there_is_told_in_the_same_frame(house: House) -> None:
    answer = signed_in(house.mechanic).get("/nothing/")
    assert answer.status_code == 404
    assert "There is nothing here." in answer.content.decode()


def test_a_form_without_its_token_changes_nothing_and_says_so(house: House) -> None:
    client = Client(headers={"host": "localhost"}, enforce_csrf_checks=True)
    answer = client.post("/sign-in/", {"sign_in": "tom", "password": PASSWORD})
    assert answer.status_code == 403
    assert "open too long" in answer.content.decode()


def test_a_mistake_of_the_program_is_told_without_the_database() -> None:
    answer = went_wrong(HttpRequest())
    assert answer.status_code == 500
    assert "Something went wrong on our side." in answer.content.decode()
