"""The ordinary rows: customers, sites, vans, machines, and the business itself.

The id comes from the caller, so that sending a form twice makes one row.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import TypeVar

from django.db import models as django_models
from django.db import transaction
from django.db.models import QuerySet

from coldmark.bench.errors import NotANumber, OutOfRange, require_between
from coldmark.records.access import require_office, require_staff
from coldmark.records.errors import NotFound, refused, uuid_of
from coldmark.records.models import Customer, Machine, MachineState, OwnerSpan, Person, SheetVersion, Site, Van
from coldmark.records.numbers import locked_store
from coldmark.records.plain import BusinessData, CustomerData, MachineData, SiteData, VanData
from coldmark.records.searching import refresh_search
from coldmark.records.services.accepting import Kept, record
from coldmark.records.services.folding import refresh

__all__ = [
    "assign_sheet",
    "fit_option",
    "hand_over",
    "join_machines",
    "keep_business",
    "keep_customer",
    "keep_machine",
    "keep_site",
    "keep_van",
    "mark_as_demo",
    "move_machine",
]


COLDEST_C = (-40.0, 20.0)


Row = TypeVar("Row", bound=django_models.Model)


def keep_business(person: Person, data: BusinessData) -> None:
    """Say who issues the papers."""
    require_office(person, "changing the business")
    if data.coldest_c is not None:
        require_between("coldest_c", data.coldest_c, *COLDEST_C, "where machines are started in the open")
    with transaction.atomic():
        store = locked_store()
        store.business_name = _text("name", data.name, 120)
        store.business_address = data.address.strip()
        store.business_phone = _text("phone", data.phone, 60, empty=True)
        store.money = _text("money", data.money, 10, empty=True)
        store.coldest_c = data.coldest_c
        store.save()


def mark_as_demo(person: Person) -> None:
    """Say that all that is kept here is invented."""
    require_office(person, "marking the demo")
    with transaction.atomic():
        store = locked_store()
        store.demo = True
        store.save(update_fields=["demo"])


def keep_customer(person: Person, data: CustomerData) -> str:
    """Make or change a customer and return the id."""
    require_staff(person, "changing customers")
    row = Customer.objects.filter(id=uuid_of("id", data.id)).first() or Customer(id=uuid_of("id", data.id))
    new = row._state.adding
    if row.erased_at is not None:
        raise NotFound("customer", data.id)
    row.name = _text("name", data.name, 200)
    row.contact = _text("contact", data.contact, 200, empty=True)
    row.phone = _text("phone", data.phone, 60, empty=True)
    row.email = _text("email", data.email, 200, empty=True)
    row.address, row.note = data.address.strip(), data.note.strip()
    row.save()
    if new:
        _take_in(MachineState.objects.filter(machine__in=OwnerSpan.objects.filter(customer=row.id).values("machine")))
    refresh_search(Machine.objects.filter(state__customer=row))
    return str(row.id)


def keep_site(person: Person, data: SiteData) -> str:
    """Make or change a site and return the id."""
    require_staff(person, "changing sites")
    row = Site.objects.filter(id=uuid_of("id", data.id)).first() or Site(id=uuid_of("id", data.id))
    new = row._state.adding
    row.name = _text("name", data.name, 200)
    row.customer = None if data.customer is None else _row(Customer, "customer", data.customer)
    row.address, row.access = data.address.strip(), data.access.strip()
    if (data.lat is None) != (data.lon is None):
        raise refused("lat", data.lat, "given together with lon, or both left out")
    row.lat, row.lon = _between("lat", data.lat, 90.0), _between("lon", data.lon, 180.0)
    row.save()
    if new:
        _take_in(MachineState.objects.filter(site__isnull=True, snapshot__contains=f'"{row.id}"'))
    refresh_search(Machine.objects.filter(state__site=row))
    return str(row.id)


def keep_van(person: Person, data: VanData) -> str:
    """Make or change a van and return the id."""
    require_staff(person, "changing vans")
    row = Van.objects.filter(id=uuid_of("id", data.id)).first() or Van(id=uuid_of("id", data.id))
    row.name, row.plate = _text("name", data.name, 120), _text("plate", data.plate, 40, empty=True)
    for name, litres in {
        "waste_l": data.waste_l,
        **{f"oils.{oil}": carried for oil, carried in data.oils.items()},
    }.items():
        if litres is not None and not 0.0 <= litres <= 10_000.0:
            raise OutOfRange(name=name, value=litres, low=0, high=10_000, source="a van's load")
    row.waste_l, row.oils, row.retired = data.waste_l, dict(data.oils), data.retired
    row.save()
    return str(row.id)


def keep_machine(person: Person, data: MachineData) -> str:
    """Make or change a machine's names and return the id; a machine met on site becomes a known one."""
    require_staff(person, "changing machines")
    row = Machine.objects.filter(id=uuid_of("id", data.id)).first() or Machine(id=uuid_of("id", data.id))
    row.name, row.number = _text("name", data.name, 120), _text("number", data.number, 40, empty=True)
    row.serial, row.plate = _text("serial", data.serial, 60, empty=True), _text("plate", data.plate, 40, empty=True)
    row.note, row.known = data.note.strip(), True
    with transaction.atomic():
        row.save()
        _state, made = MachineState.objects.get_or_create(machine=row)
    if made:
        refresh([row.id])
    refresh_search(Machine.objects.filter(id=row.id))
    return str(row.id)


