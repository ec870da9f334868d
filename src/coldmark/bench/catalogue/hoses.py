"""Calculations on hoses: which end it is, and how old the hose is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import hose, pictures, words
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.working import Range

__all__ = ["ENTRIES"]

_ENDS = "ends of hydraulic hoses"
_VERDICTS = {"identified": "identified", "several": "several", "none": "not_identified"}


def _end(values: Values) -> Mapping[str, Any]:
    return {
        "measured": {
            "thread_mm": values["hose_thread_mm"],
            "sex": values["sex"],
            "pitch_mm": values["hose_pitch_mm"],
            "tpi": values["hose_tpi"],
            "seat": values["seat"],
            "tube_mm": values["tube_mm"],
        },
        "bore_mm": values["hose_bore_mm"],
    }


def _found_end(measured: Mapping[str, Any], bore_mm: float | None) -> tuple[hose.Ends, hose.HoseSize | None]:
    return hose.identify(**measured), None if bore_mm is None else hose.size_of(bore_mm)


def _tell_end(both: tuple[hose.Ends, hose.HoseSize | None], values: Values, units: words.UnitSystem) -> Answer:
    found, size = both
    ends = [one.end for one in found.fitting]
    sizes = dict.fromkeys(end.size for end in ends)
    dash = ends[0].dash if ends and all(end.dash == ends[0].dash for end in ends) else None
    one = ends[0] if found.state == "identified" else None
    seat = one.seat if one is not None else values["seat"]
    says = hose.says(found, units)
    if size is not None:
        says += hose.says(size, units)
    return Answer(
        says=tuple(says),
        fields={
            "verdict": _VERDICTS[found.state],
            "end_threads": ", ".join(dict.fromkeys(end.thread for end in ends)) or None,
            "end_size": ", ".join(sizes) or None,
            "dash": None if dash is None else float(dash),
            "hose_dash": None if size is None else float(size.dash),
        },
        working=found.working if size is None else found.working + size.working,
        picture=pictures.hose_end(
            values["hose_thread_mm"],
            values["sex"],
            seat=seat,
            name="" if one is None else one.thread,
            units=units,
        ),
        notes=(*hose.says_alike(found), *hose.cautions()),
    )


def _age(values: Values) -> Mapping[str, Any]:
    return {"stamp": values["stamp"], "today": values["today"], "kept": values["kept"]}


def _tell_age(found: hose.Age, _values: Values, units: words.UnitSystem) -> Answer:
    return Answer(
        says=tuple(hose.says(found, units)),
        fields={
            "verdict": found.verdict,
            "age_months": Range(found.months.value, found.months.low, found.months.high),
            "made_first": found.made.first.isoformat(),
            "made_last": found.made.last.isoformat(),
        },
        working=found.working,
        notes=hose.cautions(),
    )


ENTRIES = (
    Entry(
        "hose_end",
        (
            Input("hose_thread_mm", low=5, high=80, source=_ENDS, example="18.95", step=0.1),
            Input("sex", "choice", choices=hose.SEXES, example="male"),
            Input("hose_pitch_mm", low=0.5, high=4, source=_ENDS, optional=True, example="1.59", step=0.1),
            Input("hose_tpi", low=6, high=50, source=_ENDS, optional=True, step=1),
            Input("seat", "choice", choices=hose.SEATS, optional=True, example="flare_37"),
            Input("tube_mm", low=2, high=60, source=_ENDS, optional=True, step=1),
            Input("hose_bore_mm", low=4, high=55, source="hoses of -3 to -32", optional=True, step=0.1),
        ),
        _end,
        _found_end,
        _tell_end,
        ("verdict", "end_threads", "end_size", "dash", "hose_dash"),
        (
            "ISO 8434-1 (as DIN 3902), ISO 6149, ASME B1.20.1: as printed in stored excerpts",
            "ISO 228-1: library bd-warehouse 0.4.0",
            "ISO 8434-2, ISO 8434-3, SAE J512, ISO 11926: from memory where no excerpt has them, marked at each end",
        ),
        "hose",
        (
            r"D_1 = d - 1.0825\,P \;(60^\circ),\quad D_1 = d - 1.2807\,P \;(55^\circ)",
            r"\text{dash} = \frac{16 \cdot d}{25.4\,\mathrm{mm}}",
        ),
    ),
    Entry(
        "hose_age",
        (
            Input("stamp", "text", example="2Q18"),
            Input("today", "day", example="2026-03-02"),
            Input("kept", "choice", choices=hose.KEPT, default="in_use"),
        ),
        _age,
        hose.age,
        _tell_age,
        ("verdict", "age_months", "made_first", "made_last"),
        ("DIN 20066, ISO 8331, ISO/TR 17165-2 and the marking of EN 853 hoses: as printed in stored excerpts",),
        "hose",
        (r"\text{age} = \text{today} - \text{date of manufacture}",),
    ),
)
