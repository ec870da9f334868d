"""Screw threads by name: metric ones of ISO 261 with their sizes, inch ones of UNC and UNF with theirs."""

from __future__ import annotations

import math
import re

from coldmark.bench.errors import CannotTell, NotAChoice
from coldmark.bench.shapes import dataclass

__all__ = ["COARSE_MM", "FINE_MM", "INCH", "Thread", "thread"]

COARSE_MM: dict[float, float] = {
    4: 0.7,
    5: 0.8,
    6: 1.0,
    7: 1.0,
    8: 1.25,
    10: 1.5,
    12: 1.75,
    14: 2.0,
    16: 2.0,
    18: 2.5,
    20: 2.5,
    22: 2.5,
    24: 3.0,
    27: 3.0,
    30: 3.5,
    33: 3.5,
    36: 4.0,
    39: 4.0,
}
"""Coarse pitch [mm] by diameter [mm], ISO 261 as printed in a stored excerpt."""

FINE_MM: dict[float, tuple[float, ...]] = {
    8: (1.0,),
    10: (1.25, 1.0),
    12: (1.5, 1.25),
    14: (1.5,),
    16: (1.5,),
    18: (2.0, 1.5),
    20: (2.0, 1.5),
    22: (2.0, 1.5),
    24: (2.0,),
    27: (2.0,),
    30: (2.0,),
    33: (2.0,),
    36: (3.0,),
    39: (3.0,),
}
"""Fine pitches [mm] by diameter [mm], ISO 261 as printed in a stored excerpt."""

INCH: dict[str, tuple[float, int, int]] = {
    "1/4": (1 / 4, 20, 28),
    "5/16": (5 / 16, 18, 24),
    "3/8": (3 / 8, 16, 24),
    "7/16": (7 / 16, 14, 20),
    "1/2": (1 / 2, 13, 20),
    "9/16": (9 / 16, 12, 18),
    "5/8": (5 / 8, 11, 18),
    "3/4": (3 / 4, 10, 16),
    "7/8": (7 / 8, 9, 14),
    "1": (1.0, 8, 12),
}
"""Diameter [in], threads an inch coarse (UNC) and fine (UNF): BS 1768, table 1, as printed; 1 in from memory."""

_MM_AN_INCH = 25.4


@dataclass(frozen=True, slots=True)
class Thread:
    """One metric thread: name, nominal diameter and pitch [mm], and what the standard derives from them.

    >>> one = thread("M10")
    >>> round(one.pitch_diameter_mm, 3), round(one.core_mm, 3), round(one.stress_area_mm2, 1)
    (9.026, 8.16, 58.0)
    """

    name: str
    diameter_mm: float
    pitch_mm: float

    @property
    def pitch_diameter_mm(self) -> float:
        """Diameter on which thread and gap are alike, d₂ [mm]: ISO 724."""
        return self.diameter_mm - 0.649519 * self.pitch_mm

    @property
    def core_mm(self) -> float:
        """Diameter at the root of the bolt's thread, d₃ [mm]: ISO 724."""
        return self.diameter_mm - 1.226869 * self.pitch_mm

    @property
    def stress_area_mm2(self) -> float:
        """Area that bears, A_s [mm²]: ISO 898-1."""
        return math.pi / 4 * self.stress_diameter_mm**2

    @property
    def stress_diameter_mm(self) -> float:
        """Diameter of a rod of that area, d₀ [mm]."""
        return (self.pitch_diameter_mm + self.core_mm) / 2


def _name(diameter_mm: float, pitch_mm: float, *, coarse: bool) -> str:
    return f"M{diameter_mm:g}" if coarse else f"M{diameter_mm:g}×{pitch_mm:g}"


def _known() -> list[str]:
    found = []
    for diameter, pitch in COARSE_MM.items():
        found.append(_name(diameter, pitch, coarse=True))
        found += [_name(diameter, fine, coarse=False) for fine in FINE_MM.get(diameter, ())]
    return found


def thread(name: str) -> Thread:
    """Return a metric thread by its name.

    Parameters
    ----------
    name : as people write it: ``M10``, ``M10x1.25``, ``m 10 × 1,25``; without a pitch the coarse one is meant.

    Returns
    -------
    Thread
        With its sizes.

    Valid for
    ---------
    M4 to M39, coarse and the fine pitches of ISO 261.

    Raises
    ------
    CannotTell
        For an inch thread: which tightening it takes is not worked out here.
    NotAChoice
        For what is no such thread, with all that are.

    Source
    ------
    ISO 261 as printed in a stored excerpt; ISO 724 and ISO 898-1 for what is derived, from memory.

    Examples
    --------
    >>> thread("m10 x 1,25").name, thread("M10x1.5").name
    ('M10×1.25', 'M10')
    """
    typed = name.strip()
    metric = re.fullmatch(r"[Mm]\s*(\d{1,2})(?:\s*[xX×*]\s*(\d(?:[.,]\d{1,3})?))?", typed)
    if metric is None:
        if re.match(r"[\d/ ]+(\"|in\b|-|\s*UN)", typed) or typed.upper().endswith(("UNC", "UNF")):
            raise CannotTell("joint.inch", thread=typed)
        raise NotAChoice(name="thread", value=typed, choices=_known())
    diameter = float(metric[1])
    coarse = COARSE_MM.get(diameter)
    pitch = coarse if metric[2] is None else float(metric[2].replace(",", "."))
    if coarse is None or pitch is None:
        raise NotAChoice(name="thread", value=typed, choices=_known())
    for known in (coarse, *FINE_MM.get(diameter, ())):
        if math.isclose(pitch, known, abs_tol=1e-9):
            return Thread(_name(diameter, known, coarse=math.isclose(known, coarse)), diameter, known)
    raise NotAChoice(name="thread", value=typed, choices=_known())
