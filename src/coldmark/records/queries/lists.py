"""Short lists: customers, sites, vans, people, devices, sheets, oils, the business, and facts to pull."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Count, OuterRef, Subquery
from django.utils import timezone

from coldmark.records import showing
from coldmark.records.access import machines_of, require_office, require_staff
from coldmark.records.browsers import browser_name
from coldmark.records.errors import NotFound, uuid_of
from coldmark.records.models import (
    Customer,
    Device,
    DeviceKey,
    Fact,
    MachineState,
    OilVersion,
    Person,
    Role,
    SheetVersion,
    Site,
    Store,
    Van,
)
from coldmark.records.numbers import read_store
from coldmark.records.plain import BusinessData, CustomerData, PersonData, SiteData, VanData
from coldmark.records.queries.lines import MachineLine, machine_line, with_state
from coldmark.records.sheets import oils_by_key

__all__ = [
    "BackupOverdue",
    "Beginning",
    "CustomerLine",
    "DeviceLine",
    "OilLine",
    "PersonLine",
    "Pulled",
    "SheetLine",
    "SheetPage",
    "StoreLine",
    "anybody",
    "backup_overdue",
    "beginning",
    "business",
    "customer",
    "customers",
    "devices",
    "documents_showing",
    "oil_text",
    "oils",
    "people",
    "pull",
    "sheet_page",
    "sheets",
    "sites",
    "store",
    "vans",
]

PULL = 500


@dataclass(frozen=True, slots=True)
class Beginning:
    """What a house without a machine has already of what a first machine wants."""

    customer: bool
    sheet: bool
    oil: bool


@dataclass(frozen=True, slots=True)
class CustomerLine:
    """A customer and how many machines it owns."""

    data: CustomerData
    machines: int


@dataclass(frozen=True, slots=True)
class PersonLine:
    """A person, whether they may sign in, and whose owner they are."""

    data: PersonData
    active: bool
    customer_name: str


@dataclass(frozen=True, slots=True)
class DeviceLine:
    """A device, whose it is, and how many of its facts are held apart. ``key``: it needs no new sign-in."""

    id: str
    label: str
    person: str
    person_id: str
    met_at: datetime | None
    key: bool
    seen_at: datetime | None
    revoked_at: datetime | None
    held: int


@dataclass(frozen=True, slots=True)
class SheetLine:
    """A sheet, and how many machines have it."""

    sha256: str
    title: str
    kind: str
    kept_at: datetime
    machines: int


@dataclass(frozen=True, slots=True)
class SheetPage:
    """A sheet and its text."""

    line: SheetLine
    text: str


@dataclass(frozen=True, slots=True)
class OilLine:
    """An oil: the latest kept text of its key, its name and its label (``VG 46``)."""

    sha256: str
    key: str
    text: str
    name: str
    label: str
    kept_at: datetime


@dataclass(frozen=True, slots=True)
class Pulled:
    """Facts that arrived after a number, in that order. ``last`` is where to go on; ``more``: there are more."""

    epoch: str
    texts: tuple[str, ...]
    last: int
    more: bool


@dataclass(frozen=True, slots=True)
class StoreLine:
    """What is true of the whole database."""

    epoch: str
    demo: bool
    backed_up_to: int
    backed_up_at: datetime | None
    lacking: int
    last_arrival: int
    stale: int
    held: int

    @property
    def uncovered(self) -> int:
        """How many facts no backup covers yet."""
        return max(0, self.last_arrival - self.backed_up_to)


BACKUP_WITHIN = timedelta(days=7)
"""How long an entry may wait for the first backup that covers it, before the office is told."""


@dataclass(frozen=True, slots=True)
class BackupOverdue:
    """What the office should know of the backup: how many files the last one lacked, or since when an entry waits."""

    lacking: int
    since: datetime | None


def backup_overdue(person: Person) -> BackupOverdue | None:
    """What is wrong with the backup, for the office: it lacked files, or an entry waits too long for one; else nothing.

    What no backup covers is kept by the phone that recorded it as well, so that phones fill up. One query.
    """
    require_office(person, "the state of the database")
    waiting = Fact.objects.filter(arrival__gt=OuterRef("backed_up_to")).order_by("arrival")
    stores = Store.objects.filter(id=Store.ONLY).annotate(oldest=Subquery(waiting.values("arrived")[:1]))
    lacking, oldest = stores.values_list("lacking", "oldest").first() or (0, None)
    since = oldest if oldest is not None and oldest < timezone.now() - BACKUP_WITHIN else None
    return BackupOverdue(lacking, since) if lacking or since else None


def anybody() -> bool:
    """Whether there is anybody who can sign in; an empty house makes its first person."""
    return Person.objects.exists()


def beginning(person: Person) -> Beginning | None:
    """How far a new house is on the way to its first machine; nothing once it has one. Up to four queries."""
    require_staff(person, "the beginning of the house")
    if MachineState.objects.exists():
        return None
    return Beginning(
        customer=Customer.objects.filter(erased_at__isnull=True).exists(),
        sheet=SheetVersion.objects.exists(),
        oil=OilVersion.objects.exists(),
    )


def business() -> BusinessData:
    """Who issues the papers."""
    row = read_store()
    return BusinessData(row.business_name, row.business_address, row.business_phone, row.money, row.coldest_c)


def store(person: Person) -> StoreLine:
    """The database, for the office."""
    require_office(person, "the state of the database")
    row: Store = read_store()
    return StoreLine(
        epoch=str(row.epoch),
        demo=row.demo,
        backed_up_to=row.backed_up_to,
        backed_up_at=row.backed_up_at,
        lacking=row.lacking,
        last_arrival=row.next_arrival - 1,
        stale=MachineState.objects.filter(stale=True).count(),
        held=Fact.objects.filter(held_apart=True).count(),
    )


def customers(person: Person, search: str = "") -> tuple[CustomerLine, ...]:
    """All customers by name, with their machines counted. Two queries."""
    require_staff(person, "customers")
    counts = dict(
        MachineState.objects.filter(joined_into__isnull=True, customer__isnull=False)
        .values_list("customer")
        .annotate(count=Count("machine"))
        .order_by()
    )
    rows = Customer.objects.filter(erased_at__isnull=True)
    wanted = search.casefold().split()
    return tuple(
        CustomerLine(_customer(row), counts.get(row.id, 0))
        for row in rows
        if all(word in f"{row.name} {row.contact} {row.address}".casefold() for word in wanted)
    )


def customer(person: Person, id: str) -> tuple[CustomerData, tuple[SiteData, ...], tuple[MachineLine, ...]]:
    """A customer, its sites, and the machines it owns now. Three queries."""
    require_staff(person, "customers")
    row = Customer.objects.filter(id=uuid_of("customer", id)).first()
    if row is None:
        raise NotFound("customer", id)
    machines = with_state(machines_of(person)).filter(state__customer=row, state__joined_into__isnull=True)
    lines = tuple(machine_line(machine, person) for machine in machines.order_by("name", "id"))
    return _customer(row), tuple(map(_site, Site.objects.filter(customer=row))), lines


def sites(person: Person) -> tuple[SiteData, ...]:
    """All sites by name."""
    require_staff(person, "sites")
    return tuple(map(_site, Site.objects.all()))


def vans(person: Person, *, retired: bool = False) -> tuple[VanData, ...]:
    """The vans in use, or all."""
    require_staff(person, "vans")
    rows = Van.objects.all() if retired else Van.objects.filter(retired=False)
    return tuple(VanData(str(row.id), row.name, row.plate, row.waste_l, dict(row.oils), row.retired) for row in rows)


def people(person: Person, *, mechanics_only: bool = False) -> tuple[PersonLine, ...]:
    """The people of the firm and the owners who sign in. Who could go on a visit, with ``mechanics_only``."""
    require_staff(person, "people")
    rows = Person.objects.select_related("customer").filter(erased_at__isnull=True)
    if mechanics_only:
        rows = rows.filter(is_active=True).exclude(role=Role.OWNER)
    return tuple(
        PersonLine(
            PersonData(
                str(row.id),
                row.name,
                row.sign_in,
                row.role,
                None if row.customer_id is None else str(row.customer_id),
            ),
            row.is_active,
            "" if row.customer is None else row.customer.name,
        )
        for row in rows
    )


def devices(person: Person) -> tuple[DeviceLine, ...]:
    """One's own devices, or all for the office. Three queries."""
    rows = Device.objects.select_related("person").order_by("-seen_at", "id")
    if person.role != Role.OFFICE:
        rows = rows.filter(person=person)
    held = dict(Fact.objects.filter(held_apart=True).values_list("device").annotate(count=Count("id")).order_by())
    keys = set(DeviceKey.objects.filter(revoked_at__isnull=True).values_list("device_id", flat=True))
    return tuple(
        DeviceLine(
            str(row.id),
            browser_name(row.label),
            row.person.name,
            str(row.person_id),
            row.met_at,
            row.id in keys,
            row.seen_at,
            row.revoked_at,
            held.get(row.id, 0),
        )
        for row in rows
    )


