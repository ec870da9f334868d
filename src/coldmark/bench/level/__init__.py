"""The oil level: what a reading says, how much to add, and the cold mark to fill to now.

A reading is 0 at the lower mark and 1 at the upper. Mass is kept: whatever posture and temperature do, the oil of the
whole system stays the same, and the tank holds what is not outside it. How it is worked out: docs/how/level.md.
"""

from coldmark.bench.level.cold import ColdMark, cold_mark
from coldmark.bench.level.feel import QUARTERS, WARMTHS, Felt, Warmth, felt, quarter
from coldmark.bench.level.gained import Stand, gained_l
from coldmark.bench.level.glass import GlassMoves, glass_moves
from coldmark.bench.level.learn import Learned, LevelPour, learn, with_learned
from coldmark.bench.level.losses import LevelAt, Losses, losses, says_losses
from coldmark.bench.level.mass import USUAL_KG_M3, HasDensity, Oilbody, UsualOil, Where
from coldmark.bench.level.model import (
    Accumulator,
    Cylinder,
    CylinderKind,
    Gauge,
    GaugeKind,
    Lying,
    Material,
    Posture,
    Reading,
    System,
    Table,
    Tank,
    Upright,
    UprightRound,
)
from coldmark.bench.level.outside import (
    Standing,
    accumulator_l,
    cylinder_draw_l,
    cylinder_holds_l,
    draw_l,
    extremes_l,
    standing_of,
)
from coldmark.bench.level.read import read
from coldmark.bench.level.rising import RISES_SHARE, rising
from coldmark.bench.level.setting import Off
from coldmark.bench.level.slope import SlewedReading, mean_of_two, slope_mm, slope_share
from coldmark.bench.level.tank import GROWTH_PER_K, Scale, Shape, growth, height_mm, scale_of, volume_l
from coldmark.bench.level.verdict import LevelVerdict, Said, State, says, says_off

__all__ = [
    "GROWTH_PER_K",
    "QUARTERS",
    "RISES_SHARE",
    "USUAL_KG_M3",
    "WARMTHS",
    "Accumulator",
    "ColdMark",
    "Cylinder",
    "CylinderKind",
    "Felt",
    "Gauge",
    "GaugeKind",
    "GlassMoves",
    "HasDensity",
    "Learned",
    "LevelAt",
    "LevelPour",
    "LevelVerdict",
    "Losses",
    "Lying",
    "Material",
    "Off",
    "Oilbody",
    "Posture",
    "Reading",
    "Said",
    "Scale",
    "Shape",
    "SlewedReading",
    "Stand",
    "Standing",
    "State",
    "System",
    "Table",
    "Tank",
    "Upright",
    "UprightRound",
    "UsualOil",
    "Warmth",
    "Where",
    "accumulator_l",
    "cold_mark",
    "cylinder_draw_l",
    "cylinder_holds_l",
    "draw_l",
    "extremes_l",
    "felt",
    "gained_l",
    "glass_moves",
    "growth",
    "height_mm",
    "learn",
    "losses",
    "mean_of_two",
    "quarter",
    "read",
    "rising",
    "says",
    "says_losses",
    "says_off",
    "scale_of",
    "slope_mm",
    "slope_share",
    "standing_of",
    "volume_l",
    "with_learned",
]
