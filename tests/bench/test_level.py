"""Reading the glass: the verdict, its two sentences, and what is switched off where a value is missing."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import level, words
from coldmark.bench.errors import Contradiction, Missing, NotAChoice, OutOfRange
from coldmark.bench.level.saying import elsewhere_said
from coldmark.bench.oil import Oil
from coldmark.bench.working import Range
from tests.bench.level_machines import OIL, excavator

SUREST = {"coldest_c": -10.0, "air_c": 5.0, "engine": "stopped", "settled_min": 15.0}


def test_cold_and_low_it_says_how_much_and_where_it_will_stand_hot() -> None:
    verdict = level.read(excavator(), -0.1, 5, "check", oil=OIL)
    assert verdict.state == "low"
    assert level.says(verdict) == ["Add 3.3 L now.", "Hot, it will stand just under the upper mark."]
    assert verdict.hot is not None
    assert verdict.hot.value == pytest.approx(0.107, abs=1e-3)


def test_a_reader_of_us_units_gets_gallons_and_fahrenheit() -> None:
    cold_marks = excavator(hold_from_c=20, hold_to_c=20)
    assert level.says(level.read(cold_marks, -0.1, 41, "check", oil=OIL), "us") == [
        "Add 1.13 gal now.",
        "At 68 °F, for which the marks hold, it will then stand 87% of the way up.",
    ]


def test_too_much_is_drained_off_and_why() -> None:
    verdict = level.read(excavator(), 0.95, 5, "check", oil=OIL)
    assert verdict.state == "high"
    assert verdict.add_l is not None
    assert verdict.add_l.high < 0
    assert level.says(verdict) == ["Drain off 0.9 L now.", "Hot, it would otherwise stand above the upper mark."]


def test_between_it_leaves_well_alone() -> None:
    verdict = level.read(excavator(), 0.5, 5, "check", oil=OIL)
    assert (verdict.state, verdict.add_l) == ("right", None)
    assert verdict.room_l is not None
    assert level.says(verdict) == [
        "It is right as it is; up to 0.9 L more may go in.",
        "Hot, it will stand 73% of the way from the lower to the upper mark.",
    ]


@given(st.floats(-0.5, 1.5), st.sampled_from((5.0, 30.0, 55.0)), st.sampled_from((None, -20.0)))
def test_nothing_to_add_is_only_said_where_no_litres_are_offered(
    reading: float, oil_c: float, coldest_c: float | None
) -> None:
    verdict = level.read(excavator(), reading, oil_c, "check", oil=OIL, coldest_c=coldest_c)
    offered = [one for one in (verdict.add_l, verdict.room_l) if one is not None]
    assert len(offered) == (level.says(verdict)[0] != "Nothing to add.")
    assert verdict.cold_mark is not None
    if verdict.room_l is not None:
        # What has room is what carries it to the cold mark, and it is then left there.
        assert verdict.room_l.value > 0
        assert reading < verdict.cold_mark.mark.value
    if verdict.state == "right" and verdict.room_l is None:
        assert reading > verdict.cold_mark.mark.value - 2 * excavator().gauge.resolution


@given(st.floats(-0.6, 1.6))
def test_elsewhere_nothing_to_add_is_only_said_where_no_litres_are_offered(reading: float) -> None:
    verdict = level.read(excavator(), reading, 30, "tucked", oil=OIL, cannot_move=True)
    assert ("nothing to add" in level.says(verdict)[0]) == (verdict.add_l is None)


@pytest.mark.parametrize(
    ("add_l", "message", "values"),
    [
        (Range(0.4, -0.1, 0.9), "level.elsewhere.at_most", {"high_l": 0.9}),
        (Range(-0.4, -0.9, 0.1), "level.elsewhere.drain_at_most", {"high_l": 0.9}),
        (Range(0.4, 0.1, 0.9), "level.elsewhere.add", {"low_l": 0.1, "high_l": 0.9}),
        (Range(-0.4, -0.9, -0.1), "level.elsewhere.drain", {"low_l": 0.1, "high_l": 0.9}),
    ],
)
def test_where_a_range_holds_nothing_to_add_its_other_end_is_said(
    add_l: Range, message: str, values: dict[str, float]
) -> None:
    first, _why = elsewhere_said("low", add_l, None)
    assert (first.message, first.values) == (message, values)
    assert words.has(first.message)


def test_below_the_middle_hot_it_may_stay_and_more_is_better() -> None:
    verdict = level.read(excavator(), 0.1, 5, "check", oil=OIL)
    assert verdict.state == "may_add"
    assert level.says(verdict)[0] == "It may stay as it is; adding 2.5 L is better."


def test_low_on_the_coldest_start_it_is_filled_although_it_would_do_hot() -> None:
    at_home = level.read(excavator(), 0.1, 5, "check", oil=OIL)
    in_the_mountains = level.read(excavator(), 0.1, 5, "check", oil=OIL, coldest_c=-25)
    assert at_home.state == "may_add"
    assert in_the_mountains.state == "low"
    assert in_the_mountains.coldest is not None
    assert in_the_mountains.coldest.value < 0.03


def test_an_all_plastic_tank_changes_the_cold_mark_visibly() -> None:
    steel = level.cold_mark(excavator(), 5, oil=OIL).mark.value
    plastic = level.cold_mark(excavator(material="plastic"), 5, oil=OIL).mark.value
    assert plastic - steel > 2 * excavator().gauge.resolution


def test_marks_that_hold_at_20_degrees_are_judged_at_20_degrees() -> None:
    machine = excavator(hold_from_c=20, hold_to_c=20, above_upper_l=6.0)
    mark = level.cold_mark(machine, 5, oil=OIL)
    assert mark.mark.value == pytest.approx(0.97 - 0.00072 * 15 * 24 / 4, abs=0.01)
    filled = level.read(machine, mark.mark.value, 5, "check", oil=OIL)
    assert filled.state == "right"
    assert filled.hot is not None
    assert filled.hot.value > 1.05  # over the upper mark when hot, and rightly so: the breather is not reached


def test_hot_oil_over_marks_that_hold_at_20_degrees_is_not_drained_off() -> None:
    machine = excavator(hold_from_c=20, hold_to_c=20)
    assert level.read(machine, 1.1, 60, "check", oil=OIL).state == "right"
    assert level.read(machine, 1.3, 60, "check", oil=OIL).state == "high"
    over = level.read(machine, "above", 60, "check", oil=OIL)
    assert over.state == "let_cool"
    assert "let it cool to 20 °C" in level.says(over)[1]


def test_the_breather_sets_the_cold_mark_where_there_is_little_room_above() -> None:
    roomy = level.cold_mark(excavator(hold_from_c=20, hold_to_c=20, above_upper_l=6.0), 5, oil=OIL)
    tight = level.cold_mark(excavator(hold_from_c=20, hold_to_c=20, above_upper_l=0.6), 5, oil=OIL)
    assert (roomy.highest_by, tight.highest_by) == ("upper_mark", "breather")
    assert tight.mark.value < roomy.mark.value
    verdict = level.read(excavator(hold_from_c=20, hold_to_c=20, above_upper_l=0.6), 0.0, 5, "check", oil=OIL)
    assert level.says(verdict)[1] == "Hot with every rod in, it will stay just below the breather."
    drained = level.read(excavator(hold_from_c=20, hold_to_c=20, above_upper_l=0.6), 0.9, 5, "check", oil=OIL)
    assert level.says(drained)[1] == "Hot with every rod in, it would otherwise reach the breather."


def test_at_the_breathers_limit_the_oil_just_reaches_it_with_the_rods_in_and_hot() -> None:
    machine = excavator(hold_from_c=20, hold_to_c=20, above_upper_l=0.6)
    mark = level.cold_mark(machine, 5, oil=OIL).highest.value
    body = level.Oilbody(level.Scale(4.0), 13.0, 24.0 - 13.0 - 2.0, "steel", OIL.density)
    least, _ = level.extremes_l(machine)
    full = body.move_l(mark * 4.0, level.Where(5, 5), level.Where(58, 58, least))
    assert full == pytest.approx(4.0 * 0.97 + 0.6)


def test_the_suction_sets_the_lowest_reading_where_little_oil_is_left_below() -> None:
    deep = level.cold_mark(excavator(below_lower_l=8.0), 5, coldest_c=-15, oil=OIL)
    shallow = level.cold_mark(excavator(below_lower_l=0.3), 5, coldest_c=-15, oil=OIL)
    assert (deep.lowest_by, shallow.lowest_by) == ("lower_mark", "suction")
    assert deep.lowest is not None
    assert shallow.lowest is not None
    assert shallow.lowest.value > deep.lowest.value
    low = level.read(excavator(below_lower_l=0.3), 0.1, 5, "check", oil=OIL, coldest_c=-15)
    assert level.says(low)[1] == "At -15 °C with every rod out, the pump could otherwise draw air."


def test_marks_too_close_for_the_climate_are_told_and_the_upper_one_is_kept() -> None:
    narrow = excavator(between_marks_l=1.4)
    mark = level.cold_mark(narrow, 5, coldest_c=-25, oil=OIL)
    assert mark.crosses
    assert mark.lowest is not None
    assert mark.lowest.value > mark.mark.value
    verdict = level.read(narrow, -0.4, 5, "check", oil=OIL, coldest_c=-25)
    assert verdict.state == "may_add"
    assert "because the marks are close together" in level.says(verdict)[1]
    assert level.read(narrow, mark.mark.value, 5, "check", oil=OIL, coldest_c=-25).state == "right"


def test_in_another_posture_it_asks_to_move_first_and_gives_no_litres() -> None:
    verdict = level.read(excavator(6.0), 0.2, 5, "tucked", oil=OIL)
    assert (verdict.state, verdict.move_first, verdict.add_l) == ("move_first", "check", None)
    assert level.says(verdict) == [
        "Move to the check posture first: arm out, bucket curled, resting on the ground, blade down.",
        "In this posture the glass shows 2.5 L less than in the check posture.",
    ]


def test_a_machine_that_cannot_be_moved_gets_a_range_and_how_wrong_the_glass_is() -> None:
    verdict = level.read(excavator(6.0), -0.2, 5, "tucked", oil=OIL, cannot_move=True)
    assert verdict.add_l is not None
    assert 0 < verdict.add_l.low < verdict.add_l.value < verdict.add_l.high
    assert verdict.glass_off_l is not None
    assert verdict.glass_off_l.value == pytest.approx(-2.49, abs=0.02)
    assert level.says(verdict)[0].startswith("Add between ")
    in_check = level.read(excavator(6.0), verdict.check.value, 5, "check", oil=OIL)  # type: ignore[union-attr]
    assert in_check.add_l is not None
    assert in_check.add_l.value == pytest.approx(verdict.add_l.value)


def test_rods_that_are_part_way_out_are_known_less_well_than_rods_at_their_stops() -> None:
    rods = {"boom": 0.5, "arm": 0.5, "bucket": 0.5}
    half = level.read(excavator(6.0), 0.1, 5, rods, oil=OIL, cannot_move=True)
    stop = level.read(excavator(6.0), 0.1, 5, "tucked", oil=OIL, cannot_move=True)
    assert half.check is not None
    assert stop.check is not None
    assert half.check.width > stop.check.width


@pytest.mark.parametrize(
    ("told", "state", "first"),
    [
        ({"foam": True}, "foam", "Wait until the foam is gone, then read again."),
        ({"engine": "idling"}, "engine", "Stop the engine first, let the oil settle, then read again."),
        ({"settled_min": 3.0}, "settle", "Wait 7 min more, then read again."),
    ],
)
def test_a_reading_that_cannot_be_judged_yet_gets_no_litres(told: dict[str, object], state: str, first: str) -> None:
    verdict = level.read(excavator(settle_min=10), 0.1, 5, "check", oil=OIL, **told)  # type: ignore[arg-type]
    assert (verdict.state, verdict.add_l, verdict.cold_mark) == (state, None, None)
    assert level.says(verdict)[0] == first


def test_no_oil_in_the_check_posture_means_do_not_start() -> None:
    verdict = level.read(excavator(), "below", 5, "check", oil=OIL)
    assert verdict.state == "none_seen"
    assert verdict.at_least_l == pytest.approx(2.9, abs=0.05)
    assert level.says(verdict)[0] == "No oil to be seen in the check posture: do not start."


def test_no_oil_elsewhere_is_told_with_what_the_posture_accounts_for() -> None:
    verdict = level.read(excavator(6.0), "below", 5, "tucked", oil=OIL)
    first, second = level.says(verdict)
    assert first == "No oil to be seen in this posture: do not start as it stands."
    assert second.startswith("The posture alone accounts for 2.5 L:")


def test_above_the_glass_with_cold_oil_at_least_this_much_comes_off() -> None:
    verdict = level.read(excavator(), "above", 5, "check", oil=OIL)
    assert (verdict.state, level.says(verdict)[1]) == ("over_glass", "Drain off at least 1.1 L, and read again.")


def test_without_the_marks_temperature_no_cold_mark_is_given() -> None:
    machine = excavator(hold_from_c=None, hold_to_c=None)
    verdict = level.read(machine, -0.2, 5, "check", oil=OIL)
    assert verdict.cold_mark is None
    assert verdict.add_l is not None
    assert verdict.add_l.value == pytest.approx(0.7 * 4.0, rel=0.01)  # to the middle, by the marks as they are
    assert "The temperature for which the marks hold is not known: no cold mark is given." in level.says_off(verdict)
    with pytest.raises(Missing, match="hold from"):
        level.cold_mark(machine, 5, oil=OIL)


def test_without_litres_between_the_marks_only_the_direction_is_given() -> None:
    machine = excavator(between_marks_l=None)
    for reading, state, first in [
        (-0.2, "low", "Add oil in small pours and read again after each."),
        (0.5, "right", "The oil stands between the marks: nothing to add."),
        (1.2, "high", "Drain off a little and read again."),
    ]:
        verdict = level.read(machine, reading, 5, "check", oil=OIL)
        assert (verdict.state, verdict.add_l, level.says(verdict)[0]) == (state, None, first)


def test_without_the_systems_litres_there_is_no_ghost() -> None:
    verdict = level.read(excavator(system_l=None), 0.4, 5, "check", oil=OIL, coldest_c=-10)
    assert (verdict.hot, verdict.coldest, verdict.cold_mark) == (None, None, None)
    assert [off.missing for off in verdict.off if off.switches_off == "growth"] == ["system_l"]


def test_without_litres_at_the_lower_mark_the_range_is_wider_most_of_all_with_plastic() -> None:
    def width(**changed: object) -> float:
        hot = level.read(excavator(**changed), 0.5, 5, "check", oil=OIL).hot  # type: ignore[arg-type]
        assert hot is not None
        return hot.width

    assert width(at_lower_l=None) > width()
    assert width(at_lower_l=None, material="plastic") > 1.5 * width(material="plastic")


def test_an_oil_of_unknown_density_is_taken_as_usual_and_that_is_said() -> None:
    told = level.read(excavator(), -0.1, 5, "check", oil=OIL)
    for unknown in (None, Oil("can without a label", 46, 6.8)):
        verdict = level.read(excavator(), -0.1, 5, "check", oil=unknown)
        assert verdict.add_l == told.add_l  # the tests' oil happens to be the usual one
        assert [off.missing for off in verdict.off if off.switches_off == "density"] == ["density15_kg_m3"]
        assert any("875 kg/m³" in one for one in level.says_off(verdict))
    assert not any(off.switches_off == "density" for off in told.off)


def test_every_switched_off_thing_has_its_sentence() -> None:
    machine = excavator(hold_from_c=None, hold_to_c=None, between_marks_l=None, system_l=None, hot_c=None, settle_min=5)
    verdict = level.read(machine, 0.5, 5, "check", oil=OIL, pitch_deg=3)
    names = {off.switches_off for off in verdict.off}
    assert names >= {"cold_mark", "litres", "growth", "hot", "coldest", "breather", "suction", "settling", "slope"}
    assert len(level.says_off(verdict)) == len(verdict.off)


def test_a_slope_goes_into_the_range_and_not_into_the_value() -> None:
    gauge = level.Gauge("glass", 45, 60, lower_mm=100, upper_mm=160, ahead_mm=200, left_mm=50)
    flat = level.read(excavator(gauge=gauge), 0.4, 5, "check", oil=OIL).check
    sloped = level.read(excavator(gauge=gauge), 0.4, 5, "check", oil=OIL, pitch_deg=3, roll_deg=2).check
    assert flat is not None
    assert sloped is not None
    assert sloped.value == pytest.approx(flat.value)
    assert sloped.width == pytest.approx(2 * (0.03 + (200 * 0.052408 + 50 * 0.034921) / 60), rel=1e-3)


def test_the_working_names_formula_values_and_where_they_come_from() -> None:
    verdict = level.read(excavator(above_upper_l=3.0, below_lower_l=5.0), -0.1, 5, "check", oil=OIL, **SUREST)  # type: ignore[arg-type]
    assert verdict.working.steps
    for step in verdict.working.steps:
        assert words.has(step.what)
        assert step.formula
        assert step.source
    mass = next(step for step in verdict.working.steps if step.what == "level.step.mass")
    given = {one.symbol: one.value for one in mass.givens}
    assert float(mass.result) == pytest.approx(
        float(given["ρ"]) * (float(given["V_tank"]) + float(given["V_out"])) / 1000
    )


def test_bad_values_are_refused_by_name() -> None:
    machine = excavator()
    with pytest.raises(OutOfRange, match="oil = 300 °C is outside -40 to 120 °C"):
        level.read(machine, 0.5, 300, "check", oil=OIL)
    with pytest.raises(OutOfRange, match="reading"):
        level.read(machine, 7.0, 5, "check", oil=OIL)
    with pytest.raises(NotAChoice, match="check, tucked, reaching"):
        level.read(machine, 0.5, 5, "sideways", oil=OIL)
    with pytest.raises(NotAChoice, match="stopped, idling"):
        level.read(machine, 0.5, 5, "check", oil=OIL, engine="roaring")
    with pytest.raises(Contradiction, match="hot"):
        level.read(excavator(hot_c=10), 0.5, 5, "check", oil=OIL, coldest_c=30)
    with pytest.raises(Contradiction, match="tank and cylinders alone hold"):
        level.read(excavator(system_l=16), 0.5, 5, "check", oil=OIL)


def test_a_verdict_asks_the_oil_only_a_few_times() -> None:
    class Counting:
        asked = 0

        def density(self, t_c: float) -> float:
            self.asked += 1
            return OIL.density(t_c)

    counting = Counting()
    level.read(excavator(above_upper_l=3.0, below_lower_l=5.0), 0.3, 5, "check", oil=counting, **SUREST)  # type: ignore[arg-type]
    assert counting.asked <= 13


def test_the_worked_example_in_the_docs_is_what_comes_out() -> None:
    page = (Path(__file__).parents[2] / "docs" / "how" / "level.md").read_text(encoding="utf-8")
    example = page[page.index("## A worked example") : page.index("## Limits")]
    verdict = level.read(excavator(), 0.13, 5, "check", oil=OIL)
    plastic = level.read(excavator(material="plastic"), 0.13, 5, "check", oil=OIL)
    assert verdict.hot is not None
    assert verdict.cold_mark is not None
    assert plastic.cold_mark is not None
    assert plastic.add_l is not None
    assert f"| hot, reading | (14.40 / 1.00137 − 13) / 4 | {verdict.hot.value:.2f} |" in example
    assert f"| cold mark | the same backwards from 0.97 hot | {verdict.cold_mark.mark.value:.2f} |" in example
    assert f"*{' '.join(level.says(verdict))}*" in example
    assert f"the cold mark is at {plastic.cold_mark.mark.value:.2f} and {plastic.add_l.value:.1f} L" in example.replace(
        "\n", " "
    )
    mass = next(step for step in verdict.working.steps if step.what == "level.step.mass")
    assert f"| {float(mass.result):.2f} kg |" in example
