"""The oil window: viscosity against temperature, and what that means for starting and working."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, floor, log10

from coldmark.bench.oil import AsksViscosity, Oil, Window, window
from coldmark.bench.pictures import svg
from coldmark.bench.shapes import dataclass
from coldmark.bench.words import UnitSystem, quantity, sentence

__all__ = ["oil_window"]

_LEFT, _RIGHT, _TOP, _FOOT = 50.0, 356.0, 16.0, 190.0
_WIDTH, _HEIGHT = 372.0, 268.0
_TICKS_MM2_S = (7.0, 10.0, 16.0, 30.0, 60.0, 200.0, 1000.0, 5000.0)


def _scaled(kv: float) -> float:
    # On the double logarithm of the standard the line is nearly straight, and cold and hot are both to be read.
    return log10(log10(kv + 0.7))


@dataclass(frozen=True, slots=True)
class _Scale:
    cold_c: float
    hot_c: float
    thick: float
    thin: float

    def x(self, t_c: float) -> float:
        return _LEFT + (t_c - self.cold_c) / (self.hot_c - self.cold_c) * (_RIGHT - _LEFT)

    def y(self, kv: float) -> float:
        share = (_scaled(kv) - _scaled(self.thin)) / (_scaled(self.thick) - _scaled(self.thin))
        return _FOOT - share * (_FOOT - _TOP)


def _scale(oil: Oil, found: Window) -> _Scale:
    cold = max(10 * floor((found.start.t_c - 6) / 10), oil.coldest_c)
    hot = min(10 * ceil((found.work_to.t_c + 6) / 10), oil.hottest_c)
    return _Scale(cold, hot, oil.viscosity(cold), oil.viscosity(hot))


def _axes(scale: _Scale) -> str:
    parts = []
    for kv in _TICKS_MM2_S:
        if scale.thin <= kv <= scale.thick:
            y = scale.y(kv)
            parts.append(svg.line(_LEFT, y, _RIGHT, y, stroke=svg.INK_PALE, stroke_width=1, class_="grid"))
            label = f"{kv:,.0f}".replace(",", "\u202f")
            parts.append(svg.text(_LEFT - 6, y + 4, label, size=12, fill=svg.INK_MID, text_anchor="end", class_="tick"))
    parts.append(svg.text(4, 12, sentence("picture.window.axis"), size=11, fill=svg.INK_MID, class_="tick"))
    return "".join(parts)


def _bands(scale: _Scale, found: Window, units: UnitSystem) -> str:
    """Return the strip below the line: what each stretch of temperature means, in words, and its edges."""
    edges = [
        scale.cold_c,
        found.start.t_c,
        found.work_from.t_c,
        found.best_from.t_c,
        found.best_to.t_c,
        found.work_to.t_c,
    ]
    names = ("too_stiff", "idle_only", "cool", "best", "warm", "too_thin")
    parts = []
    top, height = _FOOT + 14, 26.0
    for name, start, end in zip(names, edges, [*edges[1:], scale.hot_c], strict=True):
        x, width = scale.x(start), scale.x(end) - scale.x(start)
        if width < 1:
            continue
        best = name == "best"
        fill = svg.AMBER if best else svg.INK_PALE if name in {"cool", "warm"} else svg.PAPER
        parts.append(
            svg.rect(
                x,
                top,
                width,
                height,
                fill=fill,
                stroke=svg.INK,
                stroke_width=1.4,
                class_=f"band band-{name.replace('_', '-')}",
            )
        )
        words = sentence(f"picture.window.{name}")
        if width > 5.6 * len(words) + 4:
            parts.append(
                svg.text(
                    x + width / 2,
                    top + 17.5,
                    words,
                    size=12,
                    bold=best,
                    fill=svg.PAPER if best else svg.INK,
                    text_anchor="middle",
                    class_="band-best-name" if best else "band-name",
                )
            )
    last = -100.0
    for index, t_c in enumerate(edges[1:]):
        x = scale.x(t_c)
        low = x - last < 42
        parts.append(
            svg.line(
                x,
                top + height,
                x,
                top + height + (20 if low else 5),
                stroke=svg.INK,
                stroke_width=1.2,
                class_="edge-tick",
            )
        )
        parts.append(
            svg.text(
                x,
                top + height + (33 if low else 18),
                quantity(t_c, "c", units=units),
                size=12,
                bold=index in (2, 3),
                fill=svg.INK,
                text_anchor="middle",
                class_="edge-label",
            )
        )
        last = -100.0 if low else x
    return "".join(parts)


def _line(scale: _Scale, viscosity: Callable[[float], float]) -> str:
    steps = 60
    span = scale.hot_c - scale.cold_c
    points = [
        (scale.x(t), scale.y(viscosity(t))) for t in (scale.cold_c + span * index / steps for index in range(steps + 1))
    ]
    return svg.polyline(points, stroke=svg.INK, stroke_width=3.4, stroke_linecap="round", class_="oil-line")


def oil_window(oil: Oil, limits: AsksViscosity | None = None, *, units: UnitSystem = "metric") -> str:
    """Draw an oil's viscosity against its temperature, and where it may be started, worked and is at its best.

    Parameters
    ----------
    oil : the oil.
    limits : viscosities [mm²/s] of the data sheet; what is missing is common practice.
    units : the reader's units.

    Returns
    -------
    str
        SVG.

    Valid for
    ---------
    Oils and limits that :func:`coldmark.bench.oil.window` takes.

    Raises
    ------
    Refused
        What that function refuses.

    Source
    ------
    ASTM D341.

    Examples
    --------
    >>> "At its best from" in oil_window(Oil("Valley 46", 46, viscosity_index=100))
    True
    """
    found = window(oil, limits)
    scale = _scale(oil, found)
    best_x = scale.x(found.best_from.t_c)
    says = sentence(
        "picture.window.says",
        units=units,
        start_c=found.start.t_c,
        work_from_c=found.work_from.t_c,
        best_from_c=found.best_from.t_c,
        best_to_c=found.best_to.t_c,
        work_to_c=found.work_to.t_c,
    )
    edges = (found.start, found.work_from, found.best_from, found.best_to, found.work_to)
    return svg.drawing(
        _WIDTH,
        _HEIGHT,
        sentence("picture.window.title", oil=oil.name),
        says,
        svg.rect(
            best_x,
            _TOP,
            scale.x(found.best_to.t_c) - best_x,
            _FOOT - _TOP,
            fill=svg.AMBER_LIGHT,
            fill_opacity=0.22,
            class_="best",
        ),
        _axes(scale),
        svg.polyline([(_LEFT, _TOP), (_LEFT, _FOOT), (_RIGHT, _FOOT)], stroke=svg.INK, stroke_width=1.6, class_="axis"),
        _line(scale, oil.viscosity),
        *(
            svg.circle(
                scale.x(edge.t_c),
                scale.y(oil.viscosity(edge.t_c)),
                4.4,
                fill=svg.PAPER,
                stroke=svg.INK,
                stroke_width=2.2,
                class_="edge-dot",
            )
            for edge in edges
        ),
        _bands(scale, found, units),
        class_="picture window",
    )
