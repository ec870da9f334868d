from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import filter as filters
from coldmark.bench import oil
from coldmark.bench.errors import Contradiction, Missing, NotAChoice, OutOfRange
from coldmark.bench.level.model import Cylinder
from coldmark.bench.working import Range, lines

OIL = oil.Oil("Valley 46", 46, 6.8, density15_kg_m3=880, pour_c=-30)
VALVE = filters.Bypass(1.5, 2.0, 150)
STAGE = filters.Stage(
    "return", 0.35, 0.20, 100, bypass=VALVE, alarm_bar=1.1, terminal_bar=2.0, housing_laminar_bar=0.02
)

FLOW = st.floats(1, 300)
WARMTH = st.floats(-30, 120)
LOADING = st.floats(0, 1)


@given(FLOW, WARMTH, LOADING, st.booleans())
def test_what_does_not_pass_the_element_passes_the_valve_at_the_same_drop(
    flow: float, t_c: float, loading: float, spans: bool
) -> None:
    stage = replace(STAGE, bypass=replace(VALVE, spans_housing=spans))
    found = filters.pressure_drop(stage, flow, OIL, t_c, loading)
    assert found.through_element_l_min + found.bypassed_l_min == pytest.approx(flow)
    assert replace(VALVE, spans_housing=spans).flow(found.valve_bar) == pytest.approx(
        found.bypassed_l_min, rel=1e-6, abs=1e-6
    )
    assert 0 <= found.share_bypassed.value < 1
    assert found.total_bar.value == pytest.approx(found.housing_bar.value + found.element_bar.value)


@given(FLOW, WARMTH, st.floats(0.1, 20), LOADING)
def test_warmer_oil_takes_less_pressure_and_bypasses_less(flow: float, t_c: float, more: float, loading: float) -> None:
    cold = filters.pressure_drop(STAGE, flow, OIL, t_c, loading)
    warm = filters.pressure_drop(STAGE, flow, OIL, t_c + more, loading)
    assert warm.total_bar.value <= cold.total_bar.value
    assert warm.share_bypassed.value <= cold.share_bypassed.value + 1e-12


@given(FLOW, st.floats(0.1, 50), WARMTH, LOADING)
def test_more_flow_takes_more_pressure(flow: float, more: float, t_c: float, loading: float) -> None:
    less = filters.pressure_drop(STAGE, flow, OIL, t_c, loading).total_bar.value
    assert filters.pressure_drop(STAGE, flow + more, OIL, t_c, loading).total_bar.value > less


@given(FLOW, WARMTH, st.floats(0, 0.9))
def test_a_dirtier_element_never_filters_more(flow: float, t_c: float, loading: float) -> None:
    clean = filters.pressure_drop(STAGE, flow, OIL, t_c, loading)
    dirty = filters.pressure_drop(STAGE, flow, OIL, t_c, loading + 0.1)
    assert dirty.through_element_l_min <= clean.through_element_l_min + 1e-9


@given(FLOW, WARMTH)
def test_a_bypass_never_raises_the_drop(flow: float, t_c: float) -> None:
    without = filters.pressure_drop(replace(STAGE, bypass=None), flow, OIL, t_c)
    assert filters.pressure_drop(STAGE, flow, OIL, t_c).total_bar.value <= without.total_bar.value + 1e-9
    assert without.share_bypassed.high == 0


def test_the_element_grows_from_clean_to_full_in_even_factors() -> None:
    drops = [
        filters.pressure_drop(replace(STAGE, bypass=None), 100, OIL, 50, loading).element_bar.value
        for loading in (0.0, 0.5, 1.0)
    ]
    assert drops[2] / drops[0] == pytest.approx(2.0 / 0.35)
    assert drops[1] ** 2 == pytest.approx(drops[0] * drops[2])


