"""Cleanliness: particle counts as a three-number code, how clean oil should be, and how far off it is.

>>> str(code((1300, 160, 20)))
'17/14/11'
"""

from coldmark.bench.cleanliness.code import FEW, SIZES_UM, Code, Count, Mark, code, parse
from coldmark.bench.cleanliness.saying import says
from coldmark.bench.cleanliness.scale import OVER, bounds, scale_number
from coldmark.bench.cleanliness.targets import COMPONENTS, CONDITIONS, Comparison, Target, compare, target

__all__ = [
    "COMPONENTS",
    "CONDITIONS",
    "FEW",
    "OVER",
    "SIZES_UM",
    "Code",
    "Comparison",
    "Count",
    "Mark",
    "Target",
    "bounds",
    "code",
    "compare",
    "parse",
    "says",
    "scale_number",
    "target",
]
