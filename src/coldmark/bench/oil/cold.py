"""How much thicker a thickened oil may be in real cold than its line through 40 and 100 °C says."""

from __future__ import annotations

import math

from coldmark.bench.errors import require_between
from coldmark.bench.oil.density import HIGHEST_C, LOWEST_C
from coldmark.bench.oil.model import Oil
from coldmark.bench.working import Range

__all__ = ["cold_factor", "viscosity_in_the_cold"]

_BEND = 0.91
"""A thickened fluid of 13.5 and 5.1 mm²/s, measured at −40 and −54 °C, had 2.47 and 5.31 times what its line says."""


def cold_factor(oil: Oil, t_c: float) -> float:
    """Return how many times thicker than its line an oil may be at a temperature; 1 where nothing speaks for it.

    Parameters
    ----------
    oil
        The oil.
    t_c
        Temperature [°C].

    Returns
    -------
    float
        exp(0.91 · (t/40)²) for a thickened oil below 0 °C, else 1.

    Valid for
        −50 to 150 °C. It was fitted to one fluid, measured at two temperatures: a warning, not a figure to rely on.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        A fluid of the MIL-H-5606 type as measured, in a stored excerpt; the curve through it is assumed.

    Examples
    --------
    >>> thick = Oil("Valley wide 46", 46, viscosity_index=150)
    >>> [round(cold_factor(thick, t_c), 2) for t_c in (5, -10, -20, -40)]
    [1.0, 1.06, 1.26, 2.48]
    """
    require_between("t_c", t_c, LOWEST_C, HIGHEST_C, "oil that flows")
    return math.exp(_BEND * (t_c / 40) ** 2) if oil.doubt(t_c) else 1.0


def viscosity_in_the_cold(oil: Oil, t_c: float) -> Range:
    """Return the viscosity [mm²/s] at a temperature, with a range up to what a thickened oil may really have.

    Parameters
    ----------
    oil
        The oil.
    t_c
        Temperature [°C].

    Returns
    -------
    Range
        The line's value, and up to :func:`cold_factor` times as much [mm²/s].

    Valid for
        The pour point or −50 °C to the flash point or 150 °C.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        ASTM D341, and :func:`cold_factor`.

    Examples
    --------
    >>> cold = viscosity_in_the_cold(Oil("Valley wide 46", 46, viscosity_index=150), -20)
    >>> round(cold.low), round(cold.high)
    (2147, 2696)
    """
    kv = oil.viscosity(t_c)
    return Range(kv, kv, kv * cold_factor(oil, t_c))
