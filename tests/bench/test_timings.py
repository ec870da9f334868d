"""Timings: brought to one oil temperature, held against the first and the sheet, never finer than they were read."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from coldmark.bench import timings, words
from coldmark.bench.errors import CannotTell, Contradiction, Missing, OutOfRange
from coldmark.bench.oil import Oil
from coldmark.bench.timings import Timed, Timing, against, compare, trend
from tests.published.reading import Row, rows

VALLEY = Oil("Valley 46", 46, 6.8)
SHEET = Timing("boom", "boom drift", "drift", "Bucket loaded", 50, None, 20, 5, 500, None, "manual")
temperatures = st.floats(40, 60)


def drift(moved_mm: float, oil_c: float | None = 50, *, hours: float | None = None, **more: float) -> Timed:
    return Timed("drift", watched_min=10, moved_mm=moved_mm, oil_c=oil_c, hours=hours, **more)  # type: ignore[arg-type]


def cycle(time_s: float, oil_c: float | None = 50, *, hours: float | None = None, runs: int = 1) -> Timed:
    return Timed("cycle", time_s=time_s, oil_c=oil_c, hours=hours, runs=runs)


@pytest.mark.parametrize("row", rows("timings", "stopwatch_s"), ids=str)
def test_a_stop_watch_is_as_good_as_published(row: Row) -> None:
    row.check(timings.STOPWATCH_S)
    assert cycle(3).measured.width == pytest.approx(2 * timings.STOPWATCH_S)


@pytest.mark.parametrize("row", rows("timings", "shrinkage_mm"), ids=str)
def test_cooling_oil_shrinks_as_published(row: Row) -> None:
    row.check(timings.shrinkage_mm(row.number("column_mm"), row.number("cooled_k")))


@pytest.mark.parametrize("row", rows("timings", "brought"), ids=str)
def test_a_drift_goes_with_the_viscosity_that_was_worked_out_apart(row: Row) -> None:
    oil = Oil("published", row.number("kv40_mm2_s"), row.number("kv100_mm2_s"))
    now = Timed("drift", watched_min=1, moved_mm=1, oil_c=row.number("from_c"))
    before = Timed("drift", watched_min=1, moved_mm=1, oil_c=row.number("to_c"))
    row.check(compare(now, before, oil).now.value)


@pytest.mark.parametrize("row", rows("timings", "slope"), ids=str)
def test_the_slope_is_that_of_the_library(row: Row) -> None:
    hours, times = ([float(one) for one in row.given[name].split(";")] for name in ("hours", "times"))
    found = trend([cycle(time, hours=at) for at, time in zip(hours, times, strict=True)]).per_1000h
    assert found is not None
    row.check(found)


@pytest.mark.parametrize("row", rows("timings", "most_mm_min"), ids=str)
def test_a_sheets_most_is_told_by_the_minute(row: Row) -> None:
    most = Timing(
        "b", "b", "drift", "", 50, None, row.number("most_mm"), row.number("watched_min"), None, None, "manual"
    ).most
    assert most is not None
    row.check(most)


@given(
    st.lists(st.tuples(st.integers(0, 5000), st.floats(1, 20)), min_size=3, max_size=8, unique_by=lambda one: one[0])
)
def test_the_slope_agrees_with_the_library_on_any_history(seen: list[tuple[int, float]]) -> None:
    ordered = sorted(seen)
    found = trend([cycle(value, hours=hours) for hours, value in ordered]).per_1000h
    if ordered[-1][0] - ordered[0][0] < 50:
        assert found is None
        return
    expected = theilslopes([value for _, value in ordered], [hours for hours, _ in ordered])[0]
    assert found == pytest.approx(1000 * expected, rel=1e-6, abs=1e-9)


def test_the_way_is_said_only_beyond_what_can_be_measured() -> None:
    assert compare(cycle(3.3), cycle(3.0)).way == "same"
    assert compare(cycle(3.5), cycle(3.0)).way == "more"
    assert compare(cycle(2.5), cycle(3.0)).way == "less"
    assert compare(cycle(3.3, runs=5), cycle(3.0, runs=5)).way == "more"
    assert compare(drift(12), drift(10)).way == "same"
    assert compare(drift(15), drift(10)).way == "more"


@given(st.floats(0.5, 60), st.floats(0.5, 60), temperatures, temperatures)
def test_a_ratio_holds_itself_and_turning_it_round_turns_the_way(
    one: float, other: float, one_c: float, other_c: float
) -> None:
    found = compare(cycle(one, one_c), cycle(other, other_c), VALLEY)
    assert found.ratio is not None
    assert found.ratio.low <= found.ratio.value <= found.ratio.high
    assert found.now.low <= one <= found.now.high + timings.STOPWATCH_S
    turned = compare(cycle(other, one_c), cycle(one, one_c), VALLEY).way
    straight = compare(cycle(one, one_c), cycle(other, one_c), VALLEY).way
    assert {"more": "less", "less": "more", "same": "same"}[straight] == turned


@given(st.floats(0, 100), temperatures, temperatures)
def test_a_range_holds_the_value_with_and_without_the_correction(moved: float, now_c: float, before_c: float) -> None:
    found = compare(drift(moved, now_c), drift(10, before_c), VALLEY)
    raw = drift(moved).value
    assert found.now.low <= raw <= found.now.high
    assert found.now.holds(found.now.value)
    if moved > 0 and now_c > before_c:
        assert found.now.value <= raw


def test_warm_oil_alone_makes_no_drift_worse() -> None:
    """At 60 °C this oil is a third thinner than at 50 °C: a drift a third larger is the warmth, not the seal."""
    assert compare(drift(14, 60), drift(10, 50), VALLEY).way == "same"
    assert compare(drift(14, 50), drift(10, 50), VALLEY).way == "more"


@pytest.mark.parametrize(
    ("now", "before", "message"),
    [
        (drift(20, 80), drift(10, 50), "timings.other_warmth"),
        (drift(20, None), drift(10, 50), "timings.no_warmth"),
        (drift(20, 50, load_kg=500), drift(10, 50, load_kg=300), "timings.other_load"),
        (
            Timed("cycle", time_s=3, engine_rpm=1500),
            Timed("cycle", time_s=3, engine_rpm=2200),
            "timings.other_speed",
        ),
    ],
)
def test_what_was_measured_otherwise_is_not_compared(now: Timed, before: Timed, message: str) -> None:
    with pytest.raises(CannotTell) as caught:
        compare(now, before)
    assert caught.value.message == message
    assert words.has(message)
    assert "{" not in str(caught.value)


def test_a_time_and_a_drift_are_two_things() -> None:
    with pytest.raises(Contradiction, match="kind"):
        compare(drift(10), cycle(3))


@pytest.mark.parametrize(("moved", "verdict"), [(26, "over"), (15, "within"), (20, "open")])
def test_the_sheets_most_is_held_against_the_whole_range(moved: float, verdict: str) -> None:
    now = Timed("drift", watched_min=5, moved_mm=moved, oil_c=50, load_kg=500)
    assert against(now, SHEET) == verdict


def test_a_sheet_that_gives_no_most_says_nothing() -> None:
    bare = Timing("boom", "boom", "drift", "", 50, None, None, 5, None, None, "manual")
    assert against(drift(10), bare) is None
    assert trend([drift(10)], bare).sheet is None


def test_a_sheet_without_a_temperature_is_held_against_as_measured() -> None:
    warm = Timing("boom", "boom", "cycle", "", None, 3.0, None, None, None, None, "manual")
    assert against(cycle(4, 70), warm) == "over"
    assert against(cycle(4, None), warm) == "over"


def test_a_trend_tells_first_then_compares_then_slopes() -> None:
    first = trend([cycle(3, hours=100)])
    assert timings.says(first) == ["Measured 3.0 s, for the first time: later ones are held against it."]
    second = trend([cycle(3, hours=100), cycle(3.1, hours=400)])
    assert second.compared is not None
    assert (second.compared.way, second.per_1000h) == ("same", None)
    third = trend([cycle(3, hours=100), cycle(3.1, hours=400), cycle(3.9, hours=900)])
    lines = timings.says(third)
    assert lines[0] == "It has grown slower: 3.9 s now, 3.0 s at first."
    assert lines[-1].startswith("It rises by 1.1 s in 1000 hours")


def test_a_trend_leaves_out_what_cannot_be_compared_and_says_so() -> None:
    found = trend([drift(10, 50), drift(40, 90), drift(11, 50)])
    assert len(found.points) == 2
    assert any("90 °C against 50 °C" in line for line in timings.says(found))
    last = trend([drift(10, 50), drift(40, 90)], SHEET)
    assert last.compared is None
    assert timings.says(last)[0].endswith("It cannot be held against the first.")


def test_a_trend_in_us_units_speaks_of_inches_and_pounds() -> None:
    found = trend([drift(10, 50, load_kg=100), drift(30, 50, load_kg=300)])
    assert any("661 lb against 220 lb" in line for line in timings.says(found, "us"))


def test_nothing_is_no_trend() -> None:
    with pytest.raises(Missing) as caught:
        trend([])
    assert caught.value.name == "history"


@pytest.mark.parametrize(
    ("told", "name"),
    [
        ({"kind": "cycle", "time_s": 0}, "time"),
        ({"kind": "drift", "watched_min": 0, "moved_mm": 1}, "watched"),
        ({"kind": "drift", "watched_min": 1, "moved_mm": -1}, "moved"),
        ({"kind": "cycle", "time_s": 3, "runs": 0}, "runs"),
    ],
)
def test_what_was_not_measured_is_refused(told: dict[str, object], name: str) -> None:
    with pytest.raises(OutOfRange, match=name):
        Timed(**told)  # type: ignore[arg-type]


@pytest.mark.parametrize(("kind", "name"), [("cycle", "time_s"), ("drift", "watched_min")])
def test_a_measurement_needs_its_measure(kind: str, name: str) -> None:
    with pytest.raises(Missing) as caught:
        Timed(kind)  # type: ignore[arg-type]
    assert caught.value.name == name
