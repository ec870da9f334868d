"""The same checks in the Python that phones are given, and the same answers there as here.

It runs under Node; tests/browser has the same in a browser.
"""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from coldmark.bench import desk
from coldmark.bench.catalogue import ENTRIES
from tests.bench.sum_examples import example_of
from tests.published.asking import ROWS, check, key_of, told_of
from tests.support.phone_bench import ask_under_node

pytestmark = pytest.mark.slow

PUBLISHED = [{"do": "sum", "key": key_of(row), "told": told_of(row)} for row in ROWS]
EXAMPLES = [
    {"do": do, "key": key, "told": example_of(entry), "units": units}
    for key, entry in ENTRIES.items()
    for do in ("describe", "sum")
    for units in ("metric", "us")
]
OTHERS: list[dict[str, Any]] = [
    {"do": "list"},
    {"do": "fly"},
    {"do": "sum", "key": "oil_density", "told": {"density15_kg_m3": "870", "t_c": "999"}, "units": "us"},
    {"do": "code", "facts": [["0192f0c8-0000-7000-8000-000000000001", "0" * 64]]},
]


@pytest.fixture(scope="module")
def answers() -> list[dict[str, Any]]:
    return ask_under_node([*PUBLISHED, *EXAMPLES, *OTHERS])


def alike(here: object, there: object) -> bool:
    """Equal, but for the last bits of numbers: another C library rounds a logarithm otherwise."""
    if isinstance(here, dict) and isinstance(there, dict):
        return here.keys() == there.keys() and all(alike(here[key], there[key]) for key in here)
    if isinstance(here, list) and isinstance(there, list):
        return len(here) == len(there) and all(map(alike, here, there))
    if isinstance(here, float) and isinstance(there, float):
        return math.isclose(here, there, rel_tol=1e-12, abs_tol=1e-12)
    return type(here) is type(there) and here == there


@pytest.mark.parametrize("number", range(len(ROWS)), ids=[str(row) for row in ROWS])
def test_a_phone_gives_what_was_printed(number: int, answers: list[dict[str, Any]]) -> None:
    row, answer = ROWS[number], answers[number]
    assert "ok" in answer, answer
    check(row, answer["ok"]["fields"][row.asked.split(".")[1]]["value"])


def test_a_phone_describes_and_works_out_every_calculation_as_the_server_does(answers: list[dict[str, Any]]) -> None:
    asked = [*EXAMPLES, *OTHERS]
    there = answers[len(PUBLISHED) :]
    here = [json.loads(desk.answer(json.dumps(question))) for question in asked]
    others = [[one["do"], one.get("key")] for one, a, b in zip(asked, here, there, strict=True) if not alike(a, b)]
    assert others == []
    assert sum("ok" in answer for answer in here) == len(EXAMPLES) + 2
