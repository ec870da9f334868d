"""Whether a machine loses oil, from readings of its level over months."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import level, words
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values

__all__ = ["ENTRIES"]

_MARKS = "0 is the lower mark, 1 the upper"
_CAN_SHARE = 0.02  # a can's mark, as in the litre balance


def _seen(values: Values) -> Mapping[str, Any]:
    system = values["sheet"].hydraulic
    levels = [
        level.LevelAt(
            row["hours_h"],
            level.Stand(row["reading"], row["oil_c"], row["posture"] or system.check_posture),
            moved_l=row["net_l"],
            moved_spread_l=abs(row["net_l"]) * _CAN_SHARE,
        )
        for row in values["levels"]
    ]
    return {"system": system, "levels": levels, "oil": values["inside"]}


def _tell(found: level.Losses, _values: Values, units: words.UnitSystem) -> Answer:
    return Answer(
        says=tuple(level.says_losses(found, units)),
        fields={"lost_100h_l": found.litres_100h, "drops_a_minute": round(found.drops_min, 1), "span_h": found.hours_h},
        working=found.working,
    )


ENTRIES = (
    Entry(
        "losing",
        (
            Input("sheet", "sheet"),
            Input(
                "levels",
                "table",
                columns=(
                    Input("hours_h", low=0, high=200_000, source="hour meters", step=10),
                    Input("reading", "reading", low=-1, high=2, source=_MARKS, step=0.05),
                    Input("oil_c", low=-40, high=120, source="hydraulic oil at work", step=1),
                    Input("net_l", low=-500, high=500, source="a machine's oil", default="0", step=0.5),
                    Input("posture", "text", optional=True),
                ),
                example=[
                    ["1000", "0.85", "15"],
                    ["1060", "0.76", "12"],
                    ["1130", "0.69", "20"],
                    ["1200", "0.82", "18", "2.0"],
                    ["1270", "0.74", "22"],
                ],
            ),
            Input("inside", "oil", optional=True),
        ),
        _seen,
        level.losses,
        _tell,
        ("lost_100h_l", "drops_a_minute", "span_h"),
        ("conservation of mass, see docs/how/level.md", "weighted least squares", "drops: common practice, no source"),
        topic="level",
        formulas=(
            r"V_{15,i} = \frac{m_i}{\rho_{15}} - \sum_{j \le i} V_{\text{poured},j}",
            r"q = -100\,\frac{\sum_i w_i\,(h_i-\bar h)(V_{15,i}-\bar V)}{\sum_i w_i\,(h_i-\bar h)^2},"
            r"\quad w_i = \frac{1}{\sigma_i^2}",
        ),
    ),
)
