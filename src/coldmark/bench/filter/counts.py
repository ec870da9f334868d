"""What particle counts tell of a filter, and what they cannot.

More dirt getting in, and oil going past the element, do the same to the tank: the count at *every* size becomes the
same number of times as large. So no count tells the two apart. And a count is good to about one step of the code, a
doubling, so that it takes half of the flow, 1 − 1/2, before a count shows it. Opening the filter shows both at once.
"""

from __future__ import annotations

import math
from typing import Literal

from coldmark.bench.cleanliness import OVER, SIZES_UM, Code, bounds
from coldmark.bench.cleanliness import code as code_of
from coldmark.bench.errors import Contradiction, Missing, require_above, require_between
from coldmark.bench.filter.balance import COUNT_WITHIN, MOST_PER_ML, Settled, spread
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["Judged", "compare_codes", "expected_code", "judge"]

SOURCE = "the particle balance: count ∝ ingress / (1 − share bypassed), at every size alike; worked out"

Verdict = Literal["as_expected", "dirtier", "cleaner", "sizes_differ"]


@dataclass(frozen=True, slots=True)
class Judged:
    """How a count stands to what was expected.

    ``times`` is found over expected. Were it the bypass alone, ``explains_share`` of the flow would go past the
    element (0 where the oil is no dirtier). ``hidden_share`` may go past it without this count showing it, ``None``
    where the count shows something. ``steps`` is by how many steps of the code it stands higher. *sizes_differ*:
    neither more ingress nor bypass alone can be the reason.
    """

    verdict: Verdict
    times: Range
    explains_share: Range
    hidden_share: float | None
    steps: float
    working: Working


def _share(times: float) -> float:
    """Return the share of the flow whose bypass alone makes the oil this many times as dirty."""
    return max(0.0, 1 - 1 / times) if times > 0 else 0.0


def _judged(verdict: Verdict, times: Range, steps: float, givens: tuple[Given, ...]) -> Judged:
    explains = Range(_share(times.value), _share(times.low), _share(times.high))
    found = [
        Step("working.filter.times", "found / expected", givens, times.value, "", SOURCE),
        Step("working.filter.explains", "k = 1 − 1 / times", (), explains.value, "share", SOURCE),
    ]
    if verdict != "as_expected":
        return Judged(verdict, times, explains, None, steps, Working(tuple(found)))
    hidden = Step(
        "working.filter.hidden",
        "k = 1 − 1 / (times, at the upper end of what the counts leave open)",
        (Given("times at most", times.high, "", "worked_out"),),
        explains.high,
        "share",
        "a count is good to one step of the code: common practice, no source",
    )
    return Judged(verdict, times, explains, explains.high, steps, Working((*found, hidden)))


def judge(expected_per_ml: Range | float, found_per_ml: float) -> Judged:
    """Say how a count stands to what was expected, and how much bypass it could hide.

    Parameters
    ----------
    expected_per_ml
        What was expected [per mL], with its range where it has one.
    found_per_ml
        What was counted [per mL].

    Returns
    -------
    Judged
        *dirtier* or *cleaner* only where the ranges of both leave no other way.

    Valid for
        Counts above 0 to 1e9 per mL.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        The particle balance; a count good to one step of the code is common practice, no source.

    Examples
    --------
    >>> found = judge(100, 100)
    >>> found.verdict, found.hidden_share
    ('as_expected', 0.5)
    >>> found = judge(100, 450)
    >>> found.verdict, round(found.explains_share.value, 2)
    ('dirtier', 0.78)
    """
    expected = expected_per_ml if isinstance(expected_per_ml, Range) else Range.about(expected_per_ml, 0.0)
    for name, value in (("expected_per_ml", expected.low), ("found_per_ml", found_per_ml)):
        require_above(name, value, 0, "a count of particles")
        require_between(name, value, 0, MOST_PER_ML, "a count of particles")
    ends = (expected.value / expected.high, expected.value / expected.low)
    times = spread(found_per_ml / expected.value, [(1 / COUNT_WITHIN, COUNT_WITHIN), ends])
    # Exactly one step up is no more than the counts leave open.
    verdict: Verdict = "dirtier" if times.low > 1 + 1e-9 else "cleaner" if times.high < 1 - 1e-9 else "as_expected"
    givens = (
        Given("found", found_per_ml, "per_ml", "measured"),
        Given("expected", expected.value, "per_ml", "worked_out"),
    )
    return _judged(verdict, times, math.log2(times.value), givens)


