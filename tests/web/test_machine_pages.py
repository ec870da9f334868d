"""Machines and a machine's page: the search, what is shown to whom, and the small forms."""

from __future__ import annotations

import json
import uuid
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from coldmark.records import queries, services
from coldmark.records.models import DueRow, Fact, FindingRow, Machine, MachineState
from tests.records.house import House, litres, sheet_text
from tests.web.conftest import signed_in

Count = Callable[..., AbstractContextManager[object]]
LEVEL = {
    "compartment": "hydraulic",
    "moment": "left",
    "reading": "0.5",
    "oil": {"value": "40", "unit": "c"},
    "posture": "arm_out",
    "engine": "stopped",
    "settled_min": 5,
}


def lived(house: House) -> str:
    """Give the machine some history; return the id of a finding."""
    phone = house.phone
    found = phone.fact("finding", {"about": "hydraulic", "what": "leak", "urgency": "plan_for_it"}, at=house.days(61))
    phone.send(
        phone.meter(100),
        phone.fact(
            "oil_moved", {"compartment": "hydraulic", "way": "fill", "litres": litres(70), "oil": "varnol_hm46"}
        ),
        phone.meter(400, at=house.days(60)),
        phone.fact("level_read", LEVEL, at=house.days(61)),
        found,
    )
    return found.id


def form_of(client: Client, address: str) -> dict[str, Any]:
    """The form of a page as it is first shown."""
    form = client.get(address).context["form"]
    return {bound.name: bound.value() for bound in form if bound.value() is not None}


def last(kind: str) -> dict[str, Any]:
    """The body of the fact of a kind that arrived last."""
    body: dict[str, Any] = json.loads(Fact.objects.filter(kind=kind).order_by("-arrival")[0].text)["body"]
    return body


# the search


@pytest.mark.parametrize("words", ["digger", "DIG 7", "stennet", "upper bench"])
def test_a_machine_is_found_by_its_words(house: House, words: str) -> None:
    page = signed_in(house.mechanic).get("/machines/", {"q": words}).content.decode()
    assert "Digger" in page
    assert "Loader" not in page
    assert "1 machine" in page


def test_as_one_types_only_the_list_comes(house: House) -> None:
    answer = signed_in(house.mechanic).get("/machines/?q=dig", headers={"HX-Request": "true"})
    page = answer.content.decode()
    assert "Digger" in page
    assert "<html" not in page


def test_a_machine_met_on_site_is_marked(house: House) -> None:
    stranger = str(uuid.uuid4())
    house.phone.send(house.phone.meter(5, machine=stranger))
    client = signed_in(house.mechanic)
    page = client.get("/machines/?unknown=1").content.decode()
    assert "not yet named" in page
    assert "Digger" not in page
    assert "Unknown machine" in client.get(f"/machines/{stranger}/").content.decode()


def test_an_owner_finds_his_own_machines_alone(house: House) -> None:
    page = signed_in(house.owner).get("/machines/?q=&unknown=1").content.decode()
    assert "Digger" in page
    assert "Loader" not in page
    assert "New machine" not in page


def test_the_search_asks_as_often_for_many_machines(house: House, django_assert_num_queries: Count) -> None:
    client = signed_in(house.mechanic)
    client.get("/machines/")
    for count in range(60):
        row = Machine.objects.create(name=f"M {count}")
        MachineState.objects.create(machine=row, search=f"m {count}", stale=False)
    with django_assert_num_queries(4):
        page = client.get("/machines/").content.decode()
    assert "page 1 of 2" in page
    assert "page 2 of 2" in client.get("/machines/?page=2").content.decode()


@pytest.mark.parametrize("page", ["two", "-1", "1e3", "²"])
def test_a_page_that_is_no_number_is_named(house: House, page: str) -> None:
    answer = signed_in(house.mechanic).get("/machines/", {"page": page})
    assert answer.status_code == 400
    assert "page = " in answer.content.decode()


# a machine's page


