from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import litres, oil
from coldmark.bench.errors import Contradiction, NotAChoice, OutOfRange
from coldmark.bench.ledger.state import Pour
from coldmark.bench.working import Range, lines

OIL = oil.Oil("Valley 46", 46, 6.8, density15_kg_m3=880)
WARMTH = st.floats(-30, 110)


def _pour(way: str, amount: float, t_c: float | None = 15.0, key: str | None = "valley_46") -> Pour:
    return Pour("2026-03-02T08:15:00+01:00", "f", way, amount, key, t_c, None, None)


@given(st.floats(1, 300), WARMTH, WARMTH)
def test_a_tank_drained_hot_and_filled_cold_is_not_short(drained: float, hot: float, cold: float) -> None:
    filled = drained * OIL.expansion(hot, cold)
    found = litres.balance([_pour("drained", -drained, hot), _pour("fill", filled, cold)], OIL)
    assert found.unexplained_l.value == pytest.approx(0, abs=1e-9 * drained)
    assert not found.clear


@given(st.lists(st.tuples(st.sampled_from(litres.IN_WAYS + litres.OUT_WAYS), st.floats(0.01, 60), WARMTH), max_size=12))
def test_what_went_in_is_what_came_out_and_what_is_left_over(moved: list[tuple[str, float, float]]) -> None:
    pours = [_pour(way, size if way in litres.IN_WAYS else -size, t_c) for way, size, t_c in moved]
    found = litres.balance(pours, OIL)
    assert found.in_l.value - found.out_l.value == pytest.approx(found.unexplained_l.value + found.explained_l.value)
    assert found.in_l.value >= 0
    assert found.out_l.value >= 0
    backwards = litres.balance(pours[::-1], OIL)
    assert backwards.unexplained_l.value == pytest.approx(found.unexplained_l.value, abs=1e-9)


def test_a_pour_counts_by_its_mass() -> None:
    found = litres.balance([_pour("fill", 10.0, 60.0)], OIL)
    assert found.in_l.value == pytest.approx(10 * OIL.density(60) / 880)


def test_the_range_holds_two_per_cent_of_each_can_added_as_independent() -> None:
    one = litres.balance([_pour("fill", 40.0)], OIL).in_l
    four = litres.balance([_pour("fill", 10.0)] * 4, OIL).in_l
    assert one.high - one.value == pytest.approx(0.8, rel=0.01)
    assert four.high - four.value == pytest.approx(0.4, rel=0.01)


def test_a_temperature_that_nobody_took_widens_the_range() -> None:
    taken = litres.balance([_pour("fill", 40.0, 20.0)], OIL).in_l
    untold = litres.balance([_pour("fill", 40.0, None)], OIL, assumed_c=20.0).in_l
    assert untold.value == pytest.approx(taken.value)
    assert untold.width > taken.width


def test_attachments_and_drained_water_are_explained() -> None:
    pours = [_pour("attachment_off", -2.0), _pour("attachment_on", 3.0), _pour("water_drained", -0.5, None, None)]
    found = litres.balance([*pours, _pour("top_up", 4.0)], OIL, gained_l=Range.about(4.5, 0.2))
    assert found.unexplained_l.value == pytest.approx(0)
    assert found.explained_l.value == pytest.approx(4.0)
    assert found.in_l.value == pytest.approx(4.0)
    assert found.out_l.value == 0
    said = " ".join(litres.says(found))
    assert "brought 3.0 L" in said
    assert "took 2.0 L" in said
    assert "0.5 L of water" in said


def test_what_the_glass_does_not_show_is_missing_and_said_before_leaving() -> None:
    found = litres.balance([_pour("top_up", 6.0)], OIL, gained_l=Range.about(3.0, 0.5))
    assert found.clear
    assert found.unexplained_l.value == pytest.approx(3.0)
    assert litres.says(found)[-1].startswith("3.0 L more went in than shows")


def test_more_in_the_glass_than_went_in_is_said_too() -> None:
    found = litres.balance([_pour("top_up", 1.0)], OIL, gained_l=Range.about(4.0, 0.5))
    assert found.clear
    assert litres.says(found)[-1].startswith("3.0 L more is there than went in")


def test_a_rest_within_the_measures_is_square() -> None:
    found = litres.balance([_pour("drained", -40.0), _pour("fill", 40.5)], OIL)
    assert not found.clear
    assert "square" in litres.says(found)[-1]


def test_without_levels_the_balance_says_what_it_assumed_and_asks_for_the_glass() -> None:
    found = litres.balance([_pour("top_up", 5.0)], OIL)
    assert found.against == "same level assumed"
    assert "Without a level" in litres.says(found)[1]
    assert "Does the glass stand that much higher?" in litres.says(found)[-1]
    taken = litres.balance([_pour("drained", -5.0)], OIL)
    assert "lower?" in litres.says(taken)[-1]


def test_the_readers_unit_is_kept_to() -> None:
    assert "1.06 gal" in litres.says(litres.balance([_pour("fill", 4.0)], OIL), "us")[0]


def test_oils_are_told_apart_by_their_keys_and_an_unknown_one_is_taken_as_usual() -> None:
    light = oil.Oil("Light", 46, 6.8, density15_kg_m3=810)
    pours = [_pour("fill", 10.0, 80.0, "light")]
    as_light = litres.balance(pours, OIL, oils={"light": light}).in_l.value
    assert as_light == pytest.approx(10 * light.density(80) / 810)
    assert litres.balance(pours, None).in_l.value == pytest.approx(10 * oil.volume_factor(875, 80))
    bare = oil.Oil("Bare", 46, 6.8)
    assert litres.balance(pours, bare) == litres.balance(pours, None)


def test_held_spilt_and_sampled_oil_counts_as_out() -> None:
    pours = [_pour("held_by_element", -1.2), _pour("spilt", -0.3), _pour("sampled", -0.1), _pour("fill", 1.6)]
    found = litres.balance(pours, OIL)
    assert found.out_l.value == pytest.approx(1.6)
    assert {line.way: line.count for line in found.lines} == {pour.way: 1 for pour in pours}
    assert len(lines(found.working)) > 6


@pytest.mark.parametrize(
    ("pour", "error"),
    [
        (_pour("poured", 1.0), NotAChoice),
        (_pour("fill", -1.0), Contradiction),
        (_pour("drained", 1.0), Contradiction),
        (_pour("attachment_off", 1.0), Contradiction),
        (_pour("fill", math.nan), OutOfRange),
        (_pour("fill", 1.0, 200.0), OutOfRange),
        (_pour("fill", 6000.0), OutOfRange),
    ],
)
def test_a_movement_that_cannot_be_is_refused(pour: Pour, error: type[Exception]) -> None:
    with pytest.raises(error):
        litres.balance([pour], OIL)


def test_nothing_moved_is_said_in_one_sentence() -> None:
    assert litres.says(litres.balance([], OIL)) == ["No oil was moved."]
