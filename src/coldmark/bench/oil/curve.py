"""Viscosity against temperature by ASTM D341: the straight line through two measured points."""

from __future__ import annotations

import math

from coldmark.bench.errors import Contradiction, require_between
from coldmark.bench.shapes import dataclass

__all__ = ["Curve", "curve_through"]

SOURCE = "ASTM D341"
LOWEST_MM2_S = 0.3  # below it the short correction for thin oils was not checked
HIGHEST_MM2_S = 2e7
_ZERO_C_K = 273.15


def _z(kv: float) -> float:
    # The correction for thin oils is part of the line everywhere: at 3 mm²/s it is 0.00001, so that one formula without
    # a seam serves thick and thin.
    return kv + 0.7 + math.exp(-1.47 - 1.84 * kv - 0.51 * kv * kv)


def _kv(z: float) -> float:
    """Undo :func:`_z` exactly; the standard's own inverse is off by 0.0002 mm²/s, and only the start here."""
    kv = x = z - 0.7
    if x > 6:
        return x  # the correction is below the last bit
    kv = x - math.exp(-0.7487 - 3.295 * x + 0.6119 * x * x - 0.3193 * x**3)
    for _ in range(50):
        term = math.exp(-1.47 - 1.84 * kv - 0.51 * kv * kv)
        step = (kv + 0.7 + term - z) / (1 - (1.84 + 1.02 * kv) * term)
        kv -= step
        if abs(step) < 1e-15 * max(1.0, kv):
            break
    return kv


def walther(kv_mm2_s: float) -> float:
    """Return log log Z of a viscosity [mm²/s]: the height on which the line of an oil is straight."""
    return math.log10(math.log10(_z(kv_mm2_s)))


def from_walther(height: float) -> float:
    """Return the viscosity [mm²/s] at a height log log Z; undoes :func:`walther`."""
    return _kv(float(10.0**10.0**height))


@dataclass(frozen=True, slots=True)
class Curve:
    """The line log₁₀ log₁₀ Z = a − b · log₁₀ T of one oil, T in kelvin."""

    a: float
    b: float

    def viscosity(self, t_c: float) -> float:
        """Return the viscosity [mm²/s] at ``t_c`` [°C]; refused where it leaves 0.3 to 20 million mm²/s.

        >>> round(curve_through(40, 46, 100, 6.8).viscosity(20), 2)
        133.84
        """
        double_log = self.a - self.b * math.log10(t_c + _ZERO_C_K)
        # 10^10^0.9 is 9·10⁷, above what is refused below; a float soon could not hold more.
        kv = math.inf if double_log > 0.9 else _kv(float(10.0**10.0**double_log))
        # A billionth of room, so that a point on the very edge is still met after the logarithms.
        low, high = LOWEST_MM2_S * (1 - 1e-9), HIGHEST_MM2_S * (1 + 1e-9)
        return require_between("viscosity_mm2_s", kv, low, high, SOURCE)

    def temperature_at(self, kv_mm2_s: float) -> float:
        """Return the temperature [°C] at which the oil has this viscosity [mm²/s].

        >>> round(curve_through(40, 32, 100, 5.4).temperature_at(10), 6)
        73.998078
        """
        kv = require_between("kv_mm2_s", kv_mm2_s, LOWEST_MM2_S, HIGHEST_MM2_S, SOURCE)
        return float(10.0 ** ((self.a - walther(kv)) / self.b)) - _ZERO_C_K


def curve_through(t1_c: float, kv1_mm2_s: float, t2_c: float, kv2_mm2_s: float) -> Curve:
    """Return the line through two measured points.

    Parameters
    ----------
    t1_c, t2_c
        Temperatures [°C], the second one higher.
    kv1_mm2_s, kv2_mm2_s
        Kinematic viscosities there [mm²/s], the second one lower.

    Returns
    -------
    Curve
        Meets both points.

    Valid for
        0.3 to 20 million mm²/s, −60 to 200 °C, between cloud point and initial boiling point.

    Raises
    ------
    OutOfRange
        Outside of that.
    Contradiction
        When the oil does not thin as it warms.

    Source
        ASTM D341, with the term for viscosities below 2 mm²/s.

    Examples
    --------
    >>> curve = curve_through(40, 32, 100, 5.4)
    >>> round(curve.a, 6), round(curve.b, 6)
    (9.530815, 3.746578)
    """
    for name, t_c in (("t1_c", t1_c), ("t2_c", t2_c)):
        require_between(name, t_c, -60, 200, SOURCE)
    for name, kv in (("kv1_mm2_s", kv1_mm2_s), ("kv2_mm2_s", kv2_mm2_s)):
        require_between(name, kv, LOWEST_MM2_S, HIGHEST_MM2_S, SOURCE)
    if not t1_c < t2_c:
        raise Contradiction(name="t2_c", value=t2_c, why="oil.cannot.warmer", first_c=t1_c)
    if not kv1_mm2_s > kv2_mm2_s:
        why = "oil.cannot.thinner"
        raise Contradiction(
            name="kv2_mm2_s", value=kv2_mm2_s, why=why, first_mm2_s=kv1_mm2_s, first_c=t1_c, then_c=t2_c
        )
    w1, w2 = (walther(kv) for kv in (kv1_mm2_s, kv2_mm2_s))
    x1, x2 = math.log10(t1_c + _ZERO_C_K), math.log10(t2_c + _ZERO_C_K)
    b = (w1 - w2) / (x2 - x1)
    return Curve(w1 + b * x1, b)
