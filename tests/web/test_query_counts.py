"""A page asks the database as often for a large house as for a small one: one number each, at both sizes."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta
from importlib.resources import files

from django.utils import timezone

from coldmark.records import queries, services
from coldmark.records.models import DueRow, Fact, MachineState
from coldmark.records.paperwork import issue_report
from coldmark.records.services import MachineData, VisitData, VisitPart
from tests.records.house import House
from tests.records.jobs import Work, close, do_all, keep_oils, open_work, photographed, said
from tests.web.conftest import signed_in

Count = Callable[..., AbstractContextManager[object]]


def served(house: House, days: float) -> Work:
    """A whole job with all that a page can tell of one: findings, photos, texts, a correction, a report."""
    work = open_work(house, at=house.days(days))
    for urgency in ("plan_for_it", "keep_watching"):
        told = {"about": "return", "what": "leak", "urgency": urgency, "photos": [photographed(house)]}
        work.say("finding", told | {"note": said(house, "a drop a day"), "advice": said(house, "a new seal")})
    work.say("photo", {"of": "meter", "photo": photographed(house)})
    wrong = work.say("meter_read", {"reading": {"value": str(500 + days), "unit": "h"}, "way": "seen"})
    do_all(work, shown_h=f"{500 + days:.1f}")
    house.phone.send(house.phone.withdraw(wrong, at=work.at + timedelta(hours=5)))
    close(work)
    issue_report(house.office, work.job)
    return work


def planned(house: House, *machines: str, days: int = 0) -> None:
    """A visit with the 500-hour service of each machine."""
    parts = tuple(VisitPart(machine, ("hyd_500",)) for machine in machines)
    day = timezone.localdate() + timedelta(days=days)
    visit = VisitData(str(uuid.uuid4()), day, parts, str(house.mechanic.id), house.van, house.site, note="ask first")
    services.plan_visit(house.office, visit)


def more_machines(house: House, count: int) -> list[str]:
    """More machines of the customer, each with the sheet, its hours and a finding."""
    made = []
    for number in range(count):
        id = services.keep_machine(house.office, MachineData(str(uuid.uuid4()), f"Digger {number}", str(100 + number)))
        services.move_machine(house.office, id, house.customer, house.site, at=house.days(-60))
        services.assign_sheet(house.office, id, house.sheet, at=house.days(-60))
        leak = {"about": "return", "what": "leak", "urgency": "plan_for_it"}
        house.phone.send(
            *(house.phone.meter(100 + 4 * day, at=house.days(day), machine=id) for day in (0, 60)),
            house.phone.fact("finding", leak, at=house.days(60), machine=id),
        )
        made.append(id)
    return made


def falling_due() -> None:
    """Have everything fall due about now."""
    day = timezone.localdate()
    DueRow.objects.update(early=day, likely=day, late=day, due_h=500.0, rides_with="")


def test_today_for_one_machine_and_for_many(house: House, django_assert_num_queries: Count) -> None:
    client = signed_in(house.mechanic)
    house.phone.send(*(house.phone.meter(100 + 4 * day, at=house.days(day)) for day in (0, 60)))
    planned(house, house.machine)
    client.get("/")  # the sheet is read once
    with django_assert_num_queries(8):
        client.get("/")
    for machine in more_machines(house, 12):
        planned(house, machine)
    with django_assert_num_queries(8):
        page = client.get("/").content.decode()
    assert page.count('<article class="leaf') == 13


def test_due_for_one_machine_and_for_many(house: House, django_assert_num_queries: Count) -> None:
    client = signed_in(house.mechanic)
    DueRow.objects.filter(machine=uuid.UUID(house.other_machine)).delete()
    for machines in (1, 13):
        more_machines(house, machines - 1)
        falling_due()
        with django_assert_num_queries(8):
            page = client.get("/due/").content.decode()
        assert page.count('<fieldset class="falls-due">') == machines


def test_a_machines_page_and_its_story_with_one_job_and_with_many(
    house: House, django_assert_num_queries: Count
) -> None:
    keep_oils(house)
    page, story = f"/machines/{house.machine}/", f"/machines/{house.machine}/story/"
    asked = ((house.mechanic, page, 24), (house.owner, page, 26), (house.mechanic, story, 20), (house.owner, story, 21))
    for jobs in (1, 11):
        for number in range(jobs):
            served(house, 10 * (jobs + number))
            planned(house, house.machine, days=jobs + number)
        services.move_machine(house.office, house.machine, house.customer, house.site, at=house.days(200 + jobs))
        services.assign_sheet(house.office, house.machine, house.sheet, at=house.days(200 + jobs))
        falling_due()
        for person, address, count in asked:
            client = signed_in(person)
            with django_assert_num_queries(count):
                client.get(address)
    assert MachineState.objects.get(machine=uuid.UUID(house.machine)).open_findings == 24
    assert Fact.objects.filter(subject=house.machine).count() > 800


def test_a_jobs_pages_with_few_facts_and_with_four_hundred(house: House, django_assert_num_queries: Count) -> None:
    keep_oils(house)
    work = served(house, 10)
    page, card, entries = (f"/jobs/{work.job}/", f"/api/jobs/{work.job}/card", f"/machines/{house.machine}/story/?job=")
    asked = (
        (house.mechanic, page, 29),
        (house.owner, page, 35),
        (house.mechanic, card, 11),
        (house.mechanic, f"{entries}{work.job}", 14),
    )
    for more in (0, 320):
        for number in range(more):
            work.say("step_done", {"step": "hyd_500.park"})
            if number % 10 == 0:
                told = {"about": "return", "what": "leak", "urgency": "keep_watching", "note": said(house, str(number))}
                work.say("finding", told | {"photos": [photographed(house, number)]})
        work.send()
        for person, address, count in asked:
            client = signed_in(person)
            with django_assert_num_queries(count):
                client.get(address)
    assert Fact.objects.filter(job=uuid.UUID(work.job)).count() > 400


def test_a_card_with_few_oils_kept_and_with_many(house: House, django_assert_num_queries: Count) -> None:
    keep_oils(house)
    work = served(house, 10)
    client = signed_in(house.mechanic)
    text = (files("coldmark") / "demo" / "oils" / "varnol_hm46.toml").read_text(encoding="utf-8")
    for oils in (0, 20):
        for number in range(oils):
            services.keep_oil(house.office, text.replace('"varnol_hm46"', f'"varnol_{number}"'))
        for address, count in ((f"/api/jobs/{work.job}/card", 11), (f"/jobs/{work.job}/", 29)):
            with django_assert_num_queries(count):
                client.get(address)
    assert len(queries.oils(house.office)) > 20
