"""In which order, and in how many passes, the fasteners of a cover are tightened and let off."""

from __future__ import annotations

from coldmark.bench.errors import require_between
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Step, Working

__all__ = ["MOST", "BoltSequence", "sequence"]

MOST = 64
"""The greatest number of fasteners that an order is given for."""

_SOURCE = "crosswise as the legacy pattern of ASME PCC-1, from memory; other counts by the same rule"
_PASSES = (0.3, 0.6, 1.0)


@dataclass(frozen=True, slots=True)
class BoltSequence:
    """The order for one cover. Fasteners are numbered clockwise from 1.

    ``passes`` are shares of the full torque, each once round in the order of ``tighten``; after the last comes one
    round clockwise at the full torque until none moves. ``last_opposite`` says whether the last two to be let off
    stand opposite each other; with an odd number they only nearly do.
    """

    count: int
    tighten: tuple[int, ...]
    loosen: tuple[int, ...]
    passes: tuple[float, ...]
    sprung: bool
    last_opposite: bool
    working: Working


def _starts(groups: int) -> list[int]:
    """Return where each group of opposite fasteners starts: in order while they are few, else every second first."""
    if groups <= 3:
        return list(range(groups))
    return [*range(0, groups, 2), *range(1, groups, 2)]


def _crosswise(count: int) -> tuple[int, ...]:
    if count % 4 == 0:
        quarter = count // 4
        steps = (0, 2 * quarter, quarter, 3 * quarter)
        return tuple(start + step + 1 for start in _starts(quarter) for step in steps)
    if count % 2 == 0:
        half = count // 2
        return tuple(start + step + 1 for start in _starts(half) for step in (0, half))
    # An odd ring has no opposites; half of it, rounded down, is prime to it, so the star meets every fastener once.
    return tuple(index * max(count // 2, 1) % count + 1 for index in range(count))


def sequence(count: int, *, sprung: bool = False) -> BoltSequence:
    """Return the order in which a cover's fasteners are tightened and let off.

    Parameters
    ----------
    count : how many fasteners hold the cover, numbered clockwise.
    sprung : whether a spring pushes the cover off; it is then held down while the last two are let off by turns.

    Returns
    -------
    BoltSequence
        Tightening crosswise in passes; letting off the other way round, so that the last two are opposite ones.

    Valid for
    ---------
    1 to 64 fasteners on one ring. The sheet's own order, where it has one, comes first.

    Raises
    ------
    OutOfRange
        Outside 1 to 64.

    Source
    ------
    Order: legacy pattern of ASME PCC-1, table 4, from memory. Passes of 30, 60 and 100 % and a last round: as printed
    in a stored excerpt on flange tightening. Last two of a sprung cover: common practice, no source.

    Examples
    --------
    >>> sequence(6).tighten, sequence(6).loosen
    ((1, 4, 2, 5, 3, 6), (6, 3, 5, 2, 4, 1))
    >>> sequence(5).tighten
    (1, 3, 5, 2, 4)
    """
    require_between("count", count, 1, MOST, "one ring of fasteners")
    tighten = _crosswise(count)
    step = Step(
        what="working.joint.sequence",
        formula="1, 1 + n/2, 1 + n/4, 1 + 3n/4, …",
        givens=(Given("n", count, "", "sheet"),),
        result="-".join(map(str, tighten)),
        unit="",
        source=_SOURCE,
    )
    return BoltSequence(
        count=count,
        tighten=tighten,
        loosen=tighten[::-1],
        passes=_PASSES,
        sprung=sprung,
        last_opposite=count % 2 == 0,
        working=Working((step,)),
    )
