"""What a phone takes along, and that it answers from it as the server does."""

from __future__ import annotations

import gzip
import json
import uuid
from collections.abc import Mapping
from dataclasses import asdict
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from coldmark.bench import desk
from coldmark.bench.facts import Fact
from coldmark.bench.ledger import CODE_VERSION
from coldmark.records import queries, services
from coldmark.records.models import Fact as FactRow
from coldmark.records.models import Person, Van
from coldmark.records.numbers import in_ms, read_store
from coldmark.records.paperwork import kit_groups, kit_time
from coldmark.records.services import MachineData, VisitData, VisitPart
from tests.api.asking import Asking, told
from tests.records.house import House, Phone, litres
from tests.records.jobs import Work, close, do_all, keep_oils, open_work, photographed

LEVEL = {
    "compartment": "hydraulic",
    "moment": "found",
    "reading": "0.35",
    "oil_c": "12",
    "air_c": 5,
    "posture": "arm_out",
    "engine": "stopped",
    "settled_min": 10,
}


def _desk(do: str, **asked: Any) -> Any:
    return json.loads(desk.answer(json.dumps({"do": do, **asked})))


def _open(bundle: Mapping[str, Any], machine: str) -> None:
    part = next(one for one in bundle["machines"] if one["id"] == machine)
    sheet = bundle["sheets"].get(part["sheet"])
    known = {name: bundle[name] for name in ("oils", "coldest_c", "clock_errors")}
    opened = _desk("open", machine=part, sheet=sheet, **known)
    assert opened["ok"]["machine"] == machine


def _visit(house: House, *machines: str, in_days: int = 1, mechanic: str | None = "") -> VisitData:
    day = timezone.localdate() + timedelta(days=in_days)
    who = str(house.mechanic.id) if mechanic == "" else mechanic
    parts = tuple(VisitPart(one, ("hyd_500",)) for one in machines)
    data = VisitData(str(uuid.uuid4()), day, parts, who, house.van, house.site, note="ask for the key")
    return services.plan_visit(house.office, data)


def test_the_phone_answers_a_whole_job_as_the_server_does(house: House, mechanic: Asking, work: Work) -> None:
    bundle = told(mechanic.get("bundle"))
    _open(bundle, house.machine)
    do_all(work)
    recorded = [one for one in told(mechanic.get("facts?after=0"))["texts"] if work.job in one]
    asked = {"machine": house.machine, "job": work.job, "facts": recorded}
    for place in range(len(recorded)):
        # As far as the phone has got: each answer is from the snapshot and what was recorded since.
        part = _desk("card", **asked | {"facts": recorded[:place]})
        assert part.keys() == {"ok"}
    assert _desk("card", **asked)["ok"] == told(mechanic.get(f"jobs/{work.job}/card"))
    assert _desk("level", **asked, asked=LEVEL)["ok"] == told(mechanic.post(f"jobs/{work.job}/level", LEVEL))
    reading = {"reading_h": "400"}
    doubted = told(mechanic.post(f"jobs/{work.job}/meter", reading))
    at = timezone.localtime().isoformat(timespec="seconds")
    assert doubted["doubt"] == "back"
    assert _desk("meter", **asked, asked=reading, at=at)["ok"] == doubted
    finish = told(mechanic.get(f"jobs/{work.job}/finish"))
    assert _desk("finish", **asked)["ok"] == finish
    assert finish["facts"]


