"""Loading the invented business into an empty house: all of it in one transaction, or nothing."""

from __future__ import annotations

import json
import os
import secrets
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal
from zoneinfo import ZoneInfo

from django.db import transaction

from coldmark.bench.errors import Refused
from coldmark.bench.facts import Fact
from coldmark.bench.oil import from_text
from coldmark.bench.sheet import read
from coldmark.demo.history import History, make
from coldmark.demo.life import COLDEST_C
from coldmark.demo.valley import Valley, the_valley
from coldmark.demo.world import id_of
from coldmark.records import services
from coldmark.records.folder import demo_mark, prepare
from coldmark.records.models import Customer, Person, Store
from coldmark.records.models import Fact as FactRow
from coldmark.records.plain import (
    BusinessData,
    CustomerData,
    MachineData,
    PersonData,
    SiteData,
    VanData,
    VisitData,
    VisitPart,
)

__all__ = ["SIGN_IN", "Loaded", "load", "renew_sign_in", "standing"]

SIGN_IN = "mara"
"""Whose sign-in is printed: the mechanic's."""

_BATCH = 1000
_LETTERS = "abcdefghijkmnpqrstuvwxyz23456789"  # none that is taken for another


@dataclass(frozen=True, slots=True)
class Loaded:
    """What was loaded, and how to sign in: everybody in the demo has the one password."""

    sign_ins: tuple[str, ...]
    password: str
    machines: int
    facts: int
    visits: int


def standing() -> Literal["empty", "demo", "other"]:
    """Say what the database holds."""
    if Store.objects.filter(demo=True).exists():
        return "demo"
    empty = not (Person.objects.exists() or Customer.objects.exists() or FactRow.objects.exists())
    return "empty" if empty else "other"


def load(folder: Path, *, today: date, seed: int, zone: ZoneInfo, valley: Valley | None = None) -> Loaded:
    """Load the invented business, lived until the evening before ``today``.

    All of it is one transaction, so that a loader that is ended half-way leaves an empty house. The mark with the
    sign-in is written last inside it: a house that holds the demo is never without its mark. ``valley`` is the one that
    comes with the program where none is given.

    Raises
    ------
    Refused
        When the database is not empty.
    """
    held = standing()
    if held != "empty":
        raise Refused("demo.already_loaded" if held == "demo" else "demo.not_empty", name="data folder")
    valley, password = valley or the_valley(), _password()
    people = {person.key: id_of(seed, "person", person.key) for person in valley.people}
    sheets = {name: read(text) for name, text in valley.sheets.items()}
    oils = {oil.key: oil for oil in map(from_text, valley.oils.values()) if oil.key}
    lived = make(valley, sheets, oils, today=today, seed=seed, people=people, zone=zone)
    mark = demo_mark(folder)
    try:
        with transaction.atomic():
            office = _people(valley, people, password, seed)
            _rows(office, valley, seed)
            _texts(office, valley)
            _facts(lived, people)
            failed = services.refresh(life.id for life in lived.lives.values()).failed
            if failed:
                raise Refused("demo.not_folded", name="machines", count=len(failed))
            _visits(office, valley, lived, people, seed)
            services.mark_as_demo(office)
            _write_mark(folder, password)
    except BaseException:
        mark.unlink(missing_ok=True)
        raise
    names = tuple(person.sign_in for person in valley.people)
    return Loaded(names, password, len(lived.lives), len(lived.facts), len(lived.visits))


def renew_sign_in(folder: Path) -> str:
    """Give the demo's people a new password, where the mark that keeps it was lost, and return it."""
    password = _password()
    with transaction.atomic():
        office = Person.objects.filter(role="office", is_active=True).order_by("id")[0]
        for person in Person.objects.filter(is_active=True):
            services.set_password(office, str(person.id), password)
        _write_mark(folder, password)
    return password


def _password() -> str:
    return "-".join("".join(secrets.choice(_LETTERS) for _ in range(4)) for _ in range(3))


