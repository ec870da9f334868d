"""Seals: which O-ring it is, whether it fits its groove, and whether its material stands the oil.

>>> for said in says(identify(44.2, 3.0))[:2]:
...     print(said)
Not in this table. Do not put the nearest one in its place.
Nearest: 132 (44.12 mm × 2.62 mm); yours is 0.08 mm wider and 0.38 mm thicker.
"""

from coldmark.bench.seal.gland import Answer, Gland, Measure, gland
from coldmark.bench.seal.groove import KINDS, Groove, Kind
from coldmark.bench.seal.identify import FROM, Candidate, Found, From, identify
from coldmark.bench.seal.material import FLUIDS, MATERIALS, Known, Stand, fluid_of, stands
from coldmark.bench.seal.saying import notes, says
from coldmark.bench.seal.table import Limit, Ring, limits, measured, size, sizes

__all__ = [
    "FLUIDS",
    "FROM",
    "KINDS",
    "MATERIALS",
    "Answer",
    "Candidate",
    "Found",
    "From",
    "Gland",
    "Groove",
    "Kind",
    "Known",
    "Limit",
    "Measure",
    "Ring",
    "Stand",
    "fluid_of",
    "gland",
    "identify",
    "limits",
    "measured",
    "notes",
    "says",
    "size",
    "sizes",
    "stands",
]
