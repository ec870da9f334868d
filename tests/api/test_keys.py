"""A device's key: it lets a phone in after a month without a network, and a revoked one still delivers, held apart."""

from __future__ import annotations

import json
import secrets
import uuid
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.contrib.sessions.models import Session
from django.test import Client
from django.utils import timezone

from coldmark.api.answers import KEY_COOKIE
from coldmark.records import queries, services
from coldmark.records.models import Device, DeviceKey, Fact, MachineState, Person
from tests.api.asking import Asking, told
from tests.records.house import PASSWORD, House, Phone, change_role
from tests.records.pictures import a_photo

ANDROID = (
    "Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 Mobile Safari/537.36"
)


UNKNOWN = "019ccf2c-4a20-7000-8000-0000000000aa"


def _snapshot(house: House) -> str:
    return MachineState.objects.get(machine__id=uuid.UUID(house.machine)).snapshot


def _device_of(asking: Asking) -> str:
    return asking.client.cookies["coldmark_device"].value


def _by_key(asking: Asking, *, checks: bool = False) -> Asking:
    """The same phone weeks later: its session is over, its cookies are there."""
    other = Asking()
    other.client = Client(enforce_csrf_checks=checks)
    for name in (KEY_COOKIE, "coldmark_device", "coldmark_csrf"):
        if name in asking.client.cookies:
            other.client.cookies[name] = asking.client.cookies[name].value
    return other


@pytest.fixture
def phone(house: House, mechanic: Asking) -> Asking:
    """The mechanic's phone after its first visit, without a session."""
    told(mechanic.get("me"))
    return _by_key(mechanic)


def test_a_key_is_given_to_who_is_signed_in_and_only_its_hash_is_kept(house: House, mechanic: Asking) -> None:
    response = mechanic.client.get("/api/me", secure=True)
    cookie = response.cookies[KEY_COOKIE]
    assert cookie["httponly"]
    assert cookie["secure"]
    assert cookie["samesite"] == "Lax"
    assert cookie["path"] == "/api/"
    assert cookie["max-age"] == 400 * 24 * 60 * 60
    public, secret = cookie.value.split(".")
    row = DeviceKey.objects.get()
    assert (row.id.hex, row.person_id, str(row.device_id)) == (public, house.mechanic.id, _device_of(mechanic))
    assert len(secret) >= 43, "256 bits in base 64"
    assert secret not in json.dumps([row.sha256, str(row.id)])
    assert not mechanic.client.get("/api/me").cookies[KEY_COOKIE]["secure"], "none over plain HTTP"


def test_it_stays_the_same_and_one_person_has_one_on_a_device(house: House, mechanic: Asking) -> None:
    first = mechanic.client.get("/api/me").cookies[KEY_COOKIE].value
    assert mechanic.client.get("/api/me").cookies[KEY_COOKIE].value == first
    del mechanic.client.cookies[KEY_COOKIE]
    second = mechanic.client.get("/api/me").cookies[KEY_COOKIE].value
    assert second != first
    assert services.read_key(first) is None, "the lost one opens nothing"
    assert DeviceKey.objects.count() == 1


def test_it_lets_a_phone_in_without_signing_in_anew(house: House, phone: Asking) -> None:
    me = told(phone.get("me"))
    assert me["person"]["name"] == "Tom Weir"
    assert me["device"]["id"] == _device_of(phone)
    told(phone.get("bundle"))
    own = Phone(house.mechanic, house.machine, device=me["device"]["id"])
    fact = own.meter(700)
    (answer,) = told(phone.post("facts", {"facts": [fact.text]}))["answers"]
    assert answer["answer"] == "kept"
    row = Fact.objects.get(id=fact.id)
    assert (row.brought_by_id, row.held_apart) == (house.mechanic.id, False)


@pytest.mark.parametrize("days", [31, 399])
def test_a_month_offline_needs_no_new_sign_in(house: House, phone: Asking, days: int) -> None:
    later = timezone.now() + timedelta(days=days)
    use = services.read_key(phone.client.cookies[KEY_COOKIE].value, now=later)
    assert use is not None
    assert use.trusted
    assert services.read_key(phone.client.cookies[KEY_COOKIE].value, now=later + timedelta(days=400)) is None


