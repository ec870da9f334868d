"""How fast a system loses oil, from readings over months: after posture, temperature and the oil of services."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from coldmark.bench import words
from coldmark.bench.errors import CannotTell, Contradiction, Missing, require_between
from coldmark.bench.level.gained import Doubt, Stand, doubt_of, litres_at_15, shared_doubts
from coldmark.bench.level.mass import HasDensity, combine
from coldmark.bench.level.model import System
from coldmark.bench.level.setting import Case, Setting, prepare
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["LevelAt", "Losses", "losses", "says_losses"]

_DROPS_A_LITRE = 20_000.0
"""A drop of oil is taken as a twentieth of a millilitre: common practice, no source. It is a feel, not a measure."""

_CLEAR = 2.0
"""A slope is told from none when it is twice its own error: about 95 in 100 where errors are normal."""

_MUST_SHOW = 3.0
"""By how many resolutions a glass must have been made to move before its standing still means anything."""

_MOST_OFF = 3.0
"""Readings that lie further from the line than this many times their own error and the others' scatter are left out."""


@dataclass(frozen=True, slots=True)
class LevelAt:
    """A level as it was read at these hours, and the litres at 15 °C that went in (positive) or out since the one
    before, with how far they may be off."""

    hours_h: float
    stand: Stand
    moved_l: float = 0.0
    moved_spread_l: float = 0.0
    foam: bool = False


@dataclass(frozen=True, slots=True)
class Losses:
    """Litres at 15 °C lost in a hundred hours, positive where oil goes, with their range.

    ``clear``: more than the readings leave open. ``drops_min`` is the same as drops a minute while it runs.
    ``system_l`` holds what the system has lost (negative) since the first reading, one by one: (hours, litres, error).
    ``left_out`` are the places of readings that count for nothing: foam, out of the glass, or far off all others.
    """

    litres_100h: Range
    clear: bool
    drops_min: float
    hours_h: float
    points: tuple[tuple[float, float, float], ...]
    left_out: tuple[int, ...]
    working: Working


@dataclass(frozen=True, slots=True)
class _Point:
    place: int
    hours_h: float
    doubt: Doubt
    moved_l: float  # in all since the first
    off_l: float  # how far its content may be off, for itself alone


def _readable(level: LevelAt) -> bool:
    return not level.foam and not isinstance(level.stand.reading, str)


def _line(points: Sequence[tuple[float, float, float]]) -> tuple[float, float]:
    """Return the slope of the weighted line through (hours, litres, error) and the error of that slope."""
    weights = [1.0 / off**2 for _, _, off in points]
    total = sum(weights)
    middle_h = sum(weight * hours for weight, (hours, _, _) in zip(weights, points, strict=True)) / total
    middle_l = sum(weight * litres for weight, (_, litres, _) in zip(weights, points, strict=True)) / total
    spread = sum(weight * (hours - middle_h) ** 2 for weight, (hours, _, _) in zip(weights, points, strict=True))
    slope = (
        sum(
            weight * (hours - middle_h) * (litres - middle_l)
            for weight, (hours, litres, _) in zip(weights, points, strict=True)
        )
        / spread
    )
    error = 1.0 / math.sqrt(spread)
    if len(points) > 2:
        rest = [(litres - middle_l - slope * (hours - middle_h)) / off for hours, litres, off in points]
        # Where the readings scatter by more than their own errors, the slope is known less well, never better.
        error *= max(1.0, math.sqrt(sum(one * one for one in rest) / (len(points) - 2)))
    return slope, error


def _median(values: Sequence[float]) -> float:
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def _far_off(points: Sequence[tuple[float, float, float]]) -> set[int]:
    """Return the places of points that do not lie near the middle line: the one through the medians of all pairs."""
    if len(points) < 4:
        return set()
    slopes = [
        (second[1] - first[1]) / (second[0] - first[0])
        for place, first in enumerate(points)
        for second in points[place + 1 :]
        if second[0] - first[0] > 0
    ]
    slope = _median(slopes)
    rest = [litres - slope * hours for hours, litres, _ in points]
    middle = _median(rest)
    away = [abs(one - middle) for one in rest]
    # 1.4826 makes the median of the distances a standard deviation where the errors are normal.
    scatter = 1.4826 * _median(away)
    return {
        place
        for place, (one, (_, _, off)) in enumerate(zip(away, points, strict=True))
        if one > _MOST_OFF * math.hypot(scatter, off)
    }


def _contents(setting: Setting, points: Sequence[_Point], changed: Callable[[Case], Case]) -> list[float]:
    """Return what the system held at each point beyond the first, less what was poured in since then."""
    first = litres_at_15(setting, changed(points[0].doubt.case))
    return [litres_at_15(setting, changed(one.doubt.case)) - first - one.moved_l for one in points]


