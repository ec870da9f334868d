"""Icons of what lies in a housing, and the tray on which it lies as it came out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import cos, pi, sin

from coldmark.bench.pictures import svg
from coldmark.bench.pictures.linkage import Point
from coldmark.bench.shapes import dataclass
from coldmark.bench.words import sentence

__all__ = ["TrayItem", "part", "tray"]

_SIZE = 72.0
_LINE: Mapping[str, svg.Attribute] = {
    "stroke": svg.INK,
    "stroke_width": 2.6,
    "stroke_linejoin": "round",
    "stroke_linecap": "round",
    "class_": "part-line",
}


def _cover() -> str:
    holes = (
        svg.circle(36 + 24 * cos(turn), 36 + 24 * sin(turn), 3.4, fill=svg.PAPER, class_="hole") for turn in _turns(6)
    )
    return (
        svg.circle(36, 36, 31, fill=svg.INK, class_="part-body")
        + svg.circle(36, 36, 14, fill="none", stroke=svg.PAPER, stroke_width=2, class_="part-inner")
        + "".join(holes)
    )


def _turns(count: int) -> list[float]:
    return [2 * pi * (index + 0.5) / count for index in range(count)]


def _spring() -> str:
    coils = 5
    step = 52 / coils
    d = "M22 10" + "".join(
        f"C22 {10 + step * i - 2:.1f} 50 {10 + step * i - 2:.1f} 50 {10 + step * (i + 0.5):.1f}"
        f"S22 {10 + step * (i + 1) - 4:.1f} 22 {10 + step * (i + 1):.1f}"
        for i in range(coils)
    )
    ends = svg.line(20, 9, 52, 9, **_LINE) + svg.line(20, 63, 52, 63, **_LINE)
    return ends + svg.path(d, **{**_LINE, "fill": "none", "stroke_width": 3.6})


def _valve() -> str:
    return (
        svg.path("M16 20h40v10l-12 8v22a4 4 0 0 1-4 4h-8a4 4 0 0 1-4-4v-22l-12-8z", fill=svg.INK, class_="part-body")
        + svg.circle(36, 13, 6, fill="none", **_LINE)
        + svg.line(32, 46, 40, 46, stroke=svg.PAPER, stroke_width=2.4, class_="part-inner")
        + svg.line(32, 52, 40, 52, stroke=svg.PAPER, stroke_width=2.4, class_="part-inner")
    )


def _seal() -> str:
    return svg.circle(36, 36, 25, fill="none", stroke=svg.INK, stroke_width=8, class_="part-ring") + svg.path(
        "M16 26a22 22 0 0 1 12-10.500",
        fill="none",
        stroke=svg.PAPER,
        stroke_width=2,
        stroke_linecap="round",
        class_="part-inner",
    )


def _element() -> str:
    pleats = (svg.line(x, 17, x, 55, stroke=svg.PAPER, stroke_width=1.8, class_="part-inner") for x in range(24, 50, 5))
    return (
        svg.rect(18, 14, 36, 44, fill=svg.INK, class_="part-body")
        + "".join(pleats)
        + svg.rect(13, 7, 46, 8, rx=3, fill=svg.INK, class_="part-body")
        + svg.rect(13, 57, 46, 8, rx=3, fill=svg.INK, class_="part-body")
        + svg.rect(29, 3, 14, 5, rx=2, fill=svg.AMBER, class_="part-accent")
    )


def _strainer() -> str:
    mesh = [svg.line(x, 22, x, 60, stroke=svg.INK, stroke_width=1.3, class_="part-line") for x in range(24, 50, 6)]
    mesh += [svg.line(19, y, 53, y, stroke=svg.INK, stroke_width=1.3, class_="part-line") for y in range(28, 60, 6)]
    return (
        svg.rect(19, 22, 34, 38, rx=4, fill=svg.PAPER, **_LINE)
        + "".join(mesh)
        + svg.rect(15, 14, 42, 8, rx=2, fill=svg.INK, class_="part-body")
        + svg.rect(28, 5, 16, 10, rx=2, fill=svg.INK, class_="part-body")
    )


def _bowl() -> str:
    thread = (svg.line(20, y, 52, y, stroke=svg.PAPER, stroke_width=1.6, class_="part-inner") for y in (12, 16, 20))
    return (
        svg.path("M18 8h36v16h4v22a16 16 0 0 1-10 15h-24a16 16 0 0 1-10-15v-22h4z", fill=svg.INK, class_="part-body")
        + "".join(thread)
        + svg.rect(29, 60, 14, 8, rx=1.5, fill=svg.INK, class_="part-body")
    )


def _plate() -> str:
    return (
        svg.rect(8, 24, 56, 24, rx=12, fill=svg.INK, class_="part-body")
        + svg.circle(36, 36, 6, fill=svg.PAPER, class_="hole")
        + svg.circle(17, 36, 3.4, fill=svg.PAPER, class_="hole")
        + svg.circle(55, 36, 3.4, fill=svg.PAPER, class_="hole")
    )


def _breather() -> str:
    return (
        svg.path("M14 34a22 22 0 0 1 44 0z", fill=svg.INK, class_="part-body")
        + svg.rect(12, 36, 48, 7, rx=3, fill=svg.INK, class_="part-body")
        + svg.rect(27, 45, 18, 18, rx=2, fill=svg.INK, class_="part-body")
    )


def _other() -> str:
    corners = [(36 + 28 * cos(turn), 36 + 28 * sin(turn)) for turn in _turns(6)]
    return svg.polygon(corners, fill=svg.INK, class_="part-body") + svg.circle(
        36, 36, 12, fill=svg.PAPER, class_="hole"
    )


_ICONS: Mapping[str, Callable[[], str]] = {
    "cover": _cover,
    "spring": _spring,
    "valve": _valve,
    "seal": _seal,
    "element": _element,
    "strainer": _strainer,
    "bowl": _bowl,
    "plate": _plate,
    "breather": _breather,
    "other": _other,
}


def part(kind: str, *, title: str = "") -> str:
    """Draw a part as an icon.

    Parameters
    ----------
    kind : cover, spring, valve, seal, element, strainer, bowl, plate, breather or other.
    title : what this one is called; else the kind's name.

    Returns
    -------
    str
        SVG, square.

    Valid for
    ---------
    The kinds above.

    Raises
    ------
    KeyError
        For another kind.

    Source
    ------
    Coldmark's own drawings.

    Examples
    --------
    >>> "Spring" in part("spring")
    True
    """
    name = sentence(f"picture.part.{kind}")
    return svg.drawing(_SIZE, _SIZE, title or name, name, _ICONS[kind](), class_=f"picture part {kind}")


@dataclass(frozen=True, slots=True)
class TrayItem:
    """One thing on the tray: its name, kind, how many, and whether a new one goes back."""

    name: str
    kind: str
    count: int = 1
    renew: bool = False


_CELL, _GAP, _ROW, _ACROSS = 96.0, 10.0, 150.0, 6


def _lines(name: str, most: int = 13) -> list[str]:
    """Break a name into at most two lines that fit a cell."""
    lines = [""]
    for word in name.split():
        if lines[-1] and len(lines[-1]) + 1 + len(word) > most:
            lines.append(word)
        else:
            lines[-1] = f"{lines[-1]} {word}".strip()
    if len(lines) > 2:
        lines = [lines[0], lines[1][: most - 1] + "…"]
    return lines


def _cell(item: TrayItem, number: int, corner: Point) -> str:
    x, y = corner
    middle = x + _CELL / 2
    words = [
        svg.text(
            middle,
            y + 112 + 16 * row,
            text,
            size=13.5,
            bold=True,
            fill=svg.INK,
            text_anchor="middle",
            class_="tray-name",
        )
        for row, text in enumerate(_lines(item.name))
    ]
    more = ""
    if item.count > 1:
        more = svg.text(
            x + _CELL - 8,
            y + 22,
            f"{item.count} ×",
            size=15,
            bold=True,
            fill=svg.INK,
            text_anchor="end",
            class_="tray-count",
        )
    fresh = ""
    if item.renew:
        label = sentence("picture.tray.renew")
        fresh = svg.rect(middle - 24, y + 80, 48, 17, rx=8.5, fill=svg.AMBER, class_="tray-renew") + svg.text(
            middle, y + 92.5, label, size=12, bold=True, fill=svg.PAPER, text_anchor="middle", class_="tray-renew-label"
        )
    return svg.group(
        svg.circle(x + 15, y + 17, 10, fill=svg.PAPER, stroke=svg.INK, stroke_width=1.4, class_="tray-number"),
        svg.text(
            x + 15, y + 21.5, str(number), size=13, bold=True, fill=svg.INK, text_anchor="middle", class_="tray-digit"
        ),
        svg.group(_ICONS[item.kind](), transform=f"translate({middle - 29:g} {y + 20:g}) scale(0.8)"),
        more,
        fresh,
        *words,
        class_=f"tray-item {item.kind}",
    )


def _arrow(y: float, width: float, reverse: bool) -> str:
    start, end = (width - 16, 16) if reverse else (16, width - 16)
    tip = 9 if reverse else -9
    return svg.group(
        svg.line(start, y, end, y, stroke=svg.AMBER, stroke_width=2.4, class_="tray-way"),
        svg.polyline(
            [(end + tip, y - 6), (end, y), (end + tip, y + 6)], stroke=svg.AMBER, stroke_width=2.4, class_="tray-way"
        ),
    )


def tray(items: Sequence[TrayItem], *, reverse: bool = False) -> str:
    """Draw the tray: parts left to right as they came out; going back they are read right to left.

    Parameters
    ----------
    items : the parts, outside first.
    reverse : whether they go back now; the parts lie as before, the arrow and the numbers run the other way.

    Returns
    -------
    str
        SVG; six parts a row.

    Valid for
    ---------
    One part or more; an empty tray is drawn empty.

    Raises
    ------
    KeyError
        For a part of an unknown kind.

    Source
    ------
    Coldmark's own drawing.

    Examples
    --------
    >>> "Cover, Spring" in tray([TrayItem("Cover", "cover"), TrayItem("Spring", "spring")])
    True
    """
    across = min(max(len(items), 1), _ACROSS)
    rows = max(-(-len(items) // _ACROSS), 1)
    width, height = across * (_CELL + _GAP) + _GAP + 12, rows * _ROW + 30
    cells = []
    for index, item in enumerate(items):
        row, column = divmod(index, _ACROSS)
        number = len(items) - index if reverse else index + 1
        cells.append(_cell(item, number, (_GAP + 6 + column * (_CELL + _GAP), 8 + row * _ROW)))
    names = [item.name for item in (reversed(items) if reverse else items)]
    says = (
        sentence("picture.tray.in" if reverse else "picture.tray.out", parts=", ".join(names))
        if names
        else sentence("picture.tray.empty")
    )
    return svg.drawing(
        width,
        height,
        sentence("picture.tray.title"),
        says,
        svg.rect(
            1.5, 1.5, width - 3, height - 3, rx=12, fill=svg.PAPER, stroke=svg.INK, stroke_width=2.5, class_="tray-edge"
        ),
        *(
            svg.line(
                _GAP / 2 + 6 + column * (_CELL + _GAP),
                14,
                _GAP / 2 + 6 + column * (_CELL + _GAP),
                height - 34,
                stroke=svg.INK_PALE,
                stroke_width=1.5,
                class_="tray-line",
            )
            for column in range(1, across)
        ),
        *cells,
        _arrow(height - 17, width, reverse),
        class_="picture tray",
    )
