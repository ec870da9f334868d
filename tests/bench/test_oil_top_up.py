from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import oil, words
from coldmark.bench.errors import OutOfRange
from coldmark.bench.working import lines
from tests.bench.test_oil_choice import Allowed

HM46 = oil.Oil("Valley 46", 46, 6.8, density15_kg_m3=880, family="HM", additive="zinc", pour_c=-30, flash_c=220)
HM46_B = replace(HM46, name="Ridge 46")
HM68 = oil.Oil("Ridge 68", 68, 8.7, family="HM", additive="zinc", pour_c=-24)
HV46 = oil.Oil("Valley wide", 46, 8.1, family="HV", additive="zinc", pour_c=-42)
BIO = oil.Oil("Meadow 46", 47, 9.4, family="HEES", additive="zinc_free", pour_c=-42)
ENGINE = oil.Oil("Rim", 105, 14.2, fluid="engine oil", sae="SAE 15W-40", additive="zinc", pour_c=-33)
STRICT = oil.Limits(start_limit_mm2_s=1000, lowest_mm2_s=10)


def _messages(verdict: oil.Verdict) -> set[str]:
    for reason in verdict.reasons:
        for units in ("metric", "us"):
            assert words.sentence(reason.message, units=units, **reason.values)
    assert verdict.answer == verdict.reasons[0].weighs
    assert all(lines(verdict.working, "us")) or not verdict.working.steps
    return {reason.message for reason in verdict.reasons}


# climate


def test_an_oil_that_does_for_cold_and_heat_says_so() -> None:
    verdict = oil.may_top_up(HM46, HM46_B, coldest_c=-5, hottest_c=70)
    assert {"top_up.cold.right", "top_up.hot.right", "top_up.pour.right"} <= _messages(verdict)
    assert verdict.answer == "yes_with_notes"  # nobody can work out an approval


def test_the_same_oil_is_noted_where_it_is_too_stiff_to_start_on() -> None:
    verdict = oil.may_top_up(HM46, HM46, coldest_c=-15, hottest_c=70)
    assert (verdict.answer, verdict.reasons[0].message) == ("yes_with_notes", "top_up.cold.filled")
    _messages(verdict)


def test_a_thicker_jug_is_noted_by_itself_and_judged_in_the_mixture_where_the_litres_are_told() -> None:
    alone = oil.may_top_up(HM46, HM68, coldest_c=-5, hottest_c=70)
    assert "top_up.cold.alone" in _messages(alone)
    assert alone.mixed is None
    little = oil.may_top_up(HM46, HM68, coldest_c=-5, hottest_c=70, add_l=2, system_l=78)
    assert "top_up.cold.right" in _messages(little)
    assert little.mixed is not None
    assert little.mixed.kv40_mm2_s == pytest.approx(oil.blend([(HM46, 76), (HM68, 2)]).kv40_mm2_s)
    much = oil.may_top_up(HM46, HM68, coldest_c=-5, hottest_c=70, add_l=60, system_l=78)
    assert (much.answer, "top_up.cold.mixed" in _messages(much)) == ("yes_with_notes", True)
    by_sheet = oil.may_top_up(HM46, HM68, coldest_c=-5, hottest_c=70, add_l=60, system_l=78, limits=STRICT)
    assert (by_sheet.answer, by_sheet.reasons[0].message) == ("no", "top_up.cold.mixed")


def test_what_is_inside_may_be_too_stiff_already() -> None:
    verdict = oil.may_top_up(HM46, HM68, coldest_c=-20, hottest_c=70)
    assert "top_up.cold.both" in _messages(verdict)


