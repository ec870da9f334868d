"""Behind a proxy of one's own everybody has his own address; without one nobody can choose his."""

from __future__ import annotations

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import Client, RequestFactory
from pytest_django import Settings

from coldmark.project.proxy import WhoAsks
from coldmark.records.models import Person
from coldmark.records.services import first_person

PASSWORD = "glass between marks"


def asked_by(**meta: str) -> str:
    seen: list[str] = []

    def answer(request: HttpRequest) -> HttpResponse:
        seen.append(request.META["REMOTE_ADDR"])
        return HttpResponse()

    WhoAsks(answer)(RequestFactory().get("/", REMOTE_ADDR="127.0.0.1", **meta))  # type: ignore[arg-type]
    return seen[0]


def test_without_a_proxy_nobody_chooses_an_address(settings: Settings) -> None:
    settings.COLDMARK_PROXY = False
    assert asked_by(HTTP_X_FORWARDED_FOR="192.0.2.7") == "127.0.0.1"


@pytest.mark.parametrize(
    ("told", "who"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("10.1.1.1, 192.0.2.7", "192.0.2.7"),
        ("2001:db8::1", "2001:db8::1"),
        ("192.0.2.7, nonsense", "127.0.0.1"),
        ("", "127.0.0.1"),
    ],
)
def test_the_proxy_names_who_asks_and_only_its_own_word_counts(settings: Settings, told: str, who: str) -> None:
    settings.COLDMARK_PROXY = True
    assert asked_by(HTTP_X_FORWARDED_FOR=told) == who


@pytest.mark.django_db
def test_a_stranger_who_guesses_makes_nobody_else_wait_behind_a_proxy(settings: Settings) -> None:
    settings.COLDMARK_PROXY = True
    settings.SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    first_person("Ina Orr", "ina", PASSWORD)

    def sign_in(name: str, password: str, address: str) -> int:
        client = Client(headers={"host": "localhost", "x-forwarded-for": address, "x-forwarded-proto": "https"})
        return client.post("/sign-in/", {"sign_in": name, "password": password}).status_code

    for number in range(25):
        assert sign_in(f"nobody{number}", "guessed", "192.0.2.7") == 200
    assert sign_in("ina", PASSWORD, "192.0.2.7") == 200  # told to wait, on the same page
    assert sign_in("ina", PASSWORD, "192.0.2.8") == 302
    assert Person.objects.get().last_login is not None
