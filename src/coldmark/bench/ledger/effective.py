"""Which facts hold, and in which order: each once, clocks set right, corrections applied."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field, replace
from datetime import datetime, timedelta

from coldmark.bench.errors import Refused
from coldmark.bench.facts import KINDS, Fact, check_body
from coldmark.bench.ledger.state import Flag
from coldmark.bench.shapes import dataclass

__all__ = ["Effective", "Key", "effective", "key_of", "resolve"]

Key = tuple[int, int, str]
ClockErrors = Mapping[str, Sequence[tuple[int, int]]]

# A moment that came from the device's own clock was written down at once; one set by hand was not.
_AT_ONCE_MS = 60_000


@dataclass(frozen=True, slots=True)
class Effective:
    """The facts that hold, in the order of the fold, and what became of the others.

    ``withdrawn`` and ``replaced`` hold, by the fact's id, the fact as it was and the correction that changed it;
    ``corrected`` has the replaced fact as it holds now. ``waiting`` are the ids that corrections speak of and that are
    not here. ``clock_errors``: by device, when measured [ms] and by how many seconds the device was ahead.
    """

    facts: list[Fact]
    withdrawn: dict[str, tuple[Fact, Fact]] = field(default_factory=dict)
    replaced: dict[str, tuple[Fact, Fact]] = field(default_factory=dict)
    waiting: list[str] = field(default_factory=list)
    flags: list[Flag] = field(default_factory=list)
    clock_errors: dict[str, list[tuple[int, int]]] = field(default_factory=dict)


def key_of(fact: Fact) -> Key:
    """Return a fact's place in the order of the fold: when it happened, the device's running number, its id.

    Parameters
    ----------
    fact
        A fact.

    Returns
    -------
    Key
        Facts sorted by it stand in the order of the fold.

    Valid for
        Every fact.

    Raises
    ------
    Nothing.

    Source
        Decision 2 of the house.

    Examples
    --------
    >>> from coldmark.bench.facts import make
    >>> u = "019ccf2c-4a20-7000-8000-0000000000{}".format
    >>> key_of(make(id=u("01"), kind="task_done", subject=u("aa"), at="1970-01-01T00:00:01+00:00",
    ...             recorded="1970-01-01T00:00:01+00:00", device=u("bb"), number=7, person=u("cc"), app="0.1.0",
    ...             body={"task": "hyd_500"}))
    (1000, 7, '019ccf2c-4a20-7000-8000-000000000001')
    """
    return fact.at_ms, fact.number, fact.id


def effective(facts: Iterable[Fact]) -> list[Fact]:
    """Return the facts that hold, in the order of the fold.

    Each counts once however often it came. A device's measured clock error is taken off the moments that its clock
    gave. Of several corrections of a fact the latest in the order wins; a withdrawn one is gone, a replaced one has its
    new body in its old place. A correction can itself be withdrawn or replaced by a later one.

    Parameters
    ----------
    facts
        In any order.

    Returns
    -------
    list of Fact
        Corrections among them; their ``text`` is always that of the recorder.

    Valid for
        Facts of one machine, visit or van with the clock errors of the devices that recorded them.

    Raises
    ------
    Nothing; what does not fit is flagged by :func:`resolve`.

    Source
        Decisions 2 and 4 of the house.

    Examples
    --------
    >>> effective([])
    []
    """
    return resolve(facts).facts


def resolve(facts: Iterable[Fact], known_errors: ClockErrors | None = None) -> Effective:
    """Return the facts that hold together with those withdrawn, replaced or flagged; see :func:`effective`.

    Parameters
    ----------
    facts
        In any order.
    known_errors
        Clock errors that are known already, by device, or ``None``.

    Returns
    -------
    Effective
        The facts that hold, and what became of the others.

    Valid for
        As :func:`effective`.

    Raises
    ------
    Nothing: what does not fit is flagged.

    Source
        Decisions 2 and 4 of the house.

    Examples
    --------
    >>> resolve([]).facts
    []
    """
    flags: list[Flag] = []
    once = _once(facts, flags)
    errors = _clock_errors(once, known_errors or {})
    ordered = sorted((_set_right(fact, errors) for fact in once) if errors else once, key=key_of)
    result = Effective(ordered, flags=flags, clock_errors=errors)
    corrections = [fact for fact in ordered if fact.kind == "correction" and fact.known]
    if not corrections:
        return result
    return _corrected(result, corrections)


def _once(facts: Iterable[Fact], flags: list[Flag]) -> list[Fact]:
    by_id: dict[str, Fact] = {}
    for fact in facts:
        known = by_id.setdefault(fact.id, fact)
        if known is not fact and known.text != fact.text:
            # Two texts under one id: the server refuses the second, so this is damage. Which one counts must not
            # hang on the order of arrival.
            by_id[fact.id] = min(known, fact, key=lambda one: one.text)
            if not any(flag.fact == fact.id for flag in flags):
                flags.append(Flag(fact.id, by_id[fact.id].at, "flag.id_twice"))
    return list(by_id.values())


def _clock_errors(facts: list[Fact], known: ClockErrors) -> dict[str, list[tuple[int, int]]]:
    found: dict[str, set[tuple[int, int]]] = {device: set(errors) for device, errors in known.items()}
    for fact in facts:
        if fact.kind == "clock_error" and fact.known:
            found.setdefault(fact.body["device"], set()).add((fact.at_ms, fact.body["seconds"]))
    return {device: sorted(errors) for device, errors in sorted(found.items())}


def _set_right(fact: Fact, errors: ClockErrors) -> Fact:
    measured = errors.get(fact.device)
    if not measured or fact.kind == "clock_error" or abs(fact.at_ms - fact.recorded_ms) > _AT_ONCE_MS:
        return fact
    seconds = _error_then(measured, fact.recorded_ms)
    if seconds == 0:
        return fact
    moment = datetime.fromisoformat(fact.at) - timedelta(seconds=seconds)
    return replace(fact, at=moment.isoformat(), at_ms=fact.at_ms - seconds * 1000)


def _error_then(measured: Sequence[tuple[int, int]], recorded_ms: int) -> int:
    """Return the error of the first measurement after the fact was written down: the sync that brought it."""
    moments = [at_ms + seconds * 1000 for at_ms, seconds in measured]  # in the device's own time
    place = bisect_left(moments, recorded_ms) if moments == sorted(moments) else None
    if place is None:
        place = next((i for i, moment in enumerate(moments) if moment >= recorded_ms), len(moments))
    return measured[min(place, len(measured) - 1)][1]


def _corrected(result: Effective, corrections: list[Fact]) -> Effective:
    by_id = {fact.id: fact for fact in result.facts}
    rulings: dict[str, Fact] = {}
    # From the latest back: when a correction is reached, all that could have changed it have been seen.
    for made in reversed(corrections):
        ruling = rulings.get(made.id)
        now = made if ruling is None else _replaced(made, ruling, result.flags)
        if now is None:
            result.withdrawn[made.id] = (made, rulings[made.id])
            continue
        if now is not made:
            result.replaced[made.id] = (made, rulings[made.id])
            by_id[made.id] = now
        target = now.body["of"]
        if target == made.id:
            result.flags.append(Flag(made.id, made.at, "flag.corrects_itself"))
        elif target not in by_id:
            result.waiting.append(target)
            result.flags.append(Flag(made.id, made.at, "flag.corrects_nothing", {"of": target}))
        else:
            rulings.setdefault(target, now)
    kept: list[Fact] = []
    for fact in result.facts:
        if fact.id in result.withdrawn:
            continue
        ruling = rulings.get(fact.id)
        if ruling is None or fact.kind == "correction":
            kept.append(by_id[fact.id])
            continue
        now = _replaced(fact, ruling, result.flags)
        if now is None:
            result.withdrawn[fact.id] = (fact, ruling)
            continue
        if now is not fact:
            result.replaced[fact.id] = (fact, ruling)
        kept.append(now)
    result.facts[:] = kept
    result.waiting.sort()
    return result


def _replaced(fact: Fact, ruling: Fact, flags: list[Flag]) -> Fact | None:
    """Return the fact with its new body, ``None`` when it is withdrawn, itself when the new body cannot be read."""
    if ruling.body["action"] == "withdraw":
        return None
    version = ruling.body.get("version") or fact.version
    kind = KINDS.get(fact.kind)
    if kind is None or version > kind.version:
        why = f"{fact.kind} version {version} is not known here"
    else:
        try:
            return replace(fact, body=check_body(fact.kind, version, ruling.body["body"]), known=True)
        except Refused as refused:
            why = refused.say()
    flags.append(Flag(ruling.id, ruling.at, "flag.correction_unreadable", {"why": why}))
    return fact
