"""Plain data that services take and queries give back: what a form shows is what it sends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time

from coldmark.records.models import Document

__all__ = [
    "BusinessData",
    "CustomerData",
    "Issued",
    "MachineData",
    "PersonData",
    "SiteData",
    "VanData",
    "VisitData",
    "VisitPart",
    "issued_plain",
]


@dataclass(frozen=True, slots=True)
class PersonData:
    """A person as the office enters one. ``customer`` is whose owner it is, for the role *owner* alone."""

    id: str
    name: str
    sign_in: str
    role: str
    customer: str | None = None


@dataclass(frozen=True, slots=True)
class BusinessData:
    """Who issues the papers; ``money`` is what sums are shown with (``EUR``).

    ``coldest_c`` is the coldest start to reckon with at this place [°C]; without it no level is judged for one.
    """

    name: str
    address: str = ""
    phone: str = ""
    money: str = ""
    coldest_c: float | None = None


@dataclass(frozen=True, slots=True)
class CustomerData:
    """A customer. ``note`` is internal."""

    id: str
    name: str
    contact: str = ""
    phone: str = ""
    email: str = ""
    address: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class SiteData:
    """A place where machines stand; ``access`` (gate, key, whom to call) is internal."""

    id: str
    name: str
    customer: str | None = None
    address: str = ""
    lat: float | None = None
    lon: float | None = None
    access: str = ""


@dataclass(frozen=True, slots=True)
class VanData:
    """A van: the waste it can take [L] and the oils it carries [L] by key."""

    id: str
    name: str
    plate: str = ""
    waste_l: float | None = None
    oils: Mapping[str, float] = field(default_factory=dict)
    retired: bool = False


@dataclass(frozen=True, slots=True)
class MachineData:
    """A machine's names. Owner, site, sheet and options are facts: see the services beside."""

    id: str
    name: str
    number: str = ""
    serial: str = ""
    plate: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class VisitPart:
    """A machine of a visit and the tasks planned on it. ``job`` is given when ``None``."""

    machine: str
    tasks: tuple[str, ...]
    job: str | None = None


@dataclass(frozen=True, slots=True)
class VisitData:
    """A planned visit; the order of the machines is kept. ``note`` is internal."""

    id: str
    day: date
    machines: tuple[VisitPart, ...] = ()
    mechanic: str | None = None
    van: str | None = None
    site: str | None = None
    from_time: time | None = None
    to_time: time | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Issued:
    """An issued document; ``erased_at`` says when its content was erased."""

    id: str
    number: str
    what: str
    machine: str
    job: str | None
    sha256: str
    issued_at: datetime
    erased_at: datetime | None = None


def issued_plain(row: Document) -> Issued:
    """A document's row as plain data."""
    job = None if row.job is None else str(row.job)
    machine = str(row.machine_id)
    return Issued(str(row.id), row.number, row.what, machine, job, row.sha256, row.issued_at, row.erased_at)