@pytest.mark.parametrize("address", ["/", "/machines/", "/settings/", "/phone/"])
def test_it_opens_the_api_alone(house: House, phone: Asking, address: str) -> None:
    phone.client.cookies[KEY_COOKIE]["path"] = "/"
    response = phone.client.get(address)
    if address != "/phone/":
        assert response.status_code == 302
        assert response["Location"].startswith("/sign-in/")
    assert "Tom Weir" not in response.content.decode()
    assert not any(
        "_auth_user_id" in row.get_decoded() for row in Session.objects.filter(pk=phone.client.session.session_key)
    )


def test_what_it_posts_needs_the_token_all_the_same(house: House, mechanic: Asking) -> None:
    csrf = told(mechanic.get("me"))["csrf"]
    phone = _by_key(mechanic, checks=True)
    refused = phone.post("facts", {"facts": []})
    assert refused.status_code == 403
    told(phone.post("facts", {"facts": []}, **{"X-CSRFToken": csrf}))


@pytest.mark.parametrize(
    "wrong", ["", ".", "x", "no key at all", "0" * 32, "0" * 32 + "." + "x" * 43, "é.é", "a" * 9000]
)
def test_what_is_no_key_lets_nobody_in(house: House, wrong: str) -> None:
    asking = Asking()
    asking.client.cookies[KEY_COOKIE] = wrong
    for method, address in (("get", "me"), ("post", "facts"), ("get", "bundle")):
        response = asking.get(address) if method == "get" else asking.post(address, {"facts": []})
        assert response.status_code == 401


def test_the_secret_of_another_key_opens_nothing(house: House, mechanic: Asking) -> None:
    told(mechanic.get("me"))
    office = Asking(house.office)
    told(office.get("me"))
    mine, others = (one.client.cookies[KEY_COOKIE].value.split(".") for one in (mechanic, office))
    mixed = Asking()
    mixed.client.cookies[KEY_COOKIE] = f"{others[0]}.{mine[1]}"
    assert mixed.get("me").status_code == 401
    mixed.client.cookies[KEY_COOKIE] = f"{mine[0]}.{mine[1][:-1]}"
    assert mixed.get("me").status_code == 401


def test_secrets_are_compared_in_a_time_that_tells_nothing(
    house: House, phone: Asking, monkeypatch: pytest.MonkeyPatch
) -> None:
    compared: list[tuple[Any, Any]] = []
    real = secrets.compare_digest

    def spying(one: Any, other: Any) -> bool:
        compared.append((one, other))
        return real(one, other)

    monkeypatch.setattr("coldmark.records.services.keys.secrets.compare_digest", spying)
    public, _dot, secret = phone.client.cookies[KEY_COOKIE].value.partition(".")
    for told_key in (f"{public}.{secret}", f"{public}.wrong", f"{'0' * 32}.{secret}", "rubbish"):
        services.read_key(told_key)
    assert len(compared) == 4, "also where there is no such key"
    assert all(len(one) == len(other) == 64 for one, other in compared), "hashes, never the secrets themselves"


def test_on_anothers_phone_one_is_oneself_and_gets_a_key_of_ones_own(house: House, mechanic: Asking) -> None:
    told(mechanic.get("me"))
    first = _device_of(mechanic)
    mechanic.client.force_login(house.office)
    me = told(mechanic.get("me"))
    assert me["person"]["name"] == "Ina Orr"
    assert me["device"]["id"] != first
    use = services.read_key(mechanic.client.cookies[KEY_COOKIE].value)
    assert use is not None
    assert (use.person.id, use.device) == (house.office.id, me["device"]["id"])


def test_owners_get_none(house: House, owner: Asking) -> None:
    assert KEY_COOKIE not in owner.get("me").cookies
    assert not DeviceKey.objects.exists()


def _revoke_phone(house: House, phone: Asking) -> None:
    services.revoke_device(house.office, _device_of(phone))


def _shut_out(house: House, phone: Asking) -> None:
    services.set_active(house.office, str(house.mechanic.id), False)


