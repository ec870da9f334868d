"""ISO 3448 viscosity grades: twenty of them, with gaps between."""

from __future__ import annotations

from coldmark.bench.errors import require_above
from coldmark.bench.shapes import dataclass

__all__ = ["GRADES", "Grade", "grade_of", "neighbours"]


@dataclass(frozen=True, slots=True)
class Grade:
    """One grade: its number, and middle, least and most kinematic viscosity at 40 °C [mm²/s]."""

    number: int
    middle_mm2_s: float
    least_mm2_s: float
    most_mm2_s: float


# The standard's table as printed; the limits are a tenth to both sides of the middle. The last two from memory.
GRADES: tuple[Grade, ...] = (
    Grade(2, 2.2, 1.98, 2.42),
    Grade(3, 3.2, 2.88, 3.52),
    Grade(5, 4.6, 4.14, 5.06),
    Grade(7, 6.8, 6.12, 7.48),
    Grade(10, 10.0, 9.00, 11.0),
    Grade(15, 15.0, 13.5, 16.5),
    Grade(22, 22.0, 19.8, 24.2),
    Grade(32, 32.0, 28.8, 35.2),
    Grade(46, 46.0, 41.4, 50.6),
    Grade(68, 68.0, 61.2, 74.8),
    Grade(100, 100.0, 90.0, 110.0),
    Grade(150, 150.0, 135.0, 165.0),
    Grade(220, 220.0, 198.0, 242.0),
    Grade(320, 320.0, 288.0, 352.0),
    Grade(460, 460.0, 414.0, 506.0),
    Grade(680, 680.0, 612.0, 748.0),
    Grade(1000, 1000.0, 900.0, 1100.0),
    Grade(1500, 1500.0, 1350.0, 1650.0),
    Grade(2200, 2200.0, 1980.0, 2420.0),
    Grade(3200, 3200.0, 2880.0, 3520.0),
)


def grade_of(kv40_mm2_s: float) -> int | None:
    """Return the grade of an oil by its viscosity at 40 °C, or ``None``: it lies in a gap and has no grade.

    Parameters
    ----------
    kv40_mm2_s
        Kinematic viscosity at 40 °C [mm²/s].

    Returns
    -------
    int or None
        The grade's number. The limits belong to the grade. ``None`` is an answer: between two grades, under the
        first and over the last there is none.

    Valid for
        Every viscosity above 0.

    Raises
    ------
    OutOfRange
        When it is not above 0.

    Source
        ISO 3448.

    Examples
    --------
    >>> grade_of(46.0), grade_of(41.4), grade_of(38.0)
    (46, 46, None)
    """
    require_above("kv40_mm2_s", kv40_mm2_s, 0, "ISO 3448")
    for grade in GRADES:
        if grade.least_mm2_s <= kv40_mm2_s <= grade.most_mm2_s:
            return grade.number
    return None


def neighbours(kv40_mm2_s: float) -> tuple[int | None, int | None]:
    """Return the grades next below and next above a viscosity that has none itself.

    Parameters
    ----------
    kv40_mm2_s
        Kinematic viscosity at 40 °C [mm²/s].

    Returns
    -------
    tuple
        The grades whose limits end below it and begin above it; ``None`` beyond the ends of the standard.

    Valid for
        Every viscosity above 0.

    Raises
    ------
    OutOfRange
        When it is not above 0.

    Source
        ISO 3448.

    Examples
    --------
    >>> neighbours(38.0), neighbours(1.0)
    ((32, 46), (None, 2))
    """
    require_above("kv40_mm2_s", kv40_mm2_s, 0, "ISO 3448")
    below = [grade.number for grade in GRADES if grade.most_mm2_s < kv40_mm2_s]
    above = [grade.number for grade in GRADES if grade.least_mm2_s > kv40_mm2_s]
    return (below[-1] if below else None, above[0] if above else None)
