"""Facts sent and pulled: stored before the answer, answered one by one, and none is skipped."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from django.utils import timezone

from coldmark.records import services
from coldmark.records.models import Device, Fact, MachineState
from tests.api.asking import Asking, told
from tests.records.house import House


def test_me_tells_who_and_counts_the_device_on(house: House, mechanic: Asking) -> None:
    first = told(mechanic.get("me"))
    assert first["person"] == {"id": str(house.mechanic.id), "name": "Tom Weir", "role": "mechanic"}
    assert first["device"]["next_number"] == 1
    assert first["epoch"] == services.epoch()
    house.phone.device = first["device"]["id"]
    mechanic.post("facts", {"facts": [house.phone.meter(500).text, house.phone.meter(501).text]})
    again = told(mechanic.get("me"))
    assert again["device"] == {"id": first["device"]["id"], "next_number": 3}


def test_another_person_on_the_same_browser_is_another_device(house: House, mechanic: Asking) -> None:
    before = told(mechanic.get("me"))["device"]["id"]
    mechanic.client.logout()
    mechanic.client.force_login(house.office)
    assert told(mechanic.get("me"))["person"]["name"] == "Ina Orr"
    mechanic.client.logout()
    mechanic.client.force_login(house.mechanic)
    assert told(mechanic.get("me"))["device"]["next_number"] >= 1
    assert Device.objects.filter(id=before).exists()


def test_facts_are_answered_one_by_one_and_are_stored_then(house: House, mechanic: Asking) -> None:
    good, changed = house.phone.meter(500), house.phone.meter(502)
    house.phone.send(changed)
    forged = changed.text.replace('"502"', '"503"')
    broken = house.phone.meter(504).text.replace('"way":"seen"', '"way":"guessed"')
    answers = told(mechanic.post("facts", {"facts": [good.text, changed.text, forged, broken, "no fact"]}))["answers"]
    assert [one["answer"] for one in answers] == ["kept", "known", "refused", "refused", "refused"]
    assert [one["id"] for one in answers][:3] == [good.id, changed.id, changed.id]
    assert "never edited" in answers[2]["why"]
    assert [one["name"] for one in answers] == [None, None, "id", "body.way", "text"]
    assert "way" in answers[3]["why"]
    assert "seen, told, photo, telematics" in answers[3]["why"]
    assert answers[4]["id"] == ""
    kept = Fact.objects.get(id=good.id)
    assert kept.text == good.text
    assert kept.arrival == answers[0]["arrival"]
    assert MachineState.objects.get(machine_id=house.machine).stale is False


def test_a_fold_that_fails_loses_nothing(
    house: House, mechanic: Asking, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def stumble(*_told: object, **_named: object) -> None:
        raise ArithmeticError("the fold stumbled")

    monkeypatch.setattr("coldmark.records.services.folding.fold", stumble)
    fact = house.phone.meter(500)
    assert told(mechanic.post("facts", {"facts": [fact.text]}))["answers"][0]["answer"] == "kept"
    assert Fact.objects.filter(id=fact.id).exists()
    assert MachineState.objects.get(machine_id=house.machine).stale


@pytest.mark.parametrize(
    ("body", "name", "says"),
    [
        ("{", "body", "not JSON"),
        ('{"facts": NaN}', "body", "not JSON"),
        ("[" * 20_000, "body", "not JSON"),
        ("[]", "body", "JSON object"),
        ("{}", "facts", "list of texts"),
        ('{"facts": "one"}', "facts", "list of texts"),
        ('{"facts": [{"id": 1}]}', "facts", "list of texts"),
        (json.dumps({"facts": ["x"] * 501}), "facts", "501 facts; send at most 500"),
    ],
)
def test_a_body_that_is_not_right_is_refused_by_name(mechanic: Asking, body: str, name: str, says: str) -> None:
    refused = told(mechanic.post("facts", body), 422)
    assert refused["name"] == name
    assert says in refused["says"]


def test_a_body_that_is_too_long_is_refused_before_it_is_read(mechanic: Asking) -> None:
    refused = told(mechanic.post("facts", '{"facts": ["' + "x" * 9_000_000 + '"]}'), 413)
    assert "send less" in refused["says"]


@pytest.mark.parametrize("clock", ["yesterday", "2026-13-01T00:00:00Z", "0001-01-01T00:00:00Z", "9999-12-31T00:00:00Z"])
def test_a_clock_that_is_no_moment_is_refused_by_name(mechanic: Asking, clock: str) -> None:
    refused = told(mechanic.post("facts", {"facts": []}, **{"X-Device-Now": clock}), 422)
    assert refused["name"] == "X-Device-Now"


def test_a_clock_that_is_off_becomes_a_fact(house: House, mechanic: Asking) -> None:
    device = told(mechanic.get("me"))["device"]["id"]
    fast = (timezone.now() + timedelta(minutes=10)).isoformat()
    told(mechanic.post("facts", {"facts": []}, **{"X-Device-Now": fast}))
    assert abs(Device.objects.get(id=device).clock_error_s - 600) <= 2
    lost_its_battery = "1970-01-01T00:05:00+00:00"
    told(mechanic.post("facts", {"facts": []}, **{"X-Device-Now": lost_its_battery}))
    assert Device.objects.get(id=device).clock_error_s < -1_600_000_000


def test_a_pull_goes_on_where_the_last_one_ended(house: House, mechanic: Asking) -> None:
    begun = told(mechanic.get("facts"))
    assert not begun["more"]
    assert told(mechanic.get(f"facts?after={begun['last']}"))["texts"] == []
    facts = [house.phone.meter(500 + n, at=house.days(n)) for n in range(5)]
    house.phone.send(*facts)
    pulled = told(mechanic.get(f"facts?after={begun['last']}"))
    assert pulled["texts"] == [fact.text for fact in facts]
    assert pulled["last"] == begun["last"] + 5
    assert pulled["epoch"] == begun["epoch"]
    for wrong in ("-1", "half", "", "9" * 30):
        assert told(mechanic.get(f"facts?after={wrong}"), 422)["name"] == "after"
    assert told(mechanic.get(f"facts?after={'9' * 18}"))["texts"] == []


@pytest.mark.parametrize("cookie", ["nonsense", "", "00000000-0000-0000-0000-00000000000g", "x" * 3000])
def test_a_device_that_says_nonsense_is_a_new_one_and_delivers_all_the_same(
    house: House, mechanic: Asking, cookie: str
) -> None:
    mechanic.client.cookies["coldmark_device"] = cookie
    answer = told(
        mechanic.post("facts", {"facts": [house.phone.meter(412).text]}, **{"X-Device-Now": "2026-01-05T07:00:00Z"})
    )
    assert [one["answer"] for one in answer["answers"]] == ["kept"]
    mechanic.client.cookies["coldmark_device"] = cookie
    assert told(mechanic.get("me"))["device"]["next_number"] == 1
