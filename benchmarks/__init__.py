"""Measured budgets: how long, how much, against what we promised; run by ``script/bench``.

A module of this package gives its measures as ``MEASURES``, a tuple of :class:`Measure`; it is found by looking. Tests
assert counts and ratios only, since a machine's speed is not the code's: milliseconds are asserted here, by hand.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

__all__ = ["Measure", "least_s"]


@dataclass(frozen=True)
class Measure:
    """One budget: ``take`` returns the measured value in ``unit``, to lie below ``budget``."""

    name: str
    budget: float
    unit: str
    take: Callable[[], float]


def least_s(do: Callable[[], object], *, times: int = 15, warm_up: int = 2) -> float:
    """Return the least time of ``do`` in seconds: whatever else the machine does only ever adds to it."""
    for _ in range(warm_up):
        do()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        do()
        taken.append(time.perf_counter() - start)
    return min(taken)
