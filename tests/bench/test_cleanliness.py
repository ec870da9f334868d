from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import cleanliness, data_file
from coldmark.bench.cleanliness import COMPONENTS, CONDITIONS, OVER, SIZES_UM, Code, code, compare, parse, target
from coldmark.bench.errors import CannotTell, Contradiction, Missing, NotAChoice, OutOfRange

COUNTS = st.floats(0, 1e9)
FALLING = st.lists(COUNTS, min_size=3, max_size=3).map(lambda found: tuple(sorted(found, reverse=True)))


def _numbers(found: Code) -> list[int]:
    return [number for number in found.numbers if number is not None]


def test_the_scale_has_no_gap_and_no_overlap() -> None:
    rows = [cleanliness.bounds(number) for number in range(OVER + 1)]
    assert rows[0][0] == 0
    assert math.isinf(rows[-1][1])
    assert all(lower[1] == upper[0] for lower, upper in pairwise(rows))


def test_the_steps_of_the_scale_are_no_exact_doublings() -> None:
    ratios = {round(high / low, 3) for low, high in map(cleanliness.bounds, range(1, OVER))}
    assert ratios == {2.0, 2.031, 1.923}


@given(COUNTS)
def test_a_count_lies_within_the_bounds_of_its_number(count: float) -> None:
    low, high = cleanliness.bounds(cleanliness.scale_number(count))
    assert low < count <= high or count == low == 0


@given(FALLING)
def test_codes_never_rise_to_the_right_and_are_read_back(counts: tuple[float, ...]) -> None:
    found = code(counts)
    assert _numbers(found) == sorted(_numbers(found), reverse=True)
    assert parse(str(found)).numbers == found.numbers


@given(FALLING, st.floats(1, 50))
def test_more_particles_never_make_a_cleaner_code(counts: tuple[float, ...], times: float) -> None:
    dirtier = code([min(count * times, 1e9) for count in counts])
    assert all(more >= less for more, less in zip(_numbers(dirtier), _numbers(code(counts)), strict=True))


@pytest.mark.parametrize(
    ("counts", "name"),
    [
        ((100, 101, 5), "count6_per_ml"),
        ((100, 50, 51), "count14_per_ml"),
        ((100, None, 101), "count14_per_ml"),
        ((100, "too_many", 5), "count6_per_ml"),
        ((-1, 0, 0), "count4_per_ml"),
        ((math.nan, 0, 0), "count4_per_ml"),
        ((2e9, 0, 0), "count4_per_ml"),
    ],
)
def test_counts_that_cannot_be_are_refused_by_their_size(counts: tuple[cleanliness.Count, ...], name: str) -> None:
    with pytest.raises((Contradiction, OutOfRange)) as caught:
        code(counts)
    assert caught.value.name == name


def test_counts_of_equal_number_at_two_sizes_are_possible() -> None:
    assert str(code((50, 50, 50))) == "13/13/13"


def test_nothing_counted_is_no_code() -> None:
    with pytest.raises(Missing):
        code((None, None, None))
    with pytest.raises(Missing):
        parse("-/-/-")
    with pytest.raises(Contradiction, match="4, 6 and 14"):
        code((1, 2))


@pytest.mark.parametrize(
    ("count", "counted_ml", "text"),
    [(2.0, 10, "8"), (1.99, 10, "8"), (1.9, 10, "≥8"), (0.8, 25, "7"), (0.76, 25, "≥7"), (0.0, 100, "≥0")],
)
def test_a_number_is_marked_when_fewer_than_twenty_particles_were_counted(
    count: float, counted_ml: float, text: str
) -> None:
    assert str(code((5000, 900, count), counted_ml=counted_ml)).split("/")[2] == text


def test_without_the_volume_no_number_is_marked() -> None:
    assert code((5000, 900, 0.1)).marks == ("", "", "")
    with pytest.raises(OutOfRange):
        code((5000, 900, 0.1), counted_ml=0)


@pytest.mark.parametrize(
    "text", ["18/16/13", "–/18/13", "*/19/14", "*/*/14", "14/12/≥7", ">28/20/14", "≥8/≥8/≥7", "18/–/13"]
)
def test_a_code_is_written_as_it_was_read(text: str) -> None:
    assert str(parse(text)) == text


@pytest.mark.parametrize("text", ["iso 18/16/13", "ISO 4406: 18/16/13", " 18 / 16 / 13 ", "ISO 4406 18/16/13"])
def test_what_laboratories_put_around_a_code_is_passed_over(text: str) -> None:
    assert str(parse(text)) == "18/16/13"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("18/16", "–/18/13"),
        ("18", "three numbers"),
        ("18/16/13/11", "three numbers"),
        ("18-16-13", "three numbers"),
        ("a/16/13", "0 to 28"),
        ("18/16/", "three numbers"),
        ("18/16/-3", "0 to 28"),
        ("18/16/1.5", "0 to 28"),
        ("18/²/1", "0 to 28"),
        ("30/16/13", ">28"),
        ("18/19/13", "never rise"),
        ("18/–/19", "never rise"),
        ("18/*/13", "too many to count"),
    ],
)
def test_what_is_no_code_is_refused_with_what_would_be_right(text: str, why: str) -> None:
    with pytest.raises(Contradiction, match=why) as caught:
        parse(text)
    assert caught.value.name == "code"
    assert text in str(caught.value)


