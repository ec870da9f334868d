"""The invented valley as it stands in ``valley.toml``, with its sheets, oils and photos."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

__all__ = ["Customer", "MachineToLive", "Person", "Place", "Valley", "Van", "the_valley"]


@dataclass(frozen=True, slots=True)
class Person:
    """One who works for the business, or owns machines."""

    key: str
    name: str
    role: str
    sign_in: str
    customer: str | None = None


@dataclass(frozen=True, slots=True)
class Van:
    """A van with the oil and the room for waste that it has."""

    key: str
    name: str
    plate: str
    waste_l: float
    oils: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Place:
    """A site of a customer."""

    key: str
    name: str
    access: str


@dataclass(frozen=True, slots=True)
class Customer:
    """A customer and the sites where machines stand."""

    key: str
    name: str
    contact: str
    phone: str
    address: str
    sites: tuple[Place, ...]


@dataclass(frozen=True, slots=True)
class MachineToLive:
    """A machine as it was two years ago, how it is used, and what happens to it."""

    name: str
    number: str
    sheet: str
    serial: str
    customer: str
    site: str
    hours: float
    per_day: float
    days: int
    story: Mapping[str, Any] = field(default_factory=dict)

    @property
    def key(self) -> str:
        """A name of its own in the valley."""
        return self.serial


@dataclass(frozen=True, slots=True)
class Valley:
    """The business, its people and customers, their machines, and the texts and photos that come with them."""

    business: Mapping[str, Any]
    people: tuple[Person, ...]
    vans: tuple[Van, ...]
    customers: tuple[Customer, ...]
    machines: tuple[MachineToLive, ...]
    sheets: Mapping[str, str]
    oils: Mapping[str, str]
    photos: Mapping[str, bytes]


def the_valley() -> Valley:
    """Read the valley from the files that come with the program."""
    here = files("coldmark") / "demo"
    told = tomllib.loads((here / "valley.toml").read_text(encoding="utf-8"))
    return Valley(
        business=told["business"],
        people=tuple(Person(**person) for person in told["person"]),
        vans=tuple(Van(**van) for van in told["van"]),
        customers=tuple(
            Customer(**{**customer, "sites": tuple(Place(**site) for site in customer["sites"])})
            for customer in told["customer"]
        ),
        machines=tuple(MachineToLive(**machine) for machine in told["machine"]),
        sheets={_stem(file): file.read_text(encoding="utf-8") for file in _files(here / "sheets")},
        oils={_stem(file): file.read_text(encoding="utf-8") for file in _files(here / "oils")},
        photos={_stem(file): file.read_bytes() for file in _files(here / "photos")},
    )


def _files(folder: Traversable) -> list[Traversable]:
    return sorted((file for file in folder.iterdir() if not file.name.startswith(".")), key=lambda file: file.name)


def _stem(file: Traversable) -> str:
    return file.name.rpartition(".")[0]
