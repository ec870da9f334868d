"""Torque and pull of a bolt by the relation of VDI 2230, and what friction does to them."""

from __future__ import annotations

import math

from coldmark.bench.errors import CannotTell, require_above, require_between, require_choice
from coldmark.bench.joint.threads import Thread, thread
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Origin, Range, Step, Working

__all__ = ["CLASSES", "FRICTION", "Pull", "Tightening", "pull", "torque"]

CLASSES = ("8.8", "10.9", "12.9")
"""Property classes for which a torque is worked out: those that the published tables hold."""

FRICTION: dict[str, tuple[float, float]] = {
    "paste": (0.04, 0.10),
    "oiled": (0.08, 0.16),
    "dry": (0.14, 0.24),
    "zinc_dry": (0.14, 0.35),
}
"""Friction in thread and under the head by how the thread was treated: classes A, B, C, and C with D, of VDI 2230."""

_YIELD_SHARE = 0.9
_LEAST_MPA = {"10.9": 940.0, "12.9": 1100.0}

# Washer face of ISO 4014 and medium hole of ISO 273 [mm], by diameter.
_FACE_MM: dict[float, tuple[float, float]] = {
    6: (8.88, 6.6),
    8: (11.63, 9),
    10: (14.63, 11),
    12: (16.63, 13.5),
    14: (19.64, 15.5),
    16: (22.49, 17.5),
    18: (25.34, 20),
    20: (28.19, 22),
    22: (31.71, 24),
    24: (33.61, 26),
}
_BASIS = "VDI 2230: 90 % of the least yield strength; relation from memory, held against its published tables"
_CLASSES_OF_FRICTION = "friction classes of VDI 2230, as printed in a stored excerpt"


@dataclass(frozen=True, slots=True)
class Tightening:
    """How tight a bolt goes. ``mu`` is the friction, ``torque_nm`` the torque that loads it to 90 % of its yield.

    ``set_nm`` is the torque at the lowest friction: with more, a thread as slippery as that is stretched. ``pull_kn``
    is with what the bolt then holds, from the highest friction to the lowest.
    """

    thread: Thread
    property_class: str
    mu: Range
    torque_nm: Range
    set_nm: float
    pull_kn: Range
    working: Working


@dataclass(frozen=True, slots=True)
class Pull:
    """With what a bolt holds at a torque and a friction, and how much of its yield strength that takes."""

    kn: float
    yield_share: float


def _strength_mpa(one: Thread, property_class: str) -> float:
    if property_class == "8.8":
        return 640.0 if one.diameter_mm <= 16 else 660.0
    return _LEAST_MPA[property_class]


def _face_mm(one: Thread) -> float:
    face = _FACE_MM.get(one.diameter_mm)
    if face is None:
        raise CannotTell("joint.no_table", thread=one.name)
    return sum(face) / 2


def _pull_kn(one: Thread, property_class: str, mu: float) -> float:
    """Return the pull that loads the bolt, twisted by its thread's friction, to 90 % of its yield [kN]."""
    d2 = one.pitch_diameter_mm
    twist = 1.5 * d2 / one.stress_diameter_mm * (one.pitch_mm / (math.pi * d2) + 1.155 * mu)
    stress = _YIELD_SHARE * _strength_mpa(one, property_class) / math.sqrt(1 + 3 * twist**2)
    return one.stress_area_mm2 * stress / 1000


def _arm_mm(one: Thread, mu: float) -> float:
    """Return torque over pull [mm]: what the thread's slope, its flanks and the head's face take."""
    return 0.159 * one.pitch_mm + 0.577 * one.pitch_diameter_mm * mu + _face_mm(one) / 2 * mu


def _known_class(property_class: str) -> str:
    if property_class not in CLASSES:
        raise CannotTell("joint.class_unknown", classes=", ".join(CLASSES))
    return property_class


def pull(name: str, property_class: str, torque_nm: float, mu: float) -> Pull:
    """Return with what a bolt holds when it is tightened with a torque at a friction.

    Parameters
    ----------
    name : the thread, such as ``M10`` or ``M10x1.25``.
    property_class : ``8.8``, ``10.9`` or ``12.9``.
    torque_nm : torque [N·m].
    mu : friction in the thread and under the head.

    Returns
    -------
    Pull
        Pull [kN], and the share of the least yield strength that pull and twist take together; above 1 it stretches.

    Valid for
    ---------
    Bolts with a hexagon head on steel, M6 to M24, below their yield: beyond it they pull less than is told here.

    Raises
    ------
    OutOfRange
        For a torque of nothing or below; for a friction outside 0.02 to 0.6.
    CannotTell
        For another class or thread.

    Source
    ------
    VDI 2230; relation from memory, held against its published tables.

    Examples
    --------
    >>> found = pull("M10", "8.8", 48.3, 0.12)
    >>> round(found.kn, 1), round(found.yield_share, 2)
    (29.6, 0.9)
    """
    one, chosen = thread(name), _known_class(property_class)
    require_above("torque_nm", torque_nm, 0, "a torque")
    require_between("mu", mu, 0.02, 0.6, "friction of steel")
    kn = torque_nm / _arm_mm(one, mu)
    return Pull(kn, _YIELD_SHARE * kn / _pull_kn(one, chosen, mu))


