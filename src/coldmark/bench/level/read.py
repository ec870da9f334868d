"""Read the glass: what a reading says of the oil level, whatever the posture and the oil's temperature."""

from __future__ import annotations

import math
from collections.abc import Mapping

from coldmark.bench.errors import require_between, require_choice
from coldmark.bench.level.cold import ColdMark, limits, mark_of
from coldmark.bench.level.mass import HasDensity, combine
from coldmark.bench.level.model import Reading, System
from coldmark.bench.level.outside import Standing, cylinder_draw_l, draw_l, standing_of
from coldmark.bench.level.saying import blocked_said, elsewhere_said, hidden_said, plain_said
from coldmark.bench.level.setting import Case, Off, Setting, prepare, spread
from coldmark.bench.level.slope import slope_share
from coldmark.bench.level.steps import ghost_step, limit_steps, litres_step, mass_steps
from coldmark.bench.level.tank import growth
from coldmark.bench.level.verdict import LevelVerdict, State
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Range, Step, Working

__all__ = ["read"]

_MIDDLE = 0.5


@dataclass(frozen=True, slots=True)
class _Found:
    """Everything that one case gives; ``None`` where too little is known."""

    check: float
    at_marks: float | None = None
    hot: float | None = None
    coldest: float | None = None
    add_l: float | None = None
    after: float | None = None
    glass_off: float | None = None
    glass_off_l: float | None = None


def _holds_now(setting: Setting, oil_c: float) -> bool:
    """Say whether the marks hold at the oil's present temperature, so that the reading is judged as it is."""
    gauge = setting.system.gauge
    low = gauge.hold_from_c if gauge.hold_from_c is not None else gauge.hold_to_c
    high = gauge.hold_to_c if gauge.hold_to_c is not None else low
    return low is not None and high is not None and low <= oil_c <= high


def _target(reading: float, fill_to: float | None) -> float | None:
    """Return where the oil should stand now: the cold mark, else the middle for too little and the upper mark for
    too much."""
    if fill_to is not None:
        return fill_to
    return _MIDDLE if reading < 0 else 1.0 if reading > 1 else None


def _without_growth(setting: Setting, case: Case) -> _Found:
    """What can be said where the system's litres are not known: nothing moves, the litres by the scale alone."""
    at_marks = case.reading if _holds_now(setting, case.oil_c) else None
    target = _target(case.reading, None)
    if setting.scale is None or target is None:
        return _Found(case.reading, at_marks=at_marks)
    scale = setting.scale.times(case.between)
    add_l = (scale.litres(target) - scale.litres(case.reading)) * growth(setting.system.tank.material, case.oil_c)
    return _Found(case.reading, at_marks=at_marks, add_l=add_l, after=target)


def _find(setting: Setting, case: Case) -> _Found:
    body = setting.body(case)
    bounds = limits(setting, case)
    if body is None or bounds is None:
        return _without_growth(setting, case)
    here = setting.where(case.oil_c, case.warmth, case.drawn_l)
    now = setting.where(case.oil_c, case.warmth)
    check = body.move(case.reading, here, now) if case.drawn_l else case.reading

    def at(t_c: float | None, reading: float, warmth: float = case.warmth) -> float | None:
        return None if t_c is None else body.move(reading, now, setting.where(t_c, warmth))

    target = _target(check, bounds.fill_to)
    add_l = after = None
    if target is not None:
        tank = body.tank_l(body.scale.litres(target), case.oil_c)
        add_l = tank - body.tank_l(body.scale.litres(check), case.oil_c)
        after = at(setting.marks_c, target)
    off_l = body.scale.litres(case.reading) - body.scale.litres(check)
    return _Found(
        check=check,
        at_marks=at(setting.marks_c, check),
        hot=at(setting.hot_c, check),
        coldest=at(setting.coldest_c, check, 1.0),
        add_l=add_l,
        after=after,
        glass_off=case.reading - check,
        glass_off_l=off_l,
    )


