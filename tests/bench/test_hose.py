"""Hose ends, sizes and ages: against the published tables, and honest where ends look alike."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coldmark.bench import hose, words
from coldmark.bench.errors import CannotTell, Contradiction, NotAChoice, OutOfRange
from coldmark.bench.hose.stamp import LONGEST_STORED_MONTHS
from tests.published.reading import Row, rows

TODAY = date(2026, 3, 2)
ENDS = {(one.family, one.size): one for one in hose.all_ends()}
ends = st.sampled_from(hose.all_ends())


def end_of(row: Row) -> hose.End:
    return ENDS[row.given["family"], row.given["size"].replace("_", " ")]


@pytest.mark.parametrize("row", rows("hose", "thread"), ids=str)
def test_an_end_has_the_published_thread(row: Row) -> None:
    assert end_of(row).thread == row.printed.replace("_", " ")


@pytest.mark.parametrize("row", rows("hose", "outer_mm"), ids=str)
def test_an_end_has_the_published_outside(row: Row) -> None:
    row.check(end_of(row).outer_mm)


@pytest.mark.parametrize("row", rows("hose", "outer_in"), ids=str)
def test_an_end_has_the_published_outside_in_inches(row: Row) -> None:
    row.check(end_of(row).outer_mm / 25.4)


@pytest.mark.parametrize("row", rows("hose", "inner_mm"), ids=str)
def test_an_end_has_the_published_inside(row: Row) -> None:
    assert end_of(row).inner_mm == pytest.approx(float(row.printed), abs=0.002)


@pytest.mark.parametrize("row", rows("hose", "tpi"), ids=str)
def test_an_end_has_the_published_threads_an_inch(row: Row) -> None:
    assert 25.4 / end_of(row).pitch_mm == pytest.approx(float(row.printed), rel=1e-4)


@pytest.mark.parametrize("row", rows("hose", "pitch_mm"), ids=str)
def test_an_end_has_the_published_pitch(row: Row) -> None:
    row.check(end_of(row).pitch_mm)


@pytest.mark.parametrize("row", [*rows("hose", "found_inside"), *rows("hose", "found_outside")], ids=str)
def test_an_end_is_found_by_the_published_measure(row: Row) -> None:
    wanted = end_of(row)
    sex = "female" if row.asked == "found_inside" else "male"
    found = hose.identify(float(row.printed), sex, pitch_mm=wanted.pitch_mm, seat=wanted.seat)
    assert wanted in [one.end for one in found.fitting]


@pytest.mark.parametrize("row", rows("hose", "same_thread"), ids=str)
def test_two_flares_share_the_published_threads(row: Row) -> None:
    assert ENDS[row.printed, row.given["size"]].thread == end_of(row).thread


@pytest.mark.parametrize("row", rows("hose", "bore_mm"), ids=str)
def test_a_hose_has_the_published_bore(row: Row) -> None:
    found = hose.size_of(float(row.printed))
    assert found.dash == int(row.given["dash"])
    row.check(found.bore_mm)


@pytest.mark.parametrize("row", [*rows("hose", "made_first"), *rows("hose", "made_last")], ids=str)
def test_a_stamp_is_read_as_published(row: Row) -> None:
    found = hose.made(row.given["stamp"], TODAY)
    assert (found.first if row.asked == "made_first" else found.last).isoformat() == row.printed


@pytest.mark.parametrize("row", rows("hose", "limit_months"), ids=str)
def test_the_guidance_is_the_published_one(row: Row) -> None:
    row.check(hose.LIMITS_MONTHS[row.given["kept"]][0])


@pytest.mark.parametrize("row", rows("hose", "longest_months"), ids=str)
def test_the_longest_time_on_the_reel_is_the_published_one(row: Row) -> None:
    row.check(LONGEST_STORED_MONTHS)


def test_every_end_tells_how_it_is_known() -> None:
    assert {one.standing for one in hose.all_ends()} == {"as printed", "library", "from memory"}
    assert all(words.has(f"hose.family.{one.family}") for one in hose.all_ends())
    assert len(ENDS) == len(hose.all_ends())


@given(ends, st.sampled_from(hose.SEXES))
def test_every_end_is_found_by_its_own_measures(end: hose.End, sex: str) -> None:
    measured = end.outer_mm - 0.1 if sex == "male" else end.inner_mm + 0.1
    found = hose.identify(measured, sex, pitch_mm=end.pitch_mm, seat=end.seat, tube_mm=end.tube_mm)
    assert end in [one.end for one in found.fitting]
    assert {one.end.seat for one in found.fitting} == {end.seat}


@given(ends, st.sampled_from(hose.SEXES))
def test_measuring_more_never_brings_a_new_candidate(end: hose.End, sex: str) -> None:
    measured = end.outer_mm if sex == "male" else end.inner_mm
    bare = {one.end for one in hose.identify(measured, sex).fitting}
    pitched = {one.end for one in hose.identify(measured, sex, pitch_mm=end.pitch_mm).fitting}
    seated = {one.end for one in hose.identify(measured, sex, pitch_mm=end.pitch_mm, seat=end.seat).fitting}
    assert seated <= pitched <= bare


@given(ends)
def test_what_is_alike_is_never_what_fits(end: hose.End) -> None:
    found = hose.identify(end.outer_mm, "male", pitch_mm=end.pitch_mm, seat=end.seat)
    assert not {one.end for one in found.fitting} & set(found.alike)
    for other in found.alike:
        assert abs(other.outer_mm - end.outer_mm) <= 0.7 + 0.9


def test_one_measurement_identifies_nothing() -> None:
    found = hose.identify(11.1, "male")
    assert found.state == "several"
    assert "One measurement identifies no end: take the pitch as well, or look at the seat." in hose.says(found)
    alone = hose.identify(20.0, "male")
    assert len(alone.fitting) == 1
    assert (alone.state, alone.enough) == ("several", False)


def test_what_is_not_in_the_table_is_not_identified() -> None:
    found = hose.identify(38.4, "male", pitch_mm=1.5)
    assert (found.state, found.fitting, found.alike) == ("none", (), ())
    assert hose.says(found)[0] == "Not identified: nothing in the table is like it."


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"thread_mm": 19.0, "pitch_mm": 1.59, "seat": "flare_37"}, "JIC 37° and SAE 45° flares share this thread"),
        ({"thread_mm": 20.9, "tpi": 14, "seat": "cone_60"}, "BSP and NPT look alike and are not"),
        ({"thread_mm": 21.8, "pitch_mm": 1.5, "seat": "cone_24"}, "The light and the heavy series share this thread"),
        ({"thread_mm": 21.8, "pitch_mm": 1.5, "seat": "foot_ring"}, "Metric cone ends and metric ports share threads"),
        ({"thread_mm": 26.9, "pitch_mm": 2.0, "seat": "foot_ring"}, "JIC, 37° flare (ISO 8434-2), 1 1/16-12 UN"),
    ],
)
def test_look_alikes_are_said_plainly(told: dict[str, object], said: str) -> None:
    found = hose.identify(sex="male", **told)  # type: ignore[arg-type]
    assert any(said in line for line in hose.says_alike(found))


@pytest.mark.parametrize(
    ("told", "apart"),
    [
        ({"thread_mm": 26.9}, {"pitch", "seat"}),
        ({"thread_mm": 19.0, "pitch_mm": 1.59}, {"seat"}),
        ({"thread_mm": 21.8, "pitch_mm": 1.5, "seat": "cone_24"}, {"tube"}),
        ({"thread_mm": 20.9, "tpi": 14, "seat": "taper"}, {"form"}),
        ({"thread_mm": 21.8, "pitch_mm": 1.5, "seat": "cone_24", "tube_mm": 15}, set()),
    ],
)
def test_it_asks_for_what_would_tell_them_apart(told: dict[str, object], apart: set[str]) -> None:
    found = hose.identify(sex="male", **told)  # type: ignore[arg-type]
    assert set(found.apart) == apart
    assert all(words.has(f"hose.apart.{one}") for one in found.apart)


def test_what_is_from_memory_is_said_to_be() -> None:
    remembered = hose.identify(14.2, "male", tpi=18, seat="flare_37")
    printed = hose.identify(19.0, "male", tpi=16, seat="flare_37")
    assert any(line.startswith("From memory") and "9/16-18 UNF" in line for line in hose.says_alike(remembered))
    assert not any(line.startswith("From memory") for line in hose.says_alike(printed))


def test_every_answer_comes_with_the_caution_on_jets() -> None:
    assert "card" in hose.cautions()[0]
    assert "surgeon" in hose.cautions()[1]


@pytest.mark.parametrize(
    ("stamp", "first", "last", "readings"),
    [
        ("2Q18", "2018-04-01", "2018-06-30", ("quarter",)),
        ("Q2/18", "2018-04-01", "2018-06-30", ("quarter",)),
        ("2Q2018", "2018-04-01", "2018-06-30", ("quarter",)),
        ("2018 Q2", "2018-04-01", "2018-06-30", ("quarter",)),
        ("4q25", "2025-10-01", "2025-12-31", ("quarter",)),
        ("06/18", "2018-06-01", "2018-06-30", ("month",)),
        ("06.2018", "2018-06-01", "2018-06-30", ("month",)),
        ("2018-06", "2018-06-01", "2018-06-30", ("year_month",)),
        ("18/06", "2018-06-01", "2018-06-30", ("year_month",)),
        ("06/07", "2006-07-01", "2007-06-30", ("month", "year_month")),
        ("2/20", "2020-02-01", "2020-06-30", ("month", "quarter")),
        ("3Q98", "1998-07-01", "1998-09-30", ("quarter",)),
        ("1Q26", "2026-01-01", "2026-03-02", ("quarter",)),
        ("02/24", "2024-02-01", "2024-02-29", ("month",)),
    ],
)
def test_stamps_are_read_as_they_are_made(stamp: str, first: str, last: str, readings: tuple[str, ...]) -> None:
    found = hose.made(stamp, TODAY)
    assert (found.first.isoformat(), found.last.isoformat(), found.readings) == (first, last, readings)


@pytest.mark.parametrize("stamp", ["", "5Q18", "13/13", "2Q", "2018", "R2 1234 Q", "0Q18", "2Q1850", "2Q2027", "00/18"])
def test_what_is_no_date_is_refused_with_one_that_would_do(stamp: str) -> None:
    with pytest.raises(Contradiction, match="2Q18") as caught:
        hose.made(stamp, TODAY)
    assert caught.value.name == "stamp"


@given(st.dates(date(1990, 1, 1), TODAY), st.sampled_from(["{q}Q{yy}", "Q{q}/{yyyy}", "{mm}/{yyyy}", "{yy}{mm}"]))
def test_a_stamp_never_shuts_out_the_day_it_was_made(day: date, form: str) -> None:
    stamp = form.format(q=(day.month + 2) // 3, yy=f"{day.year % 100:02}", yyyy=day.year, mm=f"{day.month:02}")
    found = hose.made(stamp, TODAY)
    assert found.first <= day <= found.last


@given(st.dates(date(1990, 1, 1), TODAY), st.integers(0, 4000))
def test_a_hose_grows_older_by_the_day(day: date, days: int) -> None:
    later = TODAY + timedelta(days=days)
    stamp = f"{(day.month + 2) // 3}Q{day.year}"
    assume(hose.made(stamp, TODAY).last < TODAY)
    first, second = hose.age(stamp, TODAY).months, hose.age(stamp, later).months
    assert second.value - first.value == pytest.approx(days / 30.4375, abs=0.1)
    assert first.low <= first.value <= first.high


@pytest.mark.parametrize(
    ("stamp", "kept", "verdict"),
    [
        ("2Q24", "in_use", "within"),
        ("2Q18", "in_use", "over"),
        ("1Q20", "in_use", "open"),
        ("2Q23", "stored_hose", "within"),
        ("2Q21", "stored_hose", "over"),
        ("3Q24", "stored_assembly", "within"),
        ("2Q23", "stored_assembly", "over"),
    ],
)
def test_the_guidance_is_held_against_the_whole_range(stamp: str, kept: str, verdict: str) -> None:
    found = hose.age(stamp, TODAY, kept)
    assert found.verdict == verdict
    lines = hose.says(found)
    assert found.limit_source in lines[-1]
    assert all("{" not in line for line in lines)


def test_hose_on_the_reel_beyond_ten_years_is_not_to_be_used() -> None:
    assert "forty quarters" in hose.says(hose.age("1Q14", TODAY, "stored_hose"))[-1]


def test_a_bore_between_two_sizes_is_not_guessed() -> None:
    with pytest.raises(CannotTell, match="between two sizes"):
        hose.size_of(14.2)
    with pytest.raises(OutOfRange, match="bore"):
        hose.size_of(3)


@pytest.mark.parametrize(
    ("told", "name"),
    [
        ({"thread_mm": 4}, "thread"),
        ({"thread_mm": 81}, "thread"),
        ({"thread_mm": 20, "pitch_mm": 5}, "pitch"),
        ({"thread_mm": 20, "tpi": 60}, "tpi"),
        ({"thread_mm": 20, "tube_mm": 1}, "tube"),
    ],
)
def test_what_no_end_measures_is_refused(told: dict[str, float], name: str) -> None:
    with pytest.raises(OutOfRange, match=name):
        hose.identify(sex="male", **told)  # type: ignore[arg-type]


def test_another_seat_sex_or_way_of_keeping_is_refused() -> None:
    with pytest.raises(NotAChoice, match="flare_37"):
        hose.identify(20, "male", seat="cone_30")
    with pytest.raises(NotAChoice, match="female"):
        hose.identify(20, "both")
    with pytest.raises(NotAChoice, match="in_use"):
        hose.age("2Q18", TODAY, "lost")


def test_a_pitch_told_twice_must_be_the_same() -> None:
    assert hose.identify(19, "male", pitch_mm=1.59, tpi=16) == hose.identify(19, "male", tpi=16)
    with pytest.raises(Contradiction, match="tpi") as caught:
        hose.identify(19, "male", pitch_mm=1.5, tpi=16)
    assert caught.value.name == "tpi"
