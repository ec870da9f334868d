"""The fold of how well the machine still works: what was timed, the first and the latest of each."""

from __future__ import annotations

from coldmark.bench.facts import Body, Fact, quantity
from coldmark.bench.ledger.folding import Folding
from coldmark.bench.timings import Timed

__all__ = ["MOST_TIMINGS", "function_timed"]

MOST_TIMINGS = 60
"""How many measurements of one thing are kept: the first, which the others are held against, and the latest."""


def function_timed(folding: Folding, fact: Fact) -> None:
    """Keep a time or a drift, with the machine's hours then."""
    body = fact.body
    seen = folding.state.timings.setdefault(body["timing"], [])
    seen.append(
        Timed(
            kind=body["what"],
            time_s=_told(body, "time", "seconds"),
            watched_min=_told(body, "watched", "minutes"),
            moved_mm=_told(body, "moved", "length"),
            oil_c=_told(body, "oil", "temperature"),
            load_kg=_told(body, "load", "mass"),
            engine_rpm=_told(body, "speed", "speed"),
            runs=body.get("runs") or 1,
            hours=folding.then(fact).hours,
            at=fact.at,
            fact=fact.id,
        )
    )
    del seen[1 : max(1, len(seen) - MOST_TIMINGS + 1)]


def _told(body: Body, name: str, measures: str) -> float | None:
    return None if body.get(name) is None else quantity(body[name], measures)