def _write_mark(folder: Path, password: str) -> None:
    """Write the mark aside and move it into place, readable by its owner alone."""
    prepare(folder)
    mark = demo_mark(folder)
    aside = mark.with_name(f"{mark.name}.{secrets.token_hex(4)}")
    handle = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            json.dump({"name": SIGN_IN, "password": password}, file)
            file.flush()
            os.fsync(file.fileno())
        aside.replace(mark)
    finally:
        aside.unlink(missing_ok=True)


def _people(valley: Valley, people: Mapping[str, str], password: str, seed: int) -> Person:
    """Make the people and return the one of the office; an owner's customer must be there first."""
    first = next(person for person in valley.people if person.role == "office")
    id = services.first_person(first.name, first.sign_in, password, id=people[first.key])
    office = Person.objects.get(id=id)
    for customer in valley.customers:
        told = CustomerData(
            id_of(seed, "customer", customer.key), customer.name, customer.contact, customer.phone, "", customer.address
        )
        services.keep_customer(office, told)
    for person in valley.people:
        if person is not first:
            owner = None if person.customer is None else id_of(seed, "customer", person.customer)
            data = PersonData(people[person.key], person.name, person.sign_in, person.role, owner)
            services.keep_person(office, data, password=password)
    return office


def _rows(office: Person, valley: Valley, seed: int) -> None:
    business = valley.business
    address = "\n".join(business["address"])
    services.keep_business(
        office, BusinessData(business["name"], address, business["phone"], business["money"], COLDEST_C)
    )
    for customer in valley.customers:
        for site in customer.sites:
            owner = id_of(seed, "customer", customer.key)
            told = SiteData(id_of(seed, "site", site.key), site.name, owner, customer.address, access=site.access)
            services.keep_site(office, told)
    for van in valley.vans:
        services.keep_van(office, VanData(id_of(seed, "van", van.key), van.name, van.plate, van.waste_l, van.oils))
    for machine in valley.machines:
        id = id_of(seed, "machine", machine.key)
        services.keep_machine(office, MachineData(id, machine.name, machine.number, machine.serial))


def _texts(office: Person, valley: Valley) -> None:
    for text in valley.sheets.values():
        services.keep_sheet(office, text)
    for text in valley.oils.values():
        services.keep_oil(office, text)


def _facts(lived: History, people: Mapping[str, str]) -> None:
    recorders = {str(person.id): person for person in Person.objects.filter(id__in=list(people.values()))}
    by_person: dict[str, list[Fact]] = {}
    for fact in lived.facts:
        by_person.setdefault(fact.person, []).append(fact)
    for person, facts in by_person.items():
        for some in _batches(facts):
            accepted = services.accept_facts(recorders[person], [fact.text for fact in some], fold=False)
            refused = next((one for one in accepted.answers if one.answer == "refused"), None)
            if refused is not None:
                raise Refused("records.field", name="facts", field="facts", value=refused.id, right=refused.why or "")
    mechanic = recorders[people[SIGN_IN]]
    for sha256, (media_type, content) in lived.kept.by_hash.items():
        services.keep_attachment(mechanic, sha256, media_type, content)


def _batches(facts: Sequence[Fact]) -> Iterable[Sequence[Fact]]:
    return (facts[at : at + _BATCH] for at in range(0, len(facts), _BATCH))


def _visits(office: Person, valley: Valley, lived: History, people: Mapping[str, str], seed: int) -> None:
    van = id_of(seed, "van", valley.vans[0].key)
    for visit in lived.visits:
        stops = tuple(VisitPart(stop.machine, stop.tasks, stop.job) for stop in visit.stops)
        services.plan_visit(
            office,
            VisitData(
                visit.id,
                visit.day,
                stops,
                mechanic=people[SIGN_IN],
                van=van,
                site=visit.site,
                from_time=visit.starts,
                to_time=visit.ends,
                note=visit.note,
            ),
        )
