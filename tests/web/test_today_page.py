"""Today: the day's visits, what to bring, the button to the card."""

from __future__ import annotations

import uuid
from dataclasses import replace
from datetime import timedelta

import pytest
from django.utils import timezone

from coldmark.records import queries, services
from coldmark.records.models import JobRow
from coldmark.records.services import VisitData, VisitPart
from tests.records.house import House
from tests.web.conftest import signed_in


def planned(house: House, *machines: str, days: int = 0) -> VisitData:
    data = VisitData(
        str(uuid.uuid4()),
        timezone.localdate() + timedelta(days=days),
        tuple(VisitPart(machine, ("hyd_500",)) for machine in machines or (house.machine,)),
        str(house.mechanic.id),
        house.van,
        house.site,
        note="ask for the key",
    )
    return services.plan_visit(house.office, data)


def test_a_day_without_visits_says_so_and_points_to_what_is_due(house: House) -> None:
    page = signed_in(house.mechanic).get("/").content.decode()
    assert "Nothing is planned for today." in page
    assert 'href="/due/"' in page


def test_a_visit_shows_machine_task_hours_kit_and_access(house: House) -> None:
    house.phone.send(house.phone.meter(100), house.phone.meter(400, at=house.days(60)))
    job = planned(house).machines[0].job
    page = signed_in(house.mechanic).get("/").content.decode()
    for told in ("Upper bench", "key at the gate", "ask for the key", "Digger", "Hydraulic service", "400 h", "about"):
        assert told in page
    assert "2 elements" in page
    assert f'href="/jobs/{job}/kit/"' in page
    assert f'action="/jobs/{job}/open/"' in page


def test_what_the_whole_day_takes_is_said_before_the_first_machine(house: House) -> None:
    planned(house, house.machine)
    client = signed_in(house.mechanic)
    alone = client.get("/").content.decode()
    assert "2 elements" in alone
    assert "To bring" not in alone, "of one machine it stands with it"
    planned(house, house.other_machine)
    before, _first, _after = client.get("/").content.decode().partition('<article class="leaf')
    assert "4 elements" in before
    assert "for 2 machines" in before


def test_each_van_has_its_own_load_and_a_visit_called_off_is_in_none(house: House) -> None:
    planned(house, house.machine, house.other_machine)
    off = planned(house, house.machine)
    without = replace(planned(house, house.other_machine), van=None)
    services.plan_visit(house.office, without)
    services.call_off_visit(house.office, off.id)
    loads = queries.today(house.mechanic, timezone.localdate()).loads
    assert sorted((load.van, load.machines) for load in loads) == [("", 1), (queries.vans(house.office)[0].name, 2)]


def test_the_days_before_and_after_are_one_step_away(house: House) -> None:
    planned(house, days=1)
    client = signed_in(house.mechanic)
    page = client.get("/").content.decode()
    tomorrow = f"/?day={timezone.localdate() + timedelta(days=1):%Y-%m-%d}"
    assert f'href="{tomorrow}"' in page
    assert "Upper bench" in client.get(tomorrow).content.decode()


@pytest.mark.parametrize("day", ["yesterday", "2026-02-30", "0001-01-01", "<b>"])
def test_a_day_that_is_none_is_named(house: House, day: str) -> None:
    answer = signed_in(house.mechanic).get("/", {"day": day})
    assert answer.status_code == 400
    page = answer.content.decode()
    assert "day = " in page
    assert "<b>" not in page


def test_opening_a_planned_job_leads_to_its_card_and_happens_once(house: House) -> None:
    job = planned(house).machines[0].job
    client = signed_in(house.mechanic)
    for _press in range(2):
        assert client.post(f"/jobs/{job}/open/").headers["Location"] == f"/jobs/{job}/card/"
    row = JobRow.objects.get(job=str(job))
    assert row.tasks == ["hyd_500"]
    assert client.get(f"/jobs/{job}/open/").status_code == 405
    assert f'href="/jobs/{job}/card/"' in client.get("/").content.decode()


def test_an_owner_is_led_to_the_machines(house: House) -> None:
    assert signed_in(house.owner).get("/").headers["Location"] == "/machines/"
