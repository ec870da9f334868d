"""Filters: what flow and cold oil do to them, when the bypass stands open, and what the lamp means; how long an element
lasts, what dirt it leaves in the oil, and whether the pump gets enough.

>>> from coldmark.bench import filter, oil
>>> stage = filter.Stage("return", 0.35, 0.20, 100)
>>> round(filter.pressure_drop(stage, 100, oil.Oil("Valley 46", 46, 6.8, density15_kg_m3=880), 0).total_bar.value, 1)
7.2
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from coldmark.bench.later import later

if TYPE_CHECKING:
    from coldmark.bench.filter.balance import Passing, Settled, cleaning_time, count_after, settle
    from coldmark.bench.filter.beta import beta_by_counts, beta_of, effective_beta, efficiency, explain_beta
    from coldmark.bench.filter.counts import Judged, compare_codes, expected_code, judge
    from coldmark.bench.filter.drop import Drop, pressure_drop, share_bypassed
    from coldmark.bench.filter.expecting import Expected, against_expected
    from coldmark.bench.filter.getting_in import Ingress, ingress_by_count
    from coldmark.bench.filter.inlet import Inlet, Suction, inlet_bar, suction
    from coldmark.bench.filter.lasting import Life, life, life_so_far
    from coldmark.bench.filter.loading import Left, life_left
    from coldmark.bench.filter.model import Bypass, Function, Pump, Stage, SuctionLine
    from coldmark.bench.filter.pipe import air_bar, friction, reynolds_number
    from coldmark.bench.filter.returning import ReturnFlow, Returning, area_ratio, return_flow
    from coldmark.bench.filter.saying import says
    from coldmark.bench.filter.warm import Alarm, Crossing, WarmLine, WarmUp, alarm, warm_up
else:
    __getattr__ = later(
        __name__,
        balance=("Passing", "Settled", "cleaning_time", "count_after", "settle"),
        beta=("beta_by_counts", "beta_of", "effective_beta", "efficiency", "explain_beta"),
        counts=("Judged", "compare_codes", "expected_code", "judge"),
        drop=("Drop", "pressure_drop", "share_bypassed"),
        expecting=("Expected", "against_expected"),
        getting_in=("Ingress", "ingress_by_count"),
        inlet=("Inlet", "Suction", "inlet_bar", "suction"),
        lasting=("Life", "life", "life_so_far"),
        loading=("Left", "life_left"),
        model=("Bypass", "Function", "Pump", "Stage", "SuctionLine"),
        pipe=("air_bar", "friction", "reynolds_number"),
        returning=("ReturnFlow", "Returning", "area_ratio", "return_flow"),
        saying=("says",),
        warm=("Alarm", "Crossing", "WarmLine", "WarmUp", "alarm", "warm_up"),
    )

__all__ = [
    "Alarm",
    "Bypass",
    "Crossing",
    "Drop",
    "Expected",
    "Function",
    "Ingress",
    "Inlet",
    "Judged",
    "Left",
    "Life",
    "Passing",
    "Pump",
    "ReturnFlow",
    "Returning",
    "Settled",
    "Stage",
    "Suction",
    "SuctionLine",
    "WarmLine",
    "WarmUp",
    "against_expected",
    "air_bar",
    "alarm",
    "area_ratio",
    "beta_by_counts",
    "beta_of",
    "cleaning_time",
    "compare_codes",
    "count_after",
    "effective_beta",
    "efficiency",
    "expected_code",
    "explain_beta",
    "friction",
    "ingress_by_count",
    "inlet_bar",
    "judge",
    "life",
    "life_left",
    "life_so_far",
    "pressure_drop",
    "return_flow",
    "reynolds_number",
    "says",
    "settle",
    "share_bypassed",
    "suction",
    "warm_up",
]
