"""Mass is kept: where the oil stands after a change of posture or temperature."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import Protocol

from coldmark.bench.errors import Missing
from coldmark.bench.level.model import Material
from coldmark.bench.level.tank import GROWTH_PER_K, REFERENCE_C, Scale
from coldmark.bench.oil.density import density_at
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Range

__all__ = ["USUAL_KG_M3", "HasDensity", "Oilbody", "UsualOil", "Where", "combine", "knows_density", "remembered"]


class HasDensity(Protocol):
    """What the level needs to know of an oil: :class:`coldmark.bench.oil.Oil` has it."""

    def density(self, t_c: float) -> float:
        """Density [kg/m³] at a temperature [°C]."""
        ...


USUAL_KG_M3 = 875.0
"""Density at 15 °C that is assumed where nobody knows it: mineral oils of VG 32 to 68 lie within 15 of it (common
practice, no source), which moves their growth by less than two parts in a hundred."""


class UsualOil:
    """A mineral oil that nobody knows more of: its density alone, assumed."""

    def density(self, t_c: float) -> float:
        """Density [kg/m³] at a temperature [°C]."""
        return density_at(USUAL_KG_M3, t_c)


def knows_density(oil: HasDensity) -> bool:
    """Say whether an oil's own density is known."""
    try:
        oil.density(15.0)
    except Missing:
        return False
    return True


def remembered(oil: HasDensity) -> Callable[[float], float]:
    """Return the oil's density as a function that works out each temperature once."""
    known: dict[float, float] = {}

    def density(t_c: float) -> float:
        found = known.get(t_c)
        if found is None:
            found = known[t_c] = oil.density(t_c)
        return found

    return density


@dataclass(frozen=True, slots=True)
class Where:
    """Under what conditions the oil stands: temperatures in and outside the tank [°C], litres drawn from the tank
    beyond the check posture [L]."""

    tank_c: float
    outside_c: float
    drawn_l: float = 0.0


@dataclass(frozen=True, slots=True)
class Oilbody:
    """All the oil of one system, for one choice of what is not exactly known.

    ``at_lower_l`` is what the tank holds at the lower mark, ``outside_l`` what is outside it in the check posture,
    taken as rigid and full.
    """

    scale: Scale
    at_lower_l: float
    outside_l: float
    material: Material
    density: Callable[[float], float]

    def tank_l(self, above_lower_l: float, t_c: float) -> float:
        """Litres in the tank at ``t_c`` when the oil stands ``above_lower_l`` [L at 20 °C] above the lower mark."""
        return (self.at_lower_l + above_lower_l) * (1.0 + GROWTH_PER_K[self.material] * (t_c - REFERENCE_C))

    def mass_kg(self, above_lower_l: float, where: Where) -> float:
        """Mass of all the oil [kg]."""
        outside = self.density(where.outside_c) * (self.outside_l + where.drawn_l)
        return (self.density(where.tank_c) * self.tank_l(above_lower_l, where.tank_c) + outside) / 1000.0

    def above_lower_l(self, mass_kg: float, where: Where) -> float:
        """Litres above the lower mark [L at 20 °C] at which a mass of oil stands."""
        outside = self.density(where.outside_c) * (self.outside_l + where.drawn_l)
        tank = (mass_kg * 1000.0 - outside) / self.density(where.tank_c)
        return tank / (1.0 + GROWTH_PER_K[self.material] * (where.tank_c - REFERENCE_C)) - self.at_lower_l

    def move_l(self, above_lower_l: float, before: Where, after: Where) -> float:
        """Carry the same oil from one condition to another: litres above the lower mark there."""
        return self.above_lower_l(self.mass_kg(above_lower_l, before), after)

    def move(self, reading: float, before: Where, after: Where) -> float:
        """Carry a reading from one condition to another."""
        return self.scale.reading(self.move_l(self.scale.litres(reading), before, after))


def combine(value: float, pairs: Iterable[tuple[float, float]]) -> Range:
    """Put independent uncertainties together: each pair is the result with one input at its low and its high end.

    Ups and downs are added in quadrature apart from each other, so that an input that can only push one way widens
    the range on that side alone.

    >>> combine(1.0, [(0.7, 1.3), (1.0, 1.4)])
    Range(value=1.0, low=0.7, high=1.5)
    """
    up = down = 0.0
    for pair in pairs:
        up += max(0.0, max(pair) - value) ** 2
        down += max(0.0, value - min(pair)) ** 2
    return Range(value, value - math.sqrt(down), value + math.sqrt(up))
