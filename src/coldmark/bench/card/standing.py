"""How a card stands: which screens are behind, what is missing, which tasks are done, what the report must tell."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from coldmark.bench.card.gates import Facts, Indexed, body_of, evaluate, gate_reason, has, indexed, latest, refitted
from coldmark.bench.card.parts import old_element, old_parts
from coldmark.bench.shapes import dataclass
from coldmark.bench.words import sentence

__all__ = ["EXCUSING", "Progress", "ScreenStanding", "TaskStanding", "completion", "finish", "missing", "progress"]

Card = Mapping[str, Any]
Screen = Mapping[str, Any]
Standing = Literal["done", "left_out", "open"]

EXCUSING = ("not_fitted_here", "done_lately")
"""Reasons for leaving a step out that leave nothing undone."""

_NO_MATTER = (None, *EXCUSING)

# Without these the task itself is done all the same: they are looked at, not worked at.
_BESIDE = ("caution", "meter", "level_found", "finish")
# A sample rides with a task; only a task that is nothing but sampling hangs on it.
_RIDING = "sample"


@dataclass(frozen=True, slots=True)
class ScreenStanding:
    """One screen: done, left out or open, the reason when left out, and the keys of its gates that are shut."""

    key: str
    standing: Standing
    reason: str | None
    shut: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Progress:
    """Where a card is: the first open screen (``None``: all are behind), and every screen's standing."""

    current: str | None
    behind: int
    total: int
    screens: tuple[ScreenStanding, ...]


@dataclass(frozen=True, slots=True)
class TaskStanding:
    """A task: done only when all its own steps were; else the screens that are lacking, as (key, reason or none)."""

    key: str
    name: str
    done: bool
    lacking: tuple[tuple[str, str | None], ...]


def _skipped(screen: Screen, facts: Indexed) -> Mapping[str, Any] | None:
    skipped = latest(facts, "step_skipped", step=screen["step"])
    return None if skipped is None else body_of(skipped)


def _screen(screen: Screen, facts: Indexed) -> ScreenStanding:
    skipped = _skipped(screen, facts)
    # What was left out and done after all is done.
    done = evaluate(screen["done_when"], facts).met
    standing: Standing = "done" if done else "left_out" if skipped else "open"
    shut = tuple(gate["key"] for gate in screen["gates"] if _is_shut(gate, facts))
    reason = str(skipped["reason"]) if skipped and standing == "left_out" else None
    return ScreenStanding(screen["key"], standing, reason, shut)


def _is_shut(gate: Mapping[str, Any], facts: Indexed) -> bool:
    return gate_reason(gate, facts) is None and not evaluate(gate["needs"], facts).met


def progress(card: Card, facts: Facts) -> Progress:
    """Say how far a card is.

    Parameters
    ----------
    card : as :func:`coldmark.bench.card.build` makes it.
    facts : the job's effective facts in the order of the fold.

    Returns
    -------
    Progress
        A screen that was left out and then done is done.

    Valid for
    ---------
    Any card of this version.

    Raises
    ------
    NotAChoice
        When a condition in the card has no known form.

    Source
    ------
    Coldmark's own rules.

    Examples
    --------
    >>> screen = {"key": "a", "step": "a", "gates": [], "done_when": has("step_done", step="a")}
    >>> progress({"screens": [screen]}, []).current
    'a'
    """
    by_kind = indexed(facts)
    screens = tuple(_screen(screen, by_kind) for screen in card["screens"])
    current = next((one.key for one in screens if one.standing == "open"), None)
    return Progress(current, sum(one.standing != "open" for one in screens), len(screens), screens)


