"""Does a ring fit its groove: squeeze, stretch or excess, what the stretch takes from the section, and filling."""

from __future__ import annotations

from collections.abc import Callable
from math import pi
from typing import Literal

from coldmark.bench.errors import Contradiction, require_choice
from coldmark.bench.seal.groove import KINDS, READ_MM, Groove, Kind
from coldmark.bench.seal.table import Limit, Ring, gland_row, limits
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["WIDTH_TOLERANCE_MM", "Answer", "Gland", "Measure", "gland"]

Answer = Literal["fits", "near", "does_not_fit"]
"""Inside the leading source's limits; inside another's only; inside none's."""

_WORST: tuple[Answer, ...] = ("does_not_fit", "near", "fits")

WIDTH_TOLERANCE_MM = 0.13
"""To both sides of the width in the groove tables [mm], as printed."""

_TABLES = "groove tables, for this thickness"
_GUIDE = "definition in a groove guide, as printed in a stored excerpt"
_VOLUME = "rubber keeps its volume"


@dataclass(frozen=True, slots=True)
class Measure:
    """One thing that is judged: its value as a share with its range, the answer, and what each source lets it be.

    ``name`` is ``squeeze``; ``stretch`` (the ring is smaller than the wall it is drawn over) or ``oversize`` (larger
    than the wall it lies against); ``fill``; or ``clearance``, which is in millimetres.
    """

    name: str
    value: Range
    answer: Answer
    limits: tuple[Limit, ...]

    @property
    def side(self) -> Literal["low", "high"]:
        """On which side of the leading limits, or of their middle, the value lies."""
        lead = self.limits[0]
        return "low" if self.value.value < (lead.low + lead.high) / 2 else "high"

    @property
    def differ(self) -> bool:
        """Whether one source lets it be so and another does not."""
        return len({one.low <= self.value.value <= one.high for one in self.limits}) == 2


@dataclass(frozen=True, slots=True)
class Gland:
    """A ring in its groove.

    ``measures`` are squeeze, stretch or oversize, filling and, where it was measured, clearance; ``fitted_mm`` is the
    ring's section once it is in place, ``loss_share`` what it has lost (below zero: gained), ``rule_share`` the same by
    the rule of half the stretch, ``fitted_squeeze`` the squeeze of the section that is left. ``table_width_mm`` is the
    width that the groove tables have for this section, ``None`` where they have none.
    """

    answer: Answer
    ring: Ring
    groove: Groove
    kind: Kind
    moving: bool
    backups: int
    measures: tuple[Measure, ...]
    fitted_mm: float
    loss_share: float
    rule_share: float
    fitted_squeeze: float
    table_width_mm: float | None
    working: Working

    def measure(self, name: str) -> Measure | None:
        """Return one of the measures, or ``None``: this kind of groove has no such measure."""
        return next((one for one in self.measures if one.name == name), None)

    @property
    def worst(self) -> Measure:
        """The measure that decides the answer."""
        return min(self.measures, key=lambda one: _WORST.index(one.answer))


def _judged(name: str, value: Range, allowed: tuple[Limit, ...]) -> Measure:
    holds = [one.low <= value.value <= one.high for one in allowed]
    return Measure(name, value, "fits" if holds[0] else "near" if any(holds) else "does_not_fit", allowed)


def _spread(worked: Callable[[float, float], float], ring: float, by: float, groove: float) -> Range:
    """Return a value with its range: it rises with the ring's measure and falls with the groove's, or both reversed."""
    value = worked(ring, groove)
    ends = (worked(ring + by, groove - READ_MM), worked(ring - by, groove + READ_MM))
    return Range(value, min(value, *ends), max(value, *ends))


def _squeeze(section_mm: float, depth_mm: float) -> float:
    return (section_mm - depth_mm) / section_mm


def _stretch(ring_mm: float, wall_mm: float) -> float:
    return (wall_mm - ring_mm) / ring_mm


def _oversize(ring_mm: float, wall_mm: float) -> float:
    return (ring_mm - wall_mm) / wall_mm


