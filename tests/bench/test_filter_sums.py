"""The filter's questions as they are asked: what is told and drawn, and what is refused by the name of its field."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from coldmark import demo
from coldmark.bench import catalogue
from coldmark.bench.catalogue import ENTRIES
from coldmark.bench.errors import Contradiction, Missing, OutOfRange
from coldmark.bench.sheet import check

KEYS = (
    "element_left",
    "element_hours",
    "filter_beta",
    "oil_settles",
    "cleaning_time",
    "dirt_in",
    "count_tells",
    "pump_starves",
)


def _example(key: str, **changed: object) -> dict[str, Any]:
    return {name: value for name, value in (ENTRIES[key].example | changed).items() if value is not None}


def _fields(key: str, **changed: object) -> dict[str, Any]:
    outcome = catalogue.run(key, _example(key, **changed))
    return {one.name: one for one in outcome.fields}


def _says(key: str, **changed: object) -> str:
    return " ".join(catalogue.run(key, _example(key, **changed)).says)


@pytest.mark.parametrize("key", ["element_left", "oil_settles", "pump_starves"])
@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_picture_is_drawn_without_style_and_says_what_it_shows(key: str, units: Any) -> None:
    picture = catalogue.run(key, _example(key), units).picture
    assert picture is not None
    root = ElementTree.fromstring(picture)
    assert root.get("role") == "img"
    assert "style" not in {name for one in root.iter() for name in one.attrib}
    desc = next(one.text for one in root.iter() if one.tag.endswith("desc"))
    assert desc
    assert ("psi" in picture) == (units == "us" and key != "oil_settles")


@pytest.mark.parametrize(
    ("key", "changed"),
    [
        ("element_left", {"indicator_bar": 0}),
        ("element_left", {"indicator_bar": 50}),
        ("element_left", {"t_c": -40, "valve_cracks_bar": None, "valve_open_bar": None, "valve_flow_l_min": None}),
        ("oil_settles", {"beta": 1.001, "found_per_ml": 1e9}),
        ("oil_settles", {"beta": 1_000_000, "bypassed_share": 0.99}),
        ("pump_starves", {"t_c": 150, "idle_l_min": None}),
        ("pump_starves", {"t_c": -50, "pipe_mm": 5, "strainer_bar": 5}),
        (
            "pump_starves",
            {"pipe_mm": 200, "flow_l_min": 0.5, "idle_l_min": 0.1, "altitude_m_asl": 5000, "least_bar": 0.1},
        ),
    ],
)
def test_nothing_runs_out_of_the_frame(key: str, changed: dict[str, object]) -> None:
    picture = catalogue.run(key, _example(key, **changed)).picture
    assert picture is not None
    root = ElementTree.fromstring(picture)
    width, height = float(root.get("width", 0)), float(root.get("height", 0))
    for one in root.iter():
        for name in ("x", "x1", "x2", "cx"):
            assert 0 <= float(one.get(name, 0)) <= width
        for name in ("y", "y1", "y2", "cy"):
            assert 0 <= float(one.get(name, 0)) <= height
        for pair in one.get("points", "").split():
            x, y = map(float, pair.split(","))
            assert 0 <= x <= width
            assert 0 <= y <= height


def test_of_two_ways_to_tell_one_is_asked_for_and_not_both() -> None:
    for key, one, other in (
        ("element_hours", {"dirt_g_h": None}, {"hours_on_h": 300, "loading": 0.5}),
        ("filter_beta", {"beta": None}, {"efficiency_share": 0.9}),
        ("cleaning_time", {"wanted_per_ml": None}, {"going_min": 5}),
    ):
        with pytest.raises(Missing) as missed:
            catalogue.run(key, _example(key, **one))
        assert missed.value.name == next(iter(one))
        with pytest.raises(Contradiction, match="tell one of the two") as both:
            catalogue.run(key, _example(key, **other))
        assert both.value.name == next(iter(other))
        assert catalogue.run(key, _example(key, **one, **other)).says


def test_a_refusal_names_the_field_that_was_filled_in() -> None:
    cases: list[tuple[str, dict[str, object], type[Exception], str]] = [
        ("element_left", {"terminal_bar": None}, Missing, "terminal_bar"),
        ("element_left", {"valve_flow_l_min": None}, Missing, "valve_flow_l_min"),
        ("element_left", {"terminal_bar": 0.2}, Contradiction, "terminal_bar"),
        ("element_hours", {"capacity_g": None}, Missing, "capacity_g"),
        ("element_hours", {"dirt_g_h": None, "hours_on_h": 300, "loading": 0.01}, OutOfRange, "loading"),
        ("cleaning_time", {"particles_million_min": 1000}, Contradiction, "wanted_per_ml"),
        ("dirt_in", {"count_before_per_ml": 9}, Missing, "apart_min"),
        ("dirt_in", {"system_l": 9}, Missing, "count_before_per_ml"),
        (
            "dirt_in",
            {"found_per_ml": 1, "count_before_per_ml": 20_000, "apart_min": 1, "system_l": 200},
            Contradiction,
            "found_per_ml",
        ),
        ("count_tells", {"code_before": "18/20/13"}, Contradiction, "code_before"),
        ("count_tells", {"code_now": "dirty"}, Contradiction, "code_now"),
        ("pump_starves", {"kv100_mm2_s": None}, Missing, "kv100_mm2_s"),
    ]
    for key, changed, kind, name in cases:
        with pytest.raises(kind) as caught:
            catalogue.run(key, _example(key, **changed))
        assert caught.value.name == name  # type: ignore[attr-defined]


def test_a_lamp_without_a_gauge_is_asked_by_where_it_lights() -> None:
    left = _fields("element_left", indicator_bar=1.2)["left_share"]
    assert 0.2 < left.value < 0.5


def test_a_missing_element_is_told_and_not_taken_for_a_new_one() -> None:
    assert "torn or missing" in _says("element_left", indicator_bar=0.05)
    assert _fields("element_left", indicator_bar=0.05)["left_share"].value is None


def test_the_hours_say_what_an_open_bypass_does() -> None:
    said = _says("element_hours")
    assert "It lasts no longer for that" in said
    assert _fields("element_hours")["dirtier"].value == pytest.approx(
        1 / (1 - _fields("element_hours")["past_full_share"].value)
    )


def test_beta_one_keeps_nothing() -> None:
    assert "keeps nothing back" in _says("filter_beta", beta=1)
    assert _fields("filter_beta", beta=1)["tank_times"].value is None


def test_a_finer_element_behind_an_open_bypass_is_no_better() -> None:
    fine, finer = (
        _fields("filter_beta", beta=beta, bypassed_share=0.2)["effective_beta"].value for beta in (200, 2000)
    )
    assert finer / fine < 1.03
    assert "No element, however fine, gets above β 5.0" in _says("filter_beta", bypassed_share=0.2)


def test_a_count_as_expected_says_what_it_hides_and_one_that_shows_something_does_not() -> None:
    expected = _fields("oil_settles", found_per_ml=100)
    assert expected["hidden_share"].value > 0.5
    assert "could go past the element and the count would not show it" in _says("oil_settles", found_per_ml=100)
    dirty = _fields("oil_settles", found_per_ml=450)
    assert dirty["hidden_share"].value is None
    assert dirty["explains_share"].value == pytest.approx(1 - 100.5025 / 450, abs=1e-4)
    alone = _fields("oil_settles", found_per_ml=None)
    assert alone["times"].value is None
    assert alone["hidden_share"].value > 0.5


def test_a_code_that_stays_says_that_half_may_go_past() -> None:
    said = _says("count_tells", code_now="18/16/13")
    assert "Up to 50% of the flow could go past the element" in said
    assert "Opening the filter and looking does" in said


def test_the_usual_least_pressure_is_said_to_be_only_usual() -> None:
    usual = catalogue.run("pump_starves", _example("pump_starves"))
    assert "common practice, no source" in usual.notes[0]
    told = catalogue.run("pump_starves", _example("pump_starves", least_bar=0.8))
    assert told.notes == ()
    assert told.fields == usual.fields


def test_no_strainer_is_none() -> None:
    bare, strained = (_fields("pump_starves", strainer_bar=drop)["inlet_bar"].value for drop in (0, 0.02))
    assert bare > strained


@pytest.mark.parametrize("key", KEYS)
def test_a_question_is_found_by_its_own_words(key: str) -> None:
    words_of = {
        "element_left": "life left",
        "element_hours": "element last",
        "filter_beta": "β dirt",
        "oil_settles": "clean filter",
        "cleaning_time": "long clean",
        "dirt_in": "dirt gets in",
        "count_tells": "count filter",
        "pump_starves": "pump starve",
    }
    assert key in catalogue.find(words_of[key])


SHEET = (Path(demo.__file__).parent / "sheets" / "excavator_5t.toml").read_text(encoding="utf-8")
OIL = {"kv40_mm2_s": "46", "kv100_mm2_s": "6.8", "density15_kg_m3": "875", "t_c": "-10"}
TYPED = {
    "flow_l_min": "166.1",
    "idle_l_min": "86.825",
    "pipe_mm": "50",
    "pipe_length_mm": "700",
    "head_mm": "250",
    "fittings": "1.5",
    "least_bar": "0.8",
}


def _inlet(**told: str) -> dict[str, float]:
    found = {one.name: one.value for one in catalogue.run("pump_starves", OIL | told).fields}
    return {name: value for name, value in found.items() if isinstance(value, float)}


def test_a_sheet_tells_line_strainer_and_pumps_of_the_inlet() -> None:
    of_sheet = _inlet(sheet=SHEET)
    bare = SHEET.replace('strainer = "suction"\n', "")
    assert _inlet(sheet=bare) == pytest.approx(_inlet(**TYPED))
    assert of_sheet["inlet_bar"] < _inlet(sheet=bare)["inlet_bar"]
    assert _inlet(sheet=SHEET, strainer_bar="0") == pytest.approx(_inlet(sheet=bare))
    assert _inlet(sheet=SHEET, flow_l_min="80")["speed_m_s"] == pytest.approx(of_sheet["speed_m_s"] * 80 / 166.1)


def test_a_sheet_without_its_suction_side_still_tells_the_pumps_flow() -> None:
    start = SHEET.index("[hydraulic.suction]")
    without = SHEET[:start] + SHEET[SHEET.index("[hydraulic.cylinders.boom]") :]
    assert _inlet(sheet=without, pipe_mm="50", pipe_length_mm="700")["speed_m_s"] == pytest.approx(1.41, abs=0.01)
    with pytest.raises(Missing, match="pipe") as caught:
        catalogue.run("pump_starves", OIL | {"sheet": without})
    assert caught.value.name == "pipe_mm"


@pytest.mark.parametrize(
    ("was", "becomes", "says"),
    [
        ('strainer = "suction"', 'strainer = "pilot"', "housings.pilot.stage"),
        ('strainer = "suction"', 'strainer = "nowhere"', "housings"),
        ("least_bar = 0.8", "least_bar = 0.8\nroughness_mm = 0.25\n", ""),
        ("inner_mm = 50", "inner_mm = 5\nroughness_mm = 0.25", ""),
        ("inner_mm = 50", "inner_mm = 5\nroughness_mm = 0.26", "0.25"),
        ('pumps = ["main_one", "main_two", "gear", "pilot"]', 'pumps = ["main"]', "pumps"),
        ("inner_mm = 50\n", "", "needed"),
    ],
)
def test_a_suction_side_that_cannot_be_is_a_fault_of_the_sheet(was: str, becomes: str, says: str) -> None:
    assert SHEET.count(was) == 1
    text = SHEET.replace(was, becomes)
    if 'strainer = "pilot"' in becomes:
        start = text.index("[housings.pilot.stage]")
        text = text[:start] + text[text.index("\n[", text.index("\n[", start) + 1) :] if start >= 0 else text
    faults = check(text)
    assert bool(faults) == bool(says)
    if says:
        assert any(says in fault.say() for fault in faults), [fault.say() for fault in faults]
