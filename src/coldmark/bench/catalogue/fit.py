"""Calculations on fit: which ring it is, whether it fits its groove and stands the oil, and the right element."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from coldmark.bench import element, pictures, seal, words
from coldmark.bench import sheet as sheets
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.errors import Contradiction, Missing, NotAChoice, Refused
from coldmark.bench.shapes import dataclass

__all__ = ["ENTRIES"]

_SIZES = "ISO 3601-1, class A, as carried by the library bd-warehouse 0.4.0"
_GROOVES = "groove tables and guides in stored excerpts; not ISO 3601-2"
_PRACTICE = "common practice, no source"
_CALLIPER = "what a calliper takes"
_GROOVE = "grooves of O-rings"


# Which ring is this? Which belongs in this groove?


def _ring(values: Values) -> Mapping[str, Any]:
    return {"inner_mm": values["ring_inner_mm"], "section_mm": values["ring_section_mm"], "from_": values["ring_state"]}


def _sizes(found: seal.Found) -> str | None:
    return ", ".join(one.ring.size for one in found.candidates) or None


def _answered(found: seal.Found) -> str:
    return {"one": "one_size", "several": "several_sizes", "none": "not_in_table"}.get(found.answer, found.answer)


def _tell_ring(found: seal.Found, values: Values, units: words.UnitSystem) -> Answer:
    best = (found.candidates or found.nearest)[0]
    sure = found.answer in ("one", "near")
    inner_mm = best.ring.inner_mm if sure else values["ring_inner_mm"]
    section_mm = best.ring.section_mm if sure else values["ring_section_mm"]
    return Answer(
        says=tuple(seal.says(found, units)),
        fields={
            "ring_answer": _answered(found),
            "ring_sizes": _sizes(found),
            "nominal_inner_mm": best.ring.inner_mm,
            "nominal_section_mm": best.ring.section_mm,
            "inner_off_mm": best.inner_off_mm,
            "section_off_mm": best.section_off_mm,
        },
        working=found.working,
        picture=pictures.ring(inner_mm, section_mm, size=best.ring.size if sure else "", units=units),
        notes=(words.sentence(f"catalogue.ring_size.{values['ring_state']}"),),
    )


def _renamed(error: Refused) -> Refused:
    """Return a refusal of the groove under the name that the form has for the measure."""
    if isinstance(error, Contradiction):
        return error.under(f"groove_{error.name}")
    others = {name: value for name, value in error.values.items() if name != "name"}
    return Refused(error.message, name=f"groove_{error.name}", **others)


def _groove(values: Values) -> seal.Groove:
    found = seal.Groove(
        values["groove_depth_mm"],
        values["groove_width_mm"],
        inner_mm=values["groove_inner_mm"],
        outer_mm=values["groove_outer_mm"],
    )
    try:
        found.wall_mm(values["groove_kind"])
    except Refused as error:
        raise _renamed(error) from None
    return found


def _of_groove(values: Values) -> Mapping[str, Any]:
    return {
        "from_": "groove",
        "groove": _groove(values),
        "kind": values["groove_kind"],
        "moving": values["moving"],
    }


def _tell_of_groove(found: seal.Found, values: Values, units: words.UnitSystem) -> Answer:
    best = (found.candidates or found.nearest)[0].ring
    drawn = None
    if found.candidates:
        measures = (values["groove_depth_mm"], values["groove_width_mm"], values["groove_kind"])
        drawn = pictures.ring_in_groove(best.section_mm, *measures, units=units)
    return Answer(
        says=tuple(seal.says(found, units)),
        fields={
            "ring_answer": _answered(found),
            "ring_sizes": _sizes(found),
            "nominal_inner_mm": best.inner_mm,
            "nominal_section_mm": best.section_mm,
        },
        working=found.working,
        picture=drawn,
        notes=(words.sentence("seal.care"),),
    )


# Does this ring fit its groove?


def _agree(ring: seal.Ring, values: Values) -> None:
    """Raise when a ring measures something else than the size that it is said to be."""
    for name in ("inner", "section"):
        value, nominal = values[f"ring_{name}_mm"], getattr(ring, f"{name}_mm")
        read = seal.measured(ring.inner_mm, ring.section_mm)
        allowed = getattr(ring, f"{name}_tolerance_mm") + getattr(read, f"{name}_tolerance_mm")
        if value is not None and abs(value - nominal) > allowed + 1e-9:
            why = "catalogue.ring_gland.another"
            raise Contradiction(name=f"ring_{name}_mm", value=value, why=why, size=ring.size, nominal_mm=nominal)


def _gland(values: Values) -> Mapping[str, Any]:
    if values["ring_name"]:
        try:
            ring = seal.size(values["ring_name"])
        except NotAChoice as error:
            raise NotAChoice(
                name="ring_name", value=values["ring_name"], choices=(str(error.values["choices"]),)
            ) from None
        _agree(ring, values)
    else:
        for name in ("ring_inner_mm", "ring_section_mm"):
            if values[name] is None:
                raise Missing(name=name, needed_for=words.sentence("catalogue.ring_gland.no_size"))
        ring = seal.measured(values["ring_inner_mm"], values["ring_section_mm"])
    return {
        "ring": ring,
        "groove": _groove(values),
        "kind": values["groove_kind"],
        "moving": values["moving"],
        "backups": values["backups"],
        "clearance_mm": values["clearance_mm"],
    }


def _tell_gland(found: seal.Gland, _values: Values, units: words.UnitSystem) -> Answer:
    told = {name: found.measure(name) for name in ("squeeze", "stretch", "oversize", "fill")}
    shares = {f"{name}_share": None if one is None else one.value for name, one in told.items()}
    groove = found.groove
    return Answer(
        says=tuple(seal.says(found, units)),
        fields={
            "gland_answer": found.answer,
            **shares,
            "fitted_mm": found.fitted_mm,
            "loss_share": found.loss_share,
        },
        working=found.working,
        picture=pictures.ring_in_groove(
            found.ring.section_mm, groove.depth_mm, groove.width_mm, found.kind, units=units
        ),
        notes=tuple(seal.notes(found, units)),
    )


# Will this rubber stand this oil?


def _stands(values: Values) -> Mapping[str, Any]:
    return {
        "material": values["material"],
        "fluid": values["fluid"],
        "coldest_c": values["seal_coldest_c"],
        "hottest_c": values["seal_hottest_c"],
    }


def _tell_stands(found: seal.Stand, _values: Values, units: words.UnitSystem) -> Answer:
    _, cold, hot = found.known
    return Answer(
        says=tuple(seal.says(found, units)),
        fields={
            "stands_answer": found.answer,
            "cold_limit_c": cold.strict_c,
            "coldest_named_c": cold.loose_c,
            "hot_limit_c": hot.strict_c,
            "hottest_named_c": hot.loose_c,
        },
        working=found.working,
        notes=tuple(seal.notes(found, units)),
    )


# Is this the right element?


@dataclass(frozen=True, slots=True)
class _Told:
    """What somebody knows of the part from a list: the catalogue's stand-in for a sheet's part."""

    number: str
    features: Mapping[str, float]
    serial_from: str = ""
    serial_to: str = ""


_FEATURES = {
    "part_length": "length_mm",
    "part_outside": "outer_mm",
    "opening": "inner_mm",
    "upper_opening": "upper_mm",
    "lower_opening": "lower_mm",
    "spigot_outside": "spigot_mm",
    "seal_thickness": "section_mm",
}


def _column(values: Values, column: str) -> dict[str, float]:
    rows = values["features"] or ()
    return {_FEATURES[row["feature"]]: row[column] for row in rows if row[column] is not None}


def _reference(values: Values) -> element.Named | None:
    listed, number = _column(values, "listed_mm"), values["listed_number"] or ""
    sheet: sheets.Sheet | None = values["sheet"]
    if sheet is None:
        return _Told(number, listed) if listed or number else None
    parts = sheet.parts
    if not values["part"]:
        raise Missing(name="part", needed_for=words.sentence("catalogue.element_right.of_sheet"))
    if values["part"] not in parts:
        raise NotAChoice(name="part", value=values["part"], choices=parts)
    part = parts[values["part"]]
    return _Told(number or part.number, {**part.features, **listed}, part.serial_from, part.serial_to)


def _element(values: Values) -> Mapping[str, Any]:
    refused = [one.strip() for one in (values["refused"] or "").split(",") if one.strip()]
    earlier = words.sentence("catalogue.element_right.earlier")
    return {
        "new": element.Element(values["number"] or "", _column(values, "new_mm")),
        "old": element.Element(features=_column(values, "old_mm")),
        "reference": _reference(values),
        "sight": {name: values[f"seen_{name}"] for name in element.SIGHTS},
        "ends": values["ends"],
        "serial": values["serial"] or "",
        "rejects": [element.Reject(one, earlier, "") for one in refused],
    }


def _tell_element(found: element.Comparison, _values: Values, units: words.UnitSystem) -> Answer:
    unproven = [one.feature for one in found.having("unproven")]
    return Answer(
        says=tuple(element.says(found, units)),
        fields={
            "element_answer": found.answer,
            "upside_down": found.upside_down,
            "unproven_count": float(len(set(unproven))),
        },
        working=found.working,
        picture=pictures.part("element"),
        notes=tuple(element.notes(found, units)),
    )


_RING_INNER = Input("ring_inner_mm", low=0.3, high=1500, source=_CALLIPER, example="18.7", step=0.1)
_RING_SECTION = Input("ring_section_mm", low=0.5, high=20, source=_CALLIPER, example="3.5", step=0.05)
_KIND = Input("groove_kind", "choice", choices=seal.KINDS, example="spigot")
_MEASURES = (
    Input("groove_depth_mm", low=0.3, high=20, source=_GROOVE, example="2.85", step=0.05),
    Input("groove_width_mm", low=0.5, high=60, source=_GROOVE, example="4.6", step=0.05),
    Input("groove_inner_mm", low=0.3, high=1600, source=_GROOVE, optional=True, example="19.0", step=0.1),
    Input("groove_outer_mm", low=0.3, high=1600, source=_GROOVE, optional=True, example="24.7", step=0.1),
)
_SPAN = "temperatures of machines and weather"


def _seen(name: str, example: str) -> Input:
    return Input(f"seen_{name}", "choice", choices=element.SEEN, example=example)


ENTRIES = (
    Entry(
        "ring_size",
        (
            Input("ring_state", "choice", choices=("new_ring", "old_ring"), default="new_ring"),
            _RING_INNER,
            _RING_SECTION,
        ),
        _ring,
        seal.identify,
        _tell_ring,
        ("ring_answer", "ring_sizes", "nominal_inner_mm", "nominal_section_mm", "inner_off_mm", "section_off_mm"),
        (_SIZES, f"what age does to a ring: {_PRACTICE}"),
        topic="seal",
        formulas=(
            r"\left| d_\text{measured} - d_\text{nominal} \right| \le \Delta d",
            r"\left| w_\text{measured} - w_\text{nominal} \right| \le \Delta w",
        ),
        fine=True,
    ),
    Entry(
        "groove_ring",
        (_KIND, *_MEASURES, Input("moving", "truth")),
        _of_groove,
        seal.identify,
        _tell_of_groove,
        ("ring_answer", "ring_sizes", "nominal_inner_mm", "nominal_section_mm"),
        (_SIZES, _GROOVES),
        topic="seal",
        formulas=(
            r"\text{squeeze} = \frac{w - t}{w}",
            r"\text{stretch} = \frac{D - d}{d}",
            r"\text{excess} = \frac{d + 2\,w - D}{D}",
            r"\text{filling} = \frac{\pi\,w^2 / 4}{t \cdot b}",
        ),
        fine=True,
    ),
    Entry(
        "ring_gland",
        (
            Input("ring_name", "text", optional=True, example="210"),
            replace(_RING_INNER, optional=True),
            replace(_RING_SECTION, optional=True),
            _KIND,
            *_MEASURES,
            Input("moving", "truth"),
            Input("backups", "whole", low=0, high=2, source="back-up rings in one groove", default="0", step=1),
            Input("clearance_mm", low=0, high=2, source=_GROOVE, optional=True, step=0.05),
        ),
        _gland,
        seal.gland,
        _tell_gland,
        (
            "gland_answer",
            "squeeze_share",
            "stretch_share",
            "oversize_share",
            "fill_share",
            "fitted_mm",
            "loss_share",
        ),
        (_GROOVES, _SIZES, "loss of thickness: rubber keeps its volume"),
        topic="seal",
        formulas=(
            r"\text{squeeze} = \frac{w - t}{w}",
            r"\text{stretch} = \frac{D - d}{d}",
            r"\text{excess} = \frac{d + 2\,w - D}{D}",
            r"\text{filling} = \frac{\pi\,w^2 / 4}{t \cdot b}",
            r"w'^2\,(D + w') = w^2\,(d + w)",
        ),
        fine=True,
    ),
    Entry(
        "seal_stands",
        (
            Input("material", "choice", choices=seal.MATERIALS, example="NBR"),
            Input("fluid", "choice", choices=seal.FLUIDS, example="mineral"),
            Input("seal_coldest_c", low=-60, high=150, source=_SPAN, example="-20", step=5),
            Input("seal_hottest_c", low=-60, high=250, source=_SPAN, example="90", step=5),
        ),
        _stands,
        seal.stands,
        _tell_stands,
        ("stands_answer", "cold_limit_c", "coldest_named_c", "hot_limit_c", "hottest_named_c"),
        ("ISO 1629, codes", "tables of seal materials in stored excerpts, and from memory: each value says which"),
        topic="seal",
        formulas=(
            r"t_\text{coldest} \ge t_\text{cold limit}",
            r"t_\text{hottest} \le t_\text{hot limit}",
        ),
    ),
    Entry(
        "element_right",
        (
            _seen("length", "in_doubt"),
            _seen("upper_end", "same"),
            _seen("lower_end", "same"),
            _seen("seal", "same"),
            _seen("spigot", "same"),
            Input("ends", "choice", choices=element.ENDS, example="differ"),
            Input(
                "features",
                "table",
                columns=(
                    Input("feature", "choice", choices=tuple(_FEATURES)),
                    Input("new_mm", low=0, high=2000, above=True, source=_CALLIPER),
                    Input("old_mm", low=0, high=2000, above=True, source=_CALLIPER, optional=True),
                    Input("listed_mm", low=0, high=2000, above=True, source=_CALLIPER, optional=True),
                ),
                optional=True,
                example=[["part_length", "217.6", "217.2", "218"]],
            ),
            Input("number", "text", optional=True, example="MA-7310-22"),
            Input("listed_number", "text", optional=True, example="MA-7310-22"),
            Input("refused", "text", optional=True),
            Input("serial", "text", optional=True),
            Input("sheet", "sheet", optional=True),
            Input("part", "text", optional=True),
        ),
        _element,
        element.compare,
        _tell_element,
        ("element_answer", "upside_down", "unproven_count"),
        (f"order of looking, tolerances: {_PRACTICE}",),
        topic="seal",
        formulas=(r"\left| x_\text{new} - x_\text{listed or old} \right| \le \Delta x",),
        fine=True,
    ),
)
