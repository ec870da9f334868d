"""A machine's story by jobs: each job once, in a few lines, all its entries one step away, and each person his own."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from coldmark.records import queries, services
from coldmark.records.errors import NotFound
from coldmark.records.models import Fact, Person
from coldmark.records.queries import Chapter, JobTold
from tests.records.house import House, litres, sha
from tests.records.jobs import Work, close, do_all, keep_oils, open_work, said


@pytest.fixture
def work(house: House) -> Work:
    """The 500-hour service as the card records it, not closed yet."""
    keep_oils(house)
    work = open_work(house)
    do_all(work)
    return work


def chapter_of(person: Person, work: Work) -> Chapter:
    (found,) = (one for one in queries.chapters(person, work.phone.machine).chapters if one.job == work.job)
    return found


def told(work: Work, person: Person | None = None) -> JobTold:
    asked = person or work.house.mechanic
    chapter = chapter_of(asked, work)
    _state, sheet = queries.machine_state(asked, work.phone.machine)
    return queries.tell_job(chapter, queries.names_for(chapter.entries, sheet))


def lines(work: Work, person: Person | None = None) -> list[str]:
    return [line.says for line in told(work, person).lines]


def count(read: Callable[[], Any]) -> int:
    with CaptureQueriesContext(connection) as captured:
        read()
    return len(captured)


def test_a_job_is_one_chapter_that_counts_all_its_entries(work: Work) -> None:
    house = work.house
    single = house.phone.meter(600, at=house.days(40))
    house.phone.send(single)
    latest, job, *_before = queries.chapters(house.mechanic, house.machine).chapters
    assert (latest.job, [one.fact for one in latest.entries]) == (None, [single.id])
    assert job.job == work.job
    assert job.count == Fact.objects.filter(job=work.job).count()
    assert {str(id) for id in Fact.objects.filter(job=work.job).values_list("id", flat=True)} == {
        one.fact for one in queries.job_entries(house.mechanic, house.machine, work.job)
    }


def test_a_job_says_level_oil_and_new_parts_in_a_line_each_and_no_step(work: Work) -> None:
    job = told(work)
    said_ = [line.says for line in job.lines]
    assert job.tasks == ("Hydraulic service: return and pilot elements",)
    assert job.hours == "512 h"
    assert job.mechanics == (work.house.mechanic.name,)
    assert "Oil level, hydraulic system: found at 35%, left at 62%." in said_
    # What each housing's old element took with it, summed.
    out = sum(
        float(one.body["litres"]["value"])
        for one in queries.job_entries(work.house.mechanic, work.phone.machine, work.job)
        if one.kind == "oil_moved" and one.body["way"] == "held_by_element"
    )
    assert f"Hydraulic system: {out:.1f} L out, 2.4 L of Varnol Hydro 46 in." in said_
    (new,) = (line for line in said_ if line.startswith("New: "))
    assert "return element" in new
    assert len(said_) <= 5
    assert not any(line.startswith(("Done: ", "Out: ", "Caution")) for line in said_)


def test_what_was_left_out_or_found_is_told_and_leads_to_its_entry(work: Work) -> None:
    skipped = work.say("step_skipped", {"step": "hyd_500.wipe", "reason": "part_not_here"})
    gate = work.say("gate_opened", {"gate": "hyd_500.leave.settled", "reason": "no_time_today"})
    found = work.say("finding", {"about": "boom", "what": "leak", "urgency": "plan_for_it"})
    let_off = work.say("oil_moved", {"compartment": "hydraulic", "way": "water_drained", "litres": litres("0.2")})
    doubted = work.say("meter_read", {"reading": {"value": "512", "unit": "h"}, "way": "seen", "doubt": "back"})
    work.send()
    leads = {line.entry.fact for line in told(work).lines if line.entry is not None}
    assert {skipped.id, gate.id, found.id, let_off.id, doubted.id} <= leads


def test_a_closed_job_says_which_task_was_left_undone(work: Work) -> None:
    assert not any("Left undone" in line for line in lines(work))
    close(work, tasks=())
    assert "Left undone: Hydraulic service: return and pilot elements." in lines(work)


def test_what_was_put_right_is_told_as_it_holds_and_what_was_withdrawn_is_not(work: Work) -> None:
    poured = work.say("oil_moved", {"compartment": "engine", "way": "top_up", "litres": litres("44")})
    wrong = work.say("finding", {"about": "boom", "what": "leak", "urgency": "plan_for_it"})
    work.send()
    assert "Engine: 44.0 L in." in lines(work)
    body = {"compartment": "engine", "way": "top_up", "litres": litres("4.4")}
    services.correct(work.house.mechanic, poured.id, "replace", "mistyped", body=body)
    services.correct(work.house.mechanic, wrong.id, "withdraw", "wrong_machine")
    assert "Engine: 4.4 L in." in lines(work)
    assert not any("leak" in line for line in lines(work))
    kept = {one.fact: one for one in queries.job_entries(work.house.mechanic, work.phone.machine, work.job)}
    assert kept[wrong.id].now is None


def test_of_a_part_that_went_in_twice_the_last_time_counts(work: Work) -> None:
    before = next(line for line in lines(work) if line.startswith("New: "))
    again = next(
        one
        for one in queries.job_entries(work.house.mechanic, work.phone.machine, work.job)
        if one.kind == "part_in" and one.body["fresh"]
    )
    work.say("part_in", {**again.body, "fresh": False})
    work.send()
    after = next(line for line in lines(work) if line.startswith("New: "))
    assert after.count(",") == before.count(",") - 1


def test_a_laboratorys_values_are_one_line(work: Work) -> None:
    sample = next(
        one.fact
        for one in queries.job_entries(work.house.mechanic, work.phone.machine, work.job)
        if one.kind == "sample_taken"
    )
    for name, value in (("iron", "18"), ("copper", "7")):
        work.say("lab_value", {"sample": sample, "name": name, "value": value, "unit": "mg/kg"})
    work.send()
    assert "Laboratory: iron 18 mg/kg, copper 7 mg/kg." in lines(work)


def test_a_story_by_jobs_is_paged_without_loss_or_doubling(house: House) -> None:
    facts = [house.phone.meter(100 + n, at=house.days(n // 3)) for n in range(12)]
    jobs = [str(uuid.uuid4()) for _ in range(5)]
    for place, job in enumerate(jobs):
        # All at one moment, and with entries that come long after: neither moves a job or shows it twice.
        facts += [
            house.phone.fact("job_opened", {"tasks": ["hyd_500"]}, at=house.days(2), job=job),
            house.phone.meter(300 + place, at=house.days(20 + place), job=job),
        ]
    house.phone.send(*facts)
    seen: list[str] = []
    before: str | None = None
    while True:
        page = queries.chapters(house.mechanic, house.machine, before=before, size=3)
        seen += [one.job or one.entries[0].fact for one in page.chapters]
        before = page.further
        if before is None:
            break
    assert len(seen) == len(set(seen))
    assert {*jobs, *(fact.id for fact in facts[:12])} <= set(seen)
    with pytest.raises(ValueError, match="before"):
        queries.chapters(house.mechanic, house.machine, before="yesterday")


@pytest.mark.parametrize("who", ["mechanic", "owner"])
def test_a_story_by_jobs_asks_as_often_for_many_jobs_as_for_one(house: House, who: str) -> None:
    person: Person = getattr(house, who)

    def one_more(at: float) -> None:
        job = str(uuid.uuid4())
        house.phone.send(
            house.phone.fact("job_opened", {"tasks": ["hyd_500"]}, at=house.days(at), job=job),
            house.phone.fact("photo", {"photo": sha(job), "of": "glass"}, at=house.days(at), job=job),
            house.phone.meter(100 + at, at=house.days(at), job=job),
        )

    one_more(1)
    one = count(lambda: queries.chapters(person, house.machine))
    for at in range(2, 9):
        one_more(at)
    assert count(lambda: queries.chapters(person, house.machine)) == one <= 10


def test_an_owner_is_told_his_kinds_of_fact_in_his_times_alone(work: Work) -> None:
    house = work.house
    note, advice = said(house, "the driver is rude"), said(house, "a new hose soon")
    body = {"about": "boom", "what": "leak", "urgency": "plan_for_it", "note": note, "advice": advice}
    found = work.say("finding", body)
    work.say("clock_on", {"work": "work"})
    wrong = work.say("finding", {"about": "arm", "what": "leak", "urgency": "plan_for_it"})
    work.send()
    services.correct(house.mechanic, wrong.id, "withdraw", "wrong_machine")
    chapter = chapter_of(house.owner, work)
    assert chapter.count is None, "how much he is not shown is not told either"
    (entry,) = (one for one in chapter.entries if one.kind == "finding")
    assert (entry.fact, set(entry.texts.values())) == (found.id, {"a new hose soon"})
    kinds = {one.kind for one in queries.job_entries(house.owner, house.machine, work.job)}
    assert "clock_on" not in kinds
    assert "clock_on" in {one.kind for one in queries.job_entries(house.mechanic, house.machine, work.job)}
    for read in (
        lambda: queries.chapters(house.stranger, house.machine),
        lambda: queries.job_entries(house.stranger, house.machine, work.job),
        lambda: queries.job_entries(house.office, house.other_machine, work.job),
    ):
        with pytest.raises(NotFound):
            read()


def test_the_next_owner_sees_nothing_of_a_job_before_his_time_and_is_not_led_to_one_begun_before_it(
    work: Work,
) -> None:
    house = work.house
    services.move_machine(house.office, house.machine, house.other_customer, at=house.days(35))
    assert queries.chapters(house.stranger, house.machine).chapters == ()
    house.phone.send(house.phone.meter(700, at=house.days(36), job=work.job))
    chapter = chapter_of(house.stranger, work)
    assert [one.kind for one in chapter.entries] == ["meter_read"]
    assert chapter.line is None
    assert chapter_of(house.owner, work).line is not None