def test_a_valve_that_spans_the_housing_feels_its_drop_too() -> None:
    beside = filters.pressure_drop(STAGE, 180, OIL, 40, 0.4)
    spanning = filters.pressure_drop(replace(STAGE, bypass=replace(VALVE, spans_housing=True)), 180, OIL, 40, 0.4)
    assert spanning.share_bypassed.value > beside.share_bypassed.value
    assert spanning.total_bar.value < beside.total_bar.value


def test_no_flow_takes_no_pressure() -> None:
    found = filters.pressure_drop(STAGE, 0, OIL, 40)
    assert (found.total_bar, found.share_bypassed) == (Range(0, 0, 0), Range(0, 0, 0))
    assert filters.share_bypassed(STAGE, 0, OIL, 40) == Range(0, 0, 0)


@given(st.floats(0.01, 500))
def test_the_valves_flow_and_drop_are_each_others_inverse(flow: float) -> None:
    assert VALVE.flow(VALVE.drop(flow)) == pytest.approx(flow)


@pytest.mark.parametrize(("flow", "t_c", "loading"), [(-1, 40, 0), (3001, 40, 0), (math.nan, 40, 0), (100, -31, 0)])
def test_what_lies_outside_the_method_is_refused(flow: float, t_c: float, loading: float) -> None:
    with pytest.raises(OutOfRange):
        filters.pressure_drop(STAGE, flow, OIL, t_c, loading)


@pytest.mark.parametrize("loading", [-0.1, 1.1, math.nan])
def test_an_element_is_between_clean_and_full(loading: float) -> None:
    with pytest.raises(OutOfRange, match="loading"):
        filters.pressure_drop(STAGE, 100, OIL, 40, loading)


def test_what_nobody_knows_is_named() -> None:
    with pytest.raises(Missing, match="terminal"):
        filters.pressure_drop(replace(STAGE, terminal_bar=None), 100, OIL, 40, 0.5)
    with pytest.raises(Missing, match="density15"):
        filters.pressure_drop(STAGE, 100, oil.Oil("Bare", 46, 6.8), 40)
    with pytest.raises(Missing, match="bypass"):
        filters.warm_up(replace(STAGE, bypass=None), 100, OIL)
    with pytest.raises(Missing, match="alarm"):
        filters.alarm(20, replace(STAGE, alarm_bar=None), 100, OIL)


# ranges


def _corners(flow: float, t_c: float, loading: float) -> Iterator[filters.Drop]:
    """What goes in at one end of its resolution at a time; a thermometer ends where the oil does."""
    yield filters.pressure_drop(STAGE, flow, OIL, max(-30, t_c - 2), loading)
    yield filters.pressure_drop(STAGE, flow, OIL, min(OIL.hottest_c, t_c + 2), loading)
    yield filters.pressure_drop(STAGE, flow * 0.95, OIL, t_c, loading)
    yield filters.pressure_drop(STAGE, flow * 1.05, OIL, t_c, loading)


@given(FLOW, WARMTH, LOADING)
def test_a_range_holds_what_each_input_gives_at_the_end_of_its_resolution(
    flow: float, t_c: float, loading: float
) -> None:
    found = filters.pressure_drop(STAGE, flow, OIL, t_c, loading)
    for one in _corners(flow, t_c, loading):
        for name in ("total_bar", "element_bar", "housing_bar", "share_bypassed"):
            told: Range = getattr(found, name)
            assert told.low - 1e-9 <= getattr(one, name).value <= told.high + 1e-9, name
    assert 0 <= found.share_bypassed.low <= found.share_bypassed.high <= 1
    assert filters.share_bypassed(STAGE, flow, OIL, t_c, loading) == found.share_bypassed


def test_the_spreads_add_in_quadrature_where_the_drop_is_straight() -> None:
    # Without a turbulent housing and a bypass the drop is flow times viscosity times density: 5 % and 10 % give 11.2 %,
    # and the thermometer adds its own.
    stage = replace(STAGE, housing_turbulent_bar=0, bypass=None)
    found = filters.pressure_drop(stage, 100, OIL, 40).total_bar
    by_warmth = filters.pressure_drop(stage, 100, OIL, 38).total_bar.value / found.value - 1
    assert found.high / found.value - 1 == pytest.approx(math.hypot(0.05, 0.1, by_warmth))


