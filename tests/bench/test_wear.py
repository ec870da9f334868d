from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from coldmark.bench import wear
from coldmark.bench.errors import CannotTell, Contradiction, NotAChoice, OutOfRange
from coldmark.bench.wear import Sample, fill, rate
from coldmark.bench.wear.tank import Course, Tank, course
from coldmark.bench.words import UnitSystem
from coldmark.bench.working import Range

VOLUME_L = 120.0


def _value(found: Range | None) -> float:
    assert found is not None
    return found.value


@st.composite
def _tanks(draw: st.DrawFn) -> Tank:
    return Tank(
        volume_l=draw(st.floats(20, 400)),
        density_kg_l=draw(st.floats(0.8, 0.95)),
        fresh_mg_kg=draw(st.floats(0, 5)),
        cleaned_l_h=draw(st.sampled_from([0.0, 0.01, 0.5, 40.0])),
    )


@st.composite
def _runs(draw: st.DrawFn) -> tuple[float, list[tuple[float, float]], float]:
    hours = draw(st.floats(50, 2000))
    cans = draw(st.lists(st.tuples(st.floats(0.02, 0.98), st.floats(0.1, 12)), max_size=4))
    times = sorted(share * hours for share, _ in cans)
    assume(all(later - before > 1 for before, later in pairwise([0.0, *times])))
    return hours, [(at, litres) for at, (_, litres) in zip(times, cans, strict=True)], draw(st.sampled_from([0.0, 8.0]))


def _integrated(
    tank: Tank, hours: float, cans: list[tuple[float, float]], steady_l: float, start: float, wear_mg_h: float
) -> float:
    """The content in the end by stepping through the balance of metal and of oil, without any closed form."""
    metal, oil_l, last = start * tank.density_kg_l * tank.volume_l, tank.volume_l, 0.0
    steady = steady_l / hours
    for at, litres in [*cans, (hours, 0.0)]:
        leak = litres / (at - last)

        def change(_t: float, state: list[float], leak: float = leak) -> list[float]:
            content = state[0] / (tank.density_kg_l * state[1])
            out = tank.density_kg_l * (leak + steady + tank.cleaned_l_h) * content
            return [wear_mg_h - out + tank.density_kg_l * steady * tank.fresh_mg_kg, -leak]

        solved = solve_ivp(change, (last, at), [metal, oil_l], method="LSODA", rtol=1e-9, atol=1e-9)
        metal = solved.y[0][-1] + litres * tank.density_kg_l * tank.fresh_mg_kg
        oil_l, last = solved.y[1][-1] + litres, at
    return float(metal / (tank.density_kg_l * oil_l))


@given(_tanks(), _runs(), st.floats(0, 100), st.floats(0, 20))
def test_the_closed_form_is_what_stepping_through_the_balance_gives(
    tank: Tank, run: tuple[float, list[tuple[float, float]], float], start: float, wear_mg_h: float
) -> None:
    hours, cans, steady_l = run
    closed = course(tank, hours, cans, steady_l=steady_l).content(start, wear_mg_h)
    assert closed == pytest.approx(_integrated(tank, hours, cans, steady_l, start, wear_mg_h), rel=1e-5, abs=1e-5)


@given(_tanks(), _runs(), st.floats(0, 100), st.floats(0, 20))
def test_the_rate_that_was_put_in_is_found_again(
    tank: Tank, run: tuple[float, list[tuple[float, float]], float], start: float, wear_mg_h: float
) -> None:
    hours, cans, steady_l = run
    way = course(tank, hours, cans, steady_l=steady_l)
    assert way.wear(start, way.content(start, wear_mg_h)) == pytest.approx(wear_mg_h, rel=1e-6, abs=1e-6)


@given(_tanks(), st.floats(10, 1000), st.floats(0.05, 0.95), st.floats(0, 10))
def test_a_stretch_cut_in_two_gives_the_same(tank: Tank, hours: float, share: float, steady_l: float) -> None:
    whole = course(tank, hours, steady_l=steady_l)
    first = course(tank, hours * share, steady_l=steady_l * share)
    both = first.then(course(tank, hours * (1 - share), steady_l=steady_l * (1 - share)))
    for one, other in zip(_parts(whole), _parts(both), strict=True):
        assert one == pytest.approx(other, rel=1e-9, abs=1e-12)


