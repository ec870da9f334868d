"""The litre balance of a job: its pours held against its levels as found and as left."""

from __future__ import annotations

from collections.abc import Mapping

from coldmark.bench import level, litres, words
from coldmark.bench.errors import ColdmarkError
from coldmark.bench.job.learning import taught
from coldmark.bench.ledger import LevelSeen, Pour, State
from coldmark.bench.oil import Oil
from coldmark.bench.shapes import dataclass
from coldmark.bench.sheet import Sheet, tank_of
from coldmark.bench.working import Range

__all__ = ["BalanceOfJob", "balance_of_job", "levels_of_job", "pours_of_job"]


@dataclass(frozen=True, slots=True)
class BalanceOfJob:
    """The hydraulic oil of one job, and its sentences."""

    balance: litres.Balance

    def says(self, units: words.UnitSystem = "metric") -> list[str]:
        """The balance in sentences."""
        return litres.says(self.balance, units)


def pours_of_job(state: State, job: str, sheet: Sheet | None) -> tuple[Pour, ...]:
    """What was poured into the hydraulic tank and let out of it on a job; nothing where no sheet says which it is."""
    return tuple(pour for pour in state.pours.get(tank_of(sheet), ()) if pour.job == job)


def levels_of_job(state: State, job: str, sheet: Sheet | None) -> tuple[LevelSeen | None, LevelSeen | None]:
    """The hydraulic tank's last level as found and its last as left on a job."""
    found = left = None
    for seen in state.levels.get(tank_of(sheet), ()):
        if seen.job == job and seen.moment == "found":
            found = seen
        elif seen.job == job and seen.moment == "left":
            left = seen
    return found, left


def balance_of_job(
    state: State, job: str, sheet: Sheet | None, oil: Oil | None, oils: Mapping[str, Oil]
) -> BalanceOfJob:
    """Balance a job's hydraulic oil; held against the levels where both were read in the glass."""
    found, left = levels_of_job(state, job, sheet)
    temperatures = [seen.oil_c for seen in (left, found) if seen is not None and seen.oil_c is not None]
    assumed_c = temperatures[0] if temperatures else 20.0
    gained = None
    if sheet is not None and found is not None and left is not None:
        gained = _gained(taught(sheet, state, oil), found, left, oil)
    pours = pours_of_job(state, job, sheet)
    return BalanceOfJob(litres.balance(pours, oil, oils=oils, assumed_c=assumed_c, gained_l=gained))


def _gained(system: level.System, found: LevelSeen, left: LevelSeen, oil: Oil | None) -> Range | None:
    first, second = _stand(found), _stand(left)
    if first is None or second is None:
        return None
    try:
        return level.gained_l(system, first, second, oil=oil)
    except ColdmarkError:
        return None  # a value that the sheet lacks; the balance then says that it assumes the same level


def _stand(seen: LevelSeen) -> level.Stand | None:
    where = seen.rods if seen.rods is not None else seen.posture
    if isinstance(seen.reading, str) or seen.oil_c is None or where is None or seen.foam:
        return None
    return level.Stand(seen.reading, seen.oil_c, where, seen.oil_spread_k)
