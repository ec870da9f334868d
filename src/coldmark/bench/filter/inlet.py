"""The pump's inlet: what pressure is left there, and below which oil temperature the pump starves.

The air's pressure and the height of the oil push oil into the pump; the line, its fittings and a strainer hold it
back, the more so the thicker the oil. Where too little is left the oil gives up its air, and hollows form and
collapse: cavitation. It is heard as a rattle, and eats the pump.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

from coldmark.bench.errors import require_above, require_between
from coldmark.bench.filter.drop import (
    FLOW_SPREAD,
    HIGHEST_L_MIN,
    T_SPREAD_K,
    VISCOSITY_SPREAD,
    Resistance,
    resistance,
)
from coldmark.bench.filter.model import Stage, SuctionLine
from coldmark.bench.filter.pipe import ATMOSPHERE, LAMINAR, PIPE, TURBULENT, air_bar, friction, reynolds_number
from coldmark.bench.filter.roots import crosses_at
from coldmark.bench.filter.warm import Crossing
from coldmark.bench.level.mass import combine
from coldmark.bench.oil import Oil
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["Inlet", "Suction", "inlet_bar", "suction"]

LEAST_BAR = 0.8
"""Least absolute pressure at a pump's inlet where its manual tells none: common practice, no source."""

GRAVITY_M_S2 = 9.80665
NEAR_BAR = 0.3
HEAD_SPREAD_MM = 50.0  # the level moves with rods and slopes; assumed


@dataclass(frozen=True, slots=True)
class Inlet:
    """At one flow: the absolute pressure at the pump's inlet now [bar], the speed in the line [m/s], its Reynolds
    number, and below which oil temperature the pump starves, with that temperature's range [°C].

    ``inlet_bar`` is ``None`` where nothing would be left: the flow cannot be drawn. ``starves_c`` is ``None`` where
    there is no such temperature.
    """

    flow_l_min: float
    inlet_bar: Range | None
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
    growth: float  # drop of the strainer over that of the clean one
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
        return reynolds_number(self.flow, self.line.inner_mm, self.viscosity(t_c))

    def pipe(self, kv_mm2_s: float) -> float:
        """Return what the wall costs, in heights of speed: f · L / d."""
        line = self.line
        factor = friction(reynolds_number(self.flow, line.inner_mm, kv_mm2_s), line.roughness_mm / line.inner_mm)
        return factor * line.length_mm / line.inner_mm

    def strained(self, kv_mm2_s: float, density: float) -> float:
        stage = self.strainer
        if stage is None:
            return 0.0
        weight = density / stage.reference_kg_m3
        split = Resistance(stage, kv_mm2_s / stage.reference_mm2_s * weight, weight, self.growth).split(self.flow)
        return split.element + split.housing

    def inlet(self, t_c: float) -> float:
        """Return the absolute pressure at the pump's inlet [bar]; the oil's own speed takes its part too."""
        kv, density = self.viscosity(t_c), self.oil.density(t_c)
        lost = _dynamic(density, self.speed) * (1 + self.line.fittings + self.pipe(kv)) + self.strained(kv, density)
        return self.above_bar + _head(density, self.line.head_mm) - lost


def _dynamic(density: float, speed: float) -> float:
    return density * speed * speed / 2 / 1e5


def _head(density: float, head_mm: float) -> float:
    return density * GRAVITY_M_S2 * head_mm / 1000 / 1e5


def _where(case: _Case, reynolds: float) -> float:
    """Return the oil temperature at which the flow has this Reynolds number, or the nearest end of the oil's."""
    oil = case.oil
    if case.reynolds(oil.coldest_c) >= reynolds:
        return oil.coldest_c
    if case.reynolds(oil.hottest_c) <= reynolds:
        return oil.hottest_c
    kv = case.speed * case.line.inner_mm / 1000 / reynolds / 1e-6 / case.thicker
    return min(oil.hottest_c, max(oil.coldest_c, oil.temperature_at(kv)))


def _edges(case: _Case, least: float) -> list[float]:
    """Cut the oil's temperatures, from the hottest down, so that between two of them its pressure rises with warmth.

    Between laminar and turbulent flow it need not, for there friction jumps up as the oil thins; that stretch is cut
    small, unless even its worst leaves the pump enough.
    """
    laminar, turbulent = _where(case, LAMINAR), _where(case, TURBULENT)
    line = case.line
    jumped = friction(TURBULENT, line.roughness_mm / line.inner_mm) * line.length_mm / line.inner_mm
    density = case.oil.density(laminar)
    worst = case.above_bar + min(_head(case.oil.density(turbulent), line.head_mm), _head(density, line.head_mm))
    worst -= _dynamic(density, case.speed) * (1 + line.fittings + jumped) + case.strained(
        case.viscosity(laminar), density
    )
    cuts = 16 if worst < least else 1
    between = [turbulent - (turbulent - laminar) * step / cuts for step in range(1, cuts + 1)]
    return [case.oil.hottest_c, turbulent, *between, case.oil.coldest_c]


def _starves(case: _Case, least: float) -> Crossing:
    """Return the oil temperature above which the pump always has enough."""

    def spare(t_c: float) -> float:
        return case.inlet(t_c) - least

    if spare(case.oil.hottest_c) < 0:
        return Crossing("always", None)
    for high, low in pairwise(_edges(case, least)):
        if high > low and spare(low) < 0:
            return Crossing("below", crosses_at(spare, low, high, near=NEAR_BAR))
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


