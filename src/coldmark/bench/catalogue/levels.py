"""Calculations on the oil level of a machine with a data sheet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import level, pictures, words
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.errors import Missing, NotAChoice

__all__ = ["ENTRIES"]

_OIL = "hydraulic oil at work"
_AIR = "air at work"
_MARKS = "0 is the lower mark, 1 the upper"
_MASS = "conservation of mass, see docs/how/level.md"


_SHEET = Input("sheet", "sheet")
_READING = Input("reading", "reading", low=-1, high=2, source=_MARKS, example="0.35", step=0.05)
_OIL_C = Input("oil_c", low=-40, high=120, source=_OIL, example="8", step=1)
_AIR_C = Input("air_c", low=-40, high=55, source=_AIR, optional=True, example="5", step=1)
_COLDEST_C = Input("coldest_c", low=-40, high=55, source=_AIR, optional=True, example="-10", step=1)
_HOT_C = Input("hot_c", low=0, high=120, source=_OIL, optional=True, step=1)
_INSIDE = Input("inside", "oil", optional=True)

_KEPT = r"\rho(t)\,V_\mathrm{tank} + \rho(t_\mathrm{out})\,V_\mathrm{out} = \mathrm{const}"
_SCALE = r"V_\mathrm{tank} = (V_\mathrm{lower} + x\,V_\mathrm{between})\,(1 + \gamma\,(t - 20))"


def _rods(rows: list[dict[str, Any]]) -> dict[str, float]:
    return {row["rod"]: row["extension"] for row in rows}


def _oil_felt(values: Values) -> tuple[float, float]:
    """Return the oil's temperature and its spread: by the thermometer, else by hand."""
    if values["oil_c"] is not None:
        return values["oil_c"], 2.0
    if values["warmth"] is None:
        raise Missing(name="oil_c", needed_for=words.sentence("catalogue.the_level"))
    felt = level.felt(values["warmth"], values["air_c"])
    return felt.oil_c, felt.spread_k


def _read(values: Values) -> Mapping[str, Any]:
    system = values["sheet"].hydraulic
    posture = values["posture"] if values["rods"] is None else _rods(values["rods"])
    if posture is None:
        raise NotAChoice(name="posture", value="", choices=system.postures)
    oil_c, spread_k = _oil_felt(values)
    told = ("air_c", "coldest_c", "hot_c", "engine", "settled_min", "foam", "cannot_move", "pitch_deg", "roll_deg")
    return {
        "system": system,
        "reading": values["reading"],
        "oil_c": oil_c,
        "posture": posture,
        "oil": values["inside"],
        "oil_spread_k": spread_k,
    } | {name: values[name] for name in told}


def _tell_level(found: level.LevelVerdict, values: Values, units: words.UnitSystem) -> Answer:
    mark = found.cold_mark
    system = values["sheet"].hydraulic
    return Answer(
        says=tuple(level.says(found, units)),
        fields={
            "add_l": found.add_l,
            "at_least_l": found.at_least_l,
            "room_l": found.room_l,
            "cold_mark_share": None if mark is None else mark.mark,
            "check_share": found.check,
            "hot_share": found.hot,
            "coldest_share": found.coldest,
            "glass_off_l": found.glass_off_l,
            "state": found.state,
        },
        working=found.working,
        picture=pictures.glass(
            found.reading,
            cold_mark=None if mark is None or found.move_first else mark.mark.value,
            hot=None if found.hot is None else found.hot.value,
            kind=system.gauge.kind,
        ),
        notes=tuple(level.says_off(found, units)),
    )


def _cold(values: Values) -> Mapping[str, Any]:
    told = {name: values[name] for name in ("oil_c", "hot_c", "coldest_c", "air_c")}
    return {"system": values["sheet"].hydraulic, "oil": values["inside"]} | told


def _tell_cold(found: level.ColdMark, values: Values, units: words.UnitSystem) -> Answer:
    says = [words.sentence("catalogue.cold_mark.says", units=units, mark_share=found.mark.value)]
    if found.crosses:
        says.append(words.sentence("catalogue.cold_mark.crosses"))
    elif found.lowest is not None:
        says.append(words.sentence("catalogue.cold_mark.lowest", units=units, lowest_share=found.lowest.value))
    return Answer(
        says=tuple(says),
        fields={"cold_mark_share": found.mark, "highest_share": found.highest, "lowest_share": found.lowest},
        working=found.working,
        picture=pictures.glass(None, cold_mark=found.mark.value, kind=values["sheet"].hydraulic.gauge.kind),
        notes=tuple(words.sentence(f"level.off.{one.switches_off}", units=units) for one in found.off),
    )


def _moves(values: Values) -> Mapping[str, Any]:
    return {
        "system": values["sheet"].hydraulic,
        "first": (values["reading"], values["posture"]),
        "second": (values["second_reading"], values["second_posture"]),
        "oil_c": values["oil_c"],
        "oil": values["inside"],
    }


