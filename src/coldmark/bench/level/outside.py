"""Oil outside the tank: what cylinders and accumulators draw from it by the machine's posture."""

from __future__ import annotations

import math
from collections.abc import Mapping

from coldmark.bench.errors import Missing, require_between, require_choice
from coldmark.bench.level.model import Accumulator, Cylinder, Posture, System
from coldmark.bench.shapes import dataclass

__all__ = ["Standing", "accumulator_l", "cylinder_draw_l", "cylinder_holds_l", "draw_l", "extremes_l", "standing_of"]

_MM3_PER_L = 1e6

_BETWEEN_QUARTERS = 0.125
"""How well a rod that is part way out is known: people say it in quarters."""

_AT_THE_STOP = 0.02


def _area_mm2(diameter_mm: float) -> float:
    return math.pi / 4 * diameter_mm**2


def cylinder_draw_l(cylinder: Cylinder, extension: float) -> float:
    """Litres that cylinders draw from the tank when their rods go out.

    Parameters
    ----------
    cylinder
        Kind, sizes [mm] and count.
    extension
        How far the rods are out, 0 to 1 [-].

    Returns
    -------
    float
        Litres fewer in the tank than with the rods in [L].

    Valid for
        Cylinders that are full on every side that holds oil. Regeneration changes flow, never volume.

    Raises
    ------
    OutOfRange
        When the extension is not between 0 and 1.

    Source
        Geometry: double-acting, the rod's own volume that has left; plunger, the ram's; single-acting with a dry rod
        side, the bore; through-rod, nothing.

    Examples
    --------
    >>> arm = Cylinder("arm", "double", bore_mm=100, rod_mm=56, stroke_mm=800)
    >>> round(cylinder_draw_l(arm, 1.0), 6)
    1.970407
    """
    require_between("extension", extension, 0.0, 1.0, "0 is all the way in, 1 all the way out")
    if cylinder.kind == "through":
        return 0.0
    across = cylinder.bore_mm if cylinder.kind == "single_dry" else cylinder.rod_mm
    return cylinder.count * _area_mm2(across) * cylinder.stroke_mm * extension / _MM3_PER_L


def cylinder_holds_l(cylinder: Cylinder, extension: float) -> float:
    """Litres of oil inside cylinders, both sides together.

    Parameters
    ----------
    cylinder
        Kind, sizes [mm] and count.
    extension
        How far the rods are out, 0 to 1 [-].

    Returns
    -------
    float
        Oil in the cylinders [L].

    Valid for
        As :func:`cylinder_draw_l`; ports and dead volume are left out.

    Raises
    ------
    OutOfRange
        When the extension is not between 0 and 1.

    Source
        Geometry: what they hold with the rods in, and what they have drawn since.

    Examples
    --------
    >>> arm = Cylinder("arm", "double", bore_mm=100, rod_mm=56, stroke_mm=800)
    >>> round(cylinder_holds_l(arm, 0.0), 6), round(cylinder_holds_l(arm, 1.0), 6)
    (4.312778, 6.283185)
    """
    drawn = cylinder_draw_l(cylinder, extension)
    if cylinder.kind in {"plunger", "single_dry"}:
        return drawn
    ring = _area_mm2(cylinder.bore_mm) - _area_mm2(cylinder.rod_mm)
    return cylinder.count * ring * cylinder.stroke_mm / _MM3_PER_L + drawn


def accumulator_l(accumulator: Accumulator) -> float:
    """Litres of oil that a charged gas accumulator holds until it is blown down.

    Parameters
    ----------
    accumulator
        Gas volume [L], gas charge and working pressure [bar absolute], exponent of the gas [-].

    Returns
    -------
    float
        Oil in the accumulator [L].

    Valid for
        An ideal gas at one temperature; exponent 1 for slow filling, 1.4 for quick.

    Raises
    ------
    Contradiction
        Already when the accumulator is made with a working pressure below its gas charge.

    Source
        Polytropic law of gases, V0 · (1 - (p0 / p)^(1/n)).

    Examples
    --------
    >>> round(accumulator_l(Accumulator("pilot", gas_l=1.4, charge_bar=20, working_bar=120)), 2)
    1.17
    """
    ratio = accumulator.charge_bar / accumulator.working_bar
    return accumulator.gas_l * (1.0 - math.pow(ratio, 1.0 / accumulator.exponent))


@dataclass(frozen=True, slots=True)
class Standing:
    """How the machine stands: the posture's key where it is one of the sheet, each rod's share, what is charged."""

    key: str | None
    extension: Mapping[str, float]
    charged: bool

    def spread_of(self, name: str) -> float:
        """How well a rod's share is known: at its stops it is; part way it was told in quarters."""
        share = self.extension.get(name, 0.0)
        return 0.0 if share < _AT_THE_STOP or share > 1.0 - _AT_THE_STOP else _BETWEEN_QUARTERS


