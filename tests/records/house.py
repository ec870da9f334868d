"""A small house for tests: one of the office, a mechanic, two customers with an owner each, a sheet, two machines."""

from __future__ import annotations

import hashlib
import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from typing import Any

from coldmark.bench.facts import Fact, SubjectType, make, new_id
from coldmark.records import services
from coldmark.records.models import Machine, Person
from coldmark.records.services import CustomerData, MachineData, PersonData, SiteData, VanData

PASSWORD = "glass between marks"
START = datetime(2026, 1, 5, 7, 0, tzinfo=UTC)


def sheet_text(name: str = "excavator_5t") -> str:
    """The text of one of the invented sheets."""
    return (files("coldmark") / "demo" / "sheets" / f"{name}.toml").read_text(encoding="utf-8")


def h(value: object) -> dict[str, str]:
    """A quantity in hours."""
    return {"value": str(value), "unit": "h"}


def litres(value: object) -> dict[str, str]:
    """A quantity in litres."""
    return {"value": str(value), "unit": "l"}


def sha(text: str) -> str:
    """The SHA-256 of a text."""
    return hashlib.sha256(text.encode()).hexdigest()


@dataclass
class Phone:
    """A device that records facts, counting."""

    person: Person
    machine: str
    device: str = field(default_factory=lambda: str(uuid.uuid4()))
    number: int = 0

    def fact(
        self,
        kind: str,
        body: Mapping[str, Any],
        *,
        at: datetime = START,
        job: str | None = None,
        machine: str | None = None,
        recorded: datetime | None = None,
        subject_type: SubjectType = "machine",
    ) -> Fact:
        """Make a fact about the phone's machine, or another one."""
        self.number += 1
        return make(
            id=new_id(1_760_000_000_000 + self.number, uuid.uuid4().int & ((1 << 74) - 1)),
            kind=kind,
            subject=machine or self.machine,
            subject_type=subject_type,
            at=at.isoformat(timespec="seconds"),
            recorded=(recorded or at).isoformat(timespec="seconds"),
            device=self.device,
            number=self.number,
            person=str(self.person.id),
            app="0.1.0",
            body=body,
            job=job,
        )

    def meter(self, shown: object, *, at: datetime = START, **more: Any) -> Fact:
        """Read the meter."""
        return self.fact("meter_read", {"reading": h(shown), "way": "seen"}, at=at, **more)

    def withdraw(self, fact: Fact, *, at: datetime = START, reason: str = "wrong_machine") -> Fact:
        """Withdraw a fact."""
        body = {"of": fact.id, "action": "withdraw", "reason": reason}
        return self.fact("correction", body, at=at, machine=fact.subject, job=fact.job)

    def send(self, *facts: Fact, **more: Any) -> services.Accepted:
        """Send facts."""
        return services.accept_facts(self.person, [fact.text for fact in facts], device=self.device, **more)


@dataclass
class House:
    """Who and what there is."""

    office: Person
    mechanic: Person
    owner: Person
    stranger: Person
    customer: str
    other_customer: str
    site: str
    van: str
    sheet: str
    machine: str
    other_machine: str
    phone: Phone

    def days(self, count: float) -> datetime:
        """A moment so many days after the start."""
        return START + timedelta(days=count)


def build_house() -> House:
    """Make the house, by its services."""
    office = Person.objects.get(id=services.first_person("Ina Orr", "ina", PASSWORD, business="Varne Valley Service"))
    customer = services.keep_customer(office, CustomerData(str(uuid.uuid4()), "Stennet Quarry", note="pays late"))
    other = services.keep_customer(office, CustomerData(str(uuid.uuid4()), "Hallbeck Farm"))
    site = services.keep_site(
        office, SiteData(str(uuid.uuid4()), "Upper bench", customer, lat=47.1, lon=10.2, access="key at the gate")
    )
    van = services.keep_van(office, VanData(str(uuid.uuid4()), "Blue van", waste_l=60.0, oils={"varnol_hm46": 20.0}))
    mechanic = _person(office, "Tom Weir", "tom", "mechanic", None)
    owner = _person(office, "Edda Stennet", "edda", "owner", customer)
    stranger = _person(office, "Olm Hallbeck", "olm", "owner", other)
    sheet = services.keep_sheet(office, sheet_text()).sha256
    machine = _machine(office, "Digger", "7", customer, site, sheet)
    other_machine = _machine(office, "Loader", "8", other, None, sheet)
    phone = Phone(mechanic, machine)
    return House(office, mechanic, owner, stranger, customer, other, site, van, sheet, machine, other_machine, phone)


def _person(office: Person, name: str, sign_in: str, role: str, customer: str | None) -> Person:
    id = services.keep_person(office, PersonData(str(uuid.uuid4()), name, sign_in, role, customer), password=PASSWORD)
    return Person.objects.get(id=id)


def change_role(by: Person, whose: Person, role: str, customer: str | None = None) -> None:
    """Give somebody another role, all else left as it is."""
    services.keep_person(by, PersonData(str(whose.id), whose.name, whose.sign_in, role, customer))


def _machine(office: Person, name: str, number: str, customer: str, site: str | None, sheet: str) -> str:
    id = services.keep_machine(office, MachineData(str(uuid.uuid4()), name, number, note="the boom creaks"))
    before = START - timedelta(days=60)
    services.move_machine(office, id, customer, site, at=before)
    services.assign_sheet(office, id, sheet, at=before)
    services.hand_over(office, id, before.date(), at=before)
    assert Machine.objects.filter(id=id).exists()
    return id
