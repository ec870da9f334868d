"""Facts for tests: a recorder that counts, so that every test's facts are its own and always the same."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from coldmark.bench.facts import Fact, SubjectType, make, new_id

__all__ = ["DEVICE", "JOB", "MACHINE", "OTHER_DEVICE", "PERSON", "Recorder", "hours", "litres", "uuid"]


def uuid(number: int) -> str:
    """Return a UUID that is recognised in a failure."""
    return f"019ccf2c-0000-7000-8000-{number:012x}"


MACHINE, DEVICE, OTHER_DEVICE, PERSON, JOB = uuid(0xA1), uuid(0xD1), uuid(0xD2), uuid(0xF1), uuid(0xE1)


def hours(value: object) -> dict[str, str]:
    """Return a quantity in hours."""
    return {"value": str(value), "unit": "h"}


def litres(value: object) -> dict[str, str]:
    """Return a quantity in litres."""
    return {"value": str(value), "unit": "l"}


@dataclass
class Recorder:
    """One device that records facts about one machine."""

    machine: str = MACHINE
    device: str = DEVICE
    number: int = 0
    made: list[Fact] = field(default_factory=list)

    def __call__(
        self,
        kind: str,
        at: str,
        body: Mapping[str, Any],
        *,
        job: str | None = None,
        recorded: str | None = None,
        subject_type: SubjectType = "machine",
        subject: str | None = None,
    ) -> Fact:
        """Record a fact; ``at`` is a day or a moment without offset, taken as UTC."""
        self.number += 1
        fact = make(
            id=new_id(1_700_000_000_000 + self.number, int(self.device[-4:], 16) << 20 | self.number),
            kind=kind,
            subject=subject or (self.device if subject_type == "device" else self.machine),
            subject_type=subject_type,
            at=_moment(at),
            recorded=_moment(recorded or at),
            device=self.device,
            number=self.number,
            person=PERSON,
            app="0.1.0",
            body=body,
            job=job,
        )
        self.made.append(fact)
        return fact

    def meter(self, at: str, shown: object, **more: Any) -> Fact:
        """Record what the meter showed."""
        return self("meter_read", at, {"reading": hours(shown), "way": "seen", **more})

    def done(self, at: str, task: str, *, job: str | None = None) -> Fact:
        """Record that a task was done."""
        return self("task_done", at, {"task": task}, job=job)


def _moment(at: str) -> str:
    return (at if "T" in at else f"{at}T08:00:00") + ("" if at[-6] in "+-" and "T" in at else "+00:00")