def test_a_thinner_jug_is_judged_in_the_heat() -> None:
    thin = oil.Oil("Ridge 32", 32, 5.4, family="HM", additive="zinc", pour_c=-36)
    assert "top_up.hot.alone" in _messages(oil.may_top_up(HM46, thin, coldest_c=0, hottest_c=82))
    assert "top_up.hot.both" in _messages(oil.may_top_up(HM46, thin, coldest_c=0, hottest_c=95))
    assert "top_up.hot.filled" in _messages(oil.may_top_up(HM46, HM46, coldest_c=0, hottest_c=95))
    mixed = oil.may_top_up(HM46, thin, coldest_c=0, hottest_c=82, add_l=40, system_l=78, limits=STRICT)
    assert (mixed.answer, mixed.reasons[0].message) == ("no", "top_up.hot.mixed")
    _messages(mixed)


def test_a_thickened_oil_whose_line_alone_speaks_for_it_is_doubted() -> None:
    start_c = oil.window(HV46).start.t_c
    verdict = oil.may_top_up(HV46, HV46, coldest_c=start_c + 0.1, hottest_c=70)
    assert (verdict.answer, verdict.reasons[0].message) == ("yes_with_notes", "top_up.cold.doubted")
    _messages(verdict)


@pytest.mark.parametrize(
    ("coldest_c", "inside", "message", "weighs"),
    [
        (-10, HM46, "top_up.pour.right", "yes"),
        (-18, HM46, "top_up.pour.near", "yes_with_notes"),
        (-26, HM46, "top_up.pour.stiff", "no"),
        (-32, HM46, "top_up.pour.both", "yes_with_notes"),
        (-26, replace(HM46, pour_c=None), "top_up.pour.stiff", "no"),
    ],
)
def test_the_pour_point_against_the_coldest_start(coldest_c: float, inside: oil.Oil, message: str, weighs: str) -> None:
    verdict = oil.may_top_up(inside, HM68, coldest_c=coldest_c)
    assert message in _messages(verdict)
    assert next(one.weighs for one in verdict.reasons if one.message == message) == weighs


def test_a_pour_point_that_nobody_knows_is_named() -> None:
    verdict = oil.may_top_up(HM46, replace(HM46_B, pour_c=None), coldest_c=-5, hottest_c=70)
    assert "top_up.pour.unknown" in _messages(verdict)


def test_what_was_not_told_of_the_climate_is_named() -> None:
    assert {"top_up.cold.untold", "top_up.hot.untold"} <= _messages(oil.may_top_up(HM46, HM46_B))
    assert "top_up.hot.untold" not in _messages(oil.may_top_up(HM46, HM46_B, hottest_c=70))
    assert "top_up.cold.untold" not in _messages(oil.may_top_up(HM46, HM46_B, coldest_c=0))


def test_a_much_lower_index_is_noted() -> None:
    verdict = oil.may_top_up(HV46, replace(HM46, family="HV"))
    assert "top_up.index.lower" in _messages(verdict)
    assert "top_up.index.lower" not in _messages(oil.may_top_up(HM46, HM68))


def test_engine_oil_has_its_cold_in_its_grade_but_must_flow() -> None:
    verdict = oil.may_top_up(ENGINE, replace(ENGINE, name="Other"), coldest_c=-40, hottest_c=100)
    assert "top_up.pour.both" in _messages(verdict)
    assert not {name for name in _messages(verdict) if name.startswith(("top_up.cold", "top_up.hot"))}


def test_onto_the_unknown_the_jug_itself_is_judged_for_the_climate() -> None:
    verdict = oil.may_top_up(None, HM46, coldest_c=-15, hottest_c=70, add_l=2, system_l=78)
    assert verdict.answer == "unknown"
    assert {"top_up.inside_unknown", "top_up.cold.filled"} <= _messages(verdict)


# the residue limit of bio-oils


def test_mineral_oil_stays_out_of_a_bio_oil_and_its_share_is_told() -> None:
    verdict = oil.may_top_up(BIO, HM46, add_l=1, system_l=78, other_share=0.01)
    assert verdict.answer == "no"
    assert verdict.other_share == pytest.approx(0.01 * 77 / 78 + 1 / 78)
    assert {"top_up.family.mixed", "top_up.residue.over"} <= _messages(verdict)
    assert verdict.mixed is None


