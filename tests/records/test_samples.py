"""What a machine's page says of its samples and findings."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from typing import Any

from coldmark.bench.facts import Fact
from coldmark.records import queries
from coldmark.records.models import Fact as FactRow
from coldmark.records.models import Person
from tests.records.house import House, litres
from tests.records.jobs import keep_oils
from tests.web.conftest import signed_in

Count = Callable[..., AbstractContextManager[object]]
UNITS = {"viscosity_40": "mm²/s", **dict.fromkeys(("particles_4", "particles_6", "particles_14"), "1/mL")}
JOB = "0190a000-0000-7000-8000-0000000000aa"


def sample(house: House, day: float, values: Mapping[str, object], *, job: str | None = None, **more: Any) -> Fact:
    """A sample and what the laboratory found in it a week later; the sample's fact."""
    phone = house.phone
    body = {"compartment": "hydraulic", "bottle": f"B-{day:.0f}"} | more
    taken = phone.fact("sample_taken", body, at=house.days(day), job=job)
    phone.send(taken)
    for name, value in values.items():
        found = {"sample": taken.id, "name": name, "value": str(value), "unit": UNITS.get(name, "mg/kg")}
        phone.send(phone.fact("lab_value", found, at=house.days(day + 7)))
    return taken


def run(house: House, *days: float) -> None:
    """A machine that works ten hours a day, its meter read on these days."""
    keep_oils(house)
    for day in days:
        house.phone.send(house.phone.meter(100 + 10 * day, at=house.days(day)))


def told(
    house: House, person: Person | None = None
) -> tuple[tuple[queries.SamplesGlance, ...], queries.CausesGlance | None]:
    """What the page says."""
    who = person or house.mechanic
    state, sheet = queries.machine_state(who, house.machine)
    return queries.sample_glances(who, house.machine, state, sheet, "metric", queries.oils_by_key())


def worn(house: House) -> dict[str, str]:
    """What is told of wear, by what was measured."""
    (glance,), _causes = told(house)
    return {line.name: line.wear for line in glance.lines}


def finding(house: House, what: str, about: str = "return", day: float = 30) -> Fact:
    """A finding of the mechanic, sent."""
    body = {"about": about, "what": what, "urgency": "plan_for_it"}
    fact = house.phone.fact("finding", body, at=house.days(day))
    house.phone.send(fact)
    return fact


def test_three_samples_on_one_fill_tell_even_wear(house: House) -> None:
    run(house, 0, 25, 50)
    for day, iron in ((0, 3), (25, 8), (50, 13)):
        sample(house, day, {"iron": iron})
    (glance,), causes = told(house)
    assert glance.name == "hydraulic system"
    assert glance.bottle == "B-50"
    assert [(line.name, line.value, line.wear) for line in glance.lines] == [
        ("Iron", "13 mg/kg", "even wear, 2.00 mg/kg/100 h")
    ]
    assert glance.says == ()
    assert causes is None


def test_two_samples_are_called_apparent_with_a_word_on_what_that_means(house: House) -> None:
    run(house, 0, 25)
    sample(house, 0, {"iron": 3, "copper": 2})
    sample(house, 25, {"iron": 8, "copper": 2})
    assert worn(house) == {"Iron": "apparently 2.00 mg/kg/100 h", "Copper": "stands still so far"}
    assert "must not be divided" in told(house)[0][0].says[0]


def test_oil_that_was_changed_begins_a_new_fill_with_what_stayed_behind(house: House) -> None:
    run(house, 0, 25, 50)
    phone = house.phone
    # 78 L in all; 39 of them drained, so that half of 16 mg/kg stays.
    sample(house, 0, {"iron": 16}, job=JOB)
    for way, minutes in (("drained", 0.01), ("fill", 0.02)):
        body = {"compartment": "hydraulic", "way": way, "litres": litres(39), "oil": "varnol_hm46"}
        phone.send(phone.fact("oil_moved", body, at=house.days(minutes), job=JOB))
    sample(house, 25, {"iron": 13})
    sample(house, 50, {"iron": 18})
    assert worn(house) == {"Iron": "even wear, 2.00 mg/kg/100 h"}


