"""Due, and making a job of what is due."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest
from django.utils import timezone

from coldmark.bench import words
from coldmark.records.models import DueRow, JobRow, Visit
from tests.records.house import House
from tests.web.conftest import signed_in


def over(house: House, machine: str, task: str = "hyd_500", days: int = -10) -> None:
    """Have a task fall due so many days from now."""
    day = timezone.localdate() + timedelta(days=days)
    DueRow.objects.filter(machine=uuid.UUID(machine)).update(early=None, likely=None, late=None, due_h=None)
    DueRow.objects.filter(machine=uuid.UUID(machine), task=task).update(
        early=day - timedelta(days=3), likely=day, late=day + timedelta(days=3), due_h=500.0, rides_with=""
    )


def test_where_a_task_stands_is_said_in_a_word(house: House) -> None:
    client = signed_in(house.mechanic)
    for days, word in ((-10, "over"), (0, "now"), (30, "ahead")):
        over(house, house.machine, days=days)
        page = client.get("/due/", {"customer": house.customer}).content.decode()
        assert f">{word}</span>" in page
        assert f'value="{house.machine}:hyd_500"' in page
        assert 'class="picture strip"' in page


def test_each_task_is_said_once_with_its_window_and_this_year_without_the_year(house: House) -> None:
    over(house, house.machine, days=0)
    DueRow.objects.filter(machine=uuid.UUID(house.machine)).exclude(task="hyd_500").delete()
    page = signed_in(house.mechanic).get("/due/", {"customer": house.customer}).content.decode()
    (name,) = DueRow.objects.filter(machine=uuid.UUID(house.machine)).values_list("name", flat=True)
    found = page.partition('<fieldset class="falls-due">')[2].partition("</fieldset>")[0]
    assert found.count(f">{name}<") == 1
    assert found.count('class="due-window"') == 1
    day = timezone.localdate()
    late = day + timedelta(days=3)
    assert f"at 500 h, about {words.span(day - timedelta(days=3), late, year=day.year)}<" in found


def test_the_filters_are_open_where_one_is_set(house: House) -> None:
    client = signed_in(house.mechanic)
    assert '<details class="choosing">' in client.get("/due/").content.decode()
    for asked in ({"weeks": "13"}, {"site": house.site}):
        assert '<details class="choosing" open>' in client.get("/due/", asked).content.decode()


def test_the_filters_keep_their_choice_in_the_address(house: House) -> None:
    over(house, house.machine)
    over(house, house.other_machine)
    client = signed_in(house.mechanic)
    page = client.get("/due/", {"customer": house.customer, "weeks": "13"}).content.decode()
    assert "Digger" in page
    assert "Loader</a>" not in page
    assert f'value="{house.customer}" selected' in page
    assert 'value="13" selected' in page
    part = client.get("/due/", {"site": house.site}, headers={"HX-Request": "true"}).content.decode()
    assert "<html" not in part
    assert "Nothing falls due in this time." in client.get("/due/", {"task": "no_such"}).content.decode()


@pytest.mark.parametrize(("name", "value"), [("weeks", "7"), ("customer", "all"), ("site", "x"), ("page", "last")])
def test_a_filter_that_is_none_is_named(house: House, name: str, value: str) -> None:
    answer = signed_in(house.mechanic).get("/due/", {name: value})
    assert answer.status_code == 400
    assert f"{name} = {value} is not right" in answer.content.decode()


def test_an_owner_sees_his_own_and_has_nothing_to_tick(house: House) -> None:
    over(house, house.machine)
    over(house, house.other_machine)
    page = signed_in(house.owner).get("/due/").content.decode()
    assert "Digger" in page
    assert "Loader</a>" not in page
    assert "checkbox" not in page


# making a job


def test_what_is_due_is_ticked_at_first(house: House) -> None:
    over(house, house.machine)
    page = signed_in(house.mechanic).get("/jobs/new/", {"machine": house.machine})
    ticked = [one.ticked for one in page.context["chosen"]]
    assert ticked == [("hyd_500",)]


def test_a_ticked_task_becomes_an_open_job_and_once(house: House) -> None:
    client = signed_in(house.mechanic)
    address = f"/jobs/new/?pick={house.machine}:hyd_500"
    page = client.get(address)
    job = page.context["chosen"][0].job
    told = {
        "id": page.context["form"]["id"].value(),
        "machine": house.machine,
        f"job_{house.machine}": job,
        "pick": f"{house.machine}:hyd_500",
        "action": "open",
    }
    for _press in range(2):
        assert client.post("/jobs/new/", told).headers["Location"] == f"/jobs/{job}/card/"
    assert JobRow.objects.get().tasks == ["hyd_500"]


def test_tasks_of_several_machines_become_one_visit(house: House) -> None:
    client = signed_in(house.mechanic)
    picks = [f"{house.machine}:hyd_500", f"{house.other_machine}:hyd_500"]
    page = client.get("/jobs/new/", {"pick": picks})
    told = {
        "id": page.context["form"]["id"].value(),
        "machine": [house.machine, house.other_machine],
        "pick": picks,
        "day": "2026-12-01",
        "from_time": "08:00",
        "to_time": "10:00",
        "mechanic": str(house.mechanic.id),
        "van": house.van,
        "note": "",
        "action": "plan",
    }
    assert client.post("/jobs/new/", told).headers["Location"] == "/?day=2026-12-01"
    visit = Visit.objects.get()
    assert [part.tasks for part in visit.machines.all()] == [["hyd_500"], ["hyd_500"]]
    assert visit.mechanic == house.mechanic


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"pick": []}, None, "at least one task"),
        ({"day": ""}, "day", "the day of the visit"),
        ({"from_time": "10:00", "to_time": "09:00"}, "to_time", "it ends after 10:00"),
        ({"mechanic": str(uuid.uuid4())}, "mechanic", "is none of the choices"),
        ({"pick": ["MACHINE:no_such"]}, None, "at least one task"),
    ],
)
def test_what_is_wrong_with_a_visit_is_told_and_nothing_is_planned(
    house: House, changes: dict[str, object], field: str | None, says: str
) -> None:
    client = signed_in(house.mechanic)
    told: dict[str, object] = {
        "id": str(uuid.uuid4()),
        "machine": house.machine,
        "pick": [f"{house.machine}:hyd_500"],
        "day": "2026-12-01",
        "note": "keep me",
        "action": "plan",
    }
    told |= changes
    told["pick"] = [str(pick).replace("MACHINE", house.machine) for pick in told["pick"]]  # type: ignore[attr-defined]
    answer = client.post("/jobs/new/", told)
    errors = answer.context["form"].errors
    assert says in " ".join(errors[field or "__all__"])
    assert "keep me" in answer.content.decode()
    assert not Visit.objects.exists()


def test_a_job_needs_a_machine_and_takes_a_handful(house: House) -> None:
    client = signed_in(house.mechanic)
    nothing = client.get("/jobs/new/", follow=True)
    assert nothing.redirect_chain == [("/due/", 302)]
    assert "Nothing was ticked." in nothing.content.decode()
    assert client.get("/jobs/new/", {"machine": [str(uuid.uuid4()) for _ in range(21)]}).status_code == 400
    assert client.get("/jobs/new/", {"machine": str(uuid.uuid4())}).status_code == 404
