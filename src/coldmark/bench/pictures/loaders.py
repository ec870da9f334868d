"""Machines that lift ahead of themselves from the side: track and wheel loader, telehandler, dumper."""

from __future__ import annotations

from collections.abc import Mapping
from math import atan2, cos, hypot, radians, sin

from coldmark.bench.pictures.linkage import Point, Ram, beyond, turned
from coldmark.bench.pictures.rods import body, glazed, moved, pin, ram, track, wheel
from coldmark.bench.pictures.svg import group

__all__ = ["dumper", "telehandler", "track_loader", "wheel_loader"]

# The loader's bucket around its pin, floor along x when it lies flat.
_BUCKET: tuple[Point, ...] = (
    (-0.06, 0.36), (-0.1, 0.1), (-0.06, -0.13), (0.06, -0.2), (0.74, -0.2), (0.78, -0.17),
    (0.2, -0.02), (0.1, 0.1), (0.08, 0.34),
)  # fmt: skip
_FORKS: tuple[Point, ...] = (
    (-0.05, 0.5), (-0.07, -0.22), (0.02, -0.26), (0.95, -0.24), (0.95, -0.19), (0.07, -0.17), (0.05, 0.5),
)  # fmt: skip


def _bucket_ahead(
    knuckle: Point, lean: float, tilt: float, pinned: Point, shape: tuple[Point, ...], close: float
) -> str:
    """Return a bucket or forks at ``knuckle``, rolled back at 0 and tipped at 1, with the rod that does it."""
    angle = lean + radians(32.0 - 92.0 * tilt)
    top = turned(((-0.04, 0.28),), knuckle, angle)[0]
    return group(
        ram(Ram(pinned, top, close), "bucket", thick=5),
        moved(turned(shape, knuckle, angle), "bucket"),
    )


def _lift_arm(rods: Mapping[str, float], pivot: Point, base: Point, length: float, shape: tuple[Point, ...]) -> str:
    """Return a loader's arm and bucket. ``shape`` is the arm around its pivot, its tip at ``length`` along x."""
    lift = rods.get("lift", rods.get("boom", 0.0))
    down = atan2(0.2 - pivot[1], (length**2 - (pivot[1] - 0.2) ** 2) ** 0.5)
    angle = down + radians(72.0) * lift
    tip = beyond(pivot, angle, length)
    lug = turned(((length * 0.52, 0.0),), pivot, angle)[0]
    pinned = turned(((length * 0.7, 0.22),), pivot, angle)[0]
    # The rod's own work is seen against the arm; at 0.35 a lowered bucket lies flat.
    lean = 0.6 * (angle - down)
    return group(
        ram(Ram(base, lug, hypot(base[0] - pivot[0], base[1] - pivot[1]) * 1.1), "lift"),
        moved(turned(shape, pivot, angle), "arm"),
        _bucket_ahead(tip, lean, rods.get("bucket", 0.35), pinned, _BUCKET, 0.34),
        pin(pivot),
        pin(tip),
        class_="limb",
    )


_LOADER_ARM: tuple[Point, ...] = (
    (-0.12, 0.1), (0.9, 0.2), (1.75, 0.24), (1.98, 0.12), (2.2, 0.06),
    (2.2, -0.07), (1.86, -0.1), (1.6, 0.06), (0.8, 0.0), (-0.12, -0.1),
)  # fmt: skip


def track_loader(rods: Mapping[str, float]) -> str:
    """Return a compact track loader: lift arm up and bucket tipped at 1.

    >>> track_loader({"lift": 0.5}).startswith("<g")
    True
    """
    house = [
        (-0.95, 0.5),
        (-1.05, 0.8),
        (-1.0, 1.62),
        (-0.7, 1.7),
        (-0.45, 1.2),
        (0.75, 1.0),
        (0.95, 0.66),
        (0.95, 0.5),
    ]
    cab = [(-0.5, 0.8), (-0.55, 2.1), (-0.45, 2.2), (0.3, 2.2), (0.42, 2.1), (0.72, 1.0), (0.8, 0.8)]
    return group(
        track(-1.1, 1.1, 0.56),
        body(house),
        body(cab),
        glazed([(-0.4, 1.2), (-0.43, 2.06), (0.24, 2.06), (0.5, 1.2)]),
        _lift_arm(rods, (-0.85, 1.5), (-0.7, 0.86), 2.2, _LOADER_ARM),
        class_="loader-drawn",
    )


