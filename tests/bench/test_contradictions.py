"""What cannot be is said in the reader's own units, whoever refuses it: no metric unit reaches a reader of US ones."""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Iterator, Mapping
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

from coldmark.bench import catalogue, hose, joint, level, litres, oil, seal
from coldmark.bench import filter as filters
from coldmark.bench.catalogue import ENTRIES, Entry, Input
from coldmark.bench.errors import ColdmarkError, Contradiction, Refused, RowRefused
from coldmark.bench.job.held import held_from_plain
from coldmark.bench.ledger import CODE_VERSION
from coldmark.bench.ledger.state import Pour
from coldmark.bench.unit_table import UNITS, of_name, shown_unit
from coldmark.bench.wear import tank
from coldmark.bench.words.en import MESSAGES
from tests.bench.card_cases import ROOT
from tests.bench.level_machines import excavator
from tests.bench.sum_examples import example_of

SOURCE = ROOT / "src" / "coldmark"
FIELD = re.compile(r"\{([a-z0-9_]+)(?:\|([a-z0-9_]+))?(?::\w+)?\}")
OWN = {"name", "value", "why", "unit_of"}
"""What a contradiction itself takes; all else that it is given are values of its sentence."""

# Microns, counts, grams of dirt and turns a minute are the same to every reader: only what differs must not be shown.
_FOREIGN = {unit.symbol for unit in UNITS.values() if unit.symbol} - {
    shown_unit(unit.ending, "us").symbol for unit in UNITS.values()
}
_METRIC = re.compile(rf"(?<![\w/])(?:{'|'.join(sorted(map(re.escape, _FOREIGN), key=len, reverse=True))})(?![\w/²³·])")


def _metric_in(said: str) -> list[str]:
    return _METRIC.findall(said.replace(" per mL", ""))  # a count is per mL to every reader, as ISO 4406 has it


@pytest.mark.parametrize("said", ["30 mm", "12.5 L", "60 °C", "0.5 bar", "25 N·m", "46 mm²/s", "40 L/min", "850 kg/m³"])
def test_the_search_for_metric_units_finds_them(said: str) -> None:
    assert _metric_in(f"upper = {said} cannot be: it must be above that.") == [said.split(" ")[1]]
    assert not _metric_in("at 6 µm there are 1900 per mL, 0.5 in, 12 gal/min, 140 °F, 7 psi, 18 lbf·ft, 46 cSt, 10 h.")


def _pour(way: str, litres_l: float) -> Pour:
    return Pour("2026-03-02T08:15:00+01:00", "f", way, litres_l, None, 20.0, None, None)


