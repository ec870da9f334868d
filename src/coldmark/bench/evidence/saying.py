"""What a ranking says in plain sentences."""

from __future__ import annotations

from collections.abc import Iterable

from coldmark.bench import words
from coldmark.bench.evidence.rank import Cause, Check, Ranking, Reason

__all__ = ["MOST_CAUSES", "cause_says", "next_says", "says"]

MOST_CAUSES = 4
"""How many causes are told at most."""

MOST_REASONS = 4
_WORDS = ((0.75, "very_likely"), (0.5, "likely"), (0.2, "possible"), (0.0, "unlikely"))


def _joined(parts: Iterable[str]) -> str:
    *first, last = list(parts)
    return words.sentence("evidence.and", first=", ".join(first), last=last) if first else last


def _signs(reasons: Iterable[Reason]) -> str:
    """Return the signs of the strongest reasons as one list."""
    signs = dict.fromkeys(sign for one in list(reasons)[:MOST_REASONS] for sign in one.signs)
    return _joined(words.sentence(f"evidence.sign.{sign}") for sign in signs)


def cause_says(one: Cause) -> list[str]:
    """Return a cause as plain sentences: how likely it is, what speaks for it and what against.

    Parameters
    ----------
    one
        A cause of a ranking.

    Returns
    -------
    list of str
        The cause first, then its strongest reasons.

    Valid for
        Every cause.

    Raises
    ------
    Nothing.

    Source
        The message file of the reader's language.

    Examples
    --------
    >>> from coldmark.bench.evidence import rank
    >>> cause_says(rank({"rust_seen": "seen"}).raised[0])
    ['Likely: water in the oil (57%).', 'For it: rust.']
    """
    message = next(word for least, word in _WORDS if one.chance >= least)
    name = words.sentence(f"evidence.cause.{one.key}")
    said = [words.sentence(f"evidence.{message}", cause=name, chance_share=one.chance)]
    missing = [reason for reason in one.speaks_against if not reason.seen]
    shifted = [reason for reason in one.speaks_against if reason.seen]
    for way, reasons in (("for", one.speaks_for), ("missing", missing), ("shifted", shifted)):
        if reasons:
            said.append(words.sentence(f"evidence.{way}", signs=_signs(reasons)))
    return said


def next_says(checks: Iterable[Check]) -> list[str]:
    """Return what to look at next as plain sentences.

    Parameters
    ----------
    checks
        Checks of a ranking, the most telling first.

    Returns
    -------
    list of str
        The most telling one, and the most telling for its time where that is another.

    Valid for
        Any checks, none included.

    Raises
    ------
    Nothing.

    Source
        The message file of the reader's language.

    Examples
    --------
    >>> next_says([])
    ['Nothing that is left to look at would tell much more.']
    """
    left = list(checks)
    if not left:
        return [words.sentence("evidence.next.nothing")]
    best = left[0]
    quick = max(left, key=lambda one: one.bits / one.minutes)
    check = words.sentence(f"evidence.check.{best.sign}")
    said = [
        words.sentence("evidence.next", check=check[:1].upper() + check[1:]),
        words.sentence("evidence.next.most", cost_min=best.minutes),
    ]
    if quick.sign != best.sign:
        check = words.sentence(f"evidence.check.{quick.sign}")
        said.append(words.sentence("evidence.next.quick", check=check, cost_min=quick.minutes))
    return said


def says(found: Ranking) -> list[str]:
    """Return a ranking as plain sentences.

    Parameters
    ----------
    found
        What :func:`rank` gave.

    Returns
    -------
    list of str
        The raised causes with what speaks for and against them, what tells nothing, what to look at next, and what the
        whole is worth.

    Valid for
        Every ranking. No sentence holds a unit that differs between readers.

    Raises
    ------
    Nothing.

    Source
        The message file of the reader's language.

    Examples
    --------
    >>> from coldmark.bench.evidence import rank
    >>> says(rank({"dark_residue": "seen"}))[:2]
    ['Nothing that was seen points to a cause.', 'Dark residue tells nothing by itself: every used element has it.']
    """
    raised = found.raised[:MOST_CAUSES]
    said = [] if raised else [words.sentence("evidence.none")]
    for one in raised:
        said += cause_says(one)
    said += [words.sentence(f"evidence.idle.{sign}") for sign in found.idle]
    said += next_says(found.checks)
    said.append(words.sentence("evidence.worth"))
    return said