def standing_of(system: System, posture: str | Mapping[str, float]) -> Standing:
    """Turn a posture of the sheet, or rods as told, into how the machine stands.

    Parameters
    ----------
    system
        The hydraulic system with its postures and cylinders.
    posture
        A posture's key, or for each cylinder how far its rod is out, 0 to 1 [-].

    Returns
    -------
    Standing
        Rods that are all within an eighth of a posture of the sheet are that posture, the check posture first.

    Valid for
        Any system.

    Raises
    ------
    NotAChoice
        When there is no such posture, or no such cylinder.
    Missing
        When a rod is told for some cylinders and left out for one.
    OutOfRange
        When a share is not between 0 and 1.

    Source
        Definition.

    Examples
    --------
    >>> from coldmark.bench.level.model import Gauge, Tank
    >>> arm = Cylinder("arm", "double", bore_mm=70, rod_mm=40, stroke_mm=600)
    >>> parked = Posture("parked", "arm in", {"arm": 1.0})
    >>> machine = System(tank=Tank("steel"), gauge=Gauge("glass"), check_posture="parked",
    ...                  postures={"parked": parked}, cylinders=(arm,))
    >>> standing_of(machine, {"arm": 0.95}).key
    'parked'
    """
    if isinstance(posture, str):
        chosen = system.postures[require_choice("posture", posture, system.postures)]
        return Standing(chosen.key, chosen.extension, chosen.charged)
    names = [cylinder.name for cylinder in system.cylinders]
    for name, share in posture.items():
        require_choice("rods", name, names)
        require_between("rods", share, 0.0, 1.0, "0 is all the way in, 1 all the way out")
    for name in names:
        if name not in posture:
            raise Missing(name=f"rod of {name}", needed_for="the oil outside the tank")
    ordered = sorted(system.postures.values(), key=lambda one: one.key != system.check_posture)
    for known in ordered:
        if names and all(
            abs(posture[name] - known.extension.get(name, posture[name])) <= _BETWEEN_QUARTERS for name in names
        ):
            return Standing(known.key, posture, known.charged)
    return Standing(None, posture, _check(system).charged)


def _check(system: System) -> Posture:
    return system.postures[system.check_posture]


def draw_l(system: System, standing: Standing) -> float:
    """Litres fewer in the tank than in the check posture; negative where there are more.

    Parameters
    ----------
    system
        The hydraulic system.
    standing
        How the machine stands, from :func:`standing_of`.

    Returns
    -------
    float
        Litres drawn from the tank beyond the check posture [L].

    Valid for
        A cylinder that a posture does not name is taken to stand as in the check posture.

    Raises
    ------
    Missing
        When a cylinder is named in the posture and not in the check posture.

    Source
        Geometry, by :func:`cylinder_draw_l` and :func:`accumulator_l`.

    Examples
    --------
    >>> from coldmark.bench.level.model import Gauge, Tank
    >>> arm = Cylinder("arm", "double", bore_mm=100, rod_mm=56, stroke_mm=800)
    >>> postures = {"in": Posture("in", "rods in", {"arm": 0.0}), "out": Posture("out", "rods out", {"arm": 1.0})}
    >>> machine = System(tank=Tank("steel"), gauge=Gauge("glass"), check_posture="in", postures=postures,
    ...                  cylinders=(arm,))
    >>> round(draw_l(machine, standing_of(machine, "out")), 2)
    1.97
    """
    check = _check(system)
    drawn = 0.0
    for cylinder in system.cylinders:
        share = standing.extension.get(cylinder.name)
        if share is None:
            continue
        there = check.extension.get(cylinder.name)
        if there is None:
            raise Missing(name=f"rod of {cylinder.name} in the check posture", needed_for="the oil outside the tank")
        drawn += cylinder_draw_l(cylinder, share) - cylinder_draw_l(cylinder, there)
    if standing.charged != check.charged:
        held = sum(accumulator_l(one) for one in system.accumulators)
        drawn += held if standing.charged else -held
    return drawn


def extremes_l(system: System) -> tuple[float, float]:
    """Litres drawn beyond the check posture at worst: all rods in and blown down; all rods out and charged.

    Parameters
    ----------
    system
        The hydraulic system.

    Returns
    -------
    tuple
        Least (negative or zero) and most (positive or zero) [L].

    Valid for
        Taken one by one to their stops, reachable together or not, so that the answer is on the safe side. A cylinder
        that the check posture does not name may stand anywhere in it.

    Raises
    ------
    OutOfRange
        Never with a system that could be made.

    Source
        Geometry, by :func:`cylinder_draw_l` and :func:`accumulator_l`.

    Examples
    --------
    >>> from coldmark.bench.level.model import Gauge, Tank
    >>> arm = Cylinder("arm", "double", bore_mm=100, rod_mm=56, stroke_mm=800)
    >>> machine = System(tank=Tank("steel"), gauge=Gauge("glass"), check_posture="in", cylinders=(arm,),
    ...                  postures={"in": Posture("in", "rods in", {"arm": 0.5})})
    >>> [round(litres, 2) for litres in extremes_l(machine)]
    [-0.99, 0.99]
    """
    check = _check(system)
    least = most = 0.0
    for cylinder in system.cylinders:
        full = cylinder_draw_l(cylinder, 1.0)
        there = check.extension.get(cylinder.name)
        least -= full if there is None else full * there
        most += full if there is None else full * (1.0 - there)
    held = sum(accumulator_l(one) for one in system.accumulators)
    return (least - held, most) if check.charged else (least, most + held)
