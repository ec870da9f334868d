"""Pages take a fixed number of queries, however much there is."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from coldmark.records import queries, services
from coldmark.records.models import Fact, Person
from coldmark.records.services import MachineData, VisitData, VisitPart
from tests.records.house import House, Phone, sha
from tests.records.pictures import keep_photo


def more(house: House, count: int) -> list[str]:
    """So many more machines of the house's customer, each with a year of reads, a job, a finding and a visit."""
    made: list[str] = []
    for number in range(count):
        id = services.keep_machine(house.office, MachineData(str(uuid.uuid4()), f"Digger {number}", str(100 + number)))
        services.move_machine(house.office, id, house.customer, house.site, at=house.days(-30))
        services.assign_sheet(house.office, id, house.sheet, at=house.days(-30))
        phone, job = Phone(house.mechanic, id), str(uuid.uuid4())
        at = house.days(60)
        phone.send(
            *(phone.meter(20 * week, at=house.days(7 * week)) for week in range(1, 9)),
            phone.fact("job_opened", {"tasks": ["hyd_500"]}, at=at, job=job),
            phone.fact("photo", {"photo": keep_photo(house.mechanic, number), "of": "glass"}, at=at, job=job),
            phone.fact(
                "finding",
                {"about": "boom", "what": "leak", "urgency": "plan_for_it", "note": sha(f"n{number}")},
                at=at,
                job=job,
            ),
            phone.withdraw(phone.meter(1), at=at),
        )
        visit = VisitData(
            str(uuid.uuid4()),
            house.days(63).date(),
            (VisitPart(id, ("hyd_500",)),),
            str(house.mechanic.id),
            house.van,
            house.site,
        )
        services.plan_visit(house.office, visit)
        made.append(id)
    return made


def count(read: Callable[[], Any]) -> int:
    with CaptureQueriesContext(connection) as captured:
        read()
    return len(captured)


LISTS: dict[str, Callable[[Person, House], Any]] = {
    "today": lambda person, house: queries.today(person, house.days(63).date()),
    "machines": lambda person, house: queries.machines(person, "digger"),
    "due": lambda person, house: queries.due_rows(person, day=house.days(63).date(), weeks=200),
    "visits": lambda person, house: queries.visits(person, house.days(0).date(), house.days(99).date()),
    "findings": lambda person, house: queries.open_findings(person),
}
MOST = {"today": 7, "machines": 2, "due": 6, "visits": 4, "findings": 5}


@pytest.mark.parametrize("name", LISTS)
@pytest.mark.parametrize("who", ["office", "owner"])
def test_a_list_takes_the_same_queries_for_one_as_for_many(house: House, name: str, who: str) -> None:
    person: Person = getattr(house, who)
    more(house, 1)
    LISTS[name](person, house)  # sheets are read once
    one = count(lambda: LISTS[name](person, house))
    more(house, 4)
    assert count(lambda: LISTS[name](person, house)) == one
    assert one <= MOST[name]


@pytest.mark.parametrize("who", ["mechanic", "owner"])
def test_a_machines_page_and_story_take_the_same_queries_for_little_as_for_much(house: House, who: str) -> None:
    person: Person = getattr(house, who)
    (machine,) = more(house, 1)
    day = house.days(63).date()
    page = count(lambda: queries.machine_page(person, machine, day=day))
    story = count(lambda: queries.story(person, machine))
    phone = Phone(house.mechanic, machine)
    for job in (str(uuid.uuid4()) for _ in range(6)):
        phone.send(
            phone.fact("job_opened", {"tasks": ["hyd_500"]}, at=house.days(70), job=job),
            phone.fact("photo", {"photo": sha(job), "of": "glass"}, at=house.days(70), job=job),
            phone.fact(
                "finding", {"about": "boom", "what": "leak", "urgency": "plan_for_it"}, at=house.days(70), job=job
            ),
        )
    assert count(lambda: queries.machine_page(person, machine, day=day)) == page <= 7
    assert count(lambda: queries.story(person, machine)) == story <= 8