CASES: list[tuple[str, Callable[[], object], str, str]] = [
    (
        "marks the wrong way round",
        lambda: level.Gauge("glass", lower_mm=254, upper_mm=127),
        "upper = 127 mm cannot be: it must be above the lower mark, 254 mm.",
        "upper = 5 in cannot be: it must be above the lower mark, 10 in.",
    ),
    (
        "marks that hold from warm to cool",
        lambda: level.Gauge("glass", hold_from_c=60, hold_to_c=45),
        "hold to = 45 °C cannot be: it must not be colder than the marks begin to hold, 60 °C.",
        "hold to = 113 °F cannot be: it must not be colder than the marks begin to hold, 140 °F.",
    ),
    (
        "a table that falls",
        lambda: level.Table(((0, 0), (254, 10), (127, 20))),
        "Row 3: height = 127 mm cannot be: it must rise from the row before, 254 mm.",
        "Row 3: height = 5 in cannot be: it must rise from the row before, 10 in.",
    ),
    (
        "a table whose litres stand still",
        lambda: level.Table(((0, 0), (254, 7.570823568), (300, 7.570823568))),
        "Row 3: volume = 7.570823568 L cannot be: it must rise from the row before, 7.570823568 L.",
        "Row 3: volume = 2 gal cannot be: it must rise from the row before, 2 gal.",
    ),
    (
        "a rod thicker than its bore",
        lambda: level.Cylinder("arm", "double", 50.8, 63.5, 300),
        "rod = 63.5 mm cannot be: the rod must be thinner than the bore, 50.8 mm.",
        "rod = 2.5 in cannot be: the rod must be thinner than the bore, 2 in.",
    ),
    (
        "an accumulator below its charge",
        lambda: level.Accumulator("pilot", 1.0, 30, 20),
        "working = 20 bar cannot be: below the gas charge, 30 bar, an accumulator takes no oil.",
        "working = 290.075 psi cannot be: below the gas charge, 435.113 psi, an accumulator takes no oil.",
    ),
    (
        "marks that the tank's shape denies",
        lambda: level.scale_of(
            level.Tank("steel", between_marks_l=40, shape=level.Upright(500, 400)),
            level.Gauge("glass", lower_mm=150, upper_mm=200),
        ),
        "between marks = 40 L cannot be: by the tank's shape it is about 10.0 L.",
        "between marks = 10.5669 gal cannot be: by the tank's shape it is about 2.64 gal.",
    ),
    (
        "litres between marks outside of their own range",
        lambda: level.Tank("steel", between_marks_l=9, between_low_l=3.785411784, between_high_l=7.570823568),
        "between marks = 9 L cannot be: it must lie between 3.785411784 and 7.570823568 L.",
        "between marks = 2.37755 gal cannot be: it must lie between 1 and 2 gal.",
    ),
    (
        "colder at the start than hot",
        lambda: level.read(excavator(hot_c=10), 0.5, 5, "check", coldest_c=30),
        "coldest = 30 °C cannot be: it must not be warmer than the oil gets hot, 10 °C.",
        "coldest = 86 °F cannot be: it must not be warmer than the oil gets hot, 50 °F.",
    ),
    (
        "a pour that moved nothing",
        lambda: level.learn([level.LevelPour(before=0.3, litres_l=3.785411784, after=0.2, oil_c=20.0)]),
        "after = 20% cannot be: 3.785411784 L must move the reading the same way.",
        "after = 20% cannot be: 1 gal must move the reading the same way.",
    ),
    (
        "a groove given twice",
        lambda: seal.Groove(2.54, 5.08, inner_mm=50.8, outer_mm=76.2).wall_mm("face_inside"),
        "outer = 76.2 mm cannot be: less 50.8 mm inside it has to be about 10.16 mm, twice the width of the groove.",
        "outer = 3 in cannot be: less 2 in inside it has to be about 0.4 in, twice the width of the groove.",
    ),
    (
        "a ring colder hot than cold",
        lambda: seal.stands("NBR", "HM", 100, 90),
        "coldest = 100 °C cannot be: it must not be warmer than the hottest, 90 °C.",
        "coldest = 212 °F cannot be: it must not be warmer than the hottest, 194 °F.",
    ),
    (
        "two pitches of one hose",
        lambda: hose.identify(18.95, "male", pitch_mm=1.5875, tpi=28),
        "tpi = 28 cannot be: the pitch told makes it 16.0.",
        "tpi = 28 cannot be: the pitch told makes it 16.0.",
    ),
    (
        "two pitches of one bolt",
        lambda: joint.candidates(13, pitch_mm=1.27, tpi=28),
        "tpi = 28 cannot be: the pitch told makes it 20.0.",
        "tpi = 28 cannot be: the pitch told makes it 20.0.",
    ),
    (
        "torques of a sheet that fall",
        lambda: catalogue.run(
            "how_tight", example_of(ENTRIES["how_tight"]) | {"sheet_low_nm": 40, "sheet_torque_nm": 25}
        ),
        "sheet torque = 25 N·m cannot be: the sheet's torques rise, and 40 N·m comes before it.",
        "sheet torque = 18.4391 lbf·ft cannot be: the sheet's torques rise, and 29.5025 lbf·ft comes before it.",
    ),
    (
        "a bypass that is open before it cracks",
        lambda: filters.Bypass(2.0, 1.5, 100),
        "full open = 1.5 bar cannot be: a valve that cracks at 2 bar is fully open at more.",
        "full open = 21.7557 psi cannot be: a valve that cracks at 29.0075 psi is fully open at more.",
    ),
    (
        "a full element that drops less",
        lambda: filters.Stage("return", 0.3, 0.1, 100, terminal_bar=0.2),
        "terminal = 0.2 bar cannot be: a full element drops more than a clean one, 0.3 bar.",
        "terminal = 2.90075 psi cannot be: a full element drops more than a clean one, 4.35113 psi.",
    ),
    (
        "more particles after the filter",
        lambda: filters.beta_by_counts(100, 400),
        "after = 400 per mL cannot be: a filter gives back no more than it gets, 100 per mL.",
        "after = 400 per mL cannot be: a filter gives back no more than it gets, 100 per mL.",
    ),
    (
        "an oil thicker hot",
        lambda: oil.viscosity_index(5, 6),
        "kv40 = 5 mm²/s cannot be: an oil is thicker at 40 °C than at 100 °C.",
        "kv40 = 5 cSt cannot be: an oil is thicker at 104 °F than at 212 °F.",
    ),
    (
        "an oil's curve that rises",
        lambda: oil.curve_through(40, 32, 100, 54),
        "kv2 = 54 mm²/s cannot be: an oil of 32 mm²/s at 40 °C is thinner at 100 °C.",
        "kv2 = 54 cSt cannot be: an oil of 32 cSt at 104 °F is thinner at 212 °F.",
    ),
    (
        "an index that two viscosities deny",
        lambda: oil.Oil("VG 46", 46, kv100_mm2_s=6.8, viscosity_index=150),
        "viscosity index = 150 cannot be: 46 and 6.8 mm²/s give 102.",
        "viscosity index = 150 cannot be: 46 and 6.8 cSt give 102.",
    ),
    (
        "oil filled out of the machine",
        lambda: litres.balance([_pour("fill", -3.785411784)], oil.Oil("VG 46", 46, viscosity_index=100)),
        "litres = -3.785411784 L cannot be: it goes into the machine (filled), and counts above zero.",
        "litres = -1 gal cannot be: it goes into the machine (filled), and counts above zero.",
    ),
]


