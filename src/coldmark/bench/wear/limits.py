"""Limits of used oil that others print: defaults, each with where it stands and how it is known."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from operator import ge, gt, lt
from typing import Literal, cast

from coldmark.bench import words
from coldmark.bench.data_file import table
from coldmark.bench.errors import CannotTell, NotAChoice, require_between, require_choice
from coldmark.bench.shapes import dataclass

__all__ = ["SYSTEMS", "Limit", "limits", "passed"]

CHECKSUM = "24f1e2155789694acaa226f8574fc8a7aa7c3420de0c8086c26ff68f0e9d3126"

SYSTEMS = {
    "hydraulic": ("hydraulic",),
    "hydraulic_hl": ("hydraulic_hl", "hydraulic"),
    "hydraulic_hm": ("hydraulic_hm", "hydraulic"),
    # Of oils with index improver alone: some of it is sheared while they are new, and the lower limits are doubled.
    "hydraulic_hv": ("hydraulic_hv",),
    "hydraulic_severe": ("hydraulic_severe", "hydraulic"),
    "hydraulic_new": ("hydraulic_new",),
    "engine": ("engine", "engine_gbt"),
    "engine_medium": ("engine_medium",),
    "gear": ("gear",),
    "final_drive": ("final_drive", "gear"),
}
"""What may be asked about, and the lists that then count."""

_SHARES = {"mg/kg": 1.0, "ppm": 1.0, "%": 10_000.0}
"""Units of a share by mass, in mg/kg."""

Of = Literal["value", "change_pct", "rise"]
Side = Literal["above", "below", "from"]

_BEYOND: dict[Side, Callable[[float, float], bool]] = {"above": gt, "below": lt, "from": ge}


@dataclass(frozen=True, slots=True)
class Limit:
    """One printed limit.

    ``of`` says what is held against it: the *value* itself, its *change_pct* against the new oil [%], or its *rise*
    over the new oil. ``side`` is where it is passed: *above* it, *below* it, or *from* it on. ``limit`` is as printed:
    a number, or a word of a scale (``2a``, ``–/18/15``). ``step`` is what passing it means: *caution*, *critical*, or
    *change* the oil. ``standing`` is *as printed* in a stored excerpt, or *from memory*.
    """

    system: str
    quantity: str
    of: Of
    side: Side
    limit: str
    unit: str
    step: Literal["caution", "critical", "change"]
    source: str
    standing: str

    @property
    def number(self) -> float | None:
        """The limit as a number, ``None`` where it is a word of a scale."""
        try:
            return float(self.limit)
        except ValueError:
            return None


@cache
def _all() -> tuple[Limit, ...]:
    rows = table("coldmark.bench.wear", "limits.csv", CHECKSUM)
    return tuple(
        Limit(
            row["system"],
            row["quantity"],
            cast(Of, row["of"]),
            cast(Side, row["side"]),
            row["limit"],
            row["unit"],
            cast(Literal["caution", "critical", "change"], row["step"]),
            row["source"],
            row["standing"],
        )
        for row in rows
    )


def limits(system: str = "hydraulic", quantity: str | None = None) -> tuple[Limit, ...]:
    """Return the printed limits for a system, of all quantities or of one.

    Parameters
    ----------
    system
        A key of :data:`SYSTEMS`.
    quantity
        ``iron``, ``copper``, ``kv40``, ``water`` …, or ``None`` for all.

    Returns
    -------
    tuple of Limit
        In the order of the file. Lists disagree, and all that count are given.

    Valid for
        The systems and quantities of the file.

    Raises
    ------
    NotAChoice
        For another system or quantity.

    Source
        Each limit names its own, and how it is known.

    Examples
    --------
    >>> [(one.limit, one.source) for one in limits("hydraulic", "iron")]
    [('20', 'open-access paper on oil change criteria')]
    """
    lists = SYSTEMS[require_choice("system", system, SYSTEMS)]
    found = tuple(one for one in _all() if one.system in lists)
    if quantity is None:
        return found
    require_choice("quantity", quantity, sorted({one.quantity for one in found}))
    return tuple(one for one in found if one.quantity == quantity)


def _held(limit: Limit, value: float, fresh: float | None, unit: str) -> float | None:
    """What is held against a limit, in the limit's unit; ``None`` where the new oil would have to be known."""
    if limit.of == "change_pct":
        return None if fresh is None or fresh <= 0 else 100 * (value - fresh) / fresh
    by = _factor(unit, limit.unit)
    if limit.of == "value":
        return value * by
    return None if fresh is None else (value - fresh) * by


def _factor(unit: str, wanted: str) -> float:
    if unit == wanted:
        return 1.0
    if unit not in _SHARES or wanted not in _SHARES:
        right = [one for one in _SHARES if wanted in _SHARES] or [wanted]
        raise NotAChoice(name="unit", value=unit, choices=right)
    return _SHARES[unit] / _SHARES[wanted]


def passed(
    system: str, quantity: str, value: float, unit: str, *, fresh: float | None = None
) -> tuple[tuple[Limit, bool | None], ...]:
    """Hold a laboratory's value against every printed limit of its quantity.

    Parameters
    ----------
    system
        A key of :data:`SYSTEMS`.
    quantity
        What was measured.
    value
        What was found, in ``unit``.
    unit
        As the laboratory prints it: ``mg/kg`` (or ``ppm``, which is the same), ``%``, ``mm²/s`` (or ``cSt``) …
    fresh
        The same of the new oil of this batch, in the same unit; limits on a change or rise need it.

    Returns
    -------
    tuple
        Each limit that can be a number, with whether it is passed; ``None`` where the new oil's value is needed for it
        and not known. A value that is the limit itself passes it only where the limit counts from itself on.

    Valid for
        Limits that are numbers.

    Raises
    ------
    NotAChoice
        For a system, quantity or unit that no list has.
    OutOfRange
        For a value that is no finite number.
    CannotTell
        When no limit of the quantity is a number.

    Source
        Each limit names its own.

    Examples
    --------
    >>> [one.limit for one, beyond in passed("hydraulic_hm", "kv40", 51, "mm²/s", fresh=46) if beyond]
    ['10', '5', '10']
    """
    require_between("value", value, -math.inf, math.inf, "a laboratory's value")
    if fresh is not None:
        require_between("fresh", fresh, -math.inf, math.inf, "the new oil's value")
    numbered = [(one, one.number) for one in limits(system, quantity)]
    if all(number is None for _, number in numbered):
        raise CannotTell("wear.no_number", quantity=words.spoken(quantity))
    found: list[tuple[Limit, bool | None]] = []
    for one, number in numbered:
        if number is None:
            continue
        held = _held(one, value, fresh, unit)
        beyond = None if held is None else _BEYOND[one.side](held, number)
        found.append((one, beyond))
    return tuple(found)