def completion(card: Card, facts: Facts) -> tuple[TaskStanding, ...]:
    """Say which of the card's tasks are done.

    Parameters
    ----------
    card : as :func:`coldmark.bench.card.build` makes it.
    facts : the job's effective facts in the order of the fold.

    Returns
    -------
    tuple of TaskStanding
        A task is done when each of its own steps was. A step that was left out counts as lacking, unless the thing is
        not fitted here or was done lately; so does an old element or strainer that went back in where a new one is
        due, whereas an old ring is told and no more. Reading the meter or the level as found does not hold a task
        back, nor does a sample that was not taken, unless the task is nothing else.

    Valid for
    ---------
    Any card of this version.

    Raises
    ------
    NotAChoice
        When a condition in the card has no known form.

    Source
    ------
    Coldmark's own rules.

    Examples
    --------
    >>> completion({"tasks": [{"key": "t", "name": "T"}], "screens": []}, [])
    (TaskStanding(key='t', name='T', done=False, lacking=()),)
    """
    facts = indexed(facts)
    standings = {one.key: one for one in progress(card, facts).screens}
    out = []
    for task in card["tasks"]:
        screens = [one for one in card["screens"] if task["key"] in one["tasks"] and one["kind"] not in _BESIDE]
        work = [one for one in screens if one["kind"] != _RIDING]
        own = [standings[screen["key"]] for screen in work or screens]
        old = {screen["key"]: reason for screen in work if (reason := old_element(screen, facts)) not in _NO_MATTER}
        lacking = tuple((one.key, old.get(one.key, one.reason)) for one in own if one.key in old or not _counts(one))
        some = any(one.standing == "done" for one in own)
        out.append(TaskStanding(task["key"], task["name"], some and not lacking, lacking))
    return tuple(out)


def _counts(one: ScreenStanding) -> bool:
    return one.standing == "done" or (one.standing == "left_out" and one.reason in EXCUSING)


def _not_back(card: Card, facts: Facts) -> Iterator[dict[str, str]]:
    for screen in card["screens"]:
        if screen["kind"] != "tray_in" or screen["tray"] is None:
            continue
        for item in screen["tray"]["items"]:
            out = evaluate(has("part_out", place=item["place"]), facts).met
            if out and not evaluate(refitted(item["place"], item["count"]), facts).met:
                says = sentence("card.missing.part", part=item["name"], housing=screen["tray"]["name"])
                yield {"key": item["place"], "says": says}


def _not_read_again(card: Card, facts: Facts) -> Iterator[dict[str, str]]:
    """Yield the levels as left that were read before oil was moved for the last time: they tell nothing any more."""
    for screen in card["screens"]:
        if screen["kind"] != "level_left" or not evaluate(screen["done_when"], facts).met:
            continue
        moved = has("oil_moved", compartment=screen["compartment"], way=["fill", "top_up", "drained"])
        read = has("level_read", compartment=screen["compartment"], moment="left")
        if not evaluate({"after": {"first": moved, "then": read}}, facts).met:
            place = card["compartments"][screen["compartment"]]["name"]
            yield {"key": screen["key"], "says": sentence("card.missing.level_again", place=place)}


def missing(card: Card, facts: Facts) -> list[dict[str, str]]:
    """Say what is missing before the job can be closed with a good conscience.

    Parameters
    ----------
    card : as :func:`coldmark.bench.card.build` makes it.
    facts : the job's effective facts in the order of the fold.

    Returns
    -------
    list of dict
        ``key`` (screen, place or *signature*) and ``says``: parts that are not back first, then open screens, levels
        as left that oil was moved after, then the signature.

    Valid for
    ---------
    Any card of this version.

    Raises
    ------
    NotAChoice
        When a condition in the card has no known form.

    Source
    ------
    Coldmark's own rules.

    Examples
    --------
    >>> [one["key"] for one in missing({"tasks": [], "screens": []}, [])]
    ['signature']
    """
    facts = indexed(facts)
    out = list(_not_back(card, facts))
    titles = {screen["key"]: screen for screen in card["screens"]}
    for one in progress(card, facts).screens:
        screen = titles[one.key]
        if one.standing == "open" and screen["kind"] != "finish":
            out.append({"key": one.key, "says": sentence("card.missing.step", step=screen["title"].rstrip("."))})
    out += _not_read_again(card, facts)
    if not evaluate(has("signature"), facts).met:
        out.append({"key": "signature", "says": sentence("card.missing.signature")})
    return out


