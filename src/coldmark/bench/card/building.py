"""The whole card from a sheet, the job's tasks and the machine's state."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any, Final

from coldmark.bench.card.acts import acts_of
from coldmark.bench.card.cautions import MOST_STOPS, stops_of
from coldmark.bench.card.gates import Facts, body_of, kind_of
from coldmark.bench.card.lists import lists
from coldmark.bench.card.screens import Maker, caution_screen, finish_screen
from coldmark.bench.errors import Missing
from coldmark.bench.ledger.state import State
from coldmark.bench.sheet.model import Sheet
from coldmark.bench.sheet.tank import hydraulic_key
from coldmark.bench.words import UnitSystem, sentence

__all__ = ["MOST_STOPS", "VERSION", "build"]

VERSION: Final = 1


def _found(state: State, job: str) -> dict[str, float | str]:
    """Return the readings as found on this job, by compartment."""
    seen: dict[str, float | str] = {}
    for place, levels in state.levels.items():
        for level in levels:
            if level.job == job and level.moment == "found":
                seen[place] = level.reading
    return seen


def build(
    *,
    job: str,
    sheet: Sheet,
    tasks: Sequence[str],
    state: State,
    options: Collection[str] | None = None,
    jobs_facts: Facts = (),
    units: UnitSystem = "metric",
    machine: Mapping[str, str] | None = None,
    oils: Sequence[Mapping[str, Any]] = (),
) -> dict[str, Any]:
    """Build the job card as plain data: what the phone draws, the gates judge and the papers print.

    Parameters
    ----------
    job : the job's id.
    sheet : the machine's data sheet.
    tasks : keys of the job's tasks; those that they include come along.
    state : the machine's state; its level as found is where the glass as left starts.
    options : keys of the options fitted; else those that the state says are.
    jobs_facts : the job's effective facts; a task that they say was opened with the job is added.
    units : the reader's units.
    machine : ``id``, ``name``, ``serial``, ``site`` and ``customer`` as far as known.
    oils : ``key`` and ``name`` of the oils kept, and where each ``goes``: by compartment and way the answer, the reason
        that weighs most, and the rank.

    Returns
    -------
    dict
        JSON-ready; ``contract/golden/card.json`` is a whole one.

    Valid for
    ---------
    Any sheet that reads. A missing value switches off what needs it: no torque on the sheet, no figure on the card.

    Raises
    ------
    NotAChoice
        For a task that the sheet does not have.
    Missing
        When there is no task.

    Source
    ------
    The data sheet; order of work and gates: common practice, no source.

    Examples
    --------
    >>> build(job="j", sheet=None, tasks=[], state=State("m"))
    Traceback (most recent call last):
    ...
    coldmark.bench.errors.Missing: tasks is not known, and the job card needs it.
    """
    opened = [key for fact in jobs_facts if kind_of(fact) == "job_opened" for key in body_of(fact)["tasks"]]
    wanted = list(dict.fromkeys([*tasks, *opened]))
    if not wanted:
        raise Missing(name="tasks", needed_for=sentence("card.the_card"))
    fitted = [key for key, on in state.options.items() if on] if options is None else options
    whole, acts = acts_of(sheet, wanted, fitted)
    stops = stops_of(sheet, acts)
    maker = Maker(sheet, units, acts, stops, _found(state, job))
    screens = [caution_screen(stop, whole[0]) for stop in stops]
    screens += [maker.screen(act) for act in acts]
    screens.append(finish_screen(whole[0]))
    known = {"id": state.machine, "name": "", "serial": "", "site": "", "customer": ""} | dict(machine or {})
    return {
        "version": VERSION,
        "job": job,
        "units": units,
        "machine": known | {"maker": sheet.maker, "model": sheet.model, "kind": sheet.kind},
        "sheet": sheet.sha256,
        "hydraulic": hydraulic_key(sheet),
        "tasks": [{"key": key, "name": sheet.tasks[key].name} for key in whole],
        "screens": screens,
        **lists(sheet, units=units, oils=oils),
    }
