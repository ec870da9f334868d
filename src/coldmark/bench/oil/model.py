"""An oil, as its data sheet and label describe it, and what follows from that at any temperature."""

from __future__ import annotations

from dataclasses import field
from typing import Literal

from coldmark.bench.errors import Contradiction, Missing, OutOfRange, require_between, require_choice
from coldmark.bench.oil import density as _density
from coldmark.bench.oil import index as _index
from coldmark.bench.oil.curve import Curve, curve_through
from coldmark.bench.oil.grades import grade_of
from coldmark.bench.shapes import dataclass

__all__ = ["ADDITIVES", "BIO", "FAMILIES", "FLUIDS", "MINERAL_LADDER", "Additive", "Fluid", "Oil"]

Additive = Literal["zinc", "zinc_free", "unknown"]
Fluid = Literal["hydraulic oil", "engine oil", "gear oil"]

ADDITIVES: tuple[Additive, ...] = ("zinc", "zinc_free", "unknown")
FLUIDS: tuple[Fluid, ...] = ("hydraulic oil", "engine oil", "gear oil")

FAMILIES: dict[str, str] = {
    "HH": "mineral",
    "HL": "mineral",
    "HM": "mineral",
    "HR": "mineral",
    "HV": "mineral",
    "HG": "mineral",
    "HS": "synthetic",
    "HETG": "vegetable",
    "HEES": "ester",
    "HEPG": "glycol",
    "HEPR": "polyalphaolefin",
    "HFC": "water glycol",
    "HFD": "water free, fire resistant",
}
"""Families of hydraulic fluid by ISO 6743-4, and what each is made of."""

MINERAL_LADDER = ("HH", "HL", "HM", "HV")
"""Mineral families of which each can do what the one before it can."""

BIO = ("HETG", "HEES", "HEPG", "HEPR")
"""Families that break down in soil, by ISO 15380: a little mineral oil left in them spoils that."""

# Fluids that hold a thickener or are naturally steep: the line through 40 and 100 °C misses them far below 0 °C.
_THICKENED = frozenset({"HR", "HV", "HETG"})
_STEADY_INDEX = 130.0
_INDEX_APART = 6.0  # what rounding of the printed viscosities can move the index by

_SPAN = "ASTM D341, between pour point and flash point"
COLDEST_C, HOTTEST_C = _density.LOWEST_C, _density.HIGHEST_C


