"""Which size is it: from a new ring, from an old one, or from the groove that it lay in."""

from __future__ import annotations

from math import hypot
from typing import Literal

from coldmark.bench import words
from coldmark.bench.errors import Contradiction, Missing, require_between, require_choice
from coldmark.bench.seal.gland import Answer, gland, measures
from coldmark.bench.seal.groove import KINDS, Groove, Kind
from coldmark.bench.seal.table import SIZES_SOURCE, Ring, measured, sizes
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Step, Working

__all__ = ["FROM", "Candidate", "Found", "From", "identify"]

From = Literal["new_ring", "old_ring", "groove"]
FROM: tuple[From, ...] = ("new_ring", "old_ring", "groove")

# What years in a groove do to a ring. Stretched: the most that groove guides allow. Shrunk by hardening, flattened and
# swollen: common practice, no source.
STRETCHED, SHRUNK = 0.05, 0.02
FLATTENED, SWOLLEN = 0.25, 0.05

_NEAREST = 3
_MEASURED = "rings and grooves that are measured with a calliper"


@dataclass(frozen=True, slots=True)
class Candidate:
    """A size that it may be: measured less nominal, inside and section [mm]; for a groove, how it fits instead."""

    ring: Ring
    inner_off_mm: float | None
    section_off_mm: float | None
    fit: Answer | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """Which size it is.

    ``answer``: ``one`` size, ``several``, only ``near`` one (outside its tolerance by no more than a calliper can
    tell, or inside the limits of one source for its groove and not of the other), ``candidates`` (all that an old ring
    can give), or ``none`` in this table. ``candidates`` come likeliest first; ``nearest`` are what comes closest when
    there are none, and are not to be fitted.
    """

    answer: Literal["one", "several", "near", "candidates", "none"]
    way: From
    candidates: tuple[Candidate, ...]
    nearest: tuple[Candidate, ...]
    working: Working


def _candidate(ring: Ring, inner_mm: float, section_mm: float) -> Candidate:
    # To a thousandth of a millimetre, below which a difference of two decimals is only the machine's own.
    return Candidate(ring, round(inner_mm - ring.inner_mm, 3), round(section_mm - ring.section_mm, 3))


def _off(one: Candidate, inner_by: float = 0.0, section_by: float = 0.0) -> tuple[float, float]:
    """Return how far off a candidate is, inside and section, in tolerances widened by so much."""
    inner, section = abs(one.inner_off_mm or 0.0), abs(one.section_off_mm or 0.0)
    return inner / (one.ring.inner_tolerance_mm + inner_by), section / (one.ring.section_tolerance_mm + section_by)


def _within(one: Candidate, inner_by: float = 0.0, section_by: float = 0.0) -> bool:
    # A billionth for the arithmetic of floats, so that a ring just at its tolerance is within it.
    return max(_off(one, inner_by, section_by)) <= 1 + 1e-9


def _from_new(inner_mm: float, section_mm: float) -> tuple[list[Candidate], list[Candidate], list[Candidate]]:
    """Return those within tolerance, those within it but for what a calliper can tell, and all, nearest first."""
    ranked = sorted(
        (_candidate(ring, inner_mm, section_mm) for ring in sizes().values()), key=lambda one: hypot(*_off(one))
    )
    read = measured(inner_mm, section_mm)
    widened = (read.inner_tolerance_mm, read.section_tolerance_mm)
    within = [one for one in ranked if _within(one)]
    near = [one for one in ranked if _within(one, *widened)]
    return within, near, ranked


def _wear(one: Candidate) -> float:
    """Return how much of what may have happened to an old ring must have happened to this one."""
    inner = (one.inner_off_mm or 0.0) / one.ring.inner_mm
    section = (one.section_off_mm or 0.0) / one.ring.section_mm
    stretched = inner / STRETCHED if inner > 0 else -inner / SHRUNK
    return stretched + (section / SWOLLEN if section > 0 else -section / FLATTENED)


def _may_have_been(one: Candidate) -> bool:
    ring, inner, section = one.ring, one.inner_off_mm or 0.0, one.section_off_mm or 0.0
    inner_low = -SHRUNK * ring.inner_mm - ring.inner_tolerance_mm
    inner_high = STRETCHED * ring.inner_mm + ring.inner_tolerance_mm
    section_low = -FLATTENED * ring.section_mm - ring.section_tolerance_mm
    section_high = SWOLLEN * ring.section_mm + ring.section_tolerance_mm
    return inner_low <= inner <= inner_high and section_low <= section <= section_high


def _off_limits(ring: Ring, groove: Groove, kind: Kind, moving: bool) -> float:
    """Return how far squeeze, stretch or excess and filling lie outside of all limits together; within them, how far
    from the middle of the leading ones, as a small number."""
    off = 0.0
    for one in measures(ring, groove, kind, moving=moving, backups=0, clearance_mm=None):
        value, lead = one.value.value, one.limits[0]
        low, high = min(limit.low for limit in one.limits), max(limit.high for limit in one.limits)
        off += max(low - value, value - high, 0.0) + abs(value - (lead.low + lead.high) / 2) / 1000
    return off


