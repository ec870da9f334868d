"""Torque and pull of bolts: against the published tables, and what oil, soft metal and unmarked heads do to them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import joint
from coldmark.bench.errors import CannotTell, Missing, NotAChoice, OutOfRange
from coldmark.bench.sheet import Fasteners
from coldmark.bench.working import Range
from tests.published.reading import Row, rows

SIZES = ("M6", "M8", "M10", "M12", "M14", "M16", "M18", "M20", "M22", "M24")
classes = st.sampled_from(joint.CLASSES)
threads = st.sampled_from((*SIZES, "M8x1", "M10x1.25", "M12x1.5", "M16x1.5", "M20x1.5", "M24x2"))
frictions = st.floats(0.02, 0.6)


def found(row: Row) -> joint.Tightening:
    return joint.torque(row.given["thread"], row.given["grade"], row.number("mu"))


def within_one_percent(row: Row, value: float) -> None:
    printed = float(row.printed)
    assert abs(value - printed) <= 0.01 * printed, f"{row}: printed {printed}, worked out {value}"


@pytest.mark.parametrize("row", rows("joint_torque", "fine_pull"), ids=str)
def test_the_pull_is_that_of_the_published_table_of_fine_threads(row: Row) -> None:
    within_one_percent(row, found(row).pull_kn.value)


@pytest.mark.parametrize("row", rows("joint_torque", "fine_torque"), ids=str)
def test_the_torque_is_that_of_the_published_table_of_fine_threads(row: Row) -> None:
    within_one_percent(row, found(row).set_nm)


@pytest.mark.parametrize("row", rows("joint_torque", "coarse_pull"), ids=str)
def test_the_pull_of_coarse_threads_is_as_worked_out_apart(row: Row) -> None:
    row.check(found(row).pull_kn.value)


@pytest.mark.parametrize("row", rows("joint_torque", "coarse_torque"), ids=str)
def test_the_torque_of_coarse_threads_is_as_worked_out_apart(row: Row) -> None:
    row.check(found(row).set_nm)


@pytest.mark.parametrize("row", rows("joint_torque", "remembered_torque"), ids=str)
def test_the_torque_of_coarse_threads_is_that_of_the_remembered_table(row: Row) -> None:
    """That table rounds to whole newton metres from M10 up, which is more than 1 % there."""
    coarse = 1.0 if "." not in row.printed else 0.0
    assert abs(found(row).set_nm - float(row.printed)) <= max(0.01 * float(row.printed), coarse)


@pytest.mark.parametrize("row", rows("joint_torque", "area"), ids=str)
def test_the_area_that_bears_is_the_published_one(row: Row) -> None:
    row.check(joint.thread(row.given["thread"]).stress_area_mm2)


@pytest.mark.parametrize("row", rows("joint_torque", "proof_kn"), ids=str)
def test_a_bolt_is_never_tightened_beyond_its_published_proof_load(row: Row) -> None:
    """The proof load is what the standard has every bolt bear; the least friction is the worst case."""
    tight = joint.torque(row.given["thread"], row.given["grade"], "paste")
    assert tight.pull_kn.high < float(row.printed)


# What the standard has every bolt of a class bear before it breaks [MPa].
_BREAKS_MPA = {"8.8": 800, "10.9": 1040, "12.9": 1220}


@pytest.mark.parametrize("row", rows("joint_torque", "tensile_kn"), ids=str)
def test_the_area_bears_the_published_tensile_load(row: Row) -> None:
    breaks_kn = joint.thread(row.given["thread"]).stress_area_mm2 * _BREAKS_MPA[row.given["grade"]] / 1000
    # The table works with areas of three digits and rounds to as many.
    assert breaks_kn == pytest.approx(float(row.printed), rel=0.005)
    assert joint.torque(row.given["thread"], row.given["grade"], "paste").pull_kn.high < breaks_kn


@pytest.mark.parametrize("row", rows("joint_torque", "proof_mpa"), ids=str)
def test_a_bolt_is_tightened_to_less_than_the_published_proof_stress(row: Row) -> None:
    one = f"M{row.given['diameter']}"
    pulled = joint.torque(one, row.given["grade"], "paste").pull_kn.high * 1000 / joint.thread(one).stress_area_mm2
    assert 0.85 * float(row.printed) < pulled < float(row.printed)


@pytest.mark.parametrize("row", rows("joint_torque", "friction_low"), ids=str)
def test_the_least_friction_is_that_of_the_published_class(row: Row) -> None:
    row.check(joint.FRICTION[row.given["state"]][0])


@pytest.mark.parametrize("row", rows("joint_torque", "friction_high"), ids=str)
def test_the_most_friction_is_that_of_the_published_class(row: Row) -> None:
    row.check(joint.FRICTION[row.given["state"]][1])


@given(threads, classes, st.sampled_from(sorted(joint.FRICTION)))
def test_the_torque_to_set_never_stretches_a_bolt_within_its_range_of_friction(
    name: str, grade: str, state: str
) -> None:
    tight = joint.torque(name, grade, state)
    assert tight.set_nm == pytest.approx(tight.torque_nm.low)
    for mu in (tight.mu.low, tight.mu.value, tight.mu.high):
        held = joint.pull(name, grade, tight.set_nm, mu)
        assert held.yield_share <= 0.9 + 1e-9
        assert tight.pull_kn.holds(held.kn) or held.kn == pytest.approx(tight.pull_kn.low)


@given(threads, classes, frictions, frictions)
def test_the_same_torque_pulls_more_the_less_friction_there_is(name: str, grade: str, one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert joint.pull(name, grade, 40, low).kn >= joint.pull(name, grade, 40, high).kn
    assert joint.torque(name, grade, low).pull_kn.value >= joint.torque(name, grade, high).pull_kn.value


@given(threads, frictions)
def test_a_stronger_class_bears_more(name: str, mu: float) -> None:
    torques = [joint.torque(name, grade, mu).set_nm for grade in joint.CLASSES]
    assert torques == sorted(torques)


@given(threads, classes, frictions)
def test_pull_and_torque_are_two_ways_of_one_relation(name: str, grade: str, mu: float) -> None:
    tight = joint.torque(name, grade, mu)
    held = joint.pull(name, grade, tight.set_nm, mu)
    assert held.kn == pytest.approx(tight.pull_kn.value)
    assert held.yield_share == pytest.approx(0.9)


def test_oil_on_the_thread_stretches_a_bolt_that_is_given_the_dry_torque() -> None:
    dry = joint.torque("M10", "8.8", "dry")
    oiled = joint.pull("M10", "8.8", dry.set_nm, joint.FRICTION["oiled"][0])
    assert oiled.kn > 1.5 * dry.pull_kn.high
    assert oiled.yield_share > 1


@pytest.mark.parametrize("into", [one for one in joint.INTO if one != "steel"])
def test_nothing_is_worked_out_for_what_a_bolt_may_strip_or_crack(into: str) -> None:
    tight = joint.how_tight(thread="M8", property_class="8.8", into=into)
    assert (tight.computed, tight.set_nm) == (None, None)
    assert joint.says_how_tight(tight)[0].startswith("No torque is worked out")
    assert "manual" in joint.says_how_tight(tight)[1]


@pytest.mark.parametrize(
    ("told", "why"),
    [
        ({"thread": None, "property_class": "8.8"}, "joint.why_not.thread"),
        ({"thread": "", "property_class": "8.8"}, "joint.why_not.thread"),
        ({"thread": "M8", "property_class": None}, "joint.why_not.class"),
        ({"thread": "M8", "property_class": "unknown"}, "joint.why_not.class"),
        ({"thread": "M8", "property_class": "5.6"}, "joint.class_unknown"),
        ({"thread": "M30", "property_class": "8.8"}, "joint.no_table"),
        ({"thread": "3/8-16 UNC", "property_class": "8.8"}, "joint.inch"),
        ({"thread": "M8", "property_class": "8.8", "sprung": True}, "joint.why_not.sprung"),
    ],
)
def test_nothing_is_worked_out_for_what_is_not_known(told: dict[str, object], why: str) -> None:
    tight = joint.how_tight(**told)  # type: ignore[arg-type]
    assert tight.computed is None
    assert tight.why_not == why
    assert all("{" not in line for line in joint.says_how_tight(tight))


def test_the_sheets_figure_wins_and_comes_first() -> None:
    sheet = Range(24, 22, 26)
    tight = joint.how_tight(thread="M8", property_class="8.8", sheet_nm=sheet)
    assert tight.set_nm == pytest.approx(24)
    lines = joint.says_how_tight(tight)
    assert lines[0] == "The data sheet says 24 N·m, from 22 N·m to 26 N·m. Set that."
    assert lines[1].startswith("For comparison only")
    assert tight.working.steps[0].givens[0].origin == "sheet"


def test_the_sheets_figure_stands_where_nothing_may_be_worked_out() -> None:
    tight = joint.how_tight(thread="M8", property_class=None, into="plastic", sheet_nm=Range(4, 4, 4))
    assert tight.set_nm == pytest.approx(4)
    assert joint.says_how_tight(tight)[0] == "The data sheet says 4 N·m. Set that."


def test_a_sheet_far_from_the_sum_is_said_to_be_so() -> None:
    far = joint.says_how_tight(joint.how_tight(thread="M8", property_class="8.8", sheet_nm=Range(6, 6, 6)))
    near = joint.says_how_tight(joint.how_tight(thread="M8", property_class="8.8", sheet_nm=Range(24, 22, 26)))
    assert "far apart" in far[-1]
    assert not any("far apart" in line for line in near)


def test_a_sheets_torque_may_be_given_by_its_limits_alone() -> None:
    assert joint.sheet_torque(None) is None
    assert joint.sheet_torque(Fasteners(6, 13, "M8", None, None, None, "manual")) is None
    assert joint.sheet_torque(Fasteners(6, 13, "M8", None, 22, 26, "manual")) == Range(24, 22, 26)
    assert joint.sheet_torque(Fasteners(6, 13, "M8", 24, None, 26, "manual")) == Range(24, 24, 26)


def test_a_can_is_turned_by_the_sheet_and_by_nothing_else() -> None:
    assert joint.spin_on(turn="half a turn").turn == "half a turn"
    with pytest.raises(Missing, match="the can's last turn") as caught:
        joint.spin_on(turn=" ")
    assert caught.value.name == "turn"


@pytest.mark.parametrize(
    ("text", "name"),
    [("M8", "M8"), ("m 8 x 1", "M8×1"), ("M10×1,25", "M10×1.25"), ("M12x1.75", "M12"), ("M10 x 1.50", "M10")],
)
def test_a_thread_is_read_as_people_write_it(text: str, name: str) -> None:
    assert joint.thread(text).name == name


@pytest.mark.parametrize("text", ["", "M", "M11", "M8x1.5", "10", "8 mm", "M10x"])
def test_what_is_no_thread_is_refused_with_those_there_are(text: str) -> None:
    with pytest.raises(NotAChoice, match=r"M8, M8×1, M10") as caught:
        joint.thread(text)
    assert caught.value.name == "thread"


@pytest.mark.parametrize("text", ["3/8-16 UNC", "1/2 in", '5/8"', "7/16 UNF"])
def test_an_inch_thread_has_no_torque_here(text: str) -> None:
    with pytest.raises(CannotTell, match="inch thread"):
        joint.torque(text, "8.8")


@pytest.mark.parametrize(
    ("text", "name"),
    [("M8", "M8"), ("M8 x 25", "M8"), ("M8 × 1", "M8×1"), ("bowl", None), ("", None), ("3/8 UNC", None)],
)
def test_a_sheets_words_name_a_thread_or_none(text: str, name: str | None) -> None:
    assert joint.known_thread(text) == name


def test_what_cannot_be_is_refused_by_name() -> None:
    with pytest.raises(NotAChoice, match="oiled") as state:
        joint.torque("M8", "8.8", "greasy")
    assert state.value.name == "friction"
    for mu in (0.0, 0.7, float("nan")):
        with pytest.raises(OutOfRange, match="mu"):
            joint.torque("M8", "8.8", mu)
    with pytest.raises(OutOfRange, match="torque"):
        joint.pull("M8", "8.8", 0, 0.12)
    with pytest.raises(NotAChoice, match="weld_nut"):
        joint.how_tight(thread="M8", property_class="8.8", into="butter")
    with pytest.raises(OutOfRange, match="sheet"):
        joint.how_tight(thread="M8", property_class="8.8", sheet_nm=Range(0, 0, 0))
