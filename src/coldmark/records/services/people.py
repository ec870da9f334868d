"""People: the first one, others, their roles and passwords, and the devices they record on."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import datetime
from secrets import compare_digest

from django.conf import settings
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from coldmark.bench.errors import Refused, require_choice
from coldmark.records.access import require_office
from coldmark.records.browsers import browser_name
from coldmark.records.errors import NotAllowed, NotFound, refused, uuid_of
from coldmark.records.models import Customer, Device, Person, Role
from coldmark.records.numbers import locked_store, moment
from coldmark.records.plain import PersonData
from coldmark.records.services.keys import end_keys, revoke_keys

__all__ = [
    "DeviceUse",
    "check_start_code",
    "device_of",
    "first_person",
    "keep_person",
    "own_device",
    "revoke_device",
    "set_active",
    "set_look",
    "set_password",
]


@dataclass(frozen=True, slots=True)
class DeviceUse:
    """A device and the running number its next fact takes."""

    id: str
    next_number: int
    label: str


def first_person(
    name: str,
    sign_in: str,
    password: str,
    *,
    business: str = "",
    address: str = "",
    phone: str = "",
    id: str | None = None,
) -> str:
    """Make the first person, of the office, and name the business; return the person's id, the caller's where given.

    Raises
    ------
    Refused
        When somebody can sign in already, or a value is not right.
    """
    with transaction.atomic():
        store = locked_store()
        if Person.objects.exists():
            raise Refused("records.not_first", name="name")
        new = uuid.uuid4() if id is None else uuid_of("id", id)
        person = _checked(Person(id=new), PersonData("", name, sign_in, Role.OFFICE))
        _take_password(person, password)
        person.save(force_insert=True)
        store.business_name, store.business_address, store.business_phone = (
            business.strip(),
            address.strip(),
            phone.strip(),
        )
        store.save(update_fields=["business_name", "business_address", "business_phone"])
    return str(person.id)


def check_start_code(told: str) -> None:
    """Refuse, where the server printed a code at its start, one that is not this; its case and dashes do not matter.

    Raises
    ------
    Refused
        When it is another. Whoever comes first to a server that others can reach must not become the house's first
        person by that alone.
    """
    wanted = settings.COLDMARK_START_CODE
    if wanted and not compare_digest(_bare(told), _bare(wanted)):
        raise Refused("records.start_code", name="start_code")


def _bare(code: str) -> bytes:
    return "".join(filter(str.isalnum, code)).casefold().encode("utf-8", "replace")


def keep_person(person: Person, data: PersonData, *, password: str | None = None) -> str:
    """Make a person, or change one; a new one needs a password. Return the id."""
    require_office(person, "changing people")
    with transaction.atomic():
        locked_store()
        id = uuid_of("id", data.id)
        row = Person.objects.filter(id=id).first()
        if row is not None and row.erased_at is not None:
            raise NotFound("person", data.id)
        if row is not None and row.role == Role.OFFICE and data.role != Role.OFFICE:
            _require_another_office(row)
        new = row is None
        row = _checked(row or Person(id=id), data)
        if password is not None:
            _take_password(row, password)
        elif new:
            raise refused("password", "nothing", "a password of ten letters or more")
        row.save(force_insert=new)
    return str(row.id)


def set_active(person: Person, other: str, active: bool) -> None:
    """Let somebody sign in, or no more. The last one of the office stays."""
    require_office(person, "changing people")
    with transaction.atomic():
        locked_store()
        row = _person(other)
        if not active and row.role == Role.OFFICE:
            _require_another_office(row)
        row.is_active = active
        row.save(update_fields=["is_active"])


def set_password(person: Person, other: str, password: str) -> None:
    """Set a password: one's own, or by the office anybody's."""
    if str(person.id) != other:
        require_office(person, "setting others' passwords")
    row = _person(other)
    _take_password(row, password)
    row.save(update_fields=["password"])
    end_keys(row)


def set_look(person: Person, *, units: str | None = None, look: str | None = None) -> None:
    """Choose one's own units and look."""
    if units is not None:
        person.units = require_choice("units", units, ("metric", "us"))
    if look is not None:
        person.look = require_choice("look", look, ("day", "sun", "dark"))
    person.save(update_fields=["units", "look"])


def device_of(person: Person, device: str | None, *, label: str = "", now: datetime | None = None) -> DeviceUse:
    """Return the device a person records on; a new one when it is unknown, revoked, or somebody else's.

    ``label`` is what its browser calls itself; kept is its name in plain words.
    """
    at = moment(now)
    row = None
    if device is not None:
        row = Device.objects.filter(id=uuid_of("device", device), person=person, revoked_at__isnull=True).first()
    if row is None:
        label = browser_name(label)
        row = Device.objects.create(id=uuid.uuid4(), person=person, label=label, met_at=at, seen_at=at)
    return DeviceUse(str(row.id), row.last_number + 1, row.label)


def own_device(person: Person, device: str) -> str | None:
    """Return the id of a device that a browser says it is on, when it is one of the person's that is trusted."""
    try:
        id = uuid_of("device", device)
    except Refused:
        return None
    found = Device.objects.filter(id=id, person=person, revoked_at__isnull=True)
    return str(id) if found.exists() else None


def revoke_device(person: Person, device: str, *, now: datetime | None = None) -> None:
    """Trust a device no more: what it brings from here on is kept, but held apart. One's own, or by the office any.

    Its keys open nothing from here on, and whoever is signed in on it is so no more.
    """
    row = Device.objects.filter(id=uuid_of("device", device)).first()
    if row is None:
        raise NotFound("device", device)
    if row.person_id != person.id and person.role != Role.OFFICE:
        raise NotAllowed("revoking others' devices", person.role)
    at = moment(now)
    Device.objects.filter(id=row.id, revoked_at__isnull=True).update(revoked_at=at)
    revoke_keys([row.id], at)


def _person(other: str) -> Person:
    row = Person.objects.filter(id=uuid_of("person", other), erased_at__isnull=True).first()
    if row is None:
        raise NotFound("person", other)
    return row


def _checked(row: Person, data: PersonData) -> Person:
    name, sign_in = data.name.strip(), data.sign_in.strip().casefold()
    if not 1 <= len(name) <= 120:
        raise refused("name", name, "a name of 1 to 120 letters")
    if not 1 <= len(sign_in) <= 80 or any(letter.isspace() for letter in sign_in):
        raise refused("sign_in", sign_in, "a word of 1 to 80 letters without blanks")
    require_choice("role", data.role, [str(role) for role in Role.values])
    if Person.objects.filter(sign_in=sign_in).exclude(id=row.id).exists():
        raise Refused("records.sign_in_taken", name="sign_in", value=sign_in)
    row.customer = None
    if data.role == Role.OWNER:
        if data.customer is None:
            raise refused("customer", "nothing", "the customer whose machines this owner sees")
        row.customer = Customer.objects.filter(id=uuid_of("customer", data.customer), erased_at__isnull=True).first()
        if row.customer is None:
            raise NotFound("customer", data.customer)
    row.name, row.sign_in, row.role = name, sign_in, data.role
    return row


def _take_password(row: Person, password: str) -> None:
    try:
        validate_password(password, row)
    except ValidationError as error:
        raise Refused("records.password", name="password", why=" ".join(error.messages)) from None
    row.set_password(password)


def _require_another_office(row: Person) -> None:
    others = Person.objects.filter(role=Role.OFFICE, is_active=True).exclude(id=row.id)
    if not others.exists():
        raise Refused("records.last_office", name="role", value=row.name)
