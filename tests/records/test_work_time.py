"""The clock of one's work on a job: what it adds up to, and that it is the firm's own."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench.errors import Refused
from coldmark.records import queries, services
from coldmark.records.errors import NotAllowed, NotFound
from coldmark.records.models import Fact, MachineState
from coldmark.records.numbers import fresh_id
from coldmark.records.paperwork import job_after
from coldmark.records.worktime import Stamp, work_times
from tests.records.house import House
from tests.records.jobs import Work, close, do_all, keep_oils, open_work

START = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


def stamp(minute: float, on: bool, work: str = "work", person: str = "tom") -> Stamp:
    return Stamp(person, on, work, START + timedelta(minutes=minute))


def test_times_add_up_by_person_and_by_what_they_went_on() -> None:
    told = work_times(
        [
            stamp(0, True, "travel"),
            stamp(25, False, "travel"),
            stamp(25, True),
            stamp(30, True, person="ina"),
            stamp(85, False),
            stamp(90, True),
            stamp(110, False),
        ]
    )
    tom, ina = told
    assert (tom.person, tom.minutes, tom.running) == ("tom", (("travel", 25.0), ("work", 80.0)), ())
    assert (ina.person, ina.minutes, ina.running) == ("ina", (), (("work", START + timedelta(minutes=30)),))


def test_what_began_twice_began_the_first_time_and_an_end_alone_is_nothing() -> None:
    assert work_times([stamp(0, False)]) == ()
    (told,) = work_times([stamp(0, True), stamp(10, True), stamp(30, False), stamp(40, False)])
    assert told.minutes == (("work", 30.0),)
    assert told.running == ()


@given(st.lists(st.tuples(st.integers(0, 600), st.booleans(), st.sampled_from(["work", "travel"])), unique=True))
def test_no_order_of_arrival_changes_a_sum_and_no_sum_is_less_than_nothing(told: list[tuple[int, bool, str]]) -> None:
    by_minute = {minute: stamp(minute, on, work) for minute, on, work in told}
    stamps = list(by_minute.values())
    first = work_times(stamps)
    assert work_times(reversed(stamps)) == first
    for one in first:
        assert all(0 <= minutes <= 600 for _work, minutes in one.minutes)


@pytest.fixture
def work(house: House) -> Work:
    """An open job."""
    keep_oils(house)
    return open_work(house)


def minutes(work: Work) -> list[tuple[str, tuple[tuple[str, float], ...]]]:
    return [(name, one.minutes) for name, one in job_after(work.house.office, work.job).times]


def test_a_clock_goes_on_and_off_once_however_often_it_is_pressed(work: Work) -> None:
    tom, on, off = work.house.mechanic, fresh_id(work.at), fresh_id(work.at)
    for _press in range(2):
        services.start_clock(tom, work.job, "work", id=on, now=work.at)
    assert job_after(tom, work.job).own == ("work", work.at)
    assert job_after(work.house.office, work.job).own is None, "the clock is his"
    for _press in range(2):
        services.stop_clock(tom, work.job, id=off, now=work.at + timedelta(minutes=80))
    assert minutes(work) == [("Tom Weir", (("work", 80.0),))]
    assert Fact.objects.filter(kind__in=("clock_on", "clock_off")).count() == 2
    assert not MachineState.objects.filter(stale=True).exists()


def test_one_clock_runs_at_a_time_and_only_ones_own_is_stopped(work: Work) -> None:
    tom = work.house.mechanic
    services.start_clock(tom, work.job, "travel", now=work.at)
    with pytest.raises(Refused, match="runs since 2026-02-04 08:00; stop it first"):
        services.start_clock(tom, work.job, "work", now=work.at + timedelta(minutes=5))
    with pytest.raises(Refused, match="No clock of yours"):
        services.stop_clock(work.house.office, work.job, now=work.at)
    services.start_clock(work.house.office, work.job, "waiting", now=work.at + timedelta(minutes=5))
    assert len(job_after(tom, work.job).times) == 2


def test_a_clock_that_was_forgotten_is_stopped_at_a_moment_between(work: Work) -> None:
    tom, later = work.house.mechanic, work.at + timedelta(hours=20)
    services.start_clock(tom, work.job, "work", now=work.at)
    for wrong in (work.at - timedelta(minutes=1), later + timedelta(minutes=1)):
        with pytest.raises(Refused, match=r"at = .* is not right: it must be a moment from 2026-02-04 08:00 until now"):
            services.stop_clock(tom, work.job, at=wrong, now=later)
    services.stop_clock(tom, work.job, at=work.at + timedelta(hours=2), now=later)
    assert minutes(work) == [("Tom Weir", (("work", 120.0),))]


def test_what_was_pressed_by_mistake_is_withdrawn_like_any_entry(work: Work) -> None:
    tom = work.house.mechanic
    kept = services.start_clock(tom, work.job, "work", now=work.at)
    services.correct(tom, kept.id, "withdraw", "other", now=work.at + timedelta(minutes=1))
    assert minutes(work) == []
    services.start_clock(tom, work.job, "travel", now=work.at + timedelta(minutes=2))
    assert job_after(tom, work.job).own == ("travel", work.at + timedelta(minutes=2))


def test_a_closed_job_starts_no_clock_and_stops_the_one_that_runs(work: Work) -> None:
    tom = work.house.mechanic
    services.start_clock(tom, work.job, "work", now=work.at)
    do_all(work)
    close(work)
    services.stop_clock(tom, work.job, at=work.at + timedelta(minutes=90))
    assert minutes(work) == [("Tom Weir", (("work", 90.0),))]
    with pytest.raises(Refused, match="The job is closed"):
        services.start_clock(tom, work.job, "work")


def test_who_may_keep_a_clock_and_on_what(work: Work) -> None:
    with pytest.raises(NotAllowed):
        services.start_clock(work.house.owner, work.job, "work")
    with pytest.raises(NotAllowed):
        services.stop_clock(work.house.owner, work.job)
    with pytest.raises(NotFound):
        services.start_clock(work.house.mechanic, str(uuid4()), "work")
    with pytest.raises(Refused, match="work"):
        services.start_clock(work.house.mechanic, work.job, "sleep")


def test_owners_see_no_clock_and_it_makes_nobody_the_jobs_mechanic(work: Work) -> None:
    do_all(work)
    services.start_clock(work.house.office, work.job, "travel", now=work.at)
    services.stop_clock(work.house.office, work.job, now=work.at + timedelta(minutes=25))
    told = job_after(work.house.owner, work.job)
    assert (told.times, told.own) == ((), None)
    assert not {entry.kind for entry, _says in told.entries} & {"clock_on", "clock_off"}
    for person in (work.house.owner, work.house.office):
        assert queries.job_page(person, work.job).mechanics == ("Tom Weir",)
