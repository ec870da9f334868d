"""Several samples on one fill: what two cannot tell, whether the metal stays in the oil and whether wear quickens."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import Literal

from coldmark.bench.errors import Contradiction, require_between
from coldmark.bench.shapes import dataclass
from coldmark.bench.wear.rate import MOST_H, MOST_L, USUAL_DENSITY_KG_M3, Wear, rate, repeats_within, tank_of
from coldmark.bench.wear.tank import MOST_MG_KG, NOTHING, WHAT, Course, Tank, course
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["Fill", "Sample", "fill"]

FEWEST = 3
_SURE = 1.96  # 19 times in 20, a normal spread on both sides
_VERY_SURE = 2.58  # 99 times in 100: a bend, or samples that fit no even course at all, say more than a slope
_PER_REPEATABILITY = 2.8  # repeatability over standard deviation of one result, ISO 5725-6: 1.96 · √2

Verdict = Literal["open", "steady", "quickening", "levelling", "level", "falling", "scattered"]


@dataclass(frozen=True, slots=True)
class Sample:
    """One sample: hours of the meter [h], content [mg/kg], and litres added since the sample before [L]."""

    hours_h: float
    content_mg_kg: float
    topped_l: float = 0.0


@dataclass(frozen=True, slots=True)
class Fill:
    """What the samples of one fill tell together.

    ``verdict``: *open*, two samples cannot tell; *steady*, wear goes on evenly and the metal stays; *quickening*, wear
    grows; *levelling*, the content rises less and less: the filter takes metal, or wear eases; *level*, it stands
    still; *falling*, metal goes that nothing explains; *scattered*, the samples fit no even course. ``apparent`` is
    false only when it is steady or quickening. ``mg_kg_100h`` and ``mg_100h`` are the even rate, ``None`` unless steady
    or quickening, and then the latest two samples'; ``latest`` is what those two tell by themselves.
    """

    verdict: Verdict
    apparent: bool
    mg_kg_100h: Range | None
    mg_100h: Range | None
    latest: Wear
    fitted_mg_kg: tuple[float, ...]
    working: Working


def _solve(rows: Sequence[Sequence[float]], right: Sequence[float]) -> tuple[list[float], list[float]]:
    """Least squares by the normal equations: the unknowns and the variance of each for results of variance 1."""
    size = len(rows[0])
    table = [
        [sum(row[i] * row[j] for row in rows) for j in range(size)]
        + [sum(row[i] * value for row, value in zip(rows, right, strict=True))]
        + [float(i == j) for j in range(size)]
        for i in range(size)
    ]
    for pivot in range(size):
        best = max(range(pivot, size), key=lambda row: abs(table[row][pivot]))
        table[pivot], table[best] = table[best], table[pivot]
        top = table[pivot][pivot]
        table[pivot] = [value / top for value in table[pivot]]
        for row in range(size):
            if row != pivot:
                by = table[row][pivot]
                table[row] = [value - by * own for value, own in zip(table[row], table[pivot], strict=True)]
    return [row[size] for row in table], [table[i][size + 1 + i] for i in range(size)]


def _fitted(rows: Sequence[Sequence[float]], found: Sequence[float]) -> list[float]:
    return [sum(own * value for own, value in zip(row, found, strict=True)) for row in rows]


def _checked(samples: Sequence[Sample]) -> Sequence[Sample]:
    if len(samples) < 2:
        raise Contradiction(name="samples", value=len(samples), why="wear.why.two")
    for one in samples:
        require_between("hours_h", one.hours_h, 0, 100_000, "an hour meter")
        require_between("content_mg_kg", one.content_mg_kg, 0, MOST_MG_KG, WHAT)
        require_between("topped_l", one.topped_l, 0, MOST_L, "a machine's oil")
    for before, later in pairwise(samples):
        if not 1 <= later.hours_h - before.hours_h <= MOST_H:
            raise Contradiction(name="hours_h", value=later.hours_h, why="wear.why.order", before_h=before.hours_h)
    return samples


def _courses(samples: Sequence[Sample], tank: Tank) -> tuple[list[Course], list[float]]:
    """What the time since the first sample makes of it, and what a wear that grows by 1 mg/h each hour would add."""
    steps = [
        course(tank, later.hours_h - before.hours_h, steady_l=later.topped_l) for before, later in pairwise(samples)
    ]
    middles = [(before.hours_h + later.hours_h) / 2 - samples[0].hours_h for before, later in pairwise(samples)]
    growing = [0.0]
    for step, middle in zip(steps, middles, strict=True):
        growing.append(step.kept * growing[-1] + step.per_wear * middle)
    return list(accumulate(steps, lambda before, step: before.then(step), initial=NOTHING)), growing


def _up_and_down(samples: Sequence[Sample], tank: Tank, within_mg_kg: float) -> bool:
    """Whether metal comes in one stretch and goes in another, each by more than the laboratory may be off."""
    changes = []
    for before, later in pairwise(samples):
        left = course(tank, later.hours_h - before.hours_h, steady_l=later.topped_l).content(before.content_mg_kg, 0.0)
        changes.append(later.content_mg_kg - left)
    return max(changes) > within_mg_kg and min(changes) < -within_mg_kg


def _outside(found: Sequence[float], fitted: Sequence[float], deviation: float) -> bool:
    """Whether the samples lie further from an even course than chance would have them, 99 times in 100."""
    free = len(found) - 2
    rest = sum(((one - own) / deviation) ** 2 for one, own in zip(found, fitted, strict=True))
    # Wilson and Hilferty: the cube root of a chi square over its freedom is nearly normal.
    spread = 2 / (9 * free)
    return (math.cbrt(rest / free) - 1 + spread) / math.sqrt(spread) > _VERY_SURE


def _decide(samples: Sequence[Sample], tank: Tank, within_mg_kg: float) -> tuple[Verdict, Range, list[float]]:
    """The verdict, the even rate [mg/h] with its range, and the contents that it fits to the samples."""
    courses, growing = _courses(samples, tank)
    # A thousandth keeps a laboratory that claims to be exact from dividing by nothing.
    deviation = max(within_mg_kg / _PER_REPEATABILITY, 1e-3)
    right = [one.content_mg_kg - way.brought for one, way in zip(samples, courses, strict=True)]
    even = [(way.kept, way.per_wear) for way in courses]
    (start, wear), (_, spread) = _solve(even, right)
    error = deviation * math.sqrt(spread)
    fitted = [value + way.brought for value, way in zip(_fitted(even, (start, wear)), courses, strict=True)]
    found = Range.about(wear, _SURE * error)
    if len(samples) < FEWEST:
        return "open", found, fitted
    bent = [(*row, grows) for row, grows in zip(even, growing, strict=True)]
    curve, (_, _, bend_spread) = _solve(bent, right)
    bend = curve[2] / (deviation * math.sqrt(bend_spread))
    if _up_and_down(samples, tank, within_mg_kg) or (
        abs(bend) <= _VERY_SURE and _outside([one.content_mg_kg for one in samples], fitted, deviation)
    ):
        return "scattered", found, fitted
    if abs(bend) > _VERY_SURE:
        return ("quickening" if bend > 0 else "levelling"), found, fitted
    if found.holds(0.0):
        return "level", found, fitted
    return ("steady" if wear > 0 else "falling"), found, fitted


def fill(
    samples: Sequence[Sample],
    volume_l: float,
    *,
    density_kg_m3: float = USUAL_DENSITY_KG_M3,
    fresh_mg_kg: float = 0.0,
    within_mg_kg: float | None = None,
    flow_l_min: float | None = None,
    beta: float | None = None,
) -> Fill:
    """Return what several samples of one fill tell of wear: whether it goes on, quickens or cannot be told.

    Parameters
    ----------
    samples
        Two or more on one fill, in the order of their hours. The moment of the oil change may be the first, with what
        :func:`after` gives.
    volume_l
        All the system's oil [L].
    density_kg_m3
        Density of the oil [kg/m³].
    fresh_mg_kg
        Content of the oil that was added [mg/kg].
    within_mg_kg
        The laboratory's repeatability [mg/kg]; where it is not known, :func:`repeats_within`.
    flow_l_min, beta
        Flow through the filter [L/min], and its ratio of metal of this size in front to behind. Both or neither.

    Returns
    -------
    Fill
        The verdict, and a rate only where the samples bear it.

    Valid for
        Two samples or more, 1 to 20 000 h apart; what was added is taken as made up as evenly as it was lost.

    Raises
    ------
    OutOfRange
        Outside of the limits.
    Contradiction
        For fewer than two samples, or hours that do not rise by at least one.

    Source
        Mass balance of a mixed tank; least squares. A slope is believed when chance would give it less than once in
        20 times, a bend once in 100, with repeatability over 2.8 as standard deviation of one result (ISO 5725-6,
        from memory).

    Examples
    --------
    >>> steady = [Sample(0, 2), Sample(250, 8), Sample(500, 14.2), Sample(750, 20)]
    >>> fill(steady, 120).verdict, round(fill(steady, 120).mg_kg_100h.value, 2)
    ('steady', 2.41)
    >>> fill([Sample(0, 2), Sample(250, 12), Sample(500, 14), Sample(750, 14)], 120).verdict
    'levelling'
    >>> fill([Sample(0, 2), Sample(250, 8)], 120).verdict
    'open'
    """
    kept = _checked(samples)
    tank = tank_of(volume_l, density_kg_m3, fresh_mg_kg)
    within = repeats_within(*(one.content_mg_kg for one in kept)) if within_mg_kg is None else within_mg_kg
    before, last = kept[-2:]
    latest = rate(
        before.content_mg_kg,
        last.content_mg_kg,
        last.hours_h - before.hours_h,
        volume_l,
        steady_l=last.topped_l,
        density_kg_m3=density_kg_m3,
        fresh_mg_kg=fresh_mg_kg,
        within_mg_kg=within_mg_kg,
        flow_l_min=flow_l_min,
        beta=beta,
    )
    verdict, even, fitted = _decide(kept, tank, within)
    per_100h, mass = _told(verdict, even, latest, 100 / (tank.density_kg_l * volume_l))
    step = Step(
        "working.wear.fill",
        "least squares of c = a · c₀ + b · g + c_add over all samples",
        (
            Given("samples", float(len(kept)), "", "told"),
            Given("r", within, "mg_kg", "assumed" if within_mg_kg is None else "told"),
        ),
        even.value * 100,
        "mg_100h",
        "mass of the metal in a well-mixed tank is kept",
    )
    return Fill(
        verdict,
        verdict not in ("steady", "quickening"),
        per_100h,
        mass,
        latest,
        tuple(fitted),
        Working((step,)) + latest.working,
    )


def _told(verdict: Verdict, even: Range, latest: Wear, to_content: float) -> tuple[Range | None, Range | None]:
    """The rate in 100 h by content and by mass, where the samples bear one."""
    if verdict == "steady":
        return _times(even, to_content), _times(even, 100)
    if verdict == "quickening":
        return latest.stays_mg_kg_100h, latest.stays_mg_100h
    return None, None


def _times(found: Range, by: float) -> Range:
    return Range(found.value * by, found.low * by, found.high * by)