def _parts(way: Course) -> tuple[float, float, float]:
    return way.kept, way.per_wear, way.brought


def test_a_can_at_the_first_hour_only_thins_what_is_there() -> None:
    way = course(Tank(100, 0.87, 2.0), 100, [(0.0, 10.0)])
    assert way.content(30.0, 0.0) == pytest.approx(30 * 0.9 + 2.0 * 0.1)


@given(st.floats(0, 80), st.floats(0, 80), st.floats(10, 2000))
def test_without_top_ups_the_rate_is_the_difference_over_the_hours(c1: float, c2: float, hours: float) -> None:
    found = rate(c1, c2, hours, VOLUME_L)
    if found.verdict == "gaining":
        assert _value(found.stays_mg_kg_100h) == pytest.approx((c2 - c1) / hours * 100)
        assert c2 - c1 > found.within_mg_kg
    else:
        assert found.stays_mg_kg_100h is None
        assert c2 - c1 <= found.within_mg_kg


@given(st.floats(0, 50), st.floats(0, 50), st.floats(0, 30), st.floats(0, 30))
def test_more_oil_added_means_more_wear_behind_the_same_values(
    c1: float, rise: float, less_l: float, more_l: float
) -> None:
    less, more = (rate(c1, c1 + rise, 500, VOLUME_L, steady_l=added) for added in sorted((less_l, more_l)))
    assert more.at_most_mg_kg_100h >= less.at_most_mg_kg_100h - 1e-9


@given(st.floats(0, 50), st.floats(0, 50))
def test_both_bounds_stand_in_their_order(c1: float, c2: float) -> None:
    found = rate(c1, c2, 500, VOLUME_L, flow_l_min=80, beta=1.01)
    if found.stays_mg_kg_100h is not None:
        assert _value(found.taken_mg_kg_100h) > found.stays_mg_kg_100h.value


def test_even_a_ratio_just_above_one_lets_the_last_sample_alone_decide() -> None:
    one, other = (rate(c1, 20, 500, VOLUME_L, flow_l_min=80, beta=1.01) for c1 in (0, 20))
    assert _value(one.taken_mg_100h) == pytest.approx(_value(other.taken_mg_100h), rel=1e-6)
    # What comes out at the filter in an hour: its flow, cleaned by 1 part in 101, at 20 mg/kg.
    assert _value(one.taken_mg_100h) == pytest.approx(100 * 80 * 60 * (1 - 1 / 1.01) * 0.87 * 20, rel=1e-6)


def test_a_plateau_is_not_divided_by_hours() -> None:
    found = rate(20, 20.8, 500, VOLUME_L)
    assert found.verdict == "plateau"
    assert found.stays_mg_kg_100h is None
    assert found.stays_mg_100h is None
    assert found.at_most_mg_kg_100h == pytest.approx((0.8 + 2.04) / 5, rel=0.01)
    assert "must not be divided" in wear.says(found)[0]


def test_less_metal_than_dilution_leaves_is_said_to_have_gone() -> None:
    found = rate(30, 20, 500, VOLUME_L, steady_l=6)
    assert found.verdict == "falling"
    assert found.expected_mg_kg == pytest.approx(30 * math.exp(-6 / VOLUME_L))
    assert "28.5 mg/kg" in wear.says(found)[0]


def test_a_value_that_only_stands_still_because_clean_oil_came_in_is_wear() -> None:
    assert rate(20, 20, 500, VOLUME_L, steady_l=40).verdict == "gaining"


def test_the_known_repeatability_goes_before_the_assumed_one() -> None:
    exact, rough = (rate(12, 18, 500, VOLUME_L, within_mg_kg=within) for within in (0.5, 5.0))
    assert exact.stays_mg_kg_100h is not None
    assert rough.stays_mg_kg_100h is not None
    assert exact.stays_mg_kg_100h.width < rough.stays_mg_kg_100h.width
    origins = {one.origin for one in rate(12, 18, 500, VOLUME_L).working.steps[0].givens if one.symbol == "r"}
    assert origins == {"assumed"}


