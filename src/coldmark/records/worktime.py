"""How long people were at a job: from the facts by which they say that work, a drive or a wait begins and ends."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

__all__ = ["CLOCK_KINDS", "Stamp", "WorkTime", "work_times"]

CLOCK_KINDS = frozenset({"clock_on", "clock_off"})


@dataclass(frozen=True, slots=True)
class Stamp:
    """Somebody's clock goes on or off for ``work``: *work*, *travel* or *waiting*."""

    person: str
    on: bool
    work: str
    at: datetime


@dataclass(frozen=True, slots=True)
class WorkTime:
    """Somebody's minutes at a job by what they went on, and what goes on since when."""

    person: str
    minutes: tuple[tuple[str, float], ...]
    running: tuple[tuple[str, datetime], ...]


def work_times(stamps: Iterable[Stamp]) -> tuple[WorkTime, ...]:
    """Add up the times of each person, in the order in which they began.

    What began twice began the first time; what ended without having begun is nothing. What has not ended counts no
    minute yet.
    """
    running: dict[str, dict[str, datetime]] = {}
    minutes: dict[str, dict[str, float]] = {}
    for stamp in sorted(stamps, key=lambda one: one.at):
        began, added = running.setdefault(stamp.person, {}), minutes.setdefault(stamp.person, {})
        if stamp.on:
            began.setdefault(stamp.work, stamp.at)
        elif stamp.work in began:
            passed = stamp.at - began.pop(stamp.work)
            added[stamp.work] = added.get(stamp.work, 0.0) + passed.total_seconds() / 60
    return tuple(
        WorkTime(person, tuple(added.items()), tuple(running[person].items()))
        for person, added in minutes.items()
        if added or running[person]
    )
