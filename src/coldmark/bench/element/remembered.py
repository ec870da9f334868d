"""Parts that were found to be wrong on a machine before, remembered fact by fact."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import field

from coldmark.bench.element.model import Reject
from coldmark.bench.facts import Fact
from coldmark.bench.shapes import dataclass

__all__ = ["MOST_FOUND", "Remembered", "plain", "rejects", "remember"]

MOST_FOUND = 100
"""How many parts are remembered of a machine: the latest."""


@dataclass(slots=True)
class Remembered:
    """What is known of wrong parts up to a fact: those ``found``, the latest last, and what may yet be found wrong.

    ``fitted`` has by place the number and the key of the part that went in last, where it had a number of its own.
    """

    fitted: dict[str, tuple[str, str]] = field(default_factory=dict)
    found: list[Reject] = field(default_factory=list)


def plain(number: str) -> str:
    """Return a part number as two are compared: without blanks, strokes and points, in capitals.

    >>> plain("ma 7310-22") == plain("MA-7310.22")
    True
    """
    return "".join(letter for letter in number.upper() if letter.isalnum())


def rejects(facts: Iterable[Fact]) -> tuple[Reject, ...]:
    """Return the parts that were refused, and those that were fitted with a number of their own and found to be wrong.

    Parameters
    ----------
    facts
        Facts of one machine that hold, in the order of the fold (:func:`coldmark.bench.ledger.effective`).

    Returns
    -------
    tuple of Reject
        In the order in which they were found. The number is that of the last part that went into the place, the
        housing or for the part that the finding is about.

    Valid for
        Facts of one machine. Of the same number for the same place the latest counts.

    Raises
    ------
    Nothing.

    Source
        The kinds of fact ``part_refused``, ``part_in`` and ``finding`` (``wrong_part``).

    Examples
    --------
    >>> rejects([])
    ()
    """
    memory = Remembered()
    for fact in facts:
        if fact.known:
            remember(memory, fact)
    return tuple(memory.found)


def remember(memory: Remembered, fact: Fact) -> None:
    """Go on by a fact that holds, in the order of the fold; other kinds change nothing.

    Parameters
    ----------
    memory
        What is known so far; it is changed.
    fact
        A fact of the machine, of a kind and version that is known.

    Returns
    -------
    None
        The memory has it.

    Valid for
        Facts in the order of the fold. Of the same number for the same place the latest counts.

    Raises
    ------
    Nothing.

    Source
        As :func:`rejects`.

    Examples
    --------
    >>> memory = Remembered()
    >>> memory.found
    []
    """
    body = fact.body
    if fact.kind == "part_in":
        # The sheet's own part carries no number here: it takes the place of what was fitted before.
        if body.get("number"):
            memory.fitted[body["place"]] = (body["number"], body.get("part") or "")
        else:
            memory.fitted.pop(body["place"], None)
    elif fact.kind == "finding" and body["what"] == "wrong_part":
        about = body["about"]
        for place, (number, part) in memory.fitted.items():
            if about in (place, place.split(".")[0], part):
                _keep(memory, Reject(number, place, fact.at[:10]))
    elif fact.kind == "part_refused":
        _keep(memory, Reject(body["number"], body["place"], fact.at[:10], body["why"]))


def _keep(memory: Remembered, one: Reject) -> None:
    same = (plain(one.number), one.place)
    memory.found[:] = [old for old in memory.found if (plain(old.number), old.place) != same]
    memory.found.append(one)
    del memory.found[:-MOST_FOUND]
