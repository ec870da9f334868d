"""The catalogue: every calculation runs on its own example, and refuses by name what lies just outside its limits."""

from __future__ import annotations

import json
import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import catalogue, level, oil, words
from coldmark.bench import sheet as sheets
from coldmark.bench.catalogue import ENTRIES, Input, steps
from coldmark.bench.errors import Contradiction, Missing, NotAChoice, NotANumber, OutOfRange, Refused, RowRefused
from coldmark.bench.unit_table import of_name
from tests.bench.sum_examples import OIL_FILES, SHEET_FILE, example_of

SHEET = SHEET_FILE.read_text(encoding="utf-8")
OIL = OIL_FILES[0].read_text(encoding="utf-8")


def _limits() -> list[tuple[str, str, float]]:
    """Each number input with a value just outside each of its limits."""
    found = []
    for entry in ENTRIES.values():
        for one in entry.inputs:
            if one.kind not in {"number", "whole", "reading"}:
                continue
            assert one.low is not None, f"{entry.key}.{one.name} has no lower limit"
            assert one.high is not None, f"{entry.key}.{one.name} has no upper limit"
            step = 1.0 if one.kind == "whole" else 1e-6 * max(1.0, abs(one.high))
            found.append((entry.key, one.name, one.low if one.above else one.low - step))
            found.append((entry.key, one.name, one.high + step))
    return found


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("key", ENTRIES)
def test_every_calculation_runs_on_its_own_example(key: str, units: words.UnitSystem) -> None:
    entry = ENTRIES[key]
    outcome = catalogue.run(key, example_of(entry), units)
    assert outcome.says
    assert all(sentence.strip() and "{" not in sentence for sentence in outcome.says)
    assert [one.name for one in outcome.fields] == list(entry.fields)
    assert any(one.value is not None for one in outcome.fields)
    assert outcome.working_lines
    assert all(source.strip() for source in entry.sources)
    json.dumps(catalogue.outcome_to_plain(outcome, units), allow_nan=False)


@pytest.mark.parametrize(("key", "name", "value"), _limits())
def test_every_input_refuses_what_lies_just_outside_its_limits_by_its_own_name(
    key: str, name: str, value: float
) -> None:
    with pytest.raises(OutOfRange) as caught:
        catalogue.run(key, example_of(ENTRIES[key]) | {name: value})
    assert caught.value.name == name
    assert words.spoken(name) in str(caught.value)


@pytest.mark.parametrize("key", ENTRIES)
def test_every_input_that_is_needed_is_missed_by_its_own_name(key: str) -> None:
    entry = ENTRIES[key]
    for one in entry.inputs:
        if one.optional or one.default is not None or one.kind == "truth":
            continue
        raw = {name: value for name, value in example_of(entry).items() if name != one.name}
        with pytest.raises(Missing) as caught:
            catalogue.run(key, raw)
        assert caught.value.name == one.name


@pytest.mark.parametrize("key", ENTRIES)
def test_every_choice_refuses_another_word_with_those_offered(key: str) -> None:
    entry = ENTRIES[key]
    for one in entry.inputs:
        if one.kind == "choice":
            with pytest.raises(NotAChoice, match=one.choices[0]) as caught:
                catalogue.run(key, example_of(entry) | {one.name: "sideways"})
            assert caught.value.name == one.name


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("key", ENTRIES)
def test_every_calculation_describes_itself_for_a_form(key: str, units: words.UnitSystem) -> None:
    described = catalogue.describe(key, units)
    json.dumps(described, allow_nan=False)
    assert described["question"].endswith("?")
    stems = [one["stem"] for one in described["inputs"]]
    assert len(stems) == len(set(stems)), "a form could not tell two inputs apart"
    for one in described["inputs"]:
        assert one["label"]
        assert one["kind"] != "choice" or one["choices"]
        assert one["kind"] != "table" or one["columns"]


def _typed_in(one: Input, value: object, units: words.UnitSystem) -> object:
    """A value of the example as a form in the reader's units would have it."""
    unit = of_name(one.name)
    if one.kind not in {"number", "whole"} or unit is None:
        return value
    shown = words.quantity(unit.to_bench(float(str(value))), unit.ending, units=units, digits=9)
    return re.sub(r"[^0-9.eE+-].*$", "", shown)


