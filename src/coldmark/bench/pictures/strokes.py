"""A signature from the strokes of a finger."""

from __future__ import annotations

from collections.abc import Sequence

from coldmark.bench.pictures import svg
from coldmark.bench.words import sentence

__all__ = ["strokes"]

_THICKNESS = 0.012  # of the pad's width: about what a pen leaves


def strokes(lines: Sequence[Sequence[Sequence[int]]], width: int, height: int) -> str:
    """Draw a signature.

    Parameters
    ----------
    lines : each stroke as its points (x, y), in whole numbers inside the pad.
    width, height : the pad's size, in the same numbers.

    Returns
    -------
    str
        SVG. A stroke of one point is drawn as a dot.

    Valid for
    ---------
    Any strokes that :mod:`coldmark.records` keeps.

    Raises
    ------
    Contradiction
        Never for those.

    Source
    ------
    Coldmark's own drawing.

    Examples
    --------
    >>> "<polyline" in strokes([[[1, 1], [5, 8]]], 100, 40), "<circle" in strokes([[[3, 4]]], 100, 40)
    (True, True)
    """
    thick = max(1.0, width * _THICKNESS)
    drawn = [
        svg.circle(line[0][0], line[0][1], thick, fill=svg.INK)
        if len(line) == 1
        else svg.polyline(
            [(point[0], point[1]) for point in line],
            stroke=svg.INK,
            stroke_width=thick,
            stroke_linecap="round",
            stroke_linejoin="round",
        )
        for line in lines
    ]
    title = sentence("picture.signature")
    return svg.drawing(width, height, title, title, *drawn, class_="signature")
