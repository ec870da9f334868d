"""Questions to the bench as text, answered as text: how a phone asks its own Python, from outside of Python.

A question is a JSON object that says in ``do`` what it wants, and in ``units`` for whom:

``list``      calculations by key, topic and question: all, or those for what is ``asked``, the likeliest first; and
              what the topics are called
``describe``  one calculation by its ``key``, for a form
``sum``       the calculation ``key`` on what was ``told``, by input name
``open``      holds a machine, to be asked about its jobs; :class:`coldmark.bench.job.JobDesk` says how these are asked
``machine``   the machine that is held, at a glance
``card``      the card of a job, ``level``, ``meter`` and ``finish`` what it asks while it is open
``code``      the closing code of a job

The answer is ``{"ok": …}``, with a ``note`` beside it where something has to be said with it, or
``{"refused": {"says", "name"}}`` where the bench refuses: what it says, and the name of what it was given for (``null``
where it is for none).
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any, NoReturn, cast

from coldmark.bench import words
from coldmark.bench.errors import ColdmarkError, Refused, require_choice
from coldmark.bench.job import ACTS, JobDesk

__all__ = ["answer"]

Asked = Mapping[str, Any]


def _list(asked: Asked, _units: words.UnitSystem) -> dict[str, Any]:
    from coldmark.bench import catalogue  # every calculation of the bench, which a card does without

    return {
        "topics": [{"key": key, "says": words.sentence(f"catalogue.topic.{key}")} for key in catalogue.TOPICS],
        "sums": [
            {"key": key, "topic": one.topic, "question": words.sentence(one.question)}
            for key in catalogue.find(_text(asked, "asked"))
            for one in (catalogue.ENTRIES[key],)
        ],
    }


def _describe(asked: Asked, units: words.UnitSystem) -> dict[str, Any]:
    from coldmark.bench import catalogue

    return catalogue.describe(_text(asked, "key"), units)


def _sum(asked: Asked, units: words.UnitSystem) -> dict[str, Any]:
    from coldmark.bench import catalogue

    told = asked.get("told", {})
    if not isinstance(told, dict):
        raise Refused("desk.not_object", name="told")
    return catalogue.outcome_to_plain(catalogue.run(_text(asked, "key"), told, units), units)


_ACTS: dict[str, Callable[[Asked, words.UnitSystem], object]] = {"list": _list, "describe": _describe, "sum": _sum}
_JOBS = JobDesk()


def _text(asked: Asked, name: str, otherwise: str = "") -> str:
    value = asked.get(name, otherwise)
    if not isinstance(value, str):
        raise Refused("refused.text", name=name, value=json.dumps(value)[:40])
    return value


def _no_number(word: str) -> NoReturn:
    """NaN and Infinity are no JSON, though Python reads them."""
    raise ValueError(word)


def _read(text: str) -> dict[str, Any]:
    try:
        asked = json.loads(text, parse_constant=_no_number)
    except (ValueError, RecursionError):
        raise Refused("desk.not_json", name="question") from None
    if not isinstance(asked, dict):
        raise Refused("desk.not_object", name="question")
    return asked


def answer(text: str) -> str:
    """Answer a question.

    Parameters
    ----------
    text
        A JSON object, as described above.

    Returns
    -------
    str
        A JSON object with ``ok`` or ``refused``.

    Valid for
        Any text.

    Raises
    ------
    Nothing
        What cannot be worked with is answered with the reason. An error of any other class is a mistake in the program.

    Source
        Definition.

    Examples
    --------
    >>> asked = {"do": "sum", "key": "oil_density", "told": {"density15_kg_m3": "870", "t_c": "80"}}
    >>> json.loads(answer(json.dumps(asked)))["ok"]["says"][0]
    'At 80 °C it has 829 kg/m³.'
    >>> json.loads(answer('{"do": "guess"}'))["refused"]["name"]
    'do'
    """
    units: words.UnitSystem = "metric"
    try:
        asked = _read(text)
        units = cast(words.UnitSystem, require_choice("units", _text(asked, "units", units), ("metric", "us")))
        do = require_choice("do", _text(asked, "do"), (*_ACTS, *ACTS))
        note = None
        if do in _ACTS:
            ok = _ACTS[do](asked, units)
        else:
            ok, note = _JOBS.answer(do, asked, units)
        told: dict[str, object] = {"ok": ok} if note is None else {"ok": ok, "note": note}
    except ColdmarkError as error:
        told = {"refused": {"says": error.say(units), "name": error.name if isinstance(error, Refused) else None}}
    return json.dumps(told, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
