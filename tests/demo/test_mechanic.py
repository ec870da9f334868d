"""The invented mechanic leaves behind what a card asks for: all of it, or what was said to be otherwise."""

from __future__ import annotations

import random
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import pytest

from coldmark.bench import card as cards
from coldmark.bench.facts import Fact, parse, text_hash
from coldmark.bench.ledger import State, fold
from coldmark.bench.sheet import Sheet
from coldmark.demo.mechanic import NOTHING_ODD, Finding, Odd, Pour, Screen, quantity, work
from coldmark.demo.pen import Kept, Pen
from tests.demo.valley import ZONE, oils, sheets

MACHINE, JOB = str(uuid.UUID(int=1)), str(uuid.UUID(int=2))
BEGINS = datetime(2026, 3, 2, 8, 0, tzinfo=ZONE)
EVERY_TASK = [(name, task) for name, sheet in sheets().items() for task in sheet.tasks]


@dataclass
class PlainEyes:
    """A machine with nothing amiss: the level stands at ``reading``, and half a litre brings it up."""

    hours: float
    posture: str
    main_tank: str
    oil: str | None = None
    reading: float = 0.5
    poured: bool = False

    def meter(self, again: bool) -> str | None:
        """The hours, and a little more after the run."""
        return f"{self.hours + (0.3 if again else 0.0):.1f}"

    def level(self, screen: Screen) -> dict[str, Any]:
        """The check posture, settled, measured; a dipstick stands high."""
        reading = self.reading if screen["compartment"] == self.main_tank else 0.85
        return {
            "reading": f"{reading:.2f}",
            "oil": quantity(30, "c", 0),
            "air": quantity(12, "c", 0),
            "posture": self.posture,
            "engine": "stopped",
            "settled_min": 10,
            "foam": False,
        }

    def moved(self, screen: Screen) -> Sequence[Pour]:
        """What the sheet says comes out and goes in."""
        litres = screen["litres"] or {}
        if screen["kind"] == "add" and litres.get("in"):
            if screen["phase"] == "run" and self.poured:
                return []
            self.poured = screen["phase"] == "run" or self.poured
            return [Pour("top_up", litres["in"], self.oil)]
        if screen["kind"] == "do" and screen["compartment"]:
            ways = (("drained", litres.get("out")), ("fill", litres.get("in")))
            return [Pour(way, amount) for way, amount in ways if amount]
        return []

    def bottle(self) -> str:
        """A bottle's mark."""
        return "P-1"


def a_pen() -> Pen:
    return Pen(str(uuid.UUID(int=3)), str(uuid.UUID(int=4)), random.Random(7), Kept())


def a_card(sheet: Sheet, tasks: Sequence[str]) -> dict[str, Any]:
    return cards.build(
        job=JOB, sheet=sheet, tasks=tasks, state=State(MACHINE), options=("breaker",), machine={"id": MACHINE}
    )


def worked(sheet: Sheet, tasks: Sequence[str], odd: Odd = NOTHING_ODD) -> tuple[dict[str, Any], list[Fact], Pen]:
    card, pen = a_card(sheet, tasks), a_pen()
    eyes = PlainEyes(512.0, sheet.hydraulic.check_posture, "hydraulic", "varnol_hm46")
    return card, work(card, pen, begins=BEGINS, eyes=eyes, tasks=tasks, odd=odd), pen


@pytest.mark.parametrize(("name", "task"), EVERY_TASK)
def test_nothing_is_missing_when_every_screen_was_done(name: str, task: str) -> None:
    card, facts, _pen = worked(sheets()[name], [task])
    assert cards.missing(card, facts) == []
    assert all(standing.done for standing in cards.completion(card, facts))
    assert {fact.body["task"] for fact in facts if fact.kind == "task_done"} == {one["key"] for one in card["tasks"]}


@pytest.mark.parametrize("name", list(sheets()))
def test_no_gate_is_shut_at_the_moment_its_screen_is_done(name: str) -> None:
    sheet = sheets()[name]
    engine = next(task for task in sheet.tasks if task.startswith("engine"))
    card, facts, _pen = worked(sheet, [engine, "hyd_2000"])
    for screen in card["screens"]:
        done = [place for place, fact in enumerate(facts) if fact.body.get("step") == screen["step"]]
        if screen["kind"] in {"do", "close"}:
            before = facts[: done[0]]
            assert all(cards.evaluate(gate["needs"], before).met for gate in screen["gates"]), screen["key"]


