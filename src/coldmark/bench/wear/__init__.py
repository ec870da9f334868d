"""Wear: how fast metal comes into the oil between samples, what a change leaves behind, and the limits others print.

>>> rate(12, 18, 500, 200).verdict
'gaining'
"""

from coldmark.bench.wear.fill import Fill, Sample, fill
from coldmark.bench.wear.limits import SYSTEMS, Limit, limits, passed
from coldmark.bench.wear.rate import USUAL_DENSITY_KG_M3, Wear, rate, repeats_within
from coldmark.bench.wear.saying import says
from coldmark.bench.wear.tank import after

__all__ = [
    "SYSTEMS",
    "USUAL_DENSITY_KG_M3",
    "Fill",
    "Limit",
    "Sample",
    "Wear",
    "after",
    "fill",
    "limits",
    "passed",
    "rate",
    "repeats_within",
    "says",
]
