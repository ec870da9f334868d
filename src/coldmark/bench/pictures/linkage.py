"""The geometry of moved parts, for drawings: what a cylinder's rod does to the arm that it moves.

Lengths are in metres of an ordinary machine of the kind, y upwards, the machine looking to the right. The figures are
those of no machine; they give each posture its true look, not its measures.
"""

from __future__ import annotations

from collections.abc import Callable
from math import acos, atan2, cos, hypot, pi, sin

from coldmark.bench.shapes import dataclass

__all__ = ["Point", "Ram", "beyond", "corner", "lowered_onto_ground", "meeting", "turned"]

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Ram:
    """A cylinder as drawn: where its barrel and its rod are pinned, and how long it is closed."""

    base: Point
    end: Point
    closed: float


def beyond(start: Point, angle: float, distance: float) -> Point:
    """Return the point ``distance`` from ``start`` at ``angle`` [rad].

    >>> beyond((1.0, 0.0), 0.0, 2.0)
    (3.0, 0.0)
    """
    return start[0] + distance * cos(angle), start[1] + distance * sin(angle)


def turned(points: tuple[Point, ...], about: Point, angle: float) -> list[Point]:
    """Return points given around (0, 0), turned by ``angle`` [rad] and set at ``about``.

    >>> turned(((1.0, 0.0),), (2.0, 2.0), 0.0)
    [(3.0, 2.0)]
    """
    c, s = cos(angle), sin(angle)
    return [(about[0] + x * c - y * s, about[1] + x * s + y * c) for x, y in points]


def corner(a: float, b: float, opposite: float) -> float:
    """Return the angle [rad] between sides ``a`` and ``b`` of a triangle, by the law of cosines.

    >>> round(corner(3, 4, 5) * 180 / pi, 6)
    90.0
    """
    return acos(max(-1.0, min(1.0, (a * a + b * b - opposite * opposite) / (2 * a * b))))


def meeting(first: Point, first_radius: float, second: Point, second_radius: float) -> Point:
    """Return where two links meet: of the two points, the one to the right of the line from first to second.

    >>> x, y = meeting((0.0, 0.0), 3.0, (5.0, 0.0), 4.0)
    >>> round(x, 6), round(y, 6)
    (1.8, -2.4)
    """
    across = hypot(second[0] - first[0], second[1] - first[1])
    heading = atan2(second[1] - first[1], second[0] - first[0])
    return beyond(first, heading - corner(first_radius, across, second_radius), first_radius)


def lowered_onto_ground(lowest: Callable[[float], float], angle: float, *, near: float = 0.25) -> float:
    """Return the angle [rad] at which the attachment rests on the ground, when it is in or just above it.

    ``lowest`` gives the height [m] of the attachment's lowest point for an angle, and grows with it. Far above the
    ground the angle is left as it is.

    >>> round(lowered_onto_ground(lambda angle: angle - 0.2, 0.1), 6)
    0.2
    >>> lowered_onto_ground(lambda angle: angle + 1.0, 0.1)
    0.1
    """
    if lowest(angle) > near:
        return angle
    low, high = angle - pi / 4, angle + pi / 2
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (low, middle) if lowest(middle) >= 0 else (middle, high)
    return high