def _opened_gates(card: Card, facts: Indexed) -> list[dict[str, Any]]:
    """Return the gates that were passed with a reason, each once, with what is still lacking behind them."""
    out: dict[str, dict[str, Any]] = {}
    for screen in card["screens"]:
        for gate in screen["gates"]:
            opened = latest(facts, "gate_opened", gate=gate["key"])
            if opened is None or gate["key"] in out:
                continue
            verdict = evaluate(gate["needs"], facts)
            reason = str(body_of(opened)["reason"])
            out[gate["key"]] = {
                "key": gate["key"],
                "screen": screen["key"],
                "title": screen["title"],
                "says": gate["says"],
                "reason": reason,
                "reason_says": sentence(f"reason.{reason}"),
                "note": body_of(opened).get("note"),
                "lacking": list(verdict.lacking),
            }
        cut = _cut_wait(screen, facts)
        if cut is not None:
            out[cut["key"]] = cut
    return list(out.values())


def _cut_wait(screen: Screen, facts: Indexed) -> dict[str, Any] | None:
    """Return what is told of a wait that was cut short with a reason; ``None`` where it was not."""
    key = f"{screen['key']}.wait"
    cut = latest(facts, "gate_opened", gate=key) if screen["wait_min"] else None
    if cut is None:
        return None
    reason = str(body_of(cut)["reason"])
    return {
        "key": key,
        "screen": screen["key"],
        "title": screen["title"],
        "says": sentence("card.wait_cut", wait_min=screen["wait_min"]),
        "reason": reason,
        "reason_says": sentence(f"reason.{reason}"),
        "note": body_of(cut).get("note"),
        "lacking": [],
    }


def _left_out(card: Card, facts: Indexed, at: Progress) -> list[dict[str, Any]]:
    out = []
    for screen, one in zip(card["screens"], at.screens, strict=True):
        skipped = _skipped(screen, facts) if one.standing == "left_out" else None
        if skipped is not None:
            out.append(
                {
                    "key": screen["key"],
                    "title": screen["title"],
                    "reason": one.reason,
                    "reason_says": sentence(f"reason.{one.reason}"),
                    "note": skipped.get("note"),
                }
            )
    return out


def finish(card: Card, facts: Facts) -> dict[str, Any]:
    """Return what the last screen and the report tell of the job's work.

    Parameters
    ----------
    card : as :func:`coldmark.bench.card.build` makes it.
    facts : the job's effective facts in the order of the fold.

    Returns
    -------
    dict
        ``tasks`` with what each lacks, ``missing`` as :func:`missing` says it, ``left_out`` steps and ``gates`` passed,
        each with the reason given, ``parts`` that went back in old or were looked for, ``ready`` when nothing but the
        signature is missing.

    Valid for
    ---------
    Any card of this version.

    Raises
    ------
    NotAChoice
        When a condition in the card has no known form.

    Source
    ------
    Coldmark's own rules.

    Examples
    --------
    >>> finish({"tasks": [], "screens": []}, [])["ready"]
    True
    """
    facts = indexed(facts)
    at = progress(card, facts)
    lacks = missing(card, facts)
    titles = {screen["key"]: screen["title"] for screen in card["screens"]}
    tasks = [
        {
            "key": task.key,
            "name": task.name,
            "done": task.done,
            "says": sentence("card.task.done" if task.done else "card.task.not_done", task=task.name),
            "lacking": [
                {
                    "key": key,
                    "title": titles[key],
                    "reason": reason,
                    "reason_says": sentence(f"reason.{reason}") if reason else "",
                }
                for key, reason in task.lacking
            ],
        }
        for task in completion(card, facts)
    ]
    return {
        "tasks": tasks,
        "missing": lacks,
        "left_out": _left_out(card, facts, at),
        "gates": _opened_gates(card, facts),
        "parts": old_parts(card, facts),
        "ready": all(one["key"] == "signature" for one in lacks),
    }