def test_two_samples_are_never_more_than_apparent() -> None:
    assert rate(0, 90, 500, VOLUME_L).apparent
    assert fill([Sample(0, 0), Sample(500, 90)], VOLUME_L).apparent


@pytest.mark.parametrize(
    ("given", "name"),
    [
        ({"c1_mg_kg": -1}, "c1_mg_kg"),
        ({"c2_mg_kg": math.nan}, "c2_mg_kg"),
        ({"hours_h": 0}, "hours_h"),
        ({"volume_l": 0}, "volume_l"),
        ({"density_kg_m3": 87}, "density_kg_m3"),
        ({"top_ups": [(600.0, 1.0)]}, "at_h"),
        ({"top_ups": [(100.0, -1.0)]}, "litres_l"),
        ({"top_ups": [(100.0, 120.0)]}, "top_ups"),
        ({"beta": 2.0}, "beta"),
        ({"flow_l_min": 80.0}, "flow_l_min"),
        ({"flow_l_min": 80.0, "beta": 1.0}, "beta"),
        ({"within_mg_kg": -1.0}, "within_mg_kg"),
    ],
)
def test_what_cannot_be_is_refused_by_its_name(given: dict[str, float], name: str) -> None:
    with pytest.raises((OutOfRange, Contradiction)) as caught:
        rate(**({"c1_mg_kg": 12, "c2_mg_kg": 18, "hours_h": 500, "volume_l": VOLUME_L} | given))  # type: ignore[arg-type]
    assert caught.value.name == name


# Several samples on one fill: what was put in is found again, with a laboratory that is off by chance.

_EVERY_H = (0.0, 250.0, 500.0, 750.0, 1000.0, 1250.0)


def _drawn(wear_mg_h: list[float], *, seed: int, topped_l: float = 0.0, cleaned_l_h: float = 0.0) -> list[Sample]:
    """Samples of a fill with this wear from one to the next, each off by a deviation of 0.4 mg/kg."""
    chance, content, found = random.Random(seed), 4.0, []
    tank = Tank(VOLUME_L, 0.87, cleaned_l_h=cleaned_l_h)
    for index, (before, hours) in enumerate(pairwise((-250.0, *_EVERY_H))):
        if index:
            content = course(tank, hours - before, steady_l=topped_l).content(content, wear_mg_h[index - 1])
        found.append(Sample(hours, max(0.0, content + chance.gauss(0, 0.4)), topped_l if index else 0.0))
    return found


def _verdicts(wear_mg_h: list[float], *, topped_l: float = 0.0, cleaned_l_h: float = 0.0) -> list[str]:
    fills = (_drawn(wear_mg_h, seed=seed, topped_l=topped_l, cleaned_l_h=cleaned_l_h) for seed in range(40))
    return [fill(samples, VOLUME_L, within_mg_kg=2.8 * 0.4).verdict for samples in fills]


def test_even_wear_is_called_steady_nineteen_times_in_twenty() -> None:
    assert _verdicts([3.0] * 5).count("steady") >= 36
    assert _verdicts([3.0] * 5, topped_l=5.0).count("steady") >= 36


def test_wear_that_grows_is_called_quickening() -> None:
    assert _verdicts([1.0, 2.0, 4.0, 7.0, 11.0]).count("quickening") >= 38


def test_a_filter_that_takes_the_metal_shows_as_levelling_or_level_and_never_as_a_rate() -> None:
    found = _verdicts([8.0] * 5, cleaned_l_h=0.6)
    assert found.count("levelling") >= 36
    samples = _drawn([8.0] * 5, seed=1, cleaned_l_h=0.6)
    assert fill(samples, VOLUME_L, within_mg_kg=1.12).mg_kg_100h is None


def test_a_value_that_stands_still_is_called_level_and_not_divided() -> None:
    assert _verdicts([0.0] * 5).count("level") >= 34
    assert fill([Sample(h, 12.0) for h in _EVERY_H], VOLUME_L).mg_kg_100h is None


