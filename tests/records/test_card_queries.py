"""The card on the records: facts in, folded, and out again as a card, a level that knows its machine, what is next."""

from __future__ import annotations

import uuid
from datetime import timedelta, timezone
from typing import Any

import pytest

from coldmark.bench import level
from coldmark.bench.job import level_of, pours_of, taught
from coldmark.records import queries, services
from coldmark.records.models import Machine
from coldmark.records.queries import LevelAsk
from coldmark.records.services import MachineData
from coldmark.records.sheets import oils_by_key
from tests.records.house import House, litres, sheet_text
from tests.records.jobs import Work, close, do_all, keep_oils, open_work

TOP_UP = {"compartment": "hydraulic", "way": "top_up", "oil": "varnol_hm46"}


@pytest.fixture
def loader(house: House) -> str:
    """A machine whose sheet has no litres between the marks."""
    keep_oils(house)
    sheet = services.keep_sheet(house.office, sheet_text("track_loader")).sha256
    machine = services.keep_machine(house.office, MachineData(str(uuid.uuid4()), "Track loader", "11"))
    services.assign_sheet(house.office, machine, sheet, at=house.days(-60))
    return machine


def read(work: Work, moment: str, reading: str, *, oil_c: str = "20", posture: str = "arms_down") -> None:
    oil = {"value": oil_c, "unit": "c"}
    body = {"compartment": "hydraulic", "moment": moment, "reading": reading, "oil": oil, "posture": posture}
    work.say("level_read", body | {"engine": "stopped", "settled_min": 15})


def pour(work: Work, amount: str, **change: Any) -> None:
    work.say("oil_moved", TOP_UP | {"litres": litres(amount)} | change)


def ask(house: House, machine: str, reading: float) -> level.LevelVerdict:
    """What a reading in the check posture means on a machine."""
    state, sheet = queries.machine_state(house.mechanic, machine)
    assert sheet is not None
    asked = LevelAsk(reading, "arms_down", None, 20.0, None, 15.0, "stopped", 15.0)
    return level_of(sheet, state, asked, oils_by_key()).verdict


def test_a_machine_learns_its_litres_from_its_own_pours(house: House, loader: str) -> None:
    unknown = ask(house, loader, -0.1)
    assert unknown.add_l is None, "the sheet has no litres between the marks, and nobody guesses them"
    work = open_work(house, "hyd_500", machine=loader)
    read(work, "found", "0.10")
    pour(work, "1.5")
    read(work, "between", "0.40")
    pour(work, "2.0")
    read(work, "left", "0.80")
    work.send()
    state, sheet = queries.machine_state(house.mechanic, loader)
    assert sheet is not None
    told = pours_of(sheet, state)
    assert [(one.before, one.litres_l, one.after) for one in told] == [(0.10, 1.5, 0.40), (0.40, 2.0, 0.80)]
    between = taught(sheet, state, None).tank.between_marks_l
    assert between == pytest.approx(5.0), "3.5 L moved the glass by 0.7 of the span"
    known = ask(house, loader, -0.1)
    assert known.add_l is not None
    assert known.add_l.low < known.add_l.value < known.add_l.high
    low = -0.1 * 5.0
    assert known.add_l.value > -low, "at least up to the lower mark"


def _wrong(work: Work, how: str) -> None:
    if how == "warmed up":
        read(work, "found", "0.10", oil_c="20")
        pour(work, "1.5")
        read(work, "left", "0.60", oil_c="45")
    elif how == "in another posture":
        read(work, "found", "0.10", posture="arms_up")
        pour(work, "1.5")
        read(work, "left", "0.60")
    elif how == "drained as well":
        read(work, "found", "0.10")
        pour(work, "3.0")
        pour(work, "0.5", way="drained", oil=None)
        read(work, "left", "0.60")
    elif how == "off the glass":
        read(work, "found", "below")
        pour(work, "1.5")
        read(work, "left", "0.60")
    elif how == "nothing poured":
        read(work, "found", "0.10")
        read(work, "left", "0.60")


@pytest.mark.parametrize(
    "how", ["warmed up", "in another posture", "drained as well", "off the glass", "nothing poured"]
)
def test_what_teaches_nothing_is_not_learned_from(house: House, loader: str, how: str) -> None:
    work = open_work(house, "hyd_500", machine=loader)
    _wrong(work, how)
    work.send()
    state, sheet = queries.machine_state(house.mechanic, loader)
    assert sheet is not None
    assert list(pours_of(sheet, state)) == []
    assert taught(sheet, state, None) is sheet.hydraulic


