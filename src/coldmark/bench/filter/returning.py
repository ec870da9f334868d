"""How much oil comes back through the return filter: often more than the pump delivers."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from typing import Literal

from coldmark.bench.errors import Contradiction, Missing, NotAChoice, require_choice
from coldmark.bench.filter.model import Function, Pump
from coldmark.bench.level.mass import combine
from coldmark.bench.level.model import Cylinder
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["ReturnFlow", "Returning", "area_ratio", "return_flow"]

SOURCE = "a cylinder's return flow, pump flow times bore area over ring area"
# How far off what goes in may be: a pump's flow by its size and speed (assumed), and a time by the hand on a watch
# (common practice, no source).
FLOW_SPREAD = 0.05
HAND_S = 0.5

Speed = Literal["idle", "full"]


@dataclass(frozen=True, slots=True)
class Returning:
    """What one pump or one lowering function sends back [L/min], and by which function."""

    pump: str | None
    function: str | None
    how: Literal["retracting", "motor", "straight", "lowering"]
    flow_l_min: float


@dataclass(frozen=True, slots=True)
class ReturnFlow:
    """The most that comes back [L/min], with the range that its pumps' flows and the measured times leave open, and
    what it is made of."""

    total_l_min: Range
    parts: tuple[Returning, ...]
    working: Working


def area_ratio(cylinder: Cylinder) -> float:
    """Return how much oil leaves the other side of a cylinder for each litre that drives its rod in.

    Parameters
    ----------
    cylinder
        Double-acting or through-rod.

    Returns
    -------
    float
        Bore area over ring area for a double-acting cylinder; 1 for a through-rod.

    Valid for
        Rods thinner than their bore.

    Raises
    ------
    NotAChoice
        For a cylinder that no pump drives in.

    Source
        Areas of bore and ring.

    Examples
    --------
    >>> round(area_ratio(Cylinder("boom", "double", 100, 56, 800)), 6)
    1.456876
    """
    require_choice("cylinder", cylinder.kind, ("double", "through"))
    if cylinder.kind == "through":
        return 1.0
    return cylinder.bore_mm**2 / (cylinder.bore_mm**2 - cylinder.rod_mm**2)


def _cap_litres(cylinder: Cylinder) -> float:
    # A plunger is pushed out by oil under its ram alone.
    across = cylinder.rod_mm if cylinder.kind == "plunger" else cylinder.bore_mm
    return cylinder.count * math.pi / 4 * across**2 * cylinder.stroke_mm / 1e6


def _cylinder_of(function: Function, cylinders: Mapping[str, Cylinder]) -> Cylinder:
    cylinder = cylinders.get(function.cylinder or "")
    if cylinder is None:
        raise NotAChoice(name="cylinder", value=str(function.cylinder), choices=cylinders)
    return cylinder


def _driven(function: Function, flow: float, cylinders: Mapping[str, Cylinder]) -> tuple[Returning, Step | None]:
    if function.kind == "motor":
        back = flow * (1 - function.regenerated)
        return Returning(function.pump, function.name, "motor", back), None
    cylinder = _cylinder_of(function, cylinders)
    if cylinder.kind not in ("double", "through"):
        raise Missing(name="lowering_s", needed_for=f"the return flow of {function.name}, which sinks by its weight")
    ratio = area_ratio(cylinder)
    back = flow * ratio * (1 - function.regenerated)
    step = Step(
        "working.filter.retracting",
        "Q = Q_pump · A_bore / (A_bore − A_rod) · (1 − regenerated)",
        (
            Given("Q_pump", flow, "l_min", "worked_out"),
            Given("bore", cylinder.bore_mm, "mm", "sheet"),
            Given("rod", cylinder.rod_mm, "mm", "sheet"),
            Given("regenerated", function.regenerated, "", "sheet"),
        ),
        back,
        "l_min",
        SOURCE,
    )
    return Returning(function.pump, function.name, "retracting", back), step


def _lowering(function: Function, cylinders: Mapping[str, Cylinder]) -> tuple[Returning, Step]:
    cylinder = _cylinder_of(function, cylinders)
    seconds, litres = function.lowering_s or math.inf, _cap_litres(cylinder)
    back = litres / seconds * 60 * (1 - function.regenerated)
    step = Step(
        "working.filter.lowering",
        "Q = V / t · (1 − regenerated)",
        (
            Given("V", litres, "l", "worked_out"),
            Given("t", seconds, "s", "measured"),
            Given("regenerated", function.regenerated, "", "sheet"),
        ),
        back,
        "l_min",
        "volume over measured time",
    )
    return Returning(function.pump, function.name, "lowering", back), step


def _ranged(total: float, parts: Iterable[Returning], moved: Iterable[Function], pumps: Mapping[str, Pump]) -> Range:
    """Return the sum with each part at its low and its high end, one after the other."""
    timed = {function.name: function.lowering_s for function in moved}
    pairs = []
    for part in parts:
        seconds = timed.get(part.function or "") if part.how == "lowering" else None
        if seconds is None:
            # The case drain is told apart and is not part of what varies with the pump.
            drain = 0.0 if part.pump is None else pumps[part.pump].case_drain_l_min
            off = (part.flow_l_min + drain) * FLOW_SPREAD
            pairs.append((total - off, total + off))
        else:
            quick = part.flow_l_min * seconds / max(seconds - HAND_S, seconds / 2)
            slow = part.flow_l_min * seconds / (seconds + HAND_S)
            pairs.append((total - part.flow_l_min + slow, total - part.flow_l_min + quick))
    found = combine(total, pairs)
    return Range(total, max(0.0, found.low), found.high)


def return_flow(
    pumps: Iterable[Pump],
    functions: Iterable[Function],
    cylinders: Iterable[Cylinder],
    *,
    speed: Speed = "full",
    together: Collection[str] | None = None,
) -> ReturnFlow:
    """Return the most oil that comes back through the return filter at once.

    Parameters
    ----------
    pumps
        The pumps.
    functions
        What they drive, and what sinks by its own weight (with its measured time).
    cylinders
        The cylinders that the functions name.
    speed
        At idle or at full throttle.
    together
        Names of the functions that are moved at once; ``None``: any of them may be.

    Returns
    -------
    ReturnFlow
        Per pump the worst of its functions (a rod driven in sends back more than the pump gives), or the pump's flow
        straight through; its case drain taken off, regenerated oil too. What sinks by its weight adds cap volume over
        time. All of them add. The range takes a pump's flow as good to 5 %, assumed, a time by hand to half a second.

    Valid for
        Any number of pumps and functions; flows in steady motion.

    Raises
    ------
    NotAChoice
        When a function names a pump or a cylinder that is not there, or ``together`` a function.
    Missing
        When a function that sinks by its weight has no measured time.
    Contradiction
        When a pump's case drain is more than it delivers.

    Source
        Pump flow times bore area over ring area, as printed in a stored excerpt; the rest follows from volumes.

    Examples
    --------
    >>> boom = Cylinder("boom", "double", 100, 56, 800)
    >>> pump = Pump("main", 60, 1000, 1000, volumetric=1.0)
    >>> found = return_flow([pump], [Function("boom in", "cylinder", "boom", "main")], [boom])
    >>> round(found.total_l_min.value, 2), round(found.total_l_min.low, 2), round(found.total_l_min.high, 2)
    (87.41, 83.04, 91.78)
    """
    require_choice("speed", speed, ("idle", "full"))
    by_name = {cylinder.name: cylinder for cylinder in cylinders}
    offered = list(functions)
    for name in together or ():
        require_choice("together", name, [function.name for function in offered])
    moved = [function for function in offered if together is None or function.name in together]
    sources = list(pumps)
    for function in moved:
        if function.pump is not None:
            require_choice("pump", function.pump, [pump.name for pump in sources])
    parts: list[Returning] = []
    steps: list[Step | None] = []
    for pump in sources:
        # Through the centre or back from a valve: what moves nothing comes straight back.
        flow = pump.delivers(speed)
        choices: list[tuple[Returning, Step | None]] = [(Returning(pump.name, None, "straight", flow), None)]
        driven = (one for one in moved if one.pump == pump.name and one.lowering_s is None)
        choices += [_driven(function, flow, by_name) for function in driven]
        worst, step = max(choices, key=lambda choice: choice[0].flow_l_min)
        if pump.case_drain_l_min > flow:
            why = "filter.cannot.case_drain"
            raise Contradiction(name="case_drain_l_min", value=pump.case_drain_l_min, why=why, delivers_l_min=flow)
        back = worst.flow_l_min - pump.case_drain_l_min
        parts.append(Returning(pump.name, worst.function, worst.how, back))
        steps.append(step)
    for function in moved:
        if function.lowering_s is not None:
            part, step = _lowering(function, by_name)
            parts.append(part)
            steps.append(step)
    total = sum(part.flow_l_min for part in parts)
    total_range = _ranged(total, parts, moved, {pump.name: pump for pump in sources})
    givens = tuple(Given(part.function or str(part.pump), part.flow_l_min, "l_min", "worked_out") for part in parts)
    last = Step("working.filter.returning", "Q = sum of what comes back at once", givens, total, "l_min", SOURCE)
    return ReturnFlow(total_range, tuple(parts), Working((*(step for step in steps if step is not None), last)))
