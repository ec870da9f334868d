"""The glass: two marks, the oil where it stands, the cold mark, and a ghost where it will stand hot.

The same drawing serves phone, page and paper. On the phone the oil is dragged: its group is moved by its
``transform`` alone. The root says where things are, in the drawing's own units: ``data-lower-y`` and ``data-upper-y``
are the marks (readings 0 and 1), ``data-bottom-y`` and ``data-top-y`` the ends of what the glass can show (beyond
them the reading is *below* or *above*). ``data-part`` names the groups ``oil``, ``ghost``, ``cold``, ``lower`` and
``upper``; each is drawn at 0 and moved by ``translate(0 y)``.
"""

from __future__ import annotations

from coldmark.bench.level.model import GaugeKind, Reading
from coldmark.bench.pictures import svg
from coldmark.bench.words import sentence

__all__ = ["BOTTOM_Y", "LOWER_Y", "TOP_Y", "UPPER_Y", "glass", "height_of"]

UPPER_Y = 118.0
LOWER_Y = 282.0
TOP_Y = 54.0
BOTTOM_Y = 346.0

_MIDDLE, _HEIGHT = 170.0, 400.0
# Half the width of what the marks are drawn across, by what the level is read on.
_HALF = {"bullseye": 96.0, "dipstick": 24.0}
_HALF_GLASS = 42.0


def height_of(reading: Reading) -> float:
    """Return the height [drawing units, downwards] at which a reading is drawn.

    >>> height_of(0.0), height_of(1.0), height_of(0.5)
    (282.0, 118.0, 200.0)
    >>> height_of("below") > BOTTOM_Y, height_of("above") < TOP_Y
    (True, True)
    """
    if isinstance(reading, str):
        return BOTTOM_Y + 34 if reading == "below" else TOP_Y - 34
    return min(max(LOWER_Y - reading * (LOWER_Y - UPPER_Y), TOP_Y), BOTTOM_Y)


def _outline(kind: GaugeKind) -> str:
    """Return the path of what the oil is seen through: a tall glass, a round one, or a stick."""
    if kind == "bullseye":
        return f"M{_MIDDLE} 104a96 96 0 0 1 0 192a96 96 0 0 1 0-192z"
    if kind == "dipstick":
        return f"M{_MIDDLE - 13} 24h26v340l-13 14l-13-14z"
    return f"M{_MIDDLE - 42} 66a42 42 0 0 1 84 0v268a42 42 0 0 1-84 0z"


def _frame(kind: GaugeKind) -> str:
    """Return the metal that holds the glass."""
    if kind == "dipstick":
        return svg.circle(_MIDDLE, 13, 9, fill="none", stroke=svg.INK, stroke_width=4, class_="frame")
    edge: dict[str, svg.Attribute] = {"fill": "none", "stroke": svg.INK, "stroke_width": 2.5, "class_": "frame"}
    if kind == "bullseye":
        return svg.circle(_MIDDLE, 200, 108, **edge)
    bolts = [
        svg.circle(_MIDDLE, y, 6, fill=svg.INK, class_="frame")
        + svg.line(_MIDDLE - 3, y, _MIDDLE + 3, y, stroke=svg.PAPER, stroke_width=1.6, class_="slot")
        for y in (11, 389)
    ]
    return svg.rect(_MIDDLE - 54, 2, 108, 396, rx=54, **edge) + "".join(bolts)


def _moved(part: str, y: float, *children: str) -> str:
    return svg.group(*children, class_=part, data_part=part, transform=f"translate(0 {y:g})")


def _oil(y: float) -> str:
    surface = svg.rect(40, 0, 260, 5, fill=svg.AMBER_LIGHT, class_="oil-surface")
    return _moved("oil", y, svg.rect(40, 0, 260, 420, fill="url(#@id@oil)", class_="oil-body"), surface)


def _mark(part: str, y: float, half: float, label: str) -> str:
    left, right = _MIDDLE - half - 18, _MIDDLE + half + 12
    return _moved(
        part,
        y,
        svg.line(left, 0, right, 0, stroke=svg.INK, stroke_width=3.2, class_="mark-line"),
        svg.text(left - 6, 5, label, size=15, bold=True, fill=svg.INK, text_anchor="end", class_="mark-label"),
    )


def _label(right: float, drop: float, words: str, colour: str, class_: str, *, bold: bool) -> str:
    """Return a label at the right, led to its line when it had to be moved up or down by ``drop``."""
    points = [(right + 16, 0.0), (right + 26, drop), (right + 30, drop)]
    leader = svg.polyline(points, stroke=colour, stroke_width=1.4, class_="leader")
    return leader + svg.text(right + 34, drop + 5, words, size=15, bold=bold, fill=colour, class_=class_)


def _ghost(y: float, label_y: float, half: float, label: str) -> str:
    left, right = _MIDDLE - half, _MIDDLE + half
    dotted: dict[str, svg.Attribute] = {
        "stroke": svg.INK,
        "stroke_width": 2.4,
        "stroke_dasharray": "2 5",
        "stroke_linecap": "round",
    }
    return _moved(
        "ghost",
        y,
        svg.rect(left + 3, -2, 2 * half - 6, 4, fill=svg.PAPER, fill_opacity=0.75, class_="ghost-back"),
        svg.line(left + 4, 0, right + 14, 0, class_="ghost-line", **dotted),
        _label(right, label_y - y, label, svg.INK, "ghost-label", bold=False),
    )


