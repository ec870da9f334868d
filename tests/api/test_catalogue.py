"""The catalogue and its calculations, asked by a program."""

from __future__ import annotations

from typing import Any

import pytest

from coldmark.bench.catalogue import ENTRIES, find
from coldmark.records import services
from tests.api.asking import Asking, told
from tests.records.house import House, sha, sheet_text

OF_A_MACHINE: dict[str, dict[str, Any]] = {
    "level": {"posture": "arm_out", "inside": "varnol_hm46"},
    "glass_moves": {"posture": "arm_out", "second_posture": "folded"},
}


def example(key: str, house: House) -> dict[str, Any]:
    """The example of a calculation, its sheet by its hash and its oils by their keys."""
    entry = ENTRIES[key]
    kept = {"sheet": house.sheet, "oil": "varnol_hm46"}
    references = {one.name: kept[one.kind] for one in entry.inputs if one.kind in kept and not one.optional}
    return entry.example | references | OF_A_MACHINE.get(key, {})


def test_the_catalogue_describes_every_calculation_in_the_readers_units(house: House, mechanic: Asking) -> None:
    whole = told(mechanic.get("catalogue"))
    listed = whole["calculations"]
    assert {one["topic"] for one in listed} <= {one["key"] for one in whole["topics"]}
    asked = told(mechanic.get("catalogue?asked=tighten cover"))["calculations"]
    assert [one["key"] for one in asked] == list(find("tighten cover"))
    assert [one["key"] for one in listed] == list(ENTRIES)
    services.set_look(house.mechanic, units="us")
    in_us = {one["key"]: one for one in told(mechanic.get("catalogue"))["calculations"]}
    assert in_us["oil_density"]["inputs"][1]["unit"]["symbol"] == "°F"


@pytest.mark.parametrize("key", ENTRIES)
def test_every_calculation_answers_its_example(house: House, mechanic: Asking, key: str) -> None:
    answer = told(mechanic.post(f"calc/{key}", example(key, house)))
    assert answer["calculation"] == key
    assert answer["says"]
    assert set(answer["fields"]) == set(ENTRIES[key].fields)
    assert answer["working"]


def test_a_sheet_is_told_by_its_text_or_by_its_hash(house: House, mechanic: Asking) -> None:
    by_hash = told(mechanic.post("calc/level", example("level", house)))
    by_text = told(mechanic.post("calc/level", example("level", house) | {"sheet": sheet_text()}))
    assert by_text == by_hash


def test_an_owner_calculates_with_his_machines_sheet_and_no_other(house: House, owner: Asking) -> None:
    told(owner.post("calc/level", example("level", house)))
    other = services.keep_sheet(house.office, sheet_text("telehandler")).sha256
    refused = told(owner.post("calc/level", example("level", house) | {"sheet": other}), 404)
    assert refused["says"] == f"There is no sheet {other}."


@pytest.mark.parametrize(
    ("key", "change", "status", "name"),
    [
        ("level", {"sheet": sha("none")}, 404, None),
        ("level", {"sheet": "the yellow one"}, 404, None),
        ("level", {"inside": "no_such_oil"}, 404, None),
        ("level", {"inside": {"name": 5}}, 422, "name"),
        ("level", {"oil_c": 900}, 422, "oil_c"),
        ("level", {"tea": 1}, 422, "input"),
        ("level", {"sheet": 5}, 422, "sheet"),
        ("level", {"rods": "boom"}, 422, "rods"),
        ("rod_volume", {"kind": "triple"}, 422, "kind"),
        ("rod_volume", {"bore_mm": None}, 422, "bore_mm"),
        ("rod_volume", {"bore_mm": [1]}, 422, "bore_mm"),
        ("litres_between", {"pours": [["0.2"]]}, 422, "pours"),
    ],
)
def test_what_is_not_right_is_refused_by_name(
    house: House, mechanic: Asking, key: str, change: dict[str, Any], status: int, name: str | None
) -> None:
    refused = told(mechanic.post(f"calc/{key}", example(key, house) | change), status)
    assert refused["name"] == name
    assert refused["says"]


def test_a_calculation_that_is_none_is_said_so(mechanic: Asking) -> None:
    assert told(mechanic.post("calc/tea", {}), 404)["says"] == "There is no calculation tea."
    assert told(mechanic.post("calc/level", "[]"), 422)["name"] == "body"