def test_a_value_that_was_withdrawn_or_put_right_counts_as_it_stands(house: House) -> None:
    run(house, 0, 25, 50)
    for day, iron in ((0, 3), (25, 8)):
        sample(house, day, {"iron": iron})
    sample(house, 50, {"iron": 130})
    (glance,), causes = told(house)
    assert causes is not None
    wrong = json.loads(FactRow.objects.filter(kind="lab_value").order_by("-arrival")[0].text)
    body = {"of": wrong["id"], "action": "replace", "body": wrong["body"] | {"value": "13"}, "reason": "mistyped"}
    house.phone.send(house.phone.fact("correction", body, at=house.days(58)))
    (glance,), causes = told(house)
    assert glance.lines[0].value == "13 mg/kg"
    assert causes is None


def test_copper_and_bronze_flakes_point_to_pump_or_motor(house: House) -> None:
    run(house, 0, 25)
    sample(house, 25, {"copper": 42, "iron": 9, "water": 120, "viscosity_40": "45.2"})
    finding(house, "bronze_flakes")
    _glances, causes = told(house)
    assert causes is not None
    assert [one[0] for one in causes.causes] == [
        "Possible: wear of a pump (33%).",
        "Possible: wear of a travel, slew or other motor (30%).",
    ]
    assert causes.causes[0][1] == "For it: bronze flakes and copper up in the sample."
    assert causes.following[-1].startswith("This ranks causes")
    assert causes.picture.startswith("<svg")


def test_a_finding_alone_is_enough_until_it_is_settled(house: House) -> None:
    run(house, 0)
    found = finding(house, "rust")
    glances, causes = told(house)
    assert glances == ()
    assert causes is not None
    assert "water in the oil" in causes.causes[0][0]
    house.phone.send(house.phone.fact("finding_settled", {"finding": found.id}, at=house.days(40)))
    assert told(house)[1] is None


def test_what_is_found_elsewhere_than_in_the_hydraulics_points_to_nothing_there(house: House) -> None:
    run(house, 0)
    finding(house, "water", about="engine")
    finding(house, "leak", about="coolant")
    finding(house, "dark_residue")
    assert told(house)[1] is None


def test_engine_oil_has_its_values_but_no_causes_of_hydraulics(house: House) -> None:
    run(house, 0, 25)
    sample(house, 0, {"iron": 20}, compartment="engine")
    sample(house, 25, {"iron": 60}, compartment="engine")
    (glance,), causes = told(house)
    assert glance.compartment == "engine"
    assert glance.lines[0].wear.startswith("apparently")
    assert causes is None


def test_a_sample_that_is_still_at_the_laboratory_is_said_to_be(house: House) -> None:
    run(house, 0, 25)
    sample(house, 0, {"iron": 3})
    sample(house, 25, {})
    (glance,), _causes = told(house)
    assert glance.waiting == house.days(25)
    assert glance.lines[0].value == "3 mg/kg"
    page = signed_in(house.mechanic).get(f"/machines/{house.machine}/").text
    assert "at the laboratory" in page


def test_the_page_tells_the_mechanic_and_leaves_causes_out_for_the_owner(house: House) -> None:
    run(house, 0, 25)
    sample(house, 25, {"copper": 42})
    mechanic, owner = (
        signed_in(person).get(f"/machines/{house.machine}/").text for person in (house.mechanic, house.owner)
    )
    assert "What the samples say" in mechanic
    assert "wear of a pump" in mechanic
    assert "42 mg/kg" in owner
    assert "wear of a pump" not in owner


