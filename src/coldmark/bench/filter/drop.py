"""Pressure drop over a filter: housing, element, and the bypass valve solved beside the element."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from coldmark.bench.errors import Missing, require_between
from coldmark.bench.filter.model import Stage
from coldmark.bench.level.mass import combine
from coldmark.bench.oil import Oil
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["Drop", "pressure_drop", "share_bypassed"]

# How far off what goes in may be: a thermometer, a pump's flow by its size and speed (assumed), and the oil's viscosity
# to either side of its grade's middle (ISO 3448).
T_SPREAD_K = 2.0
FLOW_SPREAD = 0.05
VISCOSITY_SPREAD = 0.1

SOURCE = "filtration handbook practice: element ∝ flow · dynamic viscosity, housing ∝ density · flow²"
HIGHEST_L_MIN = 3000.0


@dataclass(frozen=True, slots=True)
class Drop:
    """The drop over a filter and how the flow splits between element and bypass.

    The ranges hold what the resolution of a thermometer, a pump's flow and an oil's grade leave open; the flows are
    those of the middle. ``valve_bar`` is the drop across the two points that the valve (and the lamp) feels.
    """

    total_bar: Range
    housing_bar: Range
    element_bar: Range
    valve_bar: float
    through_element_l_min: float
    bypassed_l_min: float
    share_bypassed: Range
    working: Working


@dataclass(frozen=True, slots=True)
class Resistance:
    """A stage with its oil at one temperature: drops [bar] as functions of flow [L/min]."""

    stage: Stage
    thickness: float  # dynamic viscosity over that of the reference
    weight: float  # density over that of the reference
    growth: float  # drop of the element over that of the clean one

    def element(self, flow: float) -> float:
        """Return the element's drop."""
        return self.stage.element_bar * self.growth * flow / self.stage.reference_l_min * self.thickness

    def housing(self, flow: float) -> float:
        """Return the housing's drop: turbulent with the flow squared, laminar with viscosity."""
        share = flow / self.stage.reference_l_min
        turbulent = self.stage.housing_turbulent_bar * share * share * self.weight
        return turbulent + self.stage.housing_laminar_bar * share * self.thickness

    def valve(self, through_element: float) -> float:
        """Return the drop that the valve feels when this much passes the element."""
        felt = self.element(through_element)
        if self.stage.bypass is not None and self.stage.bypass.spans_housing:
            felt += self.housing(through_element)
        return felt

    def through_element(self, flow: float) -> float:
        """Return the part of the flow that passes the element: what it leaves is what the valve lets through."""
        bypass = self.stage.bypass
        if bypass is None or self.valve(flow) <= bypass.cracks_bar:
            return flow
        return rising_root(lambda part: part + bypass.flow(self.valve(part)) - flow, 0.0, flow)

    def thicker(self, by: float) -> Resistance:
        """Return the same with an oil whose viscosity is ``by`` times as high."""
        return replace(self, thickness=self.thickness * by)

    def split(self, flow: float) -> Split:
        """Return how this flow goes through."""
        through = self.through_element(flow)
        bypass = self.stage.bypass
        housing = self.housing(through if bypass is not None and bypass.spans_housing else flow)
        return Split(through, self.element(through), housing, 1 - through / flow if flow else 0.0)


@dataclass(frozen=True, slots=True)
class Split:
    """One flow through a filter: what passes the element [L/min], the two drops [bar], and the share bypassed."""

    through: float
    element: float
    housing: float
    share: float


def rising_root(function: Callable[[float], float], low: float, high: float) -> float:
    """Return where a rising function crosses zero between ``low`` and ``high``, by halving to the last bit."""
    while True:
        middle = (low + high) / 2
        if not low < middle < high:
            return middle
        if function(middle) < 0:
            low = middle
        else:
            high = middle