def _point(setting: Setting, place: int, level: LevelAt, moved_l: float, moved_off_l: float) -> _Point:
    require_between("hours_h", level.hours_h, 0.0, 200_000.0, "hour meters")
    doubt = doubt_of(setting, "reading", level.stand)
    value = litres_at_15(setting, doubt.case)
    ends = [tuple(litres_at_15(setting, case) for case in pair) for pair in doubt.ends()]
    found = combine(value, [(one[0], one[1]) for one in ends])
    return _Point(place, level.hours_h, doubt, moved_l, math.hypot(found.width / 2, moved_off_l))


def _points(setting: Setting, levels: Sequence[LevelAt]) -> list[_Point]:
    found: list[_Point] = []
    moved = moved_off = 0.0
    before: LevelAt | None = None
    for place, level in enumerate(levels):
        if before is not None:
            if level.hours_h < before.hours_h:
                why = "level.cannot.follows"
                raise Contradiction(name="hours_h", value=level.hours_h, why=why, before_h=before.hours_h)
            moved += level.moved_l
            moved_off = math.hypot(moved_off, level.moved_spread_l)
        before = level
        if _readable(level):
            found.append(_point(setting, place, level, moved if found else 0.0, moved_off if found else 0.0))
            if len(found) == 1:
                moved = moved_off = 0.0  # counted from the first that can be read
    return found


def _refuse_if_blocked(setting: Setting, points: Sequence[_Point]) -> None:
    """Refuse a glass that stood still although the posture, the warmth or a pour must have moved it."""
    readings = [one.doubt.case.reading for one in points]
    seen = max(readings) - min(readings)
    between = setting.scale.between_l if setting.scale is not None else math.inf
    first = points[0].doubt.case
    base = litres_at_15(setting, first)
    # What the system would hold by each reading's warmth and posture at one and the same mark, less what went in.
    wanted = [
        (base - litres_at_15(setting, replace(one.doubt.case, reading=first.reading)) + one.moved_l) / between
        for one in points
    ]
    moved = max(wanted) - min(wanted)
    if moved >= _MUST_SHOW * setting.resolution and seen < setting.resolution and seen < moved / 3.0:
        raise CannotTell("level.cannot_tell.stood_still", moved_share=moved)


def losses(
    system: System,
    levels: Sequence[LevelAt],
    *,
    oil: HasDensity | None = None,
    air_c: float | None = None,
) -> Losses:
    """Return how fast the system loses oil, from readings in the order in which they were taken.

    Parameters
    ----------
    system
        The hydraulic system.
    levels
        Readings [-] with their hours [h], temperature [°C] and posture, and what was poured between them [L at 15 °C].
    oil
        The oil, for its density; where it is not known, a usual mineral oil is assumed.
    air_c
        The air's temperature [°C]; lets the range hold that the oil outside the tank is colder.

    Returns
    -------
    Losses
        Litres in a hundred hours [L at 15 °C] with their range, whether that is told from none, and drops a minute.

    Valid for
        Two readings or more over an hour or more; foam and readings out of the glass count for nothing. What went in
        or out must be told in full: a service that nobody recorded looks like a leak, and a top-up like its mending.

    Raises
    ------
    Missing
        When fewer than two readings can be used, or the litres between the marks or of the system are not known.
    CannotTell
        When they lie less than an hour apart, or the glass stood still while it must have moved.
    Contradiction
        When hours run back.
    OutOfRange, NotAChoice
        When a value cannot be.

    Source
        Conservation of mass; weighted straight line, with the median of all slopes to leave out what is far off.

    Examples
    --------
    >>> from coldmark.bench.level.model import Gauge, Posture, Tank
    >>> tank = Tank("steel", between_marks_l=4.0, at_lower_l=13.0)
    >>> small = System(tank=tank, gauge=Gauge("glass"), check_posture="parked",
    ...                postures={"parked": Posture("parked", "arm in", {})}, system_l=24.0)
    >>> seen = [LevelAt(1000.0, Stand(0.8, 15, "parked")), LevelAt(1250.0, Stand(0.3, 15, "parked"))]
    >>> found = losses(small, seen)
    >>> round(found.litres_100h.value, 2), found.clear, round(found.drops_min, 1)
    (0.8, True, 2.7)
    """
    setting = prepare(system, oil=oil, air_c=air_c)
    usable = _points(setting, levels)
    if len(usable) < 2:
        raise Missing(name="levels", needed_for=words.sentence("level.losses.two_readings"))
    if usable[-1].hours_h - usable[0].hours_h < 1.0:
        raise CannotTell("level.cannot_tell.hours")
    _refuse_if_blocked(setting, usable)

    def together(kept: Sequence[_Point], changed: Callable[[Case], Case]) -> list[tuple[float, float, float]]:
        contents = _contents(setting, kept, changed)
        return [(one.hours_h, litres, one.off_l) for one, litres in zip(kept, contents, strict=True)]

    far = _far_off(together(usable, lambda case: case))
    kept = [one for place, one in enumerate(usable) if place not in far]
    if kept[-1].hours_h - kept[0].hours_h < 1.0:
        kept = usable
    points = together(kept, lambda case: case)
    slope, error = _line(points)
    pairs = [(slope - error, slope + error)]
    for low, high in shared_doubts(setting):
        ends = [_line(together(kept, lambda case, one=one: replace(case, **one)))[0] for one in (low, high)]  # type: ignore[misc]
        pairs.append((min(ends), max(ends)))
    found = combine(slope, pairs)
    lost = Range(-100.0 * found.value, -100.0 * found.high, -100.0 * found.low)
    # The range is one error wide to each side; a slope is told from none only when it is twice that.
    clear = abs(lost.value) > _CLEAR * (lost.high - lost.value if lost.value < 0 else lost.value - lost.low)
    left_out = tuple(place for place in range(len(levels)) if place not in {one.place for one in kept})
    return Losses(
        litres_100h=lost,
        clear=clear,
        drops_min=lost.value / 100.0 * _DROPS_A_LITRE / 60.0,
        hours_h=kept[-1].hours_h - kept[0].hours_h,
        points=tuple(points),
        left_out=left_out,
        working=_working(points, lost, error),
    )


