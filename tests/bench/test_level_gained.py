"""What two readings say of the oil between them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import level
from coldmark.bench.errors import Missing, NotANumber
from coldmark.bench.level import Cylinder, Gauge, Posture, Stand, System, Tank, gained_l
from coldmark.bench.level.mass import UsualOil

SYSTEM = System(
    tank=Tank("steel", between_marks_l=6.0, at_lower_l=30.0),
    gauge=Gauge("glass", hold_from_c=45, hold_to_c=60),
    check_posture="parked",
    postures={"parked": Posture("parked", "arm in", {"boom": 0.0}), "up": Posture("up", "arm up", {"boom": 1.0})},
    system_l=60.0,
    cylinders=(Cylinder("boom", "double", 95, 55, 700),),
    hot_c=57,
)


@given(st.floats(0.1, 0.9), st.floats(0.0, 50.0), st.floats(0.0, 50.0))
def test_warming_up_and_moving_a_rod_gain_nothing(reading: float, first_c: float, second_c: float) -> None:
    here = Stand(reading, first_c, "parked")
    there = level.read(SYSTEM, reading, first_c, "parked", oil=UsualOil(), hot_c=second_c).hot
    assert there is not None
    gained = gained_l(SYSTEM, here, Stand(there.value, second_c, "parked")) if -1 <= there.value <= 2 else None
    if gained is not None:
        assert gained.value == pytest.approx(0.0, abs=1e-6)


def test_what_a_rod_draws_from_the_tank_is_not_lost() -> None:
    drawn_l = 3.141592653589793 / 4 * 55**2 * 700 / 1e6  # rod area times stroke, by hand
    lowered = 0.6 - drawn_l / 6.0
    gained = gained_l(SYSTEM, Stand(0.6, 20, "parked"), Stand(lowered, 20, "up"))
    assert gained.value == pytest.approx(0.0, abs=0.02)


def test_poured_litres_come_back_at_fifteen_degrees() -> None:
    assert gained_l(SYSTEM, Stand(0.2, 15, "parked"), Stand(0.7, 15, "parked")).value == pytest.approx(3.0, abs=0.01)


def test_a_hand_leaves_more_open_than_a_thermometer() -> None:
    by_hand = gained_l(SYSTEM, Stand(0.5, 35, "parked", 8), Stand(0.5, 35, "parked", 8))
    by_thermometer = gained_l(SYSTEM, Stand(0.5, 35, "parked"), Stand(0.5, 35, "parked"))
    assert by_hand.width > 1.5 * by_thermometer.width > 0


def test_without_the_systems_litres_it_says_what_is_missing() -> None:
    little = replace(SYSTEM, system_l=None)
    with pytest.raises(Missing, match="system"):
        gained_l(little, Stand(0.2, 15, "parked"), Stand(0.7, 15, "parked"))


def test_a_rod_that_is_part_way_out_leaves_more_open_than_one_at_its_stop() -> None:
    stop = gained_l(SYSTEM, Stand(0.5, 35, "parked"), Stand(0.5, 35, {"boom": 1.0}))
    part_way = gained_l(SYSTEM, Stand(0.5, 35, "parked"), Stand(0.5, 35, {"boom": 0.5}))
    assert part_way.width > stop.width


def test_litres_between_the_marks_that_are_not_well_known_widen_what_was_gained() -> None:
    tank = replace(SYSTEM.tank, between_low_l=4.5, between_high_l=7.5)
    first, second = Stand(0.2, 35, "parked"), Stand(0.7, 35, "parked")
    rough = gained_l(replace(SYSTEM, tank=tank), first, second)
    assert rough.width > 1.5 * gained_l(SYSTEM, first, second).width


def test_a_glass_that_shows_nothing_tells_no_litres() -> None:
    with pytest.raises(NotANumber, match="below"):
        gained_l(SYSTEM, Stand("below", 15, "parked"), Stand(0.7, 15, "parked"))