@pytest.mark.parametrize("key", ENTRIES)
def test_a_form_in_us_units_gives_the_same_result(key: str) -> None:
    entry = ENTRIES[key]
    raw = example_of(entry)
    by_name = {one.name: one for one in entry.inputs}
    typed = {by_name[name].stem: _typed_in(by_name[name], value, "us") for name, value in raw.items()}
    metric, us = catalogue.run(key, raw), catalogue.run(key, typed, "us")
    for one, other in zip(metric.fields, us.fields, strict=True):
        if isinstance(one.value, float) and isinstance(other.value, float):
            assert math.isclose(one.value, other.value, rel_tol=1e-5, abs_tol=1e-5)
        else:
            assert one.value == other.value


def test_a_value_may_come_in_any_unit_of_its_kind() -> None:
    celsius = catalogue.run("oil_density", {"density15_kg_m3": 880, "t_c": 40})
    fahrenheit = catalogue.run("oil_density", {"density15_lb_gal": 880 / 119.826427, "t_f": 104})
    assert fahrenheit.fields[0].value == pytest.approx(celsius.fields[0].value, rel=1e-7)
    with pytest.raises(NotAChoice, match="t_c"):
        catalogue.run("oil_density", {"t_bar": 40})
    with pytest.raises(NotAChoice, match="density15_kg_m3, t_c"):
        catalogue.run("oil_density", {"colour": "amber", "t_c": 40})
    with pytest.raises(Contradiction, match="told already"):
        catalogue.run("oil_density", {"t_c": 40, "t_f": 104})


def test_what_is_no_number_is_refused_by_name() -> None:
    with pytest.raises(NotANumber, match="t = warm is not a number") as caught:
        catalogue.run("oil_density", {"t_c": "warm"})
    assert caught.value.name == "t_c"
    with pytest.raises(NotANumber, match="count"):
        catalogue.run("bolt_order", {"count": "4.5"})


def test_a_us_reader_is_refused_in_us_units() -> None:
    with pytest.raises(Refused) as caught:
        catalogue.run("oil_density", {"t": "400"}, "us")
    assert "°F" in caught.value.say("us")


def test_a_table_comes_as_rows_as_text_or_as_json_and_has_at_most_thirty_rows() -> None:
    rows = [[0.2, 2.0, 0.7, 20.0]]
    wanted = catalogue.run("litres_between", {"pours": rows}).fields[0].value
    header = "before,litres_l,after,oil_c,jug_c\n0.2, 2.0, 0.7, 20"
    by_name = {"before": 0.2, "litres_l": 2, "after": 0.7, "oil_c": 20}
    for raw in ("0.2 2.0 0.7 20", header, json.dumps(rows), [by_name]):
        assert catalogue.run("litres_between", {"pours": raw}).fields[0].value == wanted
    with pytest.raises(OutOfRange, match="1 to 30"):
        catalogue.run("litres_between", {"pours": rows * 31})
    with pytest.raises(RowRefused, match="Row 2: after = 7 is outside") as caught:
        catalogue.run("litres_between", {"pours": [*rows, [0.2, 2.0, 7.0, 20.0]]})
    assert (caught.value.name, caught.value.inner.name) == ("pours", "after")
    with pytest.raises(RowRefused, match=r"Row 1: .*before, litres_l, after"):
        catalogue.run("litres_between", {"pours": "0.2 2.0"})


def test_the_cells_of_a_table_come_in_any_unit_of_their_kind() -> None:
    wanted = catalogue.run("litres_between", {"pours": [[0.2, 3.785411784, 0.7, 20.0]]}).fields[0].value
    for raw in (
        "before,litres_gal,after,oil_f\n0.2, 1, 0.7, 68",
        [{"before": "0.2", "litres": "1", "after": 0.7, "oil": 68}],
        [{"before": "0.2", "litres_qt": "4", "after": 0.7, "oil_c": 20}],
    ):
        assert catalogue.run("litres_between", {"pours": raw}, "us").fields[0].value == pytest.approx(wanted)
    with pytest.raises(RowRefused, match=r"Row 1: .*litres_bar"):
        catalogue.run("litres_between", {"pours": [{"before": 0.2, "litres_bar": 1, "after": 0.7, "oil_c": 20}]})


@pytest.mark.parametrize(("step", "us"), [(1.0, 2.0), (5.0, 10.0), (10.0, 20.0)])
def test_a_step_is_a_round_one_in_each_readers_unit(step: float, us: float) -> None:
    assert steps.nice(step * 1.8) == us
    assert steps.nice(step) == step


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("key", ENTRIES)
def test_an_example_as_it_is_described_is_that_of_the_calculation(key: str, units: words.UnitSystem) -> None:
    meant = example_of(ENTRIES[key])
    described = {one["stem"]: one["example"] for one in catalogue.describe(key, units)["inputs"]}
    typed = {stem: value for stem, value in described.items() if value is not None}
    by_file = {one.name: meant[one.name] for one in ENTRIES[key].inputs if one.name in meant and one.stem not in typed}
    told = catalogue.run(key, typed | by_file, units)
    for one, other in zip(told.fields, catalogue.run(key, meant, units).fields, strict=True):
        close = isinstance(other.value, float) and one.value == pytest.approx(other.value, rel=0.02, abs=5e-3)
        assert close or one.value == other.value, one.name


