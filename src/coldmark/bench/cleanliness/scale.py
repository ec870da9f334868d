"""The scale numbers of ISO 4406: a table, not a logarithm, because its steps are no exact doublings."""

from __future__ import annotations

import math
from functools import cache

from coldmark.bench.data_file import table
from coldmark.bench.errors import require_between

__all__ = ["OVER", "bounds", "scale_number"]

CHECKSUM = "de278f223cc9e9e809009f95b7143af1ed41eaf02ae25f927e16ed28d0eb72d4"

OVER = 29
"""What stands for the open row above scale number 28, which the standard writes as ``>28``."""

SOURCE = "ISO 4406"


@cache
def _bounds() -> tuple[tuple[float, float], ...]:
    rows = table("coldmark.bench.cleanliness", "iso4406.csv", CHECKSUM)
    return tuple((float(row["above_per_ml"]), float(row["up_to_per_ml"])) for row in rows)


def bounds(scale_number: int) -> tuple[float, float]:
    """Return between which numbers of particles a scale number stands.

    Parameters
    ----------
    scale_number
        0 to 28, or :data:`OVER` for the open row above 28.

    Returns
    -------
    tuple of float
        More than the first, up to and including the second [per mL]; the second is infinite above 28. None at all is
        scale number 0 as well.

    Valid for
        Every row of the standard's table.

    Raises
    ------
    OutOfRange
        Outside of the table.

    Source
        ISO 4406:1999, table of scale numbers, as printed in a stored excerpt; the open row from memory.

    Examples
    --------
    >>> bounds(17), bounds(18)
    ((640.0, 1300.0), (1300.0, 2500.0))
    """
    require_between("scale_number", scale_number, 0, OVER, SOURCE)
    return _bounds()[scale_number]


def scale_number(count_per_ml: float) -> int:
    """Return the scale number of a count.

    Parameters
    ----------
    count_per_ml
        Particles of a size and larger [per mL].

    Returns
    -------
    int
        0 to 28; :data:`OVER` above 2 500 000 per mL. A count that is a row's upper bound belongs to that row.

    Valid for
        Any count from 0.

    Raises
    ------
    OutOfRange
        Below 0, or for what is no finite number.

    Source
        ISO 4406:1999, table of scale numbers, as printed in a stored excerpt; the open row from memory.

    Examples
    --------
    >>> scale_number(1300), scale_number(1300.01)
    (17, 18)
    """
    require_between("count_per_ml", count_per_ml, 0, math.inf, SOURCE)
    return next(number for number, (_, up_to) in enumerate(_bounds()) if count_per_ml <= up_to)
