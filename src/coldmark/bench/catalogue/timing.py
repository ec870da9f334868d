"""Calculations on how well a machine still works: cylinders that drift, functions that grow slow."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import pictures, timings, words
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.errors import Missing
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["ENTRIES"]

_OIL = "hydraulic oil at work"
_HOURS = "hour meters"
_WATCH = "a stop-watch"
_TAPE = "a tape on a rod"
_GAPS = "law of narrow gaps: leakage goes as pressure over viscosity, an assumption for what leaks here"
_HAND = "hand timing: standard deviation of 0.10 s, as printed in a stored excerpt"


def _timing(kind: timings.TimingKind, values: Values) -> timings.Timing | None:
    """Return the manual's test, where its most was told."""
    most_s, most_mm = values.get("most_time_s"), values.get("most_moved_mm")
    if most_s is None and most_mm is None:
        return None
    if most_mm is not None and values["most_within_min"] is None:
        needed_for = words.sentence("catalogue.cylinder_drift.needs_time")
        raise Missing(name="most_within_min", needed_for=needed_for)
    return timings.Timing(
        "told", "", kind, "", values["manual_oil_c"], most_s, most_mm, values.get("most_within_min"), None, None, "told"
    )


def _drifts(values: Values) -> Mapping[str, Any]:
    history = [
        timings.Timed(
            "drift",
            watched_min=row["watched_min"],
            moved_mm=row["moved_by_mm"],
            oil_c=row["oil_c"],
            load_kg=row["timed_load_kg"],
            hours=row["timed_hours_h"],
        )
        for row in values["drifts"]
    ]
    return {"history": history, "timing": _timing("drift", values), "oil": values["inside"]}


def _times(values: Values) -> Mapping[str, Any]:
    history = [
        timings.Timed(
            "cycle",
            time_s=row["timed_s"],
            oil_c=row["oil_c"],
            hours=row["timed_hours_h"],
            runs=1 if row["timed_runs"] is None else row["timed_runs"],
            engine_rpm=row["timed_speed_rpm"],
        )
        for row in values["times"]
    ]
    return {"history": history, "timing": _timing("cycle", values), "oil": values["inside"]}


def _verdict(found: timings.Trend) -> str:
    return "timing_first" if found.compared is None else f"timing_{found.compared.way}"


def _tell(found: timings.Trend, unit: str, units: words.UnitSystem) -> Answer:
    compared = found.compared
    name = "time" if found.kind == "cycle" else "drift"
    more = None
    if compared is not None and compared.ratio is not None:
        ratio = compared.ratio
        more = Range(ratio.value - 1, ratio.low - 1, ratio.high - 1)
    symbol = "T" if found.kind == "cycle" else "v"
    own = Step("working.timings.ratio", symbol, (), found.latest.value, unit, _HAND if unit == "s" else _TAPE)
    return Answer(
        says=tuple(timings.says(found, units)),
        fields={
            "timing_verdict": _verdict(found),
            "sheet_verdict": None if found.sheet is None else f"timing_{found.sheet}",
            f"{name}_now_{unit}": found.latest.measured if compared is None else compared.now,
            f"{name}_first_{unit}": found.points[0].value if found.points else None,
            "more_share": more,
            f"rise_{unit}": found.per_1000h,
        },
        working=found.working if compared is not None else Working((own,)),
        picture=pictures.timing_trend(found.points, found.kind, most=found.most, units=units) if found.points else None,
        notes=tuple(words.sentence(f"timings.caution.{one}") for one in ("under", "where")),
    )


