"""What the filter's lamp means with the oil this warm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from coldmark.bench import filter as filters
from coldmark.bench import words
from coldmark.bench.catalogue.filters import FILTERS, HANDBOOK, STAGE, WARMTH, flow_input, stage_of
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.catalogue.oiling import DENSITY, VISCOSITIES, oil_of
from coldmark.bench.errors import Missing, NotAChoice
from coldmark.bench.sheet import Sheet

__all__ = ["ENTRIES"]

_NEEDED = ("element_bar", "housing_turbulent_bar", "reference_flow_l_min")
"""What is needed of a filter; a data sheet may tell it instead."""

_SIDE = frozenset({*_NEEDED, "terminal_bar", "valve_cracks_bar", "valve_open_bar", "valve_flow_l_min"})


def _of_sheet(sheet: Sheet, housing: str | None) -> filters.Stage:
    told = {key: one.stage for key, one in sheet.housings.items() if one.stage is not None}
    if not told:
        raise Missing(name="element_bar", needed_for=words.sentence("catalogue.lamp_means.no_stage"))
    key = housing or next(iter(told))
    stage = told.get(key)
    if stage is None:
        raise NotAChoice(name="housing", value=key, choices=told)
    return stage


def _stage(values: Values) -> filters.Stage:
    if values["sheet"] is not None:
        told = _of_sheet(values["sheet"], values["housing"])
    else:
        for name in _NEEDED:
            if values[name] is None:
                raise Missing(name=name, needed_for=words.sentence("catalogue.lamp_means.needed_for"))
        told = stage_of(values, needs_valve=False)
    if values["alarm_bar"] is not None:
        told = replace(told, alarm_bar=values["alarm_bar"])
    if told.alarm_bar is None:
        raise Missing(name="alarm_bar", needed_for=words.sentence("catalogue.lamp_means.needed_for"))
    return told


def _prepare(values: Values) -> Mapping[str, Any]:
    return {
        "oil_c": values["t_c"],
        "stage": _stage(values),
        "flow_l_min": values["flow_l_min"],
        "oil": oil_of(values),
        "lamp_on": values["lamp"] == "lamp_on",
    }


def _tell(found: filters.Alarm, _values: Values, units: words.UnitSystem) -> Answer:
    return Answer(
        says=tuple(filters.says(found, units)),
        fields={
            "lamp_verdict": found.message.replace(".", "_"),
            "look_again_c": found.look_again_c,
            "clean_bar": found.clean_bar,
        },
        working=found.working,
    )


ENTRIES = (
    Entry(
        "lamp_means",
        (
            Input("lamp", "choice", choices=("lamp_on", "lamp_off"), example="lamp_on"),
            WARMTH,
            flow_input(),
            Input("sheet", "sheet", optional=True),
            Input("housing", "text", optional=True),
            Input("alarm_bar", low=0, high=50, above=True, source=FILTERS, optional=True, example="1.1", step=0.1),
            *(replace(one, optional=True) if one.name in _SIDE else one for one in STAGE),
            *VISCOSITIES,
            DENSITY,
        ),
        _prepare,
        filters.alarm,
        _tell,
        ("lamp_verdict", "look_again_c", "clean_bar"),
        (HANDBOOK, "the drop of a clean element, solved for the temperature", "what to do: common practice, no source"),
        topic="filter",
        formulas=(r"\Delta p_{\text{clean}}(t, Q) = p_{\text{lamp}}",),
    ),
)