def _now(case: _Case, t_c: float) -> Range | None:
    cold, warm = max(case.oil.coldest_c, t_c - T_SPREAD_K), min(case.oil.hottest_c, t_c + T_SPREAD_K)
    thin, thick = (replace(case, thicker=1 + one * VISCOSITY_SPREAD) for one in (-1, 1))
    less, more = (replace(case, flow=case.flow * (1 + one * FLOW_SPREAD)) for one in (-1, 1))
    moved = _head(case.oil.density(t_c), HEAD_SPREAD_MM)
    value = case.inlet(t_c)
    if value <= 0:
        return None
    found = combine(
        value,
        [
            (case.inlet(cold), case.inlet(warm)),
            (thick.inlet(t_c), thin.inlet(t_c)),
            (more.inlet(t_c), less.inlet(t_c)),
            (value - moved, value + moved),
        ],
    )
    return Range(value, max(0.0, found.low), found.high)


def _inlet(case: _Case, least: float, t_c: float) -> Inlet:
    starves = _starves(case, least)
    range_c = None if starves.t_c is None else _range_c(case, least, starves.t_c)
    return Inlet(case.flow, _now(case, t_c), case.speed, case.reynolds(t_c), starves, range_c)


def _working(case: _Case, found: Inlet, least: float, t_c: float, altitude_m_asl: float, tank_bar: float) -> Working:
    line, oil = case.line, case.oil
    share = line.roughness_mm / line.inner_mm
    starves = found.starves
    kv, density = oil.viscosity(t_c), oil.density(t_c)
    flow = Given("Q", case.flow, "l_min", "told")
    return Working(
        (
            Step(
                "working.filter.air",
                "p = 1.01325 · (1 − 0.0065 · h' / 288.15) ^ 5.25588, h' = h · 6356766 / (6356766 + h)",
                (Given("h", altitude_m_asl, "m_asl", "told"),),
                air_bar(altitude_m_asl),
                "bar",
                ATMOSPHERE,
            ),
            Step(
                "working.filter.speed",
                "v = Q / (π / 4 · d²)",
                (flow, Given("d", line.inner_mm, "mm", "told")),
                case.speed,
                "m_s",
                "flow over area",
            ),
            Step(
                "working.filter.friction",
                "64 / Re up to 2300, Colebrook from 4000; Re = v · d / ν",
                (
                    Given("t", t_c, "c", "told"),
                    Given("ν", kv, "mm2_s", "worked_out"),
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
                    Given("ρ · g · h", _head(density, line.head_mm), "bar", "worked_out"),
                    Given("ρ · v² / 2", _dynamic(density, case.speed), "bar", "worked_out"),
                    Given("ζ", line.fittings, "", "told"),
                    Given("f · L / d", case.pipe(kv), "", "worked_out"),
                    Given("Δp_strainer", case.strained(kv, density), "bar", "worked_out"),
                ),
                case.inlet(t_c),
                "bar",
                "energy along a stream line",
            ),
            Step(
                "working.filter.starves",
                "p(t, Q) = p_least",
                (flow, Given("p_least", least, "bar", "told")),
                starves.when if starves.t_c is None else starves.t_c,
                "c",
                "the inlet's pressure, solved for the temperature",
            ),
        )
    )


def inlet_bar(
    line: SuctionLine,
    strainer: Stage | None,
    oil: Oil,
    t_c: float,
    flow_l_min: float,
    *,
    altitude_m_asl: float = 0.0,
    tank_bar: float = 0.0,
    loading: float = 0.0,
) -> float:
    """Return the absolute pressure at the pump's inlet alone, without what follows from it.

    Parameters
    ----------
    line, strainer, oil, loading
        As :func:`suction`.
    t_c
        Temperature of the oil [°C].
    flow_l_min
        Flow that the pump draws [L/min].
    altitude_m_asl
        Height above the sea [m].
    tank_bar
        Pressure of the tank's air above the open air [bar].

    Returns
    -------
    float
        The pressure [bar]; below zero, that flow cannot be drawn.

    Valid for
        As :func:`suction`.

    Raises
    ------
    OutOfRange, Missing
        As :func:`suction`.

    Source
        As :func:`suction`.

    Examples
    --------
    >>> oil = Oil("Valley 46", 46, 6.8, density15_kg_m3=880)
    >>> [round(inlet_bar(SuctionLine(32, 900, head_mm=300), None, oil, t_c, 80), 2) for t_c in (-10, 0, 40)]
    [0.39, 0.77, 0.99]
    """
    require_between("tank_bar", tank_bar, 0, 2, "tanks under pressure")
    require_above("flow_l_min", flow_l_min, 0, "flow through the pump")
    require_between("flow_l_min", flow_l_min, 0, HIGHEST_L_MIN, "flows of mobile hydraulics")
    growth = 1.0 if strainer is None else resistance(strainer, oil, t_c, loading).growth
    return _Case(line, strainer, growth, oil, air_bar(altitude_m_asl) + tank_bar, flow_l_min).inlet(t_c)


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
    growth = 1.0 if strainer is None else resistance(strainer, oil, t_c, loading).growth
    cases = [_Case(line, strainer, growth, oil, above, flow) for _, flow in flows]
    inlets = [_inlet(case, least_bar, t_c) for case in cases]
    working = _working(cases[0], inlets[0], least_bar, t_c, altitude_m_asl, tank_bar)
    idle = inlets[1] if len(inlets) > 1 else None
    if idle is not None:
        working = Working(
            (*working.steps, _working(cases[1], idle, least_bar, t_c, altitude_m_asl, tank_bar).steps[-1])
        )
    return Suction(inlets[0], idle, least_bar, t_c, working)
