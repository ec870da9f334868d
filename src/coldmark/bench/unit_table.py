"""The table of units: what a name's ending means, and which unit each reader is shown.

The table stands by itself because sentences and refusals both need it; the conversions that can
refuse a value are in :mod:`coldmark.bench.units`, which is the public face.
"""

from __future__ import annotations

import math
from typing import Literal

from coldmark.bench.shapes import dataclass

__all__ = ["UNITS", "Unit", "UnitSystem", "of_name", "shown_unit", "stem"]

UnitSystem = Literal["metric", "us"]


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: ``value_in_base = value * scale + shift``, and how it is written for a reader.

    ``ending`` is how a name ends in it, ``kind`` what it measures, ``symbol`` how it is printed,
    ``digits`` how many decimals a reader wants. ``figures`` caps the significant figures of large values, where
    decimals would only pretend (250 bar, not 250.00); 0 is no cap.
    """

    ending: str
    kind: str
    symbol: str
    scale: float
    shift: float = 0.0
    digits: int = 1
    figures: int = 0

    def to_bench(self, value: float) -> float:
        """Turn ``value`` in this unit into the bench's unit of the same kind."""
        return value * self.scale + self.shift

    def from_bench(self, value: float) -> float:
        """Turn ``value`` in the bench's unit into this one."""
        return (value - self.shift) / self.scale

    def decimals(self, value: float) -> int:
        """Return how many decimals ``value`` in this unit is printed with."""
        size = abs(value)
        if not self.figures or not 1 <= size < math.inf:
            return self.digits
        return min(self.digits, max(0, self.figures - 1 - math.floor(math.log10(size))))


# Factors are exact by definition where the unit has one: inch 25.4 mm, pound 0.45359237 kg,
# US gallon 231 in³, standard gravity 9.80665 m/s² (NIST SP 811, appendix B; from memory).
_INCH = 25.4
_GALLON = 231 * _INCH**3 / 1e6
_POUND = 0.45359237
_PSI = _POUND * 9.80665 / (_INCH / 1000) ** 2 / 1e5
_LBF_FT = _POUND * 9.80665 * 12 * _INCH / 1000

_ALL = (
    Unit("mm", "length", "mm", 1.0),
    Unit("cm", "length", "cm", 10.0),
    Unit("m", "length", "m", 1000.0, digits=2),
    Unit("in", "length", "in", _INCH, digits=3),
    # Dirt is never spoken of in millimetres, inches, kilograms or pounds, so its size and mass are kinds of their own.
    Unit("um", "size of dirt", "µm", 1.0, digits=0),
    Unit("g", "mass of dirt", "g", 1.0),
    Unit("g_h", "dirt an hour", "g/h", 1.0, digits=3, figures=3),
    Unit("million_min", "particles a minute", "million/min", 1.0, digits=2, figures=3),
    # A pump's size is never spoken of in litres or gallons.
    Unit("cm3_turn", "displacement", "cm³", 1.0, digits=1),
    Unit("in3_turn", "displacement", "in³", _INCH**3 / 1e3, digits=2),
    Unit("m_asl", "height above the sea", "m", 1.0, digits=0),
    Unit("ft_asl", "height above the sea", "ft", 0.3048, digits=0),
    Unit("m_s", "speed of flow", "m/s", 1.0, digits=2),
    Unit("ft_s", "speed of flow", "ft/s", 0.3048, digits=2),
    Unit("mm2", "area", "mm²", 1.0, digits=0),
    Unit("in2", "area", "in²", _INCH**2, digits=2),
    Unit("l", "volume", "L", 1.0),
    Unit("ml", "volume", "mL", 1e-3, digits=0),
    Unit("cm3", "volume", "cm³", 1e-3, digits=0),
    Unit("in3", "volume", "in³", _INCH**3 / 1e6, digits=2),
    Unit("gal", "volume", "gal", _GALLON, digits=2),
    Unit("qt", "volume", "qt", _GALLON / 4),
    Unit("fl_oz", "volume", "fl oz", _GALLON / 128),
    Unit("kg", "mass", "kg", 1.0),
    Unit("t", "mass", "t", 1e3),
    Unit("lb", "mass", "lb", _POUND),
    Unit("c", "temperature", "°C", 1.0, digits=0),
    Unit("f", "temperature", "°F", 5 / 9, -160 / 9, digits=0),
    Unit("k", "temperature difference", "K", 1.0),
    Unit("f_diff", "temperature difference", "°F", 5 / 9),
    Unit("bar", "pressure", "bar", 1.0, digits=2, figures=3),
    Unit("mpa", "pressure", "MPa", 10.0, digits=2, figures=3),
    Unit("kpa", "pressure", "kPa", 0.01, digits=0),
    Unit("psi", "pressure", "psi", _PSI, digits=0),
    Unit("mm2_s", "viscosity", "mm²/s", 1.0, figures=3),
    Unit("cst", "viscosity", "cSt", 1.0, figures=3),
    Unit("kg_m3", "density", "kg/m³", 1.0, digits=0),
    Unit("lb_gal", "density", "lb/gal", _POUND / _GALLON * 1000, digits=2),
    Unit("l_min", "flow", "L/min", 1.0),
    Unit("gal_min", "flow", "gal/min", _GALLON),
    Unit("rpm", "speed", "1/min", 1.0, digits=0),
    Unit("h", "hours", "h", 1.0),
    Unit("min", "minutes", "min", 1.0, digits=0),
    # A function is timed in seconds and a wait in minutes: nobody wants the one told as the other.
    Unit("s", "seconds", "s", 1.0),
    Unit("months", "months", "months", 1.0, digits=0),
    Unit("days", "days", "days", 1.0, digits=0),
    Unit("mm_min", "drift", "mm/min", 1.0, digits=2, figures=3),
    Unit("in_min", "drift", "in/min", _INCH, digits=3, figures=3),
    Unit("kn", "force", "kN", 1.0, figures=3),
    Unit("lbf", "force", "lbf", _POUND * 9.80665 / 1000, digits=0),
    Unit("nm", "torque", "N·m", 1.0, digits=0),
    Unit("lbf_ft", "torque", "lbf·ft", _LBF_FT, digits=0),
    Unit("deg", "angle", "°", 1.0),
    Unit("pct", "share", "%", 0.01, digits=0),
    Unit("share", "share", "", 1.0, digits=2),
    Unit("l_100h", "loss", "L/100 h", 1.0, digits=2),
    Unit("gal_100h", "loss", "gal/100 h", _GALLON, digits=2),
    Unit("per_ml", "count", "per mL", 1.0, digits=2, figures=4),
    Unit("mg_kg", "content", "mg/kg", 1.0, figures=3),
    Unit("mg_kg_100h", "gain", "mg/kg/100 h", 1.0, digits=2, figures=3),
    Unit("mg_100h", "wear", "mg/100 h", 1.0, figures=3),
)
UNITS: dict[str, Unit] = {unit.ending: unit for unit in _ALL}