def _erase(house: House, phone: Asking) -> None:
    services.erase(house.office, "person", str(house.mechanic.id), "asked for it")


def _make_owner(house: House, phone: Asking) -> None:
    change_role(house.office, house.mechanic, "owner", house.customer)


@pytest.mark.parametrize("end", [_revoke_phone, _shut_out, _erase, _make_owner])
def test_one_that_is_trusted_no_more_delivers_held_apart_and_opens_nothing(
    house: House, phone: Asking, end: Any
) -> None:
    device = _device_of(phone)
    before = _snapshot(house)
    end(house, phone)
    for address in ("me", "bundle", "facts", "catalogue"):
        assert phone.get(address).status_code == 401, address
    own = Phone(house.mechanic, house.machine, device=device)
    unknown = Phone(house.mechanic, UNKNOWN, device=device, number=10)
    facts = [own.meter(700), unknown.meter(5)]
    answers = told(phone.post("facts", {"facts": [one.text for one in facts]}, **{"X-Device-Now": "2026-01-01"}))
    assert [one["answer"] for one in answers["answers"]] == ["kept", "kept"]
    assert list(Fact.objects.filter(held_apart=True).order_by("number").values_list("id", flat=True).iterator()) == [
        Fact.objects.get(id=one.id).id for one in facts
    ]
    assert _snapshot(house) == before
    assert not MachineState.objects.filter(machine__id=uuid.UUID(UNKNOWN)).exists()
    assert not Fact.objects.filter(kind="clock_error").exists()
    sha256, photo = a_photo(3)
    assert told(phone.post("attachments/lacking", {"sha256": [sha256]}))["answers"][0]["answer"] == "lacking"
    for part, status in ((slice(0, 100), 202), (slice(100, None), 201)):
        told_as = f"bytes {part.start}-{part.start + len(photo[part]) - 1}/{len(photo)}"
        told(phone.put(f"attachments/{sha256}", photo[part], "image/jpeg", **{"Content-Range": told_as}), status)
    assert phone.get(f"attachments/{sha256}").status_code == 401
    assert services.admit_held(house.office, device) == 2
    assert services.refresh_stale().failed == ()
    assert _snapshot(house) != before


def test_a_session_on_a_revoked_device_is_over(house: House, mechanic: Asking) -> None:
    device = told(mechanic.get("me"))["device"]["id"]
    other = Asking(house.mechanic)
    told(other.get("me"))
    services.revoke_device(house.office, device)
    assert mechanic.get("me").status_code == 401
    told(other.get("me"))


def test_a_session_that_never_asked_the_api_is_over_too(house: House, phone: Asking) -> None:
    phone.client.post("/sign-in/", {"sign_in": "tom", "password": PASSWORD}, headers={"host": "localhost"})
    assert phone.client.session["device"] == _device_of(phone)
    _revoke_phone(house, phone)
    assert phone.get("me").status_code == 401


def test_who_signs_in_on_a_revoked_phone_is_on_a_new_device(house: House, mechanic: Asking) -> None:
    first = told(mechanic.get("me"))["device"]["id"]
    services.revoke_device(house.office, first)
    mechanic.client.force_login(house.mechanic)
    assert told(mechanic.get("me"))["device"]["id"] != first
    told(_by_key(mechanic).get("me"))


def test_a_new_password_ends_keys_and_who_signs_in_again_delivers_in_full(house: House, phone: Asking) -> None:
    services.set_password(house.office, str(house.mechanic.id), "rods in and cold")
    fact = Phone(house.mechanic, house.machine, device=_device_of(phone)).meter(700)
    assert phone.post("facts", {"facts": [fact.text]}).status_code == 401
    phone.client.force_login(Person.objects.get(id=house.mechanic.id))
    told(phone.post("facts", {"facts": [fact.text]}))
    assert not Fact.objects.get(id=fact.id).held_apart


