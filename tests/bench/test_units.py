from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import units
from coldmark.bench.errors import Missing, NotAChoice, NotANumber

ENDINGS = sorted(units.UNITS)
SENSIBLE = st.floats(-1e6, 1e6, allow_nan=False)


@given(SENSIBLE, st.sampled_from(ENDINGS))
def test_there_and_back_gives_the_same_value(value: float, ending: str) -> None:
    assert units.to_bench(units.from_bench(value, ending), ending) == pytest.approx(value, rel=1e-12, abs=1e-9)


@given(SENSIBLE, st.sampled_from(ENDINGS), st.sampled_from(ENDINGS))
def test_a_conversion_by_way_of_a_third_unit_is_the_direct_one(value: float, source: str, target: str) -> None:
    if units.UNITS[source].kind != units.UNITS[target].kind:
        with pytest.raises(NotAChoice):
            units.convert(value, source, target)
        return
    direct = units.convert(value, source, target)
    assert units.convert(direct, target, source) == pytest.approx(value, rel=1e-12, abs=1e-9)


@given(SENSIBLE, SENSIBLE, st.sampled_from(ENDINGS))
def test_every_unit_keeps_the_order_of_values(one: float, other: float, ending: str) -> None:
    low, high = sorted((one, other))
    assert units.to_bench(low, ending) <= units.to_bench(high, ending)


@pytest.mark.parametrize("kind", sorted({unit.kind for unit in units.UNITS.values()}))
def test_every_kind_has_one_bench_unit_and_both_readers_are_shown_one_of_that_kind(kind: str) -> None:
    same = [unit for unit in units.UNITS.values() if unit.kind == kind]
    assert any(unit.scale == 1.0 and unit.shift == 0.0 for unit in same)
    for system in ("metric", "us"):
        assert {units.shown_unit(unit.ending, system).kind for unit in same} == {kind}
        assert len({units.shown_unit(unit.ending, system).ending for unit in same}) == 1


def test_the_unit_systems_agree_on_a_quantity() -> None:
    litres = 12.3
    gallons = units.shown_unit("l", "us").from_bench(litres)
    assert units.convert(gallons, "gal", "ml") == pytest.approx(12300)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_not_a_number_and_infinity_are_refused(value: float) -> None:
    for refuse in (units.to_bench, units.from_bench):
        with pytest.raises(NotANumber):
            refuse(value, "mm")
    with pytest.raises(NotANumber):
        units.number("oil_c", value)


@pytest.mark.parametrize(
    ("typed", "value"),
    [("1,5", 1.5), (" 12.50 ", 12.5), ("-8", -8.0), ("−8", -8.0), (",5", 0.5), ("7.", 7.0), ("0,125", 0.125), (3, 3.0)],
)
def test_numbers_are_read_as_people_type_them(typed: str | float, value: float) -> None:
    assert units.number("oil_c", typed) == value


@pytest.mark.parametrize(
    "typed", ["nan", "inf", "1e999", "twelve", "1.2.3", "1,2,3", "1_000", "12 mm", "--1", "٣", True]
)
def test_what_is_no_number_is_refused_by_name(typed: str) -> None:
    with pytest.raises(NotANumber) as refused:
        units.number("oil_c", typed)
    assert refused.value.name == "oil_c"
    assert str(typed) in str(refused.value)


def test_a_comma_that_can_be_read_in_two_ways_is_asked_again() -> None:
    with pytest.raises(NotANumber, match=r"meter = 1,250 is not a number; write it like 1250 or 1\.250\."):
        units.number("meter_h", "1,250")


def test_nothing_typed_is_missing_and_not_zero() -> None:
    with pytest.raises(Missing):
        units.number("oil_c", "  ")


def test_an_unknown_unit_is_refused_with_those_that_would_do() -> None:
    with pytest.raises(NotAChoice, match="fathom"):
        units.to_bench(1, "fathom")
    with pytest.raises(NotAChoice, match="mm, cm, m"):
        units.convert(1, "in", "bar")


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_name_that_ends_in_a_unit_is_known_by_it_and_loses_it(ending: str) -> None:
    found = units.of_name(f"thing_{ending}")
    assert found is not None
    assert found.ending == ending
    assert units.stem(f"thing_{ending}") == "thing"
    assert units.of_name(ending) == found