def sheets(person: Person) -> tuple[SheetLine, ...]:
    """All kept sheets by title. Two queries."""
    require_staff(person, "sheets")
    counts = dict(
        MachineState.objects.filter(joined_into__isnull=True)
        .exclude(sheet="")
        .values_list("sheet")
        .annotate(count=Count("machine"))
        .order_by()
    )
    rows = SheetVersion.objects.defer("text")
    return tuple(SheetLine(row.sha256, row.title, row.kind, row.kept_at, counts.get(row.sha256, 0)) for row in rows)


def sheet_page(person: Person, sha256: str) -> SheetPage:
    """A sheet with its text; an owner reads those of his machines, and of those alone he is told. Two queries."""
    row = SheetVersion.objects.filter(sha256=sha256).first()
    having = MachineState.objects.filter(sheet=sha256, joined_into__isnull=True, machine__in=machines_of(person))
    machines = having.count()
    if row is None or not (person.is_staff or machines):
        raise NotFound("sheet", sha256)
    return SheetPage(SheetLine(row.sha256, row.title, row.kind, row.kept_at, machines), row.text)


def oils(person: Person) -> tuple[OilLine, ...]:
    """The oils that can be chosen, by key."""
    require_staff(person, "oils")
    latest = {row.key: row for row in OilVersion.objects.order_by("key", "kept_at", "sha256")}
    known = oils_by_key()
    return tuple(
        OilLine(row.sha256, row.key, row.text, known[row.key].name, known[row.key].label(), row.kept_at)
        for row in latest.values()
    )