def test_a_phone_that_is_trusted_no_more_is_told_so_and_an_unknown_one_is_not(house: House, phone: Asking) -> None:
    _revoke_phone(house, phone)
    for address in ("bundle", "me"):
        assert told(phone.get(address), 401)["name"] == "key"
    assert told(Asking().get("bundle"), 401)["name"] is None
    again = Asking(house.mechanic)
    told(again.get("me"))
    key = _by_key(again)
    services.set_active(house.office, str(house.mechanic.id), False)
    assert told(key.get("bundle"), 401)["name"] == "key"


def test_who_has_become_an_owner_still_brings_what_was_recorded_before(house: House, mechanic: Asking) -> None:
    device = told(mechanic.get("me"))["device"]["id"]
    fact = Phone(house.mechanic, house.machine, device=device).meter(700)
    Person.objects.filter(id=house.mechanic.id).update(role="owner", customer=house.owner.customer)
    assert mechanic.get("bundle").status_code == 403
    (answer,) = told(mechanic.post("facts", {"facts": [fact.text]}))["answers"]
    assert answer["answer"] == "kept"
    assert Fact.objects.get(id=fact.id).held_apart
    # One who has no key of his own on this phone brings nothing by somebody else's.
    owner = Asking(house.owner)
    owner.client.cookies[KEY_COOKIE] = mechanic.client.cookies[KEY_COOKIE].value
    assert owner.post("facts", {"facts": [fact.text]}).status_code == 403


def test_signing_out_ends_the_devices_key(house: House, mechanic: Asking) -> None:
    told(mechanic.get("me"))
    phone = _by_key(mechanic)
    left = mechanic.client.post("/sign-out/", headers={"host": "localhost"})
    assert left.cookies[KEY_COOKIE]["max-age"] == 0
    assert phone.get("me").status_code == 401


def test_what_somebody_else_recorded_on_a_shared_phone_is_his_if_he_signed_in_there(
    house: House, mechanic: Asking
) -> None:
    first = told(mechanic.get("me"))["device"]["id"]
    mechanic.client.force_login(house.office)
    second = told(mechanic.get("me"))["device"]["id"]
    theirs = Phone(house.mechanic, house.machine, device=first).meter(700)
    forged = Phone(house.mechanic, house.machine, device=second).meter(710)
    nowhere = Phone(house.mechanic, house.machine).meter(720)
    own = Phone(house.office, house.machine, device=second, number=5).meter(730)
    sent = [theirs, forged, nowhere, own]
    answers = told(mechanic.post("facts", {"facts": [one.text for one in sent]}))["answers"]
    assert {one["answer"] for one in answers} == {"kept"}
    held = {one.id: Fact.objects.get(id=one.id).held_apart for one in sent}
    assert [held[one.id] for one in sent] == [False, True, True, False]


def test_devices_are_listed_by_names_that_people_read(house: House, mechanic: Asking) -> None:
    mechanic.get("me", **{"User-Agent": ANDROID})
    Device.objects.create(id="019ccf2c-4a20-7000-8000-0000000000bb", person=house.mechanic, label=ANDROID[:120])
    lines = queries.devices(house.mechanic)
    assert {one.label for one in lines} == {"Chrome on Android"}
    assert [one.key for one in sorted(lines, key=lambda one: one.met_at is None)] == [True, False]
    page = Client(headers={"host": "localhost"})
    page.force_login(house.office)
    shown = page.get("/people/").content.decode()
    today = timezone.localdate()
    assert f"Chrome on Android, since {today.day} {today:%B}" in shown
    assert "stays signed in" in shown
    assert "Mozilla" not in shown


@pytest.mark.django_db(transaction=True)  # a backup reads one moment, which no transaction may stand around
def test_a_restore_keeps_keys_and_what_was_revoked_since(house: House, mechanic: Asking, tmp_path: Path) -> None:
    told(mechanic.get("me"))
    lost, kept = Asking(house.mechanic), _by_key(mechanic)
    told(lost.get("me"))
    services.backup(tmp_path / "backup.zip")
    services.revoke_device(house.office, _device_of(lost))
    services.restore(tmp_path / "backup.zip", over=True)
    told(kept.get("me"))
    assert _by_key(lost).get("me").status_code == 401
    assert Device.objects.get(id=_device_of(lost)).revoked_at is not None
