"""An O-ring with its two measures, and a ring in its groove, cut through."""

from __future__ import annotations

from math import pi

from coldmark.bench.errors import require_above, require_choice
from coldmark.bench.pictures import svg
from coldmark.bench.words import UnitSystem, quantity, sentence

__all__ = ["ring", "ring_in_groove"]

_WIDTH, _HEIGHT = 360.0, 236.0
_LABEL_Y = 224.0
_DRAWN = "a drawing needs a size"


def _arrow(x1: float, y1: float, x2: float, y2: float) -> str:
    """Draw a measure's line with a head at each end; it runs along or across."""
    along = abs(x2 - x1) > abs(y2 - y1)
    heads = []
    for x, y, sign in ((x1, y1, 1.0), (x2, y2, -1.0)):
        # Short lines get small heads, so that the two do not meet.
        size = min(7.0, 0.45 * (abs(x2 - x1) + abs(y2 - y1)))
        side = 0.55 * size
        points = (
            [(x, y), (x + sign * size, y - side), (x + sign * size, y + side)]
            if along
            else [(x, y), (x - side, y + sign * size), (x + side, y + sign * size)]
        )
        heads.append(svg.polygon(points, fill=svg.AMBER, class_="measure-head"))
    return svg.group(svg.line(x1, y1, x2, y2, stroke=svg.AMBER, stroke_width=2.2, class_="measure"), *heads)


def _words(x: float, y: float, words: str, anchor: str = "middle", size: float = 15) -> str:
    return svg.text(x, y, words, size=size, bold=True, fill=svg.INK, text_anchor=anchor, class_="measure-words")


def _fine(value_mm: float, units: UnitSystem) -> str:
    return quantity(value_mm, "mm", units=units, fine=True)


def ring(inner_mm: float, section_mm: float, *, size: str = "", units: UnitSystem = "metric") -> str:
    """Draw a ring from above and cut through, with the two measures that tell its size.

    Parameters
    ----------
    inner_mm : inside diameter [mm].
    section_mm : how thick it is [mm].
    size : its number, where it has one.
    units : the reader's units.

    Returns
    -------
    str
        SVG. The ring is to scale; a very thin one is drawn no thinner than can be seen.

    Valid for
    ---------
    Every ring.

    Raises
    ------
    OutOfRange
        For a measure that is not above nought.

    Source
    ------
    Coldmark's own drawing.

    Examples
    --------
    >>> "18.64 mm" in ring(18.64, 3.53, size="210")
    True
    """
    require_above("inner_mm", inner_mm, 0, _DRAWN)
    require_above("section_mm", section_mm, 0, _DRAWN)
    x, y, radius = 100.0, 100.0, 88.0
    thick = max(radius * 2 * section_mm / (inner_mm + 2 * section_mm), 6.0)
    hole = radius - thick
    cut_x, cut_y, cut = 266.0, 74.0, 46.0
    name = sentence("picture.ring.name", size=size) if size else sentence("picture.ring.unnamed")
    inner, section = _fine(inner_mm, units), _fine(section_mm, units)
    body = svg.circle(
        x, y, radius - thick / 2, fill="none", stroke=svg.INK, stroke_width=thick, class_="ring-body"
    ) + svg.circle(cut_x, cut_y, cut, fill=svg.INK, class_="ring-cut")
    lead = (
        svg.line(
            x + radius - thick / 2,
            y + side * thick / 2,
            cut_x,
            cut_y + side * cut,
            stroke=svg.INK_MID,
            stroke_width=1.2,
            stroke_dasharray="4 4",
            class_="ring-lead",
        )
        for side in (-1, 1)
    )
    edges = (
        svg.line(cut_x, edge, cut_x + cut + 30, edge, stroke=svg.INK_MID, stroke_width=1.2, class_="ring-edge")
        for edge in (cut_y - cut, cut_y + cut)
    )
    return svg.drawing(
        _WIDTH,
        _HEIGHT,
        name,
        sentence("picture.ring.says", inner=inner, section=section),
        *lead,
        *edges,
        body,
        _arrow(x - hole, y, x + hole, y),
        _arrow(cut_x + cut + 22, cut_y - cut, cut_x + cut + 22, cut_y + cut),
        svg.text(cut_x, 164, name, size=22, bold=True, fill=svg.INK, text_anchor="middle", class_="ring-name"),
        _words(x, _LABEL_Y, sentence("picture.ring.inner", inner=inner)),
        _words(cut_x, _LABEL_Y, sentence("picture.ring.section", section=section)),
        class_="picture ring",
    )


_MIDDLE, _COVER_Y, _FLOOR_Y = 180.0, 76.0, 160.0
_METAL_TOP, _METAL_FOOT = 18.0, 204.0
_WIDEST, _DEEPEST = 140.0, _FLOOR_Y - _COVER_Y


def _metal(left: float, right: float, floor: float) -> str:
    edge: dict[str, svg.Attribute] = {"stroke": svg.INK, "stroke_width": 2.0, "stroke_linejoin": "round"}
    lower = [
        (8.0, _COVER_Y),
        (left, _COVER_Y),
        (left, floor),
        (right, floor),
        (right, _COVER_Y),
        (_WIDTH - 8, _COVER_Y),
        (_WIDTH - 8, _METAL_FOOT),
        (8.0, _METAL_FOOT),
    ]
    return svg.polygon(lower, fill=svg.INK_PALE, class_="groove-metal", **edge) + svg.rect(
        8, _METAL_TOP, _WIDTH - 16, _COVER_Y - _METAL_TOP - 2, fill=svg.INK_PALE, class_="groove-cover", **edge
    )


