"""Calculations on filters: pressure drop, the warm-up line, and what comes back through the return line."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import filter as filters
from coldmark.bench import words
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.catalogue.oiling import DENSITY, VISCOSITIES, oil_of
from coldmark.bench.errors import Missing
from coldmark.bench.level import Cylinder

__all__ = ["ENTRIES", "FILTERS", "HANDBOOK", "LOADING", "STAGE", "WARMTH", "flow_input", "stage_of"]

FILTERS = "filters of mobile hydraulics"
HANDBOOK = "filtration handbooks"
_PUMPS = "pumps of compact machines"

STAGE = (
    Input("element_bar", low=0, high=50, above=True, source=FILTERS, example="0.35", step=0.05),
    Input("housing_turbulent_bar", low=0, high=50, source=FILTERS, example="0.2", step=0.05),
    Input("housing_laminar_bar", low=0, high=50, source=FILTERS, default="0", step=0.05),
    Input("reference_flow_l_min", low=0, high=3000, above=True, source=FILTERS, example="100", step=5),
    Input("reference_kv_mm2_s", low=1, high=1000, source="reference of the curves", default="30", step=1),
    Input("reference_density_kg_m3", low=500, high=1500, source="reference of the curves", default="860", step=5),
    Input("terminal_bar", low=0, high=100, above=True, source=FILTERS, optional=True, example="2", step=0.1),
    Input("valve_cracks_bar", low=0, high=50, above=True, source=FILTERS, optional=True, example="1.5", step=0.1),
    Input("valve_open_bar", low=0, high=50, above=True, source=FILTERS, optional=True, example="2", step=0.1),
    Input("valve_flow_l_min", low=0, high=3000, above=True, source=FILTERS, optional=True, example="150", step=5),
)
_VALVE = ("valve_cracks_bar", "valve_open_bar", "valve_flow_l_min")
LOADING = Input("loading", low=0, high=1, source="0 is clean, 1 full", default="0", step=0.1)
WARMTH = Input("t_c", low=-50, high=150, source="oil that flows", example="20", step=1)


def flow_input(*, above: bool = True) -> Input:
    """Return the flow through the filter, more than none unless it may be none."""
    return Input("flow_l_min", low=0, high=3000, above=above, source=FILTERS, example="100", step=5)


def stage_of(values: Values, *, needs_valve: bool, capacity_g: float | None = None) -> filters.Stage:
    """Return the filter that the inputs describe; of its bypass all is told, or nothing."""
    told = [name for name in _VALVE if values[name] is not None]
    if told or needs_valve:
        for name in _VALVE:
            if values[name] is None:
                raise Missing(name=name, needed_for=words.sentence("catalogue.the_bypass"))
    return filters.Stage(
        words.sentence("catalogue.this_filter"),
        values["element_bar"],
        values["housing_turbulent_bar"],
        values["reference_flow_l_min"],
        values["reference_kv_mm2_s"],
        values["reference_density_kg_m3"],
        values["housing_laminar_bar"],
        bypass=filters.Bypass(*(values[name] for name in _VALVE)) if told else None,
        terminal_bar=values["terminal_bar"],
        capacity_g=capacity_g,
    )


def _drop(values: Values) -> Mapping[str, Any]:
    return {
        "stage": stage_of(values, needs_valve=False),
        "flow_l_min": values["flow_l_min"],
        "oil": oil_of(values),
        "t_c": values["t_c"],
        "loading": values["loading"],
    }


def _tell_drop(found: filters.Drop, _values: Values, units: words.UnitSystem) -> Answer:
    return Answer(
        says=tuple(filters.says(found, units)),
        fields={
            "total_bar": found.total_bar,
            "element_bar": found.element_bar,
            "housing_bar": found.housing_bar,
            "bypassed_share": found.share_bypassed,
        },
        working=found.working,
    )


def _warm_up(values: Values) -> Mapping[str, Any]:
    return {
        "stage": stage_of(values, needs_valve=True),
        "flow_l_min": values["flow_l_min"],
        "oil": oil_of(values),
        "loading": values["loading"],
        "idle_l_min": values["idle_l_min"],
        "t_c": values["t_c"],
    }


def _tell_warm_up(found: filters.WarmUp, _values: Values, units: words.UnitSystem) -> Answer:
    return Answer(
        says=tuple(filters.says(found, units)),
        fields={"cracks_below_c": found.full.cracks_c, "half_below_c": found.full.half_c},
        working=found.working,
    )


def _returning(values: Values) -> Mapping[str, Any]:
    pump = filters.Pump(
        words.sentence("catalogue.this_pump"),
        values["displacement_cm3_turn"],
        values["engine_speed_rpm"],
        values["engine_speed_rpm"],
        values["volumetric"],
        values["case_drain_l_min"],
    )
    # The stroke decides how long it flows, not how much at once.
    cylinder = Cylinder("cylinder", "double", values["bore_mm"], values["rod_mm"], stroke_mm=1000.0)
    name = words.sentence("catalogue.rod_in")
    function = filters.Function(name, "cylinder", cylinder.name, pump.name, values["regenerated"])
    return {"pumps": [pump], "functions": [function], "cylinders": [cylinder]}


def _tell_returning(found: filters.ReturnFlow, values: Values, units: words.UnitSystem) -> Answer:
    pump_l_min = values["displacement_cm3_turn"] * values["engine_speed_rpm"] * values["volumetric"] / 1000
    return Answer(
        says=tuple(filters.says(found, units)),
        fields={"total_l_min": found.total_l_min, "pump_l_min": pump_l_min},
        working=found.working,
    )


ENTRIES = (
    Entry(
        "filter_drop",
        (
            *STAGE,
            *VISCOSITIES,
            DENSITY,
            flow_input(above=False),
            WARMTH,
            LOADING,
        ),
        _drop,
        filters.pressure_drop,
        _tell_drop,
        ("total_bar", "element_bar", "housing_bar", "bypassed_share"),
        (HANDBOOK, "the square in the housing's drop from memory"),
        topic="filter",
        formulas=(
            r"\Delta p_{\text{element}} = \Delta p_0 \, g \, \frac{Q}{Q_0} \, \frac{\nu}{\nu_0} \, \frac{\rho}{\rho_0},"
            r"\quad g = \left( \frac{\Delta p_{\text{full}}}{\Delta p_0} \right)^{x}",
            r"\Delta p_{\text{housing}} = \Delta p_t \left( \frac{Q}{Q_0} \right)^{2} \frac{\rho}{\rho_0}"
            r" + \Delta p_l \, \frac{Q}{Q_0} \, \frac{\nu}{\nu_0} \, \frac{\rho}{\rho_0}",
            r"Q = Q_{\text{element}} + Q_{\text{valve}}, \quad \Delta p_{\text{element}} = \Delta p_{\text{valve}}",
        ),
    ),
    Entry(
        "filter_warm_up",
        (
            *STAGE,
            *VISCOSITIES,
            DENSITY,
            flow_input(),
            Input("idle_l_min", low=0, high=3000, above=True, source=FILTERS, optional=True, example="40", step=5),
            Input("t_c", low=-50, high=150, source="oil that flows", optional=True, example="5", step=1),
            LOADING,
        ),
        _warm_up,
        filters.warm_up,
        _tell_warm_up,
        ("cracks_below_c", "half_below_c"),
        (HANDBOOK, "the drop, solved for the temperature"),
        topic="filter",
        formulas=(
            r"\Delta p_{\text{element}}(t, Q) = \Delta p_{\text{cracks}}",
            r"\Delta p_{\text{element}}(t, Q / 2) = \Delta p_{\text{valve}}(Q / 2)",
        ),
    ),
    Entry(
        "return_flow",
        (
            Input("displacement_cm3_turn", low=0, high=500, above=True, source=_PUMPS, example="45", step=1),
            Input("engine_speed_rpm", low=100, high=5000, source="diesel engines", example="2200", step=50),
            Input("volumetric", low=0.1, high=1, source="pumps", default="0.95", step=0.01),
            Input("case_drain_l_min", low=0, high=1000, source="pumps", default="0", step=0.5),
            Input("bore_mm", low=0, high=500, above=True, source="sizes on compact machines", example="100", step=1),
            Input("rod_mm", low=0, high=500, above=True, source="sizes on compact machines", example="56", step=1),
            Input("regenerated", low=0, high=1, source="a share of the leaving oil", default="0", step=0.1),
        ),
        _returning,
        filters.return_flow,
        _tell_returning,
        ("total_l_min", "pump_l_min"),
        ("pump flow times bore area over ring area, as printed in a stored excerpt",),
        topic="filter",
        formulas=(
            r"Q = \left( n \, V \, \eta \right) \frac{d_{\text{bore}}^2}{d_{\text{bore}}^2 - d_{\text{rod}}^2}"
            r" \left( 1 - r \right) - Q_{\text{drain}}",
        ),
    ),
)
