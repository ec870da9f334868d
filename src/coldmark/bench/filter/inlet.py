"""The pump's inlet: what pressure is left there, and below which oil temperature the pump starves.

The air's pressure and the height of the oil push oil into the pump; the line, its fittings and a strainer hold it
back, the more so the thicker the oil. Where too little is left the oil gives up its air, and hollows form and
collapse: cavitation. It is heard as a rattle, and eats the pump.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise

from coldmark.bench.errors import require_above, require_between
from coldmark.bench.filter.drop import HIGHEST_L_MIN, resistance
from coldmark.bench.filter.model import Stage
from coldmark.bench.filter.pipe import ATMOSPHERE, LAMINAR, PIPE, TURBULENT, air_bar, friction
from coldmark.bench.filter.warm import Crossing
from coldmark.bench.level.mass import combine
from coldmark.bench.oil import Oil
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["Inlet", "Suction", "SuctionLine", "suction"]

LEAST_BAR = 0.8
"""Least absolute pressure at a pump's inlet where its manual tells none: common practice, no source."""

GRAVITY_M_S2 = 9.80665
T_SPREAD_K = 2.0
FLOW_SPREAD = 0.05  # a pump's flow by its size and speed; assumed
VISCOSITY_SPREAD = 0.1  # to either side of a grade's middle, ISO 3448
HEAD_SPREAD_MM = 50.0  # the level moves with rods and slopes; assumed


@dataclass(frozen=True, slots=True)
class SuctionLine:
    """A suction line: inner diameter and length [mm], how far the oil stands above the pump's inlet [mm, below zero
    where the pump sits higher], the sum of its fittings' loss coefficients, and the roughness of its wall [mm]."""

    inner_mm: float
    length_mm: float
    head_mm: float = 0.0
    fittings: float = 1.5
    roughness_mm: float = 0.01

    def __post_init__(self) -> None:
        require_above("inner_mm", self.inner_mm, 0, "suction lines")
        require_between("inner_mm", self.inner_mm, 5, 200, "suction lines")
        require_between("length_mm", self.length_mm, 0, 20_000, "suction lines")
        require_between("head_mm", self.head_mm, -5000, 5000, "tanks of mobile machines")
        require_between("fittings", self.fittings, 0, 100, "loss coefficients")
        require_between("roughness_mm", self.roughness_mm, 0, 0.05 * self.inner_mm, "Colebrook")


@dataclass(frozen=True, slots=True)
class Inlet:
    """At one flow: the absolute pressure at the pump's inlet now [bar], the speed in the line [m/s], its Reynolds
    number, and below which oil temperature the pump starves, with that temperature's range [°C]."""

    flow_l_min: float
    inlet_bar: Range
    speed_m_s: float
    reynolds: float
    starves: Crossing
    starves_c: Range | None


@dataclass(frozen=True, slots=True)
class Suction:
    """The pump's inlet at full speed and, where its flow is known, at idle, against the least pressure [bar]."""

    full: Inlet
    idle: Inlet | None
    least_bar: float
    t_c: float
    working: Working


@dataclass(frozen=True, slots=True)
class _Case:
    """One suction: what presses, what holds back, and how thick the oil is against its sheet."""

    line: SuctionLine
    strainer: Stage | None
    loading: float
    oil: Oil
    above_bar: float
    flow: float
    thicker: float = 1.0

    @property
    def speed(self) -> float:
        return self.flow / 6e4 / (math.pi / 4 * (self.line.inner_mm / 1000) ** 2)

    def viscosity(self, t_c: float) -> float:
        return self.oil.viscosity(t_c) * self.thicker

    def reynolds(self, t_c: float) -> float:
        return self.speed * self.line.inner_mm / 1000 / (self.viscosity(t_c) * 1e-6)

    def dynamic(self, t_c: float) -> float:
        return self.oil.density(t_c) * self.speed**2 / 2 / 1e5

    def pipe(self, t_c: float) -> float:
        line = self.line
        return friction(self.reynolds(t_c), line.roughness_mm / line.inner_mm) * line.length_mm / line.inner_mm

    def strained(self, t_c: float) -> float:
        if self.strainer is None:
            return 0.0
        found = resistance(self.strainer, self.oil, t_c, self.loading)
        found = replace(found, thickness=found.thickness * self.thicker)
        through = found.through_element(self.flow)
        spans = self.strainer.bypass is not None and self.strainer.bypass.spans_housing
        return found.element(through) + found.housing(through if spans else self.flow)

    def head(self, t_c: float) -> float:
        return self.oil.density(t_c) * GRAVITY_M_S2 * self.line.head_mm / 1000 / 1e5

    def inlet(self, t_c: float) -> float:
        """Return the absolute pressure at the pump's inlet [bar]; the oil's own speed takes its part too."""
        lost = self.dynamic(t_c) * (1 + self.line.fittings + self.pipe(t_c)) + self.strained(t_c)
        return self.above_bar + self.head(t_c) - lost


