from __future__ import annotations

from dataclasses import dataclass, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import oil, words
from coldmark.bench.errors import Contradiction, Missing, OutOfRange
from coldmark.bench.working import lines

COLD, HOT = st.floats(-30, 20), st.floats(40, 110)


def _names(found: oil.Choice) -> list[str]:
    return [one.oil.name for one in found.candidates if one.fits]


def _of(found: oil.Choice, name: str) -> oil.Candidate:
    return next(one for one in found.candidates if one.oil.name == name)


def _messages(one: oil.Candidate) -> set[str]:
    for reason in one.reasons:
        for units in ("metric", "us"):
            assert words.sentence(reason.message, units=units, **reason.values)
    return {reason.message for reason in one.reasons}


@dataclass(frozen=True)
class Allowed:
    fluid: str = "hydraulic oil"
    families: tuple[str, ...] = ()
    grades: tuple[str, ...] = ()
    additive: str = "any"


# the usual oils


def test_one_chooses_from_four_grades_each_with_an_ordinary_and_a_high_index() -> None:
    oils = oil.usual_oils()
    assert [(one.grade(), round(one.viscosity_index), one.family) for one in oils] == [
        (grade, index, family) for grade in (22, 32, 46, 68) for index, family in ((100, "HM"), (150, "HV"))
    ]
    assert len({one.name for one in oils}) == 8


# laws


@given(COLD, HOT)
def test_an_oil_fits_when_it_is_thin_enough_cold_and_thick_enough_hot(coldest_c: float, hottest_c: float) -> None:
    for one in oil.choose(coldest_c=coldest_c, hottest_c=hottest_c).candidates:
        cold, hot = one.oil.viscosity(coldest_c), one.oil.viscosity(hottest_c)
        if abs(cold - 1000) > 1e-6 and abs(hot - 10) > 1e-9:
            assert one.fits == (cold <= 1000 and hot >= 10)
        assert one.fits == (one.short_k <= 0)
        assert one.hot_mm2_s == hot


@given(COLD, HOT, st.floats(0.5, 20))
def test_a_harder_place_suits_no_further_oil(coldest_c: float, hottest_c: float, more: float) -> None:
    fits = set(_names(oil.choose(coldest_c=coldest_c, hottest_c=hottest_c)))
    assert set(_names(oil.choose(coldest_c=coldest_c - more, hottest_c=hottest_c))) <= fits
    assert set(_names(oil.choose(coldest_c=coldest_c, hottest_c=hottest_c + more))) <= fits


@given(COLD, HOT)
def test_the_best_is_one_that_fits_and_where_none_does_the_nearest_falls_least_short(
    coldest_c: float, hottest_c: float
) -> None:
    found = oil.choose(coldest_c=coldest_c, hottest_c=hottest_c)
    assert (found.best is None) == (not _names(found)) == (found.nearest is not None)
    if found.best is not None:
        assert found.best.fits
    elif found.nearest is not None:
        assert found.nearest.short_k == min(one.short_k for one in found.candidates)


# which is the best


def test_an_ordinary_index_goes_before_a_high_one_where_it_will_do() -> None:
    found = oil.choose(coldest_c=-5, hottest_c=65, usual_c=50)
    assert {"VG 32", "VG 32, high index"} <= set(_names(found))
    assert found.best is _of(found, "VG 32")


def test_the_oil_that_is_at_its_best_at_the_usual_temperature_goes_first() -> None:
    warm = oil.choose(coldest_c=5, hottest_c=65, usual_c=60)
    assert warm.best is not None
    assert warm.best.window.best_from.t_c <= 60 <= warm.best.window.best_to.t_c
    cool = oil.choose(coldest_c=5, hottest_c=60, usual_c=35)
    assert cool.best is not None
    assert cool.best.oil.kv40_mm2_s < warm.best.oil.kv40_mm2_s


def test_where_none_fits_it_is_said_by_how_much_the_nearest_falls_short() -> None:
    found = oil.choose(coldest_c=-25, hottest_c=90)
    assert found.best is None
    assert found.nearest is not None
    assert found.nearest.short_k > 5
    assert all(one.answer == "no" for one in found.candidates)


# reasons


def test_every_oil_says_why_it_does_not_fit() -> None:
    found = oil.choose(coldest_c=-15, hottest_c=75, usual_c=57)
    assert _names(found) == ["VG 32, high index"]
    assert _messages(_of(found, "VG 46")) >= {"oil.choice.cold.too_thick", "oil.choice.hot.right"}
    assert _messages(_of(found, "VG 22")) >= {"oil.choice.cold.right", "oil.choice.hot.too_thin"}
    assert _messages(_of(found, "VG 32")) >= {"oil.choice.cold.too_thick", "oil.choice.hot.too_thin"}
    assert _messages(_of(found, "VG 22")) >= {"oil.choice.usual.thin", "oil.choice.cold.idle"}
    assert _messages(_of(found, "VG 46")) >= {"oil.choice.usual.best"}