def wheel_loader(rods: Mapping[str, float]) -> str:
    """Return a wheel loader: lift arm up and bucket tipped at 1.

    >>> wheel_loader({"lift": 0.5}).startswith("<g")
    True
    """
    house = [(-1.25, 0.62), (-1.25, 1.3), (-0.6, 1.42), (-0.6, 0.95), (0.75, 0.95), (0.85, 0.62)]
    cab = [(-0.6, 0.9), (-0.6, 2.2), (-0.5, 2.3), (0.1, 2.3), (0.2, 2.2), (0.34, 0.9)]
    shape = ((-0.08, 0.1), (0.7, 0.24), (1.35, 0.06), (1.38, -0.06), (0.7, 0.02), (-0.08, -0.1))
    return group(
        body(house),
        body(cab),
        glazed([(-0.48, 1.36), (-0.48, 2.14), (0.06, 2.14), (0.16, 1.36)]),
        wheel(-0.8, 0.42),
        wheel(0.72, 0.42),
        _lift_arm(rods, (0.45, 1.15), (0.5, 0.7), 1.38, shape),
        class_="loader-drawn",
    )


def telehandler(rods: Mapping[str, float]) -> str:
    """Return a telehandler: boom up, boom out and forks tipped at 1.

    >>> telehandler({"telescope": 1.0}) == telehandler({"telescope": 0.0})
    False
    """
    lift = rods.get("lift", rods.get("boom", 0.0))
    reach = 1.15 * rods.get("telescope", 0.0)
    pivot: Point = (-1.0, 1.5)
    angle = radians(-20.0 + 78.0 * lift)
    outer = 2.15
    tip = beyond(pivot, angle, outer + 0.2 + reach)
    drop = turned(((0.22, -0.42),), tip, angle)[0]
    lug = beyond(pivot, angle, 1.05)
    base: Point = (-0.62, 0.82)
    inner = [(outer - 0.4, 0.1), (outer + 0.12 + reach, 0.1), (outer + 0.46 + reach, -0.36)]
    inner += [(outer + 0.4 + reach, -0.48), (outer + 0.1 + reach, -0.1), (outer - 0.4, -0.1)]
    cab = [(-0.72, 0.7), (-0.72, 1.9), (-0.62, 2.05), (-0.05, 2.05), (0.06, 1.94), (0.22, 1.1), (0.22, 0.7)]
    boom = turned(((-0.15, 0.17), (outer, 0.16), (outer, -0.16), (-0.15, -0.17)), pivot, angle)
    return group(
        body(cab),
        glazed([(-0.62, 1.25), (-0.62, 1.86), (-0.1, 1.88), (0.1, 1.25)]),
        body(
            [
                (-1.28, 0.5),
                (-1.28, 1.1),
                (-1.1, 1.62),
                (-0.86, 1.62),
                (-0.72, 1.0),
                (1.0, 1.0),
                (1.15, 0.8),
                (1.15, 0.5),
            ]
        ),
        wheel(-0.85, 0.45),
        wheel(0.85, 0.45),
        ram(Ram(base, lug, 0.72), "lift"),
        moved(turned(tuple(inner), pivot, angle), "telescope"),
        moved(boom, "boom"),
        _bucket_ahead(drop, 0.45 * (angle - radians(-20.0)), rods.get("bucket", 0.35), _nose(tip, angle), _FORKS, 0.3),
        pin(pivot),
        pin(drop),
        class_="telehandler-drawn",
    )


def _nose(tip: Point, angle: float) -> Point:
    return tip[0] - 0.18 * cos(angle) - 0.02 * sin(angle), tip[1] - 0.18 * sin(angle) + 0.02 * cos(angle)


def dumper(rods: Mapping[str, float]) -> str:
    """Return a site dumper, its skip ahead and tipped at 1.

    >>> dumper({"skip": 1.0}) == dumper({"skip": 0.0})
    False
    """
    tipped = rods.get("skip", rods.get("lift", rods.get("bucket", 0.0)))
    hinge: Point = (1.0, 0.95)
    skip = ((-1.15, 0.0), (-1.2, 0.62), (-1.0, 0.72), (0.25, 0.62), (0.42, 0.42), (0.1, 0.0))
    angle = -radians(58.0) * tipped
    lug = turned(((-0.45, 0.05),), hinge, angle)[0]
    return group(
        body([(-1.2, 0.55), (-1.25, 1.15), (-0.45, 1.2), (-0.4, 0.8), (1.05, 0.8), (1.05, 0.55)]),
        body([(-0.78, 1.2), (-0.95, 1.75), (-0.85, 1.78), (-0.62, 1.3), (-0.45, 1.3), (-0.45, 1.2)]),
        body([(-1.1, 1.2), (-1.1, 2.35), (-1.02, 2.35), (-1.02, 1.2)]),
        ram(Ram((-0.15, 0.75), lug, 0.6), "skip"),
        moved(turned(skip, hinge, angle), "skip"),
        wheel(-0.75, 0.45),
        wheel(0.8, 0.45),
        pin(hinge),
        class_="dumper-drawn",
    )
