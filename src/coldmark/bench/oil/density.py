"""Density and thermal expansion of lubricating oils by API MPMS chapter 11.1."""

from __future__ import annotations

import math

from coldmark.bench.errors import require_between

__all__ = ["density_at", "expansion_at_15", "volume_factor"]

SOURCE = "API MPMS 11.1, lubricating oils"
K1_KG_M3_K = 0.6278  # (kg/m³)/K on the base of 15 °C; the printed 0.34878 per °F at 60 °F times 1.8 is 0.6278
LOWEST_C, HIGHEST_C = -50.0, 150.0
LIGHTEST_KG_M3, HEAVIEST_KG_M3 = 801.0, 1164.0
BASE_C = 15.0


def expansion_at_15(density15_kg_m3: float) -> float:
    """Return the coefficient of thermal expansion at 15 °C [1/K].

    Parameters
    ----------
    density15_kg_m3
        Density at 15 °C [kg/m³].

    Returns
    -------
    float
        α = 0.6278 / ρ15 [1/K].

    Valid for
        801 to 1164 kg/m³.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        API MPMS 11.1, Table 54D.

    Examples
    --------
    >>> round(expansion_at_15(880), 7)
    0.0007134
    """
    return K1_KG_M3_K / require_between("density15_kg_m3", density15_kg_m3, LIGHTEST_KG_M3, HEAVIEST_KG_M3, SOURCE)


def volume_factor(density15_kg_m3: float, t_c: float) -> float:
    """Return the volume at 15 °C of one litre measured at ``t_c``: below 1 for warm oil.

    Parameters
    ----------
    density15_kg_m3
        Density at 15 °C [kg/m³].
    t_c
        Temperature of the oil [°C].

    Returns
    -------
    float
        exp(−α·Δt·(1 + 0.8·α·Δt)) with Δt = t − 15 °C.

    Valid for
        −50 to 150 °C, 801 to 1164 kg/m³.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        API MPMS 11.1, generalised lubricating oils.

    Examples
    --------
    >>> round(volume_factor(880, 80), 5), volume_factor(880, 15)
    (0.95305, 1.0)
    """
    require_between("t_c", t_c, LOWEST_C, HIGHEST_C, SOURCE)
    x = expansion_at_15(density15_kg_m3) * (t_c - BASE_C)
    return math.exp(-x * (1 + 0.8 * x))


def density_at(density15_kg_m3: float, t_c: float) -> float:
    """Return the density [kg/m³] at ``t_c``.

    Parameters
    ----------
    density15_kg_m3
        Density at 15 °C [kg/m³].
    t_c
        Temperature of the oil [°C].

    Returns
    -------
    float
        Density [kg/m³].

    Valid for
        −50 to 150 °C, 801 to 1164 kg/m³.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        API MPMS 11.1, generalised lubricating oils.

    Examples
    --------
    >>> round(density_at(880, 40), 3)
    864.224
    """
    return density15_kg_m3 * volume_factor(density15_kg_m3, t_c)
