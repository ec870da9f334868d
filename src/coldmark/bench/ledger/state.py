"""The state of one machine: all that its facts and sheet say, in plain values that JSON can carry."""

from __future__ import annotations

from dataclasses import field

from coldmark.bench.clocks.model import BreakerSpan, DoneMark, DoneTask, MeterPoint, MeterState
from coldmark.bench.element.remembered import Remembered
from coldmark.bench.oilhistory.model import OilPart
from coldmark.bench.shapes import dataclass
from coldmark.bench.timings.model import Timed

__all__ = [
    "BreakerSpan",
    "DoneMark",
    "DoneTask",
    "Fitted",
    "Flag",
    "Found",
    "JobState",
    "LevelSeen",
    "MeterPoint",
    "MeterState",
    "OilPart",
    "Pour",
    "State",
]


@dataclass(slots=True)
class LevelSeen:
    """A level as it was read. ``reading`` is 0 at the lower mark and 1 at the upper, or *below* or *above*."""

    at: str
    fact: str
    moment: str
    reading: float | str
    oil_c: float | None
    oil_spread_k: float
    air_c: float | None
    posture: str | None
    rods: dict[str, float] | None
    engine: str
    settled_min: int | None
    foam: bool
    job: str | None
    photo: str | None = None


@dataclass(slots=True)
class Pour:
    """Oil in or out of a compartment; ``litres`` is positive in, negative out, at ``temperature_c``.

    ``circulated`` says whether every function was moved afterwards; ``None``: nobody said.
    """

    at: str
    fact: str
    way: str
    litres: float
    oil: str | None
    temperature_c: float | None
    job: str | None
    hours: float | None
    circulated: bool | None = None


@dataclass(slots=True)
class Fitted:
    """What is fitted in a place of a housing, and since when."""

    part: str | None
    number: str | None
    at: str
    hours: float | None
    fact: str


@dataclass(slots=True)
class Found:
    """A finding and whether it is still open."""

    fact: str
    at: str
    about: str
    what: str
    urgency: str
    job: str | None
    advice: str | None = None
    note: str | None = None
    photos: list[str] = field(default_factory=list)
    cost_low: int | None = None
    cost_high: int | None = None
    waiting_low: int | None = None
    waiting_high: int | None = None
    settled_by: str | None = None
    settled_at: str | None = None


@dataclass(slots=True)
class JobState:
    """One job on the machine, as far as its facts go; ``hours`` as read on the meter during it."""

    job: str
    opened_at: str | None = None
    tasks: list[str] = field(default_factory=list)
    visit: str | None = None
    closed_at: str | None = None
    done: list[str] = field(default_factory=list)
    skipped: dict[str, str] = field(default_factory=dict)
    gates: dict[str, str] = field(default_factory=dict)
    tasks_done: list[str] = field(default_factory=list)
    signed: list[str] = field(default_factory=list)
    hours: float | None = None


@dataclass(slots=True)
class Flag:
    """Something in the facts that does not fit: an unknown kind, an unreadable body, a meter that ran back."""

    fact: str
    at: str
    says: str
    values: dict[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class State:
    """Everything that is known of one machine. Folding the same facts gives the same state, in any order of arrival.

    ``drained_l``: what was let out of a compartment and not yet filled in again. ``unmixed``: what of a compartment's
    oils lies in its tank alone, see :class:`~coldmark.bench.oilhistory.Contents`. ``remembered``: parts that were
    refused, or found to be the wrong ones. ``clock_errors``: by device, when it was measured [ms since 1970 UTC] and by
    how many seconds its clock was ahead. ``waiting``: facts that a correction speaks of and that are not among those
    folded. ``last_key``: the place in the order of the last fact folded.
    """

    machine: str
    sheet: str | None = None
    handed_over: str | None = None
    customer: str | None = None
    site: str | None = None
    owners: list[tuple[str, str]] = field(default_factory=list)
    options: dict[str, bool] = field(default_factory=dict)
    meter: MeterState = field(default_factory=MeterState)
    breaker: list[BreakerSpan] = field(default_factory=list)
    tasks: dict[str, DoneTask] = field(default_factory=dict)
    levels: dict[str, list[LevelSeen]] = field(default_factory=dict)
    pours: dict[str, list[Pour]] = field(default_factory=dict)
    oils: dict[str, list[OilPart]] = field(default_factory=dict)
    fitted: dict[str, Fitted] = field(default_factory=dict)
    findings: dict[str, Found] = field(default_factory=dict)
    samples: dict[str, str] = field(default_factory=dict)
    timings: dict[str, list[Timed]] = field(default_factory=dict)
    remembered: Remembered = field(default_factory=Remembered)
    jobs: dict[str, JobState] = field(default_factory=dict)
    joined: list[str] = field(default_factory=list)
    flags: list[Flag] = field(default_factory=list)
    drained_l: dict[str, float] = field(default_factory=dict)
    unmixed: dict[str, list[OilPart]] = field(default_factory=dict)
    clock_errors: dict[str, list[tuple[int, int]]] = field(default_factory=dict)
    waiting: list[str] = field(default_factory=list)
    last_key: tuple[int, int, str] | None = None
    count: int = 0