def _refusal(act: Callable[[], object]) -> Refused:
    with pytest.raises(Refused) as caught:
        act()
    return caught.value


@pytest.mark.parametrize(("act", "metric", "us"), [one[1:] for one in CASES], ids=[one[0] for one in CASES])
def test_what_cannot_be_is_said_in_either_system(act: Callable[[], object], metric: str, us: str) -> None:
    refused = _refusal(act)
    assert str(refused) == refused.say("metric") == metric
    assert refused.say("us") == us
    assert not _metric_in(us)


# Everything that the catalogue can be brought to refuse by numbers that its own inputs allow.


def _numbers(entry: Entry) -> list[tuple[Input, float, float]]:
    found = []
    for one in entry.inputs:
        if one.kind in {"number", "whole", "reading"}:
            assert one.low is not None
            assert one.high is not None
            found.append((one, one.low, one.high))
    return found


def _pushed(entry: Entry) -> Iterator[Mapping[str, float]]:
    """One number at its limits or between them, then two of a kind at opposite ones."""
    numbers = _numbers(entry)
    for one, low, high in numbers:
        yield from ({one.name: value} for value in (low, (low + high) / 2, high))
    for (one, low, high), (other, least, most) in combinations(numbers, 2):
        unit, another = of_name(one.name), of_name(other.name)
        if unit is not None and another is not None and unit.kind == another.kind:
            yield {one.name: high, other.name: least}
            yield {one.name: low, other.name: most}


def _contradictions(entry: Entry) -> Iterator[tuple[Contradiction, ColdmarkError]]:
    example: dict[str, Any] = example_of(entry)
    for pushed in _pushed(entry):
        try:
            catalogue.run(entry.key, example | dict(pushed))
        except ColdmarkError as error:
            inner = error
            while isinstance(inner, RowRefused):
                inner = inner.inner
            if isinstance(inner, Contradiction):
                yield inner, error


def test_no_calculation_tells_a_reader_of_us_units_what_cannot_be_in_metric_ones() -> None:
    reached = set()
    for entry in ENTRIES.values():
        for inner, error in _contradictions(entry):
            reached.add(inner.why)
            assert not _metric_in(error.say("us")), f"{entry.key}: {error.say('us')}"
    assert len(reached) >= 20, "the walk has to reach what it is there for"


