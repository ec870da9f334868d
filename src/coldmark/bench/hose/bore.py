"""Hose sizes: the bore in sixteenths of an inch, which is called the dash size."""

from __future__ import annotations

from coldmark.bench.errors import CannotTell, require_between
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Step, Working

__all__ = ["BORES", "HoseSize", "size_of"]

BORES: dict[int, tuple[float, float]] = {
    3: (4.8, 5),
    4: (6.4, 6.3),
    5: (7.9, 8),
    6: (9.5, 10),
    8: (12.7, 12.5),
    10: (15.9, 16),
    12: (19.0, 19),
    16: (25.4, 25),
    20: (31.8, 31.5),
    24: (38.1, 38),
    32: (50.8, 51),
}
"""Bore [mm] and nominal width (DN, ISO 4397) by dash size. Bores as printed in a stored excerpt, DN from memory."""

_NEAR = 0.06


@dataclass(frozen=True, slots=True)
class HoseSize:
    """A hose's size: sixteenths of an inch, the bore of that size [mm], DN, and what was measured beside it [mm]."""

    dash: int
    bore_mm: float
    dn: float
    off_mm: float
    working: Working


def size_of(bore_mm: float) -> HoseSize:
    """Return the size of a hose by its bore.

    Parameters
    ----------
    bore_mm : inside of the hose [mm], measured at a clean cut.

    Returns
    -------
    HoseSize
        The nearest size.

    Valid for
    ---------
    Hoses of -3 to -32; some hoses of textile braid are called after the tube outside instead.

    Raises
    ------
    OutOfRange
        Outside 4 to 55 mm.
    CannotTell
        When it lies between two sizes.

    Source
    ------
    Dash sizes as printed in a stored excerpt; DN of ISO 4397 from memory.

    Examples
    --------
    >>> size_of(12.6).dash
    8
    """
    require_between("bore_mm", bore_mm, 4, 55, "hoses of -3 to -32")
    dash = min(BORES, key=lambda one: abs(BORES[one][0] - bore_mm))
    nominal, dn = BORES[dash]
    off = bore_mm - nominal
    if abs(off) > _NEAR * nominal:
        raise CannotTell("hose.between_sizes", bore_mm=bore_mm)
    step = Step(
        what="working.hose.dash",
        formula="16 · bore / 25.4 mm",
        givens=(Given("bore", bore_mm, "mm", "measured"),),
        result=float(dash),
        unit="",
        source="dash sizes as printed in a stored excerpt",
    )
    return HoseSize(dash, nominal, dn, off, Working((step,)))
