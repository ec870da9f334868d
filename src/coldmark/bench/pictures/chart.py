"""A small chart for a phone: one frame, few lines, words on the lines themselves."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from coldmark.bench.pictures import svg
from coldmark.bench.shapes import dataclass

__all__ = ["HEIGHT", "WIDTH", "Frame"]

WIDTH, HEIGHT = 372.0, 250.0
_LEFT, _RIGHT, _TOP, _FOOT = 58.0, 358.0, 30.0, 200.0


def _same(value: float) -> float:
    return value


@dataclass(frozen=True, slots=True)
class Frame:
    """What the two axes run over, and how each is bent (by a logarithm, say)."""

    x_from: float
    x_to: float
    y_from: float
    y_to: float
    bend_x: Callable[[float], float] = _same
    bend_y: Callable[[float], float] = _same

    def x(self, value: float) -> float:
        """Return where a value of the lower axis stands."""
        first, last = self.bend_x(self.x_from), self.bend_x(self.x_to)
        return _LEFT + (self.bend_x(value) - first) / (last - first) * (_RIGHT - _LEFT)

    def y(self, value: float) -> float:
        """Return where a value of the side axis stands; what lies beyond the frame stays at its edge."""
        first, last = self.bend_y(self.y_from), self.bend_y(self.y_to)
        inside = min(max(value, self.y_from), self.y_to)
        return _FOOT - (self.bend_y(inside) - first) / (last - first) * (_FOOT - _TOP)

    def axes(self, side: str, foot: str, xs: Sequence[tuple[float, str]], ys: Sequence[tuple[float, str]]) -> str:
        """Draw both axes with their names, and a pale line for each value named at the side."""
        parts = []
        for value, label in ys:
            y = self.y(value)
            parts.append(svg.line(_LEFT, y, _RIGHT, y, stroke=svg.INK_PALE, stroke_width=1, class_="grid"))
            parts.append(svg.text(_LEFT - 6, y + 4, label, size=13, fill=svg.INK, text_anchor="end", class_="tick"))
        for value, label in xs:
            x = self.x(value)
            parts.append(svg.line(x, _FOOT, x, _FOOT + 5, stroke=svg.INK, stroke_width=1.4, class_="edge-tick"))
            anchor = "end" if x > _RIGHT - 12 else "middle"
            parts.append(
                svg.text(
                    min(x, _RIGHT), _FOOT + 20, label, size=13, fill=svg.INK, text_anchor=anchor, class_="edge-label"
                )
            )
        parts.append(
            svg.polyline(
                [(_LEFT, _TOP), (_LEFT, _FOOT), (_RIGHT, _FOOT)], stroke=svg.INK, stroke_width=1.6, class_="axis"
            )
        )
        parts.append(svg.text(4, 16, side, size=13, fill=svg.INK, class_="tick"))
        parts.append(
            svg.text(
                (_LEFT + _RIGHT) / 2, HEIGHT - 10, foot, size=13, fill=svg.INK, text_anchor="middle", class_="tick"
            )
        )
        return "".join(parts)

    def band(self, x_from: float, x_to: float) -> str:
        """Shade a stretch of the lower axis from top to foot."""
        left, right = sorted((self.x(x_from), self.x(x_to)))
        return svg.rect(left, _TOP, right - left, _FOOT - _TOP, fill=svg.AMBER_LIGHT, fill_opacity=0.22, class_="best")

    def below(self, value: float) -> str:
        """Shade all that lies below a value of the side axis."""
        y = self.y(value)
        return svg.rect(_LEFT, y, _RIGHT - _LEFT, _FOOT - y, fill=svg.AMBER_LIGHT, fill_opacity=0.22, class_="best")

    def curve(self, points: Sequence[tuple[float, float]], *, second: bool = False) -> str:
        """Draw a line through points; the second one of a chart is thinner and dashed."""
        placed = [(self.x(x), self.y(y)) for x, y in points]
        if second:
            return svg.polyline(
                placed, stroke=svg.INK, stroke_width=2.2, stroke_dasharray="7 5", class_="oil-line second"
            )
        return svg.polyline(placed, stroke=svg.INK, stroke_width=3.4, stroke_linecap="round", class_="oil-line")

    def level(self, value: float) -> str:
        """Draw a limit straight across."""
        y = self.y(value)
        return svg.line(_LEFT, y, _RIGHT, y, stroke=svg.AMBER, stroke_width=3, class_="limit")

    def dot(self, x: float, y: float) -> str:
        """Mark one point."""
        return svg.circle(
            self.x(x), self.y(y), 6, fill=svg.AMBER_LIGHT, stroke=svg.INK, stroke_width=2.4, class_="edge-dot"
        )

    def words(self, x: float, y: float, said: str, *, up: float = 8, anchor: str = "start", bold: bool = False) -> str:
        """Write on the chart, ``up`` above a point."""
        return svg.text(
            self.x(x), self.y(y) - up, said, size=13, bold=bold, fill=svg.INK, text_anchor=anchor, class_="band-name"
        )
