"""The parts of the level: shapes, cylinders, postures, what people say, learning, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import level
from coldmark.bench.errors import CannotTell, Contradiction, Missing, NotAChoice, NotANumber, OutOfRange, Refused
from tests.bench.level_machines import OIL, Swelling, excavator


def test_a_table_goes_straight_between_its_rows() -> None:
    table = level.Table(((0, 0), (100, 10), (300, 50)))
    assert level.volume_l(table, 200) == pytest.approx(30)
    assert level.height_mm(table, 30) == pytest.approx(200)
    assert level.volume_l(table, 300) == pytest.approx(50)


@pytest.mark.parametrize(
    ("make", "name", "right"),
    [
        (lambda: level.Table(((0, 0), (100, 10), (90, 20))), "table", "rise"),
        (lambda: level.Table(((0, 0), (100, 10), (200, 10))), "table", "rise"),
        (lambda: level.Table(((0, 0),)), "table", "two rows"),
        (lambda: level.Upright(0, 300), "length_mm", "0 to 5000 mm"),
        (lambda: level.Lying(300, -1), "length_mm", "0 to 5000 mm"),
        (lambda: level.Tank("wood"), "material", "steel, aluminium, plastic"),  # type: ignore[arg-type]
        (lambda: level.Tank("steel", between_marks_l=0), "between_marks_l", "0 to 1000 L"),
        (lambda: level.Gauge("glass", hold_from_c=60, hold_to_c=45), "hold_to_c", "60 °C"),
        (lambda: level.Gauge("glass", lower_mm=200, upper_mm=100), "upper_mm", "above the lower mark"),
        (lambda: level.Gauge("glass", resolution=0), "resolution_share", "0 to 25%"),
        (lambda: level.Cylinder("arm", "double", 50, 60, 300), "rod_mm", "thinner than the bore"),
        (lambda: level.Cylinder("arm", "double", 50, 30, 0), "stroke_mm", "0 to 10000 mm"),
        (lambda: level.Accumulator("pilot", 1.0, 30, 20), "working_bar", "30 bar"),
        (lambda: level.Posture("p", "odd", {"arm": 1.2}), "extension", "0 to 1"),
        (lambda: replace(excavator(), check_posture="sideways"), "check_posture", "tucked"),
        (lambda: replace(excavator(), cylinders=()), "cylinder", "boom"),
    ],
)
def test_what_cannot_be_is_refused_by_name_with_what_would_be_right(make, name, right) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(Refused) as caught:
        make()
    assert caught.value.name == name
    assert right in str(caught.value)


@pytest.mark.parametrize(("height", "low"), [(-1.0, "0"), (301.0, "0")])
def test_a_height_outside_a_lying_tank_is_refused(height: float, low: str) -> None:
    with pytest.raises(OutOfRange, match="outside 0 to 300 mm"):
        level.volume_l(level.Lying(300, 500), height)


def test_shape_and_litres_between_the_marks_must_agree_roughly_and_then_the_litres_count() -> None:
    gauge = level.Gauge("glass", lower_mm=150, upper_mm=200)
    box = level.Upright(500, 400)  # 10 L between these marks
    scale = level.scale_of(level.Tank("steel", between_marks_l=9.0, shape=box), gauge)
    assert scale is not None
    assert scale.litres(0.5) == pytest.approx(4.5)
    with pytest.raises(Contradiction, match=r"about 10\.0 L"):
        level.scale_of(level.Tank("steel", between_marks_l=4.0, shape=box), gauge)


def test_each_kind_of_cylinder_draws_by_its_own_area() -> None:
    def draw(kind: level.CylinderKind) -> float:
        return level.cylinder_draw_l(level.Cylinder("one", kind, 100, 56, 1000), 1.0)

    assert draw("double") == pytest.approx(2.463, abs=1e-3)
    assert draw("plunger") == pytest.approx(2.463, abs=1e-3)
    assert draw("single_dry") == pytest.approx(7.854, abs=1e-3)
    assert draw("through") == pytest.approx(0.0)


def test_rods_near_a_posture_of_the_sheet_are_that_posture() -> None:
    machine = excavator()
    assert level.standing_of(machine, {"boom": 0.1, "arm": 0.0, "bucket": 0.9}).key == "check"
    assert level.standing_of(machine, {"boom": 0.0, "arm": 1.0, "bucket": 1.0}).key == "tucked"
    assert level.standing_of(machine, {"boom": 0.5, "arm": 0.5, "bucket": 0.5}).key is None


def test_rods_told_for_some_cylinders_only_are_not_guessed() -> None:
    with pytest.raises(Missing, match="rod of bucket"):
        level.standing_of(excavator(), {"boom": 0.0, "arm": 1.0})
    with pytest.raises(NotAChoice, match="boom, arm, bucket"):
        level.standing_of(excavator(), {"boom": 0.0, "arm": 1.0, "blade": 0.0})


def test_an_accumulator_takes_its_oil_from_the_tank_where_the_posture_has_it_charged() -> None:
    pilot = level.Accumulator("pilot", 1.0, 20, 40)
    plain, charged = excavator(), excavator(accumulators=(pilot,))
    standing = level.standing_of(plain, "reaching")
    assert level.draw_l(charged, standing) - level.draw_l(plain, standing) == pytest.approx(0.5)
    least, most = level.extremes_l(charged)
    assert (least, most) == pytest.approx((level.extremes_l(plain)[0], level.extremes_l(plain)[1] + 0.5))


def test_a_felt_temperature_is_eight_kelvin_wide() -> None:
    assert level.felt("as_the_air", 4.0) == level.Felt(4.0, 8.0)
    assert level.felt("hand_warm").oil_c < level.felt("too_hot_to_hold").oil_c
    with pytest.raises(Missing, match="air"):
        level.felt("as_the_air")
    with pytest.raises(NotAChoice, match="hand_warm"):
        level.felt("lukewarm")


def test_rods_are_told_in_quarters() -> None:
    assert [level.quarter(share)[0] for share in (0.0, 0.1, 0.2, 0.4, 0.7, 0.95)] == [0.0, 0.0, 0.25, 0.5, 0.75, 1.0]


def test_a_slope_needs_the_place_of_the_gauge() -> None:
    with pytest.raises(Missing, match="ahead"):
        level.slope_mm(level.Gauge("glass"), 3.0, 0.0)
    with pytest.raises(OutOfRange, match="-15 to 15"):
        level.slope_mm(level.Gauge("glass", ahead_mm=1, left_mm=1), 20.0, 0.0)
    with pytest.raises(NotANumber):
        level.mean_of_two("below", 0.4)


def test_a_large_pour_counts_for_more_than_a_small_one() -> None:
    small = level.LevelPour(0.40, 0.5, 0.45, 20.0)  # by itself 10 L between the marks
    large = level.LevelPour(0.10, 4.8, 0.70, 20.0)  # by itself 8 L
    learned = level.learn([small, large])
    assert 8.0 < learned.between_l.value < 8.3
    assert learned.between_l.low < 8.0 < learned.between_l.high


def test_a_pour_that_does_not_fit_the_others_is_left_out() -> None:
    good = [level.LevelPour(0.1, 2.0, 0.6, 20.0), level.LevelPour(0.2, 1.6, 0.6, 20.0)]
    wrong = level.LevelPour(0.2, 5.0, 0.6, 20.0)
    learned = level.learn([good[0], wrong, good[1]])
    assert learned.left_out == (1,)
    assert learned.between_l.value == pytest.approx(4.0)


@pytest.mark.parametrize("after", [0.3, 0.3 + 1e-300, 0.3005, 0.2])
def test_a_pour_that_did_not_move_the_glass_its_way_teaches_nothing(after: float) -> None:
    with pytest.raises(Contradiction, match="must move the reading"):
        level.learn([level.LevelPour(before=0.3, litres_l=2.0, after=after, oil_c=20.0)])


def test_oil_poured_cold_into_a_warm_tank_counts_for_what_it_becomes() -> None:
    cold = level.LevelPour(0.2, 2.0, 0.7, oil_c=60.0, jug_c=0.0)
    learned = level.learn([cold], oil=Swelling())
    assert learned.between_l.value == pytest.approx(4.0 * (1 + 0.00075 * 40) / (1 - 0.00075 * 20))
    with pytest.raises(Missing, match="oil"):
        level.learn([cold])


def test_pours_are_believed_after_a_third_of_the_span() -> None:
    nearly = [level.LevelPour(0.1, 0.64, 0.26, 20.0), level.LevelPour(0.3, 0.64, 0.46, 20.0)]
    assert not level.learn(nearly).believed
    assert level.with_learned(excavator(between_marks_l=None), level.learn(nearly)).tank.between_marks_l is None
    assert level.learn([*nearly, level.LevelPour(0.5, 0.2, 0.55, 20.0)]).believed


def test_learned_litres_are_used_once_better_known_than_the_sheet() -> None:
    learned = level.learn([level.LevelPour(0.0, 3.4, 0.9, 20.0), level.LevelPour(0.1, 3.0, 0.9, 20.0)])
    manual = excavator()
    assert level.with_learned(manual, level.learn([level.LevelPour(0.1, 1.9, 0.6, 20.0)])) is manual
    assumed = replace(manual, origins={"between_marks_l": "assumed"})
    changed = level.with_learned(assumed, learned)
    assert changed.tank.between_marks_l == pytest.approx(learned.between_l.value)
    assert changed.origins["between_marks_l"] == "learned"
    before = level.read(assumed, 0.05, 5, "check", oil=OIL).add_l
    after = level.read(changed, 0.05, 5, "check", oil=OIL).add_l
    assert before is not None
    assert after is not None
    assert after.width > before.width  # the learned litres bring their own range with them


@pytest.mark.parametrize("pour", [level.LevelPour(0.2, 2.0, 0.1, 20.0), level.LevelPour(0.2, 2.0, 0.2, 20.0)])
def test_oil_that_went_in_must_have_raised_the_level(pour: level.LevelPour) -> None:
    with pytest.raises(Contradiction, match="same way"):
        level.learn([pour])


def test_a_glass_that_does_not_move_with_the_rods_is_blocked() -> None:
    machine = excavator(6.0)
    still = level.glass_moves(machine, (0.6, "check"), (0.6, "tucked"), 20, oil=OIL)
    assert still.blocked
    moved = level.glass_moves(machine, (0.6, "check"), (0.6 + still.expected, "tucked"), 20, oil=OIL)
    assert not moved.blocked
    assert still.expected < 0
    wrong_way = level.glass_moves(machine, (0.6, "check"), (0.6 - still.expected, "tucked"), 20, oil=OIL)
    assert wrong_way.blocked


def test_postures_that_hardly_differ_prove_nothing_of_the_glass() -> None:
    with pytest.raises(CannotTell, match="too little to tell"):
        level.glass_moves(excavator(), (0.6, "check"), (0.6, "check"), 20, oil=OIL)


@given(st.floats(0.0, 0.4), st.floats(1.0, 4.0), st.floats(0, 50), st.floats(0, 50), st.floats(0, 50))
def test_a_pour_during_which_the_oil_warmed_teaches_what_it_would_have_taught_at_one_temperature(
    before: float, poured_l: float, first_c: float, second_c: float, jug_c: float
) -> None:
    """The second reading is worked out by hand: all the oil's mass, less what is outside, in the grown tank."""
    between, at_lower, system_l = 7.5, 26.0, 48.0
    rho = {t_c: OIL.density(t_c) for t_c in (first_c, second_c, jug_c)}
    grown = {t_c: 1 + level.GROWTH_PER_K["steel"] * (t_c - 20) for t_c in (first_c, second_c)}
    outside = system_l - at_lower - between / 2
    mass = rho[first_c] * ((at_lower + between * before) * grown[first_c] + outside) + rho[jug_c] * poured_l
    after = ((mass / rho[second_c] - outside) / grown[second_c] - at_lower) / between
    pour = level.LevelPour(before, poured_l, after, first_c, jug_c, second_c)
    if not -1 <= after <= 2 or abs(after - before) < 0.05:
        return
    found = level.learn([pour], oil=OIL, system=excavator(3.5))
    assert found.between_l.value == pytest.approx(between, rel=1e-6)
    assert found.between_l.low < between < found.between_l.high


def test_a_pour_during_which_the_oil_warmed_needs_the_systems_litres() -> None:
    pour = level.LevelPour(0.2, 2.0, 0.6, 10, after_c=40)
    with pytest.raises(Missing, match="system"):
        level.learn([pour], oil=OIL, system=excavator(3.5, system_l=None))
    with pytest.raises(Missing, match="oil"):
        level.learn([pour], system=excavator(3.5))
