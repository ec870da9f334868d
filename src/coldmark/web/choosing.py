"""Choosing tasks of machines: for a job opened now, and for a visit planned."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils import timezone

from coldmark.bench import words
from coldmark.records import queries
from coldmark.records.errors import refused
from coldmark.records.models import Person
from coldmark.records.queries import DueLine, MachineLine

__all__ = ["MOST_MACHINES", "Choice", "Chosen", "chosen_of", "machine_choices", "ticked_of"]

MOST_MACHINES = 20
SOON = ("over", "now")


@dataclass(frozen=True, slots=True)
class Choice:
    """A task that can be done, whether it is ticked, and when it falls due."""

    task: str
    name: str
    ticked: bool
    due: DueLine | None


@dataclass(frozen=True, slots=True)
class Chosen:
    """A machine of the job to be: its tasks to tick, and the id that its job will have."""

    machine: MachineLine
    job: str
    choices: tuple[Choice, ...]

    @property
    def ticked(self) -> tuple[str, ...]:
        """The tasks that are ticked."""
        return tuple(one.task for one in self.choices if one.ticked)


def chosen_of(
    person: Person, machines: Sequence[str], picks: Sequence[str], told: Any, *, first: bool
) -> tuple[Chosen, ...]:
    """The machines asked for with their tasks; those that are due are ticked where nothing was picked yet."""
    picked = [pick.partition(":") for pick in picks]
    ids = list(dict.fromkeys([*machines, *(machine for machine, _colon, _task in picked)]))
    if not ids:
        raise refused("machine", "nothing", "the machine that the job is on")
    if len(ids) > MOST_MACHINES:
        raise refused("machine", len(ids), f"at most {MOST_MACHINES} at once")
    day = timezone.localdate()
    return tuple(
        machine_choices(person, id, {task for machine, _colon, task in picked if machine == id}, told, day, first=first)
        for id in ids
    )


def machine_choices(person: Person, id: str, ticked: set[str], told: Any, day: date, *, first: bool) -> Chosen:
    found = queries.machine_page(person, id, day=day)
    due = {line.task: line for line in found.due}
    tasks = {} if found.sheet is None else {key: task.name for key, task in found.sheet.tasks.items()}
    if found.sheet is not None and found.state is not None:
        fitted = found.state.options
        tasks = {
            key: name
            for key, name in tasks.items()
            if (needs := found.sheet.tasks[key].needs_option) is None or fitted.get(needs, False)
        }
    if first and not ticked:
        ticked = {task for task, line in due.items() if line.stands(day) in SOON and not line.rides_with}
    # What falls due first is looked for first.
    order = sorted(tasks, key=lambda task: (task not in due or due[task].likely is None, _likely(due.get(task))))
    return Chosen(
        machine=found.machine,
        job=told.get(f"job_{id}") or str(uuid.uuid4()),
        choices=tuple(Choice(task, tasks[task], task in ticked, due.get(task)) for task in order),
    )


def _likely(line: DueLine | None) -> date:
    return date.max if line is None or line.likely is None else line.likely


def ticked_of(chosen: Sequence[Chosen]) -> list[Chosen]:
    found = [one for one in chosen if one.ticked]
    if not found:
        raise refused("tasks", "nothing", words.sentence("web.job.a_task"))
    return found