def test_two_phones_whose_clocks_differ_are_put_in_one_order(house: House, mechanic: Asking, work: Work) -> None:
    ahead = timedelta(minutes=30)
    at, other = work.at + timedelta(minutes=5), Phone(house.mechanic, house.machine)
    out = work.phone.fact("step_done", {"step": "hyd_500.cover_off"}, at=at + ahead, job=work.job)
    back = other.fact("step_done", {"step": "hyd_500.clean"}, at=at + timedelta(minutes=10), job=work.job)
    work.phone.send(work.phone.fact("step_done", {"step": "hyd_500.stop"}, at=work.at, job=work.job), now=work.at)
    bundle = told(mechanic.get("bundle"))
    assert bundle["clock_errors"] == {}
    work.phone.send(out, device_now=at + ahead, now=at)
    other.send(back, now=at + timedelta(minutes=11))
    card = told(mechanic.get(f"jobs/{work.job}/card"))
    assert [fact["id"] for fact in card["facts"]][-2:] == [out.id, back.id]
    assert [fact["at"] for fact in card["facts"]][-2:] == [out.at, back.at], "as recorded: a closing is of these texts"
    bundle = told(mechanic.get("bundle"))
    assert bundle["clock_errors"] == card["clock_errors"] == {out.device: [[in_ms(work.at), 0], [in_ms(at), 1800]]}
    _open(bundle, house.machine)
    recorded = [one for one in told(mechanic.get("facts?after=0"))["texts"] if work.job in one]
    assert _desk("card", machine=house.machine, job=work.job, facts=recorded)["ok"] == card
    # The state of a machine at which that phone was never before knows nothing of its clock; the firm does.
    elsewhere = bundle | {
        "machines": [one | {"state": one["state"] | {"clock_errors": {}}} for one in bundle["machines"]]
    }
    _open(elsewhere, house.machine)
    assert _desk("card", machine=house.machine, job=work.job, facts=recorded)["ok"] == card


def test_a_clock_error_that_cannot_be_read_is_refused_by_name(house: House, mechanic: Asking, work: Work) -> None:
    bundle = told(mechanic.get("bundle"))
    (part,) = bundle["machines"]
    opened = _desk("open", machine=part, sheet=None, oils={}, coldest_c=None, clock_errors={"a": [["soon", 1]]})
    assert opened["refused"]["name"] == "clock_errors"


def test_a_closed_job_stays_for_some_days_and_its_story_for_good(house: House, mechanic: Asking, work: Work) -> None:
    do_all(work)
    close(work)
    assert told(mechanic.get("bundle"))["machines"] == [], "nobody has been at it for months"
    _visit(house, house.machine)
    (part,) = told(mechanic.get("bundle"))["machines"]
    assert (part["jobs"], part["facts"]) == ([], [])
    assert part["story"][0]["job"] == work.job
    late = open_work(house, at=timezone.now() - timedelta(days=1))
    do_all(late, shown_h="900")
    services.close_job(house.mechanic, late.job)
    (part,) = told(mechanic.get("bundle"))["machines"]
    assert [one["job"] for one in part["jobs"]] == [late.job]
    assert any('"kind":"job_closed"' in text for text in part["facts"])


def test_units_are_the_readers_on_the_phone_too(house: House, mechanic: Asking, work: Work) -> None:
    services.set_look(house.mechanic, units="us")
    bundle = told(mechanic.get("bundle"))
    assert bundle["units"] == "us"
    _open(bundle, house.machine)
    do_all(work)
    recorded = [one for one in told(mechanic.get("facts?after=0"))["texts"] if work.job in one]
    asked = {"machine": house.machine, "job": work.job, "facts": recorded, "units": "us"}
    assert _desk("card", **asked)["ok"] == told(mechanic.get(f"jobs/{work.job}/card"))
    assert _desk("finish", **asked)["ok"] == told(mechanic.get(f"jobs/{work.job}/finish"))


def test_a_planned_job_has_its_planned_tasks_offline(house: House, mechanic: Asking) -> None:
    visit = _visit(house, house.machine)
    job = visit.machines[0].job
    bundle = told(mechanic.get("bundle"))
    planned = bundle["visits"][0]["jobs"]
    bring = planned[0].pop("bring")
    assert planned == [{"job": job, "machine": house.machine, "tasks": ["hyd_500"]}]
    page = queries.job_kit(house.mechanic, str(job)).kit
    assert page is not None
    groups = [group for group in kit_groups(page, "metric") if group.rows]
    assert bring["groups"] == json.loads(json.dumps([asdict(group) for group in groups]))
    assert {group["title"] for group in bring["groups"]} >= {"Elements", "Seals", "Oil and coolant", "Tools"}
    assert bring["time"] == kit_time(page)
    _open(bundle, house.machine)
    card = _desk("card", machine=house.machine, job=job, tasks=planned[0]["tasks"], facts=[])["ok"]
    assert card == told(mechanic.get(f"jobs/{job}/card"))


