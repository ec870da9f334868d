"""Dirt in the tank against β, what an indicator tells of an element, and the pump's inlet against warmth."""

from __future__ import annotations

from math import floor, log10
from typing import TYPE_CHECKING

from coldmark.bench import filter as filters
from coldmark.bench.pictures import svg
from coldmark.bench.pictures.chart import HEIGHT, WIDTH, Frame
from coldmark.bench.unit_table import shown_unit
from coldmark.bench.words import UnitSystem, figures, quantity, sentence

if TYPE_CHECKING:
    from coldmark.bench.oil import Oil

__all__ = ["element_life", "pump_inlet", "tank_dirt"]

_BETAS = (2.0, 5.0, 10.0, 75.0, 1000.0)


def _even(first: float, last: float, count: int) -> list[float]:
    return [first + (last - first) * index / count for index in range(count + 1)]


def _short(value: float) -> str:
    return figures(float(f"{value:.2g}"), 3)


def tank_dirt(
    ingress_million_min: float,
    flow_l_min: float,
    beta: float,
    *,
    bypass_share: float = 0.0,
    found_per_ml: float | None = None,
    units: UnitSystem = "metric",
) -> str:
    """Draw what the tank's count settles at against β, alone and with half of the flow past the element.

    Parameters
    ----------
    ingress_million_min : particles that get in [million/min], more than none.
    flow_l_min : flow through the filter [L/min].
    beta : β of the element.
    bypass_share : share of the flow that goes past the element.
    found_per_ml : what was counted [per mL], or None.
    units : the reader's units.

    Returns
    -------
    str
        SVG. The side's lines stand one step of the code, a doubling, apart.

    Valid for
    ---------
    What :func:`coldmark.bench.filter.settle` takes.

    Raises
    ------
    Refused
        What that function refuses.

    Source
    ------
    The particle balance of that function.

    Examples
    --------
    >>> "half of the flow past it" in tank_dirt(10, 100, 200)
    True
    """
    settled = filters.settle(ingress_million_min, flow_l_min, beta, bypass_share=bypass_share)
    flat = settled.flat_per_ml
    frame = Frame(1.25, 1000, flat / 2, flat * 16, log10, log10)
    curve, half = (
        [
            (one, filters.settle(ingress_million_min, flow_l_min, one, bypass_share=past).tank_per_ml.value)
            for one in (1.25 * 800 ** (index / 80) for index in range(81))
        ]
        for past in (0.0, 0.5)
    )
    shown = min(max(beta, 1.25), 1000.0)
    count = settled.tank_per_ml.value
    parts = [
        frame.band(10, 1000),
        frame.axes(
            sentence("picture.dirt.side"),
            sentence("picture.dirt.foot"),
            [(one, figures(one)) for one in _BETAS],
            [(flat * step, _short(flat * step)) for step in (0.5, 1, 2, 4, 8, 16)],
        ),
        frame.curve(half, second=True),
        frame.curve(curve),
        frame.words(1000, flat * 2, sentence("picture.dirt.half"), anchor="end"),
        frame.words(1000, flat, sentence("picture.dirt.flat"), up=-19, anchor="end", bold=True),
        frame.dot(shown, count),
    ]
    says = [sentence("picture.dirt.says", units=units, beta=beta, tank_per_ml=count, flat_per_ml=flat)]
    if found_per_ml is not None:
        parts.append(frame.dot(shown, found_per_ml))
        words_up = 12 if found_per_ml < flat * 12 else -22
        anchor = "end" if shown > 100 else "start"
        parts.append(frame.words(shown, found_per_ml, sentence("picture.dirt.found"), up=words_up, anchor=anchor))
        says.append(sentence("picture.dirt.says_found", units=units, found_per_ml=found_per_ml))
    title = sentence("picture.dirt.title")
    return svg.drawing(WIDTH, HEIGHT, title, " ".join(says), *parts, class_="picture chart")


def element_life(
    stage: filters.Stage,
    reading_bar: float,
    flow_l_min: float,
    oil: Oil,
    t_c: float,
    *,
    gauge_bar: float = 0.05,
    units: UnitSystem = "metric",
) -> str:
    """Draw how an indicator rises while an element fills, and where it stands.

    Parameters
    ----------
    stage : the filter; the drop of its full element must be known.
    reading_bar : what the indicator reads [bar].
    flow_l_min : flow through the filter [L/min].
    oil : the oil.
    t_c : its temperature [°C].
    gauge_bar : to what the indicator can be read [bar].
    units : the reader's units.

    Returns
    -------
    str
        SVG.

    Valid for
    ---------
    What :func:`coldmark.bench.filter.life_left` takes.

    Raises
    ------
    Refused
        What that function refuses.

    Source
    ------
    That function, and :func:`coldmark.bench.filter.pressure_drop`.

    Examples
    --------
    >>> from coldmark.bench.oil import Oil
    >>> stage = filters.Stage("return", 0.35, 0.20, 100, terminal_bar=2.0)
    >>> picture = element_life(stage, 1.0, 100, Oil("Valley 46", 46, 6.8, density15_kg_m3=880), 50)
    >>> "life used" in picture
    True
    """
    from coldmark.bench.filter.drop import resistance

    found = filters.life_left(stage, reading_bar, flow_l_min, oil, t_c, gauge_bar=gauge_bar)
    loaded = [(load, resistance(stage, oil, t_c, load)) for load in _even(0, 1, 30)]
    curve = [(load, one.valve(one.through_element(flow_l_min))) for load, one in loaded]
    top = 1.15 * max(found.full_bar, min(reading_bar, 2 * found.full_bar))
    frame = Frame(0, 1, 0, top)
    parts = [
        frame.axes(
            sentence("picture.element.side", unit=shown_unit("bar", units).symbol),
            sentence("picture.element.foot"),
            [
                (0, sentence("picture.element.new")),
                (0.5, quantity(0.5, "share")),
                (1, sentence("picture.element.full")),
            ],
            _pressures(top, units),
        ),
        frame.curve(curve),
    ]
    if stage.bypass is not None and stage.bypass.cracks_bar < top:
        parts.append(frame.level(stage.bypass.cracks_bar))
        parts.append(frame.words(0.02, stage.bypass.cracks_bar, sentence("picture.element.opens")))
    left = found.left_share
    says = sentence("picture.element.says_none", units=units, reading_bar=reading_bar)
    if left is not None:
        used = 1 - left.value
        parts.insert(0, frame.band(1 - left.high, 1 - left.low))
        parts.append(frame.dot(used, reading_bar))
        says = sentence("picture.element.says", units=units, reading_bar=reading_bar, left_share=left.value)
    title = sentence("picture.element.title")
    return svg.drawing(WIDTH, HEIGHT, title, says, *parts, class_="picture chart")


