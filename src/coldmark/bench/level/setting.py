"""What is known for one reading: the machine, the temperatures that matter, and what nobody knows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from coldmark.bench.errors import Contradiction, require_between
from coldmark.bench.level.mass import HasDensity, Oilbody, UsualOil, Where, knows_density, remembered
from coldmark.bench.level.model import System
from coldmark.bench.level.outside import accumulator_l, cylinder_holds_l, extremes_l
from coldmark.bench.level.tank import Scale, scale_of
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Range

__all__ = ["Case", "Off", "Setting", "prepare", "spread"]

_TEMPERATURES = "hydraulic oil at work"

LEAST_WARMTH = 0.5
"""The oil outside the tank is taken to be as warm as the tank, and in the range at least half as far above the air."""


@dataclass(frozen=True, slots=True)
class Off:
    """Something that a missing value switches off: the value's name, and what goes without it.

    ``level.off.<switches_off>`` is the sentence.
    """

    missing: str
    switches_off: str


@dataclass(frozen=True, slots=True)
class Case:
    """One choice of all that is not exactly known: the central one, or one with a single value at an end."""

    reading: float
    oil_c: float
    at_lower_l: float
    warmth: float = 1.0
    between: float = 1.0
    drawn_l: float = 0.0


@dataclass(frozen=True, slots=True)
class Setting:
    """The machine and the temperatures, ready for the sums. ``None`` where a value is not known.

    ``marks_c`` is the temperature at which the upper mark is held against: the working temperature, brought into the
    range for which the marks hold.
    """

    system: System
    density: Callable[[float], float]
    scale: Scale | None
    at_lower: Range | None
    between: Range | None
    air_c: float | None
    hot_c: float | None
    coldest_c: float | None
    marks_c: float | None
    least_l: float
    most_l: float
    off: tuple[Off, ...]

    @property
    def resolution(self) -> float:
        """How well the gauge can be read, as a share of its span."""
        return self.system.gauge.resolution

    def body(self, case: Case) -> Oilbody | None:
        """Return all the oil for one case, or ``None`` where the system's litres or the scale are not known."""
        if self.scale is None or self.system.system_l is None:
            return None
        scale = self.scale.times(case.between)
        outside = self.system.system_l - case.at_lower_l - scale.litres(0.5)
        return Oilbody(scale, case.at_lower_l, outside, self.system.tank.material, self.density)

    def where(self, t_c: float, warmth: float, drawn_l: float = 0.0) -> Where:
        """Return the condition at a tank temperature, the outside ``warmth`` of the way from the air to the tank."""
        outside = t_c if self.air_c is None else self.air_c + warmth * (t_c - self.air_c)
        return Where(t_c, outside, drawn_l)


def _marks_c(system: System, hot_c: float | None) -> float | None:
    gauge = system.gauge
    low = gauge.hold_from_c if gauge.hold_from_c is not None else gauge.hold_to_c
    high = gauge.hold_to_c if gauge.hold_to_c is not None else low
    if low is None or high is None:
        return None
    return high if hot_c is None else min(max(hot_c, low), high)


def _held_l(system: System) -> float:
    """Litres that cylinders and accumulators hold at least in the check posture."""
    check = system.postures[system.check_posture]
    held = sum(cylinder_holds_l(one, check.extension.get(one.name, 0.0)) for one in system.cylinders)
    return held + (sum(accumulator_l(one) for one in system.accumulators) if check.charged else 0.0)


def _at_lower(system: System, scale: Scale | None) -> Range | None:
    """Litres at the lower mark: as stated, by the shape, or as wide as the system's litres leave open."""
    stated = system.tank.at_lower_l
    if stated is None and scale is not None and scale.shape is not None:
        stated = scale.shape_lower_l * scale.between_l / scale.shape_between_l
    if scale is None or system.system_l is None:
        return None if stated is None else Range(stated, stated, stated)
    most = system.system_l - scale.litres(0.5) - _held_l(system)
    if most < (stated or 0.0):
        alone = system.system_l - most + (stated or 0.0)
        raise Contradiction(name="system_l", value=system.system_l, why="level.cannot.alone", alone_l=alone)
    return Range(most / 2, 0.0, most) if stated is None else Range(stated, stated, stated)


def _between(system: System, scale: Scale | None) -> Range | None:
    if scale is None:
        return None
    tank = system.tank
    low = scale.between_l if tank.between_low_l is None else min(tank.between_low_l, scale.between_l)
    high = scale.between_l if tank.between_high_l is None else max(tank.between_high_l, scale.between_l)
    return Range(scale.between_l, low, high)