def test_a_machines_page_shows_glass_oil_due_findings_and_story(house: House) -> None:
    lived(house)
    page = signed_in(house.mechanic).get(f"/machines/{house.machine}/").content.decode()
    for told in (
        "As last left",
        'data-part="cold"',
        "oil at 40 °C",
        "Arm out, bucket curled",
        "varnol hm46",
        "Hydraulic service",
        'class="picture strip"',
        "leak, hydraulic system: plan for it",
        "Oil level as left",
        "The hour meter shows 400 h.",
        "the boom creaks",
        "Read the hour meter",
        "Make a job",
    ):
        assert told in page, told
    assert "style=" not in page
    assert "<style" not in page
    assert "onclick" not in page


def test_us_units_are_shown_to_who_chose_them(house: House) -> None:
    lived(house)
    house.mechanic.units = "us"
    house.mechanic.save()
    page = signed_in(house.mechanic).get(f"/machines/{house.machine}/").content.decode()
    assert "oil at 104 °F" in page
    assert " °C" not in page


def test_an_owner_reads_his_machine_and_can_change_nothing(house: House) -> None:
    finding = lived(house)
    client = signed_in(house.owner)
    page = client.get(f"/machines/{house.machine}/").content.decode()
    assert "As last left" in page
    for hidden in ("the boom creaks", "Read the hour meter", "Settle it", "Make a job", "What does not fit"):
        assert hidden not in page
    for address in ("meter/", "names/", "sheet/", f"findings/{finding}/"):
        assert client.get(f"/machines/{house.machine}/{address}").status_code == 404
        assert client.post(f"/machines/{house.machine}/{address}", {"reading": "500"}).status_code == 404
    entry = client.get(f"/machines/{house.machine}/story/{finding}/").content.decode()
    assert "It should say something else" not in entry
    before = Fact.objects.count()
    client.post(f"/machines/{house.machine}/story/{finding}/", {"action": "withdraw", "reason": "other"})
    assert Fact.objects.count() == before


def test_another_customers_owner_finds_nothing_there(house: House) -> None:
    finding = lived(house)
    client = signed_in(house.stranger)
    for address in ("", "story/", f"story/{finding}/", "meter/", f"findings/{finding}/"):
        assert client.get(f"/machines/{house.machine}/{address}").status_code == 404
    for address in ("/machines/new/", f"/jobs/new/?machine={house.other_machine}", f"/jobs/{uuid.uuid4()}/kit/"):
        assert client.get(address).status_code == 404


def test_the_glass_and_the_oil_are_shown_whatever_the_sheet_calls_the_tank(house: House) -> None:
    text = sheet_text().replace("[compartments.hydraulic]", "[compartments.big_tank]")
    sheet = services.keep_sheet(
        house.office, text.replace('compartment = "hydraulic"', 'compartment = "big_tank"')
    ).sha256
    services.assign_sheet(house.office, house.machine, sheet, at=house.days(-50))
    fill = {"compartment": "big_tank", "way": "fill", "litres": litres(70), "oil": "varnol_hm46"}
    level = house.phone.fact("level_read", LEVEL | {"compartment": "big_tank"}, at=house.days(61))
    house.phone.send(house.phone.fact("oil_moved", fill), level)
    page = signed_in(house.mechanic).get(f"/machines/{house.machine}/").content.decode()
    assert "As last left" in page
    assert "oil at 40" in page
    assert "Hydraulic system" in page
    assert "Nobody has read it yet." not in page


def test_levels_of_a_machine_without_a_sheet_are_no_glass(house: House) -> None:
    unknown = str(uuid.uuid4())
    house.phone.send(house.phone.fact("level_read", LEVEL, at=house.days(1), machine=unknown))
    page = signed_in(house.mechanic).get(f"/machines/{unknown}/").content.decode()
    assert "nobody can say which level is the hydraulic tank" in page
    assert "Nobody has read it yet." not in page


def test_a_machine_without_a_sheet_says_what_it_lacks(house: House) -> None:
    client = signed_in(house.office)
    told = form_of(client, "/machines/new/") | {"name": "Old one"}
    page = client.post("/machines/new/", told, follow=True).content.decode()
    assert "Without a data sheet nothing is known" in page
    assert "Nobody has read it yet." in page


