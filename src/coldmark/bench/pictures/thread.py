"""A bolt with the three places where it is measured, and the torque of a bolt as a range."""

from __future__ import annotations

from collections.abc import Sequence

from coldmark.bench.errors import require_above
from coldmark.bench.pictures import svg
from coldmark.bench.words import UnitSystem, quantity, sentence
from coldmark.bench.working import Range

__all__ = ["bolt_measures", "torque_range"]

_WIDTH, _HEIGHT = 340.0, 190.0
_AXIS = 112.0
_HEAD_LEFT, _HEAD_RIGHT = 92.0, 128.0
_SHANK_RIGHT, _TIP = 190.0, 300.0
_FLATS, _SHAFT = 56.0, 30.0  # half of the head and half of the shaft, as drawn
_PITCH = 14.0


def _label(x: float, y: float, words: str, anchor: str = "middle") -> str:
    return svg.text(x, y, words, size=15, bold=True, fill=svg.INK, text_anchor=anchor, class_="measure-label")


def _arrows(x1: float, y1: float, x2: float, y2: float) -> str:
    """Return a line with a head at both ends, straight up or level."""
    level = abs(y1 - y2) < abs(x1 - x2)
    heads = []
    for x, y, way in ((x1, y1, 1), (x2, y2, -1)):
        point = [(x, y), (x + 8 * way, y - 4), (x + 8 * way, y + 4)]
        heads.append(point if level else [(x, y), (x - 4, y + 8 * way), (x + 4, y + 8 * way)])
    return svg.group(
        svg.line(x1, y1, x2, y2, stroke=svg.AMBER, stroke_width=2.4, class_="measure-line"),
        *(svg.polygon(one, fill=svg.AMBER, class_="measure-tip") for one in heads),
        class_="measure",
    )


def _thread() -> str:
    count = int((_TIP - _SHANK_RIGHT) / _PITCH)
    upper, lower = [], []
    for index in range(count):
        left = _SHANK_RIGHT + index * _PITCH
        upper += [(left, _AXIS - _SHAFT + 7), (left + _PITCH / 2, _AXIS - _SHAFT)]
        lower += [(left, _AXIS + _SHAFT), (left + _PITCH / 2, _AXIS + _SHAFT - 7)]
    end = _SHANK_RIGHT + count * _PITCH
    outline = [*upper, (end, _AXIS - _SHAFT + 7), (end, _AXIS + _SHAFT), *reversed(lower)]
    flanks = [
        svg.line(x - _PITCH / 2, down, x, up, stroke=svg.INK, stroke_width=1.1, class_="thread-flank")
        for (x, up), (_, down) in zip(upper[1::2], lower[0::2], strict=True)
    ]
    body = svg.polygon(outline, fill=svg.PAPER, stroke=svg.INK, stroke_width=2.2, class_="bolt-body")
    return svg.group(body, *flanks, class_="thread")


def bolt_measures(
    hex_mm: float,
    *,
    diameter_mm: float | None = None,
    pitch_mm: float | None = None,
    names: Sequence[str] = (),
    units: UnitSystem = "metric",
) -> str:
    """Draw a bolt from the side with the three places to measure: flats, crests, and from crest to crest.

    Parameters
    ----------
    hex_mm : width across the flats [mm].
    diameter_mm : over the crests [mm], where it was measured.
    pitch_mm : from crest to crest [mm], where it was measured.
    names : the threads that it may be, written below.
    units : the reader's units.

    Returns
    -------
    str
        SVG.

    Valid for
    ---------
    Every hexagon; the drawing is not to scale.

    Raises
    ------
    OutOfRange
        For a width of nothing.

    Source
    ------
    Coldmark's own drawing.

    Examples
    --------
    >>> bolt_measures(17).count('class="measure"')
    3
    """
    require_above("hex_mm", hex_mm, 0, "a hexagon")
    head = svg.group(
        svg.rect(
            _HEAD_LEFT,
            _AXIS - _FLATS,
            _HEAD_RIGHT - _HEAD_LEFT,
            2 * _FLATS,
            rx=5,
            fill=svg.PAPER,
            stroke=svg.INK,
            stroke_width=2.2,
            class_="bolt-body",
        ),
        svg.line(_HEAD_LEFT, _AXIS, _HEAD_RIGHT, _AXIS, stroke=svg.INK, stroke_width=1.4, class_="bolt-edge"),
        svg.rect(
            _HEAD_RIGHT,
            _AXIS - _SHAFT,
            _SHANK_RIGHT - _HEAD_RIGHT,
            2 * _SHAFT,
            fill=svg.PAPER,
            stroke=svg.INK,
            stroke_width=2.2,
            class_="bolt-body",
        ),
    )
    unknown = sentence("picture.bolt.measure")
    wide = unknown if diameter_mm is None else quantity(diameter_mm, "mm", units=units)
    pitch = unknown if pitch_mm is None else quantity(pitch_mm, "mm", units=units, digits=2 if units == "metric" else 3)
    crest = _SHANK_RIGHT + 3 * _PITCH + _PITCH / 2
    below = svg.text(
        _WIDTH / 2,
        _HEIGHT - 2,
        " · ".join(names),
        size=15,
        bold=True,
        fill=svg.AMBER,
        text_anchor="middle",
        class_="bolt-names",
    )
    return svg.drawing(
        _WIDTH,
        _HEIGHT + 4,
        sentence("picture.bolt.title"),
        sentence("picture.bolt.says", units=units, hex_mm=hex_mm),
        head,
        _thread(),
        _arrows(76, _AXIS - _FLATS, 76, _AXIS + _FLATS),
        _label(70, _AXIS + 5, quantity(hex_mm, "mm", units=units), "end"),
        _arrows(_TIP + 12, _AXIS - _SHAFT, _TIP + 12, _AXIS + _SHAFT),
        _label(_TIP + 8, _AXIS + _SHAFT + 22, wide),
        _arrows(crest, _AXIS - _SHAFT - 14, crest + 2 * _PITCH, _AXIS - _SHAFT - 14),
        svg.line(crest, _AXIS - _SHAFT, crest, _AXIS - _SHAFT - 20, stroke=svg.AMBER, stroke_width=1, class_="aid"),
        svg.line(
            crest + 2 * _PITCH,
            _AXIS - _SHAFT,
            crest + 2 * _PITCH,
            _AXIS - _SHAFT - 20,
            stroke=svg.AMBER,
            stroke_width=1,
            class_="aid",
        ),
        _label(
            crest + _PITCH,
            _AXIS - _SHAFT - 26,
            pitch if pitch_mm is None else sentence("picture.bolt.two", pitch=pitch),
        ),
        below if names else "",
        class_="picture bolt-measures",
    )


