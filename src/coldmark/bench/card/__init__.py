"""The job card: built once from plain data, drawn by the phone, checked here and there by the same gates.

::

    build(job=…, sheet=…, tasks=…, state=…)  -> card        JSON-ready
    progress(card, facts)                    -> Progress    where it is
    missing(card, facts)                     -> list        what is not done, not back, not signed
    completion(card, facts)                  -> standings   which tasks are done
    finish(card, facts)                      -> dict        all that the last screen and the report tell
    title_of_added(sheet, key)               -> what a step is called that the card adds by itself
    torque_shown(value_nm, units)            -> a torque as a reader sees it
    gates.evaluate(condition, facts)         -> Verdict
"""

from __future__ import annotations

from coldmark.bench.card import gates
from coldmark.bench.card.acts import title_of_added
from coldmark.bench.card.building import MOST_STOPS, VERSION, build
from coldmark.bench.card.gates import Verdict, evaluate
from coldmark.bench.card.standing import (
    EXCUSING,
    Progress,
    ScreenStanding,
    TaskStanding,
    completion,
    finish,
    missing,
    progress,
)
from coldmark.bench.card.torque import torque_shown

__all__ = [
    "EXCUSING",
    "MOST_STOPS",
    "VERSION",
    "Progress",
    "ScreenStanding",
    "TaskStanding",
    "Verdict",
    "build",
    "completion",
    "evaluate",
    "finish",
    "gates",
    "missing",
    "progress",
    "title_of_added",
    "torque_shown",
]