@dataclass(frozen=True, slots=True, init=False)
class Oil:
    """An oil: viscosity at 40 °C and either that at 100 °C or the index; density at 15 °C, family, additive, limits.

    Parameters
    ----------
    name
        What stands on the can.
    kv40_mm2_s
        Kinematic viscosity at 40 °C [mm²/s].
    kv100_mm2_s
        Kinematic viscosity at 100 °C [mm²/s]; the other of the two is worked out.
    viscosity_index
        Index by ASTM D2270. With both given they must agree within what rounding explains; the viscosity counts.
    density15_kg_m3
        Density at 15 °C [kg/m³], or ``None``: nobody knows, and what needs it is refused by name.
    family
        By ISO 6743-4 (``HM``, ``HV``, ``HEES`` …), or empty where it is not known or the fluid is no hydraulic oil.
    additive
        ``zinc``, ``zinc_free`` or ``unknown``.
    pour_c, flash_c
        Pour point and flash point [°C], or ``None``.
    key
        The name that facts use for it.
    fluid
        What kind of oil it is.
    sae
        Its SAE grade as on the label, for engine and gear oils (``SAE 15W-40``).
    sha256
        The hash of the text it was read from, where there is one.

    Valid for
        2 to 500 mm²/s at 100 °C; 801 to 1164 kg/m³; temperatures from −50 °C or the pour point to 150 °C or the flash
        point.

    Raises
    ------
    OutOfRange, NotAChoice, Missing, Contradiction
        Naming the value.

    Source
        ASTM D341 and D2270, API MPMS 11.1, ISO 3448, ISO 6743-4.

    Examples
    --------
    >>> oil = Oil("Valley 46", 46, viscosity_index=100, density15_kg_m3=880)
    >>> round(oil.kv100_mm2_s, 2), round(oil.viscosity(0)), oil.grade()
    (6.76, 585, 46)
    """

    name: str
    kv40_mm2_s: float
    kv100_mm2_s: float
    viscosity_index: float = field(compare=False)  # follows from the two viscosities
    density15_kg_m3: float | None
    family: str
    additive: Additive
    pour_c: float | None
    flash_c: float | None
    key: str
    fluid: Fluid
    sae: str
    sha256: str = field(compare=False)
    curve: Curve = field(init=False, compare=False, repr=False)

    def __init__(
        self,
        name: str,
        kv40_mm2_s: float,
        kv100_mm2_s: float | None = None,
        viscosity_index: float | None = None,
        density15_kg_m3: float | None = None,
        family: str = "",
        additive: Additive = "unknown",
        pour_c: float | None = None,
        flash_c: float | None = None,
        *,
        key: str = "",
        fluid: Fluid = "hydraulic oil",
        sae: str = "",
        sha256: str = "",
    ) -> None:
        if not name.strip():
            raise Missing(name="name", needed_for="every list of oils")
        kv100, index = _both(kv40_mm2_s, kv100_mm2_s, viscosity_index)
        require_choice("fluid", fluid, FLUIDS)
        require_choice("additive", additive, ADDITIVES)
        if family:
            require_choice("family", family, FAMILIES)
            if fluid != "hydraulic oil":
                raise Contradiction(name="family", value=family, why="oil.cannot.family", fluid=fluid)
        if density15_kg_m3 is not None:
            _density.expansion_at_15(density15_kg_m3)
        if pour_c is not None:
            require_between("pour_c", pour_c, -90, 40, "pour points of lubricating oils")
        if flash_c is not None:
            require_between("flash_c", flash_c, 60, 400, "flash points of lubricating oils")
        values = {
            "name": name,
            "kv40_mm2_s": float(kv40_mm2_s),
            "kv100_mm2_s": kv100,
            "viscosity_index": index,
            "density15_kg_m3": density15_kg_m3,
            "family": family,
            "additive": additive,
            "pour_c": pour_c,
            "flash_c": flash_c,
            "key": key,
            "fluid": fluid,
            "sae": sae,
            "sha256": sha256,
            "curve": curve_through(40, kv40_mm2_s, 100, kv100),
        }
        for slot, value in values.items():
            object.__setattr__(self, slot, value)

    @property
    def coldest_c(self) -> float:
        """The lowest temperature [°C] for which a viscosity is given: the pour point, or −50 °C."""
        return COLDEST_C if self.pour_c is None else max(COLDEST_C, self.pour_c)

    @property
    def hottest_c(self) -> float:
        """The highest temperature [°C] for which a viscosity is given: the flash point, or 150 °C."""
        return HOTTEST_C if self.flash_c is None else min(HOTTEST_C, self.flash_c)

    def viscosity(self, t_c: float) -> float:
        """Return the kinematic viscosity [mm²/s] at ``t_c`` [°C].

        Valid for
            The pour point or −50 °C to the flash point or 150 °C. See :meth:`doubt` for thickened oils in the cold.

        Raises
        ------
        OutOfRange
            Outside of that.

        Source
            ASTM D341.

        Examples
        --------
        >>> round(Oil("Valley 46", 46, 6.8).viscosity(20), 1)
        133.8
        """
        return self.curve.viscosity(require_between("t_c", t_c, self.coldest_c, self.hottest_c, _SPAN))

    def temperature_at(self, kv_mm2_s: float) -> float:
        """Return the temperature [°C] at which the oil has this viscosity [mm²/s].

        Valid for
            Viscosities that the oil has between :attr:`coldest_c` and :attr:`hottest_c`.

        Raises
        ------
        OutOfRange
            Outside of that; the limits are the viscosities there.

        Source
            ASTM D341.

        Examples
        --------
        >>> round(Oil("Valley 32", 32, 5.4).temperature_at(10), 2)
        74.0
        """
        t_c = self.curve.temperature_at(kv_mm2_s)
        if not self.coldest_c - 1e-9 <= t_c <= self.hottest_c + 1e-9:
            thin, thick = self.curve.viscosity(self.hottest_c), self.curve.viscosity(self.coldest_c)
            raise OutOfRange(name="kv_mm2_s", value=kv_mm2_s, low=thin, high=thick, source=_SPAN)
        return t_c

    def density(self, t_c: float) -> float:
        """Return the density [kg/m³] at ``t_c`` [°C].

        Valid for
            −50 to 150 °C.

        Raises
        ------
        OutOfRange
            Outside of that.
        Missing
            When the density at 15 °C is not known.

        Source
            API MPMS 11.1, lubricating oils.

        Examples
        --------
        >>> round(Oil("Valley 46", 46, 6.8, density15_kg_m3=880).density(40), 1)
        864.2
        """
        return _density.density_at(self._density15(), t_c)

    def expansion(self, t1_c: float, t2_c: float) -> float:
        """Return the volume at ``t2_c`` over that at ``t1_c`` of the same oil: above 1 when it warms.

        Valid for
            −50 to 150 °C.

        Raises
        ------
        OutOfRange
            Outside of that.
        Missing
            When the density at 15 °C is not known.

        Source
            API MPMS 11.1, lubricating oils.

        Examples
        --------
        >>> round(Oil("Valley 46", 46, 6.8, density15_kg_m3=880).expansion(10, 70), 5)
        1.04501
        """
        density15 = self._density15()
        return _density.volume_factor(density15, t1_c) / _density.volume_factor(density15, t2_c)

    def grade(self) -> int | None:
        """Return the ISO 3448 grade, or ``None``: the oil lies in a gap between grades and has none.

        Source
            ISO 3448.

        Examples
        --------
        >>> Oil("Valley 46", 46, 6.8).grade(), Oil("Between", 38, 6).grade()
        (46, None)
        """
        return grade_of(self.kv40_mm2_s)

    def label(self) -> str:
        """Return the grade as people say it: the SAE grade where there is one, else the ISO grade, else nothing.

        Examples
        --------
        >>> Oil("Valley 46", 46, 6.8).label(), Oil("E", 105, 14.2, fluid="engine oil", sae="SAE 15W-40").label()
        ('VG 46', 'SAE 15W-40')
        """
        number = self.grade()
        return self.sae or ("" if number is None else f"VG {number}")

    @property
    def thickened(self) -> bool:
        """Whether its viscosity index is raised by an additive, by its family or by the index itself."""
        return self.family in _THICKENED or self.viscosity_index >= _STEADY_INDEX

    def doubt(self, t_c: float) -> str | None:
        """Return the message id of why the viscosity at ``t_c`` [°C] is to be doubted, or ``None``.

        A thickened oil is far thicker in the cold than the line through 40 and 100 °C says: a fluid measured at
        495 mm²/s at −40 °C comes out at 201.

        Examples
        --------
        >>> Oil("Valley HV", 46, 8.1, family="HV").doubt(-25), Oil("Valley 46", 46, 6.8).doubt(-25)
        ('oil.doubt.cold', None)
        """
        return "oil.doubt.cold" if self.thickened and t_c < 0 else None

    def _density15(self) -> float:
        if self.density15_kg_m3 is None:
            raise Missing(name="density15_kg_m3", needed_for=f"the volume of {self.name}")
        return self.density15_kg_m3


def _both(kv40: float, kv100: float | None, index: float | None) -> tuple[float, float]:
    """Return viscosity at 100 °C and index, from whichever was given."""
    if kv100 is None:
        if index is None:
            raise Missing(name="kv100_mm2_s", needed_for="the viscosity at other temperatures")
        return _index.kv100_from_index(kv40, index), float(index)
    found = _index.viscosity_index(kv40, kv100)
    if index is not None and not abs(found - index) <= _INDEX_APART:
        why = "oil.cannot.index"
        raise Contradiction(
            name="viscosity_index", value=index, why=why, kv40_mm2_s=kv40, kv100_mm2_s=kv100, found=found
        )
    return float(kv100), found