def test_the_facts_are_those_of_a_phone() -> None:
    _card, facts, _pen = worked(sheets()["excavator_5t"], ["hyd_500"])
    assert [parse(fact.text) for fact in facts] == facts
    assert [fact.number for fact in facts] == list(range(1, len(facts) + 1))
    assert [fact.at_ms for fact in facts] == sorted(fact.at_ms for fact in facts)
    assert {fact.job for fact in facts} == {JOB}


def test_the_closing_fact_names_every_other_with_its_hash() -> None:
    _card, facts, _pen = worked(sheets()["track_loader"], ["hyd_500"])
    closed = facts[-1]
    assert closed.kind == "job_closed"
    assert closed.body["facts"] == sorted([fact.id, text_hash(fact.text)] for fact in facts[:-1])


def test_the_task_is_done_after_the_fold() -> None:
    sheet = sheets()["excavator_5t"]
    pen = a_pen()
    card = a_card(sheet, ["hyd_500"])
    given = [pen.write("sheet_assigned", MACHINE, BEGINS, {"sheet": sheet.sha256})]
    given += work(card, pen, begins=BEGINS, eyes=PlainEyes(512.0, "arm_out", "hydraulic", "varnol_hm46"))
    state = fold(given, machine=MACHINE, sheets={sheet.sha256: sheet}, oils=oils())
    assert state.flags == []
    assert state.tasks["hyd_500"].hours == pytest.approx(512.3)


def test_what_was_left_out_holds_its_task_back_with_its_reason() -> None:
    odd = Odd(left_out={".pilot_in": ("part_not_here", "The ring was the wrong one.")})
    card, facts, pen = worked(sheets()["excavator_5t"], ["hyd_500"], odd)
    told = cards.finish(card, facts)
    assert [one["key"] for one in told["left_out"]] == ["hyd_500.pilot_in"]
    assert [one["done"] for one in told["tasks"]] == [False]
    assert not any(fact.kind == "task_done" for fact in facts)
    assert _said(pen, told["left_out"][0]["note"]) == "The ring was the wrong one."


def test_a_gate_is_opened_with_a_reason_when_a_seal_was_missing() -> None:
    odd = Odd(
        states={"return.element_ring": "missing"}, gates={".close.old_seals": ("part_was_missing", "Looked for it.")}
    )
    card, facts, _pen = worked(sheets()["excavator_5t"], ["hyd_500"], odd)
    told = cards.finish(card, facts)
    assert [(gate["key"], gate["reason"]) for gate in told["gates"]] == [
        ("hyd_500.close.old_seals", "part_was_missing")
    ]
    assert told["gates"][0]["lacking"] == ["old:return.element_ring"]


def test_a_finding_is_made_where_it_was_seen() -> None:
    seen = Finding("leak", "hydraulic", "plan_for_it", "It drips.", "leaks", cost=(10, 20))
    never_met = Finding("rust", "machine", "keep_watching", "A spot.", "no such screen")
    card, facts, pen = worked(sheets()["excavator_5t"], ["hyd_500"], Odd(findings=(seen, never_met)))
    kinds = [(fact.kind, fact.body.get("step") or fact.body.get("what")) for fact in facts]
    assert kinds[kinds.index(("finding", "leak")) - 1] == ("step_done", "hyd_500.leaks")
    assert ("finding", "rust") in kinds
    assert _said(pen, next(fact for fact in facts if fact.kind == "finding").body["advice"]) == "It drips."
    assert card["screens"][-1]["kind"] == "finish"


def test_a_job_that_was_left_stays_open_with_its_parts_out() -> None:
    card, facts, _pen = worked(sheets()["excavator_5t"], ["hyd_500"], Odd(stop_before="hyd_500.tray_in"))
    assert not any(fact.kind == "job_closed" for fact in facts)
    lacking = [one["key"] for one in cards.missing(card, facts)]
    assert "return.spring" in lacking
    assert cards.progress(card, facts).current == "hyd_500.tray_in"


def _said(pen: Pen, sha256: Any) -> str:
    kept: Mapping[str, tuple[str, bytes]] = pen.kept.by_hash
    return kept[sha256][1].decode()