def test_readings_of_two_jobs_are_not_one_pour(house: House, loader: str) -> None:
    first = open_work(house, "hyd_500", machine=loader)
    read(first, "left", "0.10")
    first.send()
    second = open_work(house, "hyd_500", machine=loader, at=house.days(40))
    pour(second, "2.0")
    read(second, "left", "0.50")
    second.send()
    state, sheet = queries.machine_state(house.mechanic, loader)
    assert sheet is not None
    assert list(pours_of(sheet, state)) == []


def test_a_pour_is_put_in_order_by_its_moment_and_not_by_how_it_is_written(house: House, loader: str) -> None:
    work = open_work(house, "hyd_500", machine=loader)
    read(work, "found", "0.10")
    east = work.at + timedelta(minutes=2)
    # The same moment told by a clock that is two hours ahead: as text it would lie after both readings.
    work.number += 1
    fact = work.phone.fact(
        "oil_moved",
        TOP_UP | {"litres": litres("1.5")},
        at=east.astimezone(timezone(timedelta(hours=2))),
        job=work.job,
    )
    work.facts.append(fact)
    read(work, "left", "0.40")
    work.send()
    state, sheet = queries.machine_state(house.mechanic, loader)
    assert sheet is not None
    assert len(pours_of(sheet, state)) == 1


@pytest.fixture
def job(house: House) -> Work:
    """The 500-hour hydraulic service on the house's machine."""
    keep_oils(house)
    house.phone.send(*(house.phone.meter(480 + n, at=house.days(n)) for n in (0, 10, 20)))
    return open_work(house)


def test_what_is_accepted_is_folded_and_stands_on_the_card(house: House, job: Work) -> None:
    before = queries.job_card(house.mechanic, job.job)
    assert before["state"]["meter"]["shown_h"] == pytest.approx(500)
    job.say("meter_read", {"reading": {"value": "512.4", "unit": "h"}, "way": "seen"})
    job.send()
    after = queries.job_card(house.mechanic, job.job)
    assert after["state"]["meter"]["shown_h"] == pytest.approx(512.4)
    assert [fact["kind"] for fact in after["facts"]] == ["job_opened", "meter_read"]
    assert [one["key"] for one in after["card"]["screens"]] == [one["key"] for one in before["card"]["screens"]]


def test_what_is_withdrawn_is_gone_from_the_card_and_from_the_state(house: House, job: Work) -> None:
    wrong = job.say("meter_read", {"reading": {"value": "5124", "unit": "h"}, "way": "seen"})
    job.send()
    job.facts.append(job.phone.withdraw(wrong, at=job.at + timedelta(minutes=5), reason="mistyped"))
    job.send()
    page = queries.job_card(house.mechanic, job.job)
    assert "meter_read" not in {fact["kind"] for fact in page["facts"]}
    assert page["state"]["meter"]["shown_h"] == pytest.approx(500)


def test_facts_that_come_in_any_order_make_the_same_card(house: House, job: Work) -> None:
    other = open_work(house, at=job.at + timedelta(days=1), machine=house.other_machine)
    facts = []
    for work in (job, other):
        work.say("step_done", {"step": "hyd_500.park"})
        work.say("finding", {"about": "return", "what": "leak", "urgency": "plan_for_it"})
        facts.append(list(work.facts))
    job.phone.send(*facts[0])
    other.phone.send(*reversed(facts[1]))
    told = [[fact["kind"] for fact in queries.job_card(house.mechanic, work.job)["facts"]] for work in (job, other)]
    assert told[0] == told[1] == ["job_opened", "step_done", "finding"]


def test_a_job_done_moves_its_task_on_by_the_grid(house: House, job: Work) -> None:
    do_all(job)
    close(job)
    due = {one["task"]: one["says"] for one in queries.job_finish(house.mechanic, job.job)["next_due"]}
    assert "1000 h" in due["hyd_500"], "512.4 h was within the window of the 500-hour line"
    assert queries.job_page(house.office, job.job).job.tasks_done == ("hyd_500",)
    assert Machine.objects.get(id=house.machine).state.next_task


def test_a_planned_job_has_its_card_before_it_is_opened(house: House) -> None:
    visit = services.VisitData(
        str(uuid.uuid4()), house.days(40).date(), (services.VisitPart(house.machine, ("hyd_500",)),)
    )
    planned = services.plan_visit(house.office, visit).machines[0].job
    assert planned is not None
    page = queries.job_card(house.mechanic, planned)
    assert page["facts"] == []
    assert [task["key"] for task in page["card"]["tasks"]] == ["hyd_500"]
