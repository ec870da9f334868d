"""How well a machine still works, as its page shows it: what was timed, against its own first and the sheet's most."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from coldmark.bench import timings, words
from coldmark.bench.job import oil_inside
from coldmark.bench.ledger import State
from coldmark.bench.oil import Oil
from coldmark.bench.pictures import timing_trend
from coldmark.bench.sheet import Sheet, tank_of
from coldmark.records.queries.telling import name_of

__all__ = ["TimingGlance", "timing_glances", "timings_offered"]


@dataclass(frozen=True, slots=True)
class TimingGlance:
    """One thing that was timed: what is said of it, how it is measured, the drawing, when last.

    ``worse`` is true where it has grown worse, or is over the most that the sheet allows. ``drawing`` is empty while
    there is nothing to compare.
    """

    key: str
    name: str
    how: str
    says: tuple[str, ...]
    worse: bool
    drawing: str
    at: datetime


def timing_glances(
    state: State, sheet: Sheet | None, units: words.UnitSystem, oils: Mapping[str, Oil]
) -> tuple[TimingGlance, ...]:
    """All that was timed on a machine, what has grown worse first."""
    oil = oil_inside(state, tank_of(sheet), oils)
    found = [_glance(key, listed, sheet, oil, units) for key, listed in sorted(state.timings.items()) if listed]
    return tuple(sorted(found, key=lambda one: not one.worse))


def _glance(
    key: str, listed: list[timings.Timed], sheet: Sheet | None, oil: Oil | None, units: words.UnitSystem
) -> TimingGlance:
    # A name may have been used for a time and for a drift: the latest says which it is.
    alike = [one for one in listed if one.kind == listed[-1].kind]
    timing = None if sheet is None else sheet.timings.get(key)
    if timing is not None and timing.kind != alike[-1].kind:
        timing = None
    found = timings.trend(alike, timing, oil)
    grown = found.compared is not None and found.compared.way == "more"
    drawn = timing_trend(found.points, found.kind, most=found.most, units=units) if len(found.points) > 1 else ""
    return TimingGlance(
        key=key,
        name=name_of(sheet, key),
        how="" if timing is None else timing.says,
        says=tuple(timings.says(found, units)),
        worse=grown or found.sheet == "over",
        drawing=drawn,
        at=datetime.fromisoformat(alike[-1].at),
    )


def timings_offered(state: State, sheet: Sheet | None) -> dict[str, str]:
    """What may be timed on a machine, by key: what its sheet names, then what was timed on it before."""
    named = {} if sheet is None else {key: timing.name for key, timing in sheet.timings.items()}
    return named | {key: name_of(sheet, key) for key in state.timings if key not in named}