def test_a_share_that_may_be_none_or_some_says_so() -> None:
    line = filters.warm_up(STAGE, 100, OIL).full
    assert line.cracks.t_c is not None
    said = filters.says(filters.pressure_drop(STAGE, 100, OIL, line.cracks.t_c + 1))
    assert said[1].startswith("The bypass is about to open: up to ")
    assert len(filters.says(filters.pressure_drop(STAGE, 100, OIL, line.cracks.t_c + 40))) == 1
    warm = filters.says(filters.warm_up(STAGE, 100, OIL, t_c=line.cracks.t_c + 40))
    assert warm[-1] == "Now, at 100.0 L/min, all of it goes through the element."


@given(FLOW, LOADING)
def test_a_lines_range_holds_it_and_the_ends_of_its_flow(flow: float, loading: float) -> None:
    line = filters.warm_up(STAGE, flow, OIL, loading).full
    for name in ("cracks", "half"):
        crossing: filters.Crossing = getattr(line, name)
        told: Range | None = getattr(line, f"{name}_c")
        assert (crossing.t_c is None) == (told is None)
        if told is None:
            continue
        assert told.value == crossing.t_c
        for part in (0.95, 1.05):
            end = getattr(filters.warm_up(STAGE, flow * part, OIL, loading).full, name).t_c
            assert end is None or told.low - 1e-6 <= end <= told.high + 1e-6


def test_the_lamps_temperature_has_a_range() -> None:
    found = filters.alarm(0, STAGE, 100, OIL)
    assert found.look_again_c is not None
    assert found.look_again_c.value == found.look_again.t_c
    assert found.look_again_c.low < found.look_again_c.value < found.look_again_c.high
    assert filters.alarm(0, replace(STAGE, alarm_bar=100), 100, OIL).look_again_c is None


def test_what_comes_back_is_as_well_known_as_its_parts() -> None:
    one = filters.return_flow([PUMP], [], []).total_l_min
    assert [one.low, one.high] == pytest.approx([114, 126])
    two = filters.return_flow([PUMP, replace(PUMP, name="second")], [], []).total_l_min
    assert two.high - two.value == pytest.approx(math.hypot(6, 6))
    drained = filters.return_flow([replace(PUMP, case_drain_l_min=20)], [], []).total_l_min
    assert [drained.value, drained.low] == pytest.approx([100, 94])
    sinks = filters.Function("ram down", "cylinder", "ram", None, lowering_s=10)
    timed = filters.return_flow([], [sinks], [RAM]).total_l_min
    assert timed.high == pytest.approx(timed.value * 10 / 9.5)
    assert timed.low == pytest.approx(timed.value * 10 / 10.5)


# warm-up


@given(FLOW, LOADING)
def test_at_the_warm_up_line_the_valve_just_cracks(flow: float, loading: float) -> None:
    line = filters.warm_up(STAGE, flow, OIL, loading).full
    if line.cracks.t_c is None:
        return
    assert filters.share_bypassed(STAGE, flow, OIL, min(150, line.cracks.t_c + 0.01), loading).value == 0
    assert filters.share_bypassed(STAGE, flow, OIL, max(-30, line.cracks.t_c - 0.01), loading).value > 0


@given(FLOW, LOADING)
def test_at_the_half_line_half_the_flow_is_bypassed_and_it_is_colder_than_the_first(
    flow: float, loading: float
) -> None:
    line = filters.warm_up(STAGE, flow, OIL, loading).full
    if line.half.t_c is None or line.cracks.t_c is None:
        return
    assert filters.share_bypassed(STAGE, flow, OIL, line.half.t_c, loading).value == pytest.approx(0.5, abs=1e-6)
    assert line.half.t_c < line.cracks.t_c


