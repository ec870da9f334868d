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
from coldmark.bench.sheet import Sheet

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
        raise Contradiction(name="hours_on_h", value=hours, why="catalogue.element_hours.one_of_two")
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
        raise Contradiction(name="efficiency_share", value=share, why="catalogue.filter_beta.one_of_two")
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

_SUCTION_TOLD = (
    "flow_l_min",
    "idle_l_min",
    "pipe_mm",
    "pipe_length_mm",
    "head_mm",
    "fittings",
    "least_bar",
    "tank_bar",
)
_WITHOUT: dict[str, Any] = {
    "head_mm": 0.0,
    "fittings": 1.5,
    "roughness_mm": 0.01,
    "tank_bar": 0.0,
    "idle_l_min": None,
    "least_bar": None,
}
"""What is taken where nobody told, and no sheet does."""


def _pumped_l_min(sheet: Sheet, speed: str) -> float | None:
    """What the pumps on the suction line displace at idle or full speed; ``None`` where the sheet names no pump."""
    drawing = sheet.suction.pumps if sheet.suction is not None else ()
    pumps = [one for one in sheet.pumps if not drawing or one.name in drawing]
    return sum(one.displacement_cm3 * getattr(one, speed) / 1000 for one in pumps) or None


def _of_sheet(sheet: Sheet | None) -> dict[str, Any]:
    """What a sheet tells of its suction side, by the inputs' names; what is typed goes before it."""
    if sheet is None:
        return {}
    side = sheet.suction
    told: dict[str, Any] = {
        "flow_l_min": _pumped_l_min(sheet, "full_rpm"),
        "idle_l_min": _pumped_l_min(sheet, "idle_rpm"),
    }
    if side is None:
        return told
    strainer = None if side.strainer is None else sheet.housings[side.strainer].stage
    return told | {
        "pipe_mm": side.line.inner_mm,
        "pipe_length_mm": side.line.length_mm,
        "head_mm": side.line.head_mm,
        "fittings": side.line.fittings,
        "roughness_mm": side.line.roughness_mm,
        "strainer": strainer,
        "least_bar": side.least_bar,
        "tank_bar": side.tank_bar,
    }


def _strainer(values: Values, sheets: filters.Stage | None) -> filters.Stage | None:
    """The strainer that was told, else the sheet's; nought says that there is none."""
    drop = values["strainer_bar"]
    if drop is None or drop <= 0:
        return sheets if drop is None else None
    flow, kv = values["reference_flow_l_min"], values["reference_kv_mm2_s"]
    return filters.Stage(words.sentence("catalogue.this_filter"), drop, 0.0, flow, kv)


def _suction(values: Values) -> Mapping[str, Any]:
    sheets = _of_sheet(values["sheet"])
    told = _WITHOUT | {name: value for name, value in sheets.items() if value is not None}
    told |= {name: values[name] for name in _SUCTION_TOLD if values[name] is not None}
    for name in ("flow_l_min", "pipe_mm", "pipe_length_mm"):
        if told.get(name) is None:
            raise Missing(name=name, needed_for=words.sentence("catalogue.pump_starves.needed_for"))
    line = (told["pipe_mm"], told["pipe_length_mm"], told["head_mm"], told["fittings"])
    given = {
        "line": filters.SuctionLine(*line, roughness_mm=told["roughness_mm"]),
        "strainer": _strainer(values, sheets.get("strainer")),
        "oil": oil_of(values),
        "t_c": values["t_c"],
        "flow_l_min": told["flow_l_min"],
        "idle_l_min": told["idle_l_min"],
        "altitude_m_asl": values["altitude_m_asl"],
        "tank_bar": told["tank_bar"],
    }
    return given if told["least_bar"] is None else given | {"least_bar": told["least_bar"]}


def _from_sheet(values: Values) -> tuple[str, ...]:
    return () if values["sheet"] is None else (words.sentence("catalogue.pump_starves.of_sheet"),)


def _tell_suction(found: filters.Suction, values: Values, units: words.UnitSystem) -> Answer:
    given = _suction(values)
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
        picture=pictures.pump_inlet(**given, units=units),
        notes=(*((usual,) if "least_bar" not in given else ()), *_from_sheet(values)),
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
            Input("sheet", "sheet", optional=True),
            replace(flow_input(), optional=True),
            Input("idle_l_min", low=0, high=3000, above=True, source=FILTERS, optional=True, example="40", step=5),
            Input("t_c", low=-50, high=150, source="oil that flows", example="5", step=1),
            Input("pipe_mm", low=5, high=200, source=_PIPES, optional=True, example="38", step=1),
            Input("pipe_length_mm", low=0, high=20_000, source=_PIPES, optional=True, example="900", step=50),
            Input("head_mm", low=-5000, high=5000, source=_PIPES, optional=True, example="300", step=50),
            Input("fittings", low=0, high=100, source="loss coefficients", optional=True, step=0.5),
            Input("strainer_bar", low=0, high=5, source="suction strainers", optional=True, example="0.01", step=0.005),
            Input("reference_flow_l_min", low=0, high=3000, above=True, source=FILTERS, default="100", step=5),
            Input("reference_kv_mm2_s", low=1, high=1000, source="reference of the curves", default="30", step=1),
            Input("least_bar", low=0.1, high=3, source="pump inlets", optional=True, step=0.05),
            Input("altitude_m_asl", low=-500, high=5000, source="standard atmosphere", default="0", step=100),
            Input("tank_bar", low=0, high=2, source="tanks under pressure", optional=True, step=0.05),
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
