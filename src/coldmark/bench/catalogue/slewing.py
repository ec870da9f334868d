"""The level on uneven ground, from two readings half a turn apart."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import level, pictures, words
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.errors import NotANumber
from coldmark.bench.working import Given, Step, Working

__all__ = ["ENTRIES"]

_MARKS = "0 is the lower mark, 1 the upper"
_GEOMETRY = "a half turn changes the sign of pitch and roll: geometry"


def _prepare(values: Values) -> Mapping[str, Any]:
    return {"first": values["reading"], "second": values["second_reading"]}


def _mean(first: level.Reading, second: level.Reading) -> level.SlewedReading:
    names = {"first": "reading", "second": "second_reading", "first_share": "reading", "second_share": "second_reading"}
    try:
        return level.mean_of_two(first, second)
    except NotANumber as refused:
        raise NotANumber(name=names[refused.name], value=str(refused.values["value"]), right="0.45") from None


def _tell(found: level.SlewedReading, values: Values, units: words.UnitSystem) -> Answer:
    moved = abs(found.slope_share)
    step = Step(
        "working.level.slewed",
        "(first + second) / 2",
        (Given("first", values["reading"], "", "measured"), Given("second", values["second_reading"], "", "measured")),
        found.reading,
        "",
        _GEOMETRY,
    )
    return Answer(
        says=(
            words.sentence("catalogue.two_readings.says", units=units, level_share=found.reading, moved_share=moved),
            words.sentence(f"catalogue.two_readings.{'steep' if moved > STEEP_SHARE else 'go_on'}", units=units),
        ),
        fields={"level_share": found.reading, "moved_share": found.slope_share},
        working=Working((step,)),
        picture=pictures.glass(found.reading),
        notes=(words.sentence("catalogue.two_readings.care", units=units),),
    )


STEEP_SHARE = 0.5
"""Where the slope moves the reading by more than half of the distance between the marks, one looks for other ground."""

ENTRIES = (
    Entry(
        "two_readings",
        (
            Input("reading", "reading", low=-1, high=2, source=_MARKS, example="0.7", step=0.05),
            Input("second_reading", "reading", low=-1, high=2, source=_MARKS, example="0.4", step=0.05),
        ),
        _prepare,
        _mean,
        _tell,
        ("level_share", "moved_share"),
        (_GEOMETRY,),
        topic="level",
        formulas=(r"h = \frac{h_1 + h_2}{2}", r"\Delta h_{\text{slope}} = \frac{h_1 - h_2}{2}"),
    ),
)