def _halved(function: Callable[[float], float], low: float, high: float) -> float:
    """Return where a rising function crosses zero, to a ten-thousandth of a kelvin."""
    while high - low > 1e-4:
        middle = (low + high) / 2
        if function(middle) < 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _stretches(case: _Case) -> Iterator[tuple[float, float]]:
    """Cut the oil's temperatures, from the hottest down, where the inlet's pressure no longer need rise with warmth:
    between laminar and turbulent flow, friction jumps up as the oil thins."""
    oil = case.oil

    def where(reynolds: float) -> float:
        if case.reynolds(oil.coldest_c) >= reynolds:
            return oil.coldest_c
        if case.reynolds(oil.hottest_c) <= reynolds:
            return oil.hottest_c
        return _halved(lambda t_c: case.reynolds(t_c) - reynolds, oil.coldest_c, oil.hottest_c)

    laminar, turbulent = where(LAMINAR), where(TURBULENT)
    edges = [oil.hottest_c, turbulent]
    edges += [turbulent - (turbulent - laminar) * step / 16 for step in range(1, 17)]
    edges.append(oil.coldest_c)
    for high, low in pairwise(edges):
        if high > low:
            yield low, high


def _starves(case: _Case, least: float) -> Crossing:
    """Return the oil temperature above which the pump always has enough."""

    def spare(t_c: float) -> float:
        return case.inlet(t_c) - least

    if spare(case.oil.hottest_c) < 0:
        return Crossing("always", None)
    for low, high in _stretches(case):
        if spare(low) < 0:
            return Crossing("below", _halved(spare, low, high))
    return Crossing("never", None)


def _range_c(case: _Case, least: float, t_c: float) -> Range:
    """Return the range of the temperature below which it starves; an end at which it never or always does is the
    oil's coldest or hottest."""
    oil, line = case.oil, case.line

    def at(one: _Case) -> float:
        found = _starves(one, least)
        ends = {"never": oil.coldest_c, "always": oil.hottest_c}
        return ends[found.when] if found.t_c is None else found.t_c

    def ends(low: _Case, high: _Case) -> tuple[float, float]:
        return at(low), at(high)

    def with_head(moved_mm: float) -> _Case:
        return replace(case, line=replace(line, head_mm=line.head_mm + moved_mm))

    return combine(
        t_c,
        [
            ends(replace(case, thicker=1 - VISCOSITY_SPREAD), replace(case, thicker=1 + VISCOSITY_SPREAD)),
            ends(replace(case, flow=case.flow * (1 - FLOW_SPREAD)), replace(case, flow=case.flow * (1 + FLOW_SPREAD))),
            ends(with_head(HEAD_SPREAD_MM), with_head(-HEAD_SPREAD_MM)),
        ],
    )


def _now(case: _Case, t_c: float) -> Range:
    cold, warm = max(case.oil.coldest_c, t_c - T_SPREAD_K), min(case.oil.hottest_c, t_c + T_SPREAD_K)
    thin, thick = (replace(case, thicker=1 + one * VISCOSITY_SPREAD) for one in (-1, 1))
    less, more = (replace(case, flow=case.flow * (1 + one * FLOW_SPREAD)) for one in (-1, 1))
    moved = abs(case.head(t_c) / case.line.head_mm * HEAD_SPREAD_MM) if case.line.head_mm else 0.0
    value = case.inlet(t_c)
    return combine(
        value,
        [
            (case.inlet(cold), case.inlet(warm)),
            (thick.inlet(t_c), thin.inlet(t_c)),
            (more.inlet(t_c), less.inlet(t_c)),
            (value - moved, value + moved),
        ],
    )


def _inlet(case: _Case, least: float, t_c: float) -> Inlet:
    starves = _starves(case, least)
    range_c = None if starves.t_c is None else _range_c(case, least, starves.t_c)
    return Inlet(case.flow, _now(case, t_c), case.speed, case.reynolds(t_c), starves, range_c)