def oil_text(person: Person, sha256: str) -> str:
    """An oil's text, for staff."""
    require_staff(person, "oils")
    row = OilVersion.objects.filter(sha256=sha256).first()
    if row is None:
        raise NotFound("oil", sha256)
    return row.text


def documents_showing(person: Person, what: str, target: str) -> int:
    """How many issued documents show a person, a customer or an attachment that the office thinks of erasing."""
    require_office(person, "erasing")
    return len(showing.documents_showing(what, target))


def pull(person: Person, after: int, *, machines: tuple[str, ...] | None = None, limit: int = PULL) -> Pulled:
    """Facts that arrived after a number, for a phone of the firm; of some machines, or of all."""
    require_staff(person, "pulling facts")
    rows = Fact.objects.filter(arrival__gt=after, held_apart=False)
    if machines is not None:
        rows = rows.filter(subject__in=[uuid_of("machine", machine) for machine in machines])
    listed = list(rows.order_by("arrival").values_list("arrival", "text")[: limit + 1])
    shown = listed[:limit]
    last = shown[-1][0] if shown else after
    return Pulled(str(read_store().epoch), tuple(text for _arrival, text in shown), last, len(listed) > limit)


def _customer(row: Customer) -> CustomerData:
    return CustomerData(str(row.id), row.name, row.contact, row.phone, row.email, row.address, row.note)


def _site(row: Site) -> SiteData:
    owner = None if row.customer_id is None else str(row.customer_id)
    return SiteData(str(row.id), row.name, owner, row.address, row.lat, row.lon, row.access)
