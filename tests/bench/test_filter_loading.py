"""What an element has left, and how long it lasts."""

from __future__ import annotations

import math
from dataclasses import astuple, replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from coldmark.bench import filter as filters
from coldmark.bench import oil
from coldmark.bench.errors import Missing, OutOfRange
from coldmark.bench.filter.drop import resistance
from coldmark.bench.working import lines

OIL = oil.Oil("Valley 46", 46, 6.8, density15_kg_m3=880, pour_c=-30)
VALVE = filters.Bypass(1.5, 2.0, 150)
BARE = filters.Stage("return", 0.35, 0.20, 100, terminal_bar=2.0, capacity_g=80)
STAGE = replace(BARE, bypass=VALVE, alarm_bar=1.1)

FLOW = st.floats(20, 200)
WARM = st.floats(20, 90)
HELD = st.floats(0.02, 0.98)


def _reads(stage: filters.Stage, flow: float, t_c: float, loading: float) -> float:
    found = resistance(stage, OIL, t_c, loading)
    return found.valve(found.through_element(flow))


@given(FLOW, WARM, HELD, st.booleans(), st.booleans())
def test_the_reading_that_dirt_gives_tells_of_that_dirt(
    flow: float, t_c: float, held: float, bypassed: bool, spans: bool
) -> None:
    stage = replace(STAGE, bypass=replace(VALVE, spans_housing=spans)) if bypassed else BARE
    found = filters.life_left(stage, _reads(stage, flow, t_c, held), flow, OIL, t_c)
    assert found.left_share is not None
    assert found.left_share.value == pytest.approx(1 - held, abs=1e-6)
    assert found.left_share.holds(found.left_share.value)
    assert 0 <= found.left_share.low <= found.left_share.high <= 1
    assert found.clean_bar < found.full_bar


@given(FLOW, WARM, st.floats(0.05, 3), st.floats(0.01, 1))
def test_a_higher_reading_never_leaves_more_life(flow: float, t_c: float, reading: float, more: float) -> None:
    low = filters.life_left(STAGE, reading, flow, OIL, t_c).left_share
    high = filters.life_left(STAGE, reading + more, flow, OIL, t_c).left_share
    assume(low is not None and high is not None)
    assert low is not None
    assert high is not None
    assert high.value <= low.value + 1e-9


def test_half_of_the_life_is_gone_in_the_middle_by_ratio() -> None:
    middle = math.sqrt(_reads(BARE, 100, 50, 0) * _reads(BARE, 100, 50, 1))
    left = filters.life_left(BARE, middle, 100, OIL, 50).left_share
    assert left is not None
    assert left.value == pytest.approx(0.5)


def test_what_the_range_comes_from_widens_it() -> None:
    fine, coarse = (filters.life_left(BARE, 0.9, 100, OIL, 50, gauge_bar=gauge).left_share for gauge in (0.01, 0.3))
    assert fine is not None
    assert coarse is not None
    assert coarse.width > 2 * fine.width


def test_cold_oil_with_the_bypass_open_is_too_wide_to_go_by() -> None:
    found = filters.life_left(STAGE, _reads(STAGE, 100, 0, 0.5), 100, OIL, 0)
    assert found.state == "wide"
    assert found.left_share is not None
    assert found.left_share.width > 0.5
    assert "warm oil at full flow" in filters.says(found)[0]


def test_less_than_a_clean_element_reads_is_no_life_but_a_reason_to_look() -> None:
    found = filters.life_left(STAGE, 0.1, 100, OIL, 50)
    assert (found.state, found.left_share) == ("too_little", None)
    said = filters.says(found)
    assert said[0] == "A clean element would read about 0.35 bar, and this is less."
    assert "torn or missing" in said[1]
    assert "open the filter" in said[2]


def test_a_clean_element_is_not_called_torn_for_the_gauges_sake() -> None:
    for off in (-0.03, 0.0, 0.03):
        found = filters.life_left(STAGE, _reads(STAGE, 100, 50, 0) + off, 100, OIL, 50)
        assert found.state == "tells"
        assert found.left_share is not None
        assert found.left_share.high == 1


