"""Dirt in and dirt out: against numerical integration, and by laws."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from coldmark.bench import filter as filters
from coldmark.bench.errors import Contradiction, Missing, OutOfRange
from coldmark.bench.working import lines

COUNT = st.floats(1, 1e6)
INGRESS = st.floats(0.1, 1e4)
FLOW = st.floats(5, 500)
VOLUME = st.floats(10, 1000)
BETA = st.floats(1.05, 5000)
PAST = st.floats(0, 0.9)


@pytest.mark.parametrize("beta", [1.2, 2.0, 10.0, 1000.0])
@pytest.mark.parametrize("past", [0.0, 0.3])
def test_the_closed_form_is_what_integrating_gives(beta: float, past: float) -> None:
    volume, flow, before, ingress = 150.0, 80.0, 30_000.0, 25.0

    def change(_t: float, count: list[float]) -> list[float]:
        # Particles in a millilitre: what gets in, and what leaves in the element; behind it comes what was let past.
        passes = flow * (1 - past)
        kept = passes * (count[0] - count[0] / beta)
        return [(ingress * 1e6 / 1e3 - kept) / volume]

    times = np.linspace(0, 30, 16)
    done = solve_ivp(change, (0, 30), [before], t_eval=times, rtol=1e-10, atol=1e-8)
    for t, count in zip(times, done.y[0], strict=True):
        found = filters.count_after(
            before, float(t), volume, flow, beta, ingress_million_min=ingress, bypass_share=past
        )
        assert found.count_per_ml == pytest.approx(float(count), rel=1e-6)


@given(INGRESS, FLOW, BETA, PAST, VOLUME, COUNT)
def test_left_alone_every_count_comes_to_what_the_tank_settles_at(
    ingress: float, flow: float, beta: float, past: float, volume: float, before: float
) -> None:
    settled = filters.settle(ingress, flow, beta, bypass_share=past)
    going = filters.count_after(before, 1e5, volume, flow, beta, ingress_million_min=ingress, bypass_share=past)
    assert going.settles_per_ml == pytest.approx(settled.tank_per_ml.value)
    if going.halves_min < 2000:
        assert going.count_per_ml == pytest.approx(settled.tank_per_ml.value, rel=1e-6)


@given(INGRESS, FLOW, BETA, PAST)
def test_what_gets_in_is_what_the_filter_keeps(ingress: float, flow: float, beta: float, past: float) -> None:
    found = filters.settle(ingress, flow, beta, bypass_share=past)
    kept = (found.tank_per_ml.value - found.after_per_ml) * flow * 1000 / 1e6
    assert kept == pytest.approx(ingress)
    assert found.tank_per_ml.holds(found.tank_per_ml.value)
    assert found.flat_per_ml <= found.tank_per_ml.value
    assert found.after_per_ml == pytest.approx(found.tank_per_ml.value / filters.effective_beta(beta, past))


@given(INGRESS, FLOW, st.floats(10, 1e5))
def test_above_a_beta_of_ten_the_tank_is_set_by_ingress_over_flow(ingress: float, flow: float, beta: float) -> None:
    found = filters.settle(ingress, flow, beta)
    assert found.tank_per_ml.value <= found.flat_per_ml * 10 / 9 * (1 + 1e-9)
    assert math.log2(found.tank_per_ml.value / found.flat_per_ml) < 0.16, "not a sixth of a step of the code"
    assert "changes next to nothing" in " ".join(filters.says(found))


def test_below_it_a_finer_element_helps() -> None:
    assert "a finer element helps" in " ".join(filters.says(filters.settle(10, 100, 2)))


@given(INGRESS, FLOW, BETA, PAST)
def test_ingress_by_count_undoes_what_settles(ingress: float, flow: float, beta: float, past: float) -> None:
    count = filters.settle(ingress, flow, beta, bypass_share=past).tank_per_ml.value
    found = filters.ingress_by_count(count, flow, beta, bypass_share=past)
    assert found.rate_million_min.value == pytest.approx(ingress)
    assert found.rate_million_min.holds(found.rate_million_min.value)
    half = filters.settle(found.half_bypassed_million_min, flow, beta, bypass_share=0.5)
    assert half.tank_per_ml.value == pytest.approx(count), "half bypassed, half the ingress: the same count"


@given(INGRESS, FLOW, BETA, VOLUME, COUNT, st.floats(0.2, 1.5))
def test_two_counts_tell_the_ingress_between_them(
    ingress: float, flow: float, beta: float, volume: float, before: float, turns: float
) -> None:
    minutes = turns * volume / flow
    then = filters.count_after(before, minutes, volume, flow, beta, ingress_million_min=ingress)
    found = filters.ingress_by_count(
        then.count_per_ml, flow, beta, before_per_ml=before, minutes_min=minutes, volume_l=volume
    )
    assert found.rate_million_min.value == pytest.approx(ingress, rel=1e-4, abs=1e-6 * before * flow)
    assert found.rate_million_min.low >= 0


@given(COUNT, FLOW, BETA, VOLUME, st.floats(0.01, 0.9))
def test_cleaning_takes_as_long_as_the_count_needs(
    before: float, flow: float, beta: float, volume: float, share: float
) -> None:
    found = filters.cleaning_time(before, before * share, volume, flow, beta)
    then = filters.count_after(before, min(1e5, found.minutes_min.value), volume, flow, beta)
    if found.minutes_min.value <= 1e5:
        assert then.count_per_ml == pytest.approx(before * share, rel=1e-6)
    assert found.minutes_min.low <= found.minutes_min.value <= found.minutes_min.high
    more = filters.cleaning_time(before, before * share, volume, flow * 1.5, beta)
    assert more.minutes_min.value < found.minutes_min.value


def test_what_is_clean_enough_takes_no_time() -> None:
    found = filters.cleaning_time(500, 1000, 200, 100, 200)
    assert (found.minutes_min.value, found.count_per_ml) == (0, 500)
    assert filters.says(found) == ["It is that clean already."]


def test_what_settles_above_the_wish_is_refused_with_where_it_settles() -> None:
    with pytest.raises(Contradiction, match="settles at about 10050 per mL") as caught:
        filters.cleaning_time(20_000, 1000, 200, 100, 200, ingress_million_min=1000)
    assert caught.value.name == "target_per_ml"
    with pytest.raises(Contradiction):
        filters.cleaning_time(20_000, 101, 200, 100, 200, ingress_million_min=10)  # within a twentieth of the flow


def test_a_count_that_fell_faster_than_it_can_is_refused() -> None:
    with pytest.raises(Contradiction, match="with nothing getting in") as caught:
        filters.ingress_by_count(1, 100, 200, before_per_ml=20_000, minutes_min=1, volume_l=200)
    assert caught.value.name == "count_per_ml"


def test_of_two_counts_all_is_told_or_nothing() -> None:
    with pytest.raises(Missing) as caught:
        filters.ingress_by_count(10, 100, 200, before_per_ml=20)
    assert caught.value.name == "minutes_min"


def test_no_dirt_settles_at_nothing() -> None:
    found = filters.settle(0, 100, 200)
    assert (found.tank_per_ml.value, found.after_per_ml) == (0, 0)
    assert len(filters.says(found)) == 1
    assert filters.ingress_by_count(0, 100, 200).rate_million_min.value == 0


@pytest.mark.parametrize(
    ("given_", "name"),
    [
        ({"ingress_million_min": -1}, "ingress_million_min"),
        ({"ingress_million_min": 1e6 + 1}, "ingress_million_min"),
        ({"flow_l_min": 0}, "flow_l_min"),
        ({"flow_l_min": 3001}, "flow_l_min"),
        ({"beta": 1}, "beta"),
        ({"beta": 1e6 + 1}, "beta"),
        ({"bypass_share": 1.1}, "bypass_share"),
        ({"within": 0.5}, "within"),
        ({"ingress_million_min": math.nan}, "ingress_million_min"),
    ],
)
def test_what_lies_outside_is_refused_by_name(given_: dict[str, float], name: str) -> None:
    usual = {"ingress_million_min": 10.0, "flow_l_min": 100.0, "beta": 200.0}
    with pytest.raises(OutOfRange) as caught:
        filters.settle(**(usual | given_))
    assert caught.value.name == name


def test_with_all_of_it_past_the_element_nothing_settles() -> None:
    with pytest.raises(Contradiction, match="must pass the element"):
        filters.settle(10, 100, 200, bypass_share=1)


# β


@given(st.floats(1, 1e6), st.floats(0, 1))
def test_a_bypass_never_helps(beta: float, past: float) -> None:
    both = filters.effective_beta(beta, past)
    assert 1 - 1e-9 <= both <= beta * (1 + 1e-9)
    if past > 0:
        assert both <= 1 / past * (1 + 1e-9)
    assert filters.efficiency(min(max(both, 1), 1e6)) == pytest.approx((1 - past) * filters.efficiency(beta), abs=1e-9)


@given(st.floats(0, 0.99999))
def test_efficiency_and_beta_undo_each_other(share: float) -> None:
    assert filters.efficiency(filters.beta_of(share)) == pytest.approx(share, abs=1e-12)


def test_more_behind_the_filter_than_before_it_is_a_mix_up() -> None:
    with pytest.raises(Contradiction, match="gives back no more"):
        filters.beta_by_counts(100, 200)
    with pytest.raises(OutOfRange):
        filters.beta_by_counts(100, 0)
    with pytest.raises(OutOfRange):
        filters.beta_of(1)
    with pytest.raises(OutOfRange):
        filters.efficiency(0.9)


def test_the_workings_show_what_went_in() -> None:
    shown = lines(filters.settle(10, 100, 200).working)
    assert any("R = 10 million/min" in line for line in shown)
    shown = lines(filters.cleaning_time(20_000, 1_000, 200, 100, 200).working, "us")
    assert any("gal" in line for line in shown)
    assert lines(filters.ingress_by_count(5, 100, 200, before_per_ml=9, minutes_min=9, volume_l=99).working)
