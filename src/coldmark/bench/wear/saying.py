"""What wear says in plain sentences."""

from __future__ import annotations

from coldmark.bench import words
from coldmark.bench.wear.fill import Fill
from coldmark.bench.wear.rate import Wear
from coldmark.bench.working import Range

__all__ = ["says"]


def _span(found: Range, message: str, units: words.UnitSystem) -> str:
    low, high = (words.figures(one, 3) for one in (found.low, found.high))
    return words.sentence(message, units=units, gain_mg_kg_100h=found.value, low=low, high=high)


def _of_rate(found: Wear, units: words.UnitSystem) -> list[str]:
    if found.stays_mg_kg_100h is not None:
        said = [_span(found.stays_mg_kg_100h, "wear.rate.gaining", units)]
    elif found.verdict == "plateau":
        at_most = found.at_most_mg_kg_100h
        said = [words.sentence("wear.rate.plateau", units=units, within_mg_kg=found.within_mg_kg)]
        said.append(words.sentence("wear.rate.at_most", units=units, at_most_mg_kg_100h=at_most))
    else:
        said = [words.sentence("wear.rate.falling", units=units, expected_mg_kg=found.expected_mg_kg)]
    if found.taken_mg_kg_100h is None:
        said.append(words.sentence("wear.rate.taken_unknown"))
    else:
        said.append(_span(found.taken_mg_kg_100h, "wear.rate.taken", units))
    if found.apparent:
        said.append(words.sentence("wear.rate.apparent"))
    return said


def says(found: Wear | Fill, units: words.UnitSystem = "metric") -> list[str]:
    """Return a rate, or what several samples tell, as plain sentences.

    Parameters
    ----------
    found
        What :func:`rate` or :func:`fill` gave.
    units
        The reader's units.

    Returns
    -------
    list of str
        The answer first, then both bounds and how sure they are.

    Valid for
        Every result.

    Raises
    ------
    Nothing.

    Source
        The message file of the reader's language.

    Examples
    --------
    >>> from coldmark.bench.wear import rate
    >>> says(rate(12, 18, 500, 200))[0]
    'If the metal stays in the oil, it gains 1.20 mg/kg/100 h (0.9 to 1.5).'
    """
    if isinstance(found, Wear):
        return _of_rate(found, units)
    if found.verdict == "open":
        return [words.sentence("wear.fill.open"), *_of_rate(found.latest, units)]
    said = [words.sentence(f"wear.fill.{found.verdict}")]
    if found.mg_kg_100h is not None:
        said.append(
            _span(found.mg_kg_100h, "wear.fill.rate" if found.verdict == "steady" else "wear.fill.lately", units)
        )
    if found.apparent:
        said.append(words.sentence("wear.fill.apparent"))
    return said
