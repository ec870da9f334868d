"""Find a calculation by what somebody has in hand, in plain words."""

from __future__ import annotations

from functools import cache

from coldmark.bench import words
from coldmark.bench.catalogue.entries import ENTRIES
from coldmark.bench.catalogue.model import TOPICS, Entry, Input, Topic

__all__ = ["by_topic", "find"]

_WEIGHTS = (8, 5, 3, 1)
"""How much it says that a word stands in the question, among what people call it, in what it is for, in its inputs."""

_LEAST_SHARE = 0.4
"""What is left out: a calculation that has less than this share of the best one's weight."""


def _split(text: str) -> list[str]:
    """The words of a text; one with a hyphen also as one word."""
    plain = text.casefold().replace("-", "\N{HYPHEN}")
    parted = "".join(one if one.isalnum() or one == "\N{HYPHEN}" else " " for one in plain).split()
    found = []
    for one in parted:
        found += [part for part in one.split("\N{HYPHEN}") if part]
        if "\N{HYPHEN}" in one.strip("\N{HYPHEN}"):
            found.append(one.replace("\N{HYPHEN}", ""))
    return found


def _labels(one: Input) -> str:
    choices = [f"catalogue.choice.{choice}" for choice in one.choices]
    said = [words.sentence(message) for message in (one.label, *choices) if words.has(message)]
    return " ".join([*said, *map(_labels, one.columns)])


@cache
def _said(key: str) -> tuple[frozenset[str], ...]:
    """The words of a calculation by :data:`_WEIGHTS`, as they are and without their endings."""
    entry: Entry = ENTRIES[key]
    parts = (
        (entry.question,),
        (f"catalogue.{key}.words",),
        (f"catalogue.topic.{entry.topic}", f"catalogue.{key}.what", f"catalogue.{key}.when"),
    )
    told = [" ".join(words.sentence(one) for one in part if words.has(one)) for part in parts]
    inputs = " ".join([key.replace("_", " "), *map(_labels, entry.inputs)])
    return tuple(frozenset(root for one in _split(text) for root in _roots(one)) for text in (*told, inputs))


@cache
def _listed(message: str) -> frozenset[str]:
    return frozenset(words.sentence(message).split())


def _roots(word: str) -> tuple[str, ...]:
    """A word, and what is left of it without an ending that has no meaning of its own."""
    endings = (one for one in _listed("catalogue.find.endings") if word.endswith(one) and len(word) - len(one) >= 3)
    return (word, *(word[: -len(one)] for one in endings))


def _weight(word: str, said: tuple[frozenset[str], ...]) -> float:
    """How much it says that a calculation has a word, as it is or bent; half as much that one of its own begins so."""
    roots = _roots(word)
    for weight, own in zip(_WEIGHTS, said, strict=True):
        if not own.isdisjoint(roots):
            return weight
    begun = (
        weight / 2
        for weight, own in zip(_WEIGHTS, said, strict=True)
        if len(word) >= 3 and any(one.startswith(word) for one in own)
    )
    return next(begun, 0)


def _wanted(text: str) -> list[str]:
    """The words that tell something; numbers only where nothing else is told."""
    idle = _listed("catalogue.find.idle")
    typed = [one for one in dict.fromkeys(_split(text)) if one not in idle and len(one) > 1]
    named = [one for one in typed if not any(letter.isdigit() for letter in one)]
    return named or typed


def find(text: str) -> tuple[str, ...]:
    """Return the calculations that have most of the words of ``text``, the likeliest first.

    Parameters
    ----------
    text
        Words as somebody types them, or the beginnings of words; nothing finds all.

    Returns
    -------
    tuple
        Keys of the catalogue. Those with every word, or where none has, those with the most; first whose question has
        them, then who goes by that name, then what it is for.

    Valid for
        Any text.

    Raises
    ------
    Nothing
        What is not there is an empty tuple.

    Source
        The words of the catalogue.

    Examples
    --------
    >>> find("tighten cover")
    ('bolt_order',)
    >>> find("milky oil")[0], find("bolt 17")[0], find("cavitation")
    ('debris_means', 'which_bolt', ('pump_starves',))
    """
    if not text.split():
        return tuple(ENTRIES)
    wanted = _wanted(text)
    weights = {key: [_weight(word, _said(key)) for word in wanted] for key in ENTRIES}
    most = max((sum(one > 0 for one in each) for each in weights.values()), default=0)
    if most == 0:
        return ()
    best = {key: sum(each) for key, each in weights.items() if sum(one > 0 for one in each) == most}
    # Of those that are alike, the one first whose question was typed nearest to how it is asked.
    asked = {key: len(_said(key)[0].intersection(_split(text))) for key in best}
    least = _LEAST_SHARE * max(best.values())
    return tuple(sorted((key for key in best if best[key] >= least), key=lambda key: (-best[key], -asked[key])))


def by_topic(keys: tuple[str, ...], *, best_first: bool = False) -> dict[Topic, tuple[str, ...]]:
    """Return calculations under what somebody has in hand, in the order in which that is offered.

    Parameters
    ----------
    keys
        Keys of the catalogue.
    best_first
        Whether the first of the keys comes first with its topic, as after :func:`find`.

    Returns
    -------
    dict
        The keys by topic, without topics that have none.

    Valid for
        Keys of the catalogue.

    Raises
    ------
    KeyError
        For another key: a mistake in the program.

    Source
        The catalogue.

    Examples
    --------
    >>> by_topic(("rod_volume", "tank_volume"))
    {'parts': ('rod_volume', 'tank_volume')}
    >>> list(by_topic(("next_due", "level"), best_first=True))
    ['due', 'level']
    """
    order = dict.fromkeys(ENTRIES[key].topic for key in keys) if best_first else TOPICS
    sorted_out = {topic: tuple(key for key in keys if ENTRIES[key].topic == topic) for topic in order}
    return {topic: found for topic, found in sorted_out.items() if found}
