"""What a verdict on the oil level costs."""

from __future__ import annotations

from dataclasses import replace

from benchmarks import Measure, least_s
from coldmark.bench import level
from tests.bench.level_machines import OIL, excavator


def _verdict_ms(system: level.System) -> float:
    """One verdict with everything known and told."""

    def once() -> level.LevelVerdict:
        return level.read(system, 0.3, 5, "check", oil=OIL, coldest_c=-15, air_c=3, engine="stopped", settled_min=15)

    return 1000 * least_s(once, times=200)


def verdict_ms() -> float:
    """By the litres between the marks."""
    return _verdict_ms(excavator(3.5, above_upper_l=4.0, below_lower_l=8.0))


def verdict_by_shape_ms() -> float:
    """By a lying cylinder, the shape that takes longest."""
    machine = excavator(3.5, above_upper_l=4.0, below_lower_l=8.0)
    tank = replace(machine.tank, shape=level.Lying(360, 600), between_marks_l=None, at_lower_l=None)
    gauge = replace(machine.gauge, lower_mm=120, upper_mm=155)
    return _verdict_ms(replace(machine, tank=tank, gauge=gauge))


MEASURES = (
    Measure("a level verdict", 1.0, "ms", verdict_ms),
    Measure("a level verdict in a lying tank", 1.0, "ms", verdict_by_shape_ms),
)
