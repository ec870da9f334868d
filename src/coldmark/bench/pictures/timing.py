"""A timing over the machine's hours: each measurement with its range, and the most that is allowed."""

from __future__ import annotations

from collections.abc import Sequence

from coldmark.bench.errors import Missing
from coldmark.bench.pictures import svg
from coldmark.bench.timings import Point, says_value
from coldmark.bench.words import UnitSystem, quantity, sentence

__all__ = ["timing_trend"]

_WIDTH, _HEIGHT = 340.0, 190.0
_LEFT, _RIGHT, _TOP, _FOOT = 26.0, 318.0, 34.0, 154.0


def _places(points: Sequence[Point]) -> list[float]:
    """Return how far along each point stands, 0 to 1: by its hours where all are known, else one after another."""
    hours = [one.hours for one in points]
    known = [one for one in hours if one is not None]
    if len(known) == len(points) and max(known) - min(known) > 0:
        return [(one - min(known)) / (max(known) - min(known)) for one in known]
    return [place / max(1, len(points) - 1) for place in range(len(points))]


def timing_trend(points: Sequence[Point], kind: str, *, most: float | None = None, units: UnitSystem = "metric") -> str:
    """Draw how a timing has gone: its measurements over the hours, each with its range, the latest in amber.

    Parameters
    ----------
    points : from a :class:`coldmark.bench.timings.Trend`, the earliest first.
    kind : *cycle* or *drift*.
    most : the most that is allowed [s, or mm/min], where it is known.
    units : the reader's units.

    Returns
    -------
    str
        SVG.

    Valid for
    ---------
    One measurement or more.

    Raises
    ------
    Missing
        When there is none.

    Source
    ------
    Coldmark's own drawing.

    Examples
    --------
    >>> from coldmark.bench.timings import Timed, trend
    >>> found = trend([Timed("cycle", time_s=3.0, hours=100), Timed("cycle", time_s=3.6, hours=900)])
    >>> timing_trend(found.points, "cycle").count('class="point"')
    2
    """
    if not points:
        raise Missing(name="points", needed_for="a drawing")
    top = 1.12 * max([one.value.high for one in points] + ([] if most is None else [most])) or 1.0

    def y(value: float) -> float:
        return _FOOT - value / top * (_FOOT - _TOP)

    drawn = []
    for place, one in zip(_places(points), points, strict=True):
        x = _LEFT + 14 + place * (_RIGHT - _LEFT - 28)
        last = one is points[-1]
        drawn.append(
            svg.group(
                svg.line(x, y(one.value.low), x, y(one.value.high), stroke=svg.INK, stroke_width=2, class_="span"),
                svg.circle(
                    x,
                    y(one.value.value),
                    7 if last else 5,
                    fill=svg.AMBER if last else svg.PAPER,
                    stroke=svg.INK,
                    stroke_width=2,
                    class_="dot",
                ),
                class_="point",
            )
        )
    first, last_one = points[0], points[-1]
    shown = says_value(kind, last_one.value.value, units)
    says = sentence(
        "picture.timing.says", count=len(points), first=says_value(kind, first.value.value, units), last=shown
    )
    line = []
    if most is not None:
        told = says_value(kind, most, units)
        says = f"{says} {sentence('picture.timing.most', most=told)}"
        line = [
            svg.line(
                _LEFT,
                y(most),
                _RIGHT,
                y(most),
                stroke=svg.AMBER,
                stroke_width=2.4,
                stroke_dasharray="7 5",
                class_="most",
            ),
            svg.text(
                _LEFT + 4,
                y(most) - 6,
                f"{sentence('picture.timing.most_label')} {told}",
                size=13,
                fill=svg.INK,
                class_="most-label",
            ),
        ]
    known = [one.hours for one in (first, last_one) if one.hours is not None]
    feet = []
    if len(known) == 2 and len(points) > 1:
        feet = [
            svg.text(_LEFT, _HEIGHT - 16, _hours(known[0], units), size=13, fill=svg.INK_MID, class_="tick"),
            svg.text(
                _RIGHT,
                _HEIGHT - 16,
                _hours(known[1], units),
                size=13,
                fill=svg.INK_MID,
                text_anchor="end",
                class_="tick",
            ),
        ]
    return svg.drawing(
        _WIDTH,
        _HEIGHT,
        sentence("picture.timing.title"),
        says,
        svg.text(_RIGHT, 20, shown, size=18, bold=True, fill=svg.INK, text_anchor="end", class_="latest"),
        svg.line(_LEFT, _FOOT, _RIGHT, _FOOT, stroke=svg.INK, stroke_width=1.6, class_="axis"),
        svg.line(_LEFT, _TOP, _LEFT, _FOOT, stroke=svg.INK, stroke_width=1.6, class_="axis"),
        *line,
        *drawn,
        *feet,
        class_="picture timing-trend",
    )


def _hours(hours: float, units: UnitSystem) -> str:
    return quantity(hours, "h", units=units, digits=0)
