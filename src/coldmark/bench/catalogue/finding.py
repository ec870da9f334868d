"""Find a calculation by what somebody has in hand, in plain words."""

from __future__ import annotations

from coldmark.bench import words
from coldmark.bench.catalogue.entries import ENTRIES
from coldmark.bench.catalogue.model import TOPICS, Entry, Topic

__all__ = ["by_topic", "find"]

_SAID = ("question", "what", "when")


def _said(entry: Entry) -> str:
    parts = [words.sentence(f"catalogue.topic.{entry.topic}"), entry.key]
    parts += [
        words.sentence(f"catalogue.{entry.key}.{part}") for part in _SAID if words.has(f"catalogue.{entry.key}.{part}")
    ]
    parts += [words.sentence(one.label) for one in entry.inputs]
    return " ".join(parts).casefold()


def find(text: str) -> tuple[str, ...]:
    """Return the calculations that have every word of ``text`` in their question, their explanation or their inputs.

    Parameters
    ----------
    text
        Words as somebody types them, or the beginnings of words; nothing finds all.

    Returns
    -------
    tuple
        Keys of the catalogue, those first whose question itself has all the words, else in the order of the catalogue.

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
    """
    wanted = text.casefold().split()
    found = [key for key, entry in ENTRIES.items() if all(word in _said(entry) for word in wanted)]
    asked = {key: words.sentence(ENTRIES[key].question).casefold() for key in found}
    return tuple(sorted(found, key=lambda key: not all(word in asked[key] for word in wanted)))


def by_topic(keys: tuple[str, ...]) -> dict[Topic, tuple[str, ...]]:
    """Return calculations under what somebody has in hand, in the order in which that is offered.

    Parameters
    ----------
    keys
        Keys of the catalogue.

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
    """
    sorted_out = {topic: tuple(key for key in keys if ENTRIES[key].topic == topic) for topic in TOPICS}
    return {topic: found for topic, found in sorted_out.items() if found}
