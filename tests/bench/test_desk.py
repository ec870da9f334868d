"""A question to the bench as text is answered as text, whatever the text."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import catalogue, desk

NAMES = st.sampled_from(["do", "key", "units", "told"])


def ask(**asked: Any) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(desk.answer(json.dumps(asked)))
    return told


def test_every_calculation_is_listed_with_its_question_under_a_topic_that_has_a_name() -> None:
    listed = ask(do="list")["ok"]
    assert [one["key"] for one in listed["sums"]] == list(catalogue.ENTRIES)
    assert all(one["question"].endswith("?") for one in listed["sums"])
    named = {topic["key"]: topic["says"] for topic in listed["topics"]}
    assert tuple(named) == catalogue.TOPICS
    assert all(named[one["topic"]] for one in listed["sums"])


@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_calculation_is_described_and_worked_out_as_the_catalogue_does(units: Any) -> None:
    told = {"density15_kg_m3": "870", "t": "80"}
    assert ask(do="describe", key="oil_density", units=units)["ok"] == catalogue.describe("oil_density", units)
    outcome = catalogue.run("oil_density", told, units)
    worked_out = json.loads(json.dumps(catalogue.outcome_to_plain(outcome, units)))
    assert ask(do="sum", key="oil_density", told=told, units=units)["ok"] == worked_out


@pytest.mark.parametrize(
    ("asked", "name", "says"),
    [
        ({"do": "fly"}, "do", "do = fly is not one of: list, describe, sum"),
        ({}, "do", "do =  is not one of"),
        ({"do": 3}, "do", "do = 3 is not text"),
        ({"do": "list", "units": "cubits"}, "units", "units = cubits is not one of: metric, us"),
        ({"do": "describe", "key": "weather"}, "calculation", "calculation = weather is not one of"),
        ({"do": "describe", "key": None}, "key", "key = null is not text"),
        ({"do": "sum", "key": "oil_density", "told": [1]}, "told", "told must be a JSON object"),
        ({"do": "sum", "key": "oil_density"}, "t_c", "t is not known"),
        (
            {"do": "sum", "key": "oil_density", "told": {"density15_kg_m3": "870", "t_c": "999"}},
            "t_c",
            "t = 999 °C is outside",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) and " " not in value else "",
)
def test_what_cannot_be_worked_with_is_refused_by_name(asked: dict[str, Any], name: str, says: str) -> None:
    refused = ask(**asked)["refused"]
    assert refused["name"] == name
    assert refused["says"].startswith(says)


def test_a_refusal_speaks_the_readers_units() -> None:
    asked = {"key": "oil_density", "told": {"density15_kg_m3": "870", "t_c": "999"}}
    assert "°F" in ask(do="sum", units="us", **asked)["refused"]["says"]


@pytest.mark.parametrize("text", ["", "{", "[]", "7", '{"do": NaN}', "[" * 100_000])
def test_what_is_no_json_object_is_refused(text: str) -> None:
    assert json.loads(desk.answer(text))["refused"]["name"] == "question"


@given(st.text(max_size=60) | st.dictionaries(NAMES, st.text()).map(json.dumps))
def test_any_text_is_answered(text: str) -> None:
    assert json.loads(desk.answer(text)).keys() in ({"ok"}, {"refused"})
