"""Dirt in and dirt out: what the tank's count settles at, and how fast.

The oil is taken as well mixed. Particles of a size and larger get in at a rate R, and the filter takes its share of
all that passes it: V · dN/dt = R − Q · e · N, with e = (1 − k) · (1 − 1/β). What this cannot tell apart stands in
:mod:`coldmark.bench.filter.counts`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from coldmark.bench.errors import Contradiction, require_above, require_between
from coldmark.bench.filter.beta import HIGHEST, caught
from coldmark.bench.filter.drop import FLOW_SPREAD, HIGHEST_L_MIN
from coldmark.bench.level.mass import combine
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["Passing", "Settled", "cleaning_time", "count_after", "settle"]

SOURCE = "particle balance of a well-mixed loop: the handbook's variables, derivation worked out"
FLOW_WITHIN = 1 + FLOW_SPREAD
BETA_WITHIN = 2.0  # β of the field against that of the test, on β − 1; assumed
COUNT_WITHIN = 2.0  # one step of the code: what two samples of the same oil may differ by; common practice, no source
MOST_MILLION_MIN = 1e6
MOST_PER_ML = 1e9
MOST_L = 10_000.0

_COUNT = "a count of particles"
_INGRESS = "dirt that gets in"


@dataclass(frozen=True, slots=True)
class Settled:
    """What the oil settles at [per mL]: in the tank, behind the filter, and in the tank with a perfect filter."""

    tank_per_ml: Range
    after_per_ml: float
    flat_per_ml: float
    working: Working


@dataclass(frozen=True, slots=True)
class Passing:
    """A count on its way: what it is [per mL] after so many minutes [min], what it goes to, and in which time it halves
    its distance from that [min]."""

    count_per_ml: float
    minutes_min: Range
    settles_per_ml: float
    halves_min: float
    working: Working


def spread(value: float, factors: Iterable[tuple[float, float]]) -> Range:
    """Return a count with its range: independent factors on it, put together by their logarithms."""
    if value <= 0:
        return Range(value, value, value)
    found = combine(0.0, [(math.log(low), math.log(high)) for low, high in factors])
    return Range(value, value * math.exp(found.low), value * math.exp(found.high))


def taken_of(beta: float, bypass_share: float) -> float:
    require_above("beta", beta, 1, "a filter that keeps something back")
    require_between("beta", beta, 1, HIGHEST, "ISO 16889")
    taken = caught(beta, bypass_share)
    if taken <= 0:
        raise Contradiction(name="bypass_share", value=bypass_share, why="filter.cannot.all_past")
    return taken


def flow_of(flow_l_min: float) -> float:
    require_above("flow_l_min", flow_l_min, 0, "flow through the filter")
    return require_between("flow_l_min", flow_l_min, 0, HIGHEST_L_MIN, "flows of mobile hydraulics")


def level_of(ingress_million_min: float, flow: float, taken: float) -> float:
    """Return R / (Q · e) [per mL]: a million a minute in a litre a minute are a thousand in each mL."""
    return 1000 * ingress_million_min / (flow * taken)


def beta_factors(beta: float, bypass_share: float) -> tuple[float, float]:
    """Return by what the settled count changes at the two ends of β."""
    taken = caught(beta, bypass_share)
    low, high = 1 + (beta - 1) / BETA_WITHIN, min(HIGHEST, 1 + (beta - 1) * BETA_WITHIN)
    return taken / caught(low, bypass_share), taken / caught(high, bypass_share)


def loop_givens(flow: float, beta: float, bypass_share: float) -> tuple[Given, ...]:
    return (
        Given("Q", flow, "l_min", "told"),
        Given("β", beta, "", "sheet"),
        Given("k", bypass_share, "share", "told"),
    )


def settle(
    ingress_million_min: float,
    flow_l_min: float,
    beta: float,
    *,
    bypass_share: float = 0.0,
    within: float = 2.0,
) -> Settled:
    """Return what the tank's count settles at, with this filter and this much dirt getting in.

    Parameters
    ----------
    ingress_million_min
        Particles that get in, of a size and larger [million/min].
    flow_l_min
        Flow through the filter [L/min].
    beta
        β of the element for that size.
    bypass_share
        Share of the flow that goes past the element [0 to 1].
    within
        Factor within which the ingress is known.

    Returns
    -------
    Settled
        The tank's count with its range (ingress, flow to a twentieth, β − 1 to a factor of 2), that behind it, and
        that with a perfect filter. Above β of about 10 the first and the last are nearly the same: ingress over flow
        decides, β does not.

    Valid for
        0 to a million million a minute; flows above 0 to 3000 L/min; β above 1 to 1 000 000; oil that has gone round
        long enough.

    Raises
    ------
    OutOfRange
        Outside of that.
    Contradiction
        When all of the flow is bypassed: then nothing settles.

    Source
        N = R / (Q · (1 − k) · (1 − 1/β)): the steady state of the particle balance; its variables were seen in a stored
        excerpt, the derivation is worked out.

    Examples
    --------
    >>> found = settle(10, 100, 200)
    >>> round(found.tank_per_ml.value, 2), round(found.after_per_ml, 4), found.flat_per_ml
    (100.5, 0.5025, 100.0)
    >>> [round(settle(10, 100, beta).tank_per_ml.value, 1) for beta in (2, 10, 1000)]
    [200.0, 111.1, 100.1]
    """
    ingress = require_between("ingress_million_min", ingress_million_min, 0, MOST_MILLION_MIN, _INGRESS)
    require_between("within", within, 1, 100, "a factor")
    flow, taken = flow_of(flow_l_min), taken_of(beta, bypass_share)
    level = level_of(ingress, flow, taken)
    tank = spread(
        level,
        [(1 / within, within), (1 / FLOW_WITHIN, FLOW_WITHIN), beta_factors(beta, bypass_share)],
    )
    behind = level * (1 - taken)
    givens = (Given("R", ingress, "million_min", "told"), *loop_givens(flow, beta, bypass_share))
    steps = (
        Step("working.filter.settles", "N = R / (Q · (1 − k) · (1 − 1/β))", givens, level, "per_ml", SOURCE),
        Step("working.filter.behind", "N · (1 − (1 − k) · (1 − 1/β))", (), behind, "per_ml", SOURCE),
        Step("working.filter.flat", "R / Q", givens[:2], level_of(ingress, flow, 1.0), "per_ml", SOURCE),
    )
    return Settled(tank, behind, level_of(ingress, flow, 1.0), Working(steps))


def tau_min(volume: float, flow: float, taken: float) -> float:
    return volume / (flow * taken)


def count_after(
    before_per_ml: float,
    minutes_min: float,
    volume_l: float,
    flow_l_min: float,
    beta: float,
    *,
    ingress_million_min: float = 0.0,
    bypass_share: float = 0.0,
) -> Passing:
    """Return what a count is after so many minutes of work.

    Parameters
    ----------
    before_per_ml
        Particles of a size and larger at the beginning [per mL].
    minutes_min
        Time that the oil goes round [min].
    volume_l
        Oil in the system [L].
    flow_l_min
        Flow through the filter [L/min].
    beta
        β of the element for that size.
    ingress_million_min
        Particles that get in meanwhile [million/min].
    bypass_share
        Share of the flow that goes past the element [0 to 1].

    Returns
    -------
    Passing
        The count then, what it goes to, and the time in which it halves its distance from that.

    Valid for
        Counts up to 1e9 per mL, 0 to 100 000 min, above 0 to 10 000 L; else as :func:`settle`; well-mixed oil.

    Raises
    ------
    OutOfRange, Contradiction
        As :func:`settle`.

    Source
        N(t) = N∞ + (N₀ − N∞) · exp(−t/τ), τ = V / (Q · (1 − k) · (1 − 1/β)): the balance's closed form, worked out.

    Examples
    --------
    >>> [round(count_after(20_000, t, 200, 100, 200, ingress_million_min=10).count_per_ml, 2) for t in (2, 5, 10, 20)]
    [7457.81, 1754.5, 237.98, 101.45]
    """
    before = require_between("before_per_ml", before_per_ml, 0, MOST_PER_ML, _COUNT)
    minutes = require_between("minutes_min", minutes_min, 0, 100_000, "minutes of work")
    require_above("volume_l", volume_l, 0, "oil in the system")
    volume = require_between("volume_l", volume_l, 0, MOST_L, "oil in the system")
    ingress = require_between("ingress_million_min", ingress_million_min, 0, MOST_MILLION_MIN, _INGRESS)
    flow, taken = flow_of(flow_l_min), taken_of(beta, bypass_share)
    tau = tau_min(volume, flow, taken)
    level = level_of(ingress, flow, taken)
    count = level + (before - level) * math.exp(-minutes / tau)
    givens = (
        Given("N₀", before, "per_ml", "measured"),
        Given("V", volume, "l", "told"),
        Given("R", ingress, "million_min", "told"),
        *loop_givens(flow, beta, bypass_share),
    )
    steps = (
        Step("working.filter.tau", "τ = V / (Q · (1 − k) · (1 − 1/β))", givens[1:], tau, "min", SOURCE),
        Step("working.filter.settles", "N∞ = R · τ / V", (), level, "per_ml", SOURCE),
        Step(
            "working.filter.count_then",
            "N = N∞ + (N₀ − N∞) · exp(−t / τ)",
            (givens[0], Given("t", minutes, "min", "told")),
            count,
            "per_ml",
            SOURCE,
        ),
    )
    return Passing(count, Range(minutes, minutes, minutes), level, tau * math.log(2), Working(steps))


def cleaning_time(
    before_per_ml: float,
    target_per_ml: float,
    volume_l: float,
    flow_l_min: float,
    beta: float,
    *,
    ingress_million_min: float = 0.0,
    bypass_share: float = 0.0,
) -> Passing:
    """Return how long the oil must go round until its count has come down to what is wanted.

    Parameters
    ----------
    before_per_ml
        Particles of a size and larger at the beginning [per mL].
    target_per_ml
        What is wanted [per mL].
    volume_l
        Oil in the system [L].
    flow_l_min
        Flow through the filter [L/min].
    beta
        β of the element for that size.
    ingress_million_min
        Particles that get in meanwhile [million/min].
    bypass_share
        Share of the flow that goes past the element [0 to 1].

    Returns
    -------
    Passing
        The minutes with their range (flow to a twentieth, β − 1 to a factor of 2); none when it is that clean already.

    Valid for
        As :func:`count_after`. Oil that is not well mixed (dead ends, cylinders that do not move) takes longer.

    Raises
    ------
    OutOfRange
        Outside of that.
    Contradiction
        When it settles above what is wanted, or so near it that nobody can say when.

    Source
        The closed form of :func:`count_after`, solved for the time.

    Examples
    --------
    >>> round(cleaning_time(20_000, 1_000, 200, 100, 2).minutes_min.value, 3)
    11.983
    """
    require_above("target_per_ml", target_per_ml, 0, _COUNT)
    target = require_between("target_per_ml", target_per_ml, 0, MOST_PER_ML, _COUNT)
    named = {"ingress_million_min": ingress_million_min, "bypass_share": bypass_share}
    now = count_after(before_per_ml, 0.0, volume_l, flow_l_min, beta, **named)

    def minutes(flow: float, ratio: float) -> float:
        if before_per_ml <= target:
            return 0.0
        taken = caught(ratio, bypass_share)
        level = level_of(ingress_million_min, flow, taken)
        if level >= target:
            why, settles = "filter.cannot.settles", float(f"{now.settles_per_ml:.4g}")
            raise Contradiction(name="target_per_ml", value=target, why=why, settles_per_ml=settles)
        return tau_min(volume_l, flow, taken) * math.log((before_per_ml - level) / (target - level))

    weak, strong = 1 + (beta - 1) / BETA_WITHIN, min(HIGHEST, 1 + (beta - 1) * BETA_WITHIN)
    value = minutes(flow_l_min, beta)
    ends = [
        (minutes(flow_l_min * FLOW_WITHIN, beta), minutes(flow_l_min / FLOW_WITHIN, beta)),
        (minutes(flow_l_min, strong), minutes(flow_l_min, weak)),
    ]
    found = combine(value, ends)
    step = Step(
        "working.filter.minutes",
        "t = τ · ln((N₀ − N∞) / (N − N∞))",
        (Given("N₀", before_per_ml, "per_ml", "measured"), Given("N", target, "per_ml", "told")),
        value,
        "min",
        SOURCE,
    )
    working = Working((*now.working.steps[:2], step))
    return Passing(
        min(before_per_ml, target),
        Range(value, max(0.0, found.low), found.high),
        now.settles_per_ml,
        now.halves_min,
        working,
    )
