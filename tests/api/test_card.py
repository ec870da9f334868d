"""The card and what it asks while it is open: the level, the meter, what finishing shows."""

from __future__ import annotations

import gzip
import json
import re
import uuid
from datetime import timedelta
from typing import Any

import pytest

from coldmark.records import services
from tests.api.asking import Asking, told
from tests.records.house import House
from tests.records.jobs import Work, close, do_all

LEVEL: dict[str, Any] = {
    "compartment": "hydraulic",
    "moment": "found",
    "reading": "0.35",
    "oil_c": "8",
    "air_c": 5,
    "posture": "arm_out",
    "engine": "stopped",
    "settled_min": 15,
}


def test_a_card_comes_with_the_facts_that_hold(house: House, mechanic: Asking, work: Work) -> None:
    read = work.say("meter_read", {"reading": {"value": "512.4", "unit": "h"}, "way": "seen"})
    wrong = work.say("finding", {"about": "boom", "what": "leak", "urgency": "plan_for_it"})
    work.facts.append(house.phone.withdraw(wrong, at=work.at + timedelta(minutes=9)))
    work.send()
    page = told(mechanic.get(f"jobs/{work.job}/card"))
    assert page["card"]["job"] == work.job
    assert page["card"]["screens"][-1]["kind"] == "finish"
    assert [fact["kind"] for fact in page["facts"]] == ["job_opened", "meter_read", "correction"]
    assert page["facts"][1] == json.loads(read.text)
    assert page["state"]["meter"]["shown_h"] == pytest.approx(512.4)


def test_a_card_of_a_new_machine_knows_no_meter(mechanic: Asking, work: Work) -> None:
    assert told(mechanic.get(f"jobs/{work.job}/card"))["state"] == {"meter": None}


def test_a_card_goes_out_compressed_to_who_asks_so(mechanic: Asking, work: Work) -> None:
    path = f"jobs/{work.job}/card"
    whole = mechanic.get(path)
    small = mechanic.get(path, **{"Accept-Encoding": "gzip"})
    assert small["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in small["Vary"]
    assert len(small.content) < len(whole.content) / 5
    assert json.loads(gzip.decompress(small.content)) == json.loads(whole.content)


def test_what_holds_the_token_is_never_compressed(mechanic: Asking) -> None:
    answer = mechanic.get("me", **{"Accept-Encoding": "gzip"})
    assert "csrf" in told(answer)
    assert not answer.has_header("Content-Encoding")


@pytest.mark.parametrize("what", ["card", "finish"])
@pytest.mark.parametrize(
    ("job", "status"), [(str(uuid.UUID(int=7)), 404), ("seven", 422), ("%00", 422), ("a" * 3000, 422)]
)
def test_a_job_that_is_none_is_said_so(mechanic: Asking, what: str, job: str, status: int) -> None:
    answer = told(mechanic.get(f"jobs/{job}/{what}"), status)
    assert answer["name"] == ("job" if status == 422 else None)


def test_a_machine_without_a_sheet_has_no_card_and_is_told_so(house: House, mechanic: Asking) -> None:
    from coldmark.records.services import MachineData

    bare = services.keep_machine(house.office, MachineData(str(uuid.uuid4()), "Dumper"))
    job = services.open_job(house.mechanic, bare, ()).job
    assert told(mechanic.get(f"jobs/{job}/card"), 422)["name"] == "sheet"
    assert told(mechanic.post(f"jobs/{job}/level", LEVEL), 422)["name"] == "sheet"


def test_a_level_is_told_in_two_sentences_with_litres_and_marks(mechanic: Asking, work: Work) -> None:
    verdict = told(mechanic.post(f"jobs/{work.job}/level", LEVEL | {"reading": 0.05}))
    assert len(verdict["says"]) == 2
    assert verdict["move_first"] is None
    assert verdict["add_l"]["low"] <= verdict["add_l"]["value"] <= verdict["add_l"]["high"]
    assert verdict["shown"]["add"].endswith(" L")
    assert 0.5 < verdict["cold_mark"] < 1
    assert verdict["hot"] > 0.05, "oil that warms rises"
    assert verdict["glass"].startswith("<svg")
    assert verdict["working"]


def test_a_level_is_told_in_us_units_to_who_reads_them(house: House, mechanic: Asking, work: Work) -> None:
    metric = told(mechanic.post(f"jobs/{work.job}/level", LEVEL | {"reading": "0.05"}))
    services.set_look(house.mechanic, units="us")
    in_us = {key: value for key, value in LEVEL.items() if key not in {"oil_c", "air_c"}} | {"oil_f": 46.4}
    in_us |= {"air_f": 41, "reading": "0.05"}
    verdict = told(mechanic.post(f"jobs/{work.job}/level", in_us))
    assert verdict["add_l"]["value"] == pytest.approx(metric["add_l"]["value"])
    assert verdict["cold_mark"] == pytest.approx(metric["cold_mark"])
    gallons = float(re.sub(r"[^0-9.]", "", verdict["shown"]["add"]))
    assert verdict["shown"]["add"].endswith(" gal")
    assert gallons == pytest.approx(metric["add_l"]["value"] / 3.785411784, abs=0.006)
    assert not re.search(r"\d\s?(L|°C|mm|bar)\b", " ".join(verdict["says"]))


def test_a_level_in_another_posture_says_move_first_and_still_judges(mechanic: Asking, work: Work) -> None:
    verdict = told(mechanic.post(f"jobs/{work.job}/level", LEVEL | {"posture": "folded"}))
    assert verdict["move_first"] == "arm_out"
    assert "read again as soon as it can be moved" in verdict["says"][0]
    assert "less than in the check posture" in verdict["says"][1]


@pytest.mark.parametrize("reading", ["below", "above"])
def test_a_level_off_the_glass_is_judged_as_far_as_it_can_be(mechanic: Asking, work: Work, reading: str) -> None:
    verdict = told(mechanic.post(f"jobs/{work.job}/level", LEVEL | {"reading": reading}))
    assert verdict["says"]


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"reading": None}, "reading"),
        ({"reading": "half"}, "reading"),
        ({"reading": True}, "reading"),
        ({"reading": 1e300}, "reading"),
        ({"oil_c": "warm"}, "oil_c"),
        ({"oil_c": 900}, "oil_c"),
        ({"oil_f": 46}, "oil"),
        ({"oil_c": None}, "oil_c"),
        ({"oil_c": None, "warmth": "tepid"}, "warmth"),
        ({"posture": None}, "posture"),
        ({"posture": "headstand"}, "posture"),
        ({"posture": 3}, "posture"),
        ({"posture": None, "rods": [1]}, "rods"),
        ({"posture": None, "rods": {"boom": "far"}}, "rods.boom"),
        ({"engine": "roaring"}, "engine"),
        ({"moment": "later"}, "moment"),
        ({"settled_min": "a while"}, "settled_min"),
        ({"foam": "yes"}, "foam"),
        ({"colour": "amber"}, "field"),
    ],
)
def test_a_field_of_a_level_that_is_not_right_is_refused_by_name(
    mechanic: Asking, work: Work, change: dict[str, Any], name: str
) -> None:
    refused = told(mechanic.post(f"jobs/{work.job}/level", LEVEL | change), 422)
    assert refused["name"] == name
    assert refused["says"]


