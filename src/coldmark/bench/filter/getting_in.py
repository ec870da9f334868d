"""How much dirt gets in, by what was counted: the particle balance turned round."""

from __future__ import annotations

import math

from coldmark.bench.errors import Contradiction, Missing, require_above, require_between
from coldmark.bench.filter.balance import (
    COUNT_WITHIN,
    FLOW_WITHIN,
    MOST_L,
    MOST_PER_ML,
    SOURCE,
    beta_factors,
    flow_of,
    loop_givens,
    taken_of,
    tau_min,
)
from coldmark.bench.level.mass import combine
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["Ingress", "ingress_by_count"]

_COUNT = "a count of particles"


@dataclass(frozen=True, slots=True)
class Ingress:
    """Dirt that gets in [million/min], taken that this share of the flow goes past the element; and what it would be
    were half of the flow bypassed, with the same count."""

    rate_million_min: Range
    half_bypassed_million_min: float
    working: Working


def ingress_by_count(
    count_per_ml: float,
    flow_l_min: float,
    beta: float,
    *,
    bypass_share: float = 0.0,
    before_per_ml: float | None = None,
    minutes_min: float | None = None,
    volume_l: float | None = None,
) -> Ingress:
    """Return how much dirt gets in, by a count in oil that has settled, or by two counts some minutes apart.

    Parameters
    ----------
    count_per_ml
        Particles of a size and larger in the tank [per mL]; the second count where there are two.
    flow_l_min
        Flow through the filter [L/min].
    beta
        β of the element for that size.
    bypass_share
        Share of the flow that is taken to go past the element [0 to 1]. Nobody knows it by counting.
    before_per_ml
        The first of two counts [per mL], or ``None`` where the oil has settled.
    minutes_min
        Time between the two [min].
    volume_l
        Oil in the system [L].

    Returns
    -------
    Ingress
        Particles a minute with their range (a count to a step of the code, flow to 5 %, β − 1 to a factor of 2),
        and what they would be were half of the flow bypassed.

    Valid for
        As :func:`count_after`.

    Raises
    ------
    OutOfRange
        Outside of that.
    Missing
        When of the two counts' figures some are told and others not.
    Contradiction
        When the count fell faster than this filter brings it down with nothing getting in.

    Source
        The particle balance of :func:`settle` and :func:`count_after`, solved for the ingress.

    Examples
    --------
    >>> round(ingress_by_count(100.5025, 100, 200).rate_million_min.value, 3)
    10.0
    >>> two = ingress_by_count(1754.5, 100, 200, before_per_ml=20_000, minutes_min=5, volume_l=200)
    >>> round(two.rate_million_min.value)
    10
    """
    count = require_between("count_per_ml", count_per_ml, 0, MOST_PER_ML, _COUNT)
    flow, taken = flow_of(flow_l_min), taken_of(beta, bypass_share)
    two = {"before_per_ml": before_per_ml, "minutes_min": minutes_min, "volume_l": volume_l}
    first = Given("N", count, "per_ml", "measured")
    formula = "R = N · Q · (1 − k) · (1 − 1/β)"
    if all(one is None for one in two.values()):
        level, low, high = count, count / COUNT_WITHIN, count * COUNT_WITHIN
        more: tuple[Given, ...] = ()
    else:
        before, minutes, volume = (_told(name, value) for name, value in two.items())
        level, low, high = _two_level(count, before, minutes, tau_min(volume, flow, taken))
        formula = "R = N∞ · Q · (1 − k) · (1 − 1/β), N∞ = (N − N₀ · exp(−t/τ)) / (1 − exp(−t/τ))"
        more = (
            Given("N₀", before, "per_ml", "measured"),
            Given("t", minutes, "min", "told"),
            Given("V", volume, "l", "told"),
        )
    scale = flow * taken / 1000
    rate = level * scale
    weak, strong = beta_factors(beta, bypass_share)
    found = combine(
        rate,
        [(low * scale, high * scale), (rate / FLOW_WITHIN, rate * FLOW_WITHIN), (rate / weak, rate / strong)],
    )
    step = Step(
        "working.filter.ingress",
        formula,
        (first, *more, *loop_givens(flow, beta, bypass_share)),
        rate,
        "million_min",
        SOURCE,
    )
    range_ = Range(rate, max(0.0, found.low), found.high)
    return Ingress(range_, rate * 0.5 / (1 - bypass_share), Working((step,)))


def _told(name: str, value: float | None) -> float:
    if value is None:
        raise Missing(name=name, needed_for="the dirt between two counts")
    if name == "before_per_ml":
        return require_between(name, value, 0, MOST_PER_ML, _COUNT)
    require_above(name, value, 0, "two counts apart")
    return require_between(name, value, 0, 100_000 if name == "minutes_min" else MOST_L, "two counts apart")


def _two_level(count: float, before: float, minutes: float, tau: float) -> tuple[float, float, float]:
    """Return what two counts say the oil goes to, with the ends that the counts' own spread leaves; none below zero."""
    left = math.exp(-minutes / tau)

    def level(first: float, then: float) -> float:
        return (then - first * left) / (1 - left)

    value = level(before, count)
    apart = math.sqrt(COUNT_WITHIN)
    found = combine(
        value,
        [
            (level(before, count / COUNT_WITHIN), level(before, count * COUNT_WITHIN)),
            (level(before * apart, count), level(before / apart, count)),
        ],
    )
    if found.high < 0:
        why = "filter.cannot.nothing_in"
        raise Contradiction(name="count_per_ml", value=count, why=why, left_per_ml=float(f"{before * left:.4g}"))
    return max(0.0, value), max(0.0, found.low), found.high
