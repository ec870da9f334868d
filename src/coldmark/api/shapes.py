"""What the API answers, as dataclasses: the views fill them, and the OpenAPI description is made from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

__all__ = [
    "Added",
    "Bundle",
    "Calculated",
    "Calculations",
    "Card",
    "Device",
    "Finish",
    "Level",
    "Me",
    "Meter",
    "NextDue",
    "Person",
    "Said",
    "Says",
    "State",
    "plain",
]

Open = Mapping[str, Any]
"""An object whose own description lies with who makes it."""
ClockErrors = Mapping[str, tuple[tuple[int, int], ...]]


@dataclass(frozen=True, slots=True)
class Said:
    """Why there is no answer, in one sentence; ``name`` is the field that is not right, where it is one."""

    says: str
    name: str | None = None


@dataclass(frozen=True, slots=True)
class Person:
    """Who is signed in."""

    id: str
    name: str
    role: str


@dataclass(frozen=True, slots=True)
class Device:
    """The device that asks, and the running number of its next fact."""

    id: str
    next_number: int


@dataclass(frozen=True, slots=True)
class Me:
    """Who is signed in, on what, in which units and look, and the token to send along as ``X-CSRFToken``."""

    person: Person
    device: Device
    units: str
    look: str
    csrf: str
    app: str
    epoch: str


@dataclass(frozen=True, slots=True)
class Bundle:
    """What a phone takes along: visits, their machines, sheets by hash, oils by key, and who is who.

    ``refusals`` is what may be wrong with a part. ``clock_errors``, by device: when its clock was measured [ms since
    1970] and by how many seconds it was ahead; the order of facts takes that off.

    ``arrival`` is the last fact that it may hold: those after it are to be asked for. ``made_at`` is the server's time.
    """

    made_at: str
    app: str
    epoch: str
    arrival: int
    backed_up_to: int
    person: Person
    units: str
    coldest_c: float | None
    clock_errors: ClockErrors
    visits: tuple[Open, ...]
    machines: tuple[Open, ...]
    sheets: Mapping[str, Open]
    oils: Mapping[str, Open]
    refusals: tuple[Open, ...]
    people: tuple[Open, ...]


@dataclass(frozen=True, slots=True)
class Meter:
    """What is known of the hour meter: what it showed last, hours since new, when that was."""

    shown_h: float
    hours: float | None
    at: str | None


@dataclass(frozen=True, slots=True)
class State:
    """What the card asks of the machine's state."""

    meter: Meter | None


@dataclass(frozen=True, slots=True)
class Card:
    """A job's card; ``facts`` are those of the job that hold, each as the schema *fact* has it, as it was recorded.

    ``clock_errors`` is as in the bundle, for the devices that recorded of the machine.
    """

    card: Open
    facts: tuple[Open, ...]
    state: State
    clock_errors: ClockErrors


@dataclass(frozen=True, slots=True)
class Added:
    """Litres to add, or to let off when negative [L]."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Level:
    """What a level means: its sentences, what the glass is off, the litres, the marks, the drawing, the working."""

    state: str
    says: tuple[str, ...]
    off: tuple[str, ...]
    move_first: str | None
    add_l: Added | None
    shown: Mapping[str, str]
    cold_mark: float | None
    hot: float | None
    glass: str
    working: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Says:
    """Sentences."""

    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NextDue:
    """When a task is due next."""

    task: str
    says: str


@dataclass(frozen=True, slots=True)
class Finish:
    """What finishing a job shows; ``facts`` are id and SHA-256 of each fact that closing the job seals."""

    tasks: tuple[Open, ...]
    left_out: tuple[Open, ...]
    gates: tuple[Open, ...]
    parts: tuple[Open, ...]
    missing: tuple[Open, ...]
    ready: bool
    balance: Says
    next_due: tuple[NextDue, ...]
    facts: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Calculations:
    """All calculations, each described for a form in the reader's units, and what their topics are called."""

    topics: tuple[Open, ...]
    calculations: tuple[Open, ...]


@dataclass(frozen=True, slots=True)
class Calculated:
    """A calculation's result."""

    calculation: str
    says: tuple[str, ...]
    fields: Open
    notes: tuple[str, ...]
    working: tuple[Open, ...]
    picture: str | None


def plain(value: object) -> Any:
    """Dataclasses as objects; all else is left as it is, as a card is long and need not be copied."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [plain(one) for one in value]
    return value
