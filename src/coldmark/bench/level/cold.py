"""The cold mark: the reading to fill to now, so that the level is right when hot and on the coldest start."""

from __future__ import annotations

from typing import Literal

from coldmark.bench.errors import CannotTell, Missing, require_between
from coldmark.bench.level.mass import HasDensity, Oilbody, combine
from coldmark.bench.level.model import System
from coldmark.bench.level.setting import Case, Off, Setting, prepare, spread
from coldmark.bench.level.steps import limit_steps
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Range, Working

__all__ = ["ColdMark", "Limits", "cold_mark", "limits"]

HighestBy = Literal["upper_mark", "breather"]
LowestBy = Literal["lower_mark", "suction"]


@dataclass(frozen=True, slots=True)
class Limits:
    """The readings now, in the check posture, that keep the level right later; for one case."""

    highest: float | None
    highest_by: HighestBy
    lowest: float | None
    lowest_by: LowestBy
    fill_to: float | None


@dataclass(frozen=True, slots=True)
class ColdMark:
    """Where to fill to now, in the check posture at the oil's present temperature.

    ``mark`` is the cold mark; ``highest`` the highest reading now that stays right when hot, and what sets it;
    ``lowest`` the lowest now that stays right on the coldest start. ``crosses``: the marks are too close for the
    temperatures, ``lowest`` lies above ``highest``. ``off`` names what missing values switched off.
    """

    mark: Range
    highest: Range
    highest_by: HighestBy
    lowest: Range | None
    lowest_by: LowestBy | None
    crosses: bool
    off: tuple[Off, ...]
    working: Working


def _highest(setting: Setting, body: Oilbody, case: Case) -> tuple[float | None, HighestBy]:
    now = setting.where(case.oil_c, case.warmth)
    found: list[tuple[float, HighestBy]] = []
    if setting.marks_c is None:
        return None, "upper_mark"
    at_marks = setting.where(setting.marks_c, case.warmth)
    found.append((body.move(1.0 - setting.resolution, at_marks, now), "upper_mark"))
    above = setting.system.tank.above_upper_l
    if above is not None and setting.hot_c is not None:
        fullest = setting.where(setting.hot_c, case.warmth, setting.least_l)
        brim_l = body.scale.between_l * (1.0 - setting.resolution) + above
        found.append((body.scale.reading(body.move_l(brim_l, fullest, now)), "breather"))
    return min(found)


def _lowest(setting: Setting, body: Oilbody, case: Case) -> tuple[float | None, LowestBy]:
    if setting.coldest_c is None:
        return None, "lower_mark"
    now = setting.where(case.oil_c, case.warmth)
    cold = setting.coldest_c
    soaked = setting.where(cold, 1.0)
    found: list[tuple[float, LowestBy]] = [(body.move(setting.resolution, soaked, now), "lower_mark")]
    below = setting.system.tank.below_lower_l
    if below is not None:
        emptiest = setting.where(cold, 1.0, setting.most_l)
        dry_l = body.scale.between_l * setting.resolution - below
        found.append((body.scale.reading(body.move_l(dry_l, emptiest, now)), "suction"))
    return max(found)


def limits(setting: Setting, case: Case) -> Limits | None:
    """Return the limits for one case, or ``None`` where too little is known for them.

    The mark to fill to is the highest reading that stays right when hot, but not above the upper mark even where the
    oil is hotter now than the marks hold for, unless the coldest start needs it.
    """
    body = setting.body(case)
    if body is None:
        return None
    highest, highest_by = _highest(setting, body, case)
    lowest, lowest_by = _lowest(setting, body, case)
    fill_to = None
    if highest is not None:
        in_sight = 1.0 - setting.resolution
        fill_to = min(highest, in_sight if lowest is None else max(in_sight, lowest))
    return Limits(highest, highest_by, lowest, lowest_by, fill_to)


def mark_of(setting: Setting, case: Case, pairs: list[tuple[Case, Case]]) -> ColdMark | None:
    """Return the cold mark with its ranges, or ``None`` where it cannot be given."""
    central = limits(setting, case)
    if central is None or central.highest is None or central.fill_to is None:
        return None
    ends = [(limits(setting, low), limits(setting, high)) for low, high in pairs]

    def ranged(name: str, value: float) -> Range:
        return combine(value, [(getattr(low, name), getattr(high, name)) for low, high in ends])

    lowest = None if central.lowest is None else ranged("lowest", central.lowest)
    return ColdMark(
        mark=ranged("fill_to", central.fill_to),
        highest=ranged("highest", central.highest),
        highest_by=central.highest_by,
        lowest=lowest,
        lowest_by=None if lowest is None else central.lowest_by,
        crosses=central.lowest is not None and central.lowest > central.highest,
        off=setting.off,
        working=Working(limit_steps(setting, case, central.highest, central.lowest)),
    )


def cold_mark(
    system: System,
    oil_c: float,
    hot_c: float | None = None,
    coldest_c: float | None = None,
    *,
    oil: HasDensity | None = None,
    air_c: float | None = None,
    oil_spread_k: float = 2.0,
) -> ColdMark:
    """Find the reading to fill to now, in the check posture.

    Parameters
    ----------
    system
        The hydraulic system, with all its oil [L], litres between the marks and the marks' temperature [°C].
    oil_c
        The oil's temperature in the tank now [°C].
    hot_c
        Its working temperature [°C]; the system's own where not given.
    coldest_c
        The coldest start to be reckoned with [°C]; without it there is no lowest reading.
    oil
        The oil, for its density; where it is not known, a usual mineral oil is assumed and ``off`` says so.
    air_c
        The air's temperature [°C]; lets the range hold that the oil outside the tank is colder.
    oil_spread_k
        How far ``oil_c`` may be off [K].

    Returns
    -------
    ColdMark
        Readings [-], 0 at the lower mark and 1 at the upper, each with its range.

    Valid for
        Oil from -40 to 120 °C; everything outside the tank rigid and full.

    Raises
    ------
    Missing
        When the system's litres, the litres between the marks, or the marks' temperature is not known.
    OutOfRange, Contradiction
        When a temperature or a size cannot be.

    Source
        Conservation of mass; see docs/how/level.md.

    Examples
    --------
    >>> from coldmark.bench.level.model import Gauge, Posture, Tank
    >>> class Mineral:
    ...     def density(self, t_c): return 875.0 / (1 + 0.00075 * (t_c - 15))
    >>> tank = Tank("steel", between_marks_l=4.0, at_lower_l=13.0)
    >>> small = System(tank=tank, gauge=Gauge("glass", hold_from_c=45, hold_to_c=60), check_posture="parked",
    ...                postures={"parked": Posture("parked", "arm in", {})}, system_l=24.0, hot_c=58)
    >>> round(cold_mark(small, oil_c=5.0, oil=Mineral()).mark.value, 2)
    0.73
    """
    require_between("oil_c", oil_c, -40.0, 120.0, "hydraulic oil at work")
    setting = prepare(system, oil=oil, air_c=air_c, hot_c=hot_c, coldest_c=coldest_c)
    for off in setting.off:
        if off.switches_off in {"cold_mark", "litres", "growth"}:
            raise Missing(name=off.missing, needed_for="the cold mark")
    at_lower = 0.0 if setting.at_lower is None else setting.at_lower.value
    case = Case(reading=0.5, oil_c=oil_c, at_lower_l=at_lower)
    found = mark_of(setting, case, spread(setting, case, reading_share=0.0, oil_spread_k=oil_spread_k))
    if found is None:
        raise CannotTell("level.cannot_tell.cold_mark")
    return found