def _working(points: Sequence[tuple[float, float, float]], lost: Range, error: float) -> Working:
    last_h, last_l, _ = points[-1]
    content = Step(
        "level.step.content",
        "V₁₅ = m / ρ₁₅ − poured in + taken out, less that of the first reading",
        (Given("readings", float(len(points)), "", "measured"), Given("last at", last_h, "h", "measured")),
        last_l,
        "l",
        "conservation of mass",
    )
    slope = Step(
        "level.step.losses",
        "slope of the line through all, each weighted by 1 / error²",
        (Given("error of the slope in 100 h", 100.0 * error, "l", "worked_out"),),
        lost.value,
        "l",
        "weighted least squares",
    )
    return Working((content, slope))


def says_losses(found: Losses, units: words.UnitSystem = "metric") -> list[str]:
    """Return what was found in plain sentences.

    Parameters
    ----------
    found
        What :func:`losses` gave.
    units
        The reader's units.

    Returns
    -------
    list of str
        How much is lost, or that nothing can be told from none; then what it looks like, and what was left out.

    Valid for
        Every result.

    Raises
    ------
    KeyError
        When a sentence is missing: a mistake in the program.

    Source
        The message file of the reader's language.

    Examples
    --------
    >>> from coldmark.bench.level.model import Gauge, Posture, Tank
    >>> tank = Tank("steel", between_marks_l=4.0, at_lower_l=13.0)
    >>> small = System(tank=tank, gauge=Gauge("glass"), check_posture="parked",
    ...                postures={"parked": Posture("parked", "arm in", {})}, system_l=24.0)
    >>> seen = [LevelAt(1000.0, Stand(0.8, 15, "parked")), LevelAt(1250.0, Stand(0.3, 15, "parked"))]
    >>> says_losses(losses(small, seen))[0]
    'It loses about 0.80 L in 100 hours (0.73 L to 0.87 L).'
    """
    lost = found.litres_100h
    ends = sorted((abs(lost.low), abs(lost.high)))
    if not found.clear:
        most = max(lost.value + _CLEAR * (lost.high - lost.value), 0.0)
        return [words.sentence("level.losses.none", units=units, most_l=most), *_left_out(found)]
    message = "level.losses.loses" if lost.value > 0 else "level.losses.gains"
    said = [words.sentence(message, units=units, lost_l=abs(lost.value), low_l=ends[0], high_l=ends[1])]
    if lost.value > 0:
        drops = round(found.drops_min)
        said.append(words.sentence("level.losses.drops" if drops > 1 else "level.losses.drop", drops=drops))
    else:
        said.append(words.sentence("level.losses.gains_why"))
    return said + _left_out(found)


def _left_out(found: Losses) -> list[str]:
    if not found.left_out:
        return []
    rows = ", ".join(str(place + 1) for place in found.left_out)
    return [words.sentence("level.losses.left_out", rows=rows)]
