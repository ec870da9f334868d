"""What counts tell of a filter, and what they cannot."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import catalogue, cleanliness
from coldmark.bench import filter as filters
from coldmark.bench.errors import Contradiction, Missing, OutOfRange
from coldmark.bench.working import Range, lines

NUMBER = st.integers(8, 24)


def _code(*numbers: int) -> cleanliness.Code:
    return cleanliness.parse("/".join(map(str, numbers)))


@given(st.floats(1, 1e5), st.floats(0, 0.49))
def test_less_than_half_of_the_flow_past_the_element_is_never_seen(expected: float, past: float) -> None:
    """Not even where the ingress were known exactly: a count is good to one step of the code, a doubling."""
    assert filters.judge(expected, expected / (1 - past)).verdict == "as_expected"


@given(st.floats(1, 1e5), st.floats(0.51, 0.99))
def test_more_than_half_is_seen_where_the_ingress_is_known(expected: float, past: float) -> None:
    found = filters.judge(expected, expected / (1 - past))
    assert found.verdict == "dirtier"
    assert found.explains_share.value == pytest.approx(past)


@given(st.floats(0.1, 1e3), st.floats(20, 300), st.floats(1.5, 1000), st.floats(0.05, 0.9))
def test_more_dirt_and_an_open_bypass_do_the_same_at_every_size(
    ingress: float, flow: float, beta: float, past: float
) -> None:
    for at_size in (beta, beta * 3, beta * 20):
        bypassed = filters.settle(ingress, flow, at_size, bypass_share=past).tank_per_ml.value
        dirtied = filters.settle(ingress / (1 - past), flow, at_size).tank_per_ml.value
        assert bypassed == pytest.approx(dirtied)


def test_a_known_ingress_hides_half_and_a_guessed_one_more() -> None:
    assert filters.judge(100, 100).hidden_share == pytest.approx(0.5)
    guessed = filters.settle(10, 100, 200, within=2).tank_per_ml
    hidden = filters.judge(guessed, guessed.value).hidden_share
    assert hidden is not None
    assert hidden > 0.6


def test_a_dirtier_tank_names_both_reasons_and_sends_one_to_look() -> None:
    said = filters.says(filters.judge(100, 500))
    assert said[0] == "The oil is about 5.0 times as dirty as expected."
    assert "Either 5.0 times as much dirt gets in, or 80% of the flow goes past the element" in said[1]
    assert "no count can tell the two apart" in said[1]
    assert said[2] == "Stop, let it cool and let off the pressure, then open the filter and look."


def test_a_good_count_is_no_proof() -> None:
    said = filters.says(filters.judge(100, 90))
    assert "could go past the element and the count would not show it" in said[1]


def test_a_cleaner_tank_is_told_without_praise_for_the_filter() -> None:
    found = filters.judge(1000, 100)
    assert found.verdict == "cleaner"
    assert found.explains_share == Range(0, 0, 0)
    assert "less dirt gets in" in filters.says(found)[0]


@given(st.floats(1, 1e6), st.floats(1, 1e6))
def test_ranges_hold_their_values(expected: float, found_: float) -> None:
    found = filters.judge(Range(expected, expected / 2, expected * 3), found_)
    assert found.times.holds(found.times.value)
    assert found.explains_share.holds(found.explains_share.value)
    assert 0 <= found.explains_share.low <= found.explains_share.high < 1


@pytest.mark.parametrize(("expected", "found", "name"), [(0, 5, "expected_per_ml"), (5, 0, "found_per_ml")])
def test_no_count_at_all_is_refused(expected: float, found: float, name: str) -> None:
    with pytest.raises(OutOfRange) as caught:
        filters.judge(expected, found)
    assert caught.value.name == name


# codes


@given(NUMBER, st.integers(-6, 4))
def test_codes_that_move_alike_are_judged_by_their_steps(number: int, steps: int) -> None:
    before = _code(number, number - 2, number - 5)
    now = _code(max(number + steps, 0), max(number - 2 + steps, 0), max(number - 5 + steps, 0))
    found = filters.compare_codes(before, now)
    if number - 5 + steps < 0:
        return
    assert found.steps == steps
    assert found.verdict == ("dirtier" if steps >= 2 else "cleaner" if steps <= -2 else "as_expected")
    assert found.times.value == pytest.approx(2.0**steps, rel=0.06)


def test_the_same_code_hides_what_the_table_leaves_open() -> None:
    low, high = cleanliness.bounds(16)
    found = filters.compare_codes(_code(18, 16, 13), _code(18, 16, 13))
    assert found.hidden_share == pytest.approx(1 - low / high)


def test_sizes_that_move_apart_are_neither() -> None:
    found = filters.compare_codes(_code(18, 16, 13), _code(18, 16, 15))
    assert found.verdict == "sizes_differ"
    assert "look for wear" in filters.says(found)[0]


def test_only_sizes_that_both_have_count() -> None:
    found = filters.compare_codes(cleanliness.parse("-/16/13"), cleanliness.parse("*/19/16"))
    assert (found.verdict, found.steps) == ("dirtier", 3)
    with pytest.raises(Missing):
        filters.compare_codes(cleanliness.parse("18/-/-"), cleanliness.parse("*/19/16"))
    with pytest.raises(Missing):
        filters.compare_codes(cleanliness.parse(">28/-/-"), cleanliness.parse("20/-/-"))


def test_very_clean_oil_has_no_lower_bound_and_is_compared_still() -> None:
    found = filters.compare_codes(_code(2, 1, 0), _code(5, 4, 3))
    assert found.verdict == "dirtier"
    assert found.times.holds(found.times.value)


def test_the_expected_code_is_that_of_the_ends() -> None:
    settled = [filters.settle(*one) for one in ((200.0, 100.0, 4.0), (40.0, 100.0, 20.0), (2.0, 100.0, 200.0))]
    clean, dirty = filters.expected_code(*settled)
    for index, one in enumerate(settled):
        assert clean.numbers[index] == cleanliness.scale_number(one.tank_per_ml.low)
        assert dirty.numbers[index] == cleanliness.scale_number(one.tank_per_ml.high)
    with pytest.raises(Contradiction, match="4, 6 and 14"):
        filters.expected_code(*settled[:2])
    with pytest.raises(Contradiction):
        filters.expected_code(*reversed(settled))


def test_the_workings_show_what_went_in() -> None:
    shown = lines(filters.judge(100, 500).working)
    assert any("found = 500 per mL (measured here)" in line for line in shown)
    shown = lines(filters.compare_codes(_code(18, 16, 13), _code(21, 19, 16)).working)
    assert any("6 µm = 19" in line for line in shown)


# The expected code.

THREE = (filters.settle(200, 100, 4), filters.settle(60, 100, 20), filters.settle(5, 100, 200))


@pytest.mark.parametrize(
    ("found", "verdict", "steps"),
    [
        ("19/16/13", "as_expected", (0, 0, 0)),
        ("21/18/15", "as_expected", (1, 1, 1)),
        ("22/17/14", "dirtier", (2, 0, 0)),
        ("16/13/10", "cleaner", (-2, -2, -2)),
        ("22/17/9", "sizes_differ", (2, 0, -3)),
        ("–/16/13", "as_expected", (None, 0, 0)),
        (">28/23/20", "dirtier", (None, 6, 6)),
    ],
)
def test_a_code_is_off_only_by_more_than_a_step(found: str, verdict: str, steps: tuple[int | None, ...]) -> None:
    told = filters.against_expected(THREE, cleanliness.parse(found))
    assert (told.verdict, told.steps) == (verdict, steps)
    said = filters.says(told)
    assert all("{" not in line for line in said)
    assert ("open the filter and look" in said[-1]) == (verdict == "dirtier")


def test_without_a_code_the_expected_ones_are_told_alone() -> None:
    told = filters.against_expected(THREE)
    assert filters.says(told) == [
        "With this filter and this much dirt the oil should be between 18/15/12 and 20/17/14."
    ]


@given(st.floats(0.5, 1e4), st.floats(20, 300), st.floats(1.5, 1000), st.floats(1, 5), st.floats(1, 5))
def test_the_code_of_what_it_settles_at_is_always_as_expected(
    rate: float, flow: float, beta: float, step: float, keeps: float
) -> None:
    """The middle of the range lies between its ends, whatever the filter."""
    rates = (rate * step * step, rate * step, rate)
    betas = (beta, beta * keeps, beta * keeps * keeps)
    one, two, three = (filters.settle(each, flow, of) for each, of in zip(rates, betas, strict=True))
    middle = cleanliness.code([each.tank_per_ml.value for each in (one, two, three)])
    assert filters.against_expected((one, two, three), middle).verdict == "as_expected"


def test_what_no_code_can_be_held_against_is_refused_by_name() -> None:
    with pytest.raises(Missing) as missing:
        filters.against_expected(THREE, cleanliness.parse(">28/>28/>28"))
    assert missing.value.name == "found"
    told = catalogue.ENTRIES["expected_code"].example
    for changed, name in (
        ({"particles6_million_min": "300"}, "particles4_million_min"),
        ({"particles14_million_min": "70"}, "particles6_million_min"),
        ({"code": "12/13/14"}, "code"),
        ({"code": ">28/>28/>28"}, "code"),
        ({"particles4_million_min": "5", "particles6_million_min": "5", "beta4": "200", "beta14": "1.01"}, "beta14"),
    ):
        with pytest.raises((Contradiction, Missing)) as caught:
            catalogue.run("expected_code", told | changed)
        assert caught.value.name == name
