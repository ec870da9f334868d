from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import oil, oilhistory
from coldmark.bench.errors import CannotTell, NotAChoice, OutOfRange
from coldmark.bench.oilhistory import Contents, OilPart
from coldmark.bench.working import lines

OLD, NEW = "valley_46", "meadow_46"
ALL_OLD = Contents((OilPart(OLD, 1.0),))
OILS = {
    OLD: oil.Oil("Valley 46", 46, 6.8, family="HM", density15_kg_m3=877),
    NEW: oil.Oil("Meadow 46", 47.5, 9.4, family="HEES", density15_kg_m3=921),
    "ridge_68": oil.Oil("Ridge 68", 68, 8.7, family="HM", density15_kg_m3=884),
}


@dataclass(frozen=True)
class Moved:
    way: str
    litres: float
    oil: str | None = None
    hours: float | None = None
    circulated: bool | None = None


def change(litres: float = 48, *, circulated: bool | None = None, hours: float | None = None) -> list[Moved]:
    return [Moved("drained", litres, hours=hours), Moved("fill", litres, NEW, hours, circulated)]


def shares(contents: Contents) -> dict[str | None, float]:
    return {part.oil: round(part.share, 6) for part in contents.parts}


def fold(
    movements: Iterable[Moved], *, system_l: float | None = 78.0, tank_l: float | None = 48.0, start: Contents = ALL_OLD
) -> Contents:
    return oilhistory.fold(movements, system_l=system_l, tank_l=tank_l, start=start)


# what a change leaves


@given(st.floats(5, 500), st.floats(0.05, 0.95), st.integers(1, 4))
def test_each_change_leaves_one_minus_drained_over_system(system_l: float, share: float, times: int) -> None:
    found = fold(change(system_l * share) * times, system_l=system_l, tank_l=None)
    left = sum(part.share for part in found.parts if part.oil == OLD)
    assert left == pytest.approx((1 - share) ** times, abs=2e-4)


def test_it_is_the_systems_litres_that_count_and_not_the_tanks() -> None:
    assert shares(fold(change())) == {NEW: pytest.approx(48 / 78, abs=1e-6), OLD: pytest.approx(30 / 78, abs=1e-6)}


def test_a_change_of_everything_leaves_nothing() -> None:
    assert shares(fold(change(78))) == {NEW: 1.0}


def test_the_unknown_stays_unknown() -> None:
    found = oilhistory.fold(change(), system_l=78)
    assert shares(found) == {NEW: pytest.approx(48 / 78, abs=1e-6), None: pytest.approx(30 / 78, abs=1e-6)}
    assert shares(fold([Moved("top_up", 10)], system_l=100)) == {OLD: 0.9, None: 0.1}


def test_without_the_systems_litres_nothing_is_known_once_something_went_in() -> None:
    assert shares(fold(change(), system_l=None)) == {None: 1.0}
    assert shares(fold([Moved("drained", 5)], system_l=None)) == {OLD: 1.0}


def test_a_top_up_without_a_drain_makes_good_what_was_lost_unseen() -> None:
    assert shares(fold([Moved("top_up", 3.9, NEW)])) == {OLD: 0.95, NEW: 0.05}


def test_what_an_attachment_took_away_and_brought_back_counts() -> None:
    found = fold([Moved("attachment_off", 7.8), Moved("attachment_on", 7.8, NEW)])
    assert shares(found) == {OLD: 0.9, NEW: 0.1}


def test_drained_water_changes_nothing() -> None:
    assert fold([Moved("water_drained", 10)]) == ALL_OLD


# circulated


def test_a_second_change_before_the_functions_were_moved_takes_the_new_oil_out_again() -> None:
    twice = fold(change(circulated=False) * 2)
    assert shares(twice)[OLD] == pytest.approx(30 / 78, abs=1e-6)
    moved = fold([*change(circulated=True), *change(circulated=True)])
    assert shares(moved)[OLD] == pytest.approx((30 / 78) ** 2, abs=1e-6)


