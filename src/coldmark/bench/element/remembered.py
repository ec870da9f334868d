"""Parts that were found to be wrong on a machine before, from its facts."""

from __future__ import annotations

from collections.abc import Iterable

from coldmark.bench.element.model import Reject
from coldmark.bench.facts import Fact

__all__ = ["plain", "rejects"]


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
    fitted: dict[str, tuple[str, str]] = {}
    found: dict[tuple[str, str], Reject] = {}

    def keep(one: Reject) -> None:
        key = plain(one.number), one.place
        found.pop(key, None)
        found[key] = one

    for fact in facts:
        if not fact.known:
            continue
        if fact.kind == "part_in":
            # The sheet's own part carries no number here: it takes the place of what was fitted before.
            fitted[fact.body["place"]] = (fact.body.get("number") or "", fact.body.get("part") or "")
        elif fact.kind == "finding" and fact.body["what"] == "wrong_part":
            about = fact.body["about"]
            for place, (number, part) in fitted.items():
                if number and about in (place, place.split(".")[0], part):
                    keep(Reject(number, place, fact.at[:10]))
        elif fact.kind == "part_refused":
            keep(Reject(fact.body["number"], fact.body["place"], fact.at[:10], fact.body["why"]))
    return tuple(found.values())