def test_a_full_element_is_full_and_the_bypass_is_told() -> None:
    found = filters.life_left(STAGE, 1.8, 100, OIL, 50)
    assert found.state == "full"
    said = filters.says(found)
    assert said[0] == "The element is full: change it."
    assert "90% of the flow goes past" in said[-1]
    assert filters.life_left(STAGE, 10, 100, OIL, 50).bypassed_share == 1


@pytest.mark.parametrize(
    ("given_", "name"),
    [
        ({"reading_bar": -0.1}, "reading_bar"),
        ({"reading_bar": 51}, "reading_bar"),
        ({"gauge_bar": -1}, "gauge_bar"),
        ({"flow_l_min": 0}, "flow_l_min"),
        ({"flow_l_min": 3001}, "flow_l_min"),
        ({"t_c": -31}, "t_c"),
        ({"reading_bar": math.nan}, "reading_bar"),
    ],
)
def test_what_lies_outside_is_refused_by_name(given_: dict[str, float], name: str) -> None:
    usual = {"stage": STAGE, "reading_bar": 1.0, "flow_l_min": 100, "oil": OIL, "t_c": 50}
    with pytest.raises(OutOfRange) as caught:
        filters.life_left(**(usual | given_))  # type: ignore[arg-type]
    assert caught.value.name == name


def test_without_the_drop_of_a_full_element_nothing_is_told() -> None:
    with pytest.raises(Missing, match="terminal"):
        filters.life_left(replace(BARE, terminal_bar=None), 1, 100, OIL, 50)
    with pytest.raises(Missing, match="capacity"):
        filters.life(replace(BARE, capacity_g=None), 0.1, 100, OIL, 50)
    with pytest.raises(Missing, match="terminal"):
        filters.life_so_far(replace(BARE, terminal_bar=None, bypass=VALVE), 300, 100, OIL, 50, held_share=0.5)


# life in hours


@given(st.floats(0.001, 10), FLOW, WARM, st.floats(0, 1), st.floats(1, 5))
def test_ranges_hold_the_hours_and_events_come_before_full(
    ingress: float, flow: float, t_c: float, held: float, within: float
) -> None:
    found = filters.life(STAGE, ingress, flow, OIL, t_c, held_share=held, within=within)
    assert found.full_h.value == pytest.approx((1 - held) * 80 / ingress)
    assert found.full_h.holds(found.full_h.value)
    for event in (found.lamp_h, found.opens_h):
        if event is not None:
            assert 0 <= event.value <= found.full_h.value + 1e-6
    assert (found.opens_h is None) == (found.full_bypassed_share == 0)
    assert found.dirtier == pytest.approx(1 / (1 - found.full_bypassed_share))


@given(st.floats(0.001, 5), st.floats(1.1, 3))
def test_more_dirt_never_lasts_longer(ingress: float, more: float) -> None:
    less, dirty = (filters.life(STAGE, one, 100, OIL, 50).full_h.value for one in (ingress, ingress * more))
    assert dirty == pytest.approx(less / more)


def test_when_the_bypass_opens_the_valve_feels_its_cracking_pressure() -> None:
    found = filters.life(STAGE, 0.08, 100, OIL, 50)
    assert found.opens_h is not None
    assert _reads(STAGE, 100, 50, found.opens_h.value / 1000) == pytest.approx(1.5)
    assert found.lamp_h is not None
    assert _reads(STAGE, 100, 50, found.lamp_h.value / 1000) == pytest.approx(1.1)


def test_cold_oil_has_the_bypass_open_already() -> None:
    found = filters.life(STAGE, 0.08, 100, OIL, 5)
    assert found.opens_h is not None
    assert found.opens_h.value == 0
    assert "already" in " ".join(filters.says(found))


