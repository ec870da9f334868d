"""What an element has caught: an indicator's reading as a share of its life left.

With the dirt that it catches, an element's own drop grows exponentially from clean to full. So half of its life is
gone when the drop stands at the middle of the two *by ratio*, and the last of it goes fast.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

from coldmark.bench.errors import Missing, require_above, require_between
from coldmark.bench.filter.drop import (
    FLOW_SPREAD,
    HIGHEST_L_MIN,
    T_SPREAD_K,
    VISCOSITY_SPREAD,
    Resistance,
    resistance,
)
from coldmark.bench.filter.model import Stage
from coldmark.bench.level.mass import combine
from coldmark.bench.oil import Oil
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["Left", "life_left"]

GROWTH = "the element's drop grows exponentially with the dirt it holds: filtration practice, from memory"
WIDE = 0.5  # a share of life known no better than this tells little

_INDICATORS = "indicators of filters"


@dataclass(frozen=True, slots=True)
class Left:
    """What an indicator's reading tells of an element.

    ``state``: *tells*; *wide*, the range is too wide to go by; *full*; *too_little*, a clean element would take more
    than was read, so that it is torn or missing, or oil finds another way. ``left_share`` is ``None`` with the last:
    the reading tells nothing of the element's life. ``clean_bar`` and ``full_bar`` are what a clean and a full element
    would have read, ``bypassed_share`` what goes past the element at the reading.
    """

    state: Literal["tells", "wide", "full", "too_little"]
    left_share: Range | None
    clean_bar: float
    full_bar: float
    bypassed_share: float
    working: Working


def logged_growth(stage: Stage) -> float:
    """Return the logarithm of the growth from clean to full."""
    if stage.terminal_bar is None:
        raise Missing(name="terminal_bar", needed_for="what the element holds")
    return math.log(stage.terminal_bar / stage.element_bar)


def _growth(found: Resistance, reading_bar: float, flow: float) -> float:
    """Return by how much the element's drop has grown when the indicator reads this: both paths feel it."""
    bypass = found.stage.bypass
    through = flow if bypass is None else flow - bypass.flow(reading_bar)
    if through <= 0:
        return math.inf
    felt = reading_bar
    if bypass is not None and bypass.spans_housing:
        felt -= found.housing(through)
    return felt / found.element(through)


def held_at(found: Resistance, reading_bar: float, flow: float, logged: float) -> float:
    """Return the dirt held over what it can hold, not brought between clean and full."""
    growth = _growth(found, reading_bar, flow)
    return -math.inf if growth <= 0 else math.inf if math.isinf(growth) else math.log(growth) / logged


def within_one(share: float) -> float:
    return min(1.0, max(0.0, share))


def warmths(stage: Stage, oil: Oil, t_c: float) -> tuple[Resistance, Resistance, Resistance]:
    """Return the clean stage with the oil at this temperature, and at the two ends of a thermometer's resolution."""
    ends = (t_c, max(oil.coldest_c, t_c - T_SPREAD_K), min(oil.hottest_c, t_c + T_SPREAD_K))
    middle, cold, warm = (resistance(stage, oil, one, 0.0) for one in ends)
    return middle, cold, warm


def _bounded(found: Range) -> Range:
    return Range(within_one(found.value), within_one(found.low), within_one(found.high))


def _reading_steps(found: Resistance, reading: float, flow: float, oil: Oil, t_c: float, left: Range) -> Working:
    stage = found.stage
    bypass = stage.bypass
    through = flow if bypass is None else flow - bypass.flow(reading)
    clean = found.element(through)
    growth = _growth(found, reading, flow)
    return Working(
        (
            Step(
                "working.filter.clean_element",
                "Δp₀ · (Q / Q₀) · (ν / ν₀) · (ρ / ρ₀)",
                (
                    Given("Δp₀", stage.element_bar, "bar", "sheet"),
                    Given("Q", through, "l_min", "told" if bypass is None else "worked_out"),
                    Given("Q₀", stage.reference_l_min, "l_min", "sheet"),
                    Given("t", t_c, "c", "told"),
                    Given("ν", oil.viscosity(t_c), "mm2_s", "worked_out"),
                    Given("ν₀", stage.reference_mm2_s, "mm2_s", "sheet"),
                    Given("ρ", oil.density(t_c), "kg_m3", "worked_out"),
                    Given("ρ₀", stage.reference_kg_m3, "kg_m3", "sheet"),
                ),
                clean,
                "bar",
                "filtration handbooks: element ∝ flow · dynamic viscosity",
            ),
            Step(
                "working.filter.life_left",
                "left = 1 − ln g / ln(Δp_full / Δp₀), g = the element's part of the reading / Δp_clean",
                (
                    Given("reading", reading, "bar", "measured"),
                    Given("g", growth, "", "worked_out"),
                    Given("Δp_full", stage.terminal_bar or 0.0, "bar", "sheet"),
                    Given("Δp₀", stage.element_bar, "bar", "sheet"),
                ),
                left.value,
                "share",
                GROWTH,
            ),
        )
    )