def test_what_lies_in_the_tank_alone_is_told() -> None:
    found = fold(change(circulated=False))
    assert [(part.oil, round(part.share, 6)) for part in found.unmixed] == [(NEW, round(48 / 78, 6))]
    assert fold(change(circulated=True)).unmixed == ()
    assert fold(change()).unmixed == ()  # nobody said: taken for moved


def test_an_hour_of_work_moves_every_function() -> None:
    worked = [*change(circulated=False, hours=100), *change(circulated=False, hours=101)]
    assert shares(fold(worked))[OLD] == pytest.approx((30 / 78) ** 2, abs=1e-6)
    stood = [*change(circulated=False, hours=100), *change(circulated=False, hours=100.5)]
    assert shares(fold(stood))[OLD] == pytest.approx(30 / 78, abs=1e-6)


def test_a_partial_drain_takes_what_the_tank_holds() -> None:
    # 10 L of new oil on 38 L of old in a tank of 48: half of it drained takes 5 L of the new.
    poured = [Moved("drained", 10), Moved("fill", 10, NEW, None, False), Moved("drained", 24)]
    found = fold([*poured, Moved("fill", 24, "ridge_68", None, True)])
    assert shares(found) == {
        OLD: pytest.approx((68 - 19) / 78, abs=1e-6),
        NEW: pytest.approx(5 / 78, abs=1e-6),
        "ridge_68": pytest.approx(24 / 78, abs=1e-6),
    }


def test_without_the_tanks_litres_what_was_poured_in_last_is_taken_to_leave_first() -> None:
    poured = [Moved("drained", 10), Moved("fill", 10, NEW, None, False), Moved("drained", 24)]
    found = fold([*poured, Moved("fill", 24, OLD, None, True)], tank_l=None)
    assert shares(found) == {OLD: 1.0}


# laws

WAYS = st.sampled_from([*oilhistory.IN_WAYS, *oilhistory.OUT_WAYS, "water_drained"])
MOVES = st.lists(
    st.builds(
        Moved,
        WAYS,
        st.floats(0, 150),
        st.sampled_from([OLD, NEW, "ridge_68", None]),
        st.none(),
        st.sampled_from([True, False, None]),
    ),
    max_size=12,
)


@given(MOVES, st.sampled_from([None, 20.0, 48.0]))
def test_shares_are_never_negative_and_make_one(moves: list[Moved], tank_l: float | None) -> None:
    found = fold(moves, tank_l=tank_l)
    assert sum(part.share for part in found.parts) == pytest.approx(1)
    assert all(0 < part.share <= 1 + 1e-9 for part in found.parts)
    assert found.missing_l >= 0
    for fresh in found.unmixed:
        whole = next((part.share for part in found.parts if part.oil == fresh.oil), 0.0)
        assert 0 < fresh.share <= whole + 2e-3


@given(MOVES, MOVES)
def test_going_on_from_what_was_there_is_folding_it_all(first: list[Moved], then: list[Moved]) -> None:
    assert fold(then, start=fold(first)) == fold([*first, *then])


@given(
    st.lists(st.tuples(st.sampled_from([OLD, NEW, "ridge_68"]), st.floats(0.5, 5)), min_size=2, max_size=5),
    st.randoms(),
)
def test_cans_poured_into_one_drained_tank_may_come_in_any_order(cans: list[tuple[str, float]], chance: object) -> None:
    drained = [Moved("drained", sum(litres for _, litres in cans))]
    shuffled = list(cans)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    one, other = (
        fold([*drained, *(Moved("fill", litres, name) for name, litres in order)]) for order in (cans, shuffled)
    )
    assert shares(one) == {name: pytest.approx(share, abs=1e-5) for name, share in shares(other).items()}


@given(st.floats(1, 77), st.floats(0.1, 0.9))
def test_oil_is_kept_when_it_lies_in_the_tank_unmixed(litres: float, part: float) -> None:
    moves = [*change(litres, circulated=False), Moved("drained", litres * part)]
    found = fold(moves)
    there_l = 78 - litres * part
    new_l = sum(one.share for one in found.parts if one.oil == NEW) * there_l
    assert 0 <= new_l <= litres + 1e-6
    assert found.missing_l == pytest.approx(litres * part)
    mixed = fold([*change(litres, circulated=True), Moved("drained", litres * part)])
    mixed_new = sum(one.share for one in mixed.parts if one.oil == NEW) * there_l
    assert new_l <= mixed_new + 1e-2  # what lies in the tank leaves with the drain


