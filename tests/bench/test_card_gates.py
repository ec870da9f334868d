"""The gates' evaluator against the golden cases that the phone's evaluator is held to as well."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench.card import gates
from coldmark.bench.errors import NotAChoice

GOLDEN = sorted((Path(__file__).parents[2] / "contract" / "golden" / "gates").glob("*.json"))


@dataclass(frozen=True)
class Said:
    kind: str
    body: dict[str, Any]


def read(path: Path) -> dict[str, Any]:
    case: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return case


def test_there_are_golden_cases() -> None:
    assert len(GOLDEN) >= 12


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_it_says_what_the_golden_case_says(path: Path) -> None:
    case = read(path)
    assert gates.evaluate(case["condition"], case["facts"]) == gates.Verdict(case["met"], tuple(case["lacking"]))


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_it_takes_facts_as_objects_too(path: Path) -> None:
    case = read(path)
    facts = [Said(fact["kind"], fact["body"]) for fact in case["facts"]]
    assert gates.evaluate(case["condition"], facts).met is case["met"]


@pytest.mark.parametrize("condition", [{}, {"when": []}, {"all": [], "any": []}])
def test_a_condition_of_no_known_form_is_refused(condition: dict[str, Any]) -> None:
    with pytest.raises(NotAChoice, match="condition = "):
        gates.evaluate(condition, [])


PLACES = ("return.cover", "return.spring", "return.seal")
part_facts = st.lists(
    st.builds(
        lambda kind, place, count, state: {
            "kind": kind,
            "body": {"place": place, "count": count} | ({"state": state} if kind == "part_out" else {"fresh": True}),
        },
        st.sampled_from(["part_out", "part_in"]),
        st.sampled_from(PLACES),
        st.integers(0, 2),
        st.sampled_from(["as_expected", "missing", "stuck_and_left", "more"]),
    ),
    max_size=12,
)


@given(part_facts)
def test_a_whole_is_met_exactly_when_nothing_is_lacking(facts: list[dict[str, Any]]) -> None:
    whole = gates.all_of(*(gates.refitted(place, 1) for place in PLACES))
    verdict = gates.evaluate(whole, facts)
    assert verdict.met is (verdict.lacking == ())
    assert set(verdict.lacking) == {p for p in PLACES if not gates.evaluate(gates.refitted(p, 1), facts).met}


@given(part_facts)
def test_not_turns_the_verdict_round(facts: list[dict[str, Any]]) -> None:
    condition = gates.refitted("return.spring", 1)
    assert gates.evaluate({"not": condition}, facts).met is not gates.evaluate(condition, facts).met


@given(part_facts)
def test_facts_of_other_places_change_nothing(facts: list[dict[str, Any]]) -> None:
    condition = gates.refitted("return.spring", 1)
    own = [fact for fact in facts if fact["body"]["place"] == "return.spring"]
    assert gates.evaluate(condition, own) == gates.evaluate(condition, facts)


def test_a_gate_tells_the_latest_reason_it_was_opened_with() -> None:
    gate = {"key": "return_close.refitted", "needs": gates.refitted("return.spring", 1), "says": ""}
    opened = [
        {"kind": "gate_opened", "body": {"gate": "return_close.refitted", "reason": reason}}
        for reason in ("other", "part_damaged")
    ]
    assert gates.gate_reason(gate, []) is None
    assert gates.gate_reason(gate, opened) == "part_damaged"


_VALUES = st.sampled_from(["a", "b", 1, 0, True, False, None, ["a"]])
_BODIES = st.dictionaries(st.sampled_from(["place", "count", "fresh"]), _VALUES)
_ANY_FACTS = st.lists(st.fixed_dictionaries({"kind": st.sampled_from(["part_out", "part_in"]), "body": _BODIES}))


@given(
    _ANY_FACTS,
    st.sampled_from(["part_out", "part_in", "photo"]),
    st.dictionaries(st.sampled_from(["place", "count", "fresh"]), st.sampled_from(["a", 1, True, None, ["a", 1]])),
)
def test_looking_up_finds_what_walking_through_all_finds(
    facts: list[dict[str, Any]], kind: str, where: dict[str, Any]
) -> None:
    def same(found: object, wanted: object) -> bool:
        return type(found) is type(wanted) and found == wanted

    def holds(fact: dict[str, Any]) -> bool:
        return fact["kind"] == kind and all(
            any(same(fact["body"].get(field), one) for one in (wanted if isinstance(wanted, list) else [wanted]))
            for field, wanted in where.items()
        )

    walked = next((fact for fact in reversed(facts) if holds(fact)), None)
    assert gates.latest(gates.indexed(facts), kind, **where) is walked
