"""What makes a task fall due, and what is known of a machine's hours."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import date
from typing import Literal, Protocol

from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Range, Working

__all__ = [
    "Breaker",
    "BreakerSpan",
    "DoneMark",
    "DoneTask",
    "Doubt",
    "DueAt",
    "Fitting",
    "HoursAt",
    "Known",
    "Last",
    "MeterPoint",
    "MeterState",
    "Note",
    "Served",
    "Start",
    "Task",
    "Usage",
]

Doubt = Literal["back", "too_fast", "standing"]
"""Why a meter reading is doubted: below an earlier one, faster than the clock, or not moved though work went on."""


@dataclass(frozen=True, slots=True)
class Breaker:
    """How breaker work shortens a task: the sheet's table of (share of breaker hours, interval [h]), rising share.

    Without a table the harmonic rule is used with ``factor`` hours of wear for each breaker hour; ``factor`` 1 is none.
    """

    table: tuple[tuple[float, float], ...] = ()
    factor: float = 1.0


@dataclass(frozen=True, slots=True)
class Task:
    """A service task: its interval in hours and in months (either may be missing), and how its grid runs.

    ``counts_from`` *meter*: due at multiples of the interval on the hour meter; *last_done*: an interval after it was
    last done. ``tolerance_h``: how late it may be and keep the grid. ``includes``: shorter tasks done with it.
    """

    key: str
    name: str
    compartment: str | None
    interval_h: float | None
    interval_months: int | None
    first_h: float | None
    tolerance_h: float
    counts_from: Literal["meter", "last_done"]
    includes: tuple[str, ...]
    breaker: Breaker | None
    needs_option: str | None
    origin: str
    oil_change: bool = False


@dataclass(frozen=True, slots=True)
class Last:
    """When a task was last done: machine hours [h] where they are known, day, and the hour of the grid it stood for."""

    hours: float | None
    day: date
    grid_h: float | None


@dataclass(frozen=True, slots=True)
class Start:
    """Where a machine's records begin: whether its hand-over is known, and the first hours [h] that are."""

    new: bool = False
    first_known_h: float | None = None


@dataclass(frozen=True, slots=True)
class Usage:
    """Hours a day: the robust middle of the recent reads, and how far the stretches between them lay apart."""

    per_day: Range
    reads: int
    days: float
    working: Working


@dataclass(frozen=True, slots=True)
class HoursAt:
    """Machine hours since new on a day: read that day, between two reads, or carried on from the last one."""

    hours: Range
    how: Literal["read", "between", "carried_on"]
    working: Working


@dataclass(frozen=True, slots=True)
class Note:
    """Something that a reader of a due date should know: a message id and its values."""

    message: str
    values: Mapping[str, str | int | float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class DueAt:
    """When a task falls due: by the hours [h since new], by the calendar, and the day window that usage so far gives.

    ``None`` where a clock does not run or is not known. ``by`` names the clock that comes first. ``late`` is ``None``
    when the machine may stand still so that the hours never come. ``rides_with``: the longer task that it is done
    with; ``grid_h`` is then the hour of that task's grid, else that of its own.
    """

    task: str
    due_h: float | None
    due_day: date | None
    early: date | None
    likely: date | None
    late: date | None
    by: Literal["hours", "months", "first", "breaker", "unknown"]
    grid_h: float | None
    rides_with: str | None = None
    notes: tuple[Note, ...] = ()
    working: Working = field(default_factory=lambda: Working(()))


@dataclass(slots=True)
class MeterPoint:
    """The machine's hours at a moment: what the meter showed, and the hours since new that this means.

    ``spread_h`` says how far the hours may be off to either side, for want of a working meter at some time before.
    A point with a ``doubt`` is kept and not used.
    """

    at: str
    at_ms: int
    shown_h: float
    hours: float
    fact: str
    doubt: str | None = None
    spread_h: float = 0.0


@dataclass(slots=True)
class MeterState:
    """The hour meter: points in time order (the latest 400), what to add to it, and since when it is dead."""

    points: list[MeterPoint] = field(default_factory=list)
    offset_h: float = 0.0
    offset_spread_h: float = 0.0
    dead_since: str | None = None
    swaps: int = 0


@dataclass(slots=True)
class BreakerSpan:
    """Breaker hours told for a span of days."""

    from_day: str
    to_day: str
    hours: float


@dataclass(slots=True)
class DoneMark:
    """Where a task's count stood before it was done last."""

    hours: float | None
    day: str
    grid_h: float | None
    times: int


@dataclass(slots=True)
class DoneTask:
    """When a task was last done, and the hour of the grid it stood for.

    ``estimated``: no meter was read then, so that ``hours`` may be off by ``spread_h``. ``with_task``: the longer
    task that it was done with.
    """

    hours: float | None
    day: str
    grid_h: float | None
    fact: str
    times: int = 1
    spread_h: float = 0.0
    estimated: bool = False
    job: str | None = None
    with_task: str | None = None
    before: DoneMark | None = None


class Known(Protocol):
    """What the clocks need of a machine's state; the ledger's state has it."""

    meter: MeterState
    handed_over: str | None
    breaker: list[BreakerSpan]
    tasks: dict[str, DoneTask]
    options: dict[str, bool]


class Fitting(Protocol):
    """What the clocks need of an option of a data sheet."""

    @property
    def key(self) -> str: ...

    @property
    def breaker(self) -> bool: ...


class Served(Protocol):
    """What the clocks need of a data sheet: its tasks, and which options are breakers."""

    @property
    def tasks(self) -> Mapping[str, Task]: ...

    @property
    def options(self) -> Mapping[str, Fitting]: ...