def fitted_section_mm(ring: Ring, wall_mm: float, *, outside: bool) -> float:
    """Return the section of a ring drawn over a wall, or pushed in against one, when its rubber keeps its volume.

    Its volume is π²/4 · w² · (inside diameter + w); the section w that has it at the new diameter is found by halving.
    """
    whole = ring.section_mm**2 * (ring.inner_mm + ring.section_mm)
    low, high = 0.0, min(2 * ring.section_mm, 2 * wall_mm / 3) if outside else 2 * ring.section_mm
    while high - low > 1e-9:
        middle = (low + high) / 2
        if middle**2 * (wall_mm - middle if outside else wall_mm + middle) < whole:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _squeeze_limits(ring: Ring, kind: Kind, moving: bool) -> tuple[Limit, ...]:
    """Return the row of the groove tables, where there is one, before the sources that know no section."""
    row = gland_row(ring.section_mm, moving=moving)
    allowed = limits("squeeze", kind, moving=moving)
    if row is None:
        return allowed
    way = "face" if kind.startswith("face") else "radial"
    low, high = row[f"{way}_squeeze_low_pct"] / 100, row[f"{way}_squeeze_high_pct"] / 100
    return (Limit(low, high, _TABLES), *allowed)


def _fill(section_mm: float, depth_mm: float, width_mm: float) -> float:
    return pi * section_mm**2 / 4 / (depth_mm * width_mm)


def _fill_range(ring: Ring, groove: Groove) -> Range:
    by = ring.section_tolerance_mm
    return Range(
        _fill(ring.section_mm, groove.depth_mm, groove.width_mm),
        _fill(ring.section_mm - by, groove.depth_mm + READ_MM, groove.width_mm + READ_MM),
        _fill(ring.section_mm + by, groove.depth_mm - READ_MM, groove.width_mm - READ_MM),
    )


def measures(
    ring: Ring, groove: Groove, kind: Kind, *, moving: bool, backups: int, clearance_mm: float | None
) -> tuple[Measure, ...]:
    """Return what is judged of a ring in a groove, each with its limits."""
    wall_mm = groove.wall_mm(kind)
    squeeze = _spread(_squeeze, ring.section_mm, ring.section_tolerance_mm, groove.depth_mm)
    found = [_judged("squeeze", squeeze, _squeeze_limits(ring, kind, moving))]
    if kind in ("face_inside", "bore"):
        by = ring.inner_tolerance_mm + 2 * ring.section_tolerance_mm
        value = _spread(_oversize, ring.outer_mm, by, wall_mm)
        found.append(_judged("oversize", value, limits("oversize", kind, moving=moving)))
    else:
        by = min(ring.inner_tolerance_mm, ring.inner_mm / 2)
        value = _spread(_stretch, ring.inner_mm, by, wall_mm)
        found.append(_judged("stretch", value, limits("stretch", kind, moving=moving)))
    # A back-up ring takes room that the table's width allows for; how much of it, only its own drawing tells.
    if backups == 0:
        found.append(_judged("fill", _fill_range(ring, groove), limits("fill", kind, moving=moving)))
    row = gland_row(ring.section_mm, moving=moving)
    if clearance_mm is not None and row is not None:
        value = Range(clearance_mm, max(clearance_mm - READ_MM, 0.0), clearance_mm + READ_MM)
        found.append(_judged("clearance", value, (Limit(0.0, row["clearance_mm"], _TABLES),)))
    return tuple(found)


def _working(ring: Ring, groove: Groove, kind: Kind, found: tuple[Measure, ...], fitted_mm: float) -> Working:
    wall_mm = groove.wall_mm(kind)
    section = Given("w", ring.section_mm, "mm", "told" if ring.size else "measured")
    depth = Given("depth", groove.depth_mm, "mm", "measured")
    wall = Given("D", wall_mm, "mm", "measured")
    inner = Given("d", ring.inner_mm, "mm", section.origin)
    steps = [
        Step(
            "working.seal.squeeze",
            "100 · (w − depth) / w",
            (section, depth),
            100 * found[0].value.value,
            "pct",
            _GUIDE,
        )
    ]
    if found[1].name == "stretch":
        formula, source = "100 · (D − d) / d", _GUIDE
    else:
        formula, source = "100 · (d + 2·w − D) / D", "groove guide: rule for face grooves and bores, as printed"
    givens = (inner, wall) if found[1].name == "stretch" else (inner, section, wall)
    steps.append(Step(f"working.seal.{found[1].name}", formula, givens, 100 * found[1].value.value, "pct", source))
    way = "D + w′" if found[1].name == "stretch" else "D − w′"
    formula = f"w′² · ({way}) = w² · (d + w)"
    steps.append(Step("working.seal.fitted", formula, (inner, section, wall), fitted_mm, "mm", _VOLUME))
    fill = next((one for one in found if one.name == "fill"), None)
    if fill is not None:
        givens = (section, depth, Given("width", groove.width_mm, "mm", "measured"))
        formula = "100 · (π/4 · w²) / (depth · width)"
        steps.append(Step("working.seal.fill", formula, givens, 100 * fill.value.value, "pct", _GUIDE))
    return Working(tuple(steps))