def test_samples_that_jump_about_are_not_believed() -> None:
    jumping = [Sample(h, c) for h, c in zip(_EVERY_H, (5, 25, 6, 28, 7, 30), strict=True)]
    assert fill(jumping, VOLUME_L).verdict == "scattered"
    uneven = [Sample(h, c) for h, c in zip(_EVERY_H, (5, 5.5, 25, 25.5, 45, 46), strict=True)]
    assert fill(uneven, VOLUME_L).verdict == "scattered"


def test_a_steady_rate_holds_what_was_put_in_with_its_range() -> None:
    held = 0
    for seed in range(40):
        found = fill(_drawn([3.0] * 5, seed=seed, topped_l=4.0), VOLUME_L, within_mg_kg=1.12)
        if found.mg_100h is not None and found.verdict == "steady":
            held += found.mg_100h.holds(300.0)
    assert held >= 34


def test_more_samples_narrow_the_rate() -> None:
    samples = [Sample(h, 4 + h * 0.02) for h in _EVERY_H]
    three, six = (fill(samples[:count], VOLUME_L, within_mg_kg=1.0).mg_100h for count in (3, 6))
    assert three is not None
    assert six is not None
    assert six.width < three.width / 2


def test_samples_must_be_two_and_come_in_order() -> None:
    with pytest.raises(Contradiction, match="two at least"):
        fill([Sample(0, 3)], VOLUME_L)
    with pytest.raises(Contradiction, match="order of their hours") as caught:
        fill([Sample(500, 3), Sample(250, 5)], VOLUME_L)
    assert caught.value.name == "hours_h"


@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_verdict_has_its_sentence(units: UnitSystem) -> None:
    runs = {
        "steady": (4, 9, 14, 19),
        "quickening": (4, 6, 12, 30),
        "levelling": (4, 14, 18, 19),
        "level": (12, 12, 12, 12),
        "falling": (40, 30, 20, 10),
        "scattered": (4, 24, 4, 24),
        "open": (4, 12),
    }
    for verdict, contents in runs.items():
        found = fill([Sample(250.0 * at, content) for at, content in enumerate(contents)], VOLUME_L)
        assert found.verdict == verdict
        said = wear.says(found, units)
        assert said
        assert all("{" not in line for line in said)


# Limits of others.


def test_every_printed_limit_has_a_source_and_a_standing() -> None:
    everything = {one for system in wear.SYSTEMS for one in wear.limits(system)}
    assert {one.standing for one in everything} == {"as printed", "from memory"}
    assert all(one.source for one in everything)
    assert {one.side for one in everything} == {"above", "below", "from"}


def test_a_value_at_its_limit_does_not_pass_it() -> None:
    at, over = (dict(wear.passed("hydraulic", "iron", value, "ppm")) for value in (20, 20.1))
    assert set(at.values()) == {False}
    assert set(over.values()) == {True}


def test_a_limit_that_counts_from_itself_on_is_passed_at_it() -> None:
    assert [beyond for _, beyond in wear.passed("hydraulic_hl", "colour", 4, "", fresh=1)] == [True]
    assert [beyond for _, beyond in wear.passed("hydraulic_hl", "colour", 3.5, "", fresh=1)] == [False]


def test_per_cent_and_parts_per_million_of_water_are_one() -> None:
    for value, unit in ((0.11, "%"), (1100, "mg/kg"), (1100, "ppm")):
        assert [beyond for _, beyond in wear.passed("hydraulic", "water", value, unit)] == [True]


def test_a_rise_needs_the_new_oil() -> None:
    assert [beyond for _, beyond in wear.passed("hydraulic", "silicon", 22, "mg/kg")] == [None]
    assert [beyond for _, beyond in wear.passed("hydraulic", "silicon", 22, "mg/kg", fresh=5)] == [True]


def test_what_no_list_has_is_refused_with_what_they_have() -> None:
    with pytest.raises(NotAChoice, match="iron"):
        wear.passed("hydraulic", "gold", 3, "mg/kg")
    with pytest.raises(NotAChoice, match="mg/kg"):
        wear.passed("hydraulic", "iron", 3, "oz")
    with pytest.raises(NotAChoice, match="hydraulic"):
        wear.limits("pneumatic")
    with pytest.raises(CannotTell, match="copper strip"):
        wear.passed("hydraulic_hm", "copper_strip", 1, "")
