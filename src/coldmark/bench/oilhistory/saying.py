"""What is inside, in sentences."""

from __future__ import annotations

from coldmark.bench import words
from coldmark.bench.errors import CannotTell
from coldmark.bench.oil import RESIDUE_LIMIT_SHARE
from coldmark.bench.oilhistory.changes import changes_until
from coldmark.bench.oilhistory.inside import Inside

__all__ = ["says"]

_WORTH_A_LINE = 0.005


def says(
    found: Inside,
    units: words.UnitSystem = "metric",
    *,
    system_l: float | None = None,
    drained_l: float | None = None,
    in_tank_alone: bool = False,
    circulated: bool | None = True,
) -> list[str]:
    """Say how thick the mixture inside is now, how much of another oil is in it, and what is still to be done.

    Parameters
    ----------
    found
        What is inside.
    units
        The reader's units.
    system_l
        How much the whole system holds [L], or ``None``.
    drained_l
        How much a change lets out [L], or ``None``; with both the changes are counted that a bio-oil still needs.
    in_tank_alone
        Whether the last fill lies in the tank alone.
    circulated
        Whether every function was moved after the last fill; ``None``: nobody said so, and it is taken for granted.

    Returns
    -------
    list of str
        Sentences, the viscosity first; none where no oil inside is known.

    Valid for
        Every compartment.

    Raises
    ------
    OutOfRange
        When more is let out than the system holds.

    Source
        ISO 15380 for how much of another oil a bio-oil may hold.

    Examples
    --------
    >>> from coldmark.bench.oil import Oil
    >>> from coldmark.bench.oilhistory import OilPart, inside
    >>> known = {"b": Oil("Meadow 46", 47.5, 9.4, family="HEES")}
    >>> for line in says(inside((OilPart("b", 0.85), OilPart(None, 0.15)), known), system_l=78, drained_l=48):
    ...     print(line)
    How thick it is now cannot be told: 15.0% of it is not known.
    Up to 15.0% of it may be another oil than the bio-oil, and 2% is the usual limit: 3 more changes of 48.0 L.
    """
    if found.main is None:
        return []
    lines = [_viscosity(found, units)]
    mixed = len(found.parts) > 1
    if found.other_share is not None and (found.bio or found.other_share.low > _WORTH_A_LINE):
        lines += _others(found, units, system_l, drained_l)
    if in_tank_alone:
        lines.append(words.sentence("oil_history.in_tank_alone"))
    elif circulated is None and mixed:
        lines.append(words.sentence("oil_history.taken_for_moved"))
    return lines


def _viscosity(found: Inside, units: words.UnitSystem) -> str:
    kv40 = found.kv40_mm2_s
    if kv40 is None:
        return words.sentence("oil_history.untold", units=units, unknown_share=found.unknown_share)
    if kv40.width > 0:
        return words.sentence("oil_history.between", units=units, low_mm2_s=kv40.low, high_mm2_s=kv40.high)
    return words.sentence("oil_history.viscosity", units=units, kv40_mm2_s=kv40.value)


def _others(found: Inside, units: words.UnitSystem, system_l: float | None, drained_l: float | None) -> list[str]:
    assert found.other_share is not None
    told = {"other_share": found.other_share.value, "limit_share": RESIDUE_LIMIT_SHARE}
    if not found.bio:
        return [words.sentence("oil_history.other_kind", units=units, other_share=found.other_share.low)]
    if found.other_share.value <= RESIDUE_LIMIT_SHARE:
        return [words.sentence("oil_history.clean", units=units, **told)]
    sure = found.other_share.width <= 0
    message = "oil_history.over" if sure else "oil_history.may_be_over"
    count = _count(found.other_share.value, system_l, drained_l)
    if count is None or drained_l is None:
        return [words.sentence(f"{message}.uncounted", units=units, **told)]
    message += ".one" if count == 1 else ".several"
    return [words.sentence(message, units=units, count=count, drained_l=drained_l, **told)]


def _count(share: float, system_l: float | None, drained_l: float | None) -> int | None:
    """Return how many changes it takes, or ``None`` where the litres are not known or are too few to be counted."""
    if system_l is None or drained_l is None:
        return None
    try:
        return int(changes_until(share, RESIDUE_LIMIT_SHARE, drained_l, system_l).count.value)
    except CannotTell:
        return None
