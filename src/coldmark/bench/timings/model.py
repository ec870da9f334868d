"""What is timed on a machine, and one measurement of it: how long a function takes, or how far a cylinder drifts."""

from __future__ import annotations

import math
from typing import Literal

from coldmark.bench.errors import Missing, require_above, require_between
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Range

__all__ = ["KINDS", "STOPWATCH_S", "TAPE_MM", "Timed", "Timing", "TimingKind"]

TimingKind = Literal["cycle", "drift"]
"""A function's time from end to end, or a cylinder's movement under a load with the levers at rest."""

KINDS: tuple[TimingKind, ...] = ("cycle", "drift")

STOPWATCH_S = 0.2
"""How far a time by hand may be off: twice the standard deviation of 0.10 s of starting and stopping together."""

TAPE_MM = 1.0
"""How far one reading of a tape may be off; a movement is the difference of two."""


@dataclass(frozen=True, slots=True)
class Timing:
    """One thing that a data sheet has timed: how it is measured, at which oil temperature, and the most it may be.

    ``most_s`` is for a cycle, ``most_mm`` within ``watched_min`` for a drift. ``load_kg`` is what hangs on it and
    ``engine_rpm`` the engine's speed meanwhile.
    """

    key: str
    name: str
    kind: TimingKind
    says: str
    oil_c: float | None
    most_s: float | None
    most_mm: float | None
    watched_min: float | None
    load_kg: float | None
    engine_rpm: float | None
    origin: str

    @property
    def most(self) -> float | None:
        """The most that the sheet allows: seconds for a cycle, millimetres a minute for a drift."""
        if self.kind == "cycle":
            return self.most_s
        if self.most_mm is None or not self.watched_min:
            return None
        return self.most_mm / self.watched_min


@dataclass(frozen=True, slots=True)
class Timed:
    """One measurement. A cycle has ``time_s``, the mean of ``runs``; a drift ``moved_mm`` within ``watched_min``.

    ``hours`` are the machine's at that time, ``at`` the moment and ``fact`` the fact that recorded it, where there is
    one.

    >>> Timed("drift", watched_min=10, moved_mm=25, oil_c=50).value
    2.5
    """

    kind: TimingKind
    time_s: float | None = None
    watched_min: float | None = None
    moved_mm: float | None = None
    oil_c: float | None = None
    load_kg: float | None = None
    engine_rpm: float | None = None
    runs: int = 1
    hours: float | None = None
    at: str = ""
    fact: str = ""

    def __post_init__(self) -> None:
        needed = ("time_s",) if self.kind == "cycle" else ("watched_min", "moved_mm")
        for name in needed:
            if getattr(self, name) is None:
                raise Missing(name=name, needed_for="the measurement")
        if self.time_s is not None:
            require_above("time_s", self.time_s, 0, "a stop-watch")
        if self.watched_min is not None:
            require_above("watched_min", self.watched_min, 0, "a watch")
        if self.moved_mm is not None:
            require_between("moved_mm", self.moved_mm, 0, 20_000, "a tape")
        require_between("runs", self.runs, 1, 100, "runs that were timed")

    @property
    def value(self) -> float:
        """Seconds of a cycle; millimetres a minute of a drift."""
        if self.kind == "cycle":
            assert self.time_s is not None
            return self.time_s
        assert self.moved_mm is not None
        assert self.watched_min is not None
        return self.moved_mm / self.watched_min

    @property
    def measured(self) -> Range:
        """The value with what stop-watch and tape leave open."""
        if self.kind == "cycle":
            spread = STOPWATCH_S / math.sqrt(self.runs)
        else:
            assert self.watched_min is not None
            spread = math.sqrt(2) * TAPE_MM / self.watched_min
        value = self.value
        return Range(value, max(0.0, value - spread), value + spread)
