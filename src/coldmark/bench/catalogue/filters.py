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

__all__ = ["ENTRIES"]

_FILTERS = "filters of mobile hydraulics"
_HANDBOOK = "filtration handbooks"

_STAGE = (
    Input("element_bar", low=0, high=50, above=True, source=_FILTERS, example="0.35"),
    Input("housing_turbulent_bar", low=0, high=50, source=_FILTERS, example="0.2"),
    Input("housing_laminar_bar", low=0, high=50, source=_FILTERS, default="0"),
    Input("reference_flow_l_min", low=0, high=3000, above=True, source=_FILTERS, example="100"),
    Input("reference_kv_mm2_s", low=1, high=1000, source="reference of the curves", default="30"),
    Input("reference_density_kg_m3", low=500, high=1500, source="reference of the curves", default="860"),
    Input("terminal_bar", low=0, high=100, above=True, source=_FILTERS, optional=True, example="2"),
    Input("valve_cracks_bar", low=0, high=50, above=True, source=_FILTERS, optional=True, example="1.5"),
    Input("valve_open_bar", low=0, high=50, above=True, source=_FILTERS, optional=True, example="2"),
    Input("valve_flow_l_min", low=0, high=3000, above=True, source=_FILTERS, optional=True, example="150"),
)
_VALVE = ("valve_cracks_bar", "valve_open_bar", "valve_flow_l_min")
_LOADING = Input("loading", low=0, high=1, source="0 is clean, 1 full", default="0")
_T = Input("t_c", low=-50, high=150, source="oil that flows", example="20")


def _stage(values: Values, *, needs_valve: bool) -> filters.Stage:
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
    )


def _drop(values: Values) -> Mapping[str, Any]:
    return {
        "stage": _stage(values, needs_valve=False),
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
        "stage": _stage(values, needs_valve=True),
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
        values["displacement_cm3"],
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
    pump_l_min = values["displacement_cm3"] * values["engine_speed_rpm"] * values["volumetric"] / 1000
    return Answer(
        says=tuple(filters.says(found, units)),
        fields={"total_l_min": found.total_l_min, "pump_l_min": pump_l_min},
        working=found.working,
    )


ENTRIES = (
    Entry(
        "filter_drop",
        (
            *_STAGE,
            *VISCOSITIES,
            DENSITY,
            Input("flow_l_min", low=0, high=3000, source=_FILTERS, example="100"),
            _T,
            _LOADING,
        ),
        _drop,
        filters.pressure_drop,
        _tell_drop,
        ("total_bar", "element_bar", "housing_bar", "bypassed_share"),
        (_HANDBOOK, "the square in the housing's drop from memory"),
    ),
    Entry(
        "filter_warm_up",
        (
            *_STAGE,
            *VISCOSITIES,
            DENSITY,
            Input("flow_l_min", low=0, high=3000, above=True, source=_FILTERS, example="100"),
            Input("idle_l_min", low=0, high=3000, above=True, source=_FILTERS, optional=True, example="40"),
            Input("t_c", low=-50, high=150, source="oil that flows", optional=True, example="5"),
            _LOADING,
        ),
        _warm_up,
        filters.warm_up,
        _tell_warm_up,
        ("cracks_below_c", "half_below_c"),
        (_HANDBOOK, "the drop, solved for the temperature"),
    ),
    Entry(
        "return_flow",
        (
            Input("displacement_cm3", low=0, high=500, above=True, source="pumps of compact machines", example="45"),
            Input("engine_speed_rpm", low=100, high=5000, source="diesel engines", example="2200"),
            Input("volumetric", low=0.1, high=1, source="pumps", default="0.95"),
            Input("case_drain_l_min", low=0, high=1000, source="pumps", default="0"),
            Input("bore_mm", low=0, high=500, above=True, source="sizes on compact machines", example="100"),
            Input("rod_mm", low=0, high=500, above=True, source="sizes on compact machines", example="56"),
            Input("regenerated", low=0, high=1, source="a share of the leaving oil", default="0"),
        ),
        _returning,
        filters.return_flow,
        _tell_returning,
        ("total_l_min", "pump_l_min"),
        ("pump flow times bore area over ring area",),
    ),
)
