"""Whether the glass tells the truth: it must move when a rod moves."""

from __future__ import annotations

from collections.abc import Mapping

from coldmark.bench.errors import CannotTell, Missing, NotANumber, require_between
from coldmark.bench.level.mass import HasDensity
from coldmark.bench.level.model import Reading, System
from coldmark.bench.level.outside import draw_l, standing_of
from coldmark.bench.level.setting import Case, prepare
from coldmark.bench.level.steps import mass_steps
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Working

__all__ = ["GlassMoves", "glass_moves"]

_MUST_SHOW = 3.0
"""The expected movement must be this many times the reading's resolution before it can prove anything."""


@dataclass(frozen=True, slots=True)
class GlassMoves:
    """How far the glass should have moved and did, as shares of the span; ``blocked`` when it stood still."""

    expected: float
    seen: float
    blocked: bool
    working: Working


def glass_moves(
    system: System,
    first: tuple[Reading, str | Mapping[str, float]],
    second: tuple[Reading, str | Mapping[str, float]],
    oil_c: float,
    *,
    oil: HasDensity | None = None,
) -> GlassMoves:
    """Compare two readings in two postures with what the rods must have drawn from the tank.

    Parameters
    ----------
    first, second
        Reading [-] and posture, one after the other, without oil going in or out.
    oil_c
        The oil's temperature [°C].
    oil
        The oil, for its density; where it is not known, a usual mineral oil is assumed and ``off`` says so.

    Returns
    -------
    GlassMoves
        Expected and seen movement [-]; blocked when less than a third of the expected was seen.

    Valid for
        Two postures that must move the glass by three times its resolution or more.

    Raises
    ------
    CannotTell
        When the two postures hardly differ in the oil that they hold.
    Missing
        When the litres between the marks or the system's litres are not known.
    NotANumber
        When a reading is *below* or *above*.

    Source
        Conservation of mass.

    Examples
    --------
    >>> from coldmark.bench.level.model import Cylinder, Gauge, Posture, Tank
    >>> class Mineral:
    ...     def density(self, t_c): return 875.0 / (1 + 0.00075 * (t_c - 15))
    >>> arm = Cylinder("arm", "double", bore_mm=85, rod_mm=50, stroke_mm=800)
    >>> postures = {"in": Posture("in", "arm out", {"arm": 0.0}), "out": Posture("out", "arm in", {"arm": 1.0})}
    >>> machine = System(tank=Tank("steel", between_marks_l=8.0, at_lower_l=30.0), gauge=Gauge("glass"),
    ...                  check_posture="in", postures=postures, system_l=60.0, cylinders=(arm,))
    >>> glass_moves(machine, (0.6, "in"), (0.6, "out"), 20.0, oil=Mineral()).blocked
    True
    """
    shares: list[float] = []
    for name, (reading, _) in (("first", first), ("second", second)):
        if isinstance(reading, str):
            raise NotANumber(name=name, value=reading, right="0.45")
        shares.append(require_between(f"{name}_share", reading, -1.0, 2.0, "0 is the lower mark, 1 the upper"))
    setting = prepare(system, oil=oil)
    drawn = [draw_l(system, standing_of(system, posture)) for _, posture in (first, second)]
    at_lower = 0.0 if setting.at_lower is None else setting.at_lower.value
    case = Case(shares[0], oil_c, at_lower, drawn_l=drawn[0])
    body = setting.body(case)
    if body is None:
        raise Missing(name="between_marks_l", needed_for="the movement of the glass")
    then = body.move(shares[0], setting.where(oil_c, 1.0, drawn[0]), setting.where(oil_c, 1.0, drawn[1]))
    expected, seen = then - shares[0], shares[1] - shares[0]
    if abs(expected) < _MUST_SHOW * setting.resolution:
        raise CannotTell("level.cannot_tell.blocked", expected_share=abs(expected))
    blocked = seen * (1.0 if expected > 0 else -1.0) < abs(expected) / 3.0
    return GlassMoves(expected, seen, blocked, Working(mass_steps(setting, case)))