def resistance(stage: Stage, oil: Oil, t_c: float, loading: float) -> Resistance:
    """Return the stage's resistance with this oil at this temperature, loaded to this share of its capacity."""
    require_between("loading_share", loading, 0, 1, "clean to full")
    growth = 1.0
    if loading > 0:
        if stage.terminal_bar is None:
            raise Missing(name="terminal_bar", needed_for="the drop of a used element")
        growth = (stage.terminal_bar / stage.element_bar) ** loading
    weight = oil.density(t_c) / stage.reference_kg_m3
    return Resistance(stage, oil.viscosity(t_c) / stage.reference_mm2_s * weight, weight, growth)


def _working(stage: Stage, found: Resistance, oil: Oil, t_c: float, flow: float, drop: Drop) -> Working:
    oil_steps = (
        Given("t", t_c, "c", "told"),
        Given("ν", oil.viscosity(t_c), "mm2_s", "worked_out"),
        Given("ρ", oil.density(t_c), "kg_m3", "worked_out"),
        Given("ν₀", stage.reference_mm2_s, "mm2_s", "sheet"),
        Given("ρ₀", stage.reference_kg_m3, "kg_m3", "sheet"),
        Given("Q₀", stage.reference_l_min, "l_min", "sheet"),
    )
    element = Step(
        "working.filter.element",
        "Δp = Δp₀ · g · (Q / Q₀) · (ν / ν₀) · (ρ / ρ₀)",
        (
            Given("Δp₀", stage.element_bar, "bar", "sheet"),
            Given("g", found.growth, "", "worked_out"),
            Given("Q", drop.through_element_l_min, "l_min", "worked_out"),
            *oil_steps,
        ),
        drop.element_bar.value,
        "bar",
        SOURCE,
    )
    housing = Step(
        "working.filter.housing",
        "Δp = Δp_t · (Q / Q₀)² · (ρ / ρ₀) + Δp_l · (Q / Q₀) · (ν / ν₀) · (ρ / ρ₀)",
        (
            Given("Δp_t", stage.housing_turbulent_bar, "bar", "sheet"),
            Given("Δp_l", stage.housing_laminar_bar, "bar", "sheet"),
            Given("Q", flow, "l_min", "told"),
        ),
        drop.housing_bar.value,
        "bar",
        SOURCE,
    )
    if stage.bypass is None:
        return Working((element, housing))
    valve = Step(
        "working.filter.bypassed",
        "Q = Q_element + Q_valve, both at the same Δp",
        (
            Given("cracks", stage.bypass.cracks_bar, "bar", "sheet"),
            Given("fully open", stage.bypass.full_open_bar, "bar", "sheet"),
            Given("Δp", drop.valve_bar, "bar", "worked_out"),
        ),
        drop.bypassed_l_min,
        "l_min",
        "two paths in parallel",
    )
    return Working((element, housing, valve))