def test_a_level_elsewhere_is_not_judged(mechanic: Asking, work: Work) -> None:
    refused = told(mechanic.post(f"jobs/{work.job}/level", LEVEL | {"compartment": "engine"}), 422)
    assert refused["name"] is None
    assert "engine" in refused["says"]


def test_a_meter_is_questioned_and_never_blocked(house: House, mechanic: Asking, work: Work) -> None:
    house.phone.send(house.phone.meter(500, at=house.days(10)), house.phone.meter(540, at=house.days(20)))
    path = f"jobs/{work.job}/meter"
    assert told(mechanic.post(path, {"reading_h": "560"})) == {"doubt": None, "says": None}
    back = told(mechanic.post(path, {"reading_h": 539}))
    assert back["doubt"] == "back"
    assert "540" in back["says"]
    assert told(mechanic.post(path, {"reading_h": "90000"}))["doubt"] == "too_fast"
    for body, name in (({}, "reading_h"), ({"reading_h": "many"}, "reading_h"), ({"reading_c": 5}, "field")):
        assert told(mechanic.post(path, body), 422)["name"] == name


def test_finishing_says_what_is_missing_and_then_what_is_next(house: House, mechanic: Asking, work: Work) -> None:
    path = f"jobs/{work.job}/finish"
    begun = told(mechanic.get(path))
    assert begun["ready"] is False
    assert begun["missing"]
    do_all(work)
    poured = told(mechanic.get(path))
    assert "read it again" in poured["missing"][0]["says"], "oil was added after the last reading"
    read_again = {"compartment": "hydraulic", "moment": "left", "reading": "0.75", "posture": "arm_out"}
    work.say("level_read", read_again | {"oil": {"value": "24", "unit": "c"}, "engine": "stopped"})
    close(work)
    done = told(mechanic.get(path))
    assert done["missing"] == []
    assert done["ready"]
    assert done["balance"]["says"]
    assert [one["key"] for one in done["tasks"]] == ["hyd_500"]
    assert all(one["done"] for one in done["tasks"])
    following = next(one for one in done["next_due"] if one["task"] == "hyd_500")
    assert "1000 h" in following["says"], "the grid rule moves the next 500-hour service on to 1000 h"
    sealed = dict(done["facts"])
    assert len(sealed) == len(done["facts"])
    assert set(sealed.values()) == {sha256 for _id, sha256 in done["facts"]}
