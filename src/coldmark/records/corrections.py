"""Stored facts with the corrections that speak of them."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence

from coldmark.bench.facts import Fact as BenchFact
from coldmark.bench.facts import parse
from coldmark.bench.ledger import effective
from coldmark.records.models import Fact

__all__ = ["corrections_of", "standing", "stored_fact"]

MOST_ROUNDS = 4
"""A correction of a correction of a correction is as far as anybody goes; each round is a query."""


def stored_fact(row: Fact) -> BenchFact:
    """The fact of a stored row."""
    return parse(row.text, stored=True)


def corrections_of(ids: Iterable[uuid.UUID]) -> list[BenchFact]:
    """The corrections of these facts, and the corrections of those. One query where there are none."""
    found: dict[uuid.UUID, Fact] = {}
    asked = set(ids)
    for _round in range(MOST_ROUNDS):
        rows = list(Fact.objects.filter(corrects__in=asked, held_apart=False)) if asked else []
        asked = {row.id for row in rows} - found.keys()
        found |= {row.id: row for row in rows}
    return [stored_fact(row) for row in found.values()]


def standing(rows: Sequence[Fact]) -> dict[str, BenchFact]:
    """Those of the facts that hold, with their bodies as they hold now, by id; withdrawn and held ones are left out."""
    told = [stored_fact(row) for row in rows if not row.held_apart]
    holds = {fact.id: fact for fact in effective([*told, *corrections_of(row.id for row in rows)])}
    return {fact.id: holds[fact.id] for fact in told if fact.id in holds}
