from __future__ import annotations

import math

import pytest

from coldmark.bench import errors


def _range(**changes: object) -> errors.OutOfRange:
    values: dict[str, object] = {"name": "kv100_mm2_s", "value": 1.4, "low": 2, "high": 500, "source": "ASTM D2270"}
    return errors.OutOfRange(**(values | changes))  # type: ignore[arg-type]


def test_a_number_out_of_range_is_said_with_its_unit_once_and_the_limits_without_needless_decimals() -> None:
    assert str(_range()) == "kv100 = 1.4 mm²/s is outside 2 to 500 mm²/s (ASTM D2270)."


def test_a_value_just_over_a_limit_is_not_rounded_onto_it() -> None:
    assert "500.0001 mm²/s" in str(_range(value=500.0001))


def test_a_reader_of_the_other_unit_system_gets_value_and_limits_in_it() -> None:
    refused = errors.OutOfRange(name="oil_c", value=200.0, low=-40, high=150, source="a glass")
    assert refused.say("us") == "oil = 392 °F is outside -40 to 302 °F (a glass)."


def test_a_limit_without_an_upper_end_says_at_least_or_more_than() -> None:
    assert str(_range(value=-1.0, low=0, high=math.inf)) == "kv100 = -1 mm²/s must be at least 0 mm²/s (ASTM D2270)."
    with pytest.raises(errors.OutOfRange, match="bore = 0 mm must be more than 0 mm"):
        errors.require_above("bore_mm", 0.0, 0.0, "a bore")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 1.999, 500.001])
def test_what_is_not_between_the_limits_is_refused_not_numbers_included(value: float) -> None:
    with pytest.raises(errors.OutOfRange):
        errors.require_between("kv100_mm2_s", value, 2, 500, "ASTM D2270")
    with pytest.raises(errors.OutOfRange):
        errors.require_above("x", -math.inf if math.isfinite(value) else value, 0, "x")


@pytest.mark.parametrize("value", [2.0, 46.0, 500.0])
def test_the_limits_themselves_are_allowed(value: float) -> None:
    assert errors.require_between("kv100_mm2_s", value, 2, 500, "ASTM D2270") == value
    assert errors.require_above("kv100_mm2_s", value, 1.9, "x") == value


def test_infinity_is_no_limit_that_lets_infinity_through() -> None:
    with pytest.raises(errors.OutOfRange):
        errors.require_between("x", math.inf, 0, math.inf, "x")


def test_every_refusal_is_caught_as_one_names_its_field_and_is_a_value_error() -> None:
    refusals = (
        _range(),
        errors.NotAChoice(name="posture", value="{sideways}", choices=("arm_out",)),
        errors.NotANumber(name="oil_c", value="warm"),
        errors.Missing(name="hot_c", needed_for="the cold mark"),
        errors.Contradiction(name="rod_mm", value=80, why="level.cannot.rod", bore_mm=70),
    )
    for refusal in refusals:
        assert isinstance(refusal, errors.Refused)
        assert isinstance(refusal, ValueError)
        assert refusal.name
        assert str(refusal).endswith(".")


def test_a_choice_is_returned_or_refused_with_what_is_offered() -> None:
    assert errors.require_choice("way", "fill", ("fill", "drained")) == "fill"
    with pytest.raises(errors.NotAChoice, match="way = poured is not one of: fill, drained"):
        errors.require_choice("way", "poured", ("fill", "drained"))