@pytest.mark.parametrize(
    ("movement", "error"),
    [
        (Moved("poured", 1), NotAChoice),
        (Moved("fill", float("nan")), OutOfRange),
        (Moved("fill", 1e6), OutOfRange),
    ],
)
def test_what_is_no_movement_is_refused(movement: Moved, error: type[Exception]) -> None:
    with pytest.raises(error):
        fold([movement])
    with pytest.raises(OutOfRange):
        fold(change(), system_l=0.0)


# how many changes


@given(st.floats(0.001, 1), st.floats(0.001, 0.5), st.floats(0.05, 1))
def test_the_last_change_is_the_first_that_meets_the_limit(share: float, limit: float, out: float) -> None:
    try:
        found = oilhistory.changes_until(share, limit, 78 * out, 78)
    except CannotTell:
        assert (1 - out) ** oilhistory.MOST_CHANGES > limit / share * 0.99
        return
    counted = [share, *found.left]
    assert counted[-1] <= limit * (1 + 1e-6)
    assert all(one > limit * (1 - 1e-6) for one in counted[:-1])
    assert found.count.low <= found.count.value <= found.count.high
    assert found.litres_l == pytest.approx(found.count.value * 78 * out)
    assert found.after.holds(counted[-1])


def test_none_is_needed_where_the_limit_is_met_already() -> None:
    found = oilhistory.changes_until(0.01, 0.02, 48, 78)
    assert (found.count.value, found.left, found.litres_l) == (0, (), 0)


def test_the_fold_of_so_many_changes_meets_the_limit() -> None:
    found = oilhistory.changes_until(1.0, 0.02, 48, 78)
    left = shares(fold(change() * int(found.count.value))).get(OLD, 0.0)
    assert left == pytest.approx(found.left[-1], abs=1e-3)
    assert all(lines(found.working, "us"))


@pytest.mark.parametrize(
    ("told", "error", "name"),
    [
        ((1.2, 0.02, 48, 78), OutOfRange, "share"),
        ((1, 0, 48, 78), OutOfRange, "limit_share"),
        ((1, 0.02, 0, 78), OutOfRange, "drained_l"),
        ((1, 0.02, 80, 78), OutOfRange, "drained_l"),
        ((1, 0.02, 48, 0), OutOfRange, "system_l"),
    ],
)
def test_what_cannot_be_is_refused_by_name(told: tuple[float, ...], error: type[Exception], name: str) -> None:
    with pytest.raises(error) as refused:
        oilhistory.changes_until(*told)
    assert refused.value.name == name  # type: ignore[attr-defined]


def test_a_thimble_at_a_time_is_not_counted() -> None:
    with pytest.raises(CannotTell, match="more than 100"):
        oilhistory.changes_until(1, 0.02, 1, 78)


# what is inside, told


def test_masses_weigh_each_oil_by_its_density() -> None:
    found = oilhistory.inside((OilPart(NEW, 0.6), OilPart(OLD, 0.4)), OILS)
    total = 0.6 * 921 + 0.4 * 877
    assert [part.oil for part in found.masses] == [NEW, OLD]
    assert [part.share for part in found.masses] == pytest.approx([0.6 * 921 / total, 0.4 * 877 / total])
    assert found.main == OILS[NEW]
    assert found.kv40_mm2_s is not None
    assert found.kv40_mm2_s.value == pytest.approx(oil.blend_viscosity([(47.5, 0.6), (46, 0.4)]))
    assert found.mixed is not None
    assert found.mixed.density15_kg_m3 == pytest.approx(total)


