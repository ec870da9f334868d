"""What people say at the machine: how warm the oil feels, how far a rod is out."""

from __future__ import annotations

from typing import Literal

from coldmark.bench.errors import Missing, require_between, require_choice
from coldmark.bench.shapes import dataclass

__all__ = ["QUARTERS", "WARMTHS", "Felt", "Warmth", "felt", "quarter"]

Warmth = Literal["as_the_air", "hand_warm", "too_hot_to_hold"]

WARMTHS: tuple[Warmth, ...] = ("as_the_air", "hand_warm", "too_hot_to_hold")
"""The words for how warm the oil feels, coldest first; ``level.warmth.<word>`` is what a reader sees."""

_SPREAD_K = 8.0
_FELT_C: dict[Warmth, float] = {"hand_warm": 35.0, "too_hot_to_hold": 60.0}  # common practice, no source

QUARTERS: tuple[tuple[float, str], ...] = (
    (0.0, "level.quarter.in"),
    (0.25, "level.quarter.one"),
    (0.5, "level.quarter.half"),
    (0.75, "level.quarter.three"),
    (1.0, "level.quarter.out"),
)
"""The steps in which people tell how far a rod is out, each with the message that says it."""


@dataclass(frozen=True, slots=True)
class Felt:
    """An oil temperature [°C] that was felt, and how far it may be off either way [K]."""

    oil_c: float
    spread_k: float


def felt(warmth: str, air_c: float | None = None) -> Felt:
    """Turn how warm the oil feels into a temperature with its spread.

    Parameters
    ----------
    warmth
        ``"as_the_air"``, ``"hand_warm"`` or ``"too_hot_to_hold"``.
    air_c
        The air's temperature [°C]; needed for *as the air*.

    Returns
    -------
    Felt
        Temperature [°C] and spread [K].

    Valid for
        A hand on the tank's side below the oil's surface, where it is safe to touch; air from -40 to 55 °C.

    Raises
    ------
    NotAChoice
        When the word is another.
    Missing
        When the oil is *as the air* and the air's temperature is not told.
    OutOfRange
        When the air's temperature is outside these limits.

    Source
        Common practice, no source: 35 °C for hand-warm, 60 °C for too hot to hold, 8 K either way.

    Examples
    --------
    >>> felt("as_the_air", air_c=5.0)
    Felt(oil_c=5.0, spread_k=8.0)
    >>> felt("hand_warm").oil_c
    35.0
    """
    require_choice("warmth", warmth, WARMTHS)
    if air_c is not None:
        require_between("air_c", air_c, -40.0, 55.0, "air at work")
    if warmth == "as_the_air":
        if air_c is None:
            raise Missing(name="air_c", needed_for="oil that is as warm as the air")
        return Felt(air_c, _SPREAD_K)
    return Felt(_FELT_C["hand_warm" if warmth == "hand_warm" else "too_hot_to_hold"], _SPREAD_K)


def quarter(extension: float) -> tuple[float, str]:
    """Return the quarter step nearest to how far a rod is out, and the message that says it.

    Parameters
    ----------
    extension
        How far the rod is out, 0 to 1 [-].

    Returns
    -------
    tuple
        The step 0, 0.25, 0.5, 0.75 or 1 [-] and its message id.

    Valid for
        0 to 1.

    Raises
    ------
    OutOfRange
        Outside 0 to 1.

    Source
        Definition.

    Examples
    --------
    >>> quarter(0.6)
    (0.5, 'level.quarter.half')
    """
    require_between("extension", extension, 0.0, 1.0, "0 is all the way in, 1 all the way out")
    return min(QUARTERS, key=lambda step: abs(step[0] - extension))
