"""Calculations on single parts: what a rod draws, what a tank holds, what an accumulator takes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import level, words
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.errors import Missing
from coldmark.bench.working import Given, Step, Working

__all__ = ["ENTRIES"]

_SIZES = "sizes on compact machines"
_GEOMETRY = "geometry"
_ATMOSPHERE_BAR = 1.01325


def _rods(values: Values) -> Mapping[str, Any]:
    sizes = {name: values[name] for name in ("kind", "bore_mm", "rod_mm", "stroke_mm", "count")}
    return {"cylinder": level.Cylinder("cylinder", **sizes), "extension": values["extension"]}


def _found_rods(cylinder: level.Cylinder, extension: float) -> tuple[float, float, float]:
    drawn = level.cylinder_draw_l(cylinder, extension)
    return drawn, level.cylinder_holds_l(cylinder, 0.0), level.cylinder_holds_l(cylinder, 1.0)


def _tell_rods(found: tuple[float, float, float], values: Values, units: words.UnitSystem) -> Answer:
    drawn, rods_in, rods_out = found
    across = {"single_dry": "bore_mm", "through": None}.get(values["kind"], "rod_mm")
    givens = [Given("count", values["count"], "", "told")]
    if across is not None:
        givens += [Given("d", values[across], "mm", "told"), Given("stroke", values["stroke_mm"], "mm", "told")]
    step = Step(
        "catalogue.step.drawn",
        "count · π/4 · d² · stroke · share out" if across else "a rod on both sides: nothing",
        tuple(givens),
        drawn,
        "l",
        _GEOMETRY,
    )
    message = "catalogue.rod_volume.says" if drawn > 0 else "catalogue.rod_volume.none"
    return Answer(
        says=(words.sentence(message, units=units, drawn_l=drawn),),
        fields={"drawn_l": drawn, "holds_in_l": rods_in, "holds_out_l": rods_out},
        working=Working((step,)),
    )


def _needed(values: Values, name: str) -> float:
    found = values[name]
    if found is None:
        raise Missing(name=name, needed_for=words.sentence(f"catalogue.choice.{values['shape']}"))
    return float(found)


def _shape(values: Values) -> level.Shape:
    chosen = values["shape"]
    if chosen == "upright_box":
        return level.Upright(_needed(values, "length_mm"), _needed(values, "width_mm"))
    if chosen == "upright_round":
        return level.UprightRound(_needed(values, "diameter_mm"))
    if chosen == "lying_round":
        return level.Lying(_needed(values, "diameter_mm"), _needed(values, "length_mm"))
    if values["table"] is None:
        raise Missing(name="table", needed_for=words.sentence("catalogue.choice.by_table"))
    return level.Table(tuple((row["height_mm"], row["filled_l"]) for row in values["table"]))


def _tank(values: Values) -> Mapping[str, Any]:
    return {"shape": _shape(values), "height_mm": values["height_mm"]}


_FORMULAS = {
    "upright_box": "length · width · height",
    "upright_round": "π/4 · diameter² · height",
    "lying_round": "length · (r² · acos((r − h)/r) − (r − h) · √(2·r·h − h²))",
    "by_table": "a straight line between the table's rows",
}


def _tell_tank(found: float, values: Values, units: words.UnitSystem) -> Answer:
    height = values["height_mm"]
    names = (("length", "length_mm"), ("width", "width_mm"), ("diameter", "diameter_mm"))
    sizes = [Given(symbol, values[name], "mm", "told") for symbol, name in names if values[name] is not None]
    step = Step(
        "catalogue.step.filled",
        _FORMULAS[values["shape"]],
        (*sizes, Given("h", height, "mm", "told")),
        found,
        "l",
        _GEOMETRY,
    )
    return Answer(
        says=(words.sentence("catalogue.tank_volume.says", units=units, height_mm=height, filled_l=found),),
        fields={"filled_l": found},
        working=Working((step,)),
    )


def _accumulator(values: Values) -> Mapping[str, Any]:
    return {
        "accumulator": level.Accumulator(
            "accumulator",
            values["gas_l"],
            values["charge_bar"] + _ATMOSPHERE_BAR,
            values["working_bar"] + _ATMOSPHERE_BAR,
            values["exponent"],
        )
    }


def _tell_accumulator(found: float, values: Values, units: words.UnitSystem) -> Answer:
    step = Step(
        "catalogue.step.held",
        "V0 · (1 − (p0 / p)^(1/n)), pressures with the atmosphere added",
        (
            Given("V0", values["gas_l"], "l", "told"),
            Given("p0", values["charge_bar"] + _ATMOSPHERE_BAR, "bar", "told"),
            Given("p", values["working_bar"] + _ATMOSPHERE_BAR, "bar", "told"),
            Given("n", values["exponent"], "", "told"),
        ),
        found,
        "l",
        "polytropic law of gases",
    )
    return Answer(
        says=(
            words.sentence("catalogue.accumulator_oil.says", units=units, held_l=found),
            words.sentence("catalogue.accumulator_oil.caution"),
        ),
        fields={"held_l": found},
        working=Working((step,)),
    )


_LENGTH = {"low": 0, "high": 5000, "above": True, "source": _SIZES, "step": 10}
_ROWS = ((0, 0), (100, 12), (200, 26), (300, 41))

ENTRIES = (
    Entry(
        "rod_volume",
        (
            Input("kind", "choice", choices=("double", "plunger", "single_dry", "through"), default="double"),
            Input("bore_mm", low=0, high=500, above=True, source=_SIZES, example="100", step=5),
            Input("rod_mm", low=0, high=500, above=True, source=_SIZES, example="56", step=1),
            Input("stroke_mm", low=0, high=10_000, above=True, source=_SIZES, example="800", step=10),
            Input("count", "whole", low=1, high=20, source=_SIZES, default="1", step=1),
            Input("extension", low=0, high=1, source="0 is all the way in, 1 all the way out", default="1", step=0.25),
        ),
        _rods,
        _found_rods,
        _tell_rods,
        ("drawn_l", "holds_in_l", "holds_out_l"),
        (_GEOMETRY,),
        "parts",
        (r"V = n\,\frac{\pi}{4}\,d^2\,s\,e",),
    ),
    Entry(
        "tank_volume",
        (
            Input(
                "shape",
                "choice",
                choices=("upright_box", "upright_round", "lying_round", "by_table"),
                example="lying_round",
            ),
            Input("length_mm", optional=True, example="1200", **_LENGTH),  # type: ignore[arg-type]
            Input("width_mm", optional=True, **_LENGTH),  # type: ignore[arg-type]
            Input("diameter_mm", optional=True, example="600", **_LENGTH),  # type: ignore[arg-type]
            Input(
                "table",
                "table",
                optional=True,
                columns=(
                    Input("height_mm", low=0, high=5000, source=_SIZES, step=10),
                    Input("filled_l", low=0, high=5000, source=_SIZES, step=1),
                ),
                example=_ROWS,
            ),
            Input("height_mm", low=0, high=5000, source=_SIZES, example="200", step=10),
        ),
        _tank,
        level.volume_l,
        _tell_tank,
        ("filled_l",),
        (_GEOMETRY,),
        "parts",
        (
            r"V_\mathrm{box} = l\,w\,h,\quad V_\mathrm{upright} = \frac{\pi}{4}\,d^2\,h",
            r"V_\mathrm{lying} = l\left(r^2 \arccos\frac{r - h}{r} - (r - h)\sqrt{2 r h - h^2}\right)",
        ),
    ),
    Entry(
        "accumulator_oil",
        (
            Input("gas_l", low=0, high=200, above=True, source=_SIZES, example="1.4", step=0.1),
            Input("charge_bar", low=0, high=400, source="gas charges", example="19", step=1),
            Input("working_bar", low=0, high=450, source="mobile hydraulics", example="119", step=5),
            Input("exponent", low=1, high=1.67, source="isothermal to adiabatic, ideal gas", default="1", step=0.1),
        ),
        _accumulator,
        level.accumulator_l,
        _tell_accumulator,
        ("held_l",),
        ("polytropic law of gases",),
        "parts",
        (r"V = V_0\left(1 - \left(\frac{p_0}{p}\right)^{1/n}\right)",),
    ),
)