def move_machine(
    person: Person,
    machine: str,
    customer: str,
    site: str | None = None,
    *,
    at: datetime | None = None,
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    """Record that a machine has another owner or stands on another site from a moment on."""
    _row(Customer, "customer", customer)
    if site is not None:
        _row(Site, "site", site)
    body = {"customer": customer} if site is None else {"customer": customer, "site": site}
    return record(person, "owner_changed", _machine(machine), body, at=at, id=id, now=now)


def assign_sheet(
    person: Person,
    machine: str,
    sheet: str,
    *,
    at: datetime | None = None,
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    """Record that a machine has this data sheet, by its hash, from a moment on."""
    if not SheetVersion.objects.filter(sha256=sheet).exists():
        raise NotFound("sheet", sheet)
    return record(person, "sheet_assigned", _machine(machine), {"sheet": sheet}, at=at, id=id, now=now)


def fit_option(
    person: Person,
    machine: str,
    option: str,
    fitted: bool,
    *,
    at: datetime | None = None,
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    """Record that an option was fitted, or taken off."""
    return record(
        person, "option_fitted", _machine(machine), {"option": option, "fitted": fitted}, at=at, id=id, now=now
    )


def hand_over(
    person: Person,
    machine: str,
    day: date,
    *,
    at: datetime | None = None,
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    """Record the day on which a machine was handed over new."""
    return record(person, "handed_over", _machine(machine), {"day": day.isoformat()}, at=at, id=id, now=now)


def join_machines(
    person: Person, machine: str, other: str, *, id: str | None = None, now: datetime | None = None
) -> Kept:
    """Record that two records are one machine: ``machine`` goes on, with the facts of ``other`` folded into it."""
    require_office(person, "joining machines")
    goes_on, joined = _machine(machine), _machine(other)
    if goes_on == joined:
        raise refused("other", other, "another record than the one that goes on")
    state = MachineState.objects.filter(machine=uuid_of("machine", goes_on)).first()
    if state is not None and state.joined_into_id is not None:
        raise refused("machine", machine, "a record that was not joined into another one itself")
    kept = record(person, "machine_joined", goes_on, {"other": joined}, id=id, now=now, fold=False)
    refresh([uuid_of("machine", goes_on), uuid_of("other", joined)])
    return kept


def _take_in(states: QuerySet[MachineState]) -> None:
    """Bring machines up to date whose facts named a row before it was entered."""
    machines = list(states.values_list("machine_id", flat=True))
    MachineState.objects.filter(machine__in=machines).update(stale=True)
    refresh(machines)


def _machine(machine: str) -> str:
    return str(_row(Machine, "machine", machine).pk)


def _row(table: type[Row], what: str, id: str) -> Row:
    row = table._default_manager.filter(pk=uuid_of(what, id)).first()
    if row is None:
        raise NotFound(what, id)
    return row


def _text(name: str, value: str, most: int, *, empty: bool = False) -> str:
    text = value.strip()
    if len(text) > most or (not text and not empty):
        raise refused(name, text, f"{0 if empty else 1} to {most} letters")
    return text


def _between(name: str, value: float | None, limit: float) -> float | None:
    if value is None:
        return None
    if value != value:
        raise NotANumber(name=name, value=str(value), right="47.12345")
    if not -limit <= value <= limit:
        raise OutOfRange(name=name, value=value, low=-limit, high=limit, source="degrees")
    return value
