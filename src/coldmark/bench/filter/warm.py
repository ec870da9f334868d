"""Cold oil at the filter: until when the bypass stands open, and what the lamp means."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from coldmark.bench.errors import Missing, require_above, require_between
from coldmark.bench.filter.drop import (
    FLOW_SPREAD,
    VISCOSITY_SPREAD,
    pressure_drop,
    resistance,
    share_bypassed,
)
from coldmark.bench.filter.model import Bypass, Stage
from coldmark.bench.filter.roots import crosses_at
from coldmark.bench.level.mass import combine
from coldmark.bench.oil import Oil
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["Alarm", "Crossing", "WarmLine", "WarmUp", "alarm", "warm_up"]


@dataclass(frozen=True, slots=True)
class Crossing:
    """Below which oil temperature [°C] something is so.

    ``when`` *below*: below ``t_c``; *never*: not even with the coldest oil that flows; *always*: even with the
    hottest. ``t_c`` is ``None`` with the last two.
    """

    when: Literal["below", "never", "always"]
    t_c: float | None


@dataclass(frozen=True, slots=True)
class WarmLine:
    """At one flow: below which temperature the valve has cracked, below which it takes half, and the share now.

    ``cracks_c`` and ``half_c`` are the two temperatures with their ranges, ``None`` where there is none; an end at
    which it never or always is so is the oil's coldest or hottest.
    """

    flow_l_min: float
    cracks: Crossing
    half: Crossing
    cracks_c: Range | None
    half_c: Range | None
    share_now: Range | None


@dataclass(frozen=True, slots=True)
class WarmUp:
    """The warm-up line of a filter at full flow and, where it is known, at idle."""

    full: WarmLine
    idle: WarmLine | None
    working: Working


@dataclass(frozen=True, slots=True)
class Alarm:
    """What the lamp means: a message id, and above which oil temperature a clean element no longer lights it.

    There is no message that says to ignore it.
    """

    message: Literal["alarm.cold", "alarm.stop", "alarm.always", "alarm.off"]
    oil_c: float
    look_again: Crossing
    look_again_c: Range | None
    clean_bar: float
    working: Working


def _falls_below(felt: Callable[[float], float], limit: float, oil: Oil) -> Crossing:
    """Return below which temperature a drop that falls as the oil warms stays above a limit."""
    if felt(oil.coldest_c) <= limit:
        return Crossing("never", None)
    if felt(oil.hottest_c) > limit:
        return Crossing("always", None)
    t_c = crosses_at(lambda t_c: limit - felt(t_c), oil.coldest_c, oil.hottest_c, near=limit, within=1e-9)
    return Crossing("below", t_c)


def _ranged(crossing: Callable[[float, float], Crossing], flow: float, oil: Oil) -> Range | None:
    """Return a temperature with the range that flow and viscosity leave open."""
    middle = crossing(flow, 1.0).t_c
    if middle is None:
        return None
    ends = {"never": oil.coldest_c, "always": oil.hottest_c}

    def at(flow: float, thicker: float) -> float:
        found = crossing(flow, thicker)
        return ends[found.when] if found.t_c is None else found.t_c

    return combine(
        middle,
        [
            (at(flow * (1 - FLOW_SPREAD), 1.0), at(flow * (1 + FLOW_SPREAD), 1.0)),
            (at(flow, 1 - VISCOSITY_SPREAD), at(flow, 1 + VISCOSITY_SPREAD)),
        ],
    )


def _line(stage: Stage, bypass: Bypass, flow: float, oil: Oil, loading: float, now_c: float | None) -> WarmLine:
    def felt(t_c: float, through: float, thicker: float) -> float:
        return resistance(stage, oil, t_c, loading).thicker(thicker).valve(through)

    def cracks(flow: float, thicker: float) -> Crossing:
        return _falls_below(lambda t_c: felt(t_c, flow, thicker), bypass.cracks_bar, oil)

    def half(flow: float, thicker: float) -> Crossing:
        return _falls_below(lambda t_c: felt(t_c, flow / 2, thicker), bypass.drop(flow / 2), oil)

    return WarmLine(
        flow,
        cracks=cracks(flow, 1.0),
        half=half(flow, 1.0),
        cracks_c=_ranged(cracks, flow, oil),
        half_c=_ranged(half, flow, oil),
        share_now=None if now_c is None else share_bypassed(stage, flow, oil, now_c, loading),
    )


def _crossing_step(what: str, symbol: str, flow: float, limit: float, crossing: Crossing) -> Step:
    givens = (Given("Q", flow, "l_min", "told"), Given(symbol, limit, "bar", "sheet"))
    result: float | str = crossing.when if crossing.t_c is None else crossing.t_c
    return Step(what, f"Δp(t, Q) = {symbol}", givens, result, "c", "the drop, solved for the temperature")


def warm_up(
    stage: Stage,
    flow_l_min: float,
    oil: Oil,
    loading: float = 0.0,
    *,
    idle_l_min: float | None = None,
    t_c: float | None = None,
) -> WarmUp:
    """Return below which oil temperatures the bypass stands open, at full flow and at idle.

    Parameters
    ----------
    stage
        The filter; it must have a bypass.
    flow_l_min
        Full flow through it [L/min].
    oil
        The oil; its density must be known.
    loading
        Dirt held over what it can hold, 0 to 1.
    idle_l_min
        Flow at idle [L/min], or ``None``.
    t_c
        Temperature now [°C], for the share bypassed now, or ``None``.

    Returns
    -------
    WarmUp
        Per flow the temperature below which the valve has cracked, that below which half the flow goes past the
        element, and the share now, each with its range.

    Valid for
        Flows above 0 to 3000 L/min; the oil between its coldest and hottest temperature.

    Raises
    ------
    Missing
        When the stage has no bypass, or the oil no density.
    OutOfRange
        Outside of that.

    Source
        :func:`pressure_drop`, solved for the temperature.

    Examples
    --------
    >>> stage = Stage("return", 0.35, 0.20, 100, bypass=Bypass(1.5, 2.0, 150))
    >>> found = warm_up(stage, 100, Oil("Valley 46", 46, 6.8, density15_kg_m3=880), idle_l_min=40)
    >>> [round(line.cracks.t_c) for line in (found.full, found.idle)]
    [21, 8]
    """
    if stage.bypass is None:
        raise Missing(name="bypass", needed_for="the warm-up line")
    flows = [flow_l_min] if idle_l_min is None else [flow_l_min, idle_l_min]
    for name, flow in zip(("flow_l_min", "idle_l_min"), flows, strict=False):
        require_above(name, flow, 0, "flow through the filter")
        require_between(name, flow, 0, 3000, "flows of mobile hydraulics")
    lines = [_line(stage, stage.bypass, flow, oil, loading, t_c) for flow in flows]
    steps: list[Step] = []
    for line in lines:
        cracks, half = stage.bypass.cracks_bar, stage.bypass.drop(line.flow_l_min / 2)
        steps.append(_crossing_step("working.filter.cracks", "p_cracks", line.flow_l_min, cracks, line.cracks))
        steps.append(_crossing_step("working.filter.half", "p_half", line.flow_l_min, half, line.half))
    return WarmUp(lines[0], lines[1] if len(lines) > 1 else None, Working(tuple(steps)))


def alarm(oil_c: float, stage: Stage, flow_l_min: float, oil: Oil, *, lamp_on: bool = True) -> Alarm:
    """Say what the filter's lamp means with the oil this warm. It never says to ignore it.

    Parameters
    ----------
    oil_c
        Temperature of the oil [°C].
    stage
        The filter; where its lamp comes on must be known.
    flow_l_min
        Full flow through it [L/min].
    oil
        The oil.
    lamp_on
        Whether the lamp is on.

    Returns
    -------
    Alarm
        *cold*: a clean element may light it; idle without load, look again above the temperature given, and stop if it
        is on then. *stop*: a clean element would not. *always*: by these figures a clean element lights it however warm
        the oil is, so that they do not tell; stop and look. *off*: the lamp proves nothing, for the valve may stand
        open or the element be missing.

    Valid for
        Temperatures between the oil's coldest and hottest.

    Raises
    ------
    Missing
        When it is not known where the lamp comes on.
    OutOfRange
        Outside of that.

    Source
        :func:`pressure_drop` with a clean element, solved for the temperature; what to do is common practice, no
        source, and the machine's manual goes before it.

    Examples
    --------
    >>> stage = Stage("return", 0.35, 0.20, 100, bypass=Bypass(1.5, 2.0, 150), alarm_bar=1.1)
    >>> oil = Oil("Valley 46", 46, 6.8, density15_kg_m3=880)
    >>> found = alarm(5, stage, 100, oil)
    >>> found.message, round(found.look_again.t_c)
    ('alarm.cold', 26)
    >>> alarm(50, stage, 100, oil).message
    'alarm.stop'
    """
    if stage.alarm_bar is None:
        raise Missing(name="alarm_bar", needed_for="what the lamp means")
    require_above("flow_l_min", flow_l_min, 0, "flow through the filter")

    lit_bar = stage.alarm_bar

    def lit(flow: float, thicker: float) -> Crossing:
        def felt(t_c: float) -> float:
            clean = resistance(stage, oil, t_c, 0.0).thicker(thicker)
            return clean.valve(clean.through_element(flow))

        return _falls_below(felt, lit_bar, oil)

    clean_bar = pressure_drop(stage, flow_l_min, oil, oil_c).valve_bar
    look_again = lit(flow_l_min, 1.0)
    expected = look_again.t_c is not None and oil_c < look_again.t_c
    step = _crossing_step("working.filter.look_again", "p_lamp", flow_l_min, stage.alarm_bar, look_again)
    message: Literal["alarm.cold", "alarm.stop", "alarm.always", "alarm.off"]
    if not lamp_on:
        message = "alarm.off"
    elif look_again.when == "always":
        message = "alarm.always"
    else:
        message = "alarm.cold" if expected else "alarm.stop"
    return Alarm(message, oil_c, look_again, _ranged(lit, flow_l_min, oil), clean_bar, Working((step,)))