def gland(
    ring: Ring,
    groove: Groove,
    kind: Kind,
    *,
    moving: bool = False,
    backups: int = 0,
    clearance_mm: float | None = None,
) -> Gland:
    """Say whether a ring fits its groove: squeezed enough, stretched no more than it bears, with room to swell.

    Parameters
    ----------
    ring
        From :func:`size` or :func:`measured`.
    groove
        As it was measured.
    kind
        ``face_inside``: in a flat face with the pressure inside, where the ring lies against the outer wall;
        ``face_outside``: with the pressure (or the air, under vacuum) outside, where it lies against the inner one;
        ``spigot``: round a spigot, over which it is stretched; ``bore``: in a bore, into which it is pushed.
    moving
        Whether the seal slides to and fro.
    backups
        How many back-up rings lie in the groove with it, 0 to 2; with any, the filling is not judged.
    clearance_mm
        Gap of the bare metal [mm], measured as the difference of the two diameters; not known when left out.

    Returns
    -------
    Gland
        *fits* when the leading source's limits hold for each measure, *near* when another's do, else *does not fit*;
        for squeeze the groove tables' row for the section leads, where there is one. Ranges hold the ring's tolerance
        and what a calliper can tell of a groove.

    Valid for
        Round rings in grooves of rectangular form, at rest or sliding; not for rotating shafts.

    Raises
    ------
    Missing
        When the diameter that decides was not measured.
    Contradiction
        When two diameters do not agree with the width, or a face seal is said to move.
    OutOfRange, NotAChoice
        For a measure or kind that no groove has.

    Source
        Definitions, limits and tables as printed in stored excerpts of design guides, each named with its limit; they
        are not ISO 3601-2. Loss of section: the volume of the ring is kept; as a rule of thumb half of the stretch.

    Examples
    --------
    >>> from coldmark.bench.seal import size
    >>> found = gland(size("210"), Groove(2.87, 4.6, inner_mm=19.0), "spigot")
    >>> found.answer, [f"{one.name} {one.value.value:.3f}" for one in found.measures]
    ('fits', ['squeeze 0.187', 'stretch 0.019', 'fill 0.741'])
    """
    require_choice("kind", kind, KINDS)
    require_choice("backups", str(backups), ("0", "1", "2"))
    if moving and kind.startswith("face"):
        raise Contradiction(name="moving", value="yes", why="seal.why.face_moves")
    found = measures(ring, groove, kind, moving=moving, backups=backups, clearance_mm=clearance_mm)
    fit = found[1]
    # A ring that lies loose keeps its section.
    fitted_mm = ring.section_mm
    if fit.value.value > 0:
        fitted_mm = fitted_section_mm(ring, groove.wall_mm(kind), outside=fit.name == "oversize")
    row = gland_row(ring.section_mm, moving=moving)
    width_name = ("width_mm", "width_one_backup_mm", "width_two_backups_mm")[backups]
    return Gland(
        answer=min((one.answer for one in found), key=_WORST.index),
        ring=ring,
        groove=groove,
        kind=kind,
        moving=moving,
        backups=backups,
        measures=found,
        fitted_mm=fitted_mm,
        loss_share=1 - fitted_mm / ring.section_mm,
        rule_share=max(fit.value.value, 0.0) / 2 if fit.name == "stretch" else 0.0,
        fitted_squeeze=_squeeze(fitted_mm, groove.depth_mm),
        table_width_mm=None if row is None else row.get(width_name),
        working=_working(ring, groove, kind, found, fitted_mm),
    )
