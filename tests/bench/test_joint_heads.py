"""Which bolt wears a hexagon: against the published tables, and honest where it may be several."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import joint
from coldmark.bench.errors import Contradiction, OutOfRange
from coldmark.bench.joint.threads import COARSE_MM, FINE_MM, INCH
from tests.published.reading import Row, rows


def worn_by(thread: str, standard: str, hex_mm: float) -> joint.BoltCandidate:
    return next(one for one in joint.candidates(hex_mm).fitting if (one.thread, one.standard) == (thread, standard))


@pytest.mark.parametrize("row", rows("joint_heads", "hex"), ids=str)
def test_a_thread_wears_the_published_hexagon(row: Row) -> None:
    found = worn_by(row.given["thread"], row.given["standard"], float(row.printed))
    row.check(found.hex_mm)
    assert found.off_mm == pytest.approx(0)
    assert found.standing == row.standing


@pytest.mark.parametrize("row", rows("joint_heads", "hex_in"), ids=str)
def test_an_inch_thread_wears_the_published_hexagon(row: Row) -> None:
    found = worn_by(row.given["thread"], "inch", 25.4 * float(row.printed))
    row.check(found.hex_mm / 25.4)
    assert found.standing == row.standing


@pytest.mark.parametrize("row", rows("joint_heads", "unc"), ids=str)
def test_a_coarse_inch_thread_is_the_published_one(row: Row) -> None:
    row.check(INCH[row.given["thread"]][1])


@pytest.mark.parametrize("row", rows("joint_heads", "unf"), ids=str)
def test_a_fine_inch_thread_is_the_published_one(row: Row) -> None:
    row.check(INCH[row.given["thread"]][2])


@pytest.mark.parametrize("row", rows("joint_heads", "coarse_pitch"), ids=str)
def test_a_coarse_pitch_is_the_published_one(row: Row) -> None:
    row.check(COARSE_MM[row.number("diameter")])


@pytest.mark.parametrize("row", rows("joint_heads", "fine_pitches"), ids=str)
def test_fine_pitches_are_the_published_ones(row: Row) -> None:
    assert FINE_MM[row.number("diameter")] == tuple(float(one) for one in row.printed.split(","))


def test_seventeen_may_be_an_old_ten_or_a_japanese_twelve() -> None:
    found = joint.candidates(17)
    assert found.names == ("M10", "M12")
    assert found.standards_of("M10") == ("old DIN 931", "JIS B 1180")
    assert found.standards_of("M12") == ("JIS B 1180 with a small head",)


def test_a_stored_page_was_wrong_about_the_22() -> None:
    """A page in the trade lists 32 mm for M22 under ISO 4014; ISO 272 has 34, and 32 is the old DIN."""
    assert {one.standard for one in joint.candidates(32).fitting if one.thread == "M22"} == {"din", "jis"}
    assert {one.standard for one in joint.candidates(34).fitting if one.thread == "M22"} == {"iso"}


def test_what_is_measured_on_the_thread_narrows_it() -> None:
    assert joint.candidates(13).names == ("M8", "M10")
    assert joint.candidates(13, diameter_mm=7.85).names == ("M8",)
    assert joint.candidates(13, diameter_mm=7.85, pitch_mm=1.0).names == ("M8×1",)
    assert joint.candidates(19, tpi=13).names == ("M14", "1/2-13 UNC")
    assert joint.candidates(19, diameter_mm=12.6, tpi=20).names == ("1/2-20 UNF",)
    assert joint.candidates(17, diameter_mm=20).names == ()


def test_a_half_inch_hexagon_and_thirteen_are_told_as_near() -> None:
    near = joint.candidates(13).near
    assert [one.name for one in near] == ["5/16 in"]
    assert near[0].off_mm == pytest.approx(0.3)
    assert {"5/16 in", "M8"} <= set(joint.candidates(12.7).names)


@given(st.floats(5, 70))
def test_what_fits_is_never_much_off(hex_mm: float) -> None:
    found = joint.candidates(hex_mm)
    offs = [abs(one.off_mm) for one in found.fitting]
    assert offs == sorted(offs)
    for one in found.fitting:
        assert hex_mm - 0.11 <= one.hex_mm <= 1.03 * hex_mm
    assert not {(one.thread, one.standard) for one in found.near} & {
        (one.thread, one.standard) for one in found.fitting
    }


@given(st.floats(5, 70), st.floats(2, 50))
def test_measuring_more_never_brings_a_new_candidate(hex_mm: float, diameter_mm: float) -> None:
    bare = {one.thread for one in joint.candidates(hex_mm).fitting}
    assert {one.thread for one in joint.candidates(hex_mm, diameter_mm=diameter_mm).fitting} <= bare


@pytest.mark.parametrize(
    ("told", "name"),
    [
        ({"hex_mm": 4.9}, "hex"),
        ({"hex_mm": 70.1}, "hex"),
        ({"hex_mm": 17, "diameter_mm": 1}, "diameter"),
        ({"hex_mm": 17, "pitch_mm": 9}, "pitch"),
        ({"hex_mm": 17, "tpi": 3}, "tpi"),
    ],
)
def test_what_no_bolt_measures_is_refused(told: dict[str, float], name: str) -> None:
    with pytest.raises(OutOfRange, match=name):
        joint.candidates(**told)


def test_a_pitch_told_twice_must_be_the_same() -> None:
    assert joint.candidates(19, pitch_mm=1.954, tpi=13).names == joint.candidates(19, tpi=13).names
    with pytest.raises(Contradiction, match="tpi") as caught:
        joint.candidates(19, pitch_mm=1.5, tpi=13)
    assert caught.value.name == "tpi"