def test_an_owner_sees_no_sample_from_before_his_time(house: House) -> None:
    run(house, 0, 25)
    sample(house, 1, {"iron": 3})
    body = {"customer": house.other_customer}
    house.phone.send(house.phone.fact("owner_changed", body, at=house.days(10)))
    house.phone.send(house.phone.meter(355, at=house.days(25.5)))
    sample(house, 25, {"iron": 40})
    (glance,), _causes = told(house, house.stranger)
    assert glance.lines[0].value == "40 mg/kg"
    assert glance.lines[0].wear == ""
    assert worn(house)["Iron"].startswith("apparently")


def test_without_samples_nothing_is_asked_and_with_them_two_questions(
    house: House, django_assert_num_queries: Count
) -> None:
    run(house, 0)
    state, sheet = queries.machine_state(house.mechanic, house.machine)
    with django_assert_num_queries(0):
        assert queries.sample_glances(house.mechanic, house.machine, state, sheet, "metric", {}) == ((), None)
    sample(house, 0, {"iron": 3})
    state, sheet = queries.machine_state(house.mechanic, house.machine)
    with django_assert_num_queries(2):
        queries.sample_glances(house.mechanic, house.machine, state, sheet, "metric", {})


def test_a_machine_without_a_sheet_still_shows_its_values(house: House) -> None:
    run(house, 0)
    sample(house, 0, {"iron": 3})
    state, _sheet = queries.machine_state(house.mechanic, house.machine)
    (glance,), causes = queries.sample_glances(house.mechanic, house.machine, state, None, "metric", {})
    assert glance.lines[0].value == "3 mg/kg"
    assert glance.says == ("The data sheet does not say how much the system holds, so no wear is worked out.",)
    assert causes is None


def coded(house: House, taken: Fact, code: str) -> None:
    """What the laboratory printed in place of a number."""
    body = {"sample": taken.id, "name": "cleanliness", "code": code}
    house.phone.send(house.phone.fact("lab_value", body, at=house.days(58)))


def test_a_cleanliness_code_is_shown_and_held_against_what_is_printed(house: House) -> None:
    run(house, 0, 25)
    coded(house, sample(house, 25, {"iron": 9}), "22/20/17")
    (glance,), causes = told(house)
    assert [(line.name, line.value) for line in glance.lines] == [("Iron", "9 mg/kg"), ("Cleanliness code", "22/20/17")]
    assert any("beyond –/18/15" in line for line in glance.says)
    assert causes is not None
    assert "more particles than the target" in " ".join(causes.causes[0])


def test_a_sample_with_a_code_alone_has_come_back(house: House) -> None:
    run(house, 0, 25)
    coded(house, sample(house, 25, {}), "18/16/13")
    (glance,), causes = told(house)
    assert glance.waiting is None
    assert any("within –/18/15" in line for line in glance.says)
    assert causes is None


def test_counts_of_particles_are_shown_with_their_code(house: House) -> None:
    run(house, 0, 25)
    sample(house, 25, {"particles_4": 12000, "particles_6": 4000, "particles_14": 500})
    (glance,), _causes = told(house)
    assert glance.lines[-1].value == "21/19/16"
    assert glance.lines[-1].wear == "by the particle counts"


def test_a_final_drive_that_fills_up_while_the_tank_falls_points_to_a_shaft_seal(house: House) -> None:
    run(house, 0, 12, 25, 38, 50)
    phone = house.phone
    for day, tank, drive in ((0, "0.9", "0.3"), (25, "0.6", "0.5"), (50, "0.3", "0.8")):
        for compartment, reading in (("hydraulic", tank), ("final_left", drive)):
            body = {
                "compartment": compartment,
                "moment": "found",
                "reading": reading,
                "oil": {"value": "20", "unit": "c"},
                "engine": "stopped",
                "settled_min": 20,
            }
            if compartment == "hydraulic":
                body["posture"] = "arm_out"
            phone.send(phone.fact("level_read", body, at=house.days(day)))
    _glances, causes = told(house)
    assert causes is not None
    assert "shaft seal" in causes.causes[0][0]
