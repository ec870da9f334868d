"""What a level that was read means on a machine as it is known."""

from __future__ import annotations

from collections.abc import Mapping

from coldmark.bench import level, words
from coldmark.bench.errors import Missing, Refused
from coldmark.bench.job.learning import taught
from coldmark.bench.job.oils import oil_inside
from coldmark.bench.ledger import State
from coldmark.bench.oil import Oil
from coldmark.bench.pictures import glass
from coldmark.bench.shapes import dataclass
from coldmark.bench.sheet import Sheet, tank_of

__all__ = ["LevelAnswer", "LevelAsk", "drawn", "level_of"]


@dataclass(frozen=True, slots=True)
class LevelAsk:
    """A level as it was read, in the bench's units; the oil's warmth stands in for its temperature.

    ``compartment`` is where it was read; ``None`` is the hydraulic tank, the only one whose level is worked out.
    """

    reading: float | str
    posture: str | None
    rods: Mapping[str, float] | None
    oil_c: float | None
    warmth: str | None
    air_c: float | None
    engine: str | None
    settled_min: float | None
    foam: bool = False
    compartment: str | None = None
    oil_spread_k: float = 2.0


@dataclass(frozen=True, slots=True)
class LevelAnswer:
    """What a level means, with the drawing that shows it."""

    verdict: level.LevelVerdict
    glass: str


def level_of(
    sheet: Sheet, state: State, ask: LevelAsk, oils: Mapping[str, Oil], *, coldest_c: float | None = None
) -> LevelAnswer:
    """Judge a level on a machine as it is known: with its oil, what its pours have taught, and the place's cold.

    Parameters
    ----------
    sheet
        The machine's data sheet.
    state
        What its facts say.
    ask
        The level as it was read.
    oils
        The oils by their keys.
    coldest_c
        The coldest start of the place [°C], or ``None``.

    Returns
    -------
    LevelAnswer
        The verdict, and the drawing of it.

    Valid for
        The hydraulic tank.

    Raises
    ------
    Missing
        When neither a temperature nor a warmth was told, or no posture.
    Refused
        When a value cannot be.

    Source
        See docs/how/level.md.

    Examples
    --------
    >>> from coldmark.bench.sheet import read, template
    >>> sheet = read(template("dumper"))
    >>> ask = LevelAsk(0.5, sheet.hydraulic.check_posture, None, 20.0, None, None, "stopped", 30.0)
    >>> level_of(sheet, State("m"), ask, {}).glass[:4]
    '<svg'
    """
    oil_c, spread_k = _temperature(ask)
    posture: str | Mapping[str, float] | None = ask.posture if ask.rods is None else ask.rods
    if posture is None:
        raise Missing(name="posture", needed_for=words.sentence("card.the_level"))
    oil = oil_inside(state, tank_of(sheet), oils)
    verdict = level.read(
        taught(sheet, state, oil),
        ask.reading if isinstance(ask.reading, float) else _off_glass(ask.reading),
        oil_c,
        posture,
        oil=oil,
        air_c=ask.air_c,
        coldest_c=coldest_c,
        engine=ask.engine,
        settled_min=ask.settled_min,
        foam=ask.foam,
        oil_spread_k=spread_k,
        cannot_move=True,
    )
    return LevelAnswer(verdict, drawn(sheet, verdict))


def drawn(sheet: Sheet, verdict: level.LevelVerdict) -> str:
    """Draw a verdict: the oil where it stands, the cold mark, and where it will stand hot.

    Parameters
    ----------
    sheet
        The machine's data sheet.
    verdict
        From :func:`coldmark.bench.level.read`.

    Returns
    -------
    str
        SVG.

    Valid for
        Every verdict.

    Raises
    ------
    Nothing.

    Source
        Definition.

    Examples
    --------
    >>> from coldmark.bench.sheet import read, template
    >>> sheet = read(template("dumper"))
    >>> drawn(sheet, level.read(sheet.hydraulic, 0.5, 20.0, sheet.hydraulic.check_posture))[:4]
    '<svg'
    """
    elsewhere = verdict.move_first is not None
    return glass(
        verdict.reading,
        cold_mark=None if verdict.cold_mark is None or elsewhere else verdict.cold_mark.mark.value,
        hot=None if verdict.hot is None or elsewhere else verdict.hot.value,
        kind=sheet.hydraulic.gauge.kind,
    )


def _temperature(ask: LevelAsk) -> tuple[float, float]:
    if ask.oil_c is not None:
        return ask.oil_c, ask.oil_spread_k
    if ask.warmth is None:
        raise Missing(name="oil_c", needed_for=words.sentence("card.the_level"))
    felt = level.felt(ask.warmth, ask.air_c)
    return felt.oil_c, felt.spread_k


def _off_glass(reading: str) -> level.Reading:
    if reading == "below":
        return "below"
    if reading == "above":
        return "above"
    raise Refused("refused.choice", name="reading", value=reading, choices="below, above")