def _from_groove(groove: Groove, kind: Kind, moving: bool) -> tuple[list[Candidate], list[Candidate], list[Candidate]]:
    """Return those that fit, those that fit by one source only, and those that come closest."""
    wall_mm = groove.wall_mm(kind)
    outside = kind in ("face_inside", "bore")

    def apart(ring: Ring) -> float:
        return abs((ring.outer_mm if outside else ring.inner_mm) - wall_mm)

    # No source lets a ring be more than 5 % off its wall, so the sizes next to it are among the nearest by measure.
    close = [ring for ring in sizes().values() if apart(ring) <= 0.06 * wall_mm] or sorted(sizes().values(), key=apart)
    ranked = sorted(close[:60], key=lambda ring: _off_limits(ring, groove, kind, moving))
    judged = [Candidate(ring, None, None, gland(ring, groove, kind, moving=moving).answer) for ring in ranked[:12]]
    fits = [one for one in judged if one.fit == "fits"]
    return fits, [one for one in judged if one.fit == "near"], judged


def _working(best: Candidate, way: From, inner_mm: float, section_mm: float) -> Working:
    ring = best.ring
    widest = (
        "standard's tolerance"
        if way == "new_ring"
        else "old: stretched by up to 5 %, shrunk by 2 %, flattened by up to 25 %, swollen by 5 %"
    )
    source = SIZES_SOURCE if way == "new_ring" else f"{SIZES_SOURCE}; common practice, no source, for what age does"
    return Working(
        tuple(
            Step(
                f"working.seal.{name}_off",
                f"measured − nominal, within the {widest}" if way == "new_ring" else f"measured − nominal; {widest}",
                (
                    Given("measured", value, "mm", "measured"),
                    Given("nominal", nominal, "mm", "told"),
                    Given("tolerance", tolerance, "mm", "told"),
                ),
                round(value - nominal, 3),
                "mm",
                source,
            )
            for name, value, nominal, tolerance in (
                ("inner", inner_mm, ring.inner_mm, ring.inner_tolerance_mm),
                ("section", section_mm, ring.section_mm, ring.section_tolerance_mm),
            )
        )
    )


def _of_groove(groove: Groove, kind: Kind, moving: bool) -> Found:
    within, near, judged = _from_groove(groove, kind, moving)
    working = gland(judged[0].ring, groove, kind, moving=moving).working
    if within:
        return Found("one" if len(within) == 1 else "several", "groove", tuple(within), (), working)
    if near:
        return Found("near", "groove", tuple(near), (), working)
    return Found("none", "groove", (), tuple(judged[:_NEAREST]), working)


def identify(
    inner_mm: float | None = None,
    section_mm: float | None = None,
    *,
    from_: From = "new_ring",
    groove: Groove | None = None,
    kind: Kind = "face_inside",
    moving: bool = False,
) -> Found:
    """Say which size a ring is, or which belongs in a groove.

    Parameters
    ----------
    inner_mm
        Inside diameter of the ring, lying free [mm].
    section_mm
        How thick it is, across the flat of the ring [mm].
    from_
        ``new_ring``: exact within the standard's tolerances; ``old_ring``: stretched and flattened, it gives
        candidates only; ``groove``: ``groove`` and ``kind`` are asked for instead of the ring's measures.
    groove
        The groove as it was measured.
    kind
        What kind of groove it is, as for :func:`gland`.
    moving
        Whether the seal in it slides to and fro.

    Returns
    -------
    Found
        The sizes, likeliest first; none within tolerance is *not in this table*, with the nearest and their
        differences, which are not to be fitted in its place.

    Valid for
        Sizes of ISO 3601-1. Metric and JIS series are not in the table; a few of them measure nearly the same.

    Raises
    ------
    Missing
        When a measure is left out that this way needs.
    Contradiction
        When both a ring's measures and a groove are given.
    OutOfRange
        For measures that no ring has.

    Source
        ISO 3601-1, class A, as carried by the library bd-warehouse 0.4.0; grooves as in :func:`gland`; what age does to
        a ring: common practice, no source.

    Examples
    --------
    >>> found = identify(18.7, 3.5)
    >>> found.answer, found.candidates[0].ring.size, found.candidates[0].inner_off_mm
    ('one', '210', 0.06)
    >>> identify(19.3, 3.2, from_="old_ring").candidates[0].ring.size
    '210'
    >>> identify(25.0, 3.0).answer
    'none'
    """
    require_choice("from", from_, FROM)
    if from_ == "groove":
        if groove is None:
            raise Missing(name="groove", needed_for=words.sentence("seal.why.the_ring"))
        if inner_mm is not None or section_mm is not None:
            raise Contradiction(name="from", value="groove", why="seal.why.ring_too")
        require_choice("kind", kind, KINDS)
        return _of_groove(groove, kind, moving)
    if groove is not None:
        raise Contradiction(name="from", value=from_, why="seal.why.groove_too")
    if inner_mm is None:
        raise Missing(name="inner_mm", needed_for=words.sentence("seal.why.the_size"))
    if section_mm is None:
        raise Missing(name="section_mm", needed_for=words.sentence("seal.why.the_size"))
    require_between("inner_mm", inner_mm, 0.3, 1500, _MEASURED)
    require_between("section_mm", section_mm, 0.5, 20, _MEASURED)
    within, near, ranked = _from_new(inner_mm, section_mm)
    if from_ == "old_ring":
        old = sorted((one for one in ranked if _may_have_been(one)), key=_wear)
        working = _working(old[0] if old else ranked[0], from_, inner_mm, section_mm)
        return Found(
            "candidates" if old else "none", from_, tuple(old), () if old else tuple(ranked[:_NEAREST]), working
        )
    working = _working((within or near or ranked)[0], from_, inner_mm, section_mm)
    if within:
        return Found("one" if len(within) == 1 else "several", from_, tuple(within), (), working)
    if near:
        return Found("near", from_, tuple(near), (), working)
    return Found("none", from_, (), tuple(ranked[:_NEAREST]), working)