def test_a_story_is_paged_without_loss_or_doubling(house: House) -> None:
    facts = [house.phone.meter(100 + n // 3, at=house.days(n // 3)) for n in range(40)]
    house.phone.send(*facts)
    seen: list[str] = []
    before: str | None = None
    while True:
        page = queries.story(house.mechanic, house.machine, before=before, size=7)
        seen += [entry.fact for entry in page.entries]
        before = page.further
        if before is None:
            break
    assert len(seen) == len(set(seen))
    assert {fact.id for fact in facts} <= set(seen)
    with pytest.raises(ValueError, match="before"):
        queries.story(house.mechanic, house.machine, before="yesterday")


def test_the_search_finds_words_in_any_order_and_case(house: House) -> None:
    assert [line.name for line in queries.machines(house.office, "QUARRY digger").lines] == ["Digger"]
    assert queries.machines(house.office, "digger hallbeck").total == 0
    assert queries.machines(house.office, "100%").total == 0


def test_today_shows_what_is_due_what_to_bring_and_the_hours_to_expect(house: House) -> None:
    (machine,) = more(house, 1)
    day = house.days(63).date()
    today = queries.today(house.mechanic, day)
    (visit,) = today.visits
    (stop,) = visit.stops
    assert stop.machine.id == machine
    assert stop.task_names
    assert stop.hours_likely == pytest.approx(160 + 7 * 20 / 7, rel=0.05)
    assert "hyd_500" in {line.task for line in stop.due}
    assert stop.kit is not None
    assert visit.bring is not None
    assert visit.bring.waste_room_l == pytest.approx(60)
    assert [job.machine.id for job in today.open_jobs] == [machine]
    assert queries.today(house.mechanic, house.days(64).date()).visits == ()


def test_a_mechanic_sees_his_own_visits_and_those_nobody_has(house: House) -> None:
    day = house.days(3).date()
    for mechanic in (str(house.office.id), str(house.mechanic.id), None):
        part = VisitPart(house.machine, ("hyd_500",))
        services.plan_visit(house.office, VisitData(str(uuid.uuid4()), day, (part,), mechanic))
    assert len(queries.today(house.mechanic, day).visits) == 2
    assert len(queries.today(house.office, day).visits) == 3


def test_due_can_be_narrowed_by_customer_site_and_task(house: House) -> None:
    more(house, 2)
    day = house.days(63).date()
    house.phone.send(house.phone.meter(100, at=house.days(50)))
    everything = queries.due_rows(house.office, day=day, weeks=300)
    assert house.machine in {one.machine.id for one in everything.machines}
    narrow = queries.due_rows(house.office, day=day, weeks=300, site=house.site, task="hyd_500")
    assert {line.task for one in narrow.machines for line in one.due} == {"hyd_500"}
    assert {one.machine.site for one in narrow.machines} == {house.site}
    assert queries.due_rows(house.office, day=day, weeks=300, customer=str(uuid.uuid4())).total == 0
    assert {choice.id for choice in everything.tasks} >= {"hyd_500", "engine_250"}


def test_the_pull_gives_every_fact_once_in_the_order_of_arrival(house: House) -> None:
    house.phone.send(*(house.phone.meter(100 + n, at=house.days(n)) for n in range(12)))
    after, texts = 0, list[str]()
    while True:
        pulled = queries.pull(house.mechanic, after, limit=5)
        texts += pulled.texts
        after = pulled.last
        if not pulled.more:
            break
    assert texts == list(Fact.objects.order_by("arrival").values_list("text", flat=True))
    only = queries.pull(house.mechanic, 0, machines=(house.other_machine,))
    assert all(house.other_machine in text for text in only.texts)


def test_the_kit_of_a_job_follows_options_and_van(house: House) -> None:
    (machine,) = more(house, 1)
    part = queries.today(house.mechanic, house.days(63).date()).visits[0].stops[0]
    kit = queries.job_kit(house.mechanic, part.job.job)
    assert kit.van == "Blue van"
    assert kit.kit is not None
    assert kit.kit.elements
    assert kit.machine.id == machine


def test_reading_the_meter_moves_the_likely_day(house: House) -> None:
    (machine,) = more(house, 1)
    phone = Phone(house.mechanic, machine)

    def likely() -> date:
        page = queries.machine_page(house.office, machine, day=house.days(81).date())
        found = next(line.likely for line in page.due if line.task == "hyd_500")
        assert found is not None
        return found

    phone.send(phone.fact("task_done", {"task": "hyd_500"}, at=house.days(60)))
    before = likely()
    phone.send(phone.meter(420, at=house.days(80)))
    assert likely() < before
