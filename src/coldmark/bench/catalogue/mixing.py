"""Calculations on several oils: which may go in, which suits, what a mixture is, and how the old oil is got out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from coldmark.bench import oil, oilhistory, pictures, words
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.catalogue.oiling import LIMITS, limits_of
from coldmark.bench.shapes import dataclass
from coldmark.bench.sheet import Compartment, Sheet, hydraulic_key
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["ENTRIES"]

_D341 = "ASTM D341"
_D7152 = "ASTM D7152, by volume, its form from memory"
_VG = "ISO 3448"
_PRACTICE = "common practice, no source"
_ONE = "one compartment"
_SHARE = "a share of all that is inside"
_LAB_SHARE = 0.01  # what two laboratories may differ by in a viscosity: assumed

_INSIDE = """
name = "Valley 46"
family = "HM"
additive = "zinc"
kv40_mm2_s = 46
kv100_mm2_s = 6.8
density15_kg_m3 = 877
pour_c = -27
"""
_JUG = """
name = "Ridge 46"
family = "HV"
additive = "zinc"
kv40_mm2_s = 46
kv100_mm2_s = 8.4
density15_kg_m3 = 870
pour_c = -42
"""
_THICK = """
name = "Ridge 68"
family = "HM"
additive = "zinc"
kv40_mm2_s = 68
kv100_mm2_s = 8.7
density15_kg_m3 = 884
pour_c = -24
"""
_BIO = """
name = "Meadow 46"
family = "HEES"
additive = "zinc_free"
kv40_mm2_s = 47.5
kv100_mm2_s = 9.4
density15_kg_m3 = 921
pour_c = -42
"""
_BLEND = r"\log_{10} \log_{10} Z = \sum_i \frac{V_i}{V} \, \log_{10} \log_{10} Z_i"
_Z = r"Z = \nu + 0.7 + \exp(-1.47 - 1.84\,\nu - 0.51\,\nu^2)"
_STAYS = r"x_n = x_0 \, \left(1 - \frac{V_{out}}{V_{system}}\right)^n"

_COLDEST = Input("coldest_c", low=-50, high=55, source="oil at a start", example="-10", step=1)
_HOTTEST = Input("hottest_c", low=0, high=150, source="oil at work", example="75", step=1)
_SYSTEM = Input("system_l", low=0, high=5000, above=True, source=_ONE, example="78", step=1)


def _optional(one: Input) -> Input:
    return Input(
        one.name,
        low=one.low,
        high=one.high,
        above=one.above,
        source=one.source,
        optional=True,
        example=one.example,
        step=one.step,
    )


# May the jug go in?


def _place(sheet: Sheet | None, jug: oil.Oil) -> Compartment | None:
    """Return the compartment that a jug is for: the hydraulic tank, or the first that holds such a fluid."""
    if sheet is None:
        return None
    tank = sheet.compartments.get(hydraulic_key(sheet) or "")
    if jug.fluid == "hydraulic oil":
        return tank
    return next((one for one in sheet.compartments.values() if one.fluid == jug.fluid), tank)


def _top_up(values: Values) -> Mapping[str, Any]:
    sheet, jug = values["sheet"], values["jug"]
    told = ("coldest_c", "hottest_c", "add_l", "system_l", "other_share")
    return {"inside": values["inside"], "jug": jug, "sheet": _place(sheet, jug), "limits": sheet} | {
        name: values[name] for name in told
    }


def _tell_top_up(found: oil.Verdict, _values: Values, units: words.UnitSystem) -> Answer:
    reasons = tuple(words.sentence(one.message, units=units, **one.values) for one in found.reasons)
    answer = words.sentence(f"top_up.{found.answer}", units=units)
    weighed = Step(
        "catalogue.step.weighed",
        "against it, then not known, then noted",
        tuple(
            Given(says, words.sentence(f"catalogue.choice.{one.weighs}"), "", "worked_out")
            for says, one in zip(reasons, found.reasons, strict=True)
        ),
        answer,
        "",
        "ISO 6743-4, ISO 3448, ISO 15380",
    )
    return Answer(
        says=(answer, reasons[0]),
        fields={
            "answer": answer,
            "mixed40_mm2_s": None if found.mixed is None else found.mixed.kv40_mm2_s,
            "other_share": found.other_share,
        },
        notes=reasons[1:],
        working=found.working + Working((weighed,)),
    )


# What do I get when I mix two oils?


def _blend(values: Values) -> Mapping[str, Any]:
    parts = [(values["inside"], values["there_l"]), (values["jug"], values["add_l"])]
    return {"parts": parts, "limits": None}


def _blended(
    parts: Sequence[tuple[oil.Oil, float]], limits: oil.Limits | None
) -> tuple[oil.Oil, oil.Limits | None, Working, oil.Verdict]:
    (inside, there_l), (jug, add_l) = parts
    verdict = oil.may_top_up(inside, jug, add_l=add_l, system_l=there_l + add_l)
    return oil.blend(parts), limits, oil.explain_blend(parts), verdict


def _tell_blend(
    found: tuple[oil.Oil, oil.Limits | None, Working, oil.Verdict], _values: Values, units: words.UnitSystem
) -> Answer:
    mixed, limits, working, verdict = found
    label, first = mixed.label(), verdict.reasons[0]
    told = {"kv40_mm2_s": mixed.kv40_mm2_s, "kv100_mm2_s": mixed.kv100_mm2_s}
    says = [
        words.sentence("catalogue.oil_blend.says", units=units, **told),
        words.sentence("catalogue.oil_blend.grade", grade=label)
        if label
        else words.sentence("catalogue.oil_blend.no_grade"),
    ]
    if verdict.answer in {"no", "unknown"}:
        why = words.sentence(first.message, units=units, **first.values)
        warned = [words.sentence(f"catalogue.oil_blend.{verdict.answer}"), why]
        # Who reads the first line alone is to read that it must not be done.
        says = warned + says if verdict.answer == "no" else says + warned
    return Answer(
        says=tuple(says),
        fields={
            "kv40_mm2_s": mixed.kv40_mm2_s,
            "kv100_mm2_s": mixed.kv100_mm2_s,
            "viscosity_index": mixed.viscosity_index,
            "density15_kg_m3": mixed.density15_kg_m3,
            "grade": label or None,
            "family": mixed.family or None,
        },
        working=working,
        picture=pictures.oil_window(mixed, limits, units=units) if mixed.fluid == "hydraulic oil" else None,
        notes=(words.sentence("catalogue.oil_blend.only_viscosity"),),
    )


# How much of something else is in the oil?


def _share(values: Values) -> Mapping[str, Any]:
    names = {"first_mm2_s": "new_oil_mm2_s", "second_mm2_s": "got_in_mm2_s", "found_mm2_s": "found_oil_mm2_s"}
    return {name: values[told] for name, told in names.items()}


def _found_share(first_mm2_s: float, second_mm2_s: float, found_mm2_s: float) -> Range:
    value = oil.blend_share(first_mm2_s, second_mm2_s, found_mm2_s)
    low, high = sorted((first_mm2_s, second_mm2_s))
    ends = [
        oil.blend_share(first_mm2_s, second_mm2_s, min(high, max(low, found_mm2_s * (1 + sign * _LAB_SHARE))))
        for sign in (1, -1)
    ]
    return Range(value, min(value, *ends), max(value, *ends))


def _tell_share(found: Range, values: Values, units: words.UnitSystem) -> Answer:
    step = Step(
        "catalogue.step.other_share",
        "x = (log log Z − log log Z₁) / (log log Z₂ − log log Z₁)",
        (
            Given("ν₁", values["new_oil_mm2_s"], "mm2_s", "told"),
            Given("ν₂", values["got_in_mm2_s"], "mm2_s", "told"),
            Given("ν", values["found_oil_mm2_s"], "mm2_s", "measured"),
        ),
        found.value,
        "share",
        "ASTM D7152; the viscosity found good to 1 %: assumed",
    )
    told = {"share": found.value, "low_share": found.low, "high_share": found.high}
    return Answer(
        says=(words.sentence("catalogue.oil_share.says", units=units, **told),),
        fields={"other_share": found},
        working=Working((step,)),
        notes=(words.sentence("catalogue.oil_share.or_worn"),),
    )


# Which oil suits this machine and place?


def _choose(values: Values) -> Mapping[str, Any]:
    sheet, put_in, jug = values["sheet"], limits_of(values), values["jug"]
    names = [one.name for one in LIMITS]
    asked = {
        name: getattr(put_in, name) if getattr(put_in, name) is not None else getattr(sheet, name, None)
        for name in names
    }
    usual_c = values["usual_c"]
    if usual_c is None and sheet is not None and sheet.hydraulic.hot_c is not None:
        usual_c = min(max(sheet.hydraulic.hot_c, values["coldest_c"]), values["hottest_c"])
    return {
        "oils": [*oil.usual_oils(), *([] if jug is None else [jug])],
        "coldest_c": values["coldest_c"],
        "hottest_c": values["hottest_c"],
        "usual_c": usual_c,
        "limits": oil.Limits(**asked),
        "sheet": None if sheet is None else sheet.compartments.get(hydraulic_key(sheet) or ""),
    }


def _reasons(one: oil.Candidate, units: words.UnitSystem, *, weightiest: bool = False) -> str:
    """Return why an oil fits or not in one text; of several reasons the weightiest alone where that is asked."""
    told = [reason for reason in one.reasons if not weightiest or reason.weighs == one.answer]
    return " ".join(words.sentence(reason.message, units=units, **reason.values) for reason in told)


def _tell_choice(found: oil.Choice, _values: Values, units: words.UnitSystem) -> Answer:
    best, fitting = found.best, [one for one in found.candidates if one.fits]
    says: list[str] = []
    if best is not None:
        says.append(words.sentence("catalogue.oil_choice.best", oil=best.oil.name))
        says.append(_reasons(best, units))
        others = [one.oil.name for one in fitting if one is not best]
        if others:
            says.append(words.sentence("catalogue.oil_choice.others", oils="; ".join(others)))
    elif found.nearest is not None:
        says.append(words.sentence("catalogue.oil_choice.none", units=units))
        says.append(
            words.sentence(
                "catalogue.oil_choice.nearest", units=units, oil=found.nearest.oil.name, short_k=found.nearest.short_k
            )
        )
        says.append(words.sentence("catalogue.oil_choice.then"))
    notes = [
        words.sentence("catalogue.oil_choice.each", oil=one.oil.name, reasons=_reasons(one, units, weightiest=True))
        for one in found.candidates
        if one is not best
    ]
    if found.coldest_c < 0:
        notes.insert(0, words.sentence("catalogue.oil_choice.cold"))
    return Answer(
        says=tuple(says),
        fields={
            "best_oil": None if best is None else best.oil.name,
            "fitting": "; ".join(one.oil.name for one in fitting) or None,
            "start_c": None if best is None else best.window.start.t_c,
            "work_to_c": None if best is None else best.window.work_to.t_c,
            "cold_mm2_s": None if best is None else best.cold_mm2_s,
            "hot_mm2_s": None if best is None else best.hot_mm2_s,
        },
        working=found.working,
        picture=pictures.oil_choice(found, units=units),
        notes=tuple(notes),
    )


# How many changes until the old oil is out?


def _changes(values: Values) -> Mapping[str, Any]:
    return {
        "share": values["old_oil_share"],
        "limit_share": values["limit_share"],
        "drained_l": values["drained_l"],
        "system_l": values["system_l"],
    }


def _tell_changes(found: oilhistory.Changes, values: Values, units: words.UnitSystem) -> Answer:
    count = int(found.count.value)
    after = {"after_share": found.after.value, "limit_share": values["limit_share"]}
    if count == 0:
        says = [words.sentence("catalogue.oil_changes.none", units=units, **after)]
    else:
        message = "one" if count == 1 else "several"
        says = [
            words.sentence(f"catalogue.oil_changes.{message}", units=units, count=count, **after),
            words.sentence("catalogue.oil_changes.litres", units=units, needs_l=found.litres_l),
        ]
    if found.count.width > 0:
        low, high = int(found.count.low), int(found.count.high)
        says.append(words.sentence("catalogue.oil_changes.range", low=low, high=high))
    return Answer(
        says=tuple(says),
        fields={"changes": found.count, "after_share": found.after, "needs_l": found.litres_l},
        working=found.working,
        picture=pictures.oil_left(found, values["old_oil_share"], values["limit_share"]),
        notes=(words.sentence("catalogue.oil_changes.circulate"),) if count else (),
    )


# What is inside after these fills and drains?

_KEYS = {"inside_oil": "inside", "jug_oil": "jug"}
_CIRCULATED = {"moved": True, "not_moved": False}


@dataclass(frozen=True, slots=True)
class _Poured:
    """One row of the table as the fold takes it."""

    way: str
    litres: float
    oil: str | None
    circulated: bool | None
    hours: float | None = None


def _history(values: Values) -> Mapping[str, Any]:
    rows = [
        _Poured(row["way"], row["litres_l"], _KEYS.get(row["poured"]), _CIRCULATED.get(row["functions"]))
        for row in values["moved"]
    ]
    oils = {"jug": values["jug"], "inside": values["inside"]}
    return {
        "rows": rows,
        "system_l": values["system_l"],
        "tank_l": values["drain_l"],
        "oils": {key: one for key, one in oils.items() if one is not None},
    }


def _folded(
    rows: Sequence[_Poured], system_l: float, tank_l: float | None, oils: Mapping[str, oil.Oil]
) -> tuple[oilhistory.Contents, oilhistory.Inside]:
    known = oilhistory.Contents((oilhistory.OilPart("inside", 1.0),)) if "inside" in oils else None
    contents = oilhistory.fold(rows, system_l=system_l, tank_l=tank_l, start=known)
    return contents, oilhistory.inside(contents.parts, oils)


def _tell_history(
    found: tuple[oilhistory.Contents, oilhistory.Inside], values: Values, units: words.UnitSystem
) -> Answer:
    contents, inside = found
    names = {"inside": values["inside"], "jug": values["jug"]}

    def named(key: str | None) -> str:
        one = names.get(key or "")
        return words.sentence("catalogue.oil_history.unknown") if one is None else one.name

    masses = {part.oil: part.share for part in inside.masses}
    says = [
        words.sentence("catalogue.oil_history.part", oil=named(part.oil), part_share=part.share)
        for part in inside.parts
    ]
    kv40 = inside.kv40_mm2_s
    message = "catalogue.oil_history.not_told" if kv40 is None else "catalogue.oil_history.viscosity"
    says.append(words.sentence(message, units=units, **({} if kv40 is None else {"kv40_mm2_s": kv40.value})))
    notes = []
    if contents.unmixed:
        notes.append(words.sentence("catalogue.oil_history.unmixed"))
    if contents.missing_l > 0:
        notes.append(words.sentence("catalogue.oil_history.missing", units=units, missing_l=contents.missing_l))
    if inside.bio and inside.other_share is not None:
        told = {"other_share": inside.other_share.value, "limit_share": oil.RESIDUE_LIMIT_SHARE}
        over = inside.other_share.value > oil.RESIDUE_LIMIT_SHARE
        notes.append(words.sentence(f"catalogue.oil_history.{'over' if over else 'under'}_limit", units=units, **told))
    rows = tuple(
        Given(words.sentence(f"catalogue.choice.{row['way']}"), row["litres_l"], "l", "told") for row in values["moved"]
    )
    step = Step(
        "catalogue.step.inside",
        "each pour mixes with system − drained",
        (Given("system", values["system_l"], "l", "told"), *rows),
        ", ".join(f"{named(part.oil)} {words.quantity(part.share, 'pct', digits=1)}" for part in inside.parts),
        "",
        "conservation of volume at one temperature",
    )
    return Answer(
        says=tuple(says),
        fields={
            "jug_share": masses.get("jug", 0.0),
            "inside_share": masses.get("inside", 0.0),
            "unknown_share": inside.unknown_share,
            "kv40_mm2_s": None if kv40 is None else kv40.value,
        },
        working=Working((step,)) + inside.working,
        notes=tuple(notes),
    )


_ROWS = (
    ("drained", 48, None, None),
    ("fill", 48, "jug_oil", "moved"),
    ("drained", 48, None, None),
    ("fill", 48, "jug_oil", "moved"),
)

ENTRIES = (
    Entry(
        "may_top_up",
        (
            Input("inside", "oil", optional=True, example=_INSIDE),
            Input("jug", "oil", example=_JUG),
            Input("sheet", "sheet", optional=True),
            _optional(_COLDEST),
            _optional(_HOTTEST),
            Input("add_l", low=0, high=5000, above=True, source=_ONE, optional=True, example="2", step=0.5),
            _optional(_SYSTEM),
            Input("other_share", low=0, high=1, source=_SHARE, optional=True, step=0.01),
        ),
        _top_up,
        oil.may_top_up,
        _tell_top_up,
        ("answer", "mixed40_mm2_s", "other_share"),
        ("ISO 6743-4", _VG, _D341, _D7152, "ISO 15380, as told in a stored excerpt", _PRACTICE),
        topic="oil",
        fine=True,
        formulas=(_BLEND, _Z, r"x = x_0 \, \left(1 - \frac{V_{jug}}{V}\right) + \frac{V_{jug}}{V}"),
    ),
    Entry(
        "oil_choice",
        (
            _COLDEST,
            _HOTTEST,
            Input("usual_c", low=-50, high=150, source="between start and hottest work", optional=True, step=1),
            Input("sheet", "sheet", optional=True),
            Input("jug", "oil", optional=True),
            *LIMITS,
        ),
        _choose,
        oil.choose,
        _tell_choice,
        ("best_oil", "fitting", "start_c", "work_to_c", "cold_mm2_s", "hot_mm2_s"),
        (_D341, _VG, "limits of the sheet, else common practice, no source"),
        topic="oil",
        formulas=(
            r"\nu(t_{coldest}) \le \nu_{start}, \quad \nu(t_{hottest}) \ge \nu_{lowest}",
            r"\log_{10} \log_{10} Z = A - B \, \log_{10} (t + 273.15)",
            r"f_{cold} = \exp(0.91 \, (t / 40)^2) \quad (t < 0, \; thickened)",
        ),
    ),
    Entry(
        "oil_blend",
        (
            Input("inside", "oil", example=_INSIDE),
            Input("there_l", low=0, high=5000, above=True, source=_ONE, example="70", step=1),
            Input("jug", "oil", example=_THICK),
            Input("add_l", low=0, high=5000, above=True, source=_ONE, example="8", step=0.5),
        ),
        _blend,
        _blended,
        _tell_blend,
        ("kv40_mm2_s", "kv100_mm2_s", "viscosity_index", "density15_kg_m3", "grade", "family"),
        (_D7152, "ASTM D2270", _VG),
        topic="oil",
        formulas=(_BLEND, _Z, r"\rho = \sum_i \frac{V_i}{V} \, \rho_i"),
    ),
    Entry(
        "oil_share",
        (
            Input("new_oil_mm2_s", low=0.5, high=5000, source="liquids that mix", example="46", step=1),
            Input("got_in_mm2_s", low=0.5, high=5000, source="liquids that mix", example="3", step=1),
            Input("found_oil_mm2_s", low=0.5, high=5000, source="liquids that mix", example="40", step=0.5),
        ),
        _share,
        _found_share,
        _tell_share,
        ("other_share",),
        (_D7152,),
        topic="oil",
        fine=True,
        formulas=(
            r"x = \frac{W - W_1}{W_2 - W_1}, \quad W = \log_{10} \log_{10} Z",
            _Z,
        ),
    ),
    Entry(
        "oil_changes",
        (
            _SYSTEM,
            Input("drained_l", low=0, high=5000, above=True, source=_ONE, example="48", step=1),
            Input("old_oil_share", low=0, high=1, above=True, source=_SHARE, default="1", step=0.05),
            Input("limit_share", low=0.001, high=1, source=_SHARE, default="0.02", step=0.01),
        ),
        _changes,
        oilhistory.changes_until,
        _tell_changes,
        ("changes", "after_share", "needs_l"),
        ("conservation of volume", "2 % by ISO 15380, as told in a stored excerpt"),
        topic="oil",
        fine=True,
        formulas=(_STAYS, r"n = \left\lceil \frac{\ln (x_{limit} / x_0)}{\ln (1 - V_{out} / V_{system})} \right\rceil"),
    ),
    Entry(
        "oil_history",
        (
            _SYSTEM,
            Input("drain_l", low=0, high=5000, above=True, source=_ONE, optional=True, example="48", step=1),
            Input("inside", "oil", optional=True, example=_INSIDE),
            Input("jug", "oil", optional=True, example=_BIO),
            Input(
                "moved",
                "table",
                columns=(
                    Input("way", "choice", choices=(*oilhistory.OUT_WAYS, *oilhistory.IN_WAYS)),
                    Input("litres_l", low=0, high=5000, source=_ONE),
                    Input("poured", "choice", choices=("inside_oil", "jug_oil", "unknown_oil"), optional=True),
                    Input("functions", "choice", choices=("moved", "not_moved"), optional=True),
                ),
                example=_ROWS,
            ),
        ),
        _history,
        _folded,
        _tell_history,
        ("jug_share", "inside_share", "unknown_share", "kv40_mm2_s"),
        ("conservation of volume", _D7152, "ISO 15380, as told in a stored excerpt"),
        topic="oil",
        fine=True,
        formulas=(_STAYS, _BLEND, _Z),
    ),
)