def test_what_nobody_knows_counts_as_another_oil_until_it_is_known() -> None:
    found = oilhistory.inside((OilPart(NEW, 0.9), OilPart(OLD, 0.06), OilPart(None, 0.04)), OILS)
    assert found.bio
    assert found.other_share is not None
    assert found.other_share.low < 0.06 < found.other_share.value == found.other_share.high < 0.1
    assert found.unknown_share == pytest.approx(0.04)


def test_the_viscosity_of_the_unknown_is_not_guessed() -> None:
    parts = (OilPart(OLD, 0.5), OilPart(None, 0.5))
    assert oilhistory.inside(parts, OILS).kv40_mm2_s is None
    within = oilhistory.inside(parts, OILS, unknown_mm2_s=(41.4, 50.6)).kv40_mm2_s
    assert within is not None
    assert 43 < within.low < 46 < within.high < 49


def test_an_oil_that_is_not_kept_here_is_unknown_too() -> None:
    found = oilhistory.inside((OilPart("gone", 1.0),), OILS)
    assert (found.main, found.mixed, found.kv40_mm2_s, found.other_share) == (None, None, None, None)
    assert found.unknown_share == 1


def test_two_mineral_oils_are_no_other_oil_to_each_other() -> None:
    found = oilhistory.inside((OilPart(OLD, 0.7), OilPart("ridge_68", 0.3)), OILS)
    assert found.other_share is not None
    assert found.other_share.value == 0
    assert not found.bio


@given(MOVES)
def test_masses_make_one_and_every_range_holds_its_value(moves: list[Moved]) -> None:
    found = oilhistory.inside(fold(moves).parts, OILS, unknown_mm2_s=(41.4, 50.6))
    assert sum(part.share for part in found.masses) == pytest.approx(1)
    for one in (found.kv40_mm2_s, found.other_share):
        if one is not None:
            assert one.holds(one.value)
    assert all(lines(found.working)) or not found.working.steps


def test_an_oil_without_a_density_weighs_as_a_usual_one() -> None:
    bare = {**OILS, OLD: replace(OILS[OLD], density15_kg_m3=None)}
    found = oilhistory.inside((OilPart(NEW, 0.5), OilPart(OLD, 0.5)), bare)
    assert found.masses[1].share == pytest.approx(875 / (875 + 921))


# said


def _bio(share: float, unknown: float = 0.0) -> oilhistory.Inside:
    parts = [OilPart(NEW, 1 - share - unknown), OilPart(OLD, share), OilPart(None, unknown)]
    return oilhistory.inside([part for part in parts if part.share > 0], OILS)


@pytest.mark.parametrize(
    ("share", "litres", "said"),
    [
        (0.3, (78.0, 48.0), "3 more changes of 48.0 L."),
        (0.04, (78.0, 48.0), "one more change of 48.0 L."),
        (0.3, (None, 48.0), "more changes are needed."),
        (0.3, (78.0, None), "more changes are needed."),
        (0.3, (78.0, 0.5), "more changes are needed."),
        (0.01, (78.0, 48.0), "under the usual limit of 2%."),
    ],
)
def test_what_a_bio_oil_still_needs_is_said(share: float, litres: tuple[float | None, float | None], said: str) -> None:
    lines = oilhistory.says(_bio(share), system_l=litres[0], drained_l=litres[1])
    assert lines[1].endswith(said)
    assert "may be another" not in lines[1]


def test_what_nobody_knows_is_said_to_be_another_oil_at_the_most() -> None:
    assert oilhistory.says(_bio(0.01, 0.2), "us", system_l=78, drained_l=48)[1].startswith("Up to ")


def test_nothing_is_said_of_an_oil_that_nobody_knows() -> None:
    assert oilhistory.says(oilhistory.inside((OilPart(None, 1.0),), OILS)) == []


def test_one_that_was_taken_for_moved_and_one_that_lies_in_the_tank_are_told_apart() -> None:
    assert oilhistory.says(_bio(0.3), circulated=None)[-1].startswith("Nobody wrote")
    assert oilhistory.says(_bio(0.3), in_tank_alone=True, circulated=False)[-1].startswith("The last fill lies")
    assert len(oilhistory.says(_bio(0.3))) == 2