def life_left(
    stage: Stage, reading_bar: float, flow_l_min: float, oil: Oil, t_c: float, *, gauge_bar: float = 0.05
) -> Left:
    """Return the share of an element's life that is left by what its indicator reads, at this flow and temperature.

    Parameters
    ----------
    stage
        The filter; the drop of its full element must be known.
    reading_bar
        What the indicator reads [bar], felt across the same two points as the bypass.
    flow_l_min
        Flow through the filter at that moment [L/min].
    oil
        The oil; its density must be known.
    t_c
        Its temperature at that moment [°C].
    gauge_bar
        To what the indicator can be read [bar].

    Returns
    -------
    Left
        The share left with its range (gauge, thermometer to 2 K, viscosity to a tenth, flow to 5 %), or that the
        reading is less than a clean element would give.

    Valid for
        Readings from 0 to 50 bar, flows above 0 to 3000 L/min, temperatures and densities as the oil.

    Raises
    ------
    OutOfRange
        Outside of that.
    Missing
        When the drop of a full element, or the oil's density, is not known.

    Source
        :func:`pressure_drop`, solved for the growth of the element's drop; exponential growth from memory.

    Examples
    --------
    >>> stage = Stage("return", 0.35, 0.20, 100, terminal_bar=2.0)
    >>> oil = Oil("Valley 46", 46, 6.8, density15_kg_m3=880)
    >>> left = life_left(stage, 1.0, 100, oil, 50).left_share
    >>> round(left.value, 2), round(left.low, 2), round(left.high, 2)
    (0.4, 0.31, 0.48)
    >>> life_left(stage, 0.1, 100, oil, 50).state
    'too_little'
    """
    reading = require_between("reading_bar", reading_bar, 0, 50, _INDICATORS)
    gauge = require_between("gauge_bar", gauge_bar, 0, 5, _INDICATORS)
    require_above("flow_l_min", flow_l_min, 0, "flow through the filter")
    flow = require_between("flow_l_min", flow_l_min, 0, HIGHEST_L_MIN, "flows of mobile hydraulics")
    logged = logged_growth(stage)
    found, cold, warm = warmths(stage, oil, t_c)
    thin, thick = found.thicker(1 - VISCOSITY_SPREAD), found.thicker(1 + VISCOSITY_SPREAD)
    less, more = flow * (1 - FLOW_SPREAD), flow * (1 + FLOW_SPREAD)

    def left(one: Resistance, read: float, passing: float) -> float:
        return 1 - within_one(held_at(one, read, passing, logged))

    value = left(found, reading, flow)
    range_ = _bounded(
        combine(
            value,
            [
                (left(found, max(0.0, reading - gauge), flow), left(found, reading + gauge, flow)),
                (left(cold, reading, flow), left(warm, reading, flow)),
                (left(thick, reading, flow), left(thin, reading, flow)),
                (left(found, reading, less), left(found, reading, more)),
            ],
        )
    )

    def felt(one: Resistance, passing: float) -> float:
        return one.valve(one.through_element(passing))

    clean = combine(
        felt(found, flow),
        [
            (felt(cold, flow), felt(warm, flow)),
            (felt(thick, flow), felt(thin, flow)),
            (felt(found, less), felt(found, more)),
        ],
    )
    full_one = replace(found, growth=math.exp(logged))
    state: Literal["tells", "wide", "full", "too_little"] = "wide" if range_.width > WIDE else "tells"
    if reading + gauge < clean.low:
        state = "too_little"
    elif range_.high <= 0 or (range_.value <= 0 and range_.width <= WIDE):
        state = "full"
    bypassed = 0.0 if stage.bypass is None else within_one(stage.bypass.flow(reading) / flow)
    return Left(
        state,
        None if state == "too_little" else range_,
        clean.value,
        felt(full_one, flow),
        bypassed,
        _reading_steps(found, reading, flow, oil, t_c, range_),
    )
