"""How well a machine still works: what was timed, against its own first and the sheet's most, and what may be timed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from coldmark.bench import timings, words
from coldmark.bench.job.names import name_of
from coldmark.bench.job.oils import oil_inside
from coldmark.bench.ledger import State
from coldmark.bench.oil import Oil
from coldmark.bench.pictures import timing_trend
from coldmark.bench.shapes import dataclass
from coldmark.bench.sheet import Sheet, tank_of
from coldmark.bench.timings import Timed, Timing, TimingKind

__all__ = ["TimingGlance", "timing_glances", "timings_asked", "timings_offered", "timings_plain"]

Listed = Mapping[str, Sequence[Timed]]


@dataclass(frozen=True, slots=True)
class TimingGlance:
    """One thing that was timed: what is said of it, how it is measured, the drawing, when first and when last.

    ``worse`` is true where it has grown worse, or is over the most that the sheet allows. ``drawing`` is empty while
    there is nothing to compare.
    """

    key: str
    name: str
    what: TimingKind
    how: str
    says: tuple[str, ...]
    worse: bool
    drawing: str
    first: datetime
    at: datetime


def timing_glances(
    state: State, sheet: Sheet | None, units: words.UnitSystem, oils: Mapping[str, Oil]
) -> tuple[TimingGlance, ...]:
    """All that was timed on a machine, what has grown worse first."""
    oil = oil_inside(state, tank_of(sheet), oils)
    found = [_glance(key, listed, sheet, oil, units) for key, listed in sorted(state.timings.items()) if listed]
    return tuple(sorted(found, key=lambda one: not one.worse))


def _glance(
    key: str, listed: Sequence[Timed], sheet: Sheet | None, oil: Oil | None, units: words.UnitSystem
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
        what=alike[-1].kind,
        how="" if timing is None else timing.says,
        says=tuple(timings.says(found, units)),
        worse=grown or found.sheet == "over",
        drawing=drawn,
        first=datetime.fromisoformat(alike[0].at),
        at=datetime.fromisoformat(alike[-1].at),
    )


def timings_plain(found: Sequence[TimingGlance]) -> list[dict[str, Any]]:
    """The glances as a phone shows them."""
    return [
        {
            "key": one.key,
            "name": one.name,
            "what": one.what,
            "how": one.how,
            "says": list(one.says),
            "worse": one.worse,
            "drawing": one.drawing,
            "first": one.first.isoformat(),
            "at": one.at.isoformat(),
        }
        for one in found
    ]


def timings_offered(listed: Listed, sheet: Sheet | None) -> dict[str, str]:
    """What may be timed on a machine, by key: what its sheet names, then what was ``listed`` as timed before."""
    named = {} if sheet is None else {key: timing.name for key, timing in sheet.timings.items()}
    return named | {key: name_of(sheet, key) for key in listed if key not in named}


def timings_asked(listed: Listed, sheet: Sheet | None, units: words.UnitSystem) -> list[dict[str, Any]]:
    """What may be timed, as a phone asks for it: which of the two it is, how it is measured, and with what.

    ``with`` says how it has to be for two to be compared; ``watched_min`` is within which time the sheet has a drift
    measured, or ``None``.
    """
    return [
        _asked(key, name, listed.get(key, ()), None if sheet is None else sheet.timings.get(key), units)
        for key, name in timings_offered(listed, sheet).items()
    ]


def _asked(
    key: str, name: str, before: Sequence[Timed], timing: Timing | None, units: words.UnitSystem
) -> dict[str, Any]:
    what = before[-1].kind if timing is None else timing.kind
    first = next((one for one in before if one.kind == what), None)
    lines = list(_with(first, timing, units))
    if timing is not None and timing.most is not None:
        lines.append(words.sentence("timings.asked.most", most=timings.says_value(what, timing.most, units)))
    watched = timing.watched_min if timing is not None else None if first is None else first.watched_min
    return {
        "key": key,
        "name": name,
        "what": what,
        "how": "" if timing is None else timing.says,
        "with": lines,
        "watched_min": watched if what == "drift" else None,
    }


def _with(first: Timed | None, timing: Timing | None, units: words.UnitSystem) -> Iterator[str]:
    """How the sheet has it measured, and how it was when it was first, which later ones are held against."""
    if timing is not None and (how := _how(timing, units)):
        yield words.sentence("timings.asked.sheet", how=how)
    if first is not None and (how := _how(first, units)):
        yield words.sentence("timings.asked.first", how=how, day=words.day(date.fromisoformat(first.at[:10])))


def _how(one: Timed | Timing, units: words.UnitSystem) -> str:
    told = {"oil_c": one.oil_c, "engine_rpm": one.engine_rpm, "load_kg": one.load_kg}
    said = [
        words.sentence(f"timings.asked.{name}", units=units, **{name: value})
        for name, value in told.items()
        if value is not None
    ]
    return ", ".join(said)
