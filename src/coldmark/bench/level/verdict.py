"""What a level reading says, as values; its two sentences are made from them for every reader."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Literal

from coldmark.bench import words
from coldmark.bench.level.cold import ColdMark
from coldmark.bench.level.model import Reading
from coldmark.bench.level.setting import Off
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Range, Working

__all__ = ["LevelVerdict", "Said", "State", "says", "says_off"]

State = Literal[
    "right",  # nothing to do
    "may_add",  # acceptable; more would be better
    "low",  # oil must go in
    "high",  # oil must come out
    "none_seen",  # no oil in the glass: do not start
    "over_glass",  # more than the glass can show
    "let_cool",  # over the glass, and it may be right once cooler
    "move_first",  # not the check posture
    "engine",  # the engine is not as it must be
    "settle",  # not settled yet
    "foam",  # foam hides the oil
]

Value = str | int | float


@dataclass(frozen=True, slots=True)
class Said:
    """One sentence as message id and values."""

    message: str
    values: Mapping[str, Value] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class LevelVerdict:
    """What a reading says. Readings are 0 at the lower mark and 1 at the upper; litres to add are positive.

    ``check`` is what it would read in the check posture now, ``at_marks`` where it stands there at the temperature
    ``marks_c`` by which it is judged, ``hot`` and ``coldest`` where it stands hot and on the coldest start. ``add_l``
    is to be added (negative: drained off) to reach ``cold_mark``, ``None`` where nothing is; ``at_least_l`` stands in
    for it where the glass shows nothing but *no oil*, or *more than it can show*. ``room_l`` is what more may go in up
    to ``cold_mark`` where the level is right already. ``move_first`` is the check posture's key. ``glass_off`` is how
    much higher the glass stands in this posture than in the check posture, ``glass_off_l`` the same in litres.
    """

    state: State
    said: tuple[Said, Said]
    reading: Reading
    oil_c: float
    check: Range | None = None
    at_marks: Range | None = None
    marks_c: float | None = None
    hot: Range | None = None
    coldest: Range | None = None
    add_l: Range | None = None
    at_least_l: float | None = None
    room_l: Range | None = None
    cold_mark: ColdMark | None = None
    move_first: str | None = None
    glass_off: Range | None = None
    glass_off_l: Range | None = None
    off: tuple[Off, ...] = ()
    working: Working = field(default_factory=lambda: Working(()))


def says(verdict: LevelVerdict, units: words.UnitSystem = "metric") -> list[str]:
    """Say a verdict in two sentences.

    Parameters
    ----------
    verdict
        From :func:`coldmark.bench.level.read`.
    units
        ``"metric"`` or ``"us"``.

    Returns
    -------
    list
        Two sentences: what to do, and why.

    Valid for
        Every verdict.

    Raises
    ------
    KeyError
        When a sentence lacks a value: a mistake in the program.

    Source
        The sentences of ``bench.words``.

    Examples
    --------
    >>> wait = LevelVerdict("foam", (Said("level.foam"), Said("level.foam_why")), reading=0.5, oil_c=20.0)
    >>> says(wait)[0]
    'Wait until the foam is gone, then read again.'
    """
    return [words.sentence(one.message, units=units, **one.values) for one in verdict.said]


def says_off(verdict: LevelVerdict, units: words.UnitSystem = "metric") -> list[str]:
    """Say what missing values switched off, one sentence each.

    Parameters
    ----------
    verdict
        From :func:`coldmark.bench.level.read`.
    units
        ``"metric"`` or ``"us"``.

    Returns
    -------
    list
        One sentence for each missing value; empty where nothing is missing.

    Valid for
        Every verdict.

    Raises
    ------
    KeyError
        When there is no such sentence: a mistake in the program.

    Source
        The sentences of ``bench.words``.

    Examples
    --------
    >>> unknown = LevelVerdict("foam", (Said("level.foam"), Said("level.foam_why")), reading=0.5, oil_c=20.0,
    ...                        off=(Off("coldest_c", "coldest"),))
    >>> says_off(unknown)
    ['The coldest start is not told: nothing is said of it.']
    """
    return [words.sentence(f"level.off.{one.switches_off}", units=units) for one in verdict.off]