def test_a_machine_is_entered_with_what_is_known_all_or_nothing(house: House) -> None:
    client = signed_in(house.office)
    told = form_of(client, "/machines/new/") | {
        "name": "Digger 9",
        "customer": house.customer,
        "site": house.site,
        "sheet": house.sheet,
        "handed_over": "2026-01-05",
        "reading": "a lot",
    }
    answer = client.post("/machines/new/", told)
    assert "reading" in answer.context["form"].errors
    assert 'value="a lot"' in answer.content.decode()
    assert not Machine.objects.filter(name="Digger 9").exists()
    for _press in range(2):
        answer = client.post("/machines/new/", told | {"reading": "12,5"})
    row = Machine.objects.get(name="Digger 9")
    assert answer.headers["Location"] == f"/machines/{row.id}/"
    assert row.state.hours == 12.5
    assert Fact.objects.filter(subject=row.id).count() == 4


# what is recorded without a job


def test_a_reading_is_recorded_once_however_often_it_is_sent(house: House) -> None:
    lived(house)
    client = signed_in(house.mechanic)
    address = f"/machines/{house.machine}/meter/"
    told = form_of(client, address) | {"reading": "450,5", "way": "told"}
    for _press in range(2):
        assert client.post(address, told).headers["Location"] == f"/machines/{house.machine}/"
    assert last("meter_read") == {"reading": {"value": "450.5", "unit": "h"}, "way": "told"}
    assert Fact.objects.filter(kind="meter_read").count() == 3


def test_a_doubtful_reading_is_asked_about_and_kept_when_it_is_sent_again(house: House) -> None:
    lived(house)
    client = signed_in(house.mechanic)
    address = f"/machines/{house.machine}/meter/"
    told = form_of(client, address) | {"reading": "390"}
    answer = client.post(address, told)
    page = answer.content.decode()
    assert "would be less. Is it what it shows?" in page
    assert 'value="390"' in page
    again = {bound.name: bound.value() for bound in answer.context["form"]}
    other = client.post(address, again | {"reading": "380"})
    assert other.status_code == 200, "another reading is asked about anew"
    assert client.post(address, again).status_code == 302
    assert last("meter_read")["doubt"] == "back"


@pytest.mark.parametrize(
    ("act", "told", "field"),
    [
        ("meter", {"reading": "lots"}, "reading"),
        ("meter", {"reading": "1,250"}, "reading"),
        ("meter", {"reading": "-5"}, "reading"),
        ("meter", {"reading": "999999999"}, "reading"),
        ("meter", {"reading": "450", "at": "2999-01-01T10:00"}, "at"),
        ("meter-replaced", {"new_first": "zero"}, "new_first"),
        ("meter-replaced", {"new_first": "0", "old_last": "?"}, "old_last"),
        ("meter-dead", {"since": "2999-01-01"}, "since"),
        ("breaker-hours", {"hours": "500", "from_day": "2026-03-01", "to_day": "2026-03-02"}, "hours"),
        ("breaker-hours", {"hours": "5", "from_day": "2026-03-02", "to_day": "2026-03-01"}, "to_day"),
        ("sheet", {"sheet": "0" * 64}, "sheet"),
        ("option", {"option": "wings", "fitted": "yes"}, "option"),
        ("owner", {"customer": ""}, "customer"),
        ("handed-over", {"day": "some day"}, "day"),
        ("names", {"name": " "}, "name"),
    ],
)
def test_what_is_wrong_is_told_beside_its_field_and_nothing_is_recorded(
    house: House, act: str, told: dict[str, str], field: str
) -> None:
    client = signed_in(house.mechanic)
    address = f"/machines/{house.machine}/{act}/"
    before = Fact.objects.count()
    answer = client.post(address, form_of(client, address) | told)
    assert answer.status_code == 200
    assert field in answer.context["form"].errors
    assert f'id="id_{field}_error"' in answer.content.decode()
    for value in told.values():
        if value.strip() and value not in {"0" * 64, "wings"}:
            assert f'value="{value}' in answer.content.decode()
    assert Fact.objects.count() == before


