"""Stored facts in their places, with the corrections that speak of them."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from coldmark.bench.facts import Fact as BenchFact
from coldmark.bench.facts import parse
from coldmark.bench.ledger import effective, resolve
from coldmark.records.models import Fact, MachineState
from coldmark.records.numbers import in_ms

__all__ = ["ClockErrors", "clock_errors_of", "corrections_of", "placed_fact", "set_right", "standing", "stored_fact"]

MOST_ROUNDS = 4
"""A correction of a correction of a correction is as far as anybody goes; each round is a query."""

ClockErrors = Mapping[str, Sequence[tuple[int, int]]]
"""By device: when its clock was measured [ms since 1970], and by how many seconds it was ahead."""


def stored_fact(row: Fact) -> BenchFact:
    """The fact of a stored row, as it was recorded."""
    return parse(row.text, stored=True)


def placed_fact(row: Fact) -> BenchFact:
    """The fact of a stored row at the moment at which it happened, with a measured clock error taken off."""
    fact = stored_fact(row)
    ahead_ms = fact.at_ms - in_ms(row.at)
    if ahead_ms == 0:
        return fact
    moment = datetime.fromisoformat(fact.at) - timedelta(milliseconds=ahead_ms)
    return replace(fact, at=moment.isoformat(), at_ms=fact.at_ms - ahead_ms)


def clock_errors_of(devices: Iterable[str | uuid.UUID] | None = None) -> ClockErrors:
    """The measured clock errors of some devices, or of all."""
    rows = Fact.objects.filter(subject_type="device", kind="clock_error")
    if devices is not None:
        rows = rows.filter(subject__in=set(devices))
    return resolve(stored_fact(row) for row in rows).clock_errors


def set_right(fact: BenchFact, errors: ClockErrors) -> BenchFact:
    """A fact where the fold puts it: the ledger itself takes the clock error off."""
    return resolve([fact], errors).facts[0] if fact.device in errors else fact


def corrections_of(facts: Iterable[Fact]) -> list[BenchFact]:
    """The corrections of these facts, and the corrections of those. One query where there are none.

    A correction is of the machine that its fact is of, as the fold has it: one sent for another machine's fact counts
    for nothing. Records joined into one are one machine.
    """
    subjects = {row.id: row.subject for row in facts}
    found: dict[uuid.UUID, Fact] = {}
    asked = set(subjects)
    for _round in range(MOST_ROUNDS):
        rows = list(Fact.objects.filter(corrects__in=asked, held_apart=False)) if asked else []
        rows = _of_the_same(rows, subjects)
        subjects |= {row.id: row.subject for row in rows}
        asked = {row.id for row in rows} - found.keys()
        found |= {row.id: row for row in rows}
    return [placed_fact(row) for row in found.values()]


def _of_the_same(rows: Sequence[Fact], subjects: Mapping[uuid.UUID, uuid.UUID]) -> list[Fact]:
    """Those that speak of a fact of their own machine."""
    named = [(row, subjects[row.corrects]) for row in rows if row.corrects is not None]
    apart = {id for row, subject in named if row.subject != subject for id in (row.subject, subject)}
    into = dict(
        MachineState.objects.filter(machine__in=apart, joined_into__isnull=False).values_list(
            "machine_id", "joined_into_id"
        )
        if apart
        else ()
    )
    return [row for row, subject in named if into.get(row.subject, row.subject) == into.get(subject, subject)]


def standing(rows: Sequence[Fact]) -> dict[str, BenchFact]:
    """Those of the facts that hold, with their bodies as they hold now, by id; withdrawn and held ones are left out."""
    told = [placed_fact(row) for row in rows if not row.held_apart]
    holds = {fact.id: fact for fact in effective([*told, *corrections_of(rows)])}
    return {fact.id: holds[fact.id] for fact in told if fact.id in holds}