def test_under_the_limit_it_is_told_too_and_stays_out_all_the_same() -> None:
    verdict = oil.may_top_up(BIO, HM46, add_l=1, system_l=78)
    assert verdict.answer == "no"
    assert verdict.other_share == pytest.approx(1 / 78)
    assert "top_up.residue.under" in _messages(verdict)


def test_without_the_litres_the_share_cannot_be_told() -> None:
    verdict = oil.may_top_up(BIO, HM46)
    assert (verdict.answer, verdict.other_share) == ("no", None)
    assert "top_up.residue.untold" in _messages(verdict)


def test_engine_oil_has_half_the_limit() -> None:
    verdict = oil.may_top_up(BIO, ENGINE, add_l=1.2, system_l=78)
    assert "top_up.residue.over" in _messages(verdict)
    assert "top_up.residue.under" in _messages(oil.may_top_up(BIO, HM46, add_l=1.2, system_l=78))


@pytest.mark.parametrize(
    ("share", "message", "answer"),
    [(0.05, "top_up.residue.still", "yes_with_notes"), (0.01, "top_up.residue.right", "yes")],
)
def test_topping_up_with_the_same_bio_oil_tells_what_is_left_of_another(
    share: float, message: str, answer: str
) -> None:
    verdict = oil.may_top_up(BIO, BIO, other_share=share)
    assert (verdict.answer, message in _messages(verdict)) == (answer, True)


def test_another_bio_oil_of_the_same_kind_asks_what_is_left_where_nobody_told() -> None:
    assert "top_up.residue.inside_untold" in _messages(oil.may_top_up(BIO, replace(BIO, name="Brook 46")))


def test_a_bio_oil_onto_mineral_oil_is_a_change_of_all_of_it() -> None:
    verdict = oil.may_top_up(HM46, BIO)
    assert verdict.answer == "no"
    assert "top_up.residue.change_over" in _messages(verdict)


@given(st.floats(0.1, 40), st.floats(0, 1), st.floats(0.1, 30))
def test_more_of_another_oil_is_never_less_of_it(add_l: float, before: float, more: float) -> None:
    shares = [
        oil.may_top_up(BIO, HM46, add_l=litres, system_l=78, other_share=before).other_share
        for litres in (add_l, add_l + more)
    ]
    assert shares[0] is not None
    assert shares[1] is not None
    assert before - 1e-12 <= shares[0] <= shares[1] + 1e-12 <= 1 + 1e-9


# the sheet


@pytest.mark.parametrize(
    ("jug", "allowed", "message"),
    [
        (replace(HM46, family=""), Allowed(families=("HM",)), "top_up.sheet.family_untold"),
        (
            oil.Oil("Between", 38, 6.0, family="HM", additive="zinc"),
            Allowed(grades=("VG 46",)),
            "top_up.sheet.grade_untold",
        ),
        (replace(HM46, additive="unknown"), Allowed(additive="zinc_free"), "top_up.sheet.additive_untold"),
    ],
)
def test_what_the_sheet_asks_and_nobody_knows_makes_it_unknown(jug: oil.Oil, allowed: Allowed, message: str) -> None:
    verdict = oil.may_top_up(jug, jug, allowed)
    assert (verdict.answer, verdict.reasons[0].message) == ("unknown", message)
    _messages(verdict)


# refusals


@pytest.mark.parametrize(
    ("told", "name"),
    [
        ({"coldest_c": -51}, "coldest_c"),
        ({"hottest_c": 160}, "hottest_c"),
        ({"other_share": 1.2}, "other_share"),
        ({"add_l": 0.0}, "add_l"),
        ({"add_l": 80.0, "system_l": 78.0}, "system_l"),
        ({"coldest_c": float("nan")}, "coldest_c"),
    ],
)
def test_what_cannot_be_is_refused_by_name(told: dict[str, float], name: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        oil.may_top_up(HM46, HM46_B, **told)  # type: ignore[arg-type]
    assert refused.value.name == name