def test_what_the_van_carries_comes_along_in_the_readers_units(house: House, mechanic: Asking) -> None:
    keep_oils(house)
    van = Van.objects.get(id=house.van)
    van.oils = {"varnol_hm46": 20.0, "an_oil_that_went": 5.0}
    van.save()
    _visit(house, house.machine)
    (visit,) = told(mechanic.get("bundle"))["visits"]
    carried = [(one["name"], one["amount"].replace("\u202f", " ").replace("\xa0", " ")) for one in visit["carries"]]
    assert carried == [("Varnol Hydro 46", "20.0 L"), ("an_oil_that_went", "5.0 L")]
    Person.objects.filter(id=house.mechanic.id).update(units="us")
    (visit,) = told(mechanic.get("bundle"))["visits"]
    assert all(one["amount"].endswith("gal") for one in visit["carries"])


def test_what_lies_behind_the_snapshot_is_left_out_and_said(house: House, mechanic: Asking, work: Work) -> None:
    bundle = told(mechanic.get("bundle"))
    _open(bundle, house.machine)
    opened = [one for one in told(mechanic.get("facts?after=0"))["texts"] if work.job in one]
    early = house.phone.fact(
        "oil_moved",
        {"compartment": "hydraulic", "way": "top_up", "litres": litres("1")},
        at=house.days(2),
        job=work.job,
    )
    answer = _desk("card", machine=house.machine, job=work.job, facts=[*opened, early.text])
    assert "before what the server knew last" in answer["note"]
    assert [fact["kind"] for fact in answer["ok"]["facts"]] == ["oil_moved", "job_opened"]


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"machine": {"line": {}, "folded_by": CODE_VERSION - 1, "state": {}}}, "folded_by"),
        ({"machine": {"line": {}, "folded_by": CODE_VERSION, "state": {"machine": 1}}}, "state"),
        ({"machine": None}, "machine"),
        ({"oils": {"x": {"name": "no viscosity"}}}, "kv40_mm2_s"),
        ({"sheet": {"format": 99}}, "format"),
        ({"coldest_c": "cold"}, "coldest_c"),
    ],
)
def test_a_machine_that_cannot_be_read_is_refused_by_name(
    house: House, mechanic: Asking, work: Work, change: dict[str, Any], name: str
) -> None:
    bundle = told(mechanic.get("bundle"))
    part = bundle["machines"][0]
    whole = {"machine": part, "sheet": bundle["sheets"][part["sheet"]], "oils": {}, "coldest_c": None}
    assert "ok" in _desk("open", **whole)
    assert _desk("open", **whole | change)["refused"]["name"] == name
    # Nothing is answered from the machine before.
    asked = {"machine": house.machine, "job": work.job, "facts": []}
    assert _desk("card", **asked)["refused"]["name"] == "machine"


def test_the_closing_code_is_made_on_the_phone(house: House) -> None:
    pair = ["01920000-0000-7000-8000-000000000001", "a" * 64]
    assert _desk("code", facts=[pair])["ok"]["code"] == "0VJH-8CXV-W39R-F0ERZ"
    for wrong in (None, ["x"], [[1, 2]], [pair, pair]):
        assert _desk("code", facts=wrong)["refused"]["name"] == "facts"


def test_the_bundle_has_the_coming_visits_and_what_is_needed_there(house: House, mechanic: Asking) -> None:
    _visit(house, house.machine, house.other_machine)
    _visit(house, house.machine, in_days=40)
    called_off = _visit(house, house.machine, in_days=2)
    services.call_off_visit(house.office, called_off.id)
    bundle = told(mechanic.get("bundle"))
    assert bundle["epoch"] == services.epoch()
    assert bundle["arrival"] > 0
    (visit,) = bundle["visits"]
    assert (visit["site"], visit["access"], visit["note"]) == ("Upper bench", "key at the gate", "ask for the key")
    assert [one["machine"] for one in visit["jobs"]] == [house.machine, house.other_machine]
    digger, loader = bundle["machines"]
    assert (digger["line"]["name"], loader["line"]["name"]) == ("Digger", "Loader")
    assert (digger["line"]["customer"], loader["line"]["customer"]) == ("Stennet Quarry", "Hallbeck Farm")
    assert bundle["sheets"].keys() == {house.sheet}
    assert set(bundle["oils"]) >= {"varnol_hm46"}
    assert {one["task"] for one in digger["due"]} >= {"hyd_500"}
    assert [one["name"] for one in bundle["people"]] == ["Ina Orr", "Tom Weir"]


