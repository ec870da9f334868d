"""One machine as a phone holds it: a snapshot of its state, and what has been recorded since.

The server hands out a machine's state as folded, with the facts of its open and latest jobs. What the phone records
from then on is folded onto that state, so that a card or a level is worked out at the machine as the server would.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from coldmark.bench import words
from coldmark.bench.errors import Contradiction, Refused
from coldmark.bench.facts import Fact, parse, text_hash
from coldmark.bench.job.material import Material
from coldmark.bench.ledger import CODE_VERSION, RefoldNeeded, State, fold, resolve, state_from_plain
from coldmark.bench.oil import Oil, oil_from_plain
from coldmark.bench.shapes import dataclass
from coldmark.bench.sheet import Sheet, from_plain

__all__ = ["Held", "JobHeld", "facts_told", "held_from_plain", "object_told", "texts_told"]

Plain = Mapping[str, Any]
LINE = ("id", "name", "serial", "site", "customer")
"""What a card's head says of a machine; a phone is told more of it."""


@dataclass(frozen=True, slots=True)
class JobHeld:
    """A job's material as the server would have it, and id and SHA-256 of each fact of the job, to be closed with.

    ``note`` has to be said with whatever is answered from it: what is known here is not all that was recorded.
    """

    material: Material
    sealed: tuple[tuple[str, str], ...]
    note: str | None


class Held:
    """What is held of one machine; it changes in nothing but what it remembers of the last fold."""

    def __init__(
        self,
        line: Plain,
        sheet: Sheet | None,
        state: State,
        facts: Iterable[Fact],
        since: Iterable[Fact],
        oils: Mapping[str, Oil],
        coldest_c: float | None,
    ) -> None:
        self.line = line
        self.sheet = sheet
        self.state = state
        self.facts = {fact.id: fact for fact in facts}
        self.since = tuple(since)
        self.oils = oils
        self.coldest_c = coldest_c
        self._folded: tuple[frozenset[str], State | None] = (frozenset(), state)

    def state_with(self, facts: Mapping[str, Fact]) -> State | None:
        """The state with facts that are not in the snapshot; ``None`` where they reach back behind it."""
        fresh = {id: fact for id, fact in facts.items() if id not in self.facts}
        ids = frozenset(fresh)
        if ids != self._folded[0]:
            self._folded = (ids, self._fold(fresh.values()))
        return self._folded[1]

    def _fold(self, fresh: Iterable[Fact]) -> State | None:
        sheets = {} if self.sheet is None or self.state.sheet is None else {self.state.sheet: self.sheet}
        try:
            return fold(fresh, machine=self.state.machine, sheets=sheets, oils=self.oils, start=self.state)
        except RefoldNeeded:
            return None

    def with_facts(self, told: Iterable[Fact]) -> tuple[State, str | None]:
        """The state with what was recorded since, and what has to be said where it does not hold all of that."""
        folded = self.state_with(self.facts | {fact.id: fact for fact in (*self.since, *told)})
        return (self.state, words.sentence("held.behind")) if folded is None else (folded, None)

    def job(self, job: str, tasks: tuple[str, ...], told: Iterable[Fact], units: words.UnitSystem) -> JobHeld:
        """A job on the machine, with the tasks that were planned for it and what was recorded since."""
        told = tuple(told)
        state, note = self.with_facts(told)
        known = self.facts | {fact.id: fact for fact in (*self.since, *told)}
        own = {state.machine, *state.joined}
        of_job = {
            id: fact
            for id, fact in known.items()
            if fact.job == job and fact.subject_type == "machine" and fact.subject in own
        }
        opened = state.jobs.get(job)
        material = Material(
            job=job,
            machine=self.line,
            tasks=tuple(opened.tasks) if opened is not None and opened.tasks else tasks,
            sheet=self.sheet,
            state=state,
            facts=tuple(fact for fact in resolve(known.values(), state.clock_errors).facts if fact.id in of_job),
            options=tuple(option for option, fitted in state.options.items() if fitted),
            oils=self.oils,
            coldest_c=self.coldest_c,
            units=units,
        )
        sealed = tuple(sorted((id, text_hash(fact.text)) for id, fact in of_job.items()))
        return JobHeld(material, sealed, note)


