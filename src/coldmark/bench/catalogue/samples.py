"""Calculations on oil samples: how clean it is and should be, whether wear is rising, what a change leaves behind."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from coldmark.bench import cleanliness, pictures, wear, words
from coldmark.bench.catalogue.filters import FILTERS
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.errors import Contradiction, Missing, require_between
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["ENTRIES"]

_4406 = "ISO 4406"
_COUNTS = "a count of particles"
_METAL = "metal in oil"
_TANKS = "tanks of mobile machines"
_MOST_PER_ML = 10_000_000
_MOST_MG_KG = 100_000

_COUNT_NAMES = tuple(f"count{size}_per_ml" for size in cleanliness.SIZES_UM)
_TOO_MANY = ("too_many4", "too_many6")
_METALS = ("iron", "copper", "lead", "chromium", "silicon", "tin", "other_metal")


# oil_code


def _read(values: Values, name: str) -> cleanliness.Code:
    try:
        return cleanliness.parse(values[name])
    except Contradiction as refused:
        raise refused.under(name, values[name]) from None


def _counts(values: Values) -> list[cleanliness.Count]:
    found: list[cleanliness.Count] = []
    for name, flag in zip(_COUNT_NAMES, (*_TOO_MANY, None), strict=True):
        count = values[name]
        if flag is None or not values[flag]:
            found.append(count)
        elif count is None:
            found.append("too_many")
        else:
            raise Contradiction(name=name, value=count, why="catalogue.oil_code.too_many")
    return found


def _oil_code(values: Values) -> Mapping[str, Any]:
    counts = _counts(values)
    if all(count is None for count in counts):
        raise Missing(name=_COUNT_NAMES[0], needed_for=words.sentence("cleanliness.the_code"))
    return {
        "counts": counts,
        "counted_ml": values["counted_ml"],
        "wanted": None if values["wanted_code"] is None else _read(values, "wanted_code"),
    }


def _coded(
    counts: list[cleanliness.Count], counted_ml: float | None, wanted: cleanliness.Code | None
) -> tuple[cleanliness.Code, cleanliness.Comparison | None]:
    code = cleanliness.code(counts, counted_ml=counted_ml)
    return code, None if wanted is None else cleanliness.compare(code, wanted)


def _times(found: Range | None) -> float | Range | None:
    """A range without an upper end is told by its lower, one without width by itself."""
    if found is None or (found.width > 0 and math.isfinite(found.high)):
        return found
    return found.low


def _tell_code(
    found: tuple[cleanliness.Code, cleanliness.Comparison | None], _values: Values, units: words.UnitSystem
) -> Answer:
    code, compared = found
    says = cleanliness.says(code)
    notes = () if compared is not None else (words.sentence("catalogue.oil_code.note", units=units),)
    times = (None, None, None) if compared is None else compared.times
    return Answer(
        says=tuple(says if compared is None else [*cleanliness.says(compared), *says[1:]]),
        fields={
            "found_code": str(code),
            "cleanliness_verdict": None if compared is None else compared.verdict,
            "times4": _times(times[0]),
            "times6": _times(times[1]),
            "times14": _times(times[2]),
        },
        working=code.working if compared is None else code.working + compared.working,
        picture=pictures.code_ladder(code, None if compared is None else compared.wanted),
        notes=notes,
    )


# clean_enough


def _clean_enough(values: Values) -> Mapping[str, Any]:
    return {"found": _read(values, "code"), "wanted": _read(values, "wanted_code")}


def _tell_enough(found: cleanliness.Comparison, _values: Values, _units: words.UnitSystem) -> Answer:
    return Answer(
        says=tuple(cleanliness.says(found)),
        fields={
            "cleanliness_verdict": found.verdict,
            "times4": _times(found.times[0]),
            "times6": _times(found.times[1]),
            "times14": _times(found.times[2]),
        },
        working=found.working,
        picture=pictures.code_ladder(found.found, found.wanted),
    )


# oil_target

_DUTY = {
    "endangers": "safety",
    "cold_starts": "cold_starts",
    "shock": "shock",
    "severe_duty": "severe",
    "other_fluid": "other_fluid",
}


def _target(values: Values) -> Mapping[str, Any]:
    return {
        "components": [row["component"] for row in values["components"]],
        "pressure_bar": values["working_bar"],
        "conditions": [condition for name, condition in _DUTY.items() if values[name]],
    }


def _tell_target(found: cleanliness.Target, _values: Values, _units: words.UnitSystem) -> Answer:
    return Answer(
        says=tuple(cleanliness.says(found)),
        fields={
            "wanted_code": str(found.wanted),
            "first_table": str(found.first),
            "second_table": None if found.second is None else str(found.second),
        },
        working=found.working,
        picture=pictures.code_ladder(None, found.wanted),
    )


# wear_rising


def _rising(values: Values) -> Mapping[str, Any]:
    return {
        "samples": [
            wear.Sample(row["hours_h"], row["content_mg_kg"], row["added_l"] or 0.0) for row in values["samples"]
        ],
        "volume_l": values["system_l"],
        "density_kg_m3": values["oil_density_kg_m3"],
        "fresh_mg_kg": values["fresh_mg_kg"],
        "within_mg_kg": values["repeatability_mg_kg"],
        "flow_l_min": values["flow_l_min"],
        "beta": values["metal_beta"],
    }


def _fill(**given: Any) -> wear.Fill:
    try:
        return wear.fill(**given)
    except Contradiction as refused:
        # The bench's names of two inputs, which a form calls otherwise.
        name = {"beta": "metal_beta", "hours_h": "samples"}.get(refused.name, refused.name)
        raise refused.under(name) from None


def _limits(values: Values, units: words.UnitSystem) -> list[str]:
    """What published limits say of the last value, as far as it can be held against them."""
    metal, last = values["metal"], values["samples"][-1]["content_mg_kg"]
    if metal == "other_metal":
        return []
    said = []
    for limit, beyond in wear.passed("hydraulic", metal, last, "mg/kg", fresh=values["fresh_mg_kg"]):
        if beyond is not None and limit.number is not None:
            message = "catalogue.wear_rising.beyond" if beyond else "catalogue.wear_rising.below"
            of = words.sentence(f"catalogue.wear_rising.{limit.of}")
            known = words.sentence(f"catalogue.wear_rising.{limit.standing.replace(' ', '_')}")
            said.append(
                words.sentence(
                    message,
                    units=units,
                    metal=words.sentence(f"catalogue.choice.{metal}"),
                    of=of,
                    limit_mg_kg=limit.number,
                    source=limit.source,
                    known=known,
                )
            )
    return said


def _tell_rising(found: wear.Fill, values: Values, units: words.UnitSystem) -> Answer:
    samples = [wear.Sample(row["hours_h"], row["content_mg_kg"]) for row in values["samples"]]
    return Answer(
        says=(*wear.says(found, units), *_limits(values, units)),
        fields={
            "wear_verdict": f"wear_{found.verdict}",
            "gains_mg_kg_100h": found.mg_kg_100h,
            "made_mg_100h": found.mg_100h,
            "stays_mg_kg_100h": found.latest.stays_mg_kg_100h,
            "taken_mg_kg_100h": found.latest.taken_mg_kg_100h,
        },
        working=found.working,
        picture=pictures.metal_course(samples, found, units=units),
        notes=(words.sentence("catalogue.wear_rising.note"),),
    )


# metal_left


def _left(values: Values) -> Mapping[str, Any]:
    system_l, drained_l = values["system_l"], values["drained_l"]
    require_between("drained_l", drained_l, 0, system_l, words.sentence("catalogue.metal_left.all"))
    return {
        "before_mg_kg": values["drained_oil_mg_kg"],
        "left_share": 1 - drained_l / system_l,
        "fresh_mg_kg": values["fresh_mg_kg"],
    }


def _tell_left(found: float, values: Values, units: words.UnitSystem) -> Answer:
    left = 1 - values["drained_l"] / values["system_l"]
    step = Step(
        "working.wear.after",
        "left · before + (1 − left) · new",
        (
            Given("left", left, "share", "worked_out"),
            Given("before", values["drained_oil_mg_kg"], "mg_kg", "measured"),
            Given("new", values["fresh_mg_kg"], "mg_kg", "told"),
        ),
        found,
        "mg_kg",
        "old and new oil mix by mass",
    )
    return Answer(
        says=(
            words.sentence("catalogue.metal_left.says", units=units, start_mg_kg=found, left_share=left),
            words.sentence("catalogue.metal_left.not_wear", units=units, start_mg_kg=found),
        ),
        fields={"start_mg_kg": found, "old_oil_share": left},
        working=Working((step,)),
    )


_SYSTEM = Input("system_l", low=0, high=5000, above=True, source=_TANKS, example="100", step=5)
_FRESH = Input("fresh_mg_kg", low=0, high=_MOST_MG_KG, source=_METAL, default="0", step=1)
_ROWS = (("1200", "4", ""), ("1450", "9.5", "1"), ("1700", "15", "2"), ("1950", "21", ""))

ENTRIES = (
    Entry(
        "oil_code",
        (
            Input("count4_per_ml", low=0, high=_MOST_PER_ML, source=_COUNTS, optional=True, example="7800"),
            Input("count6_per_ml", low=0, high=_MOST_PER_ML, source=_COUNTS, optional=True, example="1900"),
            Input("count14_per_ml", low=0, high=_MOST_PER_ML, source=_COUNTS, optional=True, example="140"),
            Input("too_many4", "truth"),
            Input("too_many6", "truth"),
            Input("counted_ml", low=0, high=10_000, above=True, source="an oil sample", optional=True, step=5),
            Input("wanted_code", "text", optional=True, example="18/16/13"),
        ),
        _oil_code,
        _coded,
        _tell_code,
        ("found_code", "cleanliness_verdict", "times4", "times6", "times14"),
        (_4406,),
        topic="dirt",
        formulas=(r"\text{above} < N \le \text{up to} \;\Rightarrow\; \text{scale number of the row}",),
    ),
    Entry(
        "clean_enough",
        (Input("code", "text", example="20/18/15"), Input("wanted_code", "text", example="18/16/13")),
        _clean_enough,
        cleanliness.compare,
        _tell_enough,
        ("cleanliness_verdict", "times4", "times6", "times14"),
        (_4406,),
        topic="dirt",
        formulas=(r"\text{times} = \frac{N_{\text{found}}}{N_{\text{up to, wanted}}}",),
    ),
    Entry(
        "oil_target",
        (
            Input(
                "components",
                "table",
                columns=(Input("component", "choice", choices=cleanliness.COMPONENTS),),
                example=(("variable_piston_pump",), ("directional_valve",), ("cylinder_gear_motor",)),
            ),
            Input("working_bar", low=0, high=700, source="hydraulic systems", example="250", step=10),
            *(Input(name, "truth") for name in _DUTY),
        ),
        _target,
        cleanliness.target,
        _tell_target,
        ("wanted_code", "first_table", "second_table"),
        ("two published tables of target cleanliness, as printed in stored excerpts",),
        topic="dirt",
        formulas=(r"\text{code} = \min_{\text{components, tables}} \text{code} - \text{number of conditions}",),
    ),
    Entry(
        "wear_rising",
        (
            Input(
                "samples",
                "table",
                columns=(
                    Input("hours_h", low=0, high=100_000, source="an hour meter"),
                    Input("content_mg_kg", low=0, high=_MOST_MG_KG, source=_METAL),
                    Input("added_l", low=0, high=5000, source=_TANKS, optional=True),
                ),
                example=_ROWS,
            ),
            Input("metal", "choice", choices=_METALS, default="iron"),
            _SYSTEM,
            Input("oil_density_kg_m3", low=500, high=1500, source="oils", default="870", step=5),
            _FRESH,
            Input(
                "repeatability_mg_kg", low=0, high=1000, source="a laboratory's repeatability", optional=True, step=0.5
            ),
            Input("flow_l_min", low=0, high=3000, above=True, source=FILTERS, optional=True, step=5),
            Input(
                "metal_beta", low=1, high=1_000_000, above=True, source="a filter that takes something", optional=True
            ),
        ),
        _rising,
        _fill,
        _tell_rising,
        ("wear_verdict", "gains_mg_kg_100h", "made_mg_100h", "stays_mg_kg_100h", "taken_mg_kg_100h"),
        (
            "mass balance of a mixed tank",
            "ISO 5725-6 for repeatability, from memory",
            "limits as each names its source",
        ),
        topic="dirt",
        formulas=(
            r"\rho \, V \, \frac{dc}{dt} = g + \rho \, q \, c_{\text{new}} - \rho \, s \, c",
            r"s = q + Q \, (1 - 1 / \beta)",
            r"c_2 = a \, c_1 + b \, g + c_{\text{add}}, \quad a = e^{-s t / V}, \quad b = \frac{1 - a}{\rho \, s}",
        ),
    ),
    Entry(
        "metal_left",
        (
            Input("drained_oil_mg_kg", low=0, high=_MOST_MG_KG, source=_METAL, example="80", step=5),
            Input("drained_l", low=0, high=5000, source=_TANKS, example="85", step=5),
            _SYSTEM,
            _FRESH,
        ),
        _left,
        wear.after,
        _tell_left,
        ("start_mg_kg", "old_oil_share"),
        ("old and new oil mix by mass", "worked example of residual oil, as printed in a stored excerpt"),
        topic="dirt",
        formulas=(
            r"c_{\text{start}} = r \, c_{\text{old}} + (1 - r) \, c_{\text{new}}",
            r"r = 1 - V_{\text{drained}} / V",
        ),
    ),
)
