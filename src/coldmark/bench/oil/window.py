"""Between which temperatures an oil has the viscosities that a system can live with."""

from __future__ import annotations

from typing import Literal, Protocol

from coldmark.bench.errors import Contradiction, require_between
from coldmark.bench.oil.model import Oil
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Origin, Step, Working

__all__ = ["PRACTICE", "AsksViscosity", "Edge", "Limits", "Window", "window"]


class AsksViscosity(Protocol):
    """What a data sheet says of viscosity: :class:`coldmark.bench.sheet.Sheet` and :class:`Limits` have it."""

    @property
    def start_limit_mm2_s(self) -> float | None:
        """Thickest oil that may be started on [mm²/s]."""

    @property
    def best_high_mm2_s(self) -> float | None:
        """Thick end of the best range [mm²/s]."""

    @property
    def best_low_mm2_s(self) -> float | None:
        """Thin end of the best range [mm²/s]."""

    @property
    def lowest_mm2_s(self) -> float | None:
        """Thinnest oil that still carries [mm²/s]."""


@dataclass(frozen=True, slots=True)
class Limits:
    """Viscosities [mm²/s] that a system asks for; ``None`` takes common practice.

    ``highest_mm2_s`` is the thickest oil to work with, ``start_limit_mm2_s`` the thickest to start on without load.
    """

    start_limit_mm2_s: float | None = None
    highest_mm2_s: float | None = None
    best_high_mm2_s: float | None = None
    best_low_mm2_s: float | None = None
    lowest_mm2_s: float | None = None


PRACTICE = Limits(1000.0, 200.0, 36.0, 16.0, 10.0)
"""Common practice for piston and gear pumps, no source: the machine's manual goes before it."""

_EDGES = ("start_limit_mm2_s", "highest_mm2_s", "best_high_mm2_s", "best_low_mm2_s", "lowest_mm2_s")


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge of the window: a viscosity [mm²/s], where it comes from, and the temperature [°C] of it.

    ``by`` says what sets the temperature: the viscosity, the pour point (the oil would be even thicker, but stops
    flowing before), or the oil's own hot end (it stays thicker than that up to there).
    """

    kv_mm2_s: float
    origin: Origin
    t_c: float
    by: Literal["viscosity", "pour point", "hot end"]


@dataclass(frozen=True, slots=True)
class Window:
    """The temperatures at which the oil reaches each limit, from cold to hot.

    ``doubt`` is the message id of why the cold end is to be doubted, or ``None``.
    """

    start: Edge
    work_from: Edge
    best_from: Edge
    best_to: Edge
    work_to: Edge
    doubt: str | None
    working: Working

    def says(self, t_c: float) -> str:
        """Return the message id of what the oil at ``t_c`` [°C] means for work: from *too stiff* to *too thin*."""
        if t_c < self.start.t_c:
            return "oil.window.too_stiff"
        if t_c < self.work_from.t_c:
            return "oil.window.idle_only"
        if t_c < self.best_from.t_c:
            return "oil.window.cool"
        if t_c <= self.best_to.t_c:
            return "oil.window.best"
        return "oil.window.warm" if t_c <= self.work_to.t_c else "oil.window.too_thin"


def _edge(oil: Oil, kv: float, origin: Origin) -> Edge:
    t_c = oil.curve.temperature_at(kv)
    if t_c < oil.coldest_c:
        return Edge(kv, origin, oil.coldest_c, "pour point")
    if t_c > oil.hottest_c:
        return Edge(kv, origin, oil.hottest_c, "hot end")
    return Edge(kv, origin, t_c, "viscosity")


def window(oil: Oil, limits: AsksViscosity | None = None) -> Window:
    """Return the temperatures between which the oil may be started, worked and is at its best.

    Parameters
    ----------
    oil
        The oil.
    limits
        Viscosities [mm²/s] from the data sheet, or :class:`Limits`; what is not given is common practice and is
        marked so.

    Returns
    -------
    Window
        Five edges [°C] from cold to hot with their viscosity and its origin.

    Valid for
        Limits of 2 to 10,000 mm²/s that fall from start to lowest.

    Raises
    ------
    OutOfRange
        When a limit is outside of that.
    Contradiction
        When the limits do not fall in order.

    Source
        ASTM D341; limits from the sheet, else common practice, no source.

    Examples
    --------
    >>> found = window(Oil("Valley 46", 46, viscosity_index=100))
    >>> [round(edge.t_c) for edge in (found.start, found.work_from, found.best_from, found.best_to, found.work_to)]
    [-6, 14, 46, 67, 84]
    """
    edges: list[Edge] = []
    for name in _EDGES:
        given = getattr(limits, name, None)
        kv: float = getattr(PRACTICE, name) if given is None else given
        require_between(name, kv, 2, 10_000, "viscosities of hydraulic systems")
        if given is None and edges:
            # A sheet's own limit goes before practice: practice gives way where it would stand on its wrong side.
            kv = min(kv, edges[-1].kv_mm2_s)
        elif edges and kv > edges[-1].kv_mm2_s:
            if edges[-1].origin != "practice":
                before = edges[-1].kv_mm2_s
                raise Contradiction(name=name, value=kv, why="oil.cannot.limits_fall", before_mm2_s=before)
            edges = [_edge(oil, max(edge.kv_mm2_s, kv), edge.origin) for edge in edges]
        edges.append(_edge(oil, kv, "practice" if given is None else "sheet"))
    steps = tuple(
        Step(
            "working.oil.temperature",
            "log log Z = A − B · log T",
            (
                Given("ν", edge.kv_mm2_s, "mm2_s", edge.origin),
                Given("A", oil.curve.a, "", "worked_out"),
                Given("B", oil.curve.b, "", "worked_out"),
            ),
            edge.t_c,
            "c",
            "ASTM D341",
        )
        for edge in edges
    )
    start, work_from, best_from, best_to, work_to = edges
    return Window(start, work_from, best_from, best_to, work_to, oil.doubt(start.t_c), Working(steps))
