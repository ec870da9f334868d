from __future__ import annotations

import json
import math

import pytest

from coldmark.bench import working
from coldmark.bench.errors import Contradiction
from coldmark.bench.working import Given, Range, Step, Working

STEP = Step("working.oil.viscosity", "ν = f(t)", (Given("t", 20.0, "c", "told"),), 133.83817, "mm2_s", "ASTM D341")


def test_lines_give_what_is_found_the_formula_what_went_in_with_its_origin_and_the_source() -> None:
    assert working.lines(Working((STEP,))) == [
        "1. Viscosity of the oil: 133.84 mm²/s",
        "   ν = f(t)",
        "   t = 20 °C (told)",
        "   Source: ASTM D341",
    ]


def test_the_formulas_own_unit_stands_first_and_the_readers_in_brackets() -> None:
    said = working.lines(Working((STEP,)), "us")
    assert said[2] == "   t = 20 °C (68 °F) (told)"
    assert said[0].endswith("133.84 mm²/s (134 cSt)")


def test_every_origin_has_words() -> None:
    for origin in working.Origin.__args__:  # type: ignore[attr-defined]
        step = Step("working.oil.viscosity", "", (Given("x", 1.0, "", origin),), 1.0, "", "")
        assert len(working.lines(Working((step,)))) == 2


def test_plain_data_passes_through_json_infinity_included() -> None:
    step = Step("working.oil.viscosity", "", (Given("x", math.inf, "bar", "assumed"),), "none", "", "")
    plain = working.to_plain(Working((step,)) + Working((STEP,)))
    assert json.loads(json.dumps(plain, allow_nan=False)) == plain
    assert [step["says"] for step in plain] == ["Viscosity of the oil"] * 2
    assert plain[0]["givens"][0]["shown"] == "inf bar"


def test_a_range_holds_its_value_and_says_what_lies_in_it() -> None:
    found = Range.about(2.4, -0.3)
    assert found.holds(2.1)
    assert not found.holds(2.8)
    with pytest.raises(Contradiction):
        Range(2.4, 2.5, 2.8)
    with pytest.raises(Contradiction):
        Range(math.nan, 0, 1)