def test_who_has_no_visits_takes_the_firms_along(house: House, mechanic: Asking) -> None:
    _visit(house, house.machine)
    office = Asking(house.office)
    assert [one["id"] for one in told(office.get("bundle"))["machines"]] == [house.machine]
    _visit(house, house.other_machine, mechanic=str(house.office.id))
    assert [one["id"] for one in told(office.get("bundle"))["machines"]] == [house.other_machine]
    assert [one["id"] for one in told(mechanic.get("bundle"))["machines"]] == [house.machine]


def test_an_open_job_without_a_visit_is_taken_along(house: House, mechanic: Asking, work: Work) -> None:
    bundle = told(mechanic.get("bundle"))
    (part,) = bundle["machines"]
    assert [one["job"] for one in part["jobs"]] == [work.job]
    assert any('"kind":"job_opened"' in text for text in part["facts"])
    assert part["since"] == []


def test_the_story_is_told_with_photos_but_not_with_what_was_withdrawn(
    house: House, mechanic: Asking, work: Work
) -> None:
    do_all(work)
    seen, wrong = photographed(house, 3), photographed(house, 4)
    right = work.say("photo", {"photo": seen, "of": "machine"})
    not_ours = work.say("photo", {"photo": wrong, "of": "machine"})
    work.send()
    work.phone.send(work.phone.withdraw(not_ours, at=work.at + timedelta(days=1)))
    (part,) = told(mechanic.get("bundle"))["machines"]
    assert part["photos"] == [seen]
    job = next(one for one in part["story"] if one["job"] == work.job)
    assert job["day"] == work.at.date().isoformat()
    assert job["by"] == "Tom Weir"
    assert any("new" in line.lower() for line in job["says"])
    assert right.id
    services.erase(house.office, "attachment", seen, "a face in it")
    (part,) = told(mechanic.get("bundle"))["machines"]
    assert part["photos"] == []


def test_nothing_is_sent_where_nothing_has_changed(house: House, mechanic: Asking, work: Work) -> None:
    first = mechanic.get("bundle")
    tag = first["ETag"]
    again = mechanic.get("bundle", **{"If-None-Match": tag})
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", tag)
    # Something of another machine arrives: the bundle is the same.
    services.accept_facts(house.mechanic, [Phone(house.mechanic, house.other_machine).meter(700).text])
    assert mechanic.get("bundle", **{"If-None-Match": tag}).status_code == 304
    work.say("meter_read", {"reading": {"value": "512", "unit": "h"}, "way": "seen"})
    work.send()
    changed = mechanic.get("bundle", **{"If-None-Match": tag})
    assert changed.status_code == 200
    assert changed["ETag"] != tag


def test_it_is_sent_small(house: House, mechanic: Asking, work: Work) -> None:
    do_all(work)
    sent = mechanic.get("bundle", **{"Accept-Encoding": "gzip"})
    assert sent["Content-Encoding"] == "gzip"
    assert json.loads(gzip.decompress(sent.content))["machines"]


def test_owners_and_strangers_take_nothing_along(house: House, owner: Asking, work: Work) -> None:
    told(owner.get("bundle"), 403)
    told(Asking().get("bundle"), 401)


def test_a_former_owner_is_not_named(house: House, mechanic: Asking, work: Work) -> None:
    services.move_machine(house.office, house.machine, house.other_customer, None, at=house.days(40))
    content = mechanic.get("bundle").content.decode()
    assert "Hallbeck Farm" in content
    assert "Edda Stennet" not in content
    (part,) = json.loads(content)["machines"]
    assert part["line"]["customer"] == "Hallbeck Farm"


def test_a_held_fact_is_not_taken_along(house: House, mechanic: Asking, work: Work) -> None:
    phone = Phone(house.mechanic, house.machine)
    first = phone.meter(500, at=house.days(31), job=work.job)
    phone.send(first)
    services.revoke_device(house.office, phone.device)
    held = phone.meter(900, at=house.days(32), job=work.job)
    phone.send(held)
    content = mechanic.get("bundle").content.decode()
    assert first.id in content
    assert held.id not in content


