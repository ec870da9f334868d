"""Calculations on what an element has left, what β means, and when the pump starves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from coldmark.bench import filter as filters
from coldmark.bench import pictures, words
from coldmark.bench.catalogue.filters import FILTERS, HANDBOOK, LOADING, STAGE, flow_input, stage_of
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.catalogue.oiling import DENSITY, VISCOSITIES, oil_of
from coldmark.bench.errors import Contradiction, Missing, OutOfRange

__all__ = ["BALANCE", "ENTRIES", "PAST", "WITHIN"]

BALANCE = "particle balance of a well-mixed loop: the handbook's variables, derivation worked out"
_GROWTH = "exponential growth of the element's drop with the dirt it holds: from memory"
_16889 = "ISO 16889, relation as printed in stored excerpts"
_DIRT = "dirt that gets in"
_PIPES = "suction lines of mobile machines"

PAST = Input("bypassed_share", low=0, high=0.99, source="a share of the flow", default="0", step=0.05)
WITHIN = Input("within", low=1, high=100, source="a factor", default="2", step=0.5)

# A used element needs the drop of a full one, which a clean one does not.
_USED = tuple(replace(one, optional=False) if one.name == "terminal_bar" else one for one in STAGE)

# element_left


def _left(values: Values) -> Mapping[str, Any]:
    return {
        "stage": stage_of(values, needs_valve=False),
        "reading_bar": values["indicator_bar"],
        "flow_l_min": values["flow_l_min"],
        "oil": oil_of(values),
        "t_c": values["t_c"],
        "gauge_bar": values["gauge_bar"],
    }


def _tell_left(found: filters.Left, values: Values, units: words.UnitSystem) -> Answer:
    return Answer(
        says=tuple(filters.says(found, units)),
        fields={
            "left_share": found.left_share,
            "clean_bar": found.clean_bar,
            "full_bar": found.full_bar,
            "bypassed_share": found.bypassed_share,
        },
        working=found.working,
        picture=pictures.element_life(**_left(values), units=units),
        notes=(words.sentence("catalogue.element_left.note", units=units),),
    )


# element_hours


def _hours(values: Values) -> Mapping[str, Any]:
    if values["hours_on_h"] is None and values["capacity_g"] is None:
        raise Missing(name="capacity_g", needed_for=words.sentence("catalogue.element_hours.needed_for"))
    return {"values": values}


def _lasting(values: Values) -> filters.Life:
    stage, oil = stage_of(values, needs_valve=False, capacity_g=values["capacity_g"]), oil_of(values)
    flow, t_c, held = values["flow_l_min"], values["t_c"], values["loading"]
    dirt, hours = values["dirt_g_h"], values["hours_on_h"]
    if dirt is not None and hours is not None:
        why = words.sentence("catalogue.element_hours.one_of_two")
        raise Contradiction(name="hours_on_h", value=hours, why=why)
    if dirt is not None:
        return filters.life(stage, dirt, flow, oil, t_c, held_share=held, within=values["within"])
    if hours is None:
        raise Missing(name="dirt_g_h", needed_for=words.sentence("catalogue.element_hours.needed_for"))
    if held < 0.05:
        raise OutOfRange(name="loading", value=held, low=0.05, high=1, source="enough to tell from")
    return filters.life_so_far(stage, hours, flow, oil, t_c, held_share=held, within=values["within"])


def _tell_hours(found: filters.Life, _values: Values, units: words.UnitSystem) -> Answer:
    return Answer(
        says=tuple(filters.says(found, units)),
        fields={
            "full_h": found.full_h,
            "lamp_h": found.lamp_h,
            "opens_h": found.opens_h,
            "past_full_share": found.full_bypassed_share,
            "dirtier": found.dirtier,
            "dirt_g_h": found.ingress_g_h,
        },
        working=found.working,
    )


# filter_beta


def _beta(values: Values) -> Mapping[str, Any]:
    beta, share = values["beta"], values["efficiency_share"]
    if beta is not None and share is not None:
        why = words.sentence("catalogue.filter_beta.one_of_two")
        raise Contradiction(name="efficiency_share", value=share, why=why)
    if beta is None and share is None:
        raise Missing(name="beta", needed_for=words.sentence("catalogue.filter_beta.needed_for"))
    return {
        "beta": filters.beta_of(share) if beta is None else beta,
        "bypass_share": values["bypassed_share"],
    }


def _both(beta: float, bypass_share: float) -> tuple[float, float]:
    return beta, filters.effective_beta(beta, bypass_share)


def _tell_beta(found: tuple[float, float], values: Values, units: words.UnitSystem) -> Answer:
    beta, both = found
    past = values["bypassed_share"]
    alone, together = 1000 * filters.efficiency(beta), 1000 * filters.efficiency(both)
    says = [words.sentence("catalogue.filter_beta.kept", units=units, kept=alone, through=1000 - alone)]
    if past > 0:
        says.append(
            words.sentence(
                "catalogue.filter_beta.bypassed",
                units=units,
                past_share=past,
                kept=together,
                effective=both,
                most=1 / past,
            )
        )
    kept = filters.efficiency(both)
    times = 1 / kept if kept > 0 else None
    if times is None:
        says.append(words.sentence("catalogue.filter_beta.nothing", units=units))
    else:
        flat = "flat" if past <= 0 and beta >= 10 else "steep"
        says.append(words.sentence(f"catalogue.filter_beta.{flat}", units=units, times=times))
    return Answer(
        says=tuple(says),
        fields={
            "beta": beta,
            "kept_of_1000": alone,
            "effective_beta": both,
            "kept_together_of_1000": together,
            "tank_times": times,
        },
        working=filters.explain_beta(beta, past),
    )


# pump_starves


def _suction(values: Values) -> Mapping[str, Any]:
    inner = values["pipe_mm"]
    strainer = values["strainer_bar"]
    least = values["least_bar"]
    given = {
        "line": filters.SuctionLine(inner, values["pipe_length_mm"], values["head_mm"], values["fittings"]),
        "strainer": None
        if strainer <= 0
        else filters.Stage(
            words.sentence("catalogue.this_filter"),
            strainer,
            0.0,
            values["reference_flow_l_min"],
            values["reference_kv_mm2_s"],
        ),
        "oil": oil_of(values),
        "t_c": values["t_c"],
        "flow_l_min": values["flow_l_min"],
        "idle_l_min": values["idle_l_min"],
        "altitude_m_asl": values["altitude_m_asl"],
        "tank_bar": values["tank_bar"],
    }
    return given if least is None else given | {"least_bar": least}


def _tell_suction(found: filters.Suction, values: Values, units: words.UnitSystem) -> Answer:
    usual = words.sentence("filter.inlet.usual", units=units, least_bar=found.least_bar)
    return Answer(
        says=tuple(filters.says(found, units)),
        fields={
            "starves_below_c": found.full.starves_c,
            "idle_starves_below_c": None if found.idle is None else found.idle.starves_c,
            "inlet_bar": found.full.inlet_bar,
            "speed_m_s": found.full.speed_m_s,
        },
        working=found.working,
        picture=pictures.pump_inlet(**_suction(values), units=units),
        notes=(usual,) if values["least_bar"] is None else (),
    )


ENTRIES = (
    Entry(
        "element_left",
        (
            Input("indicator_bar", low=0, high=50, source="indicators of filters", example="0.9", step=0.05),
            Input("gauge_bar", low=0, high=5, source="indicators of filters", default="0.05", step=0.05),
            flow_input(),
            Input("t_c", low=-50, high=150, source="oil that flows", example="45", step=1),
            *_USED,
            *VISCOSITIES,
            DENSITY,
        ),
        _left,
        filters.life_left,
        _tell_left,
        ("left_share", "clean_bar", "full_bar", "bypassed_share"),
        (HANDBOOK, _GROWTH),
        topic="filter",
        formulas=(
            r"\text{left} = 1 - \frac{\ln g}{\ln \left( \Delta p_{\text{full}} / \Delta p_0 \right)}",
            r"g = \frac{\Delta p_{\text{read}}}{\Delta p_0 \, \frac{Q_{\text{element}}}{Q_0} \, \frac{\nu}{\nu_0} \,"
            r" \frac{\rho}{\rho_0}}",
        ),
    ),
    Entry(
        "element_hours",
        (
            Input(
                "dirt_g_h",
                low=0,
                high=1000,
                above=True,
                source="mobile machines",
                optional=True,
                example="0.1",
                step=0.05,
            ),
            Input("hours_on_h", low=0, high=100_000, above=True, source="hours of machines", optional=True, step=10),
            LOADING,
            Input("capacity_g", low=0, high=10_000, above=True, source=FILTERS, optional=True, example="80", step=5),
            WITHIN,
            flow_input(),
            Input("t_c", low=-50, high=150, source="oil that flows", example="50", step=1),
            *_USED,
            *VISCOSITIES,
            DENSITY,
        ),
        _hours,
        _lasting,
        _tell_hours,
        ("full_h", "lamp_h", "opens_h", "past_full_share", "dirtier", "dirt_g_h"),
        ("mass balance: what gets in is caught in the end; worked out", HANDBOOK, _GROWTH),
        topic="filter",
        formulas=(
            r"h = \frac{(1 - x) \, m}{R}, \quad R = \frac{x \, m}{H}",
            r"\text{times as dirty} = \frac{1}{1 - k}",
        ),
    ),
    Entry(
        "filter_beta",
        (
            Input("beta", low=1, high=1_000_000, source="ISO 16889", optional=True, example="200", step=10),
            Input("efficiency_share", low=0, high=0.999999, source="ISO 16889", optional=True, step=0.01),
            PAST,
        ),
        _beta,
        _both,
        _tell_beta,
        ("beta", "kept_of_1000", "effective_beta", "kept_together_of_1000", "tank_times"),
        (_16889, BALANCE),
        topic="filter",
        formulas=(
            r"e = \frac{\beta - 1}{\beta}",
            r"\frac{1}{\beta'} = \frac{1 - k}{\beta} + k",
            r"\frac{N_{\text{tank}}}{N_{\text{perfect}}} = \frac{1}{(1 - k)(1 - 1 / \beta)}",
        ),
    ),
    Entry(
        "pump_starves",
        (
            flow_input(),
            Input("idle_l_min", low=0, high=3000, above=True, source=FILTERS, optional=True, example="40", step=5),
            Input("t_c", low=-50, high=150, source="oil that flows", example="5", step=1),
            Input("pipe_mm", low=5, high=200, source=_PIPES, example="38", step=1),
            Input("pipe_length_mm", low=0, high=20_000, source=_PIPES, example="900", step=50),
            Input("head_mm", low=-5000, high=5000, source=_PIPES, default="0", example="300", step=50),
            Input("fittings", low=0, high=100, source="loss coefficients", default="1.5", step=0.5),
            Input("strainer_bar", low=0, high=5, source="suction strainers", default="0", example="0.01", step=0.005),
            Input("reference_flow_l_min", low=0, high=3000, above=True, source=FILTERS, default="100", step=5),
            Input("reference_kv_mm2_s", low=1, high=1000, source="reference of the curves", default="30", step=1),
            Input("least_bar", low=0.1, high=3, source="pump inlets", optional=True, step=0.05),
            Input("altitude_m_asl", low=-500, high=5000, source="standard atmosphere", default="0", step=100),
            Input("tank_bar", low=0, high=2, source="tanks under pressure", default="0", step=0.05),
            *VISCOSITIES,
            DENSITY,
        ),
        _suction,
        filters.suction,
        _tell_suction,
        ("starves_below_c", "idle_starves_below_c", "inlet_bar", "speed_m_s"),
        (
            "Darcy-Weisbach with Hagen-Poiseuille and Colebrook",
            "standard atmosphere, ISO 2533",
            "0.8 bar absolute as the usual least pressure: common practice, no source",
        ),
        topic="filter",
        formulas=(
            r"p = p_{\text{air}} + p_{\text{tank}} + \rho g h - \frac{\rho v^2}{2}"
            r" \left( 1 + \zeta + f \, \frac{L}{d} \right) - \Delta p_{\text{strainer}}",
            r"f = \frac{64}{Re} \quad (Re \le 2300), \quad \frac{1}{\sqrt{f}} = -2 \log_{10} \left("
            r" \frac{\varepsilon}{3.7 \, d} + \frac{2.51}{Re \sqrt{f}} \right) \quad (Re \ge 4000)",
            r"p(t) = p_{\text{least}}",
        ),
    ),
)