@pytest.mark.parametrize(
    ("act", "told", "kind", "body"),
    [
        (
            "meter-replaced",
            {"new_first": "0", "old_last": "410.5"},
            "meter_swapped",
            {"new_first": {"value": "0", "unit": "h"}, "old_last": {"value": "410.5", "unit": "h"}},
        ),
        ("meter-dead", {"since": "2026-03-01"}, "meter_stopped", {"since": "2026-03-01"}),
        (
            "breaker-hours",
            {"hours": "12", "from_day": "2026-03-01", "to_day": "2026-03-09"},
            "breaker_hours_told",
            {"hours": {"value": "12", "unit": "h"}, "from_day": "2026-03-01", "to_day": "2026-03-09"},
        ),
        ("handed-over", {"day": "2025-12-01"}, "handed_over", {"day": "2025-12-01"}),
        ("option", {"option": "breaker", "fitted": "yes"}, "option_fitted", {"option": "breaker", "fitted": True}),
    ],
)
def test_what_is_told_is_recorded(
    house: House, act: str, told: dict[str, str], kind: str, body: dict[str, Any]
) -> None:
    client = signed_in(house.mechanic)
    address = f"/machines/{house.machine}/{act}/"
    assert client.post(address, form_of(client, address) | told).status_code == 302
    assert last(kind) == body


def test_what_the_service_book_tells_makes_a_task_due_from_then(house: House) -> None:
    client = signed_in(house.mechanic)
    address = f"/machines/{house.machine}/done-before/"
    told = form_of(client, address) | {"task": "hyd_500", "day": "2025-11-03", "hours": "1012,5"}
    assert client.post(address, told).status_code == 302
    assert client.post(address, told).status_code == 302  # twice is once
    assert Fact.objects.filter(kind="task_done").count() == 1
    assert last("meter_read") == {"reading": {"value": "1012.5", "unit": "h"}, "way": "told"}
    row = DueRow.objects.get(machine_id=house.machine, task="hyd_500")
    # Nobody knows the grid before the book's first line: an interval of 500 h runs from there, never longer.
    assert row.due_h == pytest.approx(1512.5)


def test_a_service_book_tells_nothing_of_days_to_come(house: House) -> None:
    client = signed_in(house.mechanic)
    address = f"/machines/{house.machine}/done-before/"
    ahead = (timezone.localdate() + timedelta(days=3)).isoformat()
    answer = client.post(address, form_of(client, address) | {"task": "hyd_500", "day": ahead, "hours": "1012"})
    assert answer.status_code == 200
    assert "1012" in answer.content.decode()
    assert not Fact.objects.filter(kind="task_done").exists()


def test_a_finding_is_settled_with_a_note_that_owners_do_not_see(house: House) -> None:
    finding = lived(house)
    client = signed_in(house.mechanic)
    address = f"/machines/{house.machine}/findings/{finding}/"
    client.post(address, form_of(client, address) | {"note": "hose changed for nothing"})
    assert FindingRow.objects.get(fact=finding).settled_at is not None
    assert "hose changed for nothing" in client.get(f"/machines/{house.machine}/").content.decode()
    assert "hose changed for nothing" not in signed_in(house.owner).get(f"/machines/{house.machine}/").content.decode()
    assert client.get(f"/machines/{house.machine}/findings/{uuid.uuid4()}/").status_code == 200
    lost = f"/machines/{house.machine}/findings/{uuid.uuid4()}/"
    assert "finding" in str(client.post(lost, form_of(client, lost)).context["form"].non_field_errors())


# the story


def test_the_story_goes_further_back_page_by_page(house: House) -> None:
    phone = house.phone
    phone.send(*(phone.meter(100 + count, at=house.days(count)) for count in range(120)))
    client = signed_in(house.mechanic)
    page = client.get(f"/machines/{house.machine}/story/")
    assert "shows 219 h" in page.content.decode()
    assert "shows 160 h" not in page.content.decode()
    before = page.context["further"]
    part = client.get(f"/machines/{house.machine}/story/", {"before": before}, headers={"HX-Request": "true"})
    text = part.content.decode()
    assert "shows 160 h" in text
    assert "Further back" in text
    assert "<html" not in text
    assert client.get(f"/machines/{house.machine}/story/", {"before": "nonsense"}).status_code == 400