def test_the_number_of_queries_does_not_grow(house: House, mechanic: Asking, work: Work) -> None:
    do_all(work)
    _visit(house, house.machine)
    mechanic.get("bundle")
    with CaptureQueriesContext(connection) as few:
        assert len(told(mechanic.get("bundle"))["machines"]) == 1
    more = []
    for number in range(8):
        machine = services.keep_machine(house.office, MachineData(str(uuid.uuid4()), f"Machine {number}"))
        services.assign_sheet(house.office, machine, house.sheet, at=house.days(-60))
        services.move_machine(house.office, machine, house.customer, house.site, at=house.days(-60))
        more.append(machine)
        do_all(open_work(house, machine=machine))
    _visit(house, house.machine, *more, in_days=2)
    with CaptureQueriesContext(connection) as many:
        assert len(told(mechanic.get("bundle"))["machines"]) == 9
    assert len(many) <= len(few), [one["sql"][:120] for one in many]


def test_a_fact_that_comes_while_the_state_is_behind_is_told_apart(
    house: House, mechanic: Asking, work: Work, monkeypatch: pytest.MonkeyPatch
) -> None:
    fact: Fact = work.say("meter_read", {"reading": {"value": "512", "unit": "h"}, "way": "seen"})
    services.accept_facts(house.mechanic, [fact.text], fold=False)
    monkeypatch.setattr("coldmark.records.queries.bundling.refresh", lambda _machines: None)
    (part,) = told(mechanic.get("bundle"))["machines"]
    assert part["since"] == [fact.text]
    assert fact.text not in part["facts"]
    bundle = told(mechanic.get("bundle"))
    _open(bundle, house.machine)
    card = _desk("card", machine=house.machine, job=work.job, facts=[])["ok"]
    assert card["state"]["meter"]["shown_h"] == 512


def test_what_was_timed_and_refused_without_a_job_is_answered_as_the_machines_page_shows_it(
    house: House, mechanic: Asking, work: Work
) -> None:
    bundle = told(mechanic.get("bundle"))
    _open(bundle, house.machine)
    (part,) = bundle["machines"]
    assert [one["key"] for one in part["timed"]] == ["boom_up", "arm_drift"]
    assert {one["key"] for one in part["places"]} >= {"return.element"}
    assert {one["key"] for one in bundle["refusals"]} >= {"too_long", "damaged"}
    cycle = {"timing": "arm_in", "what": "cycle", "time": {"value": "3.1", "unit": "s"}, "runs": 3}
    wrong = {"place": "return.element", "number": "ZZ-1", "why": "too_long"}
    made = [
        house.phone.fact(kind, body, at=house.days(40))
        for kind, body in (("function_timed", cycle), ("part_refused", wrong))
    ]
    offline = _desk("machine", machine=house.machine, facts=[fact.text for fact in made])["ok"]
    assert offline["timings"][0]["says"] == ["Measured 3.1 s, for the first time: later ones are held against it."]
    services.accept_facts(house.mechanic, [fact.text for fact in made])
    _open(told(mechanic.get("bundle")), house.machine)
    sent = _desk("machine", machine=house.machine, facts=[])["ok"]
    assert (sent["timings"], sent["refused"]) == (offline["timings"], offline["refused"])
    state, sheet = queries.machine_state(house.mechanic, house.machine)
    assert tuple(sent["refused"]) == queries.refused_says(queries.refused_parts(house.mechanic, house.machine), sheet)
    assert [one.says for one in queries.timing_glances(state, sheet, "metric", {})] == [
        tuple(offline["timings"][0]["says"])
    ]
    (part,) = told(mechanic.get("bundle"))["machines"]
    assert [one["key"] for one in part["timed"]] == ["boom_up", "arm_drift", "arm_in"]


def test_what_arrives_while_a_bundle_is_made_is_in_it_by_its_text(
    house: House, mechanic: Asking, work: Work, monkeypatch: pytest.MonkeyPatch
) -> None:
    late = house.phone.fact(
        "part_refused", {"place": "return.element", "number": "ZZ-1", "why": "other"}, at=house.days(40)
    )

    def read_and_be_late() -> Any:
        store = read_store()
        services.accept_facts(house.mechanic, [late.text])
        return store

    monkeypatch.setattr("coldmark.records.queries.bundling.read_store", read_and_be_late)
    bundle = told(mechanic.get("bundle"))
    (part,) = bundle["machines"]
    assert late.text in part["facts"], "the phone must not fold it onto a state that has it already"
    assert bundle["arrival"] < FactRow.objects.get(id=late.id).arrival
