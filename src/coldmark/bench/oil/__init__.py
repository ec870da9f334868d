"""Oil: how thick and how heavy it is at any temperature, and whether another may be added.

>>> from coldmark.bench import oil
>>> oil.Oil("Valley 46", 46, 6.8).grade()
46
"""

from __future__ import annotations

from coldmark.bench.oil.blending import blend, blend_share, blend_viscosity, explain_blend
from coldmark.bench.oil.choice import HIGH_INDEX, ORDINARY_INDEX, Candidate, Choice, choose, usual_oils
from coldmark.bench.oil.cold import cold_factor, viscosity_in_the_cold
from coldmark.bench.oil.curve import Curve, curve_through
from coldmark.bench.oil.density import density_at, expansion_at_15, volume_factor
from coldmark.bench.oil.explain import explain_density, explain_expansion, explain_temperature, explain_viscosity
from coldmark.bench.oil.grades import GRADES, Grade, grade_of, neighbours
from coldmark.bench.oil.index import explain_index, kv100_from_index, reference_series, viscosity_index
from coldmark.bench.oil.model import ADDITIVES, BIO, FAMILIES, FLUIDS, Additive, Fluid, Oil
from coldmark.bench.oil.reason import Answer, Reason
from coldmark.bench.oil.text import from_text, oil_from_plain, oil_to_plain, template, text_hash
from coldmark.bench.oil.top_up import RESIDUE_LIMIT_SHARE, Allows, Verdict, may_top_up
from coldmark.bench.oil.window import PRACTICE, AsksViscosity, Edge, Limits, Window, window

__all__ = [
    "ADDITIVES",
    "BIO",
    "FAMILIES",
    "FLUIDS",
    "GRADES",
    "HIGH_INDEX",
    "ORDINARY_INDEX",
    "PRACTICE",
    "RESIDUE_LIMIT_SHARE",
    "Additive",
    "Allows",
    "Answer",
    "AsksViscosity",
    "Candidate",
    "Choice",
    "Curve",
    "Edge",
    "Fluid",
    "Grade",
    "Limits",
    "Oil",
    "Reason",
    "Verdict",
    "Window",
    "blend",
    "blend_share",
    "blend_viscosity",
    "choose",
    "cold_factor",
    "curve_through",
    "density_at",
    "expansion_at_15",
    "explain_blend",
    "explain_density",
    "explain_expansion",
    "explain_index",
    "explain_temperature",
    "explain_viscosity",
    "from_text",
    "grade_of",
    "kv100_from_index",
    "may_top_up",
    "neighbours",
    "oil_from_plain",
    "oil_to_plain",
    "reference_series",
    "template",
    "text_hash",
    "usual_oils",
    "viscosity_in_the_cold",
    "viscosity_index",
    "volume_factor",
    "window",
]