def test_a_job_is_one_block_and_all_its_entries_are_one_step_away(house: House) -> None:
    job = str(uuid.uuid4())
    phone = house.phone
    step = phone.fact("step_done", {"step": "hyd_500.tag"}, at=house.days(3), job=job)
    finding = phone.fact(
        "finding", {"about": "boom", "what": "leak", "urgency": "plan_for_it"}, at=house.days(3), job=job
    )
    phone.send(
        phone.fact("job_opened", {"tasks": ["hyd_500"]}, at=house.days(3), job=job),
        phone.meter(100, at=house.days(3), job=job),
        step,
        finding,
    )
    client = signed_in(house.mechanic)
    entries = f"/machines/{house.machine}/story/?job={job}"
    for address in (f"/machines/{house.machine}/", f"/machines/{house.machine}/story/"):
        page = client.get(address).content.decode()
        assert page.count('class="job-told"') == 1
        assert f'href="{entries}"' in page
        assert "All 4 entries" in page
        assert f'href="/jobs/{job}/"' in page
        assert f"/story/{finding.id}/" in page
        assert f"/story/{step.id}/" not in page
    whole = client.get(entries).content.decode()
    part = client.get(entries, headers={"HX-Request": "true"}).content.decode()
    for text in (whole, part):
        assert f"/story/{step.id}/" in text, "each can be put right"
    assert "<html" in whole
    assert "<html" not in part
    assert signed_in(house.stranger).get(entries).status_code == 404
    assert client.get(f"/machines/{house.machine}/story/?job={uuid.uuid4()}").status_code == 404
    assert client.get(f"/machines/{house.machine}/story/?job=none").status_code == 400
    assert "All its entries" in signed_in(house.owner).get(f"/machines/{house.machine}/story/").content.decode()


def test_a_laboratorys_values_stand_together_each_to_be_put_right(house: House) -> None:
    phone = house.phone
    sample = phone.fact("sample_taken", {"compartment": "hydraulic", "bottle": "B-1"}, at=house.days(3))
    values = [
        phone.fact("lab_value", {"sample": sample.id, "name": name, "value": "7", "unit": "mg/kg"}, at=house.days(9))
        for name in ("iron", "copper")
    ]
    phone.send(sample, *values)
    page = signed_in(house.mechanic).get(f"/machines/{house.machine}/story/").content.decode()
    assert page.count("Laboratory:") == 1
    for value, said in zip(values, ("iron 7 mg/kg", "copper 7 mg/kg"), strict=True):
        assert f'/story/{value.id}/">{said}</a>' in page


def test_an_open_job_is_gone_on_with_first(house: House) -> None:
    client = signed_in(house.mechanic)
    assert "Go on with the card" not in client.get(f"/machines/{house.machine}/").content.decode()
    job = str(uuid.uuid4())
    house.phone.send(house.phone.fact("job_opened", {"tasks": ["hyd_500"]}, at=house.days(3), job=job))
    page = client.get(f"/machines/{house.machine}/").content.decode()
    assert f'<a class="button first" href="/jobs/{job}/card/">Go on with the card</a>' in page
    assert page.count('class="button first"') == 1


def test_an_entry_is_put_right_with_both_versions_shown(house: House) -> None:
    read = house.phone.meter(1004)
    house.phone.send(read)
    client = signed_in(house.mechanic)
    address = f"/machines/{house.machine}/story/{read.id}/"
    told = form_of(client, address) | {"action": "replace", "new_reading": "104,0", "note": "a nought too many"}
    assert client.post(address, told).headers["Location"] == address
    page = client.get(address).content.decode()
    assert "The hour meter shows 104 h." in page
    assert "The hour meter shows 1004 h." in page
    assert "a nought too many" in page
    assert MachineState.objects.get(machine=uuid.UUID(house.machine)).hours == 104
    undone = form_of(client, address) | {"action": "undo", "of": str(Fact.objects.get(kind="correction").id)}
    client.post(address, undone)
    assert MachineState.objects.get(machine=uuid.UUID(house.machine)).hours == 1004


