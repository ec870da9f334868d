"""What two readings say of the oil between them: how much more there is in the whole system."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from coldmark.bench.errors import Missing, require_between
from coldmark.bench.level.mass import HasDensity, combine
from coldmark.bench.level.model import System
from coldmark.bench.level.outside import draw_l, standing_of
from coldmark.bench.level.setting import Case, Setting, prepare
from coldmark.bench.working import Range

__all__ = ["Stand", "gained_l"]

_BASE_C = 15.0


@dataclass(frozen=True, slots=True)
class Stand:
    """A level as it stood: reading [-], oil temperature [°C] and how far it may be off [K], and the posture."""

    reading: float
    oil_c: float
    posture: str | Mapping[str, float]
    oil_spread_k: float = 2.0


def gained_l(system: System, first: Stand, second: Stand, *, oil: HasDensity | None = None) -> Range:
    """Return how much oil the system gained from one reading to another, at 15 °C [L]; negative when it lost.

    Parameters
    ----------
    system
        The hydraulic system; its litres and those between the marks must be known.
    first, second
        The two readings, each with its temperature and posture.
    oil
        The oil, for its density; a usual mineral oil where not given.

    Returns
    -------
    Range
        Litres at 15 °C with what glass and thermometer leave open.

    Valid for
        Readings in the glass, −1 to 2; oil from −40 to 120 °C.

    Raises
    ------
    Missing
        When the system's litres or those between the marks are not known.
    OutOfRange
        Outside of the limits.

    Source
        Conservation of mass; see docs/how/level.md.

    Examples
    --------
    >>> from coldmark.bench.level.model import Gauge, Posture, Tank
    >>> tank = Tank("steel", between_marks_l=4.0, at_lower_l=13.0)
    >>> small = System(tank=tank, gauge=Gauge("glass", hold_from_c=45, hold_to_c=60), check_posture="parked",
    ...                postures={"parked": Posture("parked", "arm in", {})}, system_l=24.0, hot_c=58)
    >>> round(gained_l(small, Stand(0.25, 15, "parked"), Stand(0.75, 15, "parked")).value, 1)
    2.0
    >>> warmer = gained_l(small, Stand(0.25, 5, "parked"), Stand(0.40, 40, "parked"))
    >>> warmer.holds(0.0)  # only warmer, not fuller
    True
    """
    setting = prepare(system, oil=oil)
    if setting.scale is None:
        raise Missing(name="between_marks_l", needed_for="gained oil")
    if system.system_l is None:
        raise Missing(name="system_l", needed_for="gained oil")
    cases = [_case(setting, stand) for stand in (first, second)]

    def difference(one: Case, other: Case) -> float:
        return _litres(setting, other) - _litres(setting, one)

    pairs: list[tuple[float, float]] = []
    for place, stand in enumerate((first, second)):
        for field, spread in (("reading", setting.resolution), ("oil_c", stand.oil_spread_k)):
            ends = []
            for sign in (-1, 1):
                changed = list(cases)
                value = getattr(cases[place], field) + sign * spread
                changed[place] = replace(cases[place], **{field: value})
                ends.append(difference(*changed))
            pairs.append((min(ends), max(ends)))
    return combine(difference(*cases), pairs)


def _case(setting: Setting, stand: Stand) -> Case:
    require_between("reading_share", stand.reading, -1.0, 2.0, "0 is the lower mark, 1 the upper")
    require_between("oil_c", stand.oil_c, -40.0, 120.0, "hydraulic oil at work")
    at_lower = 0.0 if setting.at_lower is None else setting.at_lower.value
    standing = standing_of(setting.system, stand.posture)
    drawn = 0.0 if standing.key == setting.system.check_posture else draw_l(setting.system, standing)
    return Case(stand.reading, stand.oil_c, at_lower, drawn_l=drawn)


def _litres(setting: Setting, case: Case) -> float:
    body = setting.body(case)
    if body is None:
        raise Missing(name="system_l", needed_for="gained oil")
    mass = body.mass_kg(body.scale.litres(case.reading), setting.where(case.oil_c, case.warmth, case.drawn_l))
    return mass * 1000.0 / setting.density(_BASE_C)
