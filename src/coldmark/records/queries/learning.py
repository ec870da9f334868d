"""What a machine's own pours have taught: the litres between its marks, where the sheet knows them less well."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from coldmark.bench import level
from coldmark.bench.errors import CannotTell, Refused
from coldmark.bench.facts import moment_ms
from coldmark.bench.ledger import LevelSeen, State
from coldmark.bench.oil import Oil
from coldmark.bench.sheet import Sheet
from coldmark.records.sheets import tank_of

__all__ = ["pours_of", "taught"]

NEARLY_ONE_K = 3.0
"""A pour teaches only when the oil did not warm up meanwhile; common practice, no source."""


def taught(sheet: Sheet, state: State, oil: Oil | None) -> level.System:
    """The sheet's system with the litres between its marks as its own pours have them, where those are better known."""
    system = sheet.hydraulic
    pours = list(pours_of(sheet, state))
    if not pours:
        return system
    try:
        return level.with_learned(system, level.learn(pours, system=system, oil=oil))
    except (Refused, CannotTell):
        return system


def pours_of(sheet: Sheet, state: State) -> Sequence[level.LevelPour]:
    """Pairs of readings in the check posture on one job with oil poured in between, as far as both are numbers."""
    found: list[level.LevelPour] = []
    tank = tank_of(sheet)
    seen = state.levels.get(tank, [])
    for before, after in pairwise(seen):
        if before.job is None or before.job != after.job or not _pair(before, after, sheet.hydraulic.check_posture):
            continue
        begin, end = moment_ms("at", before.at), moment_ms("at", after.at)
        litres = [
            one for one in state.pours.get(tank, ()) if one.job == before.job and begin < moment_ms("at", one.at) <= end
        ]
        poured = sum(one.litres for one in litres)
        if (
            litres
            and all(one.way == "top_up" for one in litres)
            and before.oil_c is not None
            and after.oil_c is not None
        ):
            found.append(level.LevelPour(float(before.reading), poured, float(after.reading), after.oil_c))
    return found


def _pair(before: LevelSeen, after: LevelSeen, check: str) -> bool:
    """Whether two readings can teach: both numbers, in the check posture, at nearly one temperature."""
    if isinstance(before.reading, str) or isinstance(after.reading, str):
        return False
    if before.posture != check or after.posture != check or before.oil_c is None or after.oil_c is None:
        return False
    return abs(before.oil_c - after.oil_c) <= NEARLY_ONE_K