def _ranged(central: _Found, ends: list[tuple[_Found, _Found]], name: str) -> Range | None:
    value = getattr(central, name)
    if value is None:
        return None
    pairs = []
    for low, high in ends:
        low_value, high_value = getattr(low, name), getattr(high, name)
        pairs.append((value if low_value is None else low_value, value if high_value is None else high_value))
    return combine(value, pairs)


def _state(setting: Setting, found: _Found, mark: ColdMark | None) -> State:
    """Judge a reading in the check posture: by what keeps it right hot and cold, else by the marks as they are."""
    check = found.check
    if mark is not None:
        if check > max(mark.highest.value, mark.mark.value) + setting.resolution:
            return "high"
        if not mark.crosses:
            # Where no coldest start is told, this one is the coldest: the oil must stand over the lower mark now.
            lowest = 0.0 if mark.lowest is None else mark.lowest.value
            if check < lowest:
                return "low"
        if found.at_marks is not None and found.at_marks < 0:
            return "low"
        # The middle is preferred where the marks hold, but never beyond what the hot oil leaves.
        if found.at_marks is not None and found.at_marks < _MIDDLE and check < mark.mark.value - setting.resolution:
            return "may_add"
        return "right"
    if check < 0:
        return "low"
    return "high" if check > 1 else "right"


def _has_room(setting: Setting, found: _Found, mark: ColdMark | None) -> bool:
    """Say whether the oil stands below the cold mark by more than the glass can be read to."""
    return mark is not None and found.check < mark.mark.value - setting.resolution


def _drawn_spread_l(system: System, standing: Standing) -> float:
    return math.hypot(*(cylinder_draw_l(one, 1.0) * standing.spread_of(one.name) for one in system.cylinders))


def _working(setting: Setting, case: Case, found: _Found, mark: ColdMark | None) -> Working:
    steps: list[Step] = list(mass_steps(setting, case))
    told_hot = setting.marks_c is None or setting.hot_c is None or abs(setting.marks_c - setting.hot_c) > 0
    for what, t_c, value in (
        ("level.step.at_marks", setting.marks_c if told_hot else None, found.at_marks),
        ("level.step.hot", setting.hot_c, found.hot),
        ("level.step.coldest", setting.coldest_c, found.coldest),
    ):
        if t_c is not None and value is not None:
            steps.append(ghost_step(setting, what, t_c, value))
    if mark is not None:
        lowest = None if mark.lowest is None else mark.lowest.value
        steps += limit_steps(setting, case, mark.highest.value, lowest)
    target = _target(found.check, None if mark is None else mark.mark.value)
    if target is not None and found.add_l is not None:
        steps.append(litres_step(found.check, target, found.add_l))
    return Working(tuple(steps))


def _blocked(
    system: System, reading: Reading, oil_c: float, engine: str | None, settled_min: float | None, foam: bool
) -> LevelVerdict | None:
    """Return a verdict that asks to wait or to set the engine right, where the reading cannot be judged yet."""
    if foam:
        return LevelVerdict("foam", blocked_said("foam", system, settled_min), reading, oil_c)
    if engine is not None and require_choice("engine", engine, ("stopped", "idling")) != system.engine:
        return LevelVerdict("engine", blocked_said("engine", system, settled_min), reading, oil_c)
    if settled_min is not None and system.settle_min is not None and settled_min < system.settle_min:
        return LevelVerdict("settle", blocked_said("settle", system, settled_min), reading, oil_c)
    return None


def _off(setting: Setting, engine: str | None, settled_min: float | None, sloped: bool) -> tuple[Off, ...]:
    off = list(setting.off)
    if engine is None:
        off.append(Off("engine", "engine"))
    if settled_min is None and setting.system.settle_min is not None:
        off.append(Off("settled_min", "settling"))
    gauge = setting.system.gauge
    if sloped and None in (gauge.ahead_mm, gauge.left_mm, gauge.lower_mm, gauge.upper_mm):
        off.append(Off("ahead_mm", "slope"))
    return tuple(off)


