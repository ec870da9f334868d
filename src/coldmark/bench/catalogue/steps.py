"""By how much one press of − or + moves a value, in the reader's unit."""

from __future__ import annotations

import math

from coldmark.bench import words
from coldmark.bench.unit_table import of_name, shown_unit

__all__ = ["in_readers_unit", "nice"]

_ROUND = (1.0, 2.0, 5.0, 10.0)


def nice(value: float) -> float:
    """Return the number 1, 2 or 5 times a power of ten that is nearest to ``value`` by ratio."""
    power = 10.0 ** math.floor(math.log10(value))
    nearest = min(_ROUND, key=lambda one: abs(math.log(one * power / value)))
    return float(f"{nearest * power:.6g}")


def in_readers_unit(name: str, step: float, units: words.UnitSystem) -> float:
    """Return the step of the input ``name``, kept in its own unit, as a round one in the reader's."""
    own = of_name(name)
    if own is None:
        return step
    shown = shown_unit(own.ending, units)
    if shown == own:
        return step
    return nice(step * own.scale / shown.scale)