def _tell_drift(found: timings.Trend, values: Values, units: words.UnitSystem) -> Answer:
    told = _tell(found, "mm_min", units)
    column, cooled = values["column_mm"], values["cooled_k"]
    if column is None or cooled is None:
        return told
    shrinks = timings.shrinkage_mm(column, cooled)
    step = Step(
        "working.timings.shrinkage",
        "length · 0.0007 · cooling",
        (Given("length", column, "mm", "told"), Given("cooling", cooled, "k", "told")),
        shrinks,
        "mm",
        "0.0007 per kelvin, as printed in a stored excerpt",
    )
    note = words.sentence(
        "catalogue.cylinder_drift.shrinks", units=units, moved_mm=found.latest.moved_mm or 0.0, shrinks_mm=shrinks
    )
    return Answer((*told.says, note), told.fields, told.working + Working((step,)), told.picture, told.notes)


def _tell_time(found: timings.Trend, _values: Values, units: words.UnitSystem) -> Answer:
    told = _tell(found, "s", units)
    return Answer(told.says, told.fields, told.working, told.picture, ())


_WARMTH = Input("oil_c", low=-40, high=120, source=_OIL, optional=True, step=1)
_AT_HOURS = Input("timed_hours_h", low=0, high=200_000, source=_HOURS, optional=True, step=10)
_MANUAL_OIL = Input("manual_oil_c", low=-40, high=120, source=_OIL, optional=True, step=1)

ENTRIES = (
    Entry(
        "cylinder_drift",
        (
            Input(
                "drifts",
                "table",
                columns=(
                    Input("moved_by_mm", low=0, high=5000, source=_TAPE, step=1),
                    Input("watched_min", low=0, high=1440, above=True, source=_WATCH, step=1),
                    _WARMTH,
                    _AT_HOURS,
                    Input("timed_load_kg", low=0, high=100_000, source="loads", optional=True, step=10),
                ),
                example=[["6", "10", "50", "1200"], ["9", "10", "52", "1700"], ["21", "10", "48", "2250"]],
            ),
            Input("most_moved_mm", low=0, high=5000, above=True, source=_TAPE, optional=True, example="20", step=1),
            Input("most_within_min", low=0, high=1440, above=True, source=_WATCH, optional=True, example="5", step=1),
            _MANUAL_OIL,
            Input("inside", "oil", optional=True),
            Input("column_mm", low=0, high=10_000, source="strokes", optional=True, step=10),
            Input("cooled_k", low=0, high=80, source="oil that cools", optional=True, step=1),
        ),
        _drifts,
        timings.trend,
        _tell_drift,
        ("timing_verdict", "sheet_verdict", "drift_now_mm_min", "drift_first_mm_min", "more_share", "rise_mm_min"),
        (_GAPS, "tape to 1 mm: common practice, no source", _HAND),
        "health",
        (
            r"v = \frac{\Delta s}{\Delta t},\quad v_0 = v\,\frac{\nu(t)}{\nu(t_0)}",
            r"\Delta s_\mathrm{cool} = l \cdot 0.0007\,\Delta\vartheta",
        ),
    ),
    Entry(
        "function_slower",
        (
            Input(
                "times",
                "table",
                columns=(
                    Input("timed_s", low=0, high=600, above=True, source=_WATCH, step=0.1),
                    _WARMTH,
                    _AT_HOURS,
                    Input("timed_runs", "whole", low=1, high=100, source="runs", optional=True, step=1),
                    Input("timed_speed_rpm", low=0, high=5000, source="engines", optional=True, step=50),
                ),
                example=[["3.1", "50", "1200", "3"], ["3.2", "47", "1700", "3"], ["3.9", "52", "2250", "3"]],
            ),
            Input("most_time_s", low=0, high=600, above=True, source=_WATCH, optional=True, example="3.6", step=0.1),
            _MANUAL_OIL,
            Input("inside", "oil", optional=True),
        ),
        _times,
        timings.trend,
        _tell_time,
        ("timing_verdict", "sheet_verdict", "time_now_s", "time_first_s", "more_share", "rise_s"),
        (_GAPS, "a twentieth of the flow slips back: assumed", _HAND),
        "health",
        (r"T_0 = T\,\frac{1 - s\,\nu(t_0)/\nu(t)}{1 - s}",),
    ),
)