def test_an_entry_is_withdrawn_and_stays_to_be_seen_by_staff_alone(house: House) -> None:
    finding = lived(house)
    client = signed_in(house.mechanic)
    address = f"/machines/{house.machine}/story/{finding}/"
    client.post(address, form_of(client, address) | {"action": "withdraw", "reason": "wrong_machine"})
    assert "withdrawn" in client.get(address).content.decode()
    assert not FindingRow.objects.filter(fact=finding).exists()
    assert signed_in(house.owner).get(address).status_code == 404


def test_a_new_value_that_is_not_right_is_told_beside_its_field(house: House) -> None:
    read = house.phone.meter(1004)
    house.phone.send(read)
    client = signed_in(house.mechanic)
    address = f"/machines/{house.machine}/story/{read.id}/"
    answer = client.post(address, form_of(client, address) | {"action": "replace", "new_reading": "ten four"})
    assert "new_reading" in answer.context["form"].errors
    assert 'value="ten four"' in answer.content.decode()
    assert not Fact.objects.filter(kind="correction").exists()


def test_only_the_office_is_offered_to_put_a_joining_right(house: House) -> None:
    joined = services.join_machines(house.office, house.machine, house.other_machine).id
    address = f"/machines/{house.machine}/story/{joined}/"
    mechanic, office = signed_in(house.mechanic), signed_in(house.office)
    assert "It should not be here" not in mechanic.get(address).content.decode()
    assert mechanic.get(address).status_code == 200
    told = form_of(office, address) | {"action": "withdraw", "reason": "wrong_machine"}
    mechanic.post(address, told)
    assert not Fact.objects.filter(kind="correction").exists()
    office.post(address, told)
    assert Fact.objects.filter(kind="correction").count() == 1


def test_the_office_joins_what_was_entered_twice_and_is_asked_once_more_which_it_is(house: House) -> None:
    client = signed_in(house.office)
    address = f"/machines/{house.machine}/same/"
    for person, in_it in ((house.office, True), (house.mechanic, False)):
        page = signed_in(person).get(f"/machines/{house.machine}/").content.decode()
        assert (address in page) is in_it
    assert signed_in(house.mechanic).get(address).status_code == 403
    other = queries.machine_page(house.office, house.other_machine, day=timezone.localdate()).machine
    own = queries.machine_page(house.office, house.machine, day=timezone.localdate()).machine
    for typed, says in (
        ("nothing called so", "There is no machine nothing called so."),
        (own.name, "another record than this one"),
    ):
        answer = client.post(address, form_of(client, address) | {"new_machine": typed})
        assert says in " ".join(map(str, answer.context["form"].errors["new_machine"]))
    asked = client.post(address, form_of(client, address) | {"new_machine": other.name})
    assert f"{other.name} (" in str(asked.context["form"].errors["new_machine"])
    assert not Fact.objects.filter(kind="machine_joined").exists()
    told = {name: asked.context["form"][name].value() for name in ("id", "new_machine", "sure")}
    assert client.post(address, told).headers["Location"] == f"/machines/{house.machine}/"
    assert client.get(f"/machines/{house.other_machine}/").headers["Location"] == f"/machines/{house.machine}/"


def test_an_entry_of_another_machine_is_not_found_here(house: House) -> None:
    finding = lived(house)
    client = signed_in(house.mechanic)
    assert client.get(f"/machines/{house.other_machine}/story/{finding}/").status_code == 404


def test_what_somebody_wrote_is_text_and_never_markup(house: House) -> None:
    client = signed_in(house.office)
    address = f"/machines/{house.machine}/names/"
    client.post(address, form_of(client, address) | {"name": "<script>alert(1)</script>", "note": "<b>bold</b>"})
    page = client.get(f"/machines/{house.machine}/").content.decode()
    assert "<script>alert" not in page
    assert "<b>bold" not in page
    assert "&lt;script&gt;" in page


def test_hours_go_on_as_used_of_late(house: House) -> None:
    lived(house)
    page = signed_in(house.mechanic).get(f"/machines/{house.machine}/").content.decode()
    state = MachineState.objects.get(machine=uuid.UUID(house.machine))
    gone = (timezone.localdate() - house.days(60).date()) / timedelta(days=1)
    assert state.per_day is not None
    assert f"about {400 + state.per_day * gone:.0f} h today" in page