def _working(case: _Case, found: Inlet, least: float, t_c: float, altitude_m_asl: float, tank_bar: float) -> Working:
    line, oil = case.line, case.oil
    share = line.roughness_mm / line.inner_mm
    crossing = found.starves
    flow = Given("Q", case.flow, "l_min", "told")
    return Working(
        (
            Step(
                "working.filter.air",
                "p = 1.01325 · (1 − 0.0065 · h / 288.15) ^ 5.25588",
                (Given("h", altitude_m_asl, "m_asl", "told"),),
                air_bar(altitude_m_asl),
                "bar",
                ATMOSPHERE,
            ),
            Step(
                "working.filter.speed",
                "v = Q / A",
                (flow, Given("d", line.inner_mm, "mm", "told")),
                case.speed,
                "m_s",
                "",
            ),
            Step(
                "working.filter.friction",
                "64 / Re up to 2300, Colebrook from 4000; Re = v · d / ν",
                (
                    Given("t", t_c, "c", "told"),
                    Given("ν", oil.viscosity(t_c), "mm2_s", "worked_out"),
                    Given("Re", found.reynolds, "", "worked_out"),
                ),
                friction(found.reynolds, share),
                "",
                PIPE,
            ),
            Step(
                "working.filter.inlet",
                "p = p_air + p_tank + ρ · g · h − ρ · v² / 2 · (1 + ζ + f · L / d) − Δp_strainer",
                (
                    Given("p_tank", tank_bar, "bar", "told"),
                    Given("ρ · g · h", case.head(t_c), "bar", "worked_out"),
                    Given("ρ · v² / 2", case.dynamic(t_c), "bar", "worked_out"),
                    Given("ζ", line.fittings, "", "assumed"),
                    Given("f · L / d", case.pipe(t_c), "", "worked_out"),
                    Given("Δp_strainer", case.strained(t_c), "bar", "worked_out"),
                ),
                found.inlet_bar.value,
                "bar",
                "energy along a stream line",
            ),
            Step(
                "working.filter.starves",
                "p(t, Q) = p_least",
                (flow, Given("p_least", least, "bar", "told")),
                crossing.when if crossing.t_c is None else crossing.t_c,
                "c",
                "the inlet's pressure, solved for the temperature",
            ),
        )
    )


def suction(
    line: SuctionLine,
    strainer: Stage | None,
    oil: Oil,
    t_c: float,
    flow_l_min: float,
    *,
    idle_l_min: float | None = None,
    least_bar: float = LEAST_BAR,
    altitude_m_asl: float = 0.0,
    tank_bar: float = 0.0,
    loading: float = 0.0,
) -> Suction:
    """Return the pressure at the pump's inlet, and below which oil temperature the pump starves.

    Parameters
    ----------
    line
        The suction line.
    strainer
        The strainer in it, or ``None``.
    oil
        The oil; its density must be known.
    t_c
        Temperature of the oil now [°C].
    flow_l_min
        Flow that the pump draws at full speed [L/min].
    idle_l_min
        Flow that it draws at idle [L/min], or ``None``.
    least_bar
        Least absolute pressure that the pump bears at its inlet [bar]; its manual goes before the usual 0.8.
    altitude_m_asl
        Height above the sea [m].
    tank_bar
        Pressure of the tank's air above the open air [bar].
    loading
        Dirt held by the strainer over what it can hold [0 to 1].

    Returns
    -------
    Suction
        Per flow the pressure now with its range (thermometer to 2 K, viscosity and the oil's height by what a grade and
        a level leave open, flow to a twentieth), and the oil temperature below which the pump starves, with its range.

    Valid for
        Flows above 0 to 3000 L/min; 0.1 to 3 bar at the inlet; −500 to 5000 m; tanks up to 2 bar; steady flow: a cold
        start that jerks needs more.

    Raises
    ------
    OutOfRange
        Outside of that.
    Missing
        When the oil's density, or the drop of a full strainer, is needed and not known.

    Source
        Energy along a stream line with Darcy-Weisbach friction; the usual least pressure is common practice, no source.

    Examples
    --------
    >>> oil = Oil("Valley 46", 46, 6.8, density15_kg_m3=880)
    >>> found = suction(SuctionLine(32, 900, head_mm=300), None, oil, 0, 80, idle_l_min=35)
    >>> round(found.full.inlet_bar.value, 2), round(found.full.starves.t_c), round(found.idle.starves.t_c)
    (0.77, 2, -9)
    """
    require_between("least_bar", least_bar, 0.1, 3, "pump inlets")
    require_between("tank_bar", tank_bar, 0, 2, "tanks under pressure")
    flows = [("flow_l_min", flow_l_min)] + ([] if idle_l_min is None else [("idle_l_min", idle_l_min)])
    for name, flow in flows:
        require_above(name, flow, 0, "flow through the pump")
        require_between(name, flow, 0, HIGHEST_L_MIN, "flows of mobile hydraulics")
    above = air_bar(altitude_m_asl) + tank_bar
    cases = [_Case(line, strainer, loading, oil, above, flow) for _, flow in flows]
    inlets = [_inlet(case, least_bar, t_c) for case in cases]
    working = _working(cases[0], inlets[0], least_bar, t_c, altitude_m_asl, tank_bar)
    idle = inlets[1] if len(inlets) > 1 else None
    if idle is not None:
        working = Working(
            (*working.steps, _working(cases[1], idle, least_bar, t_c, altitude_m_asl, tank_bar).steps[-1])
        )
    return Suction(inlets[0], idle, least_bar, t_c, working)