def test_a_refusal_keeps_its_reason_and_its_unit_under_a_forms_name() -> None:
    refused = Contradiction(name="rod_mm", value=63.5, why="level.cannot.rod", bore_mm=50.8)
    assert refused.under("part").say("us") == "part = 2.5 in cannot be: the rod must be thinner than the bore, 2 in."
    assert refused.under("part_l", 3.785411784).say("us").startswith("part = 1 gal cannot be")
    assert refused.under("part", "thick").say().startswith("part = thick cannot be")
    filled = Contradiction(name="top_ups", value=3.785411784, unit_of="litres_l", why="wear.why.too_much")
    assert filled.say("us").startswith("top ups = 1 gal cannot be")
    assert filled.under("cans").say("us").startswith("cans = 1 gal cannot be")


# Where it stands in the code.


def _calls() -> Iterator[tuple[str, ast.Call, ast.FunctionDef]]:
    for file in sorted(SOURCE.rglob("*.py")):
        text = file.read_text(encoding="utf-8")
        if "Contradiction(" not in text or file.name == "errors.py":
            continue
        for function in ast.walk(ast.parse(text)):
            if isinstance(function, ast.FunctionDef):
                for call in ast.walk(function):
                    if isinstance(call, ast.Call) and getattr(call.func, "id", "") == "Contradiction":
                        yield f"{Path(file).relative_to(SOURCE)}:{call.lineno}", call, function


def _ids(told: ast.expr, function: ast.FunctionDef) -> list[str]:
    """The message ids that an expression may be: written out, one of two, or a name that was given such before."""
    if isinstance(told, ast.Constant):
        return [str(told.value)]
    if isinstance(told, ast.IfExp):
        return _ids(told.body, function) + _ids(told.orelse, function)
    found: list[str] = []
    if isinstance(told, ast.Name):
        for one in ast.walk(function):
            if isinstance(one, ast.Assign):
                found += _assigned(told.id, one.targets[0], one.value, function)
    return found


def _assigned(name: str, target: ast.expr, value: ast.expr, function: ast.FunctionDef) -> list[str]:
    if isinstance(target, ast.Name) and target.id == name:
        return _ids(value, function)
    if isinstance(target, ast.Tuple) and isinstance(value, ast.Tuple):
        pairs = zip(target.elts, value.elts, strict=True)
        return [id for part, own in pairs for id in _assigned(name, part, own, function)]
    return []


def test_every_contradiction_names_a_sentence_that_is_written_and_gives_it_its_values() -> None:
    named: set[str] = set()
    for place, call, function in _calls():
        given = {one.arg: one.value for one in call.keywords if one.arg is not None}
        assert len(given) == len(call.keywords), f"{place} hides its values in a mapping"
        ids = _ids(given["why"], function)
        assert ids, f"{place} makes its sentence up"
        for message in ids:
            assert message in MESSAGES, f"{place}: {message}"
        named |= set(ids)
        if len(ids) == 1:
            fields = {field for found in FIELD.finditer(MESSAGES[ids[0]]) for field in found.groups() if field}
            assert fields == set(given) - OWN, place
    assert len(named) > 70
    assert not {message for message in MESSAGES if ".cannot." in message} - named, "sentences that nothing says"


@pytest.mark.parametrize("message", sorted(message for message in MESSAGES if ".cannot." in message))
def test_no_sentence_of_what_cannot_be_has_a_metric_unit_or_a_stop_in_its_text(message: str) -> None:
    assert not _metric_in(MESSAGES[message])
    assert not MESSAGES[message].endswith((".", " "))


def test_what_is_too_much_for_a_tank_is_said_in_gallons() -> None:
    with pytest.raises(Contradiction) as caught:
        tank.course(tank.Tank(20.0, 0.87), 100.0, [(10.0, 37.85411784)])
    assert "10 gal" in caught.value.say("us")


def test_a_state_that_no_server_folded_is_refused_as_a_whole() -> None:
    part = {"line": {}, "state": {"nothing": 1}, "folded_by": CODE_VERSION}
    with pytest.raises(Refused, match="state is not the state of a machine") as caught:
        held_from_plain({"machine": part, "sheet": None, "oils": {}, "coldest_c": None})
    assert caught.value.name == "state"
