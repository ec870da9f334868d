"""The page on which anybody checks a closing code."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client

from coldmark.records import services
from coldmark.records.models import SignInTry
from coldmark.records.services import MachineData
from tests.records.house import House
from tests.records.jobs import Work, close, do_all, keep_oils, open_work
from tests.records.pictures import keep_photo
from tests.records.test_closings import code_of
from tests.web.conftest import signed_in


@pytest.fixture
def work(house: House) -> Work:
    keep_oils(house)
    work = open_work(house)
    do_all(work)
    close(work)
    return work


@pytest.fixture
def stranger() -> Client:
    return Client(headers={"host": "localhost"})


def test_a_stranger_learns_when_and_how_much_and_no_names(work: Work, stranger: Client) -> None:
    page = stranger.get("/check/", {"code": code_of(work).lower()})
    shown = page.content.decode()
    assert page.status_code == 200
    assert "The job was closed on" in shown
    assert "Nothing was recorded for this job afterwards." in shown
    for name in ("Digger", "Stennet", "Tom", "Upper bench", "hyd_500", work.job, work.house.machine):
        assert name not in shown
    assert page["Cache-Control"].startswith("max-age=0")


def test_a_stranger_learns_that_the_sticker_was_photographed(work: Work, stranger: Client) -> None:
    photo = keep_photo(work.house.mechanic, 1)
    work.say("photo", {"photo": photo, "of": "other", "about": "finish"})
    work.send()
    shown = stranger.get("/check/", {"code": code_of(work)}).content.decode()
    assert "Afterwards a photo of the sticker was added." in shown
    assert "Nothing else was recorded for this job afterwards." in shown
    assert "entry was recorded for this job afterwards" not in shown
    assert photo not in shown


def test_it_asks_first_and_keeps_what_was_typed(work: Work, stranger: Client) -> None:
    assert "The code" in stranger.get("/check/").content.decode()
    wrong = stranger.get("/check/", {"code": "0VJH-8CXV-W39R-F0ER0"})
    assert wrong.status_code == 400
    assert "has a wrong sign or two that are swapped" in wrong.content.decode()
    assert 'value="0VJH-8CXV-W39R-F0ER0"' in wrong.content.decode()


@pytest.mark.parametrize(
    ("code", "status", "says"),
    [
        ("", 400, "required"),
        ("x" * 201, 400, "200"),
        ("not a code", 400, "is not a closing code"),
        ("f" * 64, 404, "No job was closed here with this code"),
        ("<b>bold</b>", 400, "&lt;b&gt;"),
    ],
)
def test_what_finds_nothing_says_why(work: Work, stranger: Client, code: str, status: int, says: str) -> None:
    page = stranger.get("/check/", {"code": code})
    assert page.status_code == status
    assert says in page.content.decode()
    assert "<b>bold" not in page.content.decode()


def test_guessing_is_slow(work: Work, stranger: Client) -> None:
    answers = [stranger.get("/check/", {"code": f"{number:064x}"}) for number in range(22)]
    assert [one.status_code for one in answers[:20]] == [404] * 20
    assert answers[-1].status_code == 429
    assert int(answers[-1]["Retry-After"]) >= 1
    assert SignInTry.objects.count() == 1
    assert stranger.get("/check/", {"code": code_of(work)}).status_code == 429


def test_it_is_read_only(work: Work, stranger: Client) -> None:
    assert stranger.post("/check/", {"code": code_of(work)}).status_code == 405


@pytest.mark.parametrize("who", ["mechanic", "owner"])
def test_the_jobs_page_shows_the_code_and_what_came_after(work: Work, who: str) -> None:
    work.say("finding", {"about": "return", "what": "rust", "urgency": "keep_watching"})
    work.send()
    person: Any = getattr(work.house, who)
    shown = signed_in(person).get(f"/jobs/{work.job}/").content.decode()
    assert code_of(work) in shown
    assert "after closing" in shown
    assert 'class="square-code"' in shown
    assert "One entry was recorded for this job afterwards." in shown


def test_where_to_check_it_is_told_when_the_server_has_a_name(work: Work, settings: Any) -> None:
    office = signed_in(work.house.office)
    page = f"/jobs/{work.job}/"
    settings.ALLOWED_HOSTS = ["localhost"]
    assert "on our server&#x27;s page /check/" in office.get(page).content.decode()
    settings.ALLOWED_HOSTS = [*settings.ALLOWED_HOSTS, "workshop.example"]
    settings.COLDMARK_TLS = True
    assert "https://workshop.example/check/" in office.get(page).content.decode()


def test_a_job_without_a_sheet_has_its_code_too(house: House) -> None:
    machine = services.keep_machine(house.office, MachineData("019ccf2c-4a20-7000-8000-0000000000ab", "No sheet"))
    job = services.open_job(house.mechanic, machine, ("look",), at=house.days(1), now=house.days(1)).job
    services.close_job(house.mechanic, job, at=house.days(1) + timedelta(hours=1), now=house.days(2))
    assert "Closing code" in signed_in(house.office).get(f"/jobs/{job}/").content.decode()
