"""Pressure drop over a filter: housing, element, and the bypass valve solved beside the element."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from coldmark.bench.errors import Missing, require_between
from coldmark.bench.filter.model import Stage
from coldmark.bench.oil import Oil
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Step, Working

__all__ = ["Drop", "pressure_drop", "share_bypassed"]

SOURCE = "filtration handbook practice: element ∝ flow · dynamic viscosity, housing ∝ density · flow²"
HIGHEST_L_MIN = 3000.0


@dataclass(frozen=True, slots=True)
class Drop:
    """The drop over a filter and how the flow splits between element and bypass.

    ``valve_bar`` is the drop across the two points that the valve (and the lamp) feels.
    """

    total_bar: float
    housing_bar: float
    element_bar: float
    valve_bar: float
    through_element_l_min: float
    bypassed_l_min: float
    share_bypassed: float
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
        drop.element_bar,
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
        drop.housing_bar,
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
        Drops [bar], flows [L/min], the share bypassed, and the working.

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
    >>> round(pressure_drop(stage, 100, oil, 50).total_bar, 2)
    0.55
    """
    flow = require_between("flow_l_min", flow_l_min, 0, HIGHEST_L_MIN, "flows of mobile hydraulics")
    found = resistance(stage, oil, t_c, loading)
    through = found.through_element(flow)
    spans = stage.bypass is not None and stage.bypass.spans_housing
    element, housing = found.element(through), found.housing(through if spans else flow)
    bypassed = flow - through
    drop = Drop(
        total_bar=element + housing,
        housing_bar=housing,
        element_bar=element,
        valve_bar=element + housing if spans else element,
        through_element_l_min=through,
        bypassed_l_min=bypassed,
        share_bypassed=bypassed / flow if flow else 0.0,
        working=Working(()),
    )
    return replace(drop, working=_working(stage, found, oil, t_c, flow, drop))


def share_bypassed(stage: Stage, flow_l_min: float, oil: Oil, t_c: float, loading: float = 0.0) -> float:
    """Return the share of the flow that goes past the element, 0 to 1.

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
    float
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
    >>> share_bypassed(stage, 100, oil, 50), round(share_bypassed(stage, 100, oil, 0), 2)
    (0.0, 0.75)
    """
    require_between("flow_l_min", flow_l_min, 0, HIGHEST_L_MIN, "flows of mobile hydraulics")
    through = resistance(stage, oil, t_c, loading).through_element(flow_l_min)
    return (flow_l_min - through) / flow_l_min if flow_l_min else 0.0
