"""Laws of the level: mass is kept, moves can be undone, more oil stands higher, warmth and rods push the right way."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import level
from tests.bench.level_machines import OIL, Swelling, excavator

_temperatures = st.floats(-30, 90)
_drawn = st.floats(-3, 3)
_where = st.builds(level.Where, _temperatures, _temperatures, _drawn)
_materials = st.sampled_from(["steel", "aluminium", "plastic"])
_readings = st.floats(-0.5, 1.5)

_SHAPES = (
    None,
    level.Upright(420, 260),
    level.UprightRound(380),
    level.Lying(400, 700),
    level.Table(((0, 0), (120, 11), (180, 19), (240, 24), (420, 41))),
)


def _body(shape: level.Shape | None, material: level.Material) -> level.Oilbody:
    tank = level.Tank(material, between_marks_l=9.0 if shape is None else None, shape=shape)
    scale = level.scale_of(tank, level.Gauge("glass", lower_mm=150, upper_mm=230))
    assert scale is not None
    return level.Oilbody(scale, 14.0, 22.0, material, OIL.density)


@given(st.sampled_from(_SHAPES), _materials, _readings, _where, _where)
def test_mass_before_is_mass_after(
    shape: level.Shape | None, material: level.Material, reading: float, before: level.Where, after: level.Where
) -> None:
    body = _body(shape, material)
    above = body.scale.litres(reading)
    moved = body.move_l(above, before, after)
    assert body.mass_kg(moved, after) == pytest.approx(body.mass_kg(above, before), rel=1e-12)


@given(st.sampled_from(_SHAPES), _materials, _readings, _where, _where)
def test_a_move_can_be_undone(
    shape: level.Shape | None, material: level.Material, reading: float, before: level.Where, after: level.Where
) -> None:
    body = _body(shape, material)
    assert body.move(body.move(reading, before, after), after, before) == pytest.approx(reading, abs=1e-7)


@given(st.sampled_from(_SHAPES), _readings, st.floats(0.01, 0.5), _where, _where)
def test_more_oil_stands_higher_everywhere(
    shape: level.Shape | None, reading: float, more: float, before: level.Where, after: level.Where
) -> None:
    body = _body(shape, "steel")
    assert body.move(reading + more, before, after) > body.move(reading, before, after)


@given(_readings, _temperatures, _temperatures, st.floats(0, 3))
def test_oil_that_does_not_grow_moves_only_with_the_rods(reading: float, one: float, two: float, drawn: float) -> None:
    body = replace(_body(None, "steel"), density=Swelling(0.0).density)
    moved = body.move_l(body.scale.litres(reading), level.Where(one, one, 0.0), level.Where(one, two, drawn))
    assert body.scale.litres(reading) - moved == pytest.approx(drawn / level.growth("steel", one), abs=1e-9)


@given(st.floats(0, 1), st.floats(0, 1))
def test_what_a_rod_holds_beyond_its_start_is_what_it_has_drawn(one: float, two: float) -> None:
    for kind in ("double", "plunger", "single_dry", "through"):
        cylinder = level.Cylinder("one", kind, 90, 50, 700, count=2)
        held = level.cylinder_holds_l(cylinder, two) - level.cylinder_holds_l(cylinder, one)
        drawn = level.cylinder_draw_l(cylinder, two) - level.cylinder_draw_l(cylinder, one)
        assert held == pytest.approx(drawn, abs=1e-12)


@given(_readings, st.floats(-15, 60), st.floats(-15, 60), st.sampled_from(["check", "tucked", "reaching"]))
def test_a_machine_that_was_only_moved_and_warmed_has_gained_nothing(
    reading: float, before_c: float, after_c: float, posture: str
) -> None:
    machine = excavator(3.5)
    body = level.Oilbody(level.Scale(7.5), 26.0, 48.0 - 26.0 - 3.75, "steel", OIL.density)
    drawn = level.draw_l(machine, level.standing_of(machine, posture))
    then = body.move(reading, level.Where(before_c, before_c), level.Where(after_c, after_c, drawn))
    if not -1 <= then <= 2:
        return
    found, left = level.Stand(reading, before_c, "check"), level.Stand(then, after_c, posture)
    gained = level.gained_l(machine, found, left, oil=OIL)
    assert gained.value == pytest.approx(0.0, abs=1e-9)
    assert gained.low < 0 < gained.high
    assert level.gained_l(machine, left, found, oil=OIL).value == pytest.approx(0.0, abs=1e-9)


@given(st.floats(0, 0.5), st.floats(0.1, 3), st.floats(-15, 60))
def test_what_was_poured_in_is_what_was_gained(reading: float, poured_l: float, oil_c: float) -> None:
    machine = excavator(3.5)
    left = reading + poured_l / (7.5 * level.growth("steel", oil_c))
    gained = level.gained_l(machine, level.Stand(reading, oil_c, "check"), level.Stand(left, oil_c, "check"), oil=OIL)
    assert gained.value == pytest.approx(poured_l * OIL.density(oil_c) / OIL.density(15), abs=1e-9)


@given(st.floats(-20, 45), _materials)
def test_the_colder_the_oil_the_lower_the_cold_mark(oil_c: float, material: level.Material) -> None:
    machine = excavator(material=material)
    colder = level.cold_mark(machine, oil_c - 5, oil=OIL).mark.value
    assert colder < level.cold_mark(machine, oil_c, oil=OIL).mark.value


@given(st.floats(-0.3, 1.2), st.floats(-15, 55), st.sampled_from([1.8, 3.5, 6.0]), _materials)
def test_filled_to_the_cold_mark_it_is_right_and_just_under_the_upper_mark_hot(
    reading: float, oil_c: float, mass_t: float, material: level.Material
) -> None:
    machine = excavator(mass_t, material=material)
    mark = level.read(machine, reading, oil_c, "check", oil=OIL).cold_mark
    assert mark is not None
    filled = level.read(machine, mark.mark.value, oil_c, "check", oil=OIL)
    assert filled.state == "right"
    assert filled.at_marks is not None
    assert filled.at_marks.value == pytest.approx(0.97, abs=1e-9)


@given(st.floats(-0.3, -0.01), st.floats(-15, 40), st.sampled_from([1.8, 3.5, 6.0]))
def test_the_litres_told_do_what_they_are_told_for(reading: float, oil_c: float, mass_t: float) -> None:
    machine = excavator(mass_t)
    verdict = level.read(machine, reading, oil_c, "check", oil=OIL)
    assert verdict.add_l is not None
    assert verdict.cold_mark is not None
    between = machine.tank.between_marks_l
    assert between is not None
    after = reading + verdict.add_l.value / (between * level.growth("steel", oil_c))
    assert after == pytest.approx(verdict.cold_mark.mark.value, abs=1e-9)


@given(st.floats(-0.2, 1.1), st.floats(-15, 60), st.floats(-15, 35))
def test_every_range_holds_its_value_and_widens_with_doubt(reading: float, oil_c: float, air_c: float) -> None:
    machine = excavator(3.5)
    sure = level.read(machine, reading, oil_c, "tucked", oil=OIL, cannot_move=True, oil_spread_k=1.0)
    unsure = level.read(machine, reading, oil_c, "tucked", oil=OIL, cannot_move=True, oil_spread_k=8.0, air_c=air_c)
    assert sure.hot is not None
    assert unsure.hot is not None
    assert unsure.hot.value == pytest.approx(sure.hot.value, abs=1e-12)
    assert unsure.hot.width > sure.hot.width


@given(st.floats(0, 1), st.floats(-8, 8), st.floats(-8, 8))
def test_two_readings_with_half_a_turn_between_cancel_the_slope(
    reading: float, pitch_deg: float, roll_deg: float
) -> None:
    gauge = level.Gauge("glass", lower_mm=100, upper_mm=200, ahead_mm=180, left_mm=-90)
    first = reading + level.slope_mm(gauge, pitch_deg, roll_deg) / 100
    second = reading + level.slope_mm(gauge, -pitch_deg, -roll_deg) / 100
    found = level.mean_of_two(first, second)
    assert found.reading == pytest.approx(reading, abs=1e-9)
    assert found.slope_share == pytest.approx(first - reading, abs=1e-9)


@given(st.floats(2, 20), st.lists(st.tuples(st.floats(-0.2, 0.5), st.floats(0.15, 0.6)), min_size=1, max_size=8))
def test_pours_without_error_are_learned_exactly(between_l: float, pours: list[tuple[float, float]]) -> None:
    told = [level.LevelPour(start, between_l * moved, start + moved, oil_c=20.0) for start, moved in pours]
    learned = level.learn(told)
    assert learned.between_l.value == pytest.approx(between_l, rel=1e-9)
    assert learned.believed == (sum(moved for _, moved in pours) >= 1 / 3)
    assert learned.left_out == ()
