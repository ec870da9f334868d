"""Learn the litres between the marks from pours: what went in, and how far the glass moved."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from coldmark.bench import words
from coldmark.bench.errors import Contradiction, Missing, require_between
from coldmark.bench.level.mass import HasDensity
from coldmark.bench.level.model import System
from coldmark.bench.level.tank import Scale, growth, scale_of
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["Learned", "LevelPour", "learn", "with_learned"]

_ENOUGH = 1.0 / 3.0
_READ_TWICE = math.sqrt(2.0)
_LITRES_KNOWN_TO = 0.02  # a marked can or a meter, common practice
_THERMOMETER_K = 2.0
_LEAST_MOVED = 1e-3  # of the span between the marks: nobody reads finer, so the glass did not move

_SHEET_KNOWN_TO = {"measured": 0.10, "assumed": 0.30, "practice": 0.30, "told": 0.30}
_MANUAL_KNOWN_TO = 0.05
"""How well the sheet's litres between the marks are known, by origin, as a share; common practice, no source."""


@dataclass(frozen=True, slots=True)
class LevelPour:
    """Oil that went in (or, negative, came out) between two readings in one posture.

    ``litres_l`` as poured; ``oil_c`` the tank's temperature [°C]; ``jug_c`` that of the oil poured, the tank's where it
    is not known. ``after_c`` is the tank's temperature at the second reading where it was another by then: all the oil
    of the system has then grown or shrunk, which needs the system's litres.
    """

    before: float
    litres_l: float
    after: float
    oil_c: float
    jug_c: float | None = None
    after_c: float | None = None


@dataclass(frozen=True, slots=True)
class Learned:
    """Litres between the marks at 20 °C as the pours have them, with their range.

    ``share`` is how much of the span they covered together; ``believed`` once it is a third. ``left_out`` are the
    places of pours that do not fit the others.
    """

    between_l: Range
    share: float
    believed: bool
    left_out: tuple[int, ...]
    working: Working


@dataclass(frozen=True, slots=True)
class _Moved:
    """What one pour shows: litres at 20 °C for a movement of the glass, and how far warmth leaves them open."""

    place: int
    litres_l: float
    share: float
    warmth_l: float = 0.0


def _moved(place: int, pour: LevelPour, oil: HasDensity | None, system: System | None, scale: Scale | None) -> _Moved:
    for name, value in (("before_share", pour.before), ("after_share", pour.after)):
        require_between(name, value, -1.0, 2.0, "0 is the lower mark, 1 the upper")
    require_between("litres_l", pour.litres_l, -500.0, 500.0, "one pour")
    shape = None if scale is None else scale.times(1.0 / scale.between_l)
    heights = (pour.before, pour.after) if shape is None else (shape.litres(pour.before), shape.litres(pour.after))
    share = heights[1] - heights[0]
    warmed = pour.after_c is not None and abs(pour.after_c - pour.oil_c) > 0
    if abs(share) < _LEAST_MOVED or (share * pour.litres_l <= 0 and not warmed):
        raise Contradiction(name="after_share", value=pour.after, why="level.cannot.same_way", poured_l=pour.litres_l)
    if warmed:
        return _warmed(place, pour, heights, oil, system)
    litres = pour.litres_l
    if pour.jug_c is not None:
        if oil is None:
            raise Missing(name="oil", needed_for="a pour that was not as warm as the tank")
        litres *= oil.density(pour.jug_c) / oil.density(pour.oil_c)
    if system is not None:
        litres /= growth(system.tank.material, pour.oil_c)
    return _Moved(place, abs(litres), abs(share))


def _warmed(
    place: int, pour: LevelPour, heights: tuple[float, float], oil: HasDensity | None, system: System | None
) -> _Moved:
    """Solve the mass balance of a pour during which the oil warmed or cooled for the litres between the marks.

    poured mass = ρ₂·(g₂·(V₀ + b·x₂) + V_out) − ρ₁·(g₁·(V₀ + b·x₁) + V_out), with V_out = V_system − V₀ − b/2.
    """
    if oil is None:
        raise Missing(name="oil", needed_for=words.sentence("level.learn.warmed"))
    at_lower = None if system is None else system.tank.at_lower_l
    if system is None or system.system_l is None or at_lower is None:
        name = "system_l" if system is None or system.system_l is None else "at_lower_l"
        raise Missing(name=name, needed_for=words.sentence("level.learn.warmed"))
    held = system.system_l

    def between(first_c: float, second_c: float) -> float:
        rho = (oil.density(first_c), oil.density(second_c))
        grown = [
            density * growth(system.tank.material, t_c) for density, t_c in zip(rho, (first_c, second_c), strict=True)
        ]
        poured = oil.density(first_c if pour.jug_c is None else pour.jug_c) * pour.litres_l
        fixed = (grown[1] - grown[0]) * at_lower + (rho[1] - rho[0]) * (held - at_lower)
        per_litre = grown[1] * heights[1] - grown[0] * heights[0] - (rho[1] - rho[0]) / 2
        if abs(per_litre) <= 0 or (poured - fixed) / per_litre <= 0:
            raise Contradiction(
                name="after_share", value=pour.after, why="level.cannot.same_way_warmed", poured_l=pour.litres_l
            )
        return (poured - fixed) / per_litre

    after_c = pour.oil_c if pour.after_c is None else pour.after_c
    value = between(pour.oil_c, after_c)
    share = abs(heights[1] - heights[0])
    ends = (between(pour.oil_c, after_c + _THERMOMETER_K), between(pour.oil_c, after_c - _THERMOMETER_K))
    return _Moved(place, value * share, share, abs(ends[0] - ends[1]) / 2 * share)


