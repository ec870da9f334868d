"""A sheet's other forms: the template, the JSON Schema for editors, and plain data for the phone."""

from __future__ import annotations

import copy
import json
import re
import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from coldmark import demo
from coldmark.bench.errors import NotAChoice, Refused
from coldmark.bench.sheet import check, from_plain, json_schema, read, template, to_plain
from coldmark.bench.sheet.fields import TableSpec
from coldmark.bench.sheet.table import KINDS, ROOT

FILES = sorted((Path(demo.__file__).parent / "sheets").glob("*.toml"))
TEXTS = {file.stem: file.read_text(encoding="utf-8") for file in FILES} | {kind: template(kind) for kind in KINDS}
SCHEMA = json_schema()
OPTIONAL = re.compile(r"# [a-z0-9_]+ = ")
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


def test_the_demo_has_its_four_sheets() -> None:
    assert [file.stem for file in FILES] == ["excavator_1t8", "excavator_5t", "telehandler", "track_loader"]


# the template


@pytest.mark.parametrize("kind", KINDS)
def test_a_template_is_sound_and_says_what_to_fill_in(kind: str) -> None:
    text = template(kind)
    assert check(text) == ()
    assert read(text).kind == kind
    assert text.count("FILL IN") > 10
    assert "@" not in text


def test_a_template_for_another_kind_is_refused() -> None:
    with pytest.raises(NotAChoice, match="kind = boat is not one of: excavator"):
        template("boat")


def keys_of(spec: TableSpec) -> set[str]:
    own = {field.key for field in spec.fields}
    return own.union(*(keys_of(field.table) for field in spec.fields if field.table is not None))


def test_the_template_shows_every_key_that_a_sheet_may_have() -> None:
    text = template()
    missing = {
        key for key in keys_of(ROOT) if f"{key} =" not in text and f"{key}]" not in text and f"{key}." not in text
    }
    assert missing == set()


@pytest.mark.parametrize("kind", KINDS)
def test_every_commented_line_of_a_template_is_right_when_its_mark_is_taken_away(kind: str) -> None:
    """Each optional line by itself; those that want company are told so by a fault that names the company."""
    lines = template(kind).splitlines()
    company = ("it is needed", "it speaks of something", "there is no such name", "a tank of shape", "goes back")
    table = ""
    for index, line in enumerate(lines):
        if line.startswith(("[", "# [")):
            table = line.removeprefix("# ")
        if not OPTIONAL.match(line) or table != line_table(lines, index):
            continue
        text = "\n".join([*lines[:index], line.removeprefix("# "), *lines[index + 1 :]])
        for fault in check(text):
            assert any(word in fault.right for word in company), (line, fault.say())


def line_table(lines: list[str], index: int) -> str:
    """Return the header that a line stands under, when that header itself is live."""
    for line in reversed(lines[:index]):
        if line.startswith("# ["):
            return "of a table that is not live"
        if line.startswith("["):
            return line
    return ""


# the schema


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("name", TEXTS)
def test_the_schema_takes_every_sound_sheet(name: str) -> None:
    assert [error.message for error in VALIDATOR.iter_errors(tomllib.loads(TEXTS[name]))] == []


BROKEN = [
    ('material = "steel"', 'material = "wood"'),
    ('material = "steel"', "material = 5"),
    ('material = "steel"', 'material = "steel"\nbetwen_marks_l = 8'),
    ('material = "steel"', 'material = "steel"\nbetween_marks_l = 0'),
    ('material = "steel"', 'material = "steel"\nbetween_marks_gal = 5000'),
    ('material = "steel"', 'material = "steel"\norigin = "hearsay"'),
    ("rod_mm = 50\n", ""),
    ("rod_mm = 50", "rod_kg = 50"),
    ("rod_mm = 50", "rod_mm = 50\nrod_in = 2"),
    ("rod_mm = 50", "rod_in = 50"),
    ("rod_mm = 50", "rod_mm = true"),
    ("sprung = true", 'sprung = "yes"'),
    ('maker = "FILL IN"', 'maker = "  "'),
    ('maker = "FILL IN"', f'maker = "{"x" * 61}"'),
    ("{ boom = 0.35, arm = 0 }", "{ boom = 35, arm = 0 }"),
    ("minutes = 5", 'minutes = "five"'),
    ('key = "park"', 'key = "Park it"'),
    ('families = ["HM", "HV"]', 'families = ["HM", "HX"]'),
    ('families = ["HM", "HV"]', 'families = "HM"'),
    ('families = ["HM", "HV"]', 'families = ["HM", "HM"]'),
    ("[hydraulic.postures.other]", "[hydraulic.postures.Other]"),
    ('\norigin = "manual"\n', "\n"),
    ('kind = "seal"\nnumber = "" ', 'kind = "seal"\nnumber = ""\nfeatures = { length = 5 } '),
    ("interval_h = 500 ", "interval_h = 500\ninterval_months = 1.5 "),
]


