"""People: the first one, roles, passwords, devices, and guessing made slow."""

from __future__ import annotations

import uuid
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from coldmark.bench.errors import Refused
from coldmark.records import queries, services
from coldmark.records.errors import NotAllowed, NotFound, NotNow
from coldmark.records.models import Device, Person
from coldmark.records.services import PersonData
from tests.records.house import PASSWORD, House, change_role

NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


@pytest.mark.django_db
def test_the_first_person_is_of_the_office_and_there_is_only_one_first(data_folder: Path) -> None:
    id = services.first_person("Ina Orr", " Ina ", PASSWORD, business="Varne Valley Service")
    person = Person.objects.get(id=id)
    assert (person.role, person.sign_in) == ("office", "ina")
    assert queries.business().name == "Varne Valley Service"
    with pytest.raises(Refused, match="already"):
        services.first_person("Eve", "eve", PASSWORD)


@pytest.mark.django_db
@pytest.mark.parametrize("password", ["short", "1234567890123", "password123"])
def test_a_password_that_is_easily_guessed_is_refused(password: str) -> None:
    with pytest.raises(Refused, match="not good enough"):
        services.first_person("Ina", "ina", password)
    assert not Person.objects.exists()


def test_the_right_password_signs_in_whatever_the_case_of_the_name(house: House) -> None:
    assert services.sign_in("TOM ", PASSWORD, address="::1").id == house.mechanic.id


def test_it_does_not_tell_which_of_name_and_password_was_wrong(house: House) -> None:
    said = set()
    for name, password in (("tom", "wrong one here"), ("nobody", PASSWORD)):
        with pytest.raises(Refused) as refused:
            services.sign_in(name, password, address="::1")
        said.add(refused.value.say())
    assert len(said) == 1


def test_after_five_failures_each_further_one_waits_twice_as_long_and_the_wait_passes(house: House) -> None:
    for _try in range(5):
        with pytest.raises(Refused):
            services.sign_in("tom", "wrong one here", address="::1", now=NOW)
    with pytest.raises(NotNow) as first:
        services.sign_in("tom", PASSWORD, address="::1", now=NOW)
    later = NOW + timedelta(seconds=first.value.wait_s + 1)
    with pytest.raises(Refused):
        services.sign_in("tom", "wrong one here", address="::1", now=later)
    with pytest.raises(NotNow) as second:
        services.sign_in("tom", PASSWORD, address="::1", now=later)
    assert second.value.wait_s == 2 * first.value.wait_s
    assert services.sign_in("ina", PASSWORD, address="::1", now=later).id == house.office.id
    passed = later + timedelta(seconds=second.value.wait_s + 1)
    assert services.sign_in("tom", PASSWORD, address="::1", now=passed).id == house.mechanic.id


def test_many_names_tried_from_one_address_wait_too(house: House) -> None:
    for number in range(20):
        with pytest.raises(Refused):
            services.sign_in(f"nobody{number}", "wrong one here", address="203.0.113.9", now=NOW)
    with pytest.raises(NotNow):
        services.sign_in("tom", PASSWORD, address="203.0.113.9", now=NOW)
    assert services.sign_in("tom", PASSWORD, address="203.0.113.10", now=NOW).id == house.mechanic.id


def test_somebody_who_may_sign_in_no_more_cannot(house: House) -> None:
    services.set_active(house.office, str(house.mechanic.id), False)
    with pytest.raises(Refused):
        services.sign_in("tom", PASSWORD, address="::1")


def test_an_owner_needs_a_customer_and_a_sign_in_name_is_one_persons(house: House) -> None:
    with pytest.raises(Refused, match="customer"):
        services.keep_person(house.office, PersonData(str(uuid.uuid4()), "A", "a", "owner"), password=PASSWORD)
    with pytest.raises(Refused, match="another person"):
        services.keep_person(house.office, PersonData(str(uuid.uuid4()), "A", "Tom", "mechanic"), password=PASSWORD)
    with pytest.raises(Refused, match="password"):
        services.keep_person(house.office, PersonData(str(uuid.uuid4()), "A", "a", "mechanic"))
    with pytest.raises(NotFound):
        change_role(house.office, house.mechanic, "owner", str(uuid.uuid4()))


def test_the_last_one_of_the_office_stays(house: House) -> None:
    with pytest.raises(Refused, match="keys"):
        change_role(house.office, house.office, "mechanic")
    with pytest.raises(Refused, match="keys"):
        services.set_active(house.office, str(house.office.id), False)
    change_role(house.office, house.mechanic, "office")
    change_role(house.office, house.office, "mechanic")
    assert Person.objects.get(id=house.office.id).role == "mechanic"


def test_everybody_sets_his_own_password(house: House) -> None:
    services.set_password(house.mechanic, str(house.mechanic.id), "rods in and cold")
    assert services.sign_in("tom", "rods in and cold", address="::1").id == house.mechanic.id


def test_a_device_is_its_persons_and_another_gets_a_new_one(house: House) -> None:
    mine = services.device_of(house.mechanic, None, label="phone")
    assert services.device_of(house.mechanic, mine.id).id == mine.id
    assert services.device_of(house.office, mine.id).id != mine.id
    services.revoke_device(house.mechanic, mine.id)
    assert services.device_of(house.mechanic, mine.id).id != mine.id
    with pytest.raises(NotAllowed):
        services.revoke_device(house.owner, mine.id)
    assert Device.objects.get(id=mine.id).revoked_at is not None
    assert {line.person for line in queries.devices(house.mechanic)} == {"Tom Weir"}


def test_looks_and_units_are_ones_own_choice(house: House) -> None:
    services.set_look(house.mechanic, units="us", look="sun")
    row = Person.objects.get(id=house.mechanic.id)
    assert (row.units, row.look) == ("us", "sun")
    with pytest.raises(Refused):
        services.set_look(house.mechanic, look="neon")
