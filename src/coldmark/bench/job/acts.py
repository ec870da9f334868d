"""What a phone asks about the machine that it holds: the acts of :mod:`coldmark.bench.desk` that are about a job."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from coldmark.bench import words
from coldmark.bench.closing import closing
from coldmark.bench.errors import Contradiction, Missing, Refused
from coldmark.bench.job.answers import card_answer, finish_answer, level_answer, meter_answer
from coldmark.bench.job.glance import machine_answer
from coldmark.bench.job.held import Held, JobHeld, facts_told, held_from_plain, object_told, texts_told

__all__ = ["ACTS", "JobDesk"]

Asked = Mapping[str, Any]
Answer = tuple[object, str | None]
"""What is answered, and what has to be said with it, if anything."""

ACTS = ("open", "machine", "card", "level", "meter", "finish", "code")


class JobDesk:
    """Holds one machine, and answers what is asked about its jobs.

    ``open``    takes a machine up in the place of the one before: ``machine``, ``sheet``, ``oils``, ``coldest_c``
    ``machine`` the machine at a glance; in ``facts`` are the texts of all that was recorded of it since
    ``card``    the card of a ``job``; in ``facts`` are the texts of all that was recorded of the machine since, and in
                ``tasks`` those that are planned, for a job that is not opened yet
    ``level``   the same, and in ``asked`` the level as read
    ``meter``   the same, in ``asked`` the reading, and the moment ``at`` which it was read
    ``finish``  what finishing the job shows
    ``code``    the closing code of ``facts``, here id and SHA-256 of each as a job is closed with them
    """

    def __init__(self) -> None:
        self._held: Held | None = None

    def answer(self, do: str, asked: Asked, units: words.UnitSystem) -> Answer:
        """Answer one of :data:`ACTS`."""
        if do == "open":
            self._held = None  # rather none than the one before, where this one cannot be read
            self._held = held_from_plain(asked)
            return {"machine": self._held.state.machine, "facts": len(self._held.facts)}, None
        if do == "code":
            made = closing(_pairs(asked))
            return {"code": made.code, "sha256": made.sha256}, None
        if do == "machine":
            held = self._open(asked)
            state, note = held.with_facts(facts_told(asked))
            return machine_answer(state, held.sheet, units, held.oils, held.coldest_c), note
        found = self._job(asked, units)
        return _OF_A_JOB[do](found, asked), found.note

    def _open(self, asked: Asked) -> Held:
        machine = _text(asked, "machine")
        held = self._held
        if held is None or held.state.machine != machine:
            raise Refused("held.not_open", name="machine", value=machine[:60])
        return held

    def _job(self, asked: Asked, units: words.UnitSystem) -> JobHeld:
        return self._open(asked).job(_text(asked, "job"), texts_told(asked, "tasks"), facts_told(asked), units)


def _text(asked: Asked, name: str) -> str:
    value = asked.get(name)
    if not isinstance(value, str) or not value:
        raise Refused("refused.text", name=name, value=json.dumps(value)[:40])
    return value


def _pairs(asked: Asked) -> list[tuple[str, str]]:
    told = asked.get("facts")
    right = "desk.cannot.pairs"
    if not isinstance(told, list):
        raise Contradiction(name="facts", value=json.dumps(told)[:40], why=right)
    pairs: list[tuple[str, str]] = []
    for one in told:
        if not isinstance(one, list) or len(one) != 2 or not all(isinstance(part, str) for part in one):
            raise Contradiction(name="facts", value=json.dumps(one)[:40], why=right)
        pairs.append((one[0], one[1]))
    return pairs


def _meter(found: JobHeld, asked: Asked) -> object:
    if asked.get("at") is None:
        raise Missing(name="at", needed_for="meter")
    return meter_answer(found.material, object_told(asked, "asked"), _text(asked, "at"))


_OF_A_JOB: dict[str, Callable[[JobHeld, Asked], object]] = {
    "card": lambda found, _asked: card_answer(found.material),
    "level": lambda found, asked: level_answer(found.material, object_told(asked, "asked")),
    "meter": _meter,
    "finish": lambda found, _asked: finish_answer(found.material, found.sealed),
}