def _pressures(top: float, units: UnitSystem) -> list[tuple[float, str]]:
    """Return some four pressures up to ``top`` that are round in the reader's unit, each with its number."""
    unit = shown_unit("bar", units)
    raw = unit.from_bench(top) / 4
    power = 10.0 ** floor(log10(raw))
    step = next(one * power for one in (1, 2, 2.5, 5, 10) if one * power >= raw * 0.999)
    count = int(unit.from_bench(top) / step + 1e-9)
    return [(unit.to_bench(step * index), figures(step * index, 4)) for index in range(count + 1)]


def pump_inlet(
    line: filters.SuctionLine,
    strainer: filters.Stage | None,
    oil: Oil,
    t_c: float,
    flow_l_min: float,
    *,
    idle_l_min: float | None = None,
    least_bar: float = 0.8,
    altitude_m_asl: float = 0.0,
    tank_bar: float = 0.0,
    loading: float = 0.0,
    units: UnitSystem = "metric",
) -> str:
    """Draw the pressure at the pump's inlet against the oil's temperature, at full speed and at idle.

    Parameters
    ----------
    line : the suction line.
    strainer : the strainer in it, or None.
    oil : the oil.
    t_c : its temperature now [°C].
    flow_l_min : flow that the pump draws at full speed [L/min].
    idle_l_min : flow that it draws at idle [L/min], or None.
    least_bar : least absolute pressure that it bears [bar].
    altitude_m_asl : height above the sea [m].
    tank_bar : pressure of the tank's air above the open air [bar].
    loading : dirt held by the strainer over what it can hold.
    units : the reader's units.

    Returns
    -------
    str
        SVG. Below the limit the pump starves.

    Valid for
    ---------
    What :func:`coldmark.bench.filter.suction` takes.

    Raises
    ------
    Refused
        What that function refuses.

    Source
    ------
    :func:`coldmark.bench.filter.inlet_bar`.

    Examples
    --------
    >>> from coldmark.bench.oil import Oil
    >>> oil = Oil("Valley 46", 46, 6.8, density15_kg_m3=880)
    >>> "starves" in pump_inlet(filters.SuctionLine(32, 900, head_mm=300), None, oil, 0, 80, idle_l_min=35)
    True
    """
    cold, hot = max(oil.coldest_c, min(t_c, 0.0) - 20), min(oil.hottest_c, max(t_c, 40.0) + 20)

    def curve(flow: float) -> list[tuple[float, float]]:
        return [
            (
                t,
                filters.inlet_bar(
                    line, strainer, oil, t, flow, altitude_m_asl=altitude_m_asl, tank_bar=tank_bar, loading=loading
                ),
            )
            for t in _even(cold, hot, 28)
        ]

    full = curve(flow_l_min)
    idle = [] if idle_l_min is None else curve(idle_l_min)
    top = 1.12 * max(least_bar, *(p for _, p in full + idle))
    frame = Frame(cold, hot, 0, top)
    step = 20.0 if hot - cold <= 110 else 40.0
    degrees = [step * index for index in range(int(cold // step) + 1, int(hot // step) + 1)]
    parts = [
        frame.below(least_bar),
        frame.axes(
            sentence("picture.inlet.side", unit=shown_unit("bar", units).symbol),
            sentence("picture.inlet.foot"),
            [(one, quantity(one, "c", units=units)) for one in degrees],
            _pressures(top, units),
        ),
        frame.level(least_bar),
        frame.words(hot, least_bar, sentence("picture.inlet.starves"), up=-18, anchor="end", bold=True),
        frame.curve(full),
    ]
    if idle:
        parts.append(frame.curve(idle, second=True))
        parts.append(frame.words(hot, 0, sentence("picture.inlet.lines"), up=8, anchor="end"))
    now = filters.inlet_bar(
        line, strainer, oil, t_c, flow_l_min, altitude_m_asl=altitude_m_asl, tank_bar=tank_bar, loading=loading
    )
    parts.append(frame.dot(t_c, now))
    message = "picture.inlet.says" if now > 0 else "picture.inlet.says_none"
    says = sentence(message, units=units, t_c=t_c, inlet_bar=now, least_bar=least_bar)
    return svg.drawing(WIDTH, HEIGHT, sentence("picture.inlet.title"), says, *parts, class_="picture chart")