def test_a_thickened_oil_that_starts_by_its_line_alone_is_doubted_and_goes_behind_one_that_is_not() -> None:
    found = oil.choose(coldest_c=-17.5, hottest_c=60)
    thickened = _of(found, "VG 32, high index")
    assert (thickened.answer, thickened.reasons[0].message) == ("yes_with_notes", "oil.choice.cold.doubted")
    assert thickened.cold_mm2_s is not None
    assert thickened.cold_mm2_s.value < 1000 < thickened.cold_mm2_s.high
    assert found.best is _of(found, "VG 22")


def test_an_oil_does_not_fit_below_its_pour_point_and_is_noted_close_above_it() -> None:
    stiff = replace(oil.usual_oils()[0], pour_c=-12)
    (below,) = oil.choose([stiff], coldest_c=-15, hottest_c=50).candidates
    assert (below.answer, below.cold_mm2_s) == ("no", None)
    assert "oil.choice.cold.stiff" in _messages(below)
    (close,) = oil.choose([stiff], coldest_c=-5, hottest_c=50).candidates
    assert (close.answer, close.reasons[0].message) == ("yes_with_notes", "oil.choice.cold.pour_near")
    _messages(close)


def test_an_oil_that_is_thicker_than_any_method_goes_does_not_fit_and_crashes_nothing() -> None:
    tar = oil.Oil("Tar", 2000, 60)
    (found,) = oil.choose([tar], coldest_c=-50, hottest_c=80).candidates
    assert (found.answer, found.cold_mm2_s) == ("no", None)
    assert oil.may_top_up(tar, tar, coldest_c=-50, hottest_c=80).answer == "yes_with_notes"


def test_what_the_sheet_does_not_allow_does_not_fit() -> None:
    found = oil.choose(coldest_c=-5, hottest_c=65, sheet=Allowed(families=("HM",), grades=("VG 46",)))
    assert _names(found) == ["VG 46"]
    assert "top_up.sheet.family" in _messages(_of(found, "VG 46, high index"))
    assert "top_up.sheet.grade" in _messages(_of(found, "VG 32"))


def test_the_sheets_own_viscosities_count() -> None:
    thicker = oil.Limits(start_limit_mm2_s=2000)
    assert "VG 46, high index" not in _names(oil.choose(coldest_c=-18, hottest_c=70))
    assert "VG 46, high index" in _names(oil.choose(coldest_c=-18, hottest_c=70, limits=thicker))


def test_the_working_has_both_ends_of_each_oil() -> None:
    found = oil.choose(coldest_c=-15, hottest_c=75)
    assert len(found.working.steps) == 8 * 4
    assert all(lines(found.working, "us"))


# refusals


@pytest.mark.parametrize(
    ("told", "error", "name"),
    [
        ({"coldest_c": -51, "hottest_c": 70}, OutOfRange, "coldest_c"),
        ({"coldest_c": -10, "hottest_c": 151}, OutOfRange, "hottest_c"),
        ({"coldest_c": 40, "hottest_c": 40}, Contradiction, "hottest_c"),
        ({"coldest_c": -10, "hottest_c": 70, "usual_c": 80}, OutOfRange, "usual_c"),
        ({"coldest_c": -10, "hottest_c": 70, "oils": ()}, Missing, "oils"),
    ],
)
def test_what_cannot_be_is_refused_by_name(told: dict[str, object], error: type[Exception], name: str) -> None:
    with pytest.raises(error) as refused:
        oil.choose(**told)  # type: ignore[arg-type]
    assert refused.value.name == name  # type: ignore[attr-defined]


# thickened oils in the cold


@given(st.floats(-49, 0), st.floats(0.5, 10))
def test_a_thickened_oil_is_doubted_more_the_colder_it_gets(t_c: float, less: float) -> None:
    thickened, ordinary = oil.usual_oils()[1], oil.usual_oils()[0]
    assert oil.cold_factor(ordinary, t_c) == 1
    assert oil.cold_factor(thickened, max(-50, t_c - less)) >= oil.cold_factor(thickened, t_c) >= 1


def test_above_freezing_the_line_stands_for_every_oil() -> None:
    for one in oil.usual_oils():
        found = oil.viscosity_in_the_cold(one, 5)
        assert found.low == found.value == found.high == one.viscosity(5)