def _hidden(setting: Setting, reading: str, case: Case, off: tuple[Off, ...], in_check: bool) -> LevelVerdict:
    """Judge *below* and *above*: the reading is the mark that the oil has left, and litres are *at least*."""
    found = _find(setting, case)
    mark = mark_of(setting, case, [])
    if reading == "below":
        state: State = "none_seen"
    elif setting.scale is not None and found.at_marks is not None and found.at_marks < 1.0 - setting.resolution:
        state = "let_cool"
    else:
        state = "over_glass"
    least = found.add_l
    if least is not None and ((reading == "below") != (least > 0)):
        least = None  # the mark itself would be right already: how far the oil has left it is not known
    return LevelVerdict(
        state,
        hidden_said(setting, state, least, found.glass_off_l, in_check),
        "below" if reading == "below" else "above",
        case.oil_c,
        marks_c=setting.marks_c,
        at_least_l=least,
        cold_mark=mark,
        move_first=None if in_check else setting.system.check_posture,
        off=off,
        working=_working(setting, case, found, mark),
    )


def _judged(
    setting: Setting, case: Case, ends: list[tuple[Case, Case]], off: tuple[Off, ...], in_check: bool
) -> LevelVerdict:
    central = _find(setting, case)
    found = [(_find(setting, low), _find(setting, high)) for low, high in ends]
    mark = mark_of(setting, case, ends)
    state = _state(setting, central, mark)
    to_fill = _ranged(central, found, "add_l")
    add_l = None if state == "right" else to_fill
    room_l = to_fill if state == "right" and in_check and _has_room(setting, central, mark) else None
    glass_off_l = None if in_check else _ranged(central, found, "glass_off_l")
    said = (
        plain_said(setting, state, mark, add_l, room_l, central.at_marks, central.after, central.check)
        if in_check
        else elsewhere_said(state, add_l, glass_off_l)
    )
    return LevelVerdict(
        state=state,
        said=said,
        reading=case.reading,
        oil_c=case.oil_c,
        check=_ranged(central, found, "check"),
        at_marks=_ranged(central, found, "at_marks"),
        marks_c=setting.marks_c,
        hot=_ranged(central, found, "hot"),
        coldest=_ranged(central, found, "coldest"),
        add_l=add_l,
        room_l=room_l,
        cold_mark=mark,
        move_first=None if in_check else setting.system.check_posture,
        glass_off=None if in_check else _ranged(central, found, "glass_off"),
        glass_off_l=glass_off_l,
        off=off,
        working=_working(setting, case, central, mark),
    )


def _move_first(setting: Setting, case: Case, ends: list[tuple[Case, Case]], off: tuple[Off, ...]) -> LevelVerdict:
    central = _find(setting, case)
    found = [(_find(setting, low), _find(setting, high)) for low, high in ends]
    glass_off_l = _ranged(central, found, "glass_off_l")
    return LevelVerdict(
        "move_first",
        blocked_said("move_first", setting.system, None, glass_off_l),
        case.reading,
        case.oil_c,
        move_first=setting.system.check_posture,
        glass_off=_ranged(central, found, "glass_off"),
        glass_off_l=glass_off_l,
        off=off,
        working=Working(mass_steps(setting, case)),
    )