def _error_share(resolution: float, count: int) -> float:
    """How far the sum of ``count`` movements may be off, as a share of the span."""
    return _READ_TWICE * resolution * math.sqrt(count)


def _fits(moved: _Moved, typical_l: float, resolution: float) -> bool:
    """Say whether a pour agrees with the typical litres within three times the reading's error."""
    allowed = 3.0 * (_error_share(resolution, 1) * typical_l + _LITRES_KNOWN_TO * moved.litres_l + moved.warmth_l)
    return abs(moved.litres_l - typical_l * moved.share) <= allowed


def _typical_l(all_moved: Sequence[_Moved]) -> float:
    """Median of litres per span, each pour weighted by how far it moved the glass."""
    ordered = sorted(all_moved, key=lambda one: one.litres_l / one.share)
    half = sum(one.share for one in ordered) / 2
    passed = 0.0
    for one in ordered:
        passed += one.share
        if passed >= half:
            return one.litres_l / one.share
    return ordered[-1].litres_l / ordered[-1].share


def learn(pours: Sequence[LevelPour], *, oil: HasDensity | None = None, system: System | None = None) -> Learned:
    """Learn the litres between the marks from pours.

    Parameters
    ----------
    pours
        Readings before and after [-], litres [L] and temperatures [°C].
    oil
        The oil; needed where a pour was not as warm as the tank.
    system
        The system: its gauge's resolution, its tank's material and, where known, its shape.

    Returns
    -------
    Learned
        Litres between the marks [L at 20 °C] with their range, and whether they may be believed.

    Valid for
        Pours in one posture, read settled. Where the oil warmed up meanwhile, its growth is taken off, and two kelvins
        of thermometer go into the range. A large pour counts for more than a small one, because the reading's error
        is the same for both: the sum of litres over the sum of movements. Pours that the weighted median of all does
        not allow are left out.

    Raises
    ------
    Missing
        When there are no pours, or a temperature correction lacks the oil or the system's litres.
    Contradiction
        When the reading went the other way than the oil, or warmth alone would have moved it further.
    OutOfRange
        When a reading or the litres of a pour cannot be.

    Source
        Ratio of sums; error of a reading by the gauge's resolution, in quadrature; litres known to 2 %.

    Examples
    --------
    >>> found = learn([LevelPour(before=0.2, litres_l=2.0, after=0.7, oil_c=20.0)])
    >>> round(found.between_l.value, 6), found.believed
    (4.0, True)
    """
    if not pours:
        raise Missing(name="pours", needed_for="learning the litres between the marks")
    resolution = 0.03 if system is None else system.gauge.resolution
    scale = None if system is None else scale_of(system.tank, system.gauge)
    every = [_moved(place, pour, oil, system, scale) for place, pour in enumerate(pours)]
    typical = _typical_l(every)
    kept = [one for one in every if _fits(one, typical, resolution)] or every
    litres, share = sum(one.litres_l for one in kept), sum(one.share for one in kept)
    error = _error_share(resolution, len(kept))
    value = litres / share
    warmth = math.hypot(*(one.warmth_l for one in kept)) / litres
    off = math.hypot(error / share, _LITRES_KNOWN_TO, warmth)
    between = Range(value, value * max(0.0, 1.0 - off), value * (1.0 + off))
    step = Step(
        "level.step.learned",
        "V_between = Σ litres / Σ movement",
        (Given("Σ litres", litres, "l", "measured"), Given("Σ movement", share, "share", "measured")),
        value,
        "l",
        "ratio of sums, pours at the tank's temperature",
    )
    left_out = tuple(one.place for one in every if one not in kept)
    return Learned(between, share, share >= _ENOUGH and off < 1.0, left_out, Working((step,)))


def with_learned(system: System, learned: Learned) -> System:
    """Put learned litres between the marks into a system, where they are better known than the sheet's.

    Parameters
    ----------
    system
        The system as the sheet has it.
    learned
        From :func:`learn`.

    Returns
    -------
    System
        The same system where the pours are not believed yet or the sheet is the better one; else one with the learned
        litres, their range and the origin *learned*.

    Valid for
        A sheet's figure counts as known to 5 % from a manual, 10 % when measured, 30 % when assumed.

    Raises
    ------
    Contradiction
        When the tank's shape gives less than half or more than one and a half times as much.

    Source
        Common practice, no source.

    Examples
    --------
    >>> from coldmark.bench.level.model import Gauge, Posture, Tank
    >>> bare = System(tank=Tank("steel"), gauge=Gauge("glass"), check_posture="parked",
    ...               postures={"parked": Posture("parked", "arm in", {})})
    >>> round(with_learned(bare, learn([LevelPour(0.2, 2.0, 0.7, oil_c=20.0)])).tank.between_marks_l, 6)
    4.0
    """
    if not learned.believed:
        return system
    between = learned.between_l
    known = scale_of(system.tank, system.gauge)
    if known is not None:
        known_to = _SHEET_KNOWN_TO.get(system.origins.get("between_marks_l", "manual"), _MANUAL_KNOWN_TO)
        if known_to <= (between.high - between.value) / between.value:
            return system
    tank = replace(system.tank, between_marks_l=between.value, between_low_l=between.low, between_high_l=between.high)
    changed = replace(system, tank=tank, origins={**system.origins, "between_marks_l": "learned"})
    scale_of(changed.tank, changed.gauge)
    return changed
