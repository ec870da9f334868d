"""Who is answered: nobody without signing in, owners not what is the firm's, and nobody by a wrong method."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.test import Client
from django.urls import URLPattern

from coldmark.api.answers import methods_of
from coldmark.api.urls import urlpatterns
from coldmark.records import services
from tests.api.asking import Asking, told
from tests.records.house import PASSWORD, House, sha
from tests.records.jobs import Work

ID = "019ccf2c-4a20-7000-8000-000000000001"


def addresses() -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each address of the API with something in its places, and the methods it answers."""
    for pattern in urlpatterns:
        assert isinstance(pattern, URLPattern)
        methods = methods_of(pattern.callback)
        if methods:
            route = str(pattern.pattern)
            yield (
                route.replace("<str:job>", ID).replace("<str:sha256>", sha("x")).replace("<str:name>", "level"),
                methods,
            )


ADDRESSES = dict(addresses())


@pytest.mark.parametrize("address", ADDRESSES)
def test_nobody_is_answered_without_signing_in(house: House, address: str) -> None:
    for method in ADDRESSES[address]:
        response = Client().generic(method, f"/api/{address}", "{}", content_type="application/json")
        assert response.status_code == 401, (method, address)
        assert response.json() == {"says": "Sign in first.", "name": None}


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_method_that_is_not_answered_is_told_which_are(house: House, mechanic: Asking, address: str) -> None:
    for method in {"GET", "POST", "PUT", "PATCH", "DELETE"} - set(ADDRESSES[address]):
        response = mechanic.client.generic(method, f"/api/{address}", "{}", content_type="application/json")
        assert response.status_code == 405
        assert response["Allow"] == ", ".join(ADDRESSES[address])
        assert method in response.json()["says"]


def test_an_address_that_is_none_is_said_so_as_json(mechanic: Asking) -> None:
    for address in ("", "machines", f"jobs/{ID}/tea", "facts/"):
        response = mechanic.get(address)
        assert response.status_code == 404, address
        assert "/api/openapi.json" in response.content.decode()


def test_who_was_let_go_is_signed_out(house: House, mechanic: Asking) -> None:
    told(mechanic.get("me"))
    services.set_active(house.office, str(house.mechanic.id), False)
    told_why = mechanic.get("me")
    assert told_why.status_code == 401


@pytest.mark.parametrize("who", ["owner", "stranger"])
def test_owners_are_not_answered_what_is_the_firms(house: House, work: Work, who: str) -> None:
    asking = Asking(getattr(house, who))
    for address in (f"jobs/{work.job}/card", f"jobs/{work.job}/finish"):
        assert told(asking.get(address), 404)["says"] == f"There is no job {work.job}."
    level = {"reading": "0.35", "posture": "arm_out", "oil_c": 12}
    told(asking.post(f"jobs/{work.job}/level", level), 404)
    told(asking.post(f"jobs/{work.job}/meter", {"reading_h": 500}), 404)
    assert "owner" in told(asking.get("facts"), 403)["says"]
    told(asking.post("facts", {"facts": []}), 403)
    refused = asking.put(f"attachments/{sha('a text')}", b"a text", "text/plain; charset=utf-8")
    assert told(refused, 403)["name"] is None


def test_a_program_needs_the_token_that_it_was_told(house: House) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(house.mechanic)
    body = '{"facts": []}'
    refused = client.post("/api/facts", body, content_type="application/json")
    assert refused.status_code == 403
    assert "X-CSRFToken" in refused.json()["says"]
    token = client.get("/api/me").json()["csrf"]
    sent = client.post("/api/facts", body, content_type="application/json", headers={"X-CSRFToken": token})
    assert sent.status_code == 200


def test_signing_in_by_the_page_opens_the_api(house: House) -> None:
    client = Client()
    client.post("/sign-in/", {"sign_in": "tom", "password": PASSWORD})
    assert client.get("/api/me").json()["person"]["name"] == "Tom Weir"