def read(
    system: System,
    reading: Reading,
    oil_c: float,
    posture: str | Mapping[str, float],
    *,
    oil: HasDensity | None = None,
    air_c: float | None = None,
    coldest_c: float | None = None,
    hot_c: float | None = None,
    engine: str | None = None,
    settled_min: float | None = None,
    foam: bool = False,
    oil_spread_k: float = 2.0,
    pitch_deg: float = 0.0,
    roll_deg: float = 0.0,
    cannot_move: bool = False,
) -> LevelVerdict:
    """Judge a reading of the oil level, and say how much oil to add or to drain off.

    Parameters
    ----------
    system
        The hydraulic system with its tank, gauge, cylinders and postures.
    reading
        0 at the lower mark, 1 at the upper [-]; or ``"below"`` or ``"above"`` what the gauge can show.
    oil_c
        The oil's temperature in the tank [°C].
    posture
        A posture's key, or for each cylinder how far its rod is out, 0 to 1 [-].
    oil
        The oil, for its density; where it is not known, a usual mineral oil is assumed and ``off`` says so.
    air_c
        The air's temperature [°C]; lets the range hold that the oil outside the tank is colder.
    coldest_c
        The coldest start to be reckoned with [°C].
    hot_c
        The oil's working temperature [°C]; the system's own where not given.
    engine
        ``"stopped"`` or ``"idling"``, as it was while reading; ``None`` where nobody told.
    settled_min
        Minutes since it stopped [min]; ``None`` where nobody told.
    foam
        Whether foam stands on the oil.
    oil_spread_k
        How far ``oil_c`` may be off [K]: 2 for a thermometer, 8 for a hand.
    pitch_deg, roll_deg
        How far the machine may stand off level, front to back and side to side [°].
    cannot_move
        Whether the machine cannot be moved to the check posture; only then are litres given in another.

    Returns
    -------
    LevelVerdict
        State, readings and litres with their ranges, the cold mark, what is switched off, and the working.

    Valid for
        Oil from -40 to 120 °C; readings from -1 to 2; everything outside the tank rigid and full.

    Raises
    ------
    OutOfRange, NotAChoice, Missing, Contradiction
        When a value cannot be, naming it.

    Source
        Conservation of mass; see docs/how/level.md.

    Examples
    --------
    >>> from coldmark.bench.level.model import Gauge, Posture, Tank
    >>> from coldmark.bench.level.verdict import says
    >>> class Mineral:
    ...     def density(self, t_c): return 875.0 / (1 + 0.00075 * (t_c - 15))
    >>> tank = Tank("steel", between_marks_l=4.0, at_lower_l=13.0)
    >>> small = System(tank=tank, gauge=Gauge("glass", hold_from_c=45, hold_to_c=60), check_posture="parked",
    ...                postures={"parked": Posture("parked", "arm in", {})}, system_l=24.0, hot_c=58)
    >>> says(read(small, 0.16, 5.0, "parked", oil=Mineral()))
    ['It may stay as it is; adding 2.3 L is better.', 'Hot, it will then stand just under the upper mark.']
    """
    require_between("oil_c", oil_c, -40.0, 120.0, "hydraulic oil at work")
    require_between("oil_spread_k", oil_spread_k, 0.0, 20.0, "a thermometer, or a hand")
    blocked = _blocked(system, reading, oil_c, engine, settled_min, foam)
    if blocked is not None:
        return blocked
    setting = prepare(system, oil=oil, air_c=air_c, hot_c=hot_c, coldest_c=coldest_c)
    sloped = bool(pitch_deg or roll_deg)
    off = _off(setting, engine, settled_min, sloped)
    standing = standing_of(system, posture)
    in_check = standing.key == system.check_posture
    at_lower = 0.0 if setting.at_lower is None else setting.at_lower.value
    drawn = 0.0 if in_check else draw_l(system, standing)
    if isinstance(reading, str):
        require_choice("reading", reading, ("below", "above"))
        case = Case(0.0 if reading == "below" else 1.0, oil_c, at_lower, drawn_l=drawn)
        return _hidden(setting, reading, case, off, in_check)
    require_between("reading_share", reading, -1.0, 2.0, "0 is the lower mark, 1 the upper")
    case = Case(float(reading), oil_c, at_lower, drawn_l=drawn)
    tilt = abs(slope_share(system.gauge, pitch_deg, roll_deg)) if sloped and not off_slope(off) else 0.0
    ends = spread(
        setting,
        case,
        reading_share=system.gauge.resolution + tilt,
        oil_spread_k=oil_spread_k,
        drawn_spread_l=0.0 if in_check else _drawn_spread_l(system, standing),
    )
    if in_check or cannot_move:
        return _judged(setting, case, ends, off, in_check)
    return _move_first(setting, case, ends, off)


def off_slope(off: tuple[Off, ...]) -> bool:
    """Say whether the slope is switched off for want of the gauge's place."""
    return any(one.switches_off == "slope" for one in off)
