"""The lamp, two readings on a slope, and published limits, as they are asked."""

from __future__ import annotations

from pathlib import Path

import pytest

from coldmark import demo
from coldmark.bench import catalogue, wear
from coldmark.bench.catalogue import ENTRIES
from coldmark.bench.errors import Missing, NotAChoice, NotANumber, Refused

SHEETS = Path(demo.__file__).parent / "sheets"
SHEET = (SHEETS / "excavator_5t.toml").read_text(encoding="utf-8")
OIL = {"kv40_mm2_s": "46", "kv100_mm2_s": "6.8"}


def asked(key: str, **told: str) -> dict[str, object]:
    return {one.name: one.value for one in catalogue.run(key, told).fields}


# The lamp.


@pytest.mark.parametrize(("t_c", "verdict"), [("-15", "alarm_cold"), ("45", "alarm_stop")])
def test_the_lamp_by_a_data_sheet(t_c: str, verdict: str) -> None:
    found = asked("lamp_means", lamp="lamp_on", sheet=SHEET, housing="return", flow_l_min="140", t_c=t_c, **OIL)
    assert found["lamp_verdict"] == verdict
    told = {"lamp": "lamp_on", "sheet": SHEET, "flow_l_min": "140", "t_c": t_c, **OIL}
    said = " ".join(catalogue.run("lamp_means", told).says)
    assert "ignore" not in said.casefold()


def test_a_lamp_that_is_off_proves_nothing_however_warm() -> None:
    for t_c in ("-10", "60"):
        found = asked("lamp_means", lamp="lamp_off", sheet=SHEET, flow_l_min="140", t_c=t_c, **OIL)
        assert found["lamp_verdict"] == "alarm_off"


@pytest.mark.parametrize(
    ("told", "name"),
    [
        ({}, "element_bar"),
        ({"element_bar": "0.3", "housing_turbulent_bar": "0.1", "reference_flow_l_min": "100"}, "alarm_bar"),
        ({"sheet": SHEET, "housing": "suction"}, "alarm_bar"),
        ({"sheet": SHEET, "housing": "cellar"}, "housing"),
    ],
)
def test_what_the_lamp_needs_is_named(told: dict[str, str], name: str) -> None:
    with pytest.raises((Missing, NotAChoice)) as caught:
        catalogue.run("lamp_means", {"lamp": "lamp_on", "flow_l_min": "100", "t_c": "20", **OIL, **told})
    assert caught.value.name == name


def test_a_sheet_without_any_filters_curves_does_not_tell() -> None:
    text = (SHEETS / "track_loader.toml").read_text(encoding="utf-8")
    start = text.index("[housings.return.stage]")
    bare = text[:start] + text[text.index("[[housings.return.stack]]") :]
    with pytest.raises(Missing) as caught:
        catalogue.run("lamp_means", {"lamp": "lamp_on", "sheet": bare, "flow_l_min": "100", "t_c": "20", **OIL})
    assert caught.value.name == "element_bar"


# Two readings.


@pytest.mark.parametrize(("second", "says"), [("0.4", "Go on with that reading"), ("-0.6", "more level ground")])
def test_a_slope_that_moves_the_reading_too_far_sends_one_elsewhere(second: str, says: str) -> None:
    outcome = catalogue.run("two_readings", {"reading": "0.7", "second_reading": second})
    assert says in outcome.says[1]
    assert outcome.picture is not None


def test_no_mean_is_made_of_a_reading_that_is_none() -> None:
    for name in ("reading", "second_reading"):
        with pytest.raises(NotANumber) as caught:
            catalogue.run("two_readings", {"reading": "0.7", "second_reading": "0.4"} | {name: "below"})
        assert caught.value.name == name


# Published limits.


@pytest.mark.parametrize("system", wear.SYSTEMS)
def test_every_limit_that_is_a_number_can_be_asked_for(system: str) -> None:
    offered = {one.name: one.choices for one in ENTRIES["value_limit"].inputs}["quantity"]
    held = {one.quantity for one in wear.limits(system) if one.number is not None}
    held -= {"copper_strip"}  # a step of a colour scale, 2a and the like, is no number
    named = {"glycol": "coolant_glycol"}
    assert {named.get(one, one) for one in held} <= set(offered)
    for quantity in (named.get(one, one) for one in held):
        told = {"oil_system": system, "quantity": quantity, "laboratory_value": "1", "fresh_value": "1"}
        found = asked("value_limit", **told, share_unit="mg_in_kg")
        assert found["limit_verdict"] in ("limits_none", "limits_some")


def test_without_the_new_oil_a_change_is_not_judged() -> None:
    outcome = catalogue.run("value_limit", {"quantity": "kv40", "laboratory_value": "52"})
    assert outcome.says[0].startswith("It cannot be held against any")
    assert all("new oil's value is needed" in line for line in outcome.says[1:])
    judged = asked("value_limit", quantity="kv40", laboratory_value="52", fresh_value="46")
    assert judged["limit_verdict"] == "limits_some"


def test_water_is_printed_in_either_unit_and_the_unit_is_asked_for() -> None:
    with pytest.raises(Missing) as caught:
        catalogue.run("value_limit", {"quantity": "water", "laboratory_value": "700"})
    assert caught.value.name == "share_unit"
    for value, unit in (("1100", "mg_in_kg"), ("0.11", "per_cent")):
        found = asked("value_limit", quantity="water", laboratory_value=value, share_unit=unit)
        assert found["limit_verdict"] == "limits_some"


def test_a_quantity_that_no_list_has_is_refused_with_those_there_are() -> None:
    with pytest.raises(Refused) as caught:
        catalogue.run("value_limit", {"quantity": "fuel", "laboratory_value": "3"})
    assert caught.value.name == "quantity"
    assert "iron" in str(caught.value)
