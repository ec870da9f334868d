"""Which code the oil should have with its filter, and what a code that was found says beside it."""

from __future__ import annotations

from typing import Literal

from coldmark.bench.cleanliness import OVER, SIZES_UM, Code
from coldmark.bench.errors import Missing
from coldmark.bench.filter.balance import Settled
from coldmark.bench.filter.counts import expected_code
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Step, Working

__all__ = ["Expected", "against_expected"]

WITHIN_STEPS = 1
"""By how much a code may miss what was expected: two samples of the same oil differ by as much; common practice, no
source."""

Way = Literal["as_expected", "dirtier", "cleaner", "sizes_differ"]


@dataclass(frozen=True, slots=True)
class Expected:
    """The codes between which the oil should be; where one was found, what it says beside them.

    ``steps`` is by how many steps of the code each size is above the dirtiest (positive) or below the cleanest of them,
    ``None`` where it was not counted. ``verdict`` is *dirtier* or *cleaner* where a size is off by more than one step.
    """

    clean: Code
    dirty: Code
    found: Code | None
    verdict: Way | None
    steps: tuple[int | None, ...]
    working: Working


def _off(found: int | None, low: int | None, high: int | None) -> int | None:
    if found is None or low is None or high is None:
        return None
    return found - high if found > high else min(0, found - low)


def against_expected(settled: tuple[Settled, Settled, Settled], found: Code | None = None) -> Expected:
    """Return between which codes the oil should be, and how one that was found stands to them.

    Parameters
    ----------
    settled
        What the tank settles at for 4, 6 and 14 µm, in this order, each by :func:`settle`.
    found
        The code that was found, or ``None``.

    Returns
    -------
    Expected
        A code is good to one step: only what is off by more counts. *dirtier* means more dirt, or oil past the element,
        which no code can tell apart; *sizes_differ*: neither does that.

    Valid for
        Three sizes, none with more particles than a smaller one; codes that have at least one size counted.

    Raises
    ------
    Contradiction
        When a larger size has more particles than a smaller one.
    Missing
        When no size of the code that was found was counted.

    Source
        ISO 4406; the particle balance.

    Examples
    --------
    >>> from coldmark.bench.cleanliness import parse
    >>> from coldmark.bench.filter import settle
    >>> three = settle(200, 100, 4), settle(60, 100, 20), settle(5, 100, 200)
    >>> told = against_expected(three, parse("23/20/17"))
    >>> str(told.clean), str(told.dirty), told.verdict, told.steps
    ('18/15/12', '20/17/14', 'dirtier', (3, 3, 3))
    """
    clean, dirty = expected_code(*settled)
    working = settled[0].working + settled[1].working + settled[2].working
    if found is None:
        return Expected(clean, dirty, None, None, (), working)
    numbers = [None if one is None or one >= OVER else one for one in found.numbers]
    steps = tuple(_off(*three) for three in zip(numbers, clean.numbers, dirty.numbers, strict=True))
    counted = [one for one in steps if one is not None]
    if not counted:
        raise Missing(name="found", needed_for="a size that was counted")
    above, below = max(counted) > WITHIN_STEPS, min(counted) < -WITHIN_STEPS
    verdict: Way = "sizes_differ" if above and below else "dirtier" if above else "cleaner" if below else "as_expected"
    givens = (
        Given("found", str(found), "", "measured"),
        Given("cleanest", str(clean), "", "worked_out"),
        Given("dirtiest", str(dirty), "", "worked_out"),
    )
    shown = ", ".join(f"{size} µm: {one:+d}" for size, one in zip(SIZES_UM, steps, strict=True) if one is not None)
    step = Step(
        "working.filter.off_expected",
        "found − dirtiest where it is above, found − cleanest where it is below",
        givens,
        shown,
        "",
        "a code is good to one step: common practice, no source",
    )
    return Expected(clean, dirty, found, verdict, steps, working + Working((step,)))
