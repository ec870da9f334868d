"""Calculations on one oil: viscosity, index, grade, density, and the window in which it is right."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import oil, pictures, words
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.errors import Missing
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["DENSITY", "ENTRIES", "LIMITS", "VISCOSITIES", "limits_of", "oil_of"]

_D341 = "ASTM D341"
_D2270 = "ASTM D2270"
_MPMS = "API MPMS 11.1, lubricating oils"
_VG = "ISO 3448"

_KV40 = Input("kv40_mm2_s", low=2, high=5000, source="lubricating oils", example="46", step=1)
VISCOSITIES = (
    _KV40,
    Input("kv100_mm2_s", low=2, high=500, source=_D2270, optional=True, example="6.8", step=0.1),
    Input("viscosity_index", low=-50, high=400, source=_D2270, optional=True, step=5),
)
"""Viscosity at 40 °C, and that at 100 °C or the index."""

DENSITY = Input("density15_kg_m3", low=801, high=1163, source=_MPMS, default="875", example="875", step=1)
_T = Input("t_c", low=-50, high=150, source="oil that flows", example="20", step=1)


def oil_of(values: Values) -> oil.Oil:
    """Return the oil that the viscosities and, where it is asked for, the density describe."""
    if values["kv100_mm2_s"] is None and values["viscosity_index"] is None:
        raise Missing(name="kv100_mm2_s", needed_for="the viscosity at another temperature")
    return oil.Oil(
        words.sentence("catalogue.this_oil"),
        values["kv40_mm2_s"],
        values["kv100_mm2_s"],
        values["viscosity_index"],
        values.get("density15_kg_m3"),
    )


def _with_oil(*names: str) -> Any:
    def prepare(values: Values) -> Mapping[str, Any]:
        return {"one": oil_of(values)} | {name: values[name] for name in names}

    return prepare


def _plain(*names: str) -> Any:
    def prepare(values: Values) -> Mapping[str, Any]:
        return {name: values[name] for name in names}

    return prepare


def _viscosity(one: oil.Oil, t_c: float) -> tuple[oil.Oil, Range]:
    return one, oil.viscosity_in_the_cold(one, t_c)


def _tell_viscosity(found: tuple[oil.Oil, Range], values: Values, units: words.UnitSystem) -> Answer:
    one, kv = found
    t_c = values["t_c"]
    doubt = one.doubt(t_c)
    return Answer(
        says=(words.sentence("catalogue.oil_viscosity.says", units=units, t_c=t_c, kv_mm2_s=kv.value),),
        fields={"kv_mm2_s": kv.value if doubt is None else kv},
        working=oil.explain_viscosity(one, t_c),
        notes=() if doubt is None else (words.sentence(doubt, units=units),),
    )


def _temperature(one: oil.Oil, kv_mm2_s: float) -> tuple[oil.Oil, float]:
    return one, one.temperature_at(kv_mm2_s)


def _tell_temperature(found: tuple[oil.Oil, float], values: Values, units: words.UnitSystem) -> Answer:
    one, t_c = found
    kv = values["kv_mm2_s"]
    return Answer(
        says=(words.sentence("catalogue.oil_temperature.says", units=units, t_c=t_c, kv_mm2_s=kv),),
        fields={"t_c": t_c},
        working=oil.explain_temperature(one, kv),
    )


def _tell_index(found: float, values: Values, units: words.UnitSystem) -> Answer:
    return Answer(
        says=(words.sentence("catalogue.oil_index.says", units=units, index=round(found)),),
        fields={"viscosity_index": found},
        working=oil.explain_index(values["kv40_mm2_s"], values["kv100_mm2_s"]),
    )


def _tell_kv100(found: float, values: Values, units: words.UnitSystem) -> Answer:
    return Answer(
        says=(words.sentence("catalogue.oil_kv100.says", units=units, kv_mm2_s=found),),
        fields={"kv100_mm2_s": found},
        working=oil.explain_index(values["kv40_mm2_s"], found, "worked_out"),
    )


def _tell_grade(found: int | None, values: Values, units: words.UnitSystem) -> Answer:
    kv = values["kv40_mm2_s"]
    if found is not None:
        says = words.sentence("catalogue.oil_grade.says", units=units, kv_mm2_s=kv, grade=found)
    else:
        below, above = oil.neighbours(kv)
        untold = words.sentence("catalogue.not_known")
        says = words.sentence(
            "catalogue.oil_grade.between",
            units=units,
            kv_mm2_s=kv,
            below=untold if below is None else f"VG {below}",
            above=untold if above is None else f"VG {above}",
        )
    shown = None if found is None else f"VG {found}"
    step = Step(
        "catalogue.step.grade",
        "middle of the grade ± 10 %",
        (Given("ν₄₀", kv, "mm2_s", "told"),),
        shown or words.sentence("catalogue.none"),
        "",
        _VG,
    )
    return Answer(says=(says,), fields={"grade": shown}, working=Working((step,)))


def _of_density(density15_kg_m3: float) -> oil.Oil:
    # Density alone is asked for: any viscosity will do, and none of it is told.
    return oil.Oil(words.sentence("catalogue.this_oil"), 46, 6.8, density15_kg_m3=density15_kg_m3)


def _tell_density(found: float, values: Values, units: words.UnitSystem) -> Answer:
    t_c = values["t_c"]
    return Answer(
        says=(words.sentence("catalogue.oil_density.says", units=units, t_c=t_c, density_kg_m3=found),),
        fields={"density_kg_m3": found},
        working=oil.explain_density(_of_density(values["density15_kg_m3"]), t_c),
    )


def _grown(density15_kg_m3: float, litres_l: float, from_c: float, to_c: float) -> float:
    return litres_l * _of_density(density15_kg_m3).expansion(from_c, to_c)


def _tell_expansion(found: float, values: Values, units: words.UnitSystem) -> Answer:
    litres, from_c, to_c = values["litres_l"], values["from_c"], values["to_c"]
    return Answer(
        says=(
            words.sentence(
                "catalogue.oil_expansion.says", units=units, litres_l=litres, from_c=from_c, to_c=to_c, then_l=found
            ),
        ),
        fields={"then_l": found, "change_l": found - litres},
        working=oil.explain_expansion(_of_density(values["density15_kg_m3"]), from_c, to_c),
    )


_STEPS = {"start_limit_mm2_s": 100.0, "highest_mm2_s": 10.0}
LIMITS = tuple(
    Input(name, low=2, high=10_000, source="limits of pumps", optional=True, step=_STEPS.get(name, 1.0))
    for name in ("start_limit_mm2_s", "highest_mm2_s", "best_high_mm2_s", "best_low_mm2_s", "lowest_mm2_s")
)
"""The viscosities that a system asks for; what is left out is common practice."""


def limits_of(values: Values) -> oil.Limits:
    """Return the limits that were put in."""
    return oil.Limits(**{one.name: values[one.name] for one in LIMITS})


_EDGES = ("start", "work_from", "best_from", "best_to", "work_to")


def _window(values: Values) -> Mapping[str, Any]:
    return {"one": oil_of(values), "limits": limits_of(values)}


def _found_window(one: oil.Oil, limits: oil.Limits) -> tuple[oil.Oil, oil.Limits, oil.Window]:
    return one, limits, oil.window(one, limits)


def _tell_window(found: tuple[oil.Oil, oil.Limits, oil.Window], _values: Values, units: words.UnitSystem) -> Answer:
    one, limits, window = found
    edges = {f"{name}_c": getattr(window, name).t_c for name in _EDGES}
    return Answer(
        says=(
            words.sentence("catalogue.oil_window.says", units=units, **edges),
            words.sentence("catalogue.oil_window.best", units=units, **edges),
        ),
        fields=edges,
        working=window.working,
        picture=pictures.oil_window(one, limits, units=units),
        notes=() if window.doubt is None else (words.sentence(window.doubt, units=units),),
    )


_KV100_GIVEN = Input("kv100_mm2_s", low=2, high=500, source=_D2270, example="6.8", step=0.1)
_Z = r"Z = \nu + 0.7 + \exp(-1.47 - 1.84\,\nu - 0.51\,\nu^2)"
_LINE = r"\log_{10} \log_{10} Z = A - B \, \log_{10} (t + 273.15)"
_INDEX = (
    r"VI = 100 \, \frac{L - U}{L - H} \quad (U > H)",
    r"VI = 100 + \frac{10^N - 1}{0.00715}, \quad N = \frac{\log_{10} H - \log_{10} U}{\log_{10} Y} \quad (U \le H)",
)
_RHO = r"\rho = \rho_{15} \, \exp(-\alpha \, \Delta t \, (1 + 0.8 \, \alpha \, \Delta t)), \quad \Delta t = t - 15"
_ALPHA = r"\alpha = \frac{0.6278}{\rho_{15}}"

ENTRIES = (
    Entry(
        "oil_window",
        (*VISCOSITIES, *LIMITS),
        _window,
        _found_window,
        _tell_window,
        tuple(f"{name}_c" for name in _EDGES),
        (_D341, "common practice, no source, where no limit is put in"),
        topic="oil",
        formulas=(_LINE, r"t = 10^{(A - \log_{10} \log_{10} Z) / B} - 273.15", _Z),
    ),
    Entry(
        "oil_viscosity",
        (*VISCOSITIES, _T),
        _with_oil("t_c"),
        _viscosity,
        _tell_viscosity,
        ("kv_mm2_s",),
        (_D341, "a thickened fluid as measured in the cold, in a stored excerpt"),
        topic="oil",
        formulas=(_LINE, _Z),
    ),
    Entry(
        "oil_temperature",
        (*VISCOSITIES, Input("kv_mm2_s", low=2, high=10_000, source="oil that flows", example="100", step=1)),
        _with_oil("kv_mm2_s"),
        _temperature,
        _tell_temperature,
        ("t_c",),
        (_D341,),
        topic="oil",
        formulas=(r"t = 10^{(A - \log_{10} \log_{10} Z) / B} - 273.15", _Z),
    ),
    Entry(
        "oil_index",
        (_KV40, _KV100_GIVEN),
        _plain("kv40_mm2_s", "kv100_mm2_s"),
        oil.viscosity_index,
        _tell_index,
        ("viscosity_index",),
        (_D2270,),
        topic="oil",
        formulas=_INDEX,
    ),
    Entry(
        "oil_kv100",
        (_KV40, Input("viscosity_index", low=-50, high=400, source=_D2270, example="100", step=5)),
        _plain("kv40_mm2_s", "viscosity_index"),
        oil.kv100_from_index,
        _tell_kv100,
        ("kv100_mm2_s",),
        (_D2270,),
        topic="oil",
        formulas=(r"VI(U, Y) = VI, \quad Y = ?", *_INDEX),
    ),
    Entry(
        "oil_grade",
        (_KV40,),
        _plain("kv40_mm2_s"),
        oil.grade_of,
        _tell_grade,
        ("grade",),
        (_VG,),
        topic="oil",
        formulas=(r"0.9 \, \nu_{VG} \le \nu_{40} \le 1.1 \, \nu_{VG}",),
    ),
    Entry(
        "oil_density",
        (DENSITY, _T),
        _plain("density15_kg_m3", "t_c"),
        oil.density_at,
        _tell_density,
        ("density_kg_m3",),
        (_MPMS,),
        topic="oil",
        formulas=(_RHO, _ALPHA),
    ),
    Entry(
        "oil_expansion",
        (
            DENSITY,
            Input("litres_l", low=0, high=100_000, above=True, source="one compartment", example="78", step=1),
            Input("from_c", low=-50, high=150, source=_MPMS, example="5", step=1),
            Input("to_c", low=-50, high=150, source=_MPMS, example="58", step=1),
        ),
        _plain("density15_kg_m3", "litres_l", "from_c", "to_c"),
        _grown,
        _tell_expansion,
        ("then_l", "change_l"),
        (_MPMS,),
        topic="oil",
        formulas=(r"V_2 = V_1 \, \frac{\rho(t_1)}{\rho(t_2)}", _RHO, _ALPHA),
    ),
)
