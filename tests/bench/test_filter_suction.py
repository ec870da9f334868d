"""The pump's inlet: against a general library, and by laws."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import fluids
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldmark.bench import filter as filters
from coldmark.bench import oil
from coldmark.bench.errors import OutOfRange
from coldmark.bench.working import lines

OIL = oil.Oil("Valley 46", 46, 6.8, density15_kg_m3=880, pour_c=-33)
THIN = oil.Oil("Brook 15", 15, 3.6, density15_kg_m3=860, pour_c=-45)
LINE = filters.SuctionLine(32, 900, head_mm=300)
STRAINER = filters.Stage("strainer", 0.01, 0.0, 100)

FLOW = st.floats(10, 200)
BORE = st.floats(20, 80)
WARMTH = st.floats(-20, 110)


def _by_library(
    line: filters.SuctionLine, one: oil.Oil, t_c: float, flow: float, altitude_m: float
) -> tuple[float, float]:
    """The inlet's pressure [bar] by a library, and the Reynolds number."""
    across = line.inner_mm / 1000
    speed = flow / 6e4 / (math.pi / 4 * across**2)
    reynolds = fluids.Reynolds(V=speed, D=across, nu=one.viscosity(t_c) * 1e-6)
    factor = fluids.friction_factor(Re=reynolds, eD=line.roughness_mm / line.inner_mm)
    lost = 1 + line.fittings + fluids.K_from_f(fd=factor, L=line.length_mm / 1000, D=across)
    rho = one.density(t_c)
    air = fluids.ATMOSPHERE_1976(altitude_m).P
    pressure = air + rho * 9.80665 * line.head_mm / 1000 - fluids.dP_from_K(lost, rho=rho, V=speed)
    return pressure / 1e5, reynolds


@given(FLOW, BORE, WARMTH, st.floats(0, 3000), st.floats(-500, 1500), st.sampled_from([OIL, THIN]))
def test_the_inlets_pressure_is_that_of_a_library(
    flow: float, bore: float, t_c: float, length: float, head: float, one: oil.Oil
) -> None:
    line = filters.SuctionLine(bore, length, head)
    wanted, reynolds = _by_library(line, one, t_c, flow, 800.0)
    if 2000 < reynolds < 4000:  # there nobody knows, and the library takes the other side
        return
    found = filters.inlet_bar(line, None, one, t_c, flow, altitude_m_asl=800.0)
    assert found == pytest.approx(wanted, abs=2e-6, rel=1e-9)


@given(st.floats(1, 1e7), st.floats(0, 0.05))
def test_friction_is_continuous_and_never_less_than_laminar_or_smooth(reynolds: float, rough: float) -> None:
    factor = filters.friction(reynolds, rough)
    assert factor >= 64 / reynolds * (1 - 1e-12)
    assert filters.friction(reynolds * (1 + 1e-9), rough) == pytest.approx(factor, rel=1e-6)
    if rough > 0.001:
        assert factor >= filters.friction(reynolds, 0) * (1 - 1e-12)


@settings(deadline=None, max_examples=40)
@given(FLOW, BORE, st.floats(0.5, 0.95), st.sampled_from([None, STRAINER]), st.sampled_from([OIL, THIN]))
def test_above_the_temperature_it_has_enough_and_just_below_it_has_not(
    flow: float, bore: float, least: float, strainer: filters.Stage | None, one: oil.Oil
) -> None:
    line = filters.SuctionLine(bore, 1000, 200)
    found = filters.suction(line, strainer, one, 40, flow, least_bar=least).full
    edge = found.starves.t_c
    pressure = [
        (t_c, filters.inlet_bar(line, strainer, one, t_c, flow))
        for t_c in (one.coldest_c + (one.hottest_c - one.coldest_c) * step / 40 for step in range(41))
    ]
    if found.starves.when == "always":
        assert pressure[-1][1] < least
        return
    above = one.coldest_c if edge is None else edge
    assert all(bar > least - 1e-3 for t_c, bar in pressure if t_c > above + 0.01)
    if edge is not None:
        assert filters.inlet_bar(line, strainer, one, edge - 0.01, flow) < least
        assert found.starves_c is not None
        assert found.starves_c.low <= edge <= found.starves_c.high


def test_where_thinning_oil_goes_turbulent_the_warmest_shortage_counts() -> None:
    """Friction jumps up there, so that a line may have enough in the cool, too little warm, and enough hot."""
    line = filters.SuctionLine(32, 8000, 0, fittings=0)
    at = [(t_c, filters.inlet_bar(line, None, THIN, t_c, 100)) for t_c in range(0, 120)]
    rising = all(first[1] <= second[1] for first, second in pairwise(at))
    assert not rising
    dip = min(bar for t_c, bar in at if t_c >= 40)
    before = max(bar for t_c, bar in at if t_c < min(t for t, bar in at if t >= 40 and bar == dip))
    assert before > dip
    found = filters.suction(line, None, THIN, 20, 100, least_bar=(before + dip) / 2).full
    assert found.starves.t_c is not None
    assert all(bar >= (before + dip) / 2 for t_c, bar in at if t_c > found.starves.t_c + 1)


