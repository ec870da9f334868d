"""Filters: what flow and cold oil do to them, when the bypass stands open, and what the lamp means.

>>> from coldmark.bench import filter, oil
>>> stage = filter.Stage("return", 0.35, 0.20, 100)
>>> round(filter.pressure_drop(stage, 100, oil.Oil("Valley 46", 46, 6.8, density15_kg_m3=880), 0).total_bar, 1)
7.2
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from coldmark.bench.later import later

if TYPE_CHECKING:
    from coldmark.bench.filter.drop import Drop, pressure_drop, share_bypassed
    from coldmark.bench.filter.model import Bypass, Function, Pump, Stage
    from coldmark.bench.filter.returning import ReturnFlow, Returning, area_ratio, return_flow
    from coldmark.bench.filter.saying import says
    from coldmark.bench.filter.warm import Alarm, Crossing, WarmLine, WarmUp, alarm, warm_up
else:
    __getattr__ = later(
        __name__,
        drop=("Drop", "pressure_drop", "share_bypassed"),
        model=("Bypass", "Function", "Pump", "Stage"),
        returning=("ReturnFlow", "Returning", "area_ratio", "return_flow"),
        saying=("says",),
        warm=("Alarm", "Crossing", "WarmLine", "WarmUp", "alarm", "warm_up"),
    )

__all__ = [
    "Alarm",
    "Bypass",
    "Crossing",
    "Drop",
    "Function",
    "Pump",
    "ReturnFlow",
    "Returning",
    "Stage",
    "WarmLine",
    "WarmUp",
    "alarm",
    "area_ratio",
    "pressure_drop",
    "return_flow",
    "says",
    "share_bypassed",
    "warm_up",
]