@pytest.mark.parametrize(("old", "new"), BROKEN)
def test_what_the_schema_refuses_the_reader_refuses_and_the_other_way_round(old: str, new: str) -> None:
    text = template().replace(old, new, 1)
    assert text != template()
    assert list(VALIDATOR.iter_errors(tomllib.loads(text))) != []
    assert check(text) != ()


def test_the_schema_and_the_reader_agree_when_any_single_key_of_a_real_sheet_is_dropped() -> None:
    """The schema must refuse what the reader calls needed."""
    whole = tomllib.loads(TEXTS["excavator_5t"])
    for at, key in needed_keys(whole):
        broken = copy.deepcopy(whole)
        del inside(broken, at)[key]
        assert list(VALIDATOR.iter_errors(broken)) != [], (at, key)


def inside(value: Any, at: tuple[str | int, ...]) -> Any:
    for part in at:
        value = value[part]
    return value


def needed_keys(whole: dict[str, Any]) -> list[tuple[tuple[str | int, ...], str]]:
    """Return one example of each needed key of the field table in a parsed sheet."""
    found: list[tuple[tuple[str | int, ...], str]] = []

    def walk(spec: TableSpec, table: dict[str, Any], at: tuple[str | int, ...]) -> None:
        for field in spec.fields:
            if field.required:
                found.extend((at, key) for key in field.spellings() if key in table)
            if field.table is None or field.key not in table:
                continue
            inner = table[field.key]
            if field.type == "table":
                walk(field.table, inner, (*at, field.key))
            elif field.type == "named":
                name = next(iter(inner))
                walk(field.table, inner[name], (*at, field.key, name))
            else:
                walk(field.table, inner[0], (*at, field.key, 0))

    walk(ROOT, whole, ())
    assert len(found) > 50
    return found


# plain data


@pytest.mark.parametrize("name", TEXTS)
def test_a_sheet_comes_back_from_plain_data_as_it_went(name: str) -> None:
    sheet = read(TEXTS[name])
    assert from_plain(json.loads(json.dumps(to_plain(sheet)))) == sheet


@pytest.mark.parametrize(
    ("at", "value", "named"),
    [
        (("format",), 2, "format"),
        (("kind",), "boat", "sheet.kind"),
        (("mass_kg",), "heavy", "sheet.mass_kg"),
        (("mass_kg",), True, "sheet.mass_kg"),
        (("maker",), 5, "sheet.maker"),
        (("pumps",), {}, "sheet.pumps"),
        (("parts",), [], "sheet.parts"),
        (("hydraulic", "tank", "shape"), {"kind": "cone"}, "sheet.hydraulic.tank.shape.kind"),
        (("hydraulic", "tank", "shape"), 5, "sheet.hydraulic.tank.shape.kind"),
        (("hydraulic", "cylinders", 0, "count"), 1.5, "sheet.hydraulic.cylinders[0].count"),
        (("tasks", "hyd_500", "breaker", "table", 0), [0.1], "sheet.tasks.hyd_500.breaker.table[0]"),
        (("steps", "hyd_500", 0, "parts"), [["x", "y"]], "sheet.steps.hyd_500[0].parts[0][1]"),
    ],
)
def test_plain_data_of_another_form_are_refused_by_name(at: tuple[str | int, ...], value: object, named: str) -> None:
    plain = json.loads(json.dumps(to_plain(read(TEXTS["excavator_5t"]))))
    inside(plain, at[:-1])[at[-1]] = value
    with pytest.raises(Refused) as refusal:
        from_plain(plain)
    assert refusal.value.name == named


def test_plain_data_without_a_needed_field_are_refused_by_name() -> None:
    plain = to_plain(read(TEXTS["excavator_5t"]))
    del plain["hydraulic"]["tank"]["material"]
    with pytest.raises(Refused) as refusal:
        from_plain(plain)
    assert refusal.value.name == "sheet.hydraulic.tank.material"
