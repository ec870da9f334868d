"""An excavator from the side: boom, arm, bucket and blade by their rods."""

from __future__ import annotations

from collections.abc import Mapping
from math import atan2, hypot, pi, radians

from coldmark.bench.pictures.linkage import Point, Ram, beyond, corner, lowered_onto_ground, meeting, turned
from coldmark.bench.pictures.rods import at, body, glazed, moved, pin, ram, track
from coldmark.bench.pictures.svg import INK, group, path
from coldmark.bench.shapes import dataclass

__all__ = ["excavator"]

_FOOT: Point = (0.78, 1.0)
_BOOM = 2.15
_ARM = 1.2
# Boom cylinder: pinned below the boom's foot, and to the boom under its knee.
_BOOM_BASE: Point = (0.98, 0.6)
_BOOM_LUG: Point = (1.0, 0.14)
_BOOM_CLOSED, _BOOM_OPEN = 0.73, 1.36
# Arm cylinder: along the boom's back to a lug behind the arm's pin.
_ARM_BASE = (1.22, radians(-13.0))
_ARM_LUG = 0.34
_ARM_CLOSED, _ARM_OPEN = 0.95, 1.51
# Bucket cylinder: along the arm to a rocker; a link from there to the bucket. Around the bucket's pin, arm along x.
_BUCKET_BASE: Point = (-1.04, 0.2)
_ROCKER: Point = (-0.28, 0.04)
_ROCKER_LENGTH, _LINK, _BUCKET_LUG = 0.28, 0.36, 0.2
_BUCKET_CLOSED, _BUCKET_OPEN = 0.58, 0.97
# The bucket around its pin, teeth along x.
_BUCKET: tuple[Point, ...] = (
    (-0.1, 0.06), (0.05, -0.05), (0.2, 0.03), (0.6, -0.02), (0.68, -0.01), (0.61, 0.06),
    (0.55, 0.27), (0.42, 0.42), (0.24, 0.49), (0.05, 0.46), (-0.09, 0.34), (-0.14, 0.2),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Front:
    """Where everything ahead of the cab is, for one angle of the boom."""

    boom_angle: float
    tip: Point
    arm_angle: float
    arm_lug: Point
    arm_base: Point
    pin: Point
    bucket_base: Point
    rocker: Point
    rocker_end: Point
    bucket_lug: Point
    bucket: list[Point]


def _boom_angle(share: float) -> float:
    reach = hypot(_BOOM_BASE[0] - _FOOT[0], _BOOM_BASE[1] - _FOOT[1])
    below = atan2(_BOOM_BASE[1] - _FOOT[1], _BOOM_BASE[0] - _FOOT[0])
    length = _BOOM_CLOSED + share * (_BOOM_OPEN - _BOOM_CLOSED)
    return below + corner(reach, hypot(*_BOOM_LUG), length) - atan2(_BOOM_LUG[1], _BOOM_LUG[0])


def _front(boom_angle: float, arm: float, bucket: float) -> _Front:
    tip = beyond(_FOOT, boom_angle, _BOOM)
    back = boom_angle + pi + _ARM_BASE[1]
    arm_base = beyond(tip, back, _ARM_BASE[0])
    lug_angle = back - corner(_ARM_BASE[0], _ARM_LUG, _ARM_CLOSED + arm * (_ARM_OPEN - _ARM_CLOSED))
    arm_angle = lug_angle - pi + radians(4.0)
    pinned = beyond(tip, arm_angle, _ARM)
    base, rocker = turned((_BUCKET_BASE, _ROCKER), pinned, arm_angle)
    along = hypot(base[0] - rocker[0], base[1] - rocker[1])
    length = _BUCKET_CLOSED + bucket * (_BUCKET_OPEN - _BUCKET_CLOSED)
    swing = atan2(base[1] - rocker[1], base[0] - rocker[0]) - corner(along, _ROCKER_LENGTH, length)
    rocker_end = beyond(rocker, swing, _ROCKER_LENGTH)
    lug = meeting(pinned, _BUCKET_LUG, rocker_end, _LINK)
    teeth = atan2(lug[1] - pinned[1], lug[0] - pinned[0]) - radians(115.0)
    shape = turned(_BUCKET, pinned, teeth)
    return _Front(
        boom_angle,
        tip,
        arm_angle,
        beyond(tip, lug_angle, _ARM_LUG),
        arm_base,
        pinned,
        base,
        rocker,
        rocker_end,
        lug,
        shape,
    )


def _lowest(front: _Front) -> float:
    return min(y for _, y in [*front.bucket, front.bucket_base, front.rocker_end, front.tip])


def _limb(front: _Front) -> str:
    """Return boom, arm and bucket with their cylinders."""
    angle = front.boom_angle
    knee = (
        (0.0, 0.13),
        (0.82, 0.45),
        (1.12, 0.44),
        (2.15, 0.1),
        (2.18, -0.08),
        (1.08, 0.14),
        (0.86, 0.14),
        (0.06, -0.14),
    )
    boom = turned(knee, _FOOT, angle)
    arm_shape = ((-0.36, 0.06), (-0.3, 0.13), (0.1, 0.17), (1.2, 0.07), (1.24, -0.05), (0.0, -0.14), (-0.1, -0.1))
    arm = turned(arm_shape, front.tip, front.arm_angle)
    lug = turned((_BOOM_LUG,), _FOOT, angle)[0]
    links = [at(point) for point in (front.rocker, front.rocker_end, front.bucket_lug)]
    link = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in links)
    return group(
        ram(Ram(front.bucket_base, front.rocker_end, _BUCKET_CLOSED), "bucket", thick=5),
        path(link, fill="none", stroke=INK, stroke_width=3.4, stroke_linejoin="round", class_="link"),
        moved(front.bucket, "bucket"),
        moved(arm, "arm"),
        ram(Ram(front.arm_base, front.arm_lug, _ARM_CLOSED), "arm", thick=5.5),
        moved(boom, "boom"),
        ram(Ram(_BOOM_BASE, lug, _BOOM_CLOSED), "boom"),
        *(pin(point) for point in (_FOOT, front.tip, front.pin)),
        class_="limb",
    )


