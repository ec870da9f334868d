"""The fold of one compartment's movements of oil into what it holds."""

from __future__ import annotations

from collections.abc import Iterable

from coldmark.bench.oilhistory.mixing import moved
from coldmark.bench.oilhistory.model import Contents, Movement

__all__ = ["fold"]


def fold(
    movements: Iterable[Movement],
    *,
    system_l: float | None,
    tank_l: float | None = None,
    start: Contents | None = None,
) -> Contents:
    """Fold fills, drains, top-ups and partial changes of one compartment into what it holds.

    Parameters
    ----------
    movements
        In their order.
    system_l
        How much the whole system holds when it is full [L], not its tank; ``None``: nobody knows.
    tank_l
        How much of that can be let out [L], or ``None``; it matters only for oil that was not circulated.
    start
        What it held before, or ``None``: nobody knows.

    Returns
    -------
    Contents
        The oils by volume. What nobody told stays unknown. A change leaves 1 − litres drained ÷ litres in the system,
        and counts once every function was moved.

    Valid for
        As :func:`moved`; the ledger folds a machine's facts by the very same steps.

    Raises
    ------
    NotAChoice, OutOfRange
        As :func:`moved`.

    Source
        Conservation of volume at one temperature.

    Examples
    --------
    >>> from coldmark.bench.ledger import Pour
    >>> pours = [Pour("2026-03-02", "", way, litres, oil, None, None, None)
    ...          for way, litres, oil in (("drained", -60, None), ("fill", 60, "meadow_46"))]
    >>> [(part.oil, part.share) for part in fold(pours * 2, system_l=100).parts]
    [('meadow_46', 0.84), (None, 0.16)]
    """
    contents = Contents() if start is None else start
    before: Movement | None = None
    for movement in movements:
        worked_h = None
        if before is not None and before.hours is not None and movement.hours is not None:
            worked_h = movement.hours - before.hours
        contents = moved(contents, movement, system_l=system_l, tank_l=tank_l, worked_h=worked_h)
        before = movement
    return contents