def _missing(system: System, scale: Scale | None, setting: dict[str, float | None]) -> tuple[Off, ...]:
    off: list[Off] = []
    if setting["marks_c"] is None:
        off.append(Off("hold_from_c", "cold_mark"))
    if scale is None:
        off.append(Off("between_marks_l", "litres"))
    if system.system_l is None:
        off.append(Off("system_l", "growth"))
    elif system.tank.at_lower_l is None and (scale is None or scale.shape is None):
        off.append(Off("at_lower_l", "narrow_range"))
    if setting["hot_c"] is None:
        off.append(Off("hot_c", "hot"))
    if setting["coldest_c"] is None:
        off.append(Off("coldest_c", "coldest"))
    if setting["air_c"] is None:
        off.append(Off("air_c", "outside_range"))
    if system.tank.above_upper_l is None:
        off.append(Off("above_upper_l", "breather"))
    if system.tank.below_lower_l is None:
        off.append(Off("below_lower_l", "suction"))
    return tuple(off)


def prepare(
    system: System,
    *,
    oil: HasDensity | None,
    air_c: float | None = None,
    hot_c: float | None = None,
    coldest_c: float | None = None,
) -> Setting:
    """Check the temperatures and gather what one reading needs; ``hot_c`` defaults to the system's own.

    Where no oil is told, or its density is not known, a usual mineral oil is assumed, and ``off`` says so.

    Raises
    ------
    OutOfRange
        When a temperature is outside what hydraulic oil and air have at work.
    Contradiction
        When the coldest start is above the working temperature, or the system holds less than tank and cylinders.
    """
    hot = system.hot_c if hot_c is None else require_between("hot_c", hot_c, 0.0, 120.0, _TEMPERATURES)
    if air_c is not None:
        require_between("air_c", air_c, -40.0, 55.0, "air at work")
    if coldest_c is not None:
        require_between("coldest_c", coldest_c, -40.0, 55.0, "air at work")
        if hot is not None and coldest_c > hot:
            raise Contradiction(name="coldest_c", value=coldest_c, why="level.cannot.above_hot", hot_c=hot)
    known_oil = oil if oil is not None and knows_density(oil) else None
    scale = scale_of(system.tank, system.gauge)
    marks_c = _marks_c(system, hot)
    least_l, most_l = extremes_l(system)
    known = {"marks_c": marks_c, "hot_c": hot, "coldest_c": coldest_c, "air_c": air_c}
    return Setting(
        system=system,
        density=remembered(known_oil or UsualOil()),
        scale=scale,
        at_lower=_at_lower(system, scale),
        between=_between(system, scale),
        air_c=air_c,
        hot_c=hot,
        coldest_c=coldest_c,
        marks_c=marks_c,
        least_l=least_l,
        most_l=most_l,
        off=_missing(system, scale, known) + (() if known_oil else (Off("density15_kg_m3", "density"),)),
    )


def spread(
    setting: Setting, central: Case, *, reading_share: float, oil_spread_k: float, drawn_spread_l: float = 0.0
) -> list[tuple[Case, Case]]:
    """Return pairs of cases, each with one value at its low and its high end, for what is not exactly known."""
    pairs: list[tuple[Case, Case]] = []
    if reading_share > 0:
        low, high = central.reading - reading_share, central.reading + reading_share
        pairs.append((replace(central, reading=low), replace(central, reading=high)))
    if oil_spread_k > 0:
        cold, warm = central.oil_c - oil_spread_k, central.oil_c + oil_spread_k
        pairs.append((replace(central, oil_c=cold), replace(central, oil_c=warm)))
    if drawn_spread_l > 0:
        less, more = central.drawn_l - drawn_spread_l, central.drawn_l + drawn_spread_l
        pairs.append((replace(central, drawn_l=less), replace(central, drawn_l=more)))
    if setting.air_c is not None:
        pairs.append((replace(central, warmth=LEAST_WARMTH), central))
    at_lower, between = setting.at_lower, setting.between
    if at_lower is not None and at_lower.width > 0:
        pairs.append((replace(central, at_lower_l=at_lower.low), replace(central, at_lower_l=at_lower.high)))
    if between is not None and between.width > 0:
        fewer, more = between.low / between.value, between.high / between.value
        pairs.append((replace(central, between=fewer), replace(central, between=more)))
    return pairs
