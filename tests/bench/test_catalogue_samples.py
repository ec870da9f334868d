"""The questions about samples and signs, as somebody asks them."""

from __future__ import annotations

import json
from typing import Any

import pytest

from coldmark.bench import catalogue, evidence, words
from coldmark.bench.catalogue import ENTRIES
from coldmark.bench.errors import Contradiction, Missing, OutOfRange, Refused, RowRefused

KEYS = ("oil_code", "clean_enough", "oil_target", "wear_rising", "metal_left", "debris_means", "look_next")
EXPLAINED = ("question", "what", "when", "assumes", "limits")


def _fields(key: str, raw: dict[str, Any], units: words.UnitSystem = "metric") -> dict[str, Any]:
    return {one.name: one for one in catalogue.run(key, raw, units).fields}


@pytest.mark.parametrize("key", KEYS)
def test_each_explains_itself_and_stands_under_dirt(key: str) -> None:
    entry = ENTRIES[key]
    assert entry.topic == "dirt"
    assert entry.formulas
    assert all(words.has(f"catalogue.{key}.{part}") for part in EXPLAINED)


@pytest.mark.parametrize(
    ("asked", "key"),
    [
        ("how clean is this oil", "oil_code"),
        ("wear rising", "wear_rising"),
        ("debris", "debris_means"),
        ("look at next", "look_next"),
        ("how clean should it", "oil_target"),
    ],
)
def test_each_is_found_by_what_somebody_would_say(asked: str, key: str) -> None:
    assert key in catalogue.find(asked)[:3]


# How clean.


def test_a_code_is_held_against_the_target() -> None:
    outcome = catalogue.run("clean_enough", {"code": "20/18/15", "wanted_code": "18/16/13"})
    assert outcome.says[0] == "Too dirty: the oil is 20/18/15 and should be 18/16/13."
    assert (outcome.fields[1].low, outcome.fields[1].high) == (2, 4)
    assert (
        catalogue.run("clean_enough", {"code": "17/16/≥9", "wanted_code": "18/16/13"}).fields[0].text == "clean enough"
    )


def test_without_a_count_there_is_no_code() -> None:
    with pytest.raises(Missing) as missed:
        catalogue.run("oil_code", {"wanted_code": "18/16/13"})
    assert missed.value.name == "count4_per_ml"


@pytest.mark.parametrize("name", ["code", "wanted_code"])
def test_a_mistyped_code_is_refused_by_the_field_it_stands_in(name: str) -> None:
    with pytest.raises(Contradiction, match="18/16/13") as caught:
        catalogue.run("clean_enough", {"code": "20/18/15", "wanted_code": "18/16/13"} | {name: "18/16"})
    assert caught.value.name == name


def test_a_count_that_cannot_be_is_refused_by_its_size() -> None:
    with pytest.raises(Contradiction, match="larger size") as caught:
        catalogue.run("oil_code", {"count4_per_ml": 100, "count6_per_ml": 200})
    assert caught.value.name == "count6_per_ml"
    with pytest.raises(Contradiction, match="too many") as ticked:
        catalogue.run("oil_code", {"count4_per_ml": 100, "too_many4": True, "count6_per_ml": 20})
    assert ticked.value.name == "count4_per_ml"


def test_more_particles_than_the_scale_has_can_still_be_shown() -> None:
    outcome = catalogue.run("clean_enough", {"code": ">28/24/20", "wanted_code": "18/16/13"})
    json.dumps(catalogue.outcome_to_plain(outcome), allow_nan=False)
    assert "at least 1000 times" in outcome.says[1]


def test_components_are_rows_and_conditions_are_ticks() -> None:
    raw = {"components": "gear_vane_pump; servo_valve", "working_bar": 180}
    assert _fields("oil_target", raw)["wanted_code"].value == "16/14/11"
    assert _fields("oil_target", raw | {"shock": "yes", "endangers": "yes"})["wanted_code"].value == "14/12/9"
    in_psi = {"components": "gear_vane_pump; servo_valve", "working": "2610.7"}
    assert _fields("oil_target", in_psi, "us")["wanted_code"].value == "16/14/11"
    with pytest.raises(RowRefused, match="gear_vane_pump"):
        catalogue.run("oil_target", {"components": "pump", "working_bar": 180})


# Wear.


def _samples(*contents: float) -> dict[str, Any]:
    return {"samples": [[1000 + 250 * at, content] for at, content in enumerate(contents)], "system_l": 100}


