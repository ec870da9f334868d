"""When tasks fall due: the grid, months, breaker work, rides, usage, and readings that ask for a second look."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from dateutil.relativedelta import relativedelta  # type: ignore[import-untyped]
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from coldmark.bench import clocks, words
from coldmark.bench.clocks import Breaker, BreakerSpan, DoneTask, Last, MeterPoint, Start, Task, add_months
from coldmark.bench.errors import CannotTell, Contradiction, OutOfRange, Refused
from coldmark.bench.ledger import State
from coldmark.bench.working import lines
from tests.bench.sheets import sheet, task
from tests.published.reading import Row, rows

DAY_MS = 86_400_000
NEW = Start(new=True)
EPOCH = date(1970, 1, 1)


def point(day: date, hours: float, **more: Any) -> MeterPoint:
    at_ms = (day - EPOCH).days * DAY_MS + DAY_MS // 2
    return MeterPoint(f"{day.isoformat()}T12:00:00+00:00", at_ms, hours, hours, "", **more)


def machine(*reads: tuple[date, float], handed_over: date | None = None, **tasks: DoneTask) -> State:
    state = State("m", handed_over=None if handed_over is None else handed_over.isoformat())
    state.meter.points = [point(day, hours) for day, hours in reads]
    state.tasks = dict(tasks)
    return state


def done(day: date, hours: float | None, grid_h: float | None = None, **more: Any) -> DoneTask:
    return DoneTask(hours, day.isoformat(), grid_h, "", **more)


# the grid


@pytest.mark.parametrize("row", rows("clocks", "grid"), ids=str)
def test_the_grid_rule_holds(row: Row) -> None:
    given_here = row.numbers()
    one = task("t", given_here["interval"], tolerance_h=given_here["tolerance"])
    last = Last(given_here["last"], date(2026, 1, 1), given_here["last"])
    grid = clocks.stands_for_h(one, last, NEW, given_here["done"])
    row.check(clocks.next_line_h(one, Last(given_here["done"], date(2026, 3, 1), grid), NEW) or 0.0)


def test_a_machine_handed_over_new_owes_its_first_time_interval_and_then_the_grid() -> None:
    one = task("t", first_h=50.0)
    assert clocks.next_line_h(one, None, NEW) == 50
    for at in (38.0, 50.0, 61.0, 200.0):
        grid = clocks.stands_for_h(one, None, NEW, at)
        assert clocks.next_line_h(one, Last(at, date(2026, 1, 1), grid), NEW) == 500


@pytest.mark.parametrize(("first_known", "line"), [(30.0, 50), (80.0, 50), (540.0, 50), (1510.0, 1500), (1560.0, 2000)])
def test_a_hand_over_long_before_the_records_began_does_not_bring_back_the_first_time(
    first_known: float, line: float
) -> None:
    assert clocks.next_line_h(task("t", first_h=50.0), None, Start(new=True, first_known_h=first_known)) == line


def test_months_that_ran_out_before_the_records_began_count_on_or_are_unknown() -> None:
    state = machine((date(2026, 1, 10), 2480.0), handed_over=date(2023, 5, 31))
    on_grid = task("t", None, interval_months=12)
    assert clocks.due(on_grid, state, sheet(on_grid)).due_day == date(2026, 5, 31)
    from_last = task("t", None, interval_months=12, counts_from="last_done")
    found = clocks.due(from_last, state, sheet(from_last))
    assert (found.due_day, found.by) == (None, "unknown")
    assert [note.message for note in found.notes] == ["due.no_day_to_count_from"]


def test_hours_passed_before_the_first_read_are_found_from_the_hand_over() -> None:
    one = task("t", first_h=50.0)
    state = machine((date(2026, 3, 1), 120.0), handed_over=date(2026, 1, 30))
    assert clocks.due(one, state, sheet(one)).likely == date(2026, 2, 11)
    state.handed_over = None
    state.meter.points[0].hours = 90.0
    assert clocks.due(task("t", 90.0), state, sheet(one)).likely == date(2026, 3, 1)


def test_a_missed_first_time_service_leaves_the_usual_rule() -> None:
    one = task("t", first_h=50.0)
    assert clocks.stands_for_h(one, None, NEW, 480.0) == 480
    assert clocks.stands_for_h(one, None, NEW, 530.0) == 500


def test_a_task_that_counts_from_last_done_has_no_grid() -> None:
    one = task("t", counts_from="last_done")
    grid = clocks.stands_for_h(one, None, NEW, 530.0)
    assert clocks.next_line_h(one, Last(530.0, date(2026, 1, 1), grid), NEW) == 1030


@pytest.mark.parametrize(
    ("first_known", "line"),
    [(0.0, 500), (480.0, 500), (500.0, 500), (2310.0, 2500), (2540.0, 2500), (2560.0, 3000)],
)
def test_a_machine_that_came_later_owes_the_first_line_not_passed(first_known: float, line: float) -> None:
    assert clocks.next_line_h(task("t"), None, Start(first_known_h=first_known)) == line


def test_a_machine_that_came_later_says_nothing_of_tasks_counted_from_last_done() -> None:
    one = task("t", counts_from="last_done")
    assert clocks.next_line_h(one, None, Start(first_known_h=2310)) is None
    assert clocks.next_line_h(one, None, Start(first_known_h=310)) == 500
    assert clocks.next_line_h(one, None, Start()) is None


@given(
    st.floats(10, 2000),
    st.floats(0, 0.3),
    st.floats(0, 20_000),
    st.floats(0, 5000),
    st.sampled_from(["meter", "last_done"]),
)
def test_the_next_interval_is_never_longer_than_the_sheets(
    interval: float, tolerance: float, before: float, later: float, counts_from: str
) -> None:
    one = task("t", interval, tolerance_h=interval * tolerance, counts_from=counts_from)
    grid = clocks.stands_for_h(one, Last(before, date(2026, 1, 1), before), NEW, before + later)
    line = clocks.next_line_h(one, Last(before + later, date(2026, 1, 2), grid), NEW)
    assert line is not None
    assert line - (before + later) <= interval + 1e-5
    assert line - (before + later) >= interval - one.tolerance_h - 1e-5


@given(st.floats(10, 2000), st.floats(0, 0.3), st.lists(st.floats(0.0, 1.0), max_size=8))
def test_services_late_inside_the_tolerance_stay_on_the_grid_for_good(
    interval: float, tolerance: float, lates: list[float]
) -> None:
    one = task("t", interval, tolerance_h=interval * tolerance)
    last = None
    for number, late in enumerate(lates, 1):
        at = number * interval + late * one.tolerance_h
        grid = clocks.stands_for_h(one, last, NEW, at)
        assert grid == pytest.approx(number * interval)
        last = Last(at, date(2026, 1, 1), grid)


# months


@given(st.dates(date(1990, 1, 1), date(2100, 1, 1)), st.integers(0, 240))
def test_months_are_added_as_a_general_library_adds_them(day: date, months: int) -> None:
    assert add_months(day, months) == day + relativedelta(months=months)


def test_too_many_months_are_refused() -> None:
    with pytest.raises(OutOfRange):
        add_months(date(2026, 1, 1), 1201)
    with pytest.raises(OutOfRange):
        add_months(date(9999, 12, 1), 1)


def test_months_run_from_the_hand_over_and_then_from_last_done_parked_or_not() -> None:
    one = task("t", None, interval_months=12)
    here = sheet(one)
    new = machine(handed_over=date(2024, 5, 31))
    assert clocks.due(one, new, here).due_day == date(2025, 5, 31)
    new.tasks["t"] = done(date(2025, 6, 20), None)
    found = clocks.due(one, new, here)
    assert (found.due_day, found.by, found.due_h) == (date(2026, 6, 20), "months", None)
    assert found.early == found.likely == found.late == date(2026, 6, 20)


def test_months_without_a_day_to_count_from_say_so() -> None:
    one = task("t", None, interval_months=12)
    found = clocks.due(one, State("m"), sheet(one))
    assert (found.due_day, found.by) == (None, "unknown")
    assert [note.message for note in found.notes] == ["due.no_day_to_count_from"]


# breaker work


@pytest.mark.parametrize("row", rows("clocks", "breaker"), ids=str)
def test_a_breakers_interval_meets_the_printed_one(row: Row) -> None:
    plain, whole, share = (row.number(name) for name in ("interval", "whole", "share"))
    by_table = task("t", plain, breaker=Breaker(((1.0, whole),)))
    by_factor = task("t", plain, breaker=Breaker(factor=plain / whole))
    for one in (by_table, by_factor):
        row.check(clocks.interval_h(one, share))


def test_a_table_is_met_at_its_rows_and_drawn_on_beyond_them() -> None:
    one = task("t", 1000.0, breaker=Breaker(((0.2, 800.0), (0.5, 500.0))))
    assert clocks.interval_h(one, 0.0) == pytest.approx(1000)
    assert clocks.interval_h(one, 0.2) == pytest.approx(800)
    assert clocks.interval_h(one, 0.5) == pytest.approx(500)
    # wear an hour rises by 0.00075 over 0.3 of share; another 0.5 brings it to 0.00325
    assert clocks.interval_h(one, 1.0) == pytest.approx(1 / 0.00325)


@given(st.floats(0, 1), st.floats(0, 1), st.floats(1, 20))
def test_more_breaker_work_never_means_a_longer_interval(one: float, other: float, factor: float) -> None:
    low, high = sorted((one, other))
    by_factor = task("t", breaker=Breaker(factor=factor))
    assert clocks.interval_h(by_factor, high) <= clocks.interval_h(by_factor, low) + 1e-9


@pytest.mark.parametrize(
    ("breaker", "share", "error"),
    [
        (Breaker(((0.5, 300.0), (0.2, 200.0))), 0.1, Contradiction),
        (Breaker(((0.2, 300.0), (0.5, 400.0))), 0.1, Contradiction),
        (Breaker(((0.2, 0.0),)), 0.1, OutOfRange),
        (Breaker(((1.2, 100.0),)), 0.1, OutOfRange),
        (Breaker(factor=0.5), 0.1, OutOfRange),
        (Breaker(factor=4.0), 1.1, OutOfRange),
    ],
)
def test_a_breaker_table_that_makes_no_sense_is_refused(breaker: Breaker, share: float, error: type[Exception]) -> None:
    with pytest.raises(error):
        clocks.interval_h(task("t", breaker=breaker), share)


def breaker_machine() -> tuple[Task, State]:
    one = task("oil", 2000.0, breaker=Breaker(((1.0, 600.0),)))
    state = machine((date(2026, 1, 1), 1000.0), (date(2026, 4, 11), 1400.0), oil=done(date(2026, 1, 1), 1000, 1000))
    state.options["breaker"] = True
    return one, state


def test_told_breaker_hours_bring_a_task_forward() -> None:
    one, state = breaker_machine()
    state.breaker.append(BreakerSpan("2026-01-01", "2026-04-10", 200.0))
    found = clocks.due(one, state, sheet(one))
    assert found.by == "breaker"
    share = clocks.breaker_share(state, "2026-01-01")
    assert share is not None
    assert share[0] == pytest.approx(0.5, abs=0.01)
    assert share[1]
    assert found.due_h == pytest.approx(1000 + clocks.interval_h(one, share[0]))
    assert found.grid_h == 3000


def test_a_fitted_breaker_of_which_nothing_was_told_is_asked_for() -> None:
    one, state = breaker_machine()
    found = clocks.due(one, state, sheet(one))
    assert (found.by, found.due_h) == ("hours", 3000)
    assert [note.message for note in found.notes] == ["due.breaker_not_told"]


def test_a_share_told_before_the_last_service_goes_on_and_is_said_to_be_assumed() -> None:
    one, state = breaker_machine()
    state.tasks["oil"] = done(date(2026, 3, 1), 1236, 1236)
    state.breaker.append(BreakerSpan("2026-01-01", "2026-02-09", 80.0))
    found = clocks.due(one, state, sheet(one))
    assert found.by == "breaker"
    assert [note.message for note in found.notes] == ["due.breaker_share_assumed"]


def test_more_breaker_hours_than_the_machine_ran_count_as_all_of_them_and_are_asked_about() -> None:
    one, state = breaker_machine()
    state.breaker.append(BreakerSpan("2026-01-01", "2026-04-10", 900.0))
    found = clocks.due(one, state, sheet(one))
    assert found.by == "breaker"
    assert found.due_h == pytest.approx(1600)
    assert [note.message for note in found.notes] == ["due.breaker_more_than_run"]
    assert clocks.breaker_share(state, "2026-01-01") == (1.0, True)


def test_a_span_that_began_before_the_last_service_counts_by_its_days_after_it() -> None:
    _, state = breaker_machine()
    state.breaker.append(BreakerSpan("2026-01-01", "2026-04-10", 200.0))
    share = clocks.breaker_share(state, "2026-02-20")
    assert share is not None
    assert share[0] == pytest.approx(0.5, abs=0.01)


# usage and hours


READS = st.lists(
    st.tuples(st.integers(1, 20), st.floats(0.0, 12.0)),
    min_size=3,
    max_size=12,
)


@given(READS)
def test_the_usage_is_the_slope_that_a_general_library_finds(steps: list[tuple[int, float]]) -> None:
    day, hours = date(2025, 6, 1), 100.0
    reads = [(day, hours)]
    for days, rate in steps:
        day, hours = day + timedelta(days=days), hours + rate * days
        reads.append((day, hours))
    if (reads[-1][0] - reads[0][0]).days < 7:
        return
    found = clocks.usage(machine(*reads))
    expected = theilslopes([hours for _, hours in reads], [(day - EPOCH).days for day, _ in reads])
    assert found.per_day.value == pytest.approx(expected.slope, abs=1e-9)
    assert 0 <= found.per_day.low <= found.per_day.value <= found.per_day.high <= 24


def test_one_odd_read_does_not_carry_the_usage_away() -> None:
    start = date(2026, 1, 1)
    reads = [(start + timedelta(days=10 * i), 1000 + 40.0 * i) for i in range(9)]
    reads[4] = (reads[4][0], reads[4][1] + 30)
    assert clocks.usage(machine(*reads)).per_day.value == pytest.approx(4.0, abs=0.15)


def test_old_reads_do_not_speak_of_present_usage() -> None:
    start = date(2020, 1, 1)
    old = [(start + timedelta(days=30 * i), 300.0 * i) for i in range(20)]
    lately = [(date(2026, 1, 1) + timedelta(days=10 * i), 8000 + 20.0 * i) for i in range(5)]
    assert clocks.usage(machine(*old, *lately)).per_day.value == pytest.approx(2.0)


def test_the_hand_over_counts_as_a_read_of_nought() -> None:
    state = machine((date(2026, 3, 1), 120.0), handed_over=date(2026, 1, 30))
    assert clocks.usage(state).per_day.value == pytest.approx(4.0)


def test_too_few_reads_tell_no_usage() -> None:
    with pytest.raises(CannotTell, match="at least a week apart"):
        clocks.usage(machine((date(2026, 3, 1), 120.0), (date(2026, 3, 4), 140.0)))


def test_hours_on_a_day_are_read_found_between_or_carried_on() -> None:
    state = machine((date(2026, 1, 1), 1000.0), (date(2026, 1, 21), 1080.0), (date(2026, 2, 10), 1160.0))
    assert clocks.hours_at(state, date(2026, 1, 21)).how == "read"
    between = clocks.hours_at(state, date(2026, 1, 6))
    assert between.how == "between"
    assert between.hours.value == pytest.approx(1020)
    assert (between.hours.low, between.hours.high) == (1000, 1080)
    later = clocks.hours_at(state, date(2026, 2, 20))
    assert later.how == "carried_on"
    assert later.hours.value == pytest.approx(1200)
    assert later.hours.low < 1200 < later.hours.high
    with pytest.raises(CannotTell):
        clocks.hours_at(state, date(2025, 12, 1))


def test_hours_before_the_first_read_are_found_from_the_hand_over() -> None:
    state = machine((date(2026, 3, 1), 120.0), handed_over=date(2026, 1, 30))
    assert clocks.hours_at(state, date(2026, 2, 14)).hours.value == pytest.approx(60)
    with pytest.raises(CannotTell):
        clocks.hours_at(state, date(2026, 1, 1))


@pytest.mark.parametrize(
    ("reading", "at", "doubt"),
    [
        (1075, "2026-01-30T12:00:00+00:00", "back"),
        (1079.95, "2026-01-30T12:00:00+00:00", None),
        (1296, "2026-01-30T12:00:00+00:00", None),
        (1296.3, "2026-01-30T12:00:00+00:00", "too_fast"),
        (1080, "2026-01-30T12:00:00+00:00", None),
        (1080, "2026-02-04T12:00:00+00:00", "standing"),
        (1081, "2026-02-04T12:00:00+00:00", None),
        (1050, "2026-01-11T12:00:00+00:00", None),
        (1090, "2026-01-11T12:00:00+00:00", "back"),
    ],
)
def test_a_reading_is_doubted_when_it_cannot_be(reading: float, at: str, doubt: str | None) -> None:
    state = machine((date(2026, 1, 1), 1000.0), (date(2026, 1, 21), 1080.0))
    assert clocks.meter_doubt(state, reading, at) == doubt


def test_a_dead_meter_is_asked_about() -> None:
    state = machine((date(2026, 1, 1), 1000.0), (date(2026, 1, 21), 1080.0))
    state.meter.dead_since = "2026-01-25"
    assert clocks.meter_doubt(state, 1081, "2026-02-04T12:00:00+00:00") == "standing"


def test_a_moment_without_offset_is_refused() -> None:
    with pytest.raises(Refused, match="at = 2026-01-30"):
        clocks.meter_doubt(State("m"), 1, "2026-01-30T12:00:00")


# due


def used_machine() -> State:
    """Four hours a day, read every ten days, last on 2 March at 440 h."""
    first = date(2025, 11, 12)
    reads = [(first + timedelta(days=10 * i), 40.0 * i) for i in range(12)]
    return machine(*reads, handed_over=first)


def test_the_window_lies_where_the_hours_will_be_reached() -> None:
    one = task("t")
    found = clocks.due(one, used_machine(), sheet(one))
    assert (found.due_h, found.by) == (500, "hours")
    assert found.likely == date(2026, 3, 17)
    assert found.early is not None
    assert found.late is not None
    assert found.early < found.likely < found.late


def test_whichever_comes_first() -> None:
    one = task("t", interval_months=4)
    found = clocks.due(one, used_machine(), sheet(one))
    assert (found.by, found.likely, found.late) == ("months", date(2026, 3, 12), date(2026, 3, 12))
    assert found.due_h == 500
    other = task("t", interval_months=5)
    found = clocks.due(other, used_machine(), sheet(other))
    assert (found.by, found.likely) == ("hours", date(2026, 3, 17))
    assert found.late is not None
    assert found.late <= date(2026, 4, 12)


def test_a_task_overdue_says_when_its_hours_were_reached() -> None:
    one = task("t", 250.0)
    found = clocks.due(one, used_machine(), sheet(one))
    assert found.due_h == 250
    assert found.early == found.likely == found.late == date(2026, 1, 13)


def test_a_machine_that_stands_has_no_latest_day() -> None:
    one = task("t")
    first = date(2026, 1, 1)
    reads = [(first + timedelta(days=10 * i), 100.0 + (3 * i if i < 6 else 15)) for i in range(12)]
    found = clocks.due(one, machine(*reads), sheet(one))
    assert found.late is None


def test_a_task_counted_by_the_meter_alone_says_so() -> None:
    one = task("t", breaker=Breaker(factor=4.0))
    for handed_over in (None, date(2020, 1, 1)):
        state = machine((date(2026, 1, 1), 2310.0), handed_over=handed_over)
        state.breaker.append(BreakerSpan("2025-12-01", "2025-12-20", 20.0))
        found = clocks.due(one, state, sheet(one))
        assert (found.due_h, found.by) == (2500, "hours")
        assert "due.counted_by_the_meter" in [note.message for note in found.notes]


def test_without_two_reads_there_is_no_window_and_a_note_says_why() -> None:
    one = task("t")
    found = clocks.due(one, machine((date(2026, 1, 1), 480.0)), sheet(one))
    assert (found.due_h, found.early, found.likely, found.late) == (500, None, None, None)
    assert "due.no_usage" in [note.message for note in found.notes]


def test_a_task_never_recorded_on_a_machine_that_came_later_is_unknown() -> None:
    one = task("t", counts_from="last_done")
    found = clocks.due(one, machine((date(2026, 1, 1), 2480.0)), sheet(one))
    assert (found.by, found.due_h) == ("unknown", None)
    assert [note.message for note in found.notes] == ["due.never_recorded"]


def test_a_task_done_at_unknown_hours_is_unknown_by_hours() -> None:
    one = task("t")
    found = clocks.due(one, machine(t=done(date(2026, 1, 1), None)), sheet(one))
    assert [note.message for note in found.notes] == ["due.hours_not_known"]


def test_the_first_time_interval_is_named() -> None:
    one = task("t", first_h=50.0)
    found = clocks.due(one, machine((date(2026, 1, 1), 20.0), handed_over=date(2025, 12, 1)), sheet(one))
    assert (found.by, found.due_h) == ("first", 50)


def test_an_included_task_nearly_due_rides_with_the_longer_one() -> None:
    short = task("hyd_500", 500.0, tolerance_h=50.0)
    long = task("hyd_1000", 1000.0, includes=("hyd_500",))
    state = machine((date(2026, 1, 1), 900.0), (date(2026, 1, 11), 940.0), handed_over=date(2025, 1, 1))
    here = sheet(short, long)
    for grid, with_task in ((480.0, "hyd_1000"), (450.0, "hyd_1000"), (440.0, None), (520.0, "hyd_1000")):
        state.tasks["hyd_500"] = done(date(2025, 8, 1), grid, grid)
        found = {one.task: one for one in clocks.all_due(here, state)}
        assert found["hyd_500"].rides_with == with_task
        assert found["hyd_500"].due_h == grid + 500
        assert found["hyd_500"].grid_h == (1000 if with_task else grid + 500)
        assert found["hyd_1000"].rides_with is None
        assert clocks.due(short, state, here) == found["hyd_500"]


def test_tasks_by_the_calendar_ride_within_a_month() -> None:
    short = task("yearly", None, interval_months=12)
    for months, with_task in ((24, None), (12, "long")):
        long = task("long", None, interval_months=months, includes=("yearly",))
        state = machine(handed_over=date(2025, 1, 1))
        assert clocks.due(short, state, sheet(short, long)).rides_with == with_task


def test_tasks_of_options_that_are_not_fitted_are_left_out() -> None:
    here = sheet(task("t"), task("breaker_50", 50.0, needs_option="breaker"))
    state = used_machine()
    assert [found.task for found in clocks.all_due(here, state)] == ["t"]
    state.options["breaker"] = True
    assert [found.task for found in clocks.all_due(here, state)] == ["t", "breaker_50"]


def test_a_due_date_shows_its_working_and_says_its_notes() -> None:
    one = task("oil", 2000.0, interval_months=24, breaker=Breaker(((1.0, 600.0),)))
    state = breaker_machine()[1]
    state.breaker.append(BreakerSpan("2025-11-01", "2025-12-01", 20.0))
    state.meter.points.insert(0, point(date(2025, 10, 1), 700.0))
    state.tasks["oil"].estimated = True
    found = clocks.due(one, state, sheet(one))
    text = "\n".join(lines(found.working))
    for part in (
        "Interval with this share of breaker hours",
        "Due by the calendar",
        "Likely day",
        "Hours a day so far",
    ):
        assert part in text
    for note in found.notes:
        assert words.sentence(note.message, units="metric", **note.values)


@given(READS, st.integers(0, 400))
def test_the_same_facts_on_later_days_give_a_later_window_by_as_much(
    steps: list[tuple[int, float]], shift: int
) -> None:
    def at(first: date) -> State:
        day, hours, reads = first, 100.0, [(first, 100.0)]
        for days, rate in steps:
            day, hours = day + timedelta(days=days), hours + rate * days
            reads.append((day, hours))
        return machine(*reads)

    one = task("t", 20_000.0)
    here, there = (clocks.due(one, at(date(2025, 1, 1) + timedelta(days=days)), sheet(one)) for days in (0, shift))
    for name in ("early", "likely", "late"):
        first, second = getattr(here, name), getattr(there, name)
        assert (first is None) == (second is None)
        assert first is None or second - first == timedelta(days=shift)


def test_the_page_about_clocks_exists_and_names_the_rules() -> None:
    page = (Path(__file__).parents[2] / "docs" / "how" / "clocks.md").read_text(encoding="utf-8")
    for row in rows("clocks", "grid"):
        assert row.given["tolerance"] == "0" or f"| {row.given['done']} | {row.printed} |" in page
