"""Write the golden cases of which facts hold, and in which order, anew: ``python -m tests.bench.write_holding``."""

from __future__ import annotations

import json
from pathlib import Path
from random import Random
from typing import Any

from coldmark.bench.facts import Fact, make
from coldmark.bench.ledger import resolve

GOLDEN_HOLDING = Path(__file__).resolve().parents[2] / "contract" / "golden" / "holding.json"

_START_MS = 1_772_431_200_000
_MACHINE, _PERSON = "019ccf2c-4a20-7000-8000-0000000000aa", "019ccf2c-4a20-7000-8000-0000000000cc"
_JOB = "019ccf2c-4a20-4000-8000-0000000000dd"
_DEVICES = ("019ccf2c-4a20-7000-8000-0000000000b1", "019ccf2c-4a20-7000-8000-0000000000b2")
_CASES, _MOST = 40, 8


def _moment(ms: int) -> str:
    seconds, rest = divmod(_START_MS + ms, 1000)
    days, seconds = divmod(seconds - 1_772_409_600, 86_400)  # 2026-03-02
    return f"2026-03-{2 + days:02d}T{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}.{rest:03d}+00:00"


def _correction(chance: Random, of: Fact) -> dict[str, Any]:
    """Withdraw a fact or replace its body; that of a correction by another one of the same fact."""
    body: dict[str, Any] = {"of": of.id, "action": "withdraw", "reason": "undo"}
    if chance.random() < 0.5:
        return body
    into: dict[str, Any] = {"step": f"hyd_500.step_{chance.randint(1, 99)}"}
    if of.kind == "correction":
        into = {"of": of.body["of"], "action": "withdraw", "reason": "undo"}
        if chance.random() < 0.6:
            into |= {"action": "replace", "body": {"step": f"hyd_500.step_{chance.randint(1, 99)}"}}
    return body | {"action": "replace", "body": into}


def _facts(chance: Random) -> list[Fact]:
    made: list[Fact] = []
    for number in range(1, chance.randint(2, _MOST) + 1):
        recorded = chance.randint(0, 3_600_000)
        # Some moments are set by hand: an hour before.
        at = recorded - 3_600_000 if chance.random() < 0.2 else recorded
        of = chance.choice(made) if made and chance.random() < 0.5 else None
        made.append(
            make(
                id=f"019ccf2c-4a20-7000-8000-{chance.getrandbits(48):012x}",
                kind="step_done" if of is None else "correction",
                subject=_MACHINE,
                job=_JOB,
                at=_moment(at),
                recorded=_moment(recorded),
                device=chance.choice(_DEVICES),
                number=number,
                person=_PERSON,
                app="0.1.0",
                body={"step": f"hyd_500.step_{number}"} if of is None else _correction(chance, of),
            )
        )
    chance.shuffle(made)
    return made


def _errors(chance: Random) -> dict[str, list[tuple[int, int]]]:
    """Up to three measurements of each clock, in the order in which they were made."""
    return {
        device: sorted(
            (_START_MS + chance.randint(0, 3_600_000), chance.choice((0, 90, -90, 1800, -1800)))
            for _ in range(chance.randint(1, 3))
        )
        for device in _DEVICES
        if chance.random() < 0.7
    }


def cases() -> list[dict[str, Any]]:
    """Return facts in disorder with clock errors, and what holds of them as the bench has it."""
    told = []
    for number in range(_CASES):
        chance = Random(f"what holds, {number}")
        facts, errors = _facts(chance), _errors(chance) if number % 2 else {}
        holds = [fact for fact in resolve(facts, errors).facts if fact.kind != "correction"]
        told.append(
            {
                "texts": [fact.text for fact in facts],
                "clock_errors": errors,
                "holds": [[fact.id, dict(fact.body)] for fact in holds],
            }
        )
    return told


if __name__ == "__main__":
    GOLDEN_HOLDING.write_text("[\n" + ",\n".join(map(json.dumps, cases())) + "\n]\n", encoding="utf-8")