@given(st.floats(1e-6, 1e6))
def test_a_round_step_is_never_far_from_what_was_meant(value: float) -> None:
    assert 0.6 < steps.nice(value) / value < 1.7


def test_the_level_of_a_sheet_is_the_level_of_the_bench() -> None:
    outcome = catalogue.run(
        "level", {"sheet": SHEET, "reading": -0.05, "oil_c": 8, "posture": "arm_out", "inside": OIL}
    )
    system = catalogue.take(ENTRIES["level"].inputs, {"sheet": SHEET, "reading": 0})["sheet"].hydraulic
    verdict = level.read(system, -0.05, 8, "arm_out", oil=oil.from_text(OIL))
    assert list(outcome.says) == level.says(verdict)
    assert outcome.picture is not None
    assert outcome.picture.startswith("<svg")


def test_a_sheet_and_an_oil_may_be_told_as_plain_data_as_a_phone_has_them() -> None:
    told = {"sheet": SHEET, "reading": -0.05, "oil_c": 8, "posture": "arm_out", "inside": OIL}
    plain = told | {"sheet": sheets.to_plain(sheets.read(SHEET)), "inside": oil.oil_to_plain(oil.from_text(OIL))}
    assert catalogue.run("level", json.loads(json.dumps(plain))) == catalogue.run("level", told)


def test_a_level_asks_for_a_posture_with_those_of_the_sheet() -> None:
    with pytest.raises(NotAChoice, match="arm_out") as caught:
        catalogue.run("level", {"sheet": SHEET, "reading": 0.35, "oil_c": 8})
    assert caught.value.name == "posture"
    with pytest.raises(Missing) as missed:
        catalogue.run("level", {"sheet": SHEET, "reading": 0.35, "posture": "arm_out"})
    assert missed.value.name == "oil_c"


def test_oil_that_was_felt_by_hand_widens_the_range() -> None:
    raw = {"sheet": SHEET, "reading": -0.05, "posture": "arm_out", "air_c": 35}
    felt = {one.name: one for one in catalogue.run("level", raw | {"warmth": "hand_warm"}).fields}["add_l"]
    read = {one.name: one for one in catalogue.run("level", raw | {"oil_c": 35}).fields}["add_l"]
    assert felt.value == pytest.approx(read.value)
    assert felt.high is not None
    assert felt.low is not None
    assert read.high is not None
    assert read.low is not None
    assert felt.high - felt.low > 1.5 * (read.high - read.low)


def test_a_task_done_late_inside_its_tolerance_keeps_the_grid() -> None:
    kept = catalogue.run("next_due", {"interval_h": 500, "done_h": 1530, "line_h": 1500, "tolerance_h": 50})
    moved = catalogue.run("next_due", {"interval_h": 500, "done_h": 1560, "line_h": 1500, "tolerance_h": 50})
    early = catalogue.run("next_due", {"interval_h": 500, "done_h": 1460, "line_h": 1500, "tolerance_h": 50})
    assert [one.fields[0].value for one in (kept, moved, early)] == [2000, 2060, 1960]


def test_months_need_the_day_it_was_done() -> None:
    raw = {"interval_h": 500, "done_h": 1530, "calendar_months": 12}
    with pytest.raises(Missing, match="done day"):
        catalogue.run("next_due", raw)
    assert "2027-03-02" in catalogue.run("next_due", raw | {"done_day": "2026-03-02"}).says[1]
    with pytest.raises(Contradiction, match="2026-03-02"):
        catalogue.run("next_due", raw | {"done_day": "second of March"})


def test_a_half_told_bypass_is_not_guessed() -> None:
    raw = {key: value for key, value in example_of(ENTRIES["filter_drop"]).items() if key != "valve_flow_l_min"}
    with pytest.raises(Missing) as caught:
        catalogue.run("filter_drop", raw)
    assert caught.value.name == "valve_flow_l_min"


def test_there_is_no_other_calculation() -> None:
    with pytest.raises(NotAChoice, match="oil_viscosity"):
        catalogue.entry("weather")