def _blade(share: float) -> str:
    turn = radians(2.0 - 24.0 * share)
    pivot: Point = (0.55, 0.42)
    edge = beyond(pivot, turn, 0.88)
    foot = 0.0 if share > 0.95 else max(0.0, edge[1] - 0.17)
    plate = [(1.4, foot), (1.46, foot), (1.5, foot + 0.2), (1.47, foot + 0.42), (1.38, foot + 0.42), (1.41, foot + 0.2)]
    arm = [pivot, (1.4, foot + 0.24), (1.4, foot + 0.1), (0.55, 0.26)]
    return group(body(arm), body(plate), class_="blade")


def excavator(rods: Mapping[str, float], *, digs: bool = False) -> str:
    """Return an excavator with its rods out as said: boom up, arm in, bucket curled, blade down at 1.

    Unless it ``digs``, a bucket in the ground or just above it rests on the ground: a posture is told by its words, and
    these proportions are of no machine.

    >>> excavator({"boom": 0.3}).startswith("<g")
    True
    """
    arm, bucket = rods.get("arm", 0.4), rods.get("bucket", 0.6)
    angle = _boom_angle(rods.get("boom", 0.35))
    if not digs:
        angle = lowered_onto_ground(lambda turn: _lowest(_front(turn, arm, bucket)), angle)
    house = [(-1.12, 0.72), (-1.2, 0.95), (-1.16, 1.3), (-0.75, 1.42), (0.0, 1.42), (0.0, 0.72)]
    cab = [
        (-0.32, 0.72),
        (-0.32, 2.2),
        (-0.22, 2.32),
        (0.42, 2.32),
        (0.5, 2.24),
        (0.68, 1.35),
        (0.86, 1.16),
        (0.9, 0.72),
    ]
    window = [(-0.2, 1.4), (-0.2, 2.16), (0.36, 2.18), (0.53, 1.4)]
    return group(
        _blade(rods.get("blade", 0.0)),
        body([(-0.3, 0.5), (0.3, 0.5), (0.34, 0.76), (-0.34, 0.76)]),
        track(-1.1, 1.1, 0.56),
        body(house),
        body(cab),
        glazed(window),
        _limb(_front(angle, arm, bucket)),
        class_="excavator-drawn",
    )
