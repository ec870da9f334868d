"""The one builder of drawings: escapes all text, writes attributes only, names what is drawn.

No drawing carries a style attribute or sheet, so that a strict content policy lets it through; colours are
presentation attributes, which a page's style sheet may override by class (for the sun and dark modes) and which
papers use as they stand.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from hashlib import sha1
from typing import Final

from coldmark.bench.errors import Contradiction

__all__ = [
    "AMBER",
    "AMBER_LIGHT",
    "FONT",
    "INK",
    "INK_MID",
    "INK_PALE",
    "PAPER",
    "Attribute",
    "circle",
    "drawing",
    "group",
    "line",
    "path",
    "polygon",
    "polyline",
    "rect",
    "tag",
    "text",
]

INK: Final = "#14263D"
INK_MID: Final = "#5B6B7E"
INK_PALE: Final = "#D5DAE0"
PAPER: Final = "#FBFAF6"
AMBER: Final = "#B8660A"
AMBER_LIGHT: Final = "#E08A1E"
FONT: Final = "Atkinson Hyperlegible Next, sans-serif"

Attribute = str | float | int | None

_FORBIDDEN = ("style", "href", "xlink-href", "src")


def escape(words: str) -> str:
    """Return words as they may stand in a drawing, in text and in attributes.

    The standard library has this beside its readers of XML from the web: a third of the bench's time to import.

    >>> escape('1 < 2 & "3"')
    '1 &lt; 2 &amp; &quot;3&quot;'
    """
    return words.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")


def _number(value: float) -> str:
    # Two decimals are finer than any screen, and keep the text short and alike everywhere.
    shown = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if shown == "-0" else shown


@lru_cache(maxsize=200)
def _attribute_name(name: str) -> str:
    name = name.rstrip("_").replace("_", "-")
    if name in _FORBIDDEN or name.startswith("on"):
        raise Contradiction(name="attribute", value=name, why="picture.cannot.attribute")
    return name


def _attribute(name: str, value: str | float) -> str:
    shown = escape(value) if isinstance(value, str) else _number(value)
    return f' {_attribute_name(name)}="{shown}"'


def tag(name: str, /, *children: str, **attributes: Attribute) -> str:
    """Return one element. Underscores in attribute names become hyphens; ``None`` leaves an attribute out.

    Parameters
    ----------
    name : the element's name.
    children : elements made by this module; text is made by :func:`text` alone, which escapes it.
    attributes : presentation attributes, classes (``class_``), ``data_…``.

    Returns
    -------
    str
        The element's text.

    Valid for
    ---------
    Every element without script, link or style.

    Raises
    ------
    Contradiction
        For a style, link or script attribute.

    Source
    ------
    SVG 1.1, chapter 5.

    Examples
    --------
    >>> tag("rect", x=1.5, stroke_width=2, class_="oil")
    '<rect x="1.5" stroke-width="2" class="oil"/>'
    """
    written = "".join(_attribute(key, value) for key, value in attributes.items() if value is not None)
    inner = "".join(children)
    return f"<{name}{written}>{inner}</{name}>" if inner else f"<{name}{written}/>"


def group(*children: str, **attributes: Attribute) -> str:
    """Return the children as one group.

    >>> group(tag("circle", r=2), class_="mark")
    '<g class="mark"><circle r="2"/></g>'
    """
    return tag("g", *children, **attributes)


def rect(x: float, y: float, width: float, height: float, **attributes: Attribute) -> str:
    """Return a rectangle by its upper left corner, width and height.

    >>> rect(0, 0, 4, 3, rx=1)
    '<rect x="0" y="0" width="4" height="3" rx="1"/>'
    """
    return tag("rect", x=x, y=y, width=width, height=height, **attributes)


def circle(x: float, y: float, radius: float, **attributes: Attribute) -> str:
    """Return a circle by its middle and radius.

    >>> circle(1, 2, 3)
    '<circle cx="1" cy="2" r="3"/>'
    """
    return tag("circle", cx=x, cy=y, r=radius, **attributes)


def line(x1: float, y1: float, x2: float, y2: float, **attributes: Attribute) -> str:
    """Return a straight line between two points.

    >>> line(0, 0, 1, 1, stroke="#000")
    '<line x1="0" y1="0" x2="1" y2="1" stroke="#000"/>'
    """
    return tag("line", x1=x1, y1=y1, x2=x2, y2=y2, **attributes)


def path(d: str, **attributes: Attribute) -> str:
    """Return a path by its commands.

    >>> path("M0 0h3")
    '<path d="M0 0h3"/>'
    """
    return tag("path", d=d, **attributes)


def _points(points: Iterable[tuple[float, float]]) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def polygon(points: Iterable[tuple[float, float]], **attributes: Attribute) -> str:
    """Return a closed shape through ``points``.

    >>> polygon([(0, 0), (1, 0), (0, 1)])
    '<polygon points="0,0 1,0 0,1"/>'
    """
    return tag("polygon", points=_points(points), **attributes)


def polyline(points: Iterable[tuple[float, float]], **attributes: Attribute) -> str:
    """Return an open line through ``points``, not filled.

    >>> polyline([(0, 0), (1, 0)], stroke="#000")
    '<polyline points="0,0 1,0" fill="none" stroke="#000"/>'
    """
    return tag("polyline", points=_points(points), fill="none", **attributes)


def text(x: float, y: float, words: str, *, size: float = 14, bold: bool = False, **attributes: Attribute) -> str:
    """Return words at a point, escaped, in Coldmark's letter.

    >>> text(1, 2, "a < b", fill="#000")
    '<text x="1" y="2" font-family="Atkinson Hyperlegible Next, sans-serif" font-size="14" fill="#000">a &lt; b</text>'
    """
    weight = "700" if bold else None
    return tag("text", escape(words), x=x, y=y, font_family=FONT, font_size=size, font_weight=weight, **attributes)


def drawing(
    width: float, height: float, title: str, says: str, *children: str, class_: str, **attributes: Attribute
) -> str:
    """Return a whole drawing with its role, title and description.

    Parameters
    ----------
    width, height : the drawing's own size, in its own units; it grows to the place it is given.
    title : what it is, in a few words.
    says : what it shows, for those who do not see it.
    children : elements made by this module.
    class_ : what a page's style sheet knows it by.
    attributes : further attributes of the root, such as ``data_…``.

    Returns
    -------
    str
        The SVG text. Names inside it are made from its content, so that two drawings on one page do not clash.

    Valid for
    ---------
    Any content; the title must say something.

    Raises
    ------
    Contradiction
        When the title is empty.

    Source
    ------
    SVG 2, chapter 5 (title, desc); WAI-ARIA graphics roles.

    Examples
    --------
    >>> drawing(1, 2, "Glass", "Empty.", class_="glass").startswith('<svg xmlns="http://www.w3.org/2000/svg" viewBox')
    True
    """
    if not title.strip():
        raise Contradiction(name="title", value="", why="picture.cannot.title")
    body = "".join(children)
    name = "d" + sha1(f"{title}|{says}|{body}".encode(), usedforsecurity=False).hexdigest()[:8]
    heading = tag("title", escape(title), id=f"{name}t") + tag("desc", escape(says), id=f"{name}d")
    return tag(
        "svg",
        heading,
        body.replace("@id@", name),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {_number(width)} {_number(height)}",
        width=width,
        height=height,
        role="img",
        aria_labelledby=f"{name}t",
        aria_describedby=f"{name}d",
        class_=class_,
        **attributes,
    )
