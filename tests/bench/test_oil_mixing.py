from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coldmark.bench import oil
from coldmark.bench.errors import CannotTell, Missing, OutOfRange

KV = st.floats(2, 1000)
LITRES = st.floats(0.1, 200)
KV40, INDEX, DENSITY = st.floats(8, 400), st.floats(60, 200), st.floats(810, 950)


@st.composite
def oils(draw: st.DrawFn) -> oil.Oil:
    try:
        return oil.Oil(
            draw(st.sampled_from(("one", "other", "third"))),
            draw(KV40),
            viscosity_index=draw(INDEX),
            density15_kg_m3=draw(DENSITY),
            family=draw(st.sampled_from(("HL", "HM", "HV"))),
            additive=draw(st.sampled_from(oil.ADDITIVES)),
            pour_c=draw(st.floats(-50, -10)),
        )
    except OutOfRange:
        assume(False)
        raise


PARTS = st.lists(st.tuples(oils(), LITRES), min_size=1, max_size=5)

HV32 = oil.Oil("Valley 32", 32, 6.3, family="HV", additive="zinc", pour_c=-39, flash_c=210, density15_kg_m3=868)
HM68 = oil.Oil("Valley 68", 68, 8.7, family="HM", additive="zinc", pour_c=-24, flash_c=230, density15_kg_m3=884)
BIO = oil.Oil("Meadow 46", 47, 9.4, family="HEES", additive="zinc_free", density15_kg_m3=921)
ENGINE = oil.Oil("Rim", 105, 14.2, fluid="engine oil", sae="SAE 15W-40")


# laws


@given(st.lists(st.tuples(KV, LITRES), min_size=1, max_size=6))
def test_a_mixture_lies_between_its_parts(parts: list[tuple[float, float]]) -> None:
    found = oil.blend_viscosity(parts)
    assert min(kv for kv, _ in parts) * (1 - 1e-9) <= found <= max(kv for kv, _ in parts) * (1 + 1e-9)


@given(st.lists(st.tuples(KV, LITRES), min_size=2, max_size=6), st.randoms())
def test_the_order_in_which_parts_are_named_changes_nothing(parts: list[tuple[float, float]], chance: object) -> None:
    shuffled = list(parts)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    assert oil.blend_viscosity(shuffled) == pytest.approx(oil.blend_viscosity(parts), rel=1e-12)


@given(st.tuples(KV, LITRES), st.tuples(KV, LITRES), st.tuples(KV, LITRES))
def test_a_mixture_of_mixtures_is_the_mixture_of_all(
    one: tuple[float, float], other: tuple[float, float], third: tuple[float, float]
) -> None:
    first = (oil.blend_viscosity([one, other]), one[1] + other[1])
    assert oil.blend_viscosity([first, third]) == pytest.approx(oil.blend_viscosity([one, other, third]), rel=1e-9)


@given(KV, KV, LITRES, LITRES, st.floats(0.1, 50))
def test_more_of_the_thicker_part_is_thicker(
    thin: float, thick: float, thin_l: float, thick_l: float, more: float
) -> None:
    assume(thick > thin * 1.01)
    before = oil.blend_viscosity([(thin, thin_l), (thick, thick_l)])
    assert oil.blend_viscosity([(thin, thin_l), (thick, thick_l + more)]) > before


@given(KV, KV, st.floats(0.001, 0.999))
def test_share_to_viscosity_and_back(first: float, second: float, share: float) -> None:
    assume(max(first, second) >= 1.1 * min(first, second))
    found = oil.blend_viscosity([(first, 1 - share), (second, share)])
    assert oil.blend_share(first, second, found) == pytest.approx(share, abs=1e-9)


@given(PARTS)
def test_mass_is_kept(parts: list[tuple[oil.Oil, float]]) -> None:
    mixed = oil.blend(parts)
    assert mixed.density15_kg_m3 is not None
    litres = sum(amount for _, amount in parts)
    mass = sum((one.density15_kg_m3 or 0) * amount for one, amount in parts)
    assert mixed.density15_kg_m3 * litres == pytest.approx(mass)


