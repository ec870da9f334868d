"""The demo's sign-in is printed, so the demo answers nobody but the machine it runs on."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import RequestFactory

from coldmark.project.loopback import PASSED_ON, DemoStaysHome
from coldmark.records.folder import demo_mark


def status(**meta: str) -> int:
    def fine(request: HttpRequest) -> HttpResponse:
        return HttpResponse("fine")

    return DemoStaysHome(fine)(RequestFactory().get("/", **meta)).status_code  # type: ignore[arg-type]


@pytest.fixture
def demo(data_folder: Path) -> None:
    demo_mark(data_folder).write_text('{"name": "a", "password": "b"}')


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize("address", ["127.0.0.1", "::1"])
def test_it_answers_its_own_machine(address: str) -> None:
    assert status(REMOTE_ADDR=address) == 200


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize("address", ["192.0.2.7", "10.0.0.4", "2001:db8::1", "", "unix:"])
def test_it_refuses_another_machine(address: str) -> None:
    assert status(REMOTE_ADDR=address) == 403


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize("header", PASSED_ON)
def test_it_refuses_what_a_proxy_passed_on(header: str) -> None:
    assert status(REMOTE_ADDR="127.0.0.1", **{header: "127.0.0.1"}) == 403


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize(
    "host", ["demo.example", "192.0.2.7:8000", "[2001:db8::1]", "localhost.example", "a@localhost"]
)
def test_it_refuses_what_came_by_another_name(host: str) -> None:
    assert status(REMOTE_ADDR="127.0.0.1", HTTP_HOST=host) == 403


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize("host", ["localhost:8000", "127.0.0.1", "127.0.0.1:8000", "[::1]:8000", "LOCALHOST"])
def test_it_answers_by_every_name_of_its_own_machine(host: str) -> None:
    assert status(REMOTE_ADDR="127.0.0.1", HTTP_HOST=host) == 200


@pytest.mark.usefixtures("data_folder")
def test_a_house_of_its_own_answers_both() -> None:
    assert status(REMOTE_ADDR="192.0.2.7", HTTP_X_FORWARDED_FOR="192.0.2.8") == 200
