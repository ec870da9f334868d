"""The order of a cover's bolts, drawn on the cover."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import cos, pi, sin

from coldmark.bench.errors import Contradiction
from coldmark.bench.pictures import svg
from coldmark.bench.words import sentence

__all__ = ["bolt_order"]

_MIDDLE, _RING = 110.0, 74.0


def _place(number: int, count: int) -> tuple[float, float]:
    turn = 2 * pi * (number - 1) / count - pi / 2
    return _MIDDLE + _RING * cos(turn), _MIDDLE + _RING * sin(turn)


def bolt_order(order: Sequence[int], *, sprung: bool = False) -> str:
    """Draw a cover with its bolts; each carries its turn in the order.

    Parameters
    ----------
    order : the bolts as numbered clockwise from the top, in the order in which they are tightened.
    sprung : whether a spring pushes the cover off; it is then drawn under it.

    Returns
    -------
    str
        SVG.

    Valid for
    ---------
    Every bolt of the ring once.

    Raises
    ------
    Contradiction
        When a bolt is missing or comes twice.

    Source
    ------
    Coldmark's own drawing; the order is that of :func:`coldmark.bench.joint.sequence`.

    Examples
    --------
    >>> bolt_order([1, 3, 2, 4]).count('class="bolt"')
    4
    """
    count = len(order)
    if not count or sorted(order) != list(range(1, count + 1)):
        raise Contradiction(name="order", value="-".join(map(str, order)), why="picture.cannot.bolts")
    size = max(7.0, min(17.0, 0.42 * 2 * pi * _RING / count))
    ways = [(_place(first, count), _place(second, count)) for first, second in pairwise(order)]
    first_cross = ways[:3] if count > 3 else ways
    bolts = []
    for turn, number in enumerate(order, 1):
        x, y = _place(number, count)
        lead = turn <= 2
        bolts.append(
            svg.group(
                svg.circle(
                    x,
                    y,
                    size,
                    fill=svg.AMBER if lead else svg.PAPER,
                    stroke=svg.INK,
                    stroke_width=2.4,
                    class_="bolt-head",
                ),
                svg.text(
                    x,
                    y + size * 0.36,
                    str(turn),
                    size=size * 1.05,
                    bold=True,
                    fill=svg.PAPER if lead else svg.INK,
                    text_anchor="middle",
                    class_="bolt-lead-digit" if lead else "bolt-digit",
                ),
                class_="bolt",
            )
        )
    spring = ""
    if sprung:
        spring = svg.path(
            "M96 96c0-5 28-5 28 0s-28 5-28 10s28-1 28 5s-28 5-28 10s28-1 28 4",
            fill="none",
            stroke=svg.INK_PALE,
            stroke_width=3,
            class_="bolt-spring",
        )
    says = sentence("picture.bolts.says", order="-".join(map(str, order)))
    if sprung:
        says = f"{says} {sentence('picture.bolts.sprung')}"
    return svg.drawing(
        2 * _MIDDLE,
        2 * _MIDDLE,
        sentence("picture.bolts.title"),
        says,
        svg.circle(_MIDDLE, _MIDDLE, 102, fill=svg.INK, class_="cover-body"),
        svg.circle(_MIDDLE, _MIDDLE, 96, fill=svg.PAPER, class_="cover-face"),
        svg.circle(_MIDDLE, _MIDDLE, 40, fill="none", stroke=svg.INK_PALE, stroke_width=2, class_="cover-inner"),
        spring,
        *(
            svg.line(*start, *end, stroke=svg.AMBER, stroke_width=1.8, stroke_dasharray="5 5", class_="bolt-way")
            for start, end in first_cross
        ),
        *bolts,
        class_="picture bolts",
    )