@given(FLOW, BORE, WARMTH, st.floats(1.01, 1.5))
def test_more_flow_leaves_less(flow: float, bore: float, t_c: float, more: float) -> None:
    line = filters.SuctionLine(bore, 1000)
    assert filters.inlet_bar(line, None, OIL, t_c, flow * more) < filters.inlet_bar(line, None, OIL, t_c, flow)


def test_idle_starves_later_than_full_speed() -> None:
    found = filters.suction(LINE, STRAINER, OIL, 5, 100, idle_l_min=40)
    assert found.idle is not None
    assert found.idle.starves.t_c is not None
    assert found.full.starves.t_c is not None
    assert found.idle.starves.t_c < found.full.starves.t_c


def test_a_dirty_strainer_height_and_a_pump_above_the_oil_cost_warmth() -> None:
    def edge(**changed: object) -> float:
        given_ = {
            "line": LINE,
            "strainer": replace(STRAINER, terminal_bar=0.1),
            "oil": OIL,
            "t_c": 5,
            "flow_l_min": 100,
        }
        found = filters.suction(**(given_ | changed)).full.starves.t_c  # type: ignore[arg-type]
        assert found is not None
        return found

    usual = edge()
    assert edge(loading=1.0) > usual
    assert edge(altitude_m_asl=1500) > usual
    assert edge(line=replace(LINE, head_mm=-300)) > usual
    assert edge(tank_bar=0.2) < usual
    assert edge(strainer=None) < usual


def test_a_strainers_bypass_leaves_more() -> None:
    clogged = replace(STRAINER, terminal_bar=1.0)
    relieved = replace(clogged, bypass=filters.Bypass(0.15, 0.25, 150))
    stiff, eased = (filters.inlet_bar(LINE, one, OIL, 20, 100, loading=1.0) for one in (clogged, relieved))
    assert eased > stiff


def test_what_is_said_follows_from_where_the_oil_stands() -> None:
    def last(t_c: float) -> str:
        return filters.says(filters.suction(LINE, STRAINER, OIL, t_c, 100, idle_l_min=40))[-1]

    assert "Do not start the engine" in last(-25)
    assert "Idle without load" in last(0)
    assert last(40).startswith("Now, at 40 °C and full speed, its inlet has")
    cold = filters.suction(LINE, STRAINER, OIL, -25, 100)
    assert cold.full.inlet_bar is None
    assert any("cannot be drawn" in said for said in filters.says(cold))


def test_never_and_always_are_said() -> None:
    wide, narrow = filters.SuctionLine(100, 100, 1000), filters.SuctionLine(8, 3000)
    assert "even with the coldest oil" in filters.says(filters.suction(wide, None, THIN, 20, 20))[0]
    found = filters.suction(narrow, None, OIL, 20, 200)
    assert (found.full.starves.when, found.full.starves_c) == ("always", None)
    assert "Do not run it so" in filters.says(found)[0]


@pytest.mark.parametrize(
    ("given_", "name"),
    [
        ({"flow_l_min": 0}, "flow_l_min"),
        ({"flow_l_min": 3001}, "flow_l_min"),
        ({"idle_l_min": 0}, "idle_l_min"),
        ({"least_bar": 0.05}, "least_bar"),
        ({"tank_bar": 2.1}, "tank_bar"),
        ({"altitude_m_asl": 5001}, "altitude_m_asl"),
        ({"t_c": -34}, "t_c"),
    ],
)
def test_what_lies_outside_is_refused_by_name(given_: dict[str, float], name: str) -> None:
    usual = {"line": LINE, "strainer": None, "oil": OIL, "t_c": 20, "flow_l_min": 100}
    with pytest.raises(OutOfRange) as caught:
        filters.suction(**(usual | given_))  # type: ignore[arg-type]
    assert caught.value.name == name


@pytest.mark.parametrize(
    ("given_", "name"),
    [
        ({"inner_mm": 4}, "inner_mm"),
        ({"length_mm": -1}, "length_mm"),
        ({"head_mm": 5001}, "head_mm"),
        ({"fittings": -1}, "fittings"),
        ({"roughness_mm": 2}, "roughness_mm"),
    ],
)
def test_a_line_that_cannot_be_is_refused_by_name(given_: dict[str, float], name: str) -> None:
    with pytest.raises(OutOfRange) as caught:
        filters.SuctionLine(**({"inner_mm": 32.0, "length_mm": 900.0} | given_))
    assert caught.value.name == name


def test_the_workings_show_what_went_in() -> None:
    shown = lines(filters.suction(LINE, STRAINER, OIL, 5, 100, idle_l_min=40).working, "us")
    assert any("Absolute pressure at the pump's inlet" in line for line in shown)
    assert any("ft/s" in line for line in shown)
    assert sum("Oil temperature below which the pump starves" in line for line in shown) == 2
