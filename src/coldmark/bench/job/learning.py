"""What a machine's own pours have taught: the litres between its marks, where the sheet knows them less well."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from coldmark.bench import level
from coldmark.bench.errors import CannotTell, Refused
from coldmark.bench.facts import moment_ms
from coldmark.bench.ledger import LevelSeen, State
from coldmark.bench.oil import Oil
from coldmark.bench.sheet import Sheet, tank_of

__all__ = ["pours_of", "taught"]

NEARLY_ONE_K = 3.0
"""Two temperatures that differ by less are taken for one, a thermometer being good to two kelvins."""


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
    """Pairs of readings in the check posture on one job with oil poured in between, as far as both are numbers.

    Where the oil warmed up meanwhile, a pair teaches only when the sheet has what its growth is worked out from.
    """
    growth_known = sheet.hydraulic.system_l is not None and sheet.hydraulic.tank.at_lower_l is not None
    found: list[level.LevelPour] = []
    tank = tank_of(sheet)
    seen = state.levels.get(tank, [])
    for before, after in pairwise(seen):
        if (
            before.job is None
            or before.job != after.job
            or not _pair(before, after, sheet.hydraulic.check_posture, growth_known)
        ):
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
            warmed = abs(before.oil_c - after.oil_c) > NEARLY_ONE_K
            found.append(
                level.LevelPour(
                    before=float(before.reading),
                    litres_l=poured,
                    after=float(after.reading),
                    oil_c=before.oil_c if warmed else after.oil_c,
                    after_c=after.oil_c if warmed else None,
                )
            )
    return found


def _pair(before: LevelSeen, after: LevelSeen, check: str, growth_known: bool) -> bool:
    """Whether two readings can teach: both numbers, in the check posture, at one temperature or with growth known."""
    if isinstance(before.reading, str) or isinstance(after.reading, str):
        return False
    if before.posture != check or after.posture != check or before.oil_c is None or after.oil_c is None:
        return False
    return growth_known or abs(before.oil_c - after.oil_c) <= NEARLY_ONE_K