def test_two_samples_get_both_bounds_and_no_verdict() -> None:
    found = _fields("wear_rising", _samples(4, 10) | {"flow_l_min": 80, "metal_beta": 1.01})
    assert found["wear_verdict"].value == "wear_open"
    assert found["gains_mg_kg_100h"].value is None
    assert found["taken_mg_kg_100h"].value > found["stays_mg_kg_100h"].value == pytest.approx(2.4)


@pytest.mark.parametrize(
    ("contents", "verdict"),
    [
        ((4, 9, 14, 19), "wear_steady"),
        ((4, 6, 12, 30), "wear_quickening"),
        ((4, 14, 18, 19), "wear_levelling"),
        ((12, 12, 12), "wear_level"),
    ],
)
def test_more_samples_decide(contents: tuple[float, ...], verdict: str) -> None:
    assert _fields("wear_rising", _samples(*contents))["wear_verdict"].value == verdict


def test_a_published_limit_is_named_with_its_source() -> None:
    said = " ".join(catalogue.run("wear_rising", _samples(4, 9, 21)).says)
    assert "beyond a published limit of 20" in said
    assert "open-access paper" in said
    other = " ".join(catalogue.run("wear_rising", _samples(4, 9, 21) | {"metal": "other_metal"}).says)
    assert "published limit" not in other
    silicon = _samples(4, 9, 21) | {"metal": "silicon", "fresh_mg_kg": 2}
    assert "from memory" in " ".join(catalogue.run("wear_rising", silicon).says)


def test_samples_and_filter_are_refused_by_the_names_of_the_form() -> None:
    with pytest.raises(Contradiction, match="order of their hours") as caught:
        catalogue.run("wear_rising", {"samples": [[500, 4], [400, 6]], "system_l": 100})
    assert caught.value.name == "samples"
    with pytest.raises(Contradiction) as half:
        catalogue.run("wear_rising", _samples(4, 9) | {"metal_beta": 2})
    assert half.value.name == "metal_beta"
    with pytest.raises(Refused) as few:
        catalogue.run("wear_rising", _samples(4))
    assert few.value.name == "samples"


def test_more_than_the_system_holds_cannot_be_drained() -> None:
    with pytest.raises(OutOfRange, match="100") as caught:
        catalogue.run("metal_left", {"drained_oil_mg_kg": 80, "drained_l": 120, "system_l": 100})
    assert caught.value.name == "drained_l"
    assert "gal" in caught.value.say("us")


# Signs.


def test_every_sign_of_the_table_can_be_told_and_no_other() -> None:
    offered = ENTRIES["debris_means"].inputs[0].columns[0].choices
    assert sorted(offered) == sorted(evidence.network().signs)
    assert all(words.has(f"catalogue.choice.{one}") for one in (*offered, *evidence.STATES))


def test_a_sign_without_a_word_is_one_that_was_seen() -> None:
    told = catalogue.run("debris_means", {"signs": "rust_seen; foam_seen absent"})
    rows = catalogue.run("debris_means", {"signs": [["rust_seen", "seen"], ["foam_seen", "absent"]]})
    assert told.says == rows.says
    assert told.fields[0].text == "water in the oil"


def test_signs_that_point_nowhere_are_told_so_without_a_picture() -> None:
    outcome = catalogue.run("debris_means", {"signs": "dark_residue"})
    assert outcome.says[0] == "Nothing that was seen points to a cause."
    assert outcome.picture is None
    assert outcome.fields[0].value is None


def test_one_sign_told_two_ways_is_refused() -> None:
    with pytest.raises(Contradiction, match="seen and as looked for") as caught:
        catalogue.run("debris_means", {"signs": "rust_seen seen; rust_seen absent"})
    assert caught.value.name == "signs"


def test_what_to_look_at_fits_the_time_there_is() -> None:
    signs = {"signs": "bronze_flakes seen"}
    assert _fields("look_next", signs)["look_at"].value == "much_case_drain"
    short = _fields("look_next", signs | {"time_min": 4})
    assert short["look_at"].value == "pump_noise"
    assert short["looking_min"].value == 3
    nothing = catalogue.run("look_next", signs | {"time_min": 0.5})
    assert nothing.says[0].startswith("Nothing that is left")
    with pytest.raises(OutOfRange):
        catalogue.run("look_next", signs | {"time_min": 0})
