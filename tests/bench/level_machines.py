"""Machines for the tests of the level: invented excavators of ordinary proportions, and two oils."""

from __future__ import annotations

from dataclasses import dataclass

from coldmark.bench.level import Accumulator, Cylinder, Gauge, Material, Posture, System, Tank
from coldmark.bench.oil import Oil

__all__ = ["OIL", "Swelling", "excavator"]

OIL = Oil("Valley 46", 46, 6.8, density15_kg_m3=875)


@dataclass(frozen=True)
class Swelling:
    """An oil that grows by ``per_k`` of its volume at 20 °C for each kelvin; by nothing when that is zero."""

    per_k: float = 0.00075

    def density(self, t_c: float) -> float:
        return 870.0 / (1.0 + self.per_k * (t_c - 20.0))


# mass [t]: system, tank at the lower mark, between the marks [L]; bore, rod, stroke [mm] of boom, arm, bucket
_PROPORTIONS = {
    1.8: (24.0, 13.0, 4.0, ((65, 35, 450), (60, 35, 420), (55, 30, 380))),
    3.5: (48.0, 26.0, 7.5, ((80, 45, 600), (75, 45, 580), (65, 40, 480))),
    6.0: (95.0, 50.0, 14.0, ((110, 65, 850), (95, 60, 880), (85, 55, 700))),
}

_CHECK = Posture(
    "check", "arm out, bucket curled, resting on the ground, blade down", {"boom": 0, "arm": 0, "bucket": 1}
)
_TUCKED = Posture("tucked", "arm in, bucket curled", {"boom": 0, "arm": 1, "bucket": 1})
_REACHING = Posture("reaching", "boom up, arm in", {"boom": 1, "arm": 1, "bucket": 1}, charged=True)


def excavator(
    mass_t: float = 1.8,
    *,
    material: Material = "steel",
    hold_from_c: float | None = 45,
    hold_to_c: float | None = 60,
    hot_c: float | None = 58,
    between_marks_l: float | None = -1,
    at_lower_l: float | None = -1,
    system_l: float | None = -1,
    above_upper_l: float | None = None,
    below_lower_l: float | None = None,
    settle_min: float | None = None,
    accumulators: tuple[Accumulator, ...] = (),
    gauge: Gauge | None = None,
) -> System:
    """Return an invented excavator; -1 stands for what is ordinary for its mass."""
    system, at_lower, between, sizes = _PROPORTIONS[mass_t]
    names = ("boom", "arm", "bucket")
    return System(
        tank=Tank(
            material,
            between_marks_l=between if between_marks_l == -1 else between_marks_l,
            at_lower_l=at_lower if at_lower_l == -1 else at_lower_l,
            above_upper_l=above_upper_l,
            below_lower_l=below_lower_l,
        ),
        gauge=gauge or Gauge("glass", hold_from_c=hold_from_c, hold_to_c=hold_to_c),
        check_posture="check",
        postures={one.key: one for one in (_CHECK, _TUCKED, _REACHING)},
        system_l=system if system_l == -1 else system_l,
        cylinders=tuple(
            Cylinder(name, "double", bore, rod, stroke) for name, (bore, rod, stroke) in zip(names, sizes, strict=True)
        ),
        accumulators=accumulators,
        settle_min=settle_min,
        hot_c=hot_c,
    )
