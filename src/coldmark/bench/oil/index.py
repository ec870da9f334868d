"""Viscosity index by ASTM D2270, and the viscosity at 100 °C that an index stands for."""

from __future__ import annotations

import math
from bisect import bisect_right

from coldmark.bench.errors import Contradiction, OutOfRange, require_above, require_between
from coldmark.bench.oil.index_table import INDEX_TABLE
from coldmark.bench.working import Given, Origin, Step, Working

__all__ = ["explain_index", "kv100_from_index", "reference_series", "viscosity_index"]

SOURCE = "ASTM D2270"
LOWEST_KV100 = 2.0  # below it the standard defines no index
HIGHEST_KV100 = 500.0  # the standard sets no upper end; no oil of a machine is thicker
_TABLE_END = INDEX_TABLE[-1][0]
_KV100 = [row[0] for row in INDEX_TABLE]


def reference_series(kv100_mm2_s: float) -> tuple[float, float]:
    """Return L and H, the viscosities at 40 °C of oils of index 0 and 100 that agree with this one at 100 °C.

    Parameters
    ----------
    kv100_mm2_s
        Kinematic viscosity at 100 °C [mm²/s].

    Returns
    -------
    tuple of float
        L and H [mm²/s]: between rows of Table 1 by straight line up to 70 mm²/s, by the standard's equations above.

    Valid for
        2 to 500 mm²/s.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        ASTM D2270, Table 1 and the equations for oils above 70 mm²/s.

    Examples
    --------
    >>> low, high = reference_series(8.86)
    >>> round(low, 2), round(high, 2)
    (119.94, 69.48)
    """
    y = require_between("kv100_mm2_s", kv100_mm2_s, LOWEST_KV100, HIGHEST_KV100, SOURCE)
    if y > _TABLE_END:
        return (0.8353 * y + 14.67) * y - 216, (0.1684 * y + 11.85) * y - 97
    upper = min(bisect_right(_KV100, y), len(INDEX_TABLE) - 1)
    y0, l0, h0 = INDEX_TABLE[upper - 1]
    y1, l1, h1 = INDEX_TABLE[upper]
    share = (y - y0) / (y1 - y0)
    return l0 + share * (l1 - l0), h0 + share * (h1 - h0)


def _index(kv40: float, kv100: float) -> float:
    low, high = reference_series(kv100)
    if kv40 > high:
        return 100 * (low - kv40) / (low - high)
    n = math.log(high / kv40) / math.log(kv100)
    return float(100 + (10.0**n - 1) / 0.00715)


def viscosity_index(kv40_mm2_s: float, kv100_mm2_s: float) -> float:
    """Return the viscosity index: how little the oil thins when it warms (higher is steadier).

    Parameters
    ----------
    kv40_mm2_s
        Kinematic viscosity at 40 °C [mm²/s].
    kv100_mm2_s
        Kinematic viscosity at 100 °C [mm²/s].

    Returns
    -------
    float
        The index, not rounded; the standard prints it as a whole number. Procedure A up to 100, B above.

    Valid for
        2 to 500 mm²/s at 100 °C, and thicker than that at 40 °C.

    Raises
    ------
    OutOfRange
        When a viscosity lies outside the method.
    Contradiction
        When the oil would be thicker hot than warm.

    Source
        ASTM D2270, procedures A and B.

    Examples
    --------
    >>> round(viscosity_index(73.30, 8.86)), round(viscosity_index(22.83, 5.05))
    (92, 156)
    """
    require_between("kv100_mm2_s", kv100_mm2_s, LOWEST_KV100, HIGHEST_KV100, SOURCE)
    require_above("kv40_mm2_s", kv40_mm2_s, 0, SOURCE)
    if kv40_mm2_s <= kv100_mm2_s:
        why = "oil.cannot.thicker_hot"
        raise Contradiction(name="kv40_mm2_s", value=kv40_mm2_s, why=why, warm_c=40, hot_c=100)
    return _index(kv40_mm2_s, kv100_mm2_s)


def kv100_from_index(kv40_mm2_s: float, viscosity_index: float) -> float:
    """Return the viscosity at 100 °C [mm²/s] that an oil of this index has.

    Parameters
    ----------
    kv40_mm2_s
        Kinematic viscosity at 40 °C [mm²/s].
    viscosity_index
        The index by ASTM D2270.

    Returns
    -------
    float
        Kinematic viscosity at 100 °C [mm²/s]. The index of the result is the one given; where the standard's table
        and equations meet, at 70 mm²/s, two results differ by less than 0.1 mm²/s and the lower one is given.

    Valid for
        Every index that a result of 2 to 500 mm²/s can have at this viscosity at 40 °C.

    Raises
    ------
    OutOfRange
        When no such oil lies within the method; the limits are the indices that do.

    Source
        ASTM D2270, solved for the viscosity at 100 °C by halving.

    Examples
    --------
    >>> round(kv100_from_index(46, 100), 3), round(kv100_from_index(32, 150), 3)
    (6.76, 6.269)
    """
    require_above("kv40_mm2_s", kv40_mm2_s, LOWEST_KV100, SOURCE)
    low, high = LOWEST_KV100, min(kv40_mm2_s, HIGHEST_KV100)
    least, most = _index(kv40_mm2_s, low), _index(kv40_mm2_s, high)
    if not least <= viscosity_index <= most:
        raise OutOfRange(name="viscosity_index", value=viscosity_index, low=least, high=most, source=SOURCE)
    if low < _TABLE_END < high:
        if _index(kv40_mm2_s, _TABLE_END) >= viscosity_index:
            high = _TABLE_END
        else:
            low = _TABLE_END
    while True:
        middle = (low + high) / 2
        if not low < middle < high:
            return high
        if _index(kv40_mm2_s, middle) < viscosity_index:
            low = middle
        else:
            high = middle


def explain_index(kv40_mm2_s: float, kv100_mm2_s: float, origin: Origin = "told") -> Working:
    """Return the working of :func:`viscosity_index`.

    Parameters
    ----------
    kv40_mm2_s, kv100_mm2_s
        Kinematic viscosities at 40 and 100 °C [mm²/s].
    origin
        Where they come from.

    Returns
    -------
    Working
        One step, with L and H.

    Valid for
        As :func:`viscosity_index`.

    Raises
    ------
    OutOfRange, Contradiction
        As :func:`viscosity_index`.

    Source
        ASTM D2270.

    Examples
    --------
    >>> explain_index(22.83, 5.05).steps[0].formula
    'VI = 100 + (10^N − 1) / 0.00715, N = log(H / U) / log Y'
    """
    found = viscosity_index(kv40_mm2_s, kv100_mm2_s)
    low, high = reference_series(kv100_mm2_s)
    a = "VI = 100 · (L − U) / (L − H)"
    b = "VI = 100 + (10^N − 1) / 0.00715, N = log(H / U) / log Y"
    givens = (
        Given("U", kv40_mm2_s, "mm2_s", origin),
        Given("Y", kv100_mm2_s, "mm2_s", origin),
        Given("L", low, "mm2_s", "worked_out"),
        Given("H", high, "mm2_s", "worked_out"),
    )
    return Working((Step("working.oil.index", a if kv40_mm2_s > high else b, givens, found, "", SOURCE),))
