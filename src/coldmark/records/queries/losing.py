"""Whether a machine loses hydraulic oil: all its readings since the last mended leak, with what was poured between."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from coldmark.bench import clocks, level, litres, words
from coldmark.bench.errors import ColdmarkError
from coldmark.bench.facts import moment_ms
from coldmark.bench.job import oil_inside, taught
from coldmark.bench.ledger import LevelSeen, Pour, State
from coldmark.bench.oil import Oil
from coldmark.bench.sheet import Sheet, tank_of

__all__ = ["LosingGlance", "falls", "gearboxes", "losing"]

SPAN_H = 1500.0
"""How far back readings count: long enough for a slow loss, short enough to be of the machine as it is."""

_BEHIND_SHAFT_SEALS = frozenset({"gear oil", "engine oil"})
_FEWEST = 3
"""Two readings make a line whatever they are; with three it can be seen whether they lie on one."""


@dataclass(frozen=True, slots=True)
class LosingGlance:
    """What the readings say of losses; ``clear`` when it is more than they leave open, ``why`` when nothing is said."""

    says: tuple[str, ...]
    clear: bool
    why: str


def losing(state: State, sheet: Sheet | None, units: words.UnitSystem, oils: Mapping[str, Oil]) -> LosingGlance | None:
    """Whether oil is lost; ``None`` where there are too few readings to ask."""
    try:
        found = losses(state, sheet, oils)
    except ColdmarkError as error:
        return LosingGlance((), False, error.say(units))
    return None if found is None else LosingGlance(tuple(level.says_losses(found, units)), found.clear, "")


def losses(state: State, sheet: Sheet | None, oils: Mapping[str, Oil]) -> level.Losses | None:
    """What the readings of the hydraulic tank say of losses; ``None`` where there are too few of them to ask.

    Raises
    ------
    ColdmarkError
        When the readings or the sheet do not give it.
    """
    if sheet is None:
        return None
    oil = oil_inside(state, tank_of(sheet), oils)
    seen = _levels(state, sheet, oil, oils)
    if len(seen) < _FEWEST:
        return None
    return level.losses(taught(sheet, state, oil), seen, oil=oil)


def falls(state: State, sheet: Sheet | None, oils: Mapping[str, Oil]) -> bool | None:
    """Whether the hydraulic level falls; ``None`` where its readings do not tell."""
    try:
        found = losses(state, sheet, oils)
    except ColdmarkError:
        return None
    return None if found is None else found.clear and found.litres_100h.value > 0


def gearboxes(state: State, sheet: Sheet) -> list[str]:
    """What the readings of each gearbox, drive and the engine say: *rising*, *steady* or *unknown*."""
    return [_rises(state, key) for key, place in sheet.compartments.items() if place.fluid in _BEHIND_SHAFT_SEALS]


def _rises(state: State, key: str) -> str:
    since = max((moment_ms("at", one.at) for one in state.pours.get(key, ())), default=0)
    seen = sorted((moment_ms("at", one.at), number) for number, one in enumerate(state.levels.get(key, ())))
    listed = [state.levels[key][number] for at_ms, number in seen if at_ms > since]
    return level.rising([(_reading(one), one.oil_c) for one in listed if not one.foam])


def _levels(state: State, sheet: Sheet, oil: Oil | None, oils: Mapping[str, Oil]) -> list[level.LevelAt]:
    tank = tank_of(sheet)
    since = _mended_ms(state)
    seen = [one for one in state.levels.get(tank, ()) if moment_ms("at", one.at) >= since]
    pours = sorted(state.pours.get(tank, ()), key=lambda one: moment_ms("at", one.at))
    found: list[level.LevelAt] = []
    before_ms = None
    for one in sorted(seen, key=lambda one: moment_ms("at", one.at)):
        at_ms = moment_ms("at", one.at)
        stand, hours = _stand(one), _hours(state, at_ms)
        if stand is None or hours is None:
            continue  # what was poured before it then counts for the next
        moved: list[Pour] = (
            [] if before_ms is None else [pour for pour in pours if before_ms < moment_ms("at", pour.at) <= at_ms]
        )
        total, off = _sum(moved, oil, oils, one.oil_c)
        found.append(level.LevelAt(hours, stand, moved_l=total, moved_spread_l=off, foam=one.foam))
        before_ms = at_ms
    last_h = found[-1].hours_h if found else 0.0
    return [one for one in found if one.hours_h >= last_h - SPAN_H]


def _mended_ms(state: State) -> int:
    """When a leak was last mended: what was lost before says nothing of the machine as it is."""
    mended = [
        moment_ms("at", one.settled_at)
        for one in state.findings.values()
        if one.what == "leak" and one.settled_at is not None
    ]
    return max(mended, default=0)


def _hours(state: State, at_ms: int) -> float | None:
    try:
        return clocks.hours_at_ms(state.meter, at_ms, state.handed_over).hours.value
    except ColdmarkError:
        return None


def _stand(seen: LevelSeen) -> level.Stand | None:
    where = seen.rods if seen.rods is not None else seen.posture
    if seen.oil_c is None or where is None:
        return None
    return level.Stand(_reading(seen), seen.oil_c, where, seen.oil_spread_k)


def _reading(seen: LevelSeen) -> level.Reading:
    if isinstance(seen.reading, float | int):
        return float(seen.reading)
    return "below" if seen.reading == "below" else "above"


def _sum(pours: Sequence[Pour], oil: Oil | None, oils: Mapping[str, Oil], oil_c: float | None) -> tuple[float, float]:
    """Litres at 15 °C that went in less those that came out, and how far that may be off."""
    assumed_c = 20.0 if oil_c is None else oil_c
    moved = [litres.at_15(one, oils.get(one.oil or "", oil) if one.oil else oil, assumed_c) for one in pours]
    return sum(one.value for one in moved), sum((one.width / 2) ** 2 for one in moved) ** 0.5