def test_at_idle_the_bypass_shuts_earlier_and_the_share_now_is_told() -> None:
    found = filters.warm_up(STAGE, 100, OIL, idle_l_min=40, t_c=0)
    assert found.idle is not None
    assert found.idle.cracks.t_c is not None
    assert found.full.cracks.t_c is not None
    assert found.idle.cracks.t_c < found.full.cracks.t_c
    assert found.full.share_now == filters.share_bypassed(STAGE, 100, OIL, 0)
    assert len(filters.says(found)) == 6
    assert len(lines(found.working)) > 8


def test_a_line_that_is_never_or_always_crossed_says_so() -> None:
    assert filters.warm_up(STAGE, 0.5, OIL).full.cracks.when == "never"
    hopeless = replace(STAGE, element_bar=30, terminal_bar=None)
    found = filters.warm_up(hopeless, 200, OIL)
    assert found.full.cracks == filters.Crossing("always", None)
    assert "however warm" in filters.says(found)[0]


@pytest.mark.parametrize("flow", [0, -1, math.nan, 3001])
def test_a_warm_up_line_needs_a_flow(flow: float) -> None:
    with pytest.raises(OutOfRange):
        filters.warm_up(STAGE, flow, OIL)


# alarm
def test_a_lamp_that_a_clean_element_always_lights_is_not_told_by_the_oil() -> None:
    found = filters.alarm(60, replace(STAGE, alarm_bar=0.01), 100, OIL)
    assert (found.look_again.when, found.message) == ("always", "alarm.always")
    says = filters.says(found)[0]
    assert "would not light" not in says
    assert "open the filter and look" in says


def test_a_case_drain_beyond_the_pumps_flow_is_refused() -> None:
    with pytest.raises(Contradiction, match="case drain = 200 L/min cannot be: at this speed the pump delivers"):
        filters.return_flow([replace(PUMP, case_drain_l_min=200)], [], [])


@given(WARMTH, st.booleans(), FLOW)
def test_the_lamp_is_never_said_to_be_ignored(t_c: float, lamp_on: bool, flow: float) -> None:
    found = filters.alarm(t_c, STAGE, flow, OIL, lamp_on=lamp_on)
    said = " ".join(filters.says(found)).lower()
    assert "ignore" not in said
    assert any(word in said for word in ("stop", "proves nothing"))


def test_a_cold_lamp_is_looked_at_again_above_a_temperature_and_a_warm_one_stops_the_machine() -> None:
    cold = filters.alarm(0, STAGE, 100, OIL)
    assert cold.message == "alarm.cold"
    assert cold.look_again.t_c is not None
    assert filters.pressure_drop(STAGE, 100, OIL, cold.look_again.t_c).valve_bar == pytest.approx(1.1)
    assert filters.alarm(cold.look_again.t_c + 0.1, STAGE, 100, OIL).message == "alarm.stop"
    assert "above" in filters.says(cold)[0]


def test_a_lamp_that_cold_oil_cannot_light_stops_the_machine_when_cold_too() -> None:
    assert filters.alarm(-20, replace(STAGE, alarm_bar=40), 100, OIL).message == "alarm.stop"


# return flow

BOOM = Cylinder("boom", "double", 100, 56, 800, 2)
STEER = Cylinder("steer", "through", 60, 30, 300)
RAM = Cylinder("ram", "plunger", 80, 80, 1000)
PUMP = filters.Pump("main", 60, 1000, 2000, volumetric=1)


def test_the_worst_function_counts_and_a_motor_sends_back_what_it_gets() -> None:
    functions = [filters.Function("boom", "cylinder", "boom", "main"), filters.Function("swing", "motor", None, "main")]
    found = filters.return_flow([PUMP], functions, [BOOM])
    assert [(part.function, part.how) for part in found.parts] == [("boom", "retracting")]
    only = filters.return_flow([PUMP], functions, [BOOM], together=["swing"])
    assert only.total_l_min.value == pytest.approx(120)
    assert "120.0 L/min" in filters.says(only)[0]