def _middle(number: int) -> float:
    low, high = bounds(number)
    return math.sqrt(low * high) if low > 0 and math.isfinite(high) else high if low <= 0 else low


def compare_codes(before: Code, now: Code) -> Judged:
    """Compare two codes of the same machine at like work: what the difference can mean, and what it cannot show.

    Parameters
    ----------
    before
        The code when all was well.
    now
        The code now.

    Returns
    -------
    Judged
        Of the sizes that both have. One step is no more than two samples of the same oil may differ by. Sizes that
        moved by two steps more than others: neither ingress nor bypass alone does that.

    Valid for
        Codes that have a size in common; ``>28`` has no upper bound and is passed over.

    Raises
    ------
    Missing
        When they have no size in common.

    Source
        ISO 4406, table of scale numbers; the particle balance.

    Examples
    --------
    >>> from coldmark.bench import cleanliness
    >>> found = compare_codes(cleanliness.parse("18/16/13"), cleanliness.parse("18/16/13"))
    >>> found.verdict, round(found.hidden_share, 2)
    ('as_expected', 0.5)
    >>> found = compare_codes(cleanliness.parse("18/16/13"), cleanliness.parse("21/19/16"))
    >>> found.verdict, found.steps, round(found.explains_share.value, 2)
    ('dirtier', 3, 0.87)
    """
    both = [
        (size, one, other)
        for size, one, other in zip(SIZES_UM, before.numbers, now.numbers, strict=True)
        if one is not None and other is not None and max(one, other) < OVER
    ]
    if not both:
        raise Missing(name="now", needed_for="a size that both codes have")
    moved = {size: other - one for size, one, other in both}
    # The size that moved like most of them speaks for all.
    size, one, other = sorted(both, key=lambda row: row[2] - row[1])[len(both) // 2]
    (low_before, high_before), (low_now, high_now) = bounds(one), bounds(other)
    value = _middle(other) / _middle(one)
    times = Range(value, min(value, low_now / high_before), max(value, high_now / (low_before or high_before / 2)))
    steps = moved[size]
    verdict: Verdict = "dirtier" if steps >= 2 else "cleaner" if steps <= -2 else "as_expected"
    if max(moved.values()) - min(moved.values()) >= 2:
        verdict = "sizes_differ"
    givens = (
        Given(f"before, {size} µm", one, "", "told"),
        Given(f"now, {size} µm", other, "", "told"),
    )
    return _judged(verdict, times, steps, givens)


def expected_code(*settled: Settled) -> tuple[Code, Code]:
    """Return between which cleanliness codes the oil should be.

    Parameters
    ----------
    settled
        What the tank settles at for 4, 6 and 14 µm, in this order, each by :func:`settle` with the β and the ingress of
        its size.

    Returns
    -------
    tuple of Code
        The cleanest and the dirtiest code that the ranges leave.

    Valid for
        Three sizes, none with more particles than a smaller one.

    Raises
    ------
    Contradiction
        Outside of that.

    Source
        ISO 4406; the particle balance.

    Examples
    --------
    >>> from coldmark.bench.filter import settle
    >>> clean, dirty = expected_code(settle(200, 100, 4), settle(60, 100, 20), settle(5, 100, 200))
    >>> str(clean), str(dirty)
    ('18/15/12', '20/17/14')
    """
    if len(settled) != len(SIZES_UM):
        raise Contradiction(name="settled", value=len(settled), why="filter.cannot.three_sizes")
    low, high = ([one.tank_per_ml.low for one in settled], [one.tank_per_ml.high for one in settled])
    return code_of(low), code_of(high)