def test_an_open_bypass_makes_the_oil_dirtier_and_the_element_last_no_longer() -> None:
    """Integrated: dirt in oil and element, with a share of the flow past it, over thousands of turns of the oil."""
    ingress, volume, flow = 0.1, 100.0, 100.0  # g/h, L, L/min

    def caught_in_100_h(past: float) -> tuple[float, float]:
        rate = flow * 60 * (1 - past) / volume  # turns of the oil through the element in an hour

        def change(_t: float, mass: list[float]) -> list[float]:
            return [ingress - rate * mass[0], rate * mass[0]]

        done = solve_ivp(change, (0, 100), [0.0, 0.0], method="LSODA", rtol=1e-9, atol=1e-12)
        return float(done.y[0][-1]), float(done.y[1][-1])

    (clean, held), (dirty, held_past) = caught_in_100_h(0.0), caught_in_100_h(0.75)
    assert held_past == pytest.approx(held, rel=0.002)
    assert held == pytest.approx(ingress * 100, rel=0.002)
    assert dirty / clean == pytest.approx(1 / (1 - 0.75), rel=1e-6)
    told = filters.life(replace(STAGE, capacity_g=held), ingress, flow, OIL, 50)
    assert told.full_h.value == pytest.approx(100, rel=0.002)


def test_by_the_hours_so_far_nobody_need_know_what_it_holds() -> None:
    known = filters.life_so_far(STAGE, 300, 100, OIL, 50, held_share=0.6)
    unknown = filters.life_so_far(replace(STAGE, capacity_g=None), 300, 100, OIL, 50, held_share=0.6)
    assert known.full_h.value == pytest.approx(200)
    for one, other in zip(astuple(known.full_h), astuple(unknown.full_h), strict=True):
        assert one == pytest.approx(other)
    assert known.ingress_g_h == pytest.approx(80 * 0.6 / 300)
    assert unknown.ingress_g_h is None
    again = filters.life(STAGE, 80 * 0.6 / 300, 100, OIL, 50, held_share=0.6)
    assert again.full_h.value == pytest.approx(known.full_h.value)


def test_what_is_barely_used_tells_little() -> None:
    little, much = (filters.life_so_far(STAGE, 300, 100, OIL, 50, held_share=held).full_h for held in (0.1, 0.8))
    assert little.high / little.low > much.high / much.low
    with pytest.raises(OutOfRange, match="held"):
        filters.life_so_far(STAGE, 300, 100, OIL, 50, held_share=0.04)


@pytest.mark.parametrize(
    ("ingress", "held", "within", "name"),
    [(0, 0, 2, "ingress_g_h"), (1001, 0, 2, "ingress_g_h"), (1, 1.1, 2, "held_share"), (1, 0, 0.9, "within")],
)
def test_a_life_outside_its_limits_is_refused(ingress: float, held: float, within: float, name: str) -> None:
    with pytest.raises(OutOfRange) as caught:
        filters.life(STAGE, ingress, 100, OIL, 50, held_share=held, within=within)
    assert caught.value.name == name


def test_a_full_element_has_no_hours() -> None:
    found = filters.life(STAGE, 0.1, 100, OIL, 50, held_share=1)
    assert found.full_h.value == 0
    assert filters.says(found)[0] == "The element is full: change it."


def test_hours_are_said_as_well_as_they_are_known() -> None:
    said = filters.says(filters.life(STAGE, 0.0731, 100, OIL, 50))[0]
    assert said == "The element is full in about 1100 h, 510 h to 2200 h. Its service interval still holds."


def test_the_workings_show_what_went_in() -> None:
    left = lines(filters.life_left(STAGE, 1.0, 100, OIL, 50).working, "us")
    assert any("Share of its life that is left" in line for line in left)
    assert any("psi" in line for line in left)
    assert any("m = 80 g" in line for line in lines(filters.life(STAGE, 0.1, 100, OIL, 50).working))
    so_far = lines(filters.life_so_far(STAGE, 300, 100, OIL, 50, held_share=0.6).working)
    assert any("H = 300 h" in line for line in so_far)
