"""How many changes it takes until little enough of the old oil is left."""

from __future__ import annotations

import math

from coldmark.bench.errors import CannotTell, require_above, require_between
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["MOST_CHANGES", "Changes", "changes_until"]

MOST_CHANGES = 100
CAN_SHARE = 0.02  # a can's or measure's mark is good to 2 %: assumed


@dataclass(frozen=True, slots=True)
class Changes:
    """How many changes, and what is left of the old oil after each of them.

    ``count`` lies in a range, because litres are measured to 2 %. ``after`` is the share after the last of them,
    ``left`` that after each, ``litres_l`` how much new oil all of them take.
    """

    count: Range
    after: Range
    left: tuple[float, ...]
    litres_l: float
    working: Working


def _count(share: float, limit: float, stays: float) -> int:
    """Return after how many changes, each of which leaves a share of ``stays``, no more than the limit is left."""
    if share <= limit:
        return 0
    if stays <= 0:
        return 1
    # A billionth less, so that a change which meets the limit exactly is not followed by one more for the last bit.
    return max(1, math.ceil(math.log(limit / share) / math.log(stays) - 1e-9))


def changes_until(share: float, limit_share: float, drained_l: float, system_l: float) -> Changes:
    """Return how many changes it takes until no more than a limit of the old oil is left.

    Parameters
    ----------
    share
        Share of the old oil in the system now, from 0 to 1.
    limit_share
        Share that may be left, above 0.
    drained_l
        How much is let out at each change [L].
    system_l
        How much the whole system holds [L]: tank, lines and cylinders, not the tank alone.

    Returns
    -------
    Changes
        Each leaves 1 − drained ÷ system of what was there, if every function is moved to both ends before the next.

    Valid for
        Up to 100 changes.

    Raises
    ------
    OutOfRange
        When a share is none, or more is let out than the system holds.
    CannotTell
        When so little is let out that it takes more than 100.

    Source
        Conservation of volume: share · (1 − drained / system)ⁿ. Litres good to 2 %: assumed.

    Examples
    --------
    >>> found = changes_until(1.0, 0.02, 48, 78)
    >>> found.count.value, [round(one, 3) for one in found.left], found.litres_l
    (5, [0.385, 0.148, 0.057, 0.022, 0.008], 240)
    """
    require_between("share", share, 0, 1, "a share of all that is inside")
    require_above("limit_share", limit_share, 0, "something is always left")
    require_between("limit_share", limit_share, 0, 1, "a share of all that is inside")
    require_above("system_l", system_l, 0, "a system holds something")
    require_above("drained_l", drained_l, 0, "a change lets something out")
    require_between("drained_l", drained_l, 0, system_l, "no more than the system holds")
    most_out, least_out = (min(1.0, drained_l * (1 + sign * CAN_SHARE) / system_l) for sign in (1, -1))
    stays = 1 - drained_l / system_l
    count, least, most = (_count(share, limit_share, one) for one in (stays, 1 - most_out, 1 - least_out))
    if count > MOST_CHANGES:
        raise CannotTell("oil_history.too_many", drained_l=drained_l, system_l=system_l, most=MOST_CHANGES)
    left = tuple(share * stays**number for number in range(1, count + 1))
    after = Range(share * stays**count, share * (1 - most_out) ** count, share * (1 - least_out) ** count)
    return Changes(
        Range(count, least, most),
        after,
        left,
        count * drained_l,
        _working(share, limit_share, drained_l, system_l, count, after.value),
    )


def _working(share: float, limit: float, drained_l: float, system_l: float, count: int, after: float) -> Working:
    source = "conservation of volume; every function moved between the changes"
    out = (Given("drained", drained_l, "l", "told"), Given("system", system_l, "l", "told"))
    stays = 1 - drained_l / system_l
    steps = [Step("working.oil_history.stays", "1 − drained / system", out, stays, "share", source)]
    now = Given("share", share, "share", "told")
    givens = (now, Given("limit", limit, "share", "told"), Given("stays", stays, "share", "worked_out"))
    formula = "n = ln(limit / share) / ln(stays), rounded up"
    steps.append(Step("working.oil_history.count", formula, givens, count, "", source))
    last = (now, givens[2], Given("n", count, "", "worked_out"))
    steps.append(Step("working.oil_history.after", "share · staysⁿ", last, after, "share", source))
    return Working(tuple(steps))