def _pressure(kind: str) -> str:
    """Draw from which side the pressure comes, in a face groove: its middle is on the left."""
    if not kind.startswith("face"):
        return ""
    start, end = (14.0, 62.0) if kind == "face_inside" else (_WIDTH - 14, _WIDTH - 62)
    tip = -9.0 if kind == "face_inside" else 9.0
    y = _COVER_Y - 1
    anchor = "start" if kind == "face_inside" else "end"
    return svg.group(
        svg.line(start, y, end, y, stroke=svg.AMBER, stroke_width=5, class_="groove-pressure"),
        svg.polygon(
            [(end - tip, y), (end + tip / 2, y - 8), (end + tip / 2, y + 8)], fill=svg.AMBER, class_="groove-tip"
        ),
        _words(start, y - 12, sentence("picture.groove.pressure"), anchor, 13),
    )


def ring_in_groove(
    section_mm: float, depth_mm: float, width_mm: float, kind: str, *, units: UnitSystem = "metric"
) -> str:
    """Draw a ring pressed in its groove, cut through, with the free ring as a dashed line.

    Parameters
    ----------
    section_mm : how thick the ring is [mm].
    depth_mm : room that it has across [mm].
    width_mm : how wide the groove is [mm].
    kind : ``face_inside``, ``face_outside``, ``spigot`` or ``bore``.
    units : the reader's units.

    Returns
    -------
    str
        SVG, to scale. The pressed ring has the section of the free one with flat sides; where the groove has no room
        for that it fills it, and is drawn in the accent.

    Valid for
    ---------
    Grooves of rectangular form.

    Raises
    ------
    OutOfRange
        For a measure that is not above nought.
    NotAChoice
        For another kind.

    Source
    ------
    Coldmark's own drawing.

    Examples
    --------
    >>> "squeezed by 18.7%" in ring_in_groove(3.53, 2.87, 4.6, "spigot")
    True
    """
    require_choice("kind", kind, ("face_inside", "face_outside", "spigot", "bore"))
    for name, value in (("section_mm", section_mm), ("depth_mm", depth_mm), ("width_mm", width_mm)):
        require_above(name, value, 0, _DRAWN)
    scale = min(_WIDEST / max(width_mm, section_mm), _DEEPEST / depth_mm, (_FLOOR_Y - _METAL_TOP) / section_mm)
    half = width_mm * scale / 2
    left, right, floor = _MIDDLE - half, _MIDDLE + half, _COVER_Y + depth_mm * scale
    high = min(section_mm, depth_mm) * scale
    # Flat above and below, half round at the sides, with the area that it had when it was round.
    broad = high + pi / 4 * ((section_mm * scale) ** 2 - high**2) / high
    full = broad > 2 * half
    broad = min(broad, 2 * half)
    at = {"face_inside": right - broad / 2, "face_outside": left + broad / 2}.get(kind, _MIDDLE)
    free = section_mm * scale / 2
    squeeze = (section_mm - depth_mm) / section_mm
    top = floor - 2 * free
    measure_x = right + 22
    fill = quantity(pi * section_mm**2 / 4 / (depth_mm * width_mm), "share", units=units, fine=True)
    return svg.drawing(
        _WIDTH,
        _HEIGHT,
        sentence("picture.groove.title"),
        sentence(
            "picture.groove.says" if squeeze > 0 else "picture.groove.loose",
            units=units,
            section_mm=section_mm,
            depth_mm=depth_mm,
            width_mm=width_mm,
            squeeze_share=max(squeeze, 0.0),
            fill=fill,
        ),
        _metal(left, right, floor),
        svg.rect(
            at - broad / 2,
            floor - high,
            broad,
            high,
            rx=min(high, broad) / 2 if not full else 3,
            fill=svg.AMBER if full else svg.INK,
            class_="groove-ring full" if full else "groove-ring",
        ),
        svg.circle(
            at,
            floor - free,
            free,
            fill="none",
            stroke=svg.AMBER_LIGHT,
            stroke_width=2.4,
            stroke_dasharray="6 5",
            class_="groove-free",
        ),
        _pressure(kind),
        _arrow(left - 16, _COVER_Y, left - 16, floor),
        _words(left - 24, (_COVER_Y + floor) / 2 + 5, _fine(depth_mm, units), "end"),
        _arrow(left, floor + 14, right, floor + 14),
        _words(_MIDDLE, floor + 33, _fine(width_mm, units)),
        svg.line(at, top, measure_x + 8, top, stroke=svg.INK_MID, stroke_width=1.2, class_="groove-edge"),
        _arrow(measure_x, min(top, _COVER_Y), measure_x, max(top, _COVER_Y)) if abs(top - _COVER_Y) > 1 else "",
        _words(measure_x - 6, top - 7 if squeeze > 0 else top + 19, _fine(abs(section_mm - depth_mm), units), "start"),
        _words(_MIDDLE, _LABEL_Y + 2, sentence(f"picture.groove.kind.{kind}"), size=14),
        class_="picture groove",
    )
