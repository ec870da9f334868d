"""What a phone asks at the machine: what may be timed and with what, and the places a part may be refused for."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import coldmark.demo
from coldmark.bench.facts import KINDS
from coldmark.bench.job import name_of, places_asked, places_of, refusals, timings_asked, timings_offered
from coldmark.bench.sheet import Sheet, read
from coldmark.bench.timings import Timed

SHEETS = Path(next(iter(coldmark.demo.__path__))) / "sheets"


@pytest.fixture(scope="module")
def sheet() -> Sheet:
    return read((SHEETS / "excavator_5t.toml").read_text(encoding="utf-8"))


FIRST = Timed("cycle", time_s=3.0, oil_c=48, engine_rpm=2150, load_kg=300, at="2025-03-02T08:00:00+00:00")


def test_what_the_sheet_names_is_offered_with_how_it_is_measured_and_the_most(sheet: Sheet) -> None:
    boom, drift = timings_asked({}, sheet, "metric")
    assert (boom["key"], boom["what"], boom["watched_min"]) == ("boom_up", "cycle", None)
    assert boom["how"] == sheet.timings["boom_up"].says
    assert boom["with"] == ["The data sheet has it with: oil at 50 °C, engine at 2200 1/min.", "At most 3.8 s."]
    assert (drift["key"], drift["what"], drift["watched_min"]) == ("arm_drift", "drift", 5)
    assert drift["with"] == ["The data sheet has it with: oil at 50 °C.", "At most 3.00 mm/min."]


def test_once_it_was_timed_the_first_one_says_what_it_has_to_be_timed_with(sheet: Sheet) -> None:
    boom = timings_asked({"boom_up": [FIRST, replace(FIRST, oil_c=60)]}, sheet, "metric")[0]
    assert boom["with"][1] == ("First timed on 2 March 2025 with: oil at 48 °C, engine at 2150 1/min, 300 kg on it.")


def test_a_us_reader_is_told_in_degrees_fahrenheit_and_pounds(sheet: Sheet) -> None:
    boom = timings_asked({"boom_up": [FIRST]}, sheet, "us")[0]
    assert "oil at 122 °F" in boom["with"][0]
    assert "661 lb on it" in boom["with"][1]


def test_what_was_timed_under_a_name_of_its_own_is_offered_from_then_on(sheet: Sheet) -> None:
    drift = Timed("drift", moved_mm=12, watched_min=10, at="2025-03-02T08:00:00+00:00")
    asked = timings_asked({"bucket_drift": [drift]}, sheet, "metric")
    assert [one["key"] for one in asked] == ["boom_up", "arm_drift", "bucket_drift"]
    assert asked[2] == {
        "key": "bucket_drift",
        "name": "bucket drift",
        "what": "drift",
        "how": "",
        "with": [],
        "watched_min": 10,
    }
    assert timings_offered({"bucket_drift": [drift]}, None) == {"bucket_drift": "bucket drift"}


def test_a_name_that_was_a_time_and_became_a_drift_is_asked_for_as_the_latest() -> None:
    drift = Timed("drift", moved_mm=12, watched_min=10, oil_c=40, at="2025-04-02T08:00:00+00:00")
    (asked,) = timings_asked({"arm": [FIRST, drift]}, None, "metric")
    assert asked["what"] == "drift"
    assert asked["with"] == ["First timed on 2 April 2025 with: oil at 40 °C."]


def test_a_part_may_be_refused_for_each_place_that_a_part_of_the_sheet_goes_into(sheet: Sheet) -> None:
    asked = places_asked(sheet)
    assert {one["key"]: one["says"] for one in asked} == places_of(sheet)
    stacks = {f"{key}.{item.key}": item.part for key, housing in sheet.housings.items() for item in housing.stack}
    assert [one["key"] for one in asked] == [key for key, part in stacks.items() if part is not None]
    assert all(one["says"] == name_of(sheet, one["key"]) for one in asked)
    assert places_asked(None) == []


def test_what_may_be_wrong_with_a_part_is_what_its_fact_may_say() -> None:
    assert tuple(one["key"] for one in refusals()) == KINDS["part_refused"].fields["why"].choices
    assert all(one["says"] for one in refusals())


def test_a_part_called_as_its_housing_is_said_once(sheet: Sheet) -> None:
    assert name_of(sheet, "suction.strainer") == "suction strainer"
    assert name_of(sheet, "return.element") == "return element, return filter"