@given(PARTS)
def test_a_mixed_oil_lies_between_its_parts_at_every_temperature_of_its_line(
    parts: list[tuple[oil.Oil, float]],
) -> None:
    mixed = oil.blend(parts)
    for name in ("kv40_mm2_s", "kv100_mm2_s"):
        values = [getattr(one, name) for one, _ in parts]
        assert min(values) * (1 - 1e-9) <= getattr(mixed, name) <= max(values) * (1 + 1e-9)
    assert mixed.pour_c == max(one.pour_c for one, _ in parts if one.pour_c is not None)


@given(oils(), LITRES, LITRES)
def test_an_oil_with_itself_is_itself(one: oil.Oil, here_l: float, there_l: float) -> None:
    assert oil.blend([(one, here_l), (one, there_l)]) is one
    assert oil.blend([(one, here_l), (HM68, 0.0)]) is one


# what may still be said of it


def test_of_two_mineral_families_the_lesser_is_left() -> None:
    mixed = oil.blend([(HV32, 9), (HM68, 1)])
    assert (mixed.family, mixed.additive, mixed.pour_c, mixed.flash_c) == ("HM", "zinc", -24, 210)
    assert mixed.fluid == "hydraulic oil"


def test_of_different_stuff_no_family_is_left_and_no_additive() -> None:
    mixed = oil.blend([(HM68, 1), (BIO, 9)])
    assert (mixed.family, mixed.additive, mixed.pour_c, mixed.flash_c) == ("", "unknown", None, None)


def test_what_is_not_known_of_one_part_is_not_known_of_the_mixture() -> None:
    bare = oil.Oil("Bare", 46, 6.8)
    assert oil.blend([(bare, 1), (HM68, 99)]).density15_kg_m3 is None


def test_engine_oil_in_hydraulic_oil_is_still_worked_out() -> None:
    mixed = oil.blend([(HM68, 70), (ENGINE, 8)])
    assert (mixed.fluid, mixed.family, mixed.sae) == ("hydraulic oil", "", "")
    assert 68 < mixed.kv40_mm2_s < 105


def test_its_name_has_all_parts_the_greatest_first() -> None:
    assert oil.blend([(HV32, 1), (HM68, 2)]).name == "Valley 68 + Valley 32"


# refusals


def test_nothing_mixed_is_refused() -> None:
    for parts in ([], [(HM68, 0.0)]):
        with pytest.raises(Missing, match="litres is not known"):
            oil.blend(parts)


@pytest.mark.parametrize("litres", [-1.0, float("nan"), 1e6])
def test_litres_that_cannot_be_are_refused_by_name(litres: float) -> None:
    with pytest.raises(OutOfRange) as refused:
        oil.blend([(HM68, litres), (HV32, 1)])
    assert refused.value.name == "litres_l"


def test_a_viscosity_outside_the_method_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"kv = 0\.2"):
        oil.blend_viscosity([(0.2, 1), (46, 1)])


def test_a_share_is_not_told_from_two_that_are_alike_or_from_a_viscosity_beyond_both() -> None:
    with pytest.raises(CannotTell, match="so much alike"):
        oil.blend_share(46, 48, 47)
    with pytest.raises(OutOfRange) as refused:
        oil.blend_share(46, 3, 50)
    assert refused.value.name == "found_mm2_s"


def test_the_working_ends_in_the_mixtures_own_values() -> None:
    parts = [(HV32, 10), (HM68, 30)]
    mixed, steps = oil.blend(parts), oil.explain_blend(parts).steps
    assert [step.result for step in steps] == [mixed.kv40_mm2_s, mixed.kv100_mm2_s, mixed.density15_kg_m3]
    assert [given.value for given in steps[0].givens] == [68, 32, 30, 10]