def _cold(y: float, label_y: float, half: float, label: str) -> str:
    left, right = _MIDDLE - half, _MIDDLE + half
    flag = [(right - 2, 0.0), (right + 14, -8.0), (right + 14, 8.0)]
    dashed: dict[str, svg.Attribute] = {"stroke": svg.INK, "stroke_width": 3, "stroke_dasharray": "9 5"}
    return _moved(
        "cold",
        y,
        svg.line(left + 2, 0, right - 2, 0, stroke=svg.PAPER, stroke_width=6, class_="cold-back"),
        svg.line(left + 2, 0, right - 2, 0, class_="cold-line", **dashed),
        svg.polygon(flag, fill=svg.AMBER, stroke=svg.PAPER, stroke_width=1, class_="cold-flag"),
        _label(right, label_y - y, label, svg.AMBER, "cold-label", bold=True),
    )


def _apart(first: float, second: float, gap: float = 22.0) -> tuple[float, float]:
    """Move two label heights apart so that neither covers the other."""
    if abs(first - second) >= gap:
        return first, second
    middle, sign = (first + second) / 2, 1 if first >= second else -1
    return middle + sign * gap / 2, middle - sign * gap / 2


def _ghost_height(hot: Reading) -> float:
    return min(max(height_of(hot), TOP_Y), BOTTOM_Y)


def _says(reading: Reading | None, cold_mark: float | None, hot: Reading | None) -> str:
    parts = []
    if isinstance(reading, str):
        parts.append(sentence(f"picture.glass.{reading}"))
    elif reading is not None:
        parts.append(sentence("picture.glass.reading", reading_share=reading))
    if cold_mark is not None:
        parts.append(sentence("picture.glass.cold", cold_share=cold_mark))
    if isinstance(hot, str):
        parts.append(sentence(f"picture.glass.hot_{hot}"))
    elif hot is not None:
        parts.append(sentence("picture.glass.hot", hot_share=hot))
    return " ".join(parts) or sentence("picture.glass.unread")


def glass(
    reading: Reading | None,
    *,
    cold_mark: float | None = None,
    hot: Reading | None = None,
    kind: GaugeKind = "glass",
    title: str | None = None,
) -> str:
    """Draw the glass.

    Parameters
    ----------
    reading : where the oil stands: 0 lower mark, 1 upper mark, *below* or *above*; none where it is still to be read,
        drawn at the middle for the hand to move.
    cold_mark : the reading to fill to now, if it is known.
    hot : where the oil will stand hot, if it is known.
    kind : what the level is read on; a stick and a round glass look like what they are.
    title : what the drawing is called, else the gauge's usual name.

    Returns
    -------
    str
        SVG with the attributes that this module's heading names.

    Valid for
    ---------
    Any reading; what lies beyond the glass is drawn at its end and said in the description.

    Raises
    ------
    KeyError
        For a reading in words other than *below* and *above*.

    Source
    ------
    Coldmark's own drawing.

    Examples
    --------
    >>> drawn = glass(0.35, cold_mark=0.72, hot=0.93)
    >>> 'data-lower-y="282"' in drawn, 'data-part="oil" transform="translate(0 224.6)"' in drawn
    (True, True)
    """
    outline, half = _outline(kind), _HALF.get(kind, _HALF_GLASS)
    cold_y = cold_label = height_of(cold_mark or 0.0)
    ghost_y = ghost_label = _ghost_height(0.0 if hot is None else hot)
    if cold_mark is not None and hot is not None:
        cold_label, ghost_label = _apart(cold_y, ghost_y)
    ghost_words = sentence(f"picture.glass.ghost_{hot}" if isinstance(hot, str) else "picture.glass.ghost")
    inside = svg.group(
        svg.path(outline, fill=svg.PAPER, class_="glass-back"),
        _oil(height_of(0.5 if reading is None else reading)),
        svg.rect(_MIDDLE - 0.72 * half, 0, 0.2 * half, 400, fill="#FFFFFF", fill_opacity=0.28, class_="shine"),
        clip_path="url(#@id@clip)",
    )
    return svg.drawing(
        _MIDDLE + half + 120,
        _HEIGHT,
        title or sentence(f"picture.glass.title.{'dipstick' if kind == 'dipstick' else 'glass'}"),
        _says(reading, cold_mark, hot),
        svg.tag(
            "defs",
            svg.tag("clipPath", svg.path(outline), id="@id@clip"),
            svg.tag(
                "linearGradient",
                svg.tag("stop", offset=0, stop_color=svg.AMBER_LIGHT, class_="oil-top"),
                svg.tag("stop", offset=1, stop_color=svg.AMBER, class_="oil-deep"),
                id="@id@oil",
                x1=0,
                y1=0,
                x2=0,
                y2=0.6,
            ),
        ),
        _frame(kind),
        inside,
        svg.path(outline, fill="none", stroke=svg.INK, stroke_width=5, class_="glass-edge"),
        _mark("upper", UPPER_Y, half, sentence("picture.glass.upper")),
        _mark("lower", LOWER_Y, half, sentence("picture.glass.lower")),
        "" if hot is None else _ghost(ghost_y, ghost_label, half, ghost_words),
        "" if cold_mark is None else _cold(cold_y, cold_label, half, sentence("picture.glass.cold_label")),
        class_="picture glass",
        data_kind=kind,
        data_lower_y=LOWER_Y,
        data_upper_y=UPPER_Y,
        data_bottom_y=BOTTOM_Y,
        data_top_y=TOP_Y,
    )
