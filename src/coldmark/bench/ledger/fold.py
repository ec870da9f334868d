"""The fold: from a machine's facts and its sheets to its state, the same on the phone and on the server."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from copy import deepcopy

from coldmark.bench.errors import ColdmarkError
from coldmark.bench.facts import KINDS, Fact
from coldmark.bench.ledger import fluids, health, hours, work
from coldmark.bench.ledger.effective import Effective, Key, key_of, resolve
from coldmark.bench.ledger.folding import MOST_FLAGS, Folding
from coldmark.bench.ledger.state import Flag, State
from coldmark.bench.oil import Oil
from coldmark.bench.sheet.model import Sheet

__all__ = ["CODE_VERSION", "HANDLERS", "WITHOUT_EFFECT", "RefoldNeeded", "fold"]

CODE_VERSION = 4
"""Raised whenever the fold of the same facts may give another state: stored states of a lower version are refolded."""


class RefoldNeeded(ColdmarkError):
    """A snapshot cannot be gone on from, because a fact reaches back behind it: fold all facts from the beginning."""


def fold(
    facts: Iterable[Fact],
    *,
    machine: str,
    sheets: Mapping[str, Sheet],
    oils: Mapping[str, Oil],
    start: State | None = None,
) -> State:
    """Fold a machine's facts into its state.

    Parameters
    ----------
    facts
        The machine's facts with those of records joined to it and the clock errors of the devices that recorded them,
        in any order, any of them twice. With ``start``: those that are not in it.
    machine
        The machine's id.
    sheets
        Data sheets by hash; the one in force is named by a fact.
    oils
        Oils by key; empty when none are known.
    start
        A state to go on from. It is not changed.

    Returns
    -------
    State
        Facts that do not fit are in its ``flags``: nothing is lost and nothing crashes.

    Valid for
        Facts as :func:`~coldmark.bench.facts.parse` gives them.

    Raises
    ------
    RefoldNeeded
        When ``start`` is given and a fact belongs before its end or changes one that is in it.

    Source
        Decisions 2 to 6 of the house. No clock, no place, no chance goes in.

    Examples
    --------
    >>> fold([], machine="m", sheets={}, oils={}).count
    0
    """
    state = State(machine) if start is None else deepcopy(start)
    if start is not None and start.machine != machine:
        raise RefoldNeeded("ledger.other_machine", machine=machine, started=start.machine)
    found = resolve(facts, state.clock_errors)
    own = _own(found, state)
    if start is not None:
        _require_onward(found, own, start)
    state.clock_errors, state.waiting = found.clock_errors, sorted({*state.waiting, *found.waiting})
    state.flags += found.flags
    del state.flags[:-MOST_FLAGS]
    folding = Folding(state, sheets, oils)
    for fact in own:
        _apply(folding, fact)
    return state


def _own(found: Effective, state: State) -> list[Fact]:
    """Return the facts about this machine and the records joined to it; facts about others are flagged."""
    joins = [fact for fact in found.facts if fact.kind == "machine_joined" and fact.known]
    mine = {state.machine, *state.joined}
    grown = True
    while grown:
        others = {fact.body["other"] for fact in joins if fact.subject in mine} - mine
        mine |= others
        grown = bool(others)
    own: list[Fact] = []
    for fact in found.facts:
        if fact.subject_type != "machine":
            continue
        if fact.subject in mine:
            own.append(fact)
        else:
            found.flags.append(Flag(fact.id, fact.at, "flag.other_machine", {"machine": fact.subject}))
    return own


def _require_onward(found: Effective, own: list[Fact], start: State) -> None:
    last: Key | None = None if start.last_key is None else tuple(start.last_key)  # type: ignore[assignment]
    reasons = (
        last is not None and bool(own) and key_of(own[0]) <= last,
        any(fact.kind == "machine_joined" for fact in own),
        bool(found.waiting),
        any(fact.id in start.waiting for fact in own) or any(id in start.waiting for id in found.withdrawn),
        _clocks_changed(found, start),
    )
    if any(reasons):
        raise RefoldNeeded("ledger.refold", machine=start.machine)


def _clocks_changed(found: Effective, start: State) -> bool:
    """Say whether a clock error measured since would move facts that are in the snapshot."""
    for device, errors in found.clock_errors.items():
        known = [tuple(error) for error in start.clock_errors.get(device, [])]
        taken = known[-1][1] if known else 0  # what facts after the last measurement were set right by
        fresh = [error for error in errors if error not in known]
        if any(error[1] != taken or (known and error < known[-1]) for error in fresh):
            return True
    return False


def _apply(folding: Folding, fact: Fact) -> None:
    state = folding.state
    state.count += 1
    state.last_key = key_of(fact)
    if not fact.known:
        unreadable = fact.kind in KINDS and fact.version <= KINDS[fact.kind].version
        says = "flag.unreadable" if unreadable else "flag.unknown_kind"
        folding.flag(fact, says, kind=fact.kind, version=str(fact.version))
        return
    handler = HANDLERS.get(fact.kind)
    if handler is None:
        return
    try:
        handler(folding, fact)
    except ColdmarkError as error:
        folding.flag(fact, "flag.not_folded", kind=fact.kind, why=error.say())


HANDLERS: dict[str, Callable[[Folding, Fact], None]] = {
    "sheet_assigned": work.sheet_assigned,
    "handed_over": hours.handed_over,
    "option_fitted": work.option_fitted,
    "owner_changed": work.owner_changed,
    "machine_joined": work.machine_joined,
    "meter_read": hours.meter_read,
    "meter_swapped": hours.meter_swapped,
    "meter_stopped": hours.meter_stopped,
    "breaker_hours_told": hours.breaker_hours_told,
    "job_opened": work.job_opened,
    "step_done": work.step_done,
    "step_skipped": work.step_skipped,
    "gate_opened": work.gate_opened,
    "part_out": work.part_out,
    "part_in": work.part_in,
    "part_refused": work.part_refused,
    "level_read": fluids.level_read,
    "oil_moved": fluids.oil_moved,
    "function_timed": health.function_timed,
    "task_done": hours.task_done,
    "finding": work.finding,
    "finding_settled": work.finding_settled,
    "sample_taken": fluids.sample_taken,
    "signature": work.signature,
    "job_closed": work.job_closed,
}

WITHOUT_EFFECT = frozenset(
    (
        "caution_acknowledged",
        "photo",
        "seal_looked_for",
        "lab_value",
        "consent",
        "clock_on",
        "clock_off",
        "document_issued",
        "correction",
        "clock_error",
    )
)
"""Kinds that a machine's state does not hang on: they are read where they are shown, or were applied before."""
