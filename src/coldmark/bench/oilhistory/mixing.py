"""How oils mix in a compartment when oil goes in and out, and when every function is moved."""

from __future__ import annotations

from collections.abc import Mapping

from coldmark.bench.errors import require_above, require_between, require_choice
from coldmark.bench.oilhistory.model import NOBODY_KNOWS, Contents, Movement, OilPart

__all__ = ["IN_WAYS", "OUT_WAYS", "WORKED_H", "moved"]

IN_WAYS = ("fill", "top_up", "attachment_on")
"""Ways in which oil comes into a compartment."""
OUT_WAYS = ("drained", "held_by_element", "spilt", "sampled", "attachment_off")
"""Ways in which oil leaves it."""
NOT_OIL = ("water_drained",)

WORKED_H = 1.0
"""A machine that has worked for so long has moved every function: assumed, where nobody said so."""

_GONE = 1e-4  # a share smaller than that is not worth a line
MOST_L = 100_000.0

Amounts = Mapping[str | None, float]


def _shares(amounts: Amounts, total_l: float) -> tuple[OilPart, ...]:
    found = [OilPart(oil, litres / total_l) for oil, litres in amounts.items() if litres / total_l > _GONE]
    return tuple(sorted(found, key=lambda part: (-part.share, part.oil or "")))


def _whole(amounts: Amounts) -> tuple[OilPart, ...]:
    """Return the shares of all that is there: they make one, whatever was too little to name."""
    total_l = sum(litres for litres in amounts.values() if litres > 0)
    kept = {oil: litres for oil, litres in amounts.items() if litres / total_l > _GONE}
    return _shares(kept, sum(kept.values()))


def _litres(parts: tuple[OilPart, ...], total_l: float) -> dict[str | None, float]:
    return {part.oil: part.share * total_l for part in parts}


def _poured(contents: Contents, litres: float, oil: str | None, system_l: float, circulated: bool | None) -> Contents:
    """Pour oil in.

    What is there is all that the system holds less what was let out, and never more than leaves room for the pour: a
    top-up without a drain makes good what was lost unseen. So a drain and a fill leave 1 − drained ÷ system of the
    oil before.
    """
    there_l = max(0.0, system_l - max(contents.missing_l, litres))
    parts, unmixed = _litres(contents.parts, there_l), _litres(contents.unmixed, there_l)
    parts[oil] = parts.get(oil, 0.0) + litres
    unmixed[oil] = unmixed.get(oil, 0.0) + litres
    return Contents(
        _whole(parts),
        max(0.0, contents.missing_l - litres),
        _shares(unmixed, there_l + litres) if circulated is False else (),
    )


def _let_out(contents: Contents, litres: float, system_l: float | None, tank_l: float | None) -> Contents:
    """Let oil out. Where all of it is mixed it takes every oil alike; else it takes what the tank holds."""
    missing_l = contents.missing_l + litres
    if not contents.unmixed or system_l is None:
        return Contents(contents.parts, missing_l, contents.unmixed)
    there_l = max(0.0, system_l - contents.missing_l)
    left_l = there_l - litres
    if left_l <= 0:
        return Contents(contents.parts, missing_l, ())
    parts, fresh = _litres(contents.parts, there_l), _litres(contents.unmixed, there_l)
    fresh_l = sum(fresh.values())
    # The tank holds what was poured in, and of what was there before as much as has room beside it. Without the
    # tank's litres what lies on top is taken to leave first: the careful side.
    in_tank_l = min(there_l, max(fresh_l, litres if tank_l is None else tank_l))
    old = {oil: amount - fresh.get(oil, 0.0) for oil, amount in parts.items()}
    old_l = there_l - fresh_l
    from_tank_l = min(litres, in_tank_l)
    fresh_left = 1 - from_tank_l / in_tank_l
    old_out_l = litres - fresh_l * (1 - fresh_left)
    old_left = 1.0 if old_l <= 0 else max(0.0, 1 - old_out_l / old_l)
    fresh = {oil: amount * fresh_left for oil, amount in fresh.items()}
    left = {oil: amount * old_left + fresh.get(oil, 0.0) for oil, amount in old.items()}
    return Contents(_whole(left), missing_l, _shares(fresh, left_l))


def moved(
    contents: Contents,
    movement: Movement,
    *,
    system_l: float | None,
    tank_l: float | None = None,
    worked_h: float | None = None,
) -> Contents:
    """Return what a compartment holds after oil went in or out.

    Parameters
    ----------
    contents
        What it held before.
    movement
        The oil that went in or out.
    system_l
        How much the whole system holds when it is full [L], not its tank; ``None``: nobody knows, and what is inside
        is not known either once something was poured in.
    tank_l
        How much of that can be let out [L], or ``None``; it matters only for oil that was not circulated.
    worked_h
        How long the machine has worked since the movement before [h], or ``None``: not known.

    Returns
    -------
    Contents
        Oil that was poured in mixes with all the rest, unless the movement says that the functions were not moved
        afterwards. Then it stays in the tank until a later pour is circulated, or the machine has worked for an hour.

    Valid for
        0 to 100,000 L; the ways that facts know.

    Raises
    ------
    NotAChoice
        For another way.
    OutOfRange
        When litres lie outside of that.

    Source
        Conservation of volume at one temperature. That an hour of work moves every function is assumed.

    Examples
    --------
    >>> from coldmark.bench.ledger import Pour
    >>> def pour(way, litres, oil=None):
    ...     return Pour("2026-03-02", "", way, litres, oil, None, None, None)
    >>> drained = moved(Contents((OilPart("valley_46", 1.0),)), pour("drained", -48), system_l=78)
    >>> [(part.oil, round(part.share, 3)) for part in moved(drained, pour("fill", 48, "meadow_46"), system_l=78).parts]
    [('meadow_46', 0.615), ('valley_46', 0.385)]
    """
    require_choice("way", movement.way, (*IN_WAYS, *OUT_WAYS, *NOT_OIL))
    litres = require_between("litres_l", abs(movement.litres), 0, MOST_L, "one compartment")
    for name, value in (("system_l", system_l), ("tank_l", tank_l)):
        if value is not None:
            require_above(name, value, 0, "a compartment holds something")
    if worked_h is not None and worked_h >= WORKED_H:
        contents = Contents(contents.parts, contents.missing_l, ())
    if movement.way in NOT_OIL:
        return contents
    if movement.way in OUT_WAYS:
        return _let_out(contents, litres, system_l, tank_l)
    if not litres > 0:
        return Contents(contents.parts, contents.missing_l, ()) if movement.circulated else contents
    if system_l is None:
        return Contents(NOBODY_KNOWS, contents.missing_l, ())
    return _poured(contents, litres, movement.oil, system_l, movement.circulated)