_LEFT, _RIGHT = 20.0, 320.0


def torque_range(
    set_nm: float, *, worked_out: Range | None = None, sheet: Range | None = None, units: UnitSystem = "metric"
) -> str:
    """Draw a torque on a scale: the data sheet's range above, the worked-out one below, and what to set.

    Parameters
    ----------
    set_nm : the torque to set [N·m].
    worked_out : the worked-out range [N·m] over the friction.
    sheet : the data sheet's range [N·m].
    units : the reader's units.

    Returns
    -------
    str
        SVG.

    Valid for
    ---------
    Any torque above nothing.

    Raises
    ------
    OutOfRange
        For a torque of nothing.

    Source
    ------
    Coldmark's own drawing.

    Examples
    --------
    >>> 'class="set"' in torque_range(36.3, worked_out=Range(48.3, 36.3, 58.8))
    True
    """
    require_above("set_nm", set_nm, 0, "a torque")
    ranges = [one for one in (worked_out, sheet) if one is not None]
    most = 1.15 * max([set_nm, *(one.high for one in ranges)])

    def x(nm: float) -> float:
        return _LEFT + nm / most * (_RIGHT - _LEFT)

    bars = []
    for one, y, fill, name in (
        (sheet, 58.0, svg.AMBER, "picture.torque.sheet_label"),
        (worked_out, 96.0, svg.INK_PALE, "picture.torque.sum_label"),
    ):
        if one is None:
            continue
        wide = max(x(one.high) - x(one.low), 6.0)
        bars.append(
            svg.rect(x(one.low), y - 11, wide, 22, rx=4, fill=fill, stroke=svg.INK, stroke_width=1.6, class_="band")
        )
        bars.append(svg.text(_LEFT, y - 16, sentence(name), size=14, fill=svg.INK, class_="band-name"))
    at = x(set_nm)
    anchor = "end" if at > 230 else "start" if at < 110 else "middle"
    says = sentence(
        "picture.torque.says" if worked_out is not None else "picture.torque.says_sheet",
        units=units,
        set_nm=set_nm,
        low_nm=worked_out.low if worked_out is not None else set_nm,
        high_nm=worked_out.high if worked_out is not None else set_nm,
    )
    return svg.drawing(
        340,
        140,
        sentence("picture.torque.title"),
        f"{says} {sentence('picture.torque.sheet')}" if sheet is not None and worked_out is not None else says,
        *bars,
        svg.line(_LEFT, 114, _RIGHT, 114, stroke=svg.INK, stroke_width=1.6, class_="axis"),
        svg.text(_LEFT, 132, "0", size=13, fill=svg.INK_MID, text_anchor="middle", class_="tick"),
        svg.text(
            _RIGHT, 132, quantity(most, "nm", units=units), size=13, fill=svg.INK_MID, text_anchor="end", class_="tick"
        ),
        svg.group(
            svg.line(at, 24, at, 114, stroke=svg.INK, stroke_width=3, class_="set-line"),
            svg.polygon([(at, 114), (at - 7, 102), (at + 7, 102)], fill=svg.INK, class_="set-tip"),
            svg.text(
                at,
                18,
                quantity(set_nm, "nm", units=units),
                size=18,
                bold=True,
                fill=svg.INK,
                text_anchor=anchor,
                class_="set-label",
            ),
            class_="set",
        ),
        class_="picture torque-range",
    )