@given(FALLING)
def test_oil_is_clean_enough_for_its_own_code(counts: tuple[float, ...]) -> None:
    found = code(counts)
    same = compare(found, parse(str(found))) if OVER not in found.numbers else compare(found, found)
    assert same.verdict == "clean_enough"
    assert same.steps == (0, 0, 0)


@given(FALLING, FALLING)
def test_oil_is_too_dirty_exactly_where_it_has_more_particles_than_allowed(
    counts: tuple[float, ...], allowed: tuple[float, ...]
) -> None:
    found, wanted = code(counts), code(allowed)
    compared = compare(found, wanted)
    for size, count, number, times in zip(SIZES_UM, counts, wanted.numbers, compared.times, strict=True):
        assert number is not None
        assert times is not None
        assert (size in compared.too_dirty) == (count > cleanliness.bounds(number)[1])
        assert (size in compared.too_dirty) == (times.value > 1)


def test_with_a_code_alone_the_times_have_the_range_of_its_row() -> None:
    by_code = compare(parse("20/18/15"), parse("18/16/13")).times[1]
    by_count = compare(code((9_000, 2_000, 300)), parse("18/16/13")).times[1]
    assert by_code is not None
    assert by_count is not None
    assert by_count.value == pytest.approx(2000 / 640)
    assert by_code.holds(by_count.value)


def test_a_size_that_was_not_counted_is_not_called_clean() -> None:
    assert compare(parse("–/16/13"), parse("18/16/13")).verdict == "not_counted"
    assert compare(parse("–/16/13"), parse("–/16/13")).verdict == "clean_enough"
    assert compare(parse("–/17/13"), parse("18/16/13")).verdict == "too_dirty"
    assert compare(parse("*/16/13"), parse("18/16/13")).too_dirty == (4,)
    with pytest.raises(Contradiction):
        compare(parse("18/16/13"), Code((None, None, None), ("not_counted",) * 3))


def test_a_number_from_few_particles_passes_with_a_word_of_doubt() -> None:
    found = compare(parse("18/16/≥13"), parse("18/16/13"))
    assert found.verdict == "clean_enough"
    assert found.unsure == (14,)
    assert any("14 µm few particles" in line for line in cleanliness.says(found))


@given(st.sampled_from(COMPONENTS), st.floats(0, 210), st.floats(0, 210))
def test_more_pressure_never_allows_more_dirt(component: str, one: float, other: float) -> None:
    low, high = sorted((one, other))
    lenient, strict = (_numbers(target([component], pressure).wanted) for pressure in (low, high))
    assert all(tight <= loose for tight, loose in zip(strict, lenient, strict=True))


@given(st.lists(st.sampled_from(COMPONENTS), min_size=1, max_size=6), st.sampled_from(COMPONENTS), st.floats(0, 210))
def test_one_more_component_never_allows_more_dirt(components: list[str], more: str, pressure: float) -> None:
    without = _numbers(target(components, pressure).wanted)
    together = _numbers(target([*components, more], pressure).wanted)
    assert all(tight <= loose for tight, loose in zip(together, without, strict=True))


def test_each_condition_lowers_every_number_by_one() -> None:
    plain = target(["directional_valve"], 200)
    met = target(["directional_valve"], 200, conditions=CONDITIONS)
    assert str(plain.wanted) == "19/17/14"
    assert str(met.wanted) == "14/12/9"
    assert str(target(["directional_valve"], 200, conditions=["shock", "shock"]).wanted) == "18/16/13"


def test_both_tables_are_shown_where_they_differ() -> None:
    found = target(["gear_vane_pump"], 140)
    assert (str(found.first), str(found.second), str(found.wanted)) == ("19/17/14", "19/17/15", "19/17/14")
    assert found.differ
    assert any("19/17/15" in line for line in cleanliness.says(found))
    assert not target(["fixed_piston_pump"], 140).differ
    assert target(["servo_valve"], 140).second is None


def test_the_most_sensitive_component_decides_and_is_named() -> None:
    found = target(["gear_vane_pump", "servo_valve", "cylinder_gear_motor"], 180)
    assert str(found.wanted) == "16/14/11"
    assert found.decides == ("servo_valve",)
    assert "servo valve" in cleanliness.says(found)[0]


def test_an_oddly_printed_row_is_called_so() -> None:
    assert target(["hydrostatic_drive"], 100).odd == ("hydrostatic_drive",)
    assert target(["hydrostatic_drive"], 150).odd == ()


def test_where_both_tables_print_a_dash_no_target_is_made_up() -> None:
    with pytest.raises(CannotTell, match="variable vane pump at 250 bar") as caught:
        target(["variable_vane_pump"], 250)
    assert "psi" in caught.value.say("us")
    with pytest.raises(Missing):
        target([], 200)
    with pytest.raises(NotAChoice):
        target(["pump"], 200)
    with pytest.raises(NotAChoice):
        target(["servo_valve"], 200, conditions=["rain"])
    with pytest.raises(OutOfRange):
        target(["servo_valve"], 900)


def test_a_table_that_a_hand_slipped_in_is_not_used() -> None:
    with pytest.raises(Contradiction, match=r"iso4406\.csv"):
        data_file.table("coldmark.bench.cleanliness", "iso4406.csv", "0" * 64)
