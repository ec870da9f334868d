"""What the whole system has gained between two readings, after posture and temperature."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace

from coldmark.bench.errors import Missing, NotANumber, require_between
from coldmark.bench.level.mass import HasDensity, combine
from coldmark.bench.level.model import Reading, System
from coldmark.bench.level.outside import cylinder_draw_l, draw_l, standing_of
from coldmark.bench.level.setting import LEAST_WARMTH, Case, Setting, prepare
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Range

__all__ = ["Doubt", "Stand", "doubt_of", "gained_l", "litres_at_15", "shared_doubts"]

_BASE_C = 15.0


@dataclass(frozen=True, slots=True)
class Stand:
    """A level as it was read: the reading, the oil's temperature [°C] with its spread [K], and the posture."""

    reading: Reading
    oil_c: float
    posture: str | Mapping[str, float]
    oil_spread_k: float = 2.0


@dataclass(frozen=True, slots=True)
class Doubt:
    """A case with how far its reading, temperature and rods may be off."""

    case: Case
    reading: float
    oil_k: float
    drawn_l: float

    def ends(self) -> Iterator[tuple[Case, Case]]:
        """Yield the case with one value at its low and its high end."""
        for name, off in (("reading", self.reading), ("oil_c", self.oil_k), ("drawn_l", self.drawn_l)):
            value = getattr(self.case, name)
            yield replace(self.case, **{name: value - off}), replace(self.case, **{name: value + off})


def doubt_of(setting: Setting, name: str, stand: Stand) -> Doubt:
    """Return a reading as a case, with how far its reading, its temperature and its rods may be off."""
    system = setting.system
    if isinstance(stand.reading, str):
        raise NotANumber(name=name, value=stand.reading, right="0.45")
    require_between(f"{name}_share", stand.reading, -1.0, 2.0, "0 is the lower mark, 1 the upper")
    require_between("oil_c", stand.oil_c, -40.0, 120.0, "hydraulic oil at work")
    standing = standing_of(system, stand.posture)
    in_check = standing.key == system.check_posture
    drawn = 0.0 if in_check else draw_l(system, standing)
    spread = (cylinder_draw_l(one, 1.0) * standing.spread_of(one.name) for one in system.cylinders)
    at_lower = 0.0 if setting.at_lower is None else setting.at_lower.value
    case = Case(stand.reading, stand.oil_c, at_lower, drawn_l=drawn)
    return Doubt(case, system.gauge.resolution, stand.oil_spread_k, 0.0 if in_check else math.hypot(*spread))


def litres_at_15(setting: Setting, case: Case) -> float:
    """Return all the oil of the system by one case [L at 15 °C]."""
    body = setting.body(case)
    if body is None:
        missing = "between_marks_l" if setting.scale is None else "system_l"
        raise Missing(name=missing, needed_for="what the level has gained")
    mass = body.mass_kg(body.scale.litres(case.reading), setting.where(case.oil_c, case.warmth, case.drawn_l))
    return mass * 1000.0 / setting.density(_BASE_C)


def gained_l(
    system: System, first: Stand, second: Stand, *, oil: HasDensity | None = None, air_c: float | None = None
) -> Range:
    """Return how much more oil the whole system holds at the second reading than at the first.

    Parameters
    ----------
    system
        The hydraulic system.
    first, second
        The two readings, in whatever postures and at whatever temperatures.
    oil
        The oil, for its density; where it is not known, a usual mineral oil is assumed.
    air_c
        The air's temperature [°C]; lets the range hold that the oil outside the tank is colder.

    Returns
    -------
    Range
        Litres at 15 °C [L]; negative where oil has gone.

    Valid for
        Readings within the glass; everything outside the tank rigid and full. What is the same for both readings
        (litres at the lower mark and between the marks) is varied for both at once.

    Raises
    ------
    NotANumber
        When a reading is *below* or *above*.
    Missing
        When the litres between the marks or the system's litres are not known.
    OutOfRange, NotAChoice
        When a value cannot be.

    Source
        Conservation of mass; see docs/how/level.md.

    Examples
    --------
    >>> from coldmark.bench.level.model import Gauge, Posture, Tank
    >>> tank = Tank("steel", between_marks_l=4.0, at_lower_l=13.0)
    >>> small = System(tank=tank, gauge=Gauge("glass"), check_posture="parked",
    ...                postures={"parked": Posture("parked", "arm in", {})}, system_l=24.0)
    >>> round(gained_l(small, Stand(0.2, 15, "parked"), Stand(0.7, 15, "parked")).value, 2)
    2.0
    """
    setting = prepare(system, oil=oil, air_c=air_c)
    before, after = (doubt_of(setting, name, stand) for name, stand in (("first", first), ("second", second)))

    def gain(one: Case, other: Case) -> float:
        return litres_at_15(setting, other) - litres_at_15(setting, one)

    pairs = [(gain(low, after.case), gain(high, after.case)) for low, high in before.ends()]
    pairs += [(gain(before.case, low), gain(before.case, high)) for low, high in after.ends()]
    for changed in shared_doubts(setting):
        ends = [gain(replace(before.case, **one), replace(after.case, **one)) for one in changed]
        pairs.append((min(ends), max(ends)))
    return combine(gain(before.case, after.case), pairs)


def shared_doubts(setting: Setting) -> Iterator[tuple[dict[str, float], dict[str, float]]]:
    """Yield what is not exactly known and the same for both readings, at its two ends."""
    if setting.air_c is not None:
        yield {"warmth": LEAST_WARMTH}, {"warmth": 1.0}
    at_lower, between = setting.at_lower, setting.between
    if at_lower is not None and at_lower.width > 0:
        yield {"at_lower_l": at_lower.low}, {"at_lower_l": at_lower.high}
    if between is not None and between.width > 0:
        yield {"between": between.low / between.value}, {"between": between.high / between.value}
