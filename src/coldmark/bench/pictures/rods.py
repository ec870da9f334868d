"""What machines are drawn from: how the sheet's cylinder names are understood, and the parts all of them share."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import hypot

from coldmark.bench.pictures import svg
from coldmark.bench.pictures.linkage import Point, Ram

__all__ = ["GROUND", "HEIGHT", "WIDTH", "at", "body", "glazed", "moved", "pin", "ram", "rod_out", "track", "wheel"]

WIDTH, HEIGHT, GROUND = 300.0, 230.0, 216.0
_SCALE, _ORIGIN = 50.0, 66.0

_WORDS = {
    "boom": ("boom",),
    "arm": ("arm", "dipper", "stick"),
    "blade": ("blade", "dozer"),
    "telescope": ("telescop", "extension", "extend"),
    "bucket": ("bucket", "curl", "crowd", "tilt", "carriage", "attachment"),
    "lift": ("lift", "hoist"),
    "skip": ("skip", "tip", "body"),
}


def rod_out(extension: Mapping[str, float]) -> dict[str, float]:
    """Return how far rods are out by the part they move, from the sheet's names of the cylinders.

    >>> rod_out({"boom cylinder": 0.25, "lift_arm": 0.5, "swing": 1.0})
    {'boom': 0.25, 'lift': 0.5}
    """
    known: dict[str, float] = {}
    for name, share in extension.items():
        low = name.lower()
        # "lift arm" moves the lift, not an excavator's arm.
        part = (
            "lift"
            if "lift" in low
            else next((part for part, words in _WORDS.items() if any(w in low for w in words)), None)
        )
        if part is not None:
            known[part] = share
    return known


def at(point: Point) -> Point:
    """Return a point of the machine [m, y upwards] in the drawing."""
    return _ORIGIN + _SCALE * point[0], GROUND - _SCALE * point[1]


def body(points: Iterable[Point], class_: str = "body") -> str:
    """Return a filled part of the machine with rounded corners."""
    return svg.polygon(
        [at(point) for point in points],
        fill=svg.INK,
        stroke=svg.INK,
        stroke_width=2.5,
        stroke_linejoin="round",
        class_=class_,
    )


def moved(points: Iterable[Point], class_: str) -> str:
    """Return a part that moves before others, set off from what is behind it by an edge as bright as the paper."""
    shape = list(points)
    edge = svg.polygon(
        [at(point) for point in shape],
        fill=svg.PAPER,
        stroke=svg.PAPER,
        stroke_width=6,
        stroke_linejoin="round",
        class_="edge",
    )
    return edge + body(shape, f"body {class_}")


def glazed(points: Iterable[Point]) -> str:
    """Return a window."""
    return svg.polygon([at(point) for point in points], fill=svg.PAPER, class_="window")


def pin(point: Point, radius: float = 2.2) -> str:
    """Return a pin that two parts turn on."""
    x, y = at(point)
    return svg.circle(x, y, radius, fill=svg.PAPER, stroke=svg.INK, stroke_width=1.2, class_="pin")


def ram(cylinder: Ram, part: str, *, thick: float = 6.0) -> str:
    """Return a cylinder: its barrel as long as it is closed, the rod bright as far as it is out."""
    base, end = cylinder.base, cylinder.end
    length = hypot(end[0] - base[0], end[1] - base[1])
    share = min(0.9 * cylinder.closed / length, 0.94) if length else 0.0
    neck = base[0] + (end[0] - base[0]) * share, base[1] + (end[1] - base[1]) * share
    (x0, y0), (x1, y1), (x2, y2) = at(base), at(neck), at(end)
    return svg.group(
        svg.line(x1, y1, x2, y2, stroke=svg.PAPER, stroke_width=thick * 0.55 + 2, class_="rod-edge"),
        svg.line(x1, y1, x2, y2, stroke=svg.AMBER_LIGHT, stroke_width=thick * 0.55, class_="rod"),
        svg.line(
            x0, y0, x1, y1, stroke=svg.PAPER, stroke_width=thick + 2.4, stroke_linecap="round", class_="barrel-edge"
        ),
        svg.line(x0, y0, x1, y1, stroke=svg.INK_MID, stroke_width=thick, stroke_linecap="round", class_="barrel"),
        class_=f"ram ram-{part}",
    )


def track(left: float, right: float, height: float) -> str:
    """Return a rubber track with its wheels."""
    x0, y0 = at((left, height))
    x1, y1 = at((right, 0.0))
    radius = (y1 - y0) / 2
    wheels = 5
    step = (x1 - x0 - 2 * radius) / (wheels - 1)
    return svg.group(
        svg.rect(x0, y0, x1 - x0, y1 - y0, rx=radius, fill=svg.INK, class_="body"),
        svg.rect(x0 + 4, y0 + 4, x1 - x0 - 8, y1 - y0 - 8, rx=radius - 4, fill=svg.INK_MID, class_="track-inner"),
        *(
            svg.circle(
                x0 + radius + index * step,
                y0 + radius,
                radius - 6 if index in (0, wheels - 1) else radius * 0.42,
                fill=svg.INK,
                class_="body",
            )
            for index in range(wheels)
        ),
        class_="track",
    )


def wheel(x: float, radius: float) -> str:
    """Return a wheel standing on the ground."""
    cx, cy = at((x, radius))
    size = radius * _SCALE
    return svg.group(
        svg.circle(cx, cy, size, fill=svg.INK, stroke=svg.PAPER, stroke_width=2, class_="body"),
        svg.circle(cx, cy, size * 0.5, fill=svg.INK_MID, class_="hub"),
        svg.circle(cx, cy, size * 0.16, fill=svg.PAPER, class_="pin"),
        class_="wheel",
    )