_LONGEST_ENDING = max(ending.count("_") for ending in UNITS) + 1

# What each kind of quantity is shown in: the bench's own unit for metric, and for US customary readers.
_SHOWN: dict[UnitSystem, dict[str, str]] = {
    "metric": {unit.kind: unit.ending for unit in reversed(_ALL) if unit.scale == 1.0 and unit.shift == 0.0},
    "us": {},
}
_SHOWN["metric"]["viscosity"] = "mm2_s"
_SHOWN["metric"]["share"] = "pct"
_SHOWN["us"] = _SHOWN["metric"] | {
    "length": "in",
    "area": "in2",
    "volume": "gal",
    "mass": "lb",
    "temperature": "f",
    "temperature difference": "f_diff",
    "pressure": "psi",
    "viscosity": "cst",
    "density": "lb_gal",
    "flow": "gal_min",
    "drift": "in_min",
    "force": "lbf",
    "torque": "lbf_ft",
    "loss": "gal_100h",
    "height above the sea": "ft_asl",
    "speed of flow": "ft_s",
    "displacement": "in3_turn",
}


def of_name(name: str) -> Unit | None:
    """Return the unit that a name ends in, the longest ending first, or ``None`` for a name without one.

    >>> of_name("kv40_mm2_s").symbol, of_name("oil_c").symbol, of_name("mm2_s").symbol, of_name("posture")
    ('mm²/s', '°C', 'mm²/s', None)
    """
    parts = name.split("_")
    for count in range(min(_LONGEST_ENDING, len(parts)), 0, -1):
        unit = UNITS.get("_".join(parts[-count:]))
        if unit is not None:
            return unit
    return None


def stem(name: str) -> str:
    """Return a name without its unit's ending.

    >>> stem("kv100_mm2_s"), stem("stroke_in"), stem("posture")
    ('kv100', 'stroke', 'posture')
    """
    unit = of_name(name)
    if unit is None or name == unit.ending:
        return name
    return name.removesuffix(f"_{unit.ending}")


def shown_unit(ending: str, system: UnitSystem) -> Unit:
    """Return the unit in which a reader of ``system`` is shown a quantity kept in ``ending``.

    >>> shown_unit("l", "us").symbol, shown_unit("mm", "metric").symbol
    ('gal', 'mm')
    """
    return UNITS[_SHOWN[system].get(UNITS[ending].kind, ending)]