def held_from_plain(plain: Plain) -> Held:
    """Return a machine as the server handed it out.

    Parameters
    ----------
    plain
        ``machine``: its part of what a phone is given, with ``line``, ``state``, ``folded_by``, the ``facts`` that are
        in the state, and those ``since`` that are not.
        ``sheet``: the plain data of its sheet, or ``None``. ``oils``: plain oils by key. ``coldest_c``: the place's
        coldest start [°C], or ``None``. ``clock_errors``: by device, pairs of when it was measured [ms since 1970] and
        by how many seconds it was ahead; also of devices that have recorded nothing of this machine yet.

    Returns
    -------
    Held
        The machine.

    Valid for
        What a server of the same version of the fold handed out.

    Raises
    ------
    Refused
        When a part is missing or is not of this form, or another version of the fold made it.

    Source
        Decision 6 of the house.

    Examples
    --------
    >>> import json
    >>> from coldmark.bench.ledger import state_to_json
    >>> state = json.loads(state_to_json(State("m")))
    >>> part = {"line": {"id": "m", "name": "Digger"}, "state": state, "folded_by": CODE_VERSION}
    >>> held_from_plain({"machine": part, "sheet": None, "oils": {}, "coldest_c": None}).state.machine
    'm'
    """
    part = object_told(plain, "machine")
    if part.get("folded_by") != CODE_VERSION:
        raise Refused("held.other_version", name="folded_by", value=str(part.get("folded_by"))[:20])
    sheet = None if plain.get("sheet") is None else from_plain(object_told(plain, "sheet"))
    try:
        state = state_from_plain(object_told(part, "state"))
    except (KeyError, TypeError, ValueError, AttributeError):
        raise Refused("held.not_a_state", name="state") from None
    state.clock_errors = _errors_told(plain) | state.clock_errors
    oils = {key: oil_from_plain(object_told(object_told(plain, "oils"), key)) for key in object_told(plain, "oils")}
    coldest = plain.get("coldest_c")
    if coldest is not None and (isinstance(coldest, bool) or not isinstance(coldest, int | float)):
        raise Contradiction(name="coldest_c", value=str(coldest)[:40], why="held.cannot.coldest")
    line = object_told(part, "line")
    shown = {name: str(line.get(name, "")) for name in LINE}
    return Held(shown, sheet, state, facts_told(part, "facts"), facts_told(part, "since"), oils, coldest)


def _errors_told(plain: Plain) -> dict[str, list[tuple[int, int]]]:
    told = plain.get("clock_errors", {})
    try:
        return {device: [(int(at_ms), int(seconds)) for at_ms, seconds in errors] for device, errors in told.items()}
    except (AttributeError, TypeError, ValueError):
        raise Refused("held.not_a_state", name="clock_errors") from None


def object_told(plain: Plain, name: str) -> Plain:
    """Read an object out of another.

    Parameters
    ----------
    plain
        What came as JSON.
    name
        The key.

    Returns
    -------
    Mapping
        The object.

    Valid for
        Every name.

    Raises
    ------
    Refused
        When there is none, naming it.

    Source
        Definition.

    Examples
    --------
    >>> object_told({"asked": {"reading": "0.5"}}, "asked")
    {'reading': '0.5'}
    """
    value = plain.get(name)
    if not isinstance(value, Mapping):
        raise Refused("desk.not_object", name=name)
    return value


def texts_told(plain: Plain, name: str) -> tuple[str, ...]:
    """Read a list of texts; none where it is not there.

    Parameters
    ----------
    plain
        What came as JSON.
    name
        The key.

    Returns
    -------
    tuple of str
        The texts.

    Valid for
        Every name.

    Raises
    ------
    Refused
        When it is no list of texts, naming it.

    Source
        Definition.

    Examples
    --------
    >>> texts_told({"tasks": ["hyd_500"]}, "tasks")
    ('hyd_500',)
    """
    value = plain.get(name, [])
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        raise Refused("api.not_texts", name=name)
    return tuple(value)


def facts_told(plain: Plain, name: str = "facts") -> tuple[Fact, ...]:
    """Read the facts of an object: as kept, so that what a newer program recorded is held as well.

    Parameters
    ----------
    plain
        What came as JSON.
    name
        The key that canonical texts stand under.

    Returns
    -------
    tuple of Fact
        The facts.

    Valid for
        Canonical texts.

    Raises
    ------
    Refused
        When one is no fact, naming what is not right.

    Source
        Decision 5 of the house.

    Examples
    --------
    >>> facts_told({"facts": []})
    ()
    """
    return tuple(parse(text, stored=True) for text in texts_told(plain, name))
