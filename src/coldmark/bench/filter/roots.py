"""Where a curve of cold oil crosses a limit."""

from __future__ import annotations

from collections.abc import Callable

__all__ = ["crosses_at"]


def crosses_at(
    rising: Callable[[float], float], low: float, high: float, *, near: float, within: float = 1e-3
) -> float:
    """Return where a function that rises from below zero to above it crosses, to ``within``.

    Cold oil lies so far below that a straight line to it helps nobody: the stretch is halved until its lower end is
    less than ``near`` below zero, and cut by straight lines from there, whose resting end is halved (Illinois). That
    takes a third of the steps of halving alone.

    >>> round(crosses_at(lambda x: 1 - 1000 * 2.718281828 ** -x, 0, 100, near=1, within=1e-9), 6)
    6.907755
    """
    below, above = rising(low), rising(high)
    rested = 0
    while high - low > within:
        straight = below > -near
        middle = low + (high - low) * (-below / (above - below) if straight else 0.5)
        if not low < middle < high:
            return middle
        found = rising(middle)
        if found < 0:
            low, below = middle, found
            if straight and rested < 0:
                above /= 2
            rested = -1
        else:
            high, above = middle, found
            if straight and rested > 0:
                below /= 2
            rested = 1
        if abs(found) < 1e-13 * near:
            return middle
    return (low + high) / 2