def pressure_drop(stage: Stage, flow_l_min: float, oil: Oil, t_c: float, loading: float = 0.0) -> Drop:
    """Return the pressure drop over a filter, and how much of the flow goes past the element.

    Parameters
    ----------
    stage
        The filter.
    flow_l_min
        Flow through it [L/min].
    oil
        The oil; its density must be known.
    t_c
        Temperature of the oil [°C].
    loading
        Dirt held over what it can hold, 0 clean to 1 full; the element's drop grows exponentially between.

    Returns
    -------
    Drop
        Drops [bar] and the share bypassed with their ranges, flows [L/min], and the working. The ranges take a
        thermometer as good to 2 K, the flow to 5 % (assumed), the viscosity to 10 %, as wide as a grade of ISO 3448.

    Valid for
        0 to 3000 L/min; temperatures and densities as the oil.

    Raises
    ------
    OutOfRange
        Outside of that.
    Missing
        When the drop of a full element, or the oil's density, is needed and not known.

    Source
        Element by flow times dynamic viscosity, housing by density times flow squared: filtration handbooks, the
        square from memory. The valve beside the element: both paths at the same drop, worked out.

    Examples
    --------
    >>> stage = Stage("return", 0.35, 0.20, 100)
    >>> oil = Oil("Valley 46", 46, 6.8, density15_kg_m3=880)
    >>> drop = pressure_drop(stage, 100, oil, 50).total_bar
    >>> round(drop.value, 2), round(drop.low, 2), round(drop.high, 2)
    (0.55, 0.49, 0.61)
    """
    flow = require_between("flow_l_min", flow_l_min, 0, HIGHEST_L_MIN, "flows of mobile hydraulics")
    found = resistance(stage, oil, t_c, loading)
    split, ends = found.split(flow), _ends(stage, oil, t_c, loading, flow)
    total = split.element + split.housing
    drop = Drop(
        total_bar=_ranged(total, ends, lambda one: one.element + one.housing),
        housing_bar=_ranged(split.housing, ends, lambda one: one.housing),
        element_bar=_ranged(split.element, ends, lambda one: one.element),
        valve_bar=found.valve(split.through),
        through_element_l_min=split.through,
        bypassed_l_min=flow - split.through,
        share_bypassed=_share(_ranged(split.share, ends, lambda one: one.share)),
        working=Working(()),
    )
    return replace(drop, working=_working(stage, found, oil, t_c, flow, drop))


Ends = list[tuple[Split, Split]]


def _ends(stage: Stage, oil: Oil, t_c: float, loading: float, flow: float) -> Ends:
    """Return the split with one of what goes in at its low and at its high end, for each of them."""
    cold, warm = (
        resistance(stage, oil, min(max(t_c + off, oil.coldest_c), oil.hottest_c), loading)
        for off in (-T_SPREAD_K, T_SPREAD_K)
    )
    found = resistance(stage, oil, t_c, loading)
    return [
        (warm.split(flow), cold.split(flow)),
        (found.split(flow * (1 - FLOW_SPREAD)), found.split(flow * (1 + FLOW_SPREAD))),
        (found.thicker(1 - VISCOSITY_SPREAD).split(flow), found.thicker(1 + VISCOSITY_SPREAD).split(flow)),
    ]


def _ranged(value: float, ends: Ends, of: Callable[[Split], float]) -> Range:
    found = combine(value, [(of(low), of(high)) for low, high in ends])
    return Range(value, max(0.0, found.low), found.high)


def _share(found: Range) -> Range:
    return Range(found.value, found.low, min(1.0, found.high))


def share_bypassed(stage: Stage, flow_l_min: float, oil: Oil, t_c: float, loading: float = 0.0) -> Range:
    """Return the share of the flow that goes past the element, 0 to 1, with its range.

    Parameters
    ----------
    stage, oil, loading
        As :func:`pressure_drop`.
    flow_l_min
        Flow through the filter [L/min].
    t_c
        Temperature of the oil [°C].

    Returns
    -------
    Range
        0: all of it is filtered.

    Valid for
        As :func:`pressure_drop`.

    Raises
    ------
    OutOfRange, Missing
        As :func:`pressure_drop`.

    Source
        As :func:`pressure_drop`.

    Examples
    --------
    >>> from coldmark.bench.filter import Bypass
    >>> stage = Stage("return", 0.35, 0.20, 100, bypass=Bypass(1.5, 2.0, 150))
    >>> oil = Oil("Valley 46", 46, 6.8, density15_kg_m3=880)
    >>> warm, cold = share_bypassed(stage, 100, oil, 50), share_bypassed(stage, 100, oil, 0)
    >>> warm.value, round(cold.value, 2), round(cold.low, 2), round(cold.high, 2)
    (0.0, 0.75, 0.7, 0.79)
    """
    flow = require_between("flow_l_min", flow_l_min, 0, HIGHEST_L_MIN, "flows of mobile hydraulics")
    value = resistance(stage, oil, t_c, loading).split(flow).share
    return _share(_ranged(value, _ends(stage, oil, t_c, loading, flow), lambda one: one.share))