def test_idling_sends_back_less_and_case_drain_and_regenerated_oil_are_taken_off() -> None:
    function = filters.Function("boom", "cylinder", "boom", "main", regenerated=0.5)
    full = filters.return_flow([PUMP], [function], [BOOM], speed="full").total_l_min.value
    assert filters.return_flow([PUMP], [function], [BOOM], speed="idle").total_l_min.value == pytest.approx(full / 2)
    drained = filters.return_flow([replace(PUMP, case_drain_l_min=5)], [function], [BOOM]).total_l_min.value
    assert drained == pytest.approx(full - 5)


def test_several_pumps_and_what_sinks_add() -> None:
    second = replace(PUMP, name="second")
    sinks = filters.Function("ram down", "cylinder", "ram", None, lowering_s=10)
    found = filters.return_flow([PUMP, second], [sinks], [RAM])
    ram_l = math.pi / 4 * 80**2 * 1000 / 1e6
    assert found.total_l_min.value == pytest.approx(240 + ram_l * 6)
    assert len(lines(found.working)) > 3


def test_a_through_rod_sends_back_what_it_gets() -> None:
    assert filters.area_ratio(STEER) == 1
    with pytest.raises(NotAChoice):
        filters.area_ratio(RAM)


def test_what_sinks_without_a_measured_time_is_refused_by_name() -> None:
    with pytest.raises(Missing, match="lowering is not known, and the return flow of ram down"):
        filters.return_flow([PUMP], [filters.Function("ram down", "cylinder", "ram", "main")], [RAM])


def test_names_that_are_not_there_are_refused() -> None:
    with pytest.raises(NotAChoice, match="cylinder = arm"):
        filters.return_flow([PUMP], [filters.Function("arm", "cylinder", "arm", "main")], [BOOM])
    with pytest.raises(NotAChoice, match="pump = spare"):
        filters.return_flow([PUMP], [filters.Function("boom", "cylinder", "boom", "spare")], [BOOM])
    with pytest.raises(NotAChoice, match="together = boom"):
        filters.return_flow([PUMP], [], [BOOM], together=["boom"])


@pytest.mark.parametrize(
    ("make", "error"),
    [
        (lambda: filters.Bypass(1.5, 1.5, 100), Contradiction),
        (lambda: filters.Bypass(0, 1.5, 100), OutOfRange),
        (lambda: filters.Bypass(1, 1.5, math.nan), OutOfRange),
        (lambda: filters.Stage("x", 0, 0.1, 100), OutOfRange),
        (lambda: filters.Stage("x", 0.3, -0.1, 100), OutOfRange),
        (lambda: filters.Stage("x", 0.3, 0.1, 100, terminal_bar=0.3), Contradiction),
        (lambda: filters.Stage("x", 0.3, 0.1, 100, alarm_bar=-1), OutOfRange),
        (lambda: filters.Stage("x", 0.3, 0.1, 100, beta=0.5), OutOfRange),
        (lambda: filters.Pump("x", 0, 1000, 2000), OutOfRange),
        (lambda: filters.Pump("x", 30, 1000, 900), Contradiction),
        (lambda: filters.Function("x", "cylinder"), Missing),
        (lambda: filters.Function("x", "motor", lowering_s=0), OutOfRange),
        (lambda: filters.Function("x", "motor", regenerated=1.2), OutOfRange),
        (lambda: filters.Function("x", "wheel"), NotAChoice),  # type: ignore[arg-type]
    ],
)
def test_what_no_filter_or_pump_can_be_is_refused(make: object, error: type[Exception]) -> None:
    with pytest.raises(error):
        make()  # type: ignore[operator]
