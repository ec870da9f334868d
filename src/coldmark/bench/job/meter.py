"""Whether an hour meter's reading is doubted."""

from __future__ import annotations

from datetime import datetime

from coldmark.bench import clocks, words
from coldmark.bench.ledger import State
from coldmark.bench.shapes import dataclass

__all__ = ["MeterAnswer", "doubted"]


@dataclass(frozen=True, slots=True)
class MeterAnswer:
    """Whether a reading is doubted, and the question to ask then."""

    doubt: str | None
    says: str | None


def doubted(state: State, reading_h: float, at: str) -> MeterAnswer:
    """Return whether a reading of the meter asks for a second look, and the question to ask then.

    Parameters
    ----------
    state
        What the machine's facts say.
    reading_h
        What the meter shows [h].
    at
        The moment, as a fact has it.

    Returns
    -------
    MeterAnswer
        The doubt and its question; both ``None`` where there is none.

    Valid for
        Every reading; nothing is ever blocked by it.

    Raises
    ------
    OutOfRange
        When the reading cannot be.

    Source
        The clocks, see docs/how/clocks.md.

    Examples
    --------
    >>> doubted(State("m"), 512.0, "2026-03-02T08:15:00+01:00")
    MeterAnswer(doubt=None, says=None)
    """
    doubt = clocks.meter_doubt(state, reading_h, at)
    if doubt is None:
        return MeterAnswer(None, None)
    last = state.meter.points[-1]
    day = words.day(datetime.fromisoformat(last.at).date())
    return MeterAnswer(
        doubt, words.sentence(f"glance.meter.{doubt}", reading_h=reading_h, last_h=last.shown_h, day=day)
    )