def _tell_moves(found: level.GlassMoves, _values: Values, units: words.UnitSystem) -> Answer:
    message = "catalogue.glass_moves.blocked" if found.blocked else "catalogue.glass_moves.free"
    shares = {"expected_share": found.expected, "seen_share": found.seen}
    return Answer(says=(words.sentence(message, units=units, **shares),), fields=shares, working=found.working)


def _learn(values: Values) -> Mapping[str, Any]:
    pours = [level.LevelPour(**row) for row in values["pours"]]
    return {"pours": pours, "oil": level.UsualOil()}


def _tell_learned(found: level.Learned, _values: Values, units: words.UnitSystem) -> Answer:
    between = found.between_l
    says = [
        words.sentence(
            "catalogue.litres_between.says",
            units=units,
            between_l=between.value,
            low_l=between.low,
            high_l=between.high,
        )
    ]
    if not found.believed:
        says.append(words.sentence("catalogue.litres_between.not_yet", units=units, covered_share=found.share))
    if found.left_out:
        rows = ", ".join(str(place + 1) for place in found.left_out)
        says.append(words.sentence("catalogue.litres_between.left_out", rows=rows))
    return Answer(says=tuple(says), fields={"between_l": between, "covered_share": found.share}, working=found.working)


ENTRIES = (
    Entry(
        "level",
        (
            _SHEET,
            _READING,
            Input("oil_c", low=-40, high=120, source=_OIL, optional=True, example="8", step=1),
            Input("warmth", "choice", choices=level.WARMTHS, optional=True),
            Input("posture", "text", optional=True),
            Input(
                "rods",
                "table",
                optional=True,
                columns=(
                    Input("rod", "text"),
                    Input("extension", low=0, high=1, source="0 is all the way in, 1 all the way out", step=0.25),
                ),
            ),
            _AIR_C,
            _COLDEST_C,
            _HOT_C,
            Input("engine", "choice", choices=("stopped", "idling"), optional=True),
            Input("settled_min", low=0, high=100_000, source="minutes since the engine stopped", optional=True, step=5),
            Input("foam", "truth"),
            Input("pitch_deg", low=-15, high=15, source="uneven ground", default="0", step=1),
            Input("roll_deg", low=-15, high=15, source="uneven ground", default="0", step=1),
            Input("cannot_move", "truth"),
            _INSIDE,
        ),
        _read,
        level.read,
        _tell_level,
        (
            "add_l",
            "at_least_l",
            "room_l",
            "cold_mark_share",
            "check_share",
            "hot_share",
            "coldest_share",
            "glass_off_l",
            "state",
        ),
        (_MASS,),
        "level",
        (_KEPT, _SCALE),
    ),
    Entry(
        "cold_mark",
        (_SHEET, _OIL_C, _HOT_C, _COLDEST_C, _AIR_C, _INSIDE),
        _cold,
        level.cold_mark,
        _tell_cold,
        ("cold_mark_share", "highest_share", "lowest_share"),
        (_MASS,),
        "level",
        (_KEPT, _SCALE, r"x(t_\mathrm{hot}) \le 1 - r,\quad x(t_\mathrm{coldest}) \ge r"),
    ),
    Entry(
        "glass_moves",
        (
            _SHEET,
            _READING,
            Input("posture", "text"),
            Input("second_reading", "reading", low=-1, high=2, source=_MARKS, example="0.35", step=0.05),
            Input("second_posture", "text"),
            _OIL_C,
            _INSIDE,
        ),
        _moves,
        level.glass_moves,
        _tell_moves,
        ("expected_share", "seen_share"),
        (_MASS,),
        "level",
        (r"\Delta x = -\frac{\sum n\,\frac{\pi}{4}\,d^2\,s\,\Delta e}{V_\mathrm{between}}",),
    ),
    Entry(
        "litres_between",
        (
            Input(
                "pours",
                "table",
                columns=(
                    Input("before", low=-1, high=2, source=_MARKS, step=0.05),
                    Input("litres_l", low=-500, high=500, source="one pour", step=0.5),
                    Input("after", low=-1, high=2, source=_MARKS, step=0.05),
                    Input("oil_c", low=-40, high=120, source=_OIL, step=1),
                    Input("jug_c", low=-40, high=120, source=_OIL, optional=True, step=1),
                ),
                example=[["0.2", "2.0", "0.7", "20"], ["0.1", "1.6", "0.5", "35", "10"]],
            ),
        ),
        _learn,
        level.learn,
        _tell_learned,
        ("between_l", "covered_share"),
        ("ratio of sums; see docs/how/level.md",),
        "level",
        (r"V_\mathrm{between} = \frac{\sum V_i}{\sum \Delta x_i}",),
    ),
)
