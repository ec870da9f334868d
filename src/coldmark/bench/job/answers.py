"""What the card asks while it is open, answered as plain data for JSON."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from coldmark.bench import card, level, words, working
from coldmark.bench.errors import CannotTell, Missing
from coldmark.bench.facts import Fact
from coldmark.bench.job.asking import level_ask, meter_ask
from coldmark.bench.job.balance import balance_of_job
from coldmark.bench.job.due import due_lines, due_says
from coldmark.bench.job.material import Material, build_card
from coldmark.bench.job.meter import doubted
from coldmark.bench.job.standing import LevelAsk, level_of
from coldmark.bench.sheet import tank_of

__all__ = ["card_answer", "fact_to_plain", "finish_answer", "level_answer", "meter_answer"]

Plain = dict[str, Any]


def fact_to_plain(fact: Fact) -> Plain:
    """Return a fact as the phone lays it beside its own: at the moment that its recorder wrote."""
    return {
        "id": fact.id,
        "kind": fact.kind,
        "version": fact.version,
        "subject": {"type": fact.subject_type, "id": fact.subject},
        "job": fact.job,
        "at": json.loads(fact.text)["at"],
        "recorded": fact.recorded,
        "device": fact.device,
        "number": fact.number,
        "person": fact.person,
        "app": fact.app,
        "body": dict(fact.body),
    }


def card_answer(material: Material) -> Plain:
    """Return a job's card, the facts that hold, what is known of the meter, and how far clocks were off.

    The phone lays the facts beside its own, and puts all in the order of the fold by the clock errors.
    """
    points, clock_errors = material.state.meter.points, material.state.clock_errors
    last = points[-1] if points else None
    meter = None if last is None else {"shown_h": last.shown_h, "hours": last.hours, "at": last.at}
    return {
        "card": build_card(material),
        "facts": [fact_to_plain(fact) for fact in material.facts],
        "state": {"meter": meter},
        "clock_errors": {device: [list(one) for one in errors] for device, errors in clock_errors.items()},
    }


def level_answer(material: Material, told: Mapping[str, Any]) -> Plain:
    """Judge a level read on a job.

    The card asks to move the machine before it takes a reading in another posture; one that comes all the same is
    one that could not be moved, and is judged as such.
    """
    ask = level_ask(told)
    sheet = material.sheet
    if sheet is None:
        raise Missing(name="sheet", needed_for=words.sentence("card.the_level"))
    if ask.compartment is not None and ask.compartment != tank_of(sheet):
        raise CannotTell("card.level_elsewhere", compartment=ask.compartment)
    return _level_plain(material, ask)


def _level_plain(material: Material, ask: LevelAsk) -> Plain:
    assert material.sheet is not None
    answer = level_of(material.sheet, material.state, ask, material.oils, coldest_c=material.coldest_c)
    verdict, units = answer.verdict, material.units
    added = verdict.add_l
    return {
        "state": verdict.state,
        "says": level.says(verdict, units),
        "off": level.says_off(verdict, units),
        "move_first": verdict.move_first,
        "add_l": None if added is None else {"value": added.value, "low": added.low, "high": added.high},
        "shown": _shown(verdict, units),
        "cold_mark": None if verdict.cold_mark is None else verdict.cold_mark.mark.value,
        "hot": None if verdict.hot is None else verdict.hot.value,
        "glass": answer.glass,
        "working": working.lines(verdict.working, units),
    }


def _shown(verdict: level.LevelVerdict, units: words.UnitSystem) -> dict[str, str]:
    if verdict.add_l is None:
        return {}
    ends = {"add": verdict.add_l.value, "low": verdict.add_l.low, "high": verdict.add_l.high}
    return {name: words.quantity(abs(value), "l", units=units) for name, value in ends.items()}


def meter_answer(material: Material, told: Mapping[str, Any], at: str) -> Plain:
    """Say whether a meter's reading asks for a second look; ``at`` is the moment at which it was read."""
    found = doubted(material.state, meter_ask(told), at)
    return {"doubt": found.doubt, "says": found.says}


def finish_answer(material: Material, sealed: Sequence[tuple[str, str]]) -> Plain:
    """Return what finishing shows. ``sealed`` names all facts of the job, to be closed with: id and SHA-256 of each."""
    told = card.finish(build_card(material), material.facts)
    balance = balance_of_job(material.state, material.job, material.sheet, material.inside, material.oils)
    due = () if material.sheet is None else due_lines(material.sheet, material.state)
    return {
        "tasks": told["tasks"],
        "left_out": told["left_out"],
        "gates": told["gates"],
        "parts": told["parts"],
        "missing": told["missing"],
        "ready": told["ready"],
        "balance": {"says": balance.says(material.units)},
        "next_due": [{"task": one.task, "says": due_says(one, material.units)} for one in due],
        "facts": [list(pair) for pair in sealed],
    }