def torque(name: str, property_class: str, friction: str | float = "oiled") -> Tightening:
    """Return the torque that loads a bolt to 90 % of its least yield strength, and with what it then holds.

    Parameters
    ----------
    name : the thread, such as ``M10`` or ``M10x1.25``.
    property_class : what the head is marked with: ``8.8``, ``10.9`` or ``12.9``.
    friction : how the thread was treated (``paste``, ``oiled``, ``dry``, ``zinc_dry``), or the friction itself.

    Returns
    -------
    Tightening
        A range of torque over the range of friction; ``set_nm`` is the one to set.

    Valid for
    ---------
    Bolts with a hexagon head on steel, M6 to M24, without any safety factor. The data sheet's figure wins.

    Raises
    ------
    NotAChoice
        For another treatment.
    OutOfRange
        For a friction outside 0.02 to 0.6.
    CannotTell
        For another class or thread.

    Source
    ------
    VDI 2230; relation from memory, held against its published tables; friction classes as printed.

    Examples
    --------
    >>> round(torque("M10", "8.8", 0.12).set_nm, 1)
    48.3
    >>> oiled = torque("M10", "8.8", "oiled")
    >>> round(oiled.set_nm, 1), round(oiled.torque_nm.high, 1)
    (36.3, 58.8)
    """
    one, chosen = thread(name), _known_class(property_class)
    if isinstance(friction, str):
        low, high = FRICTION[require_choice("friction", friction, FRICTION)]
    else:
        low = high = require_between("mu", friction, 0.02, 0.6, "friction of steel")
    mu = Range((low + high) / 2, low, high)
    at = {which: _pull_kn(one, chosen, which) * _arm_mm(one, which) for which in (mu.low, mu.value, mu.high)}
    set_nm = at[mu.low]
    pulls = {which: set_nm / _arm_mm(one, which) for which in at}
    return Tightening(
        thread=one,
        property_class=chosen,
        mu=mu,
        torque_nm=Range(at[mu.value], at[mu.low], at[mu.high]),
        set_nm=set_nm,
        pull_kn=Range(pulls[mu.value], pulls[mu.high], pulls[mu.low]),
        working=_working(one, chosen, mu, isinstance(friction, str)),
    )


def _working(one: Thread, property_class: str, mu: Range, by_treatment: bool) -> Working:
    strength, kn = _strength_mpa(one, property_class), _pull_kn(one, property_class, mu.low)
    origin: Origin = "practice" if by_treatment else "told"
    return Working(
        (
            Step(
                "working.joint.area",
                "π/4 · ((d₂ + d₃)/2)²",
                (
                    Given("d₂", one.pitch_diameter_mm, "mm", "worked_out"),
                    Given("d₃", one.core_mm, "mm", "worked_out"),
                    Given("P", one.pitch_mm, "mm", "practice"),
                ),
                one.stress_area_mm2,
                "mm2",
                "ISO 898-1, ISO 724",
            ),
            Step(
                "working.joint.pull",
                "A · 0.9 · R / √(1 + 3 · (1.5 · d₂/d₀ · (P/(π·d₂) + 1.155 · µ))²)",
                (
                    Given("A", one.stress_area_mm2, "mm2", "worked_out"),
                    Given("R", strength, "mpa", "practice"),
                    Given("µ", mu.low, "", origin),
                ),
                kn,
                "kn",
                _BASIS,
            ),
            Step(
                "working.joint.torque",
                "F · (0.159 · P + 0.577 · d₂ · µ + D/2 · µ)",
                (
                    Given("F", kn, "kn", "worked_out"),
                    Given("D", _face_mm(one), "mm", "practice"),
                    Given("µ", mu.low, "", origin),
                ),
                kn * _arm_mm(one, mu.low),
                "nm",
                f"{_BASIS}; {_CLASSES_OF_FRICTION}" if by_treatment else _BASIS,
            ),
        )
    )
