"""How fast metal comes into the oil between two samples, under the two things that may become of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from coldmark.bench import words
from coldmark.bench.errors import Contradiction, require_above, require_between
from coldmark.bench.shapes import dataclass
from coldmark.bench.wear.tank import MOST_MG_KG, WHAT, Course, Tank, course
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["ASSUMED_LEAST_MG_KG", "ASSUMED_SHARE", "USUAL_DENSITY_KG_M3", "Wear", "rate", "repeats_within"]

USUAL_DENSITY_KG_M3 = 870.0
ASSUMED_LEAST_MG_KG = 1.0
ASSUMED_SHARE = 0.1
MOST_H = 20_000.0
MOST_L = 5000.0
_SOURCE = "mass of the metal in a well-mixed tank is kept"
_OF_100 = 100.0


@dataclass(frozen=True, slots=True)
class Wear:
    """How fast metal came into the oil between two samples.

    ``verdict``: *gaining*, there is more metal than at the first sample, top-ups reckoned in, by more than the
    laboratory may differ with itself; *plateau*, there is not, and the content is not divided by hours; *falling*,
    there is less than the first sample and the top-ups leave. ``stays_*`` is the rate if the metal stays in the oil,
    ``None`` on a plateau or when it falls; ``at_most_*`` is the most that this reading of it leaves open. ``taken_*``
    is the rate if the filter takes the metal, ``None`` where its flow and ratio were not told: any rate is possible
    then. ``mg_kg_100h`` is what this oil's content gains, ``mg_100h`` metal by mass, both in 100 h. ``expected_mg_kg``
    is the content at the second sample had nothing worn, ``within_mg_kg`` the repeatability that was reckoned with.
    """

    verdict: Literal["gaining", "plateau", "falling"]
    apparent: bool
    expected_mg_kg: float
    within_mg_kg: float
    stays_mg_kg_100h: Range | None
    stays_mg_100h: Range | None
    at_most_mg_kg_100h: float
    taken_mg_kg_100h: Range | None
    taken_mg_100h: Range | None
    working: Working


def repeats_within(*contents_mg_kg: float) -> float:
    """Return what is taken for a laboratory's repeatability where nobody knows it.

    Parameters
    ----------
    contents_mg_kg
        The contents that are compared [mg/kg].

    Returns
    -------
    float
        How far two results on the same oil may lie apart, 19 times in 20 [mg/kg]: a tenth of the mean, at least 1.

    Valid for
        Wear metals in used oil.

    Raises
    ------
    Contradiction
        Without a content.

    Source
        Assumed; the laboratory's own figure goes before it.

    Examples
    --------
    >>> repeats_within(12, 18), repeats_within(3, 4)
    (1.5, 1.0)
    """
    if not contents_mg_kg:
        raise Contradiction(name="contents", value=0, why="wear.why.one")
    return max(ASSUMED_LEAST_MG_KG, ASSUMED_SHARE * sum(contents_mg_kg) / len(contents_mg_kg))


def _checked_top_ups(top_ups: Sequence[tuple[float, float]], hours_h: float) -> Sequence[tuple[float, float]]:
    for at_h, litres_l in top_ups:
        require_between("at_h", at_h, 0, hours_h, "between the two samples")
        require_between("litres_l", litres_l, 0, MOST_L, "a machine's oil")
    return top_ups


def tank_of(volume_l: float, density_kg_m3: float, fresh_mg_kg: float) -> Tank:
    """Return the tank after checking what it is made of."""
    require_above("volume_l", volume_l, 0, "a system with oil")
    require_between("volume_l", volume_l, 0, MOST_L, "a machine's oil")
    require_between("density_kg_m3", density_kg_m3, 500, 1500, "oils")
    require_between("fresh_mg_kg", fresh_mg_kg, 0, MOST_MG_KG, WHAT)
    return Tank(volume_l, density_kg_m3 / 1000, fresh_mg_kg)


def _check(c1_mg_kg: float, c2_mg_kg: float, hours_h: float, steady_l: float, within_mg_kg: float | None) -> None:
    require_between("c1_mg_kg", c1_mg_kg, 0, MOST_MG_KG, WHAT)
    require_between("c2_mg_kg", c2_mg_kg, 0, MOST_MG_KG, WHAT)
    require_between("hours_h", hours_h, 1, MOST_H, "hours between samples")
    require_between("steady_l", steady_l, 0, MOST_L, "a machine's oil")
    if within_mg_kg is not None:
        require_between("within_mg_kg", within_mg_kg, 0, MOST_MG_KG, "a laboratory's repeatability")


def cleaned_l_h(flow_l_min: float | None, beta: float | None) -> float | None:
    """Return the flow that a filter would have to clean wholly to take as much, or ``None`` where it was not told."""
    if flow_l_min is None or beta is None:
        for name, value in (("flow_l_min", flow_l_min), ("beta", beta)):
            if value is not None:
                other = "beta" if name == "flow_l_min" else "flow_l_min"
                raise Contradiction(name=name, value=value, why="wear.why.both", other=words.spoken(other))
        return None
    require_above("flow_l_min", flow_l_min, 0, "filters of mobile hydraulics")
    require_above("beta", beta, 1, "a filter that takes something")
    return flow_l_min * 60 * (1 - 1 / beta)


def _bound(way: Course, contents: tuple[float, float], within_mg_kg: float) -> Range:
    """Return the rate [mg/h] with the range that the laboratory's repeatability leaves open."""
    value = way.wear(*contents)
    # Both results are as uncertain; a difference of two results stays within the repeatability 19 times in 20.
    spread = within_mg_kg * math.sqrt((1 + way.kept**2) / 2) / way.per_wear
    return Range(value, value - spread, value + spread)


def _scaled(found: Range, by: float, least: float = 0.0) -> Range:
    low, value, high = (max(least, one * by) for one in (found.low, found.value, found.high))
    return Range(value, low, high)


def _step(what: str, givens: Sequence[Given], way: Course, tank: Tank, result_mg_h: float) -> Step:
    values = (
        *givens,
        Given("a", way.kept, "", "worked_out"),
        Given("b", way.per_wear, "", "worked_out"),
        Given("c_add", way.brought, "mg_kg", "worked_out"),
        Given("Q_clean", tank.cleaned_l_h, "", "worked_out"),
    )
    return Step(
        what, "g = (c₂ − a · c₁ − c_add) / b, in 100 h 100 · g", values, result_mg_h * _OF_100, "mg_100h", _SOURCE
    )


def rate(
    c1_mg_kg: float,
    c2_mg_kg: float,
    hours_h: float,
    volume_l: float,
    top_ups: Sequence[tuple[float, float]] = (),
    *,
    steady_l: float = 0.0,
    density_kg_m3: float = USUAL_DENSITY_KG_M3,
    fresh_mg_kg: float = 0.0,
    within_mg_kg: float | None = None,
    flow_l_min: float | None = None,
    beta: float | None = None,
) -> Wear:
    """Return how fast metal came into the oil between two samples of one fill.

    Parameters
    ----------
    c1_mg_kg, c2_mg_kg
        Content at the first and the second sample [mg/kg]. Where the first is the moment of an oil change, it is what
        :func:`after` gives.
    hours_h
        Running hours between them [h].
    volume_l
        All the system's oil [L].
    top_ups
        Pairs of hours after the first sample [h] and litres added [L], each for oil that leaked away evenly before it.
    steady_l
        Litres added in all without their hours being known [L]: taken as made up as evenly as they were lost.
    density_kg_m3
        Density of the oil [kg/m³].
    fresh_mg_kg
        Content of the oil that was added [mg/kg].
    within_mg_kg
        The laboratory's repeatability at this content: how far two of its results on the same oil may lie apart, 19
        times in 20 [mg/kg]. Where it is not known, :func:`repeats_within`.
    flow_l_min, beta
        Flow through the filter [L/min], and its ratio of metal of this size in front to behind. Both or neither.

    Returns
    -------
    Wear
        The rate if the metal stays in the oil and, with a filter's figures, if the filter takes it. Two samples cannot
        tell which holds, so the rate is *apparent*.

    Valid for
        Contents to 100 000 mg/kg, 1 to 20 000 h, systems to 5000 L; oil that was mixed by running; one fill, no change
        between the samples.

    Raises
    ------
    OutOfRange
        Outside of that, or for a top-up that lies not between the samples.
    Contradiction
        When a can is larger than the system, or only one of a filter's two figures is told.

    Source
        Mass balance of a mixed tank, worked from the formula; the range from the repeatability.

    Examples
    --------
    >>> found = rate(12, 18, 500, 200, steady_l=10)
    >>> found.verdict, found.apparent, round(found.stays_mg_100h.value, 3)
    ('gaining', True, 234.943)
    >>> rate(20, 20.5, 500, 200).verdict
    'plateau'
    """
    _check(c1_mg_kg, c2_mg_kg, hours_h, steady_l, within_mg_kg)
    tank = tank_of(volume_l, density_kg_m3, fresh_mg_kg)
    within = repeats_within(c1_mg_kg, c2_mg_kg) if within_mg_kg is None else within_mg_kg
    cans = _checked_top_ups(top_ups, hours_h)
    cleaned = cleaned_l_h(flow_l_min, beta)
    way = course(tank, hours_h, cans, steady_l=steady_l)
    contents = (c1_mg_kg, c2_mg_kg)
    stays = _bound(way, contents, within)
    to_content = _OF_100 / (tank.density_kg_l * volume_l)
    verdict: Literal["gaining", "plateau", "falling"] = "plateau"
    if not stays.holds(0.0):
        verdict = "gaining" if stays.value > 0 else "falling"
    givens = (
        Given("c₁", c1_mg_kg, "mg_kg", "measured"),
        Given("c₂", c2_mg_kg, "mg_kg", "measured"),
        Given("t", hours_h, "h", "measured"),
        Given("V", volume_l, "l", "told"),
        Given("ρ", density_kg_m3, "kg_m3", "told"),
        Given("added", steady_l + sum(litres for _, litres in cans), "l", "told"),
        Given("r", within, "mg_kg", "assumed" if within_mg_kg is None else "told"),
    )
    steps = [_step("working.wear.stays", givens, way, tank, stays.value)]
    taken: Range | None = None
    if cleaned is not None:
        filtered = Tank(volume_l, tank.density_kg_l, fresh_mg_kg, cleaned)
        with_filter = course(filtered, hours_h, cans, steady_l=steady_l)
        taken = _bound(with_filter, contents, within)
        steps.append(_step("working.wear.taken", givens, with_filter, filtered, taken.value))
    gaining = verdict == "gaining"
    return Wear(
        verdict=verdict,
        apparent=True,
        expected_mg_kg=way.content(c1_mg_kg, 0.0),
        within_mg_kg=within,
        stays_mg_kg_100h=_scaled(stays, to_content) if gaining else None,
        stays_mg_100h=_scaled(stays, _OF_100) if gaining else None,
        at_most_mg_kg_100h=max(0.0, stays.high * to_content),
        taken_mg_kg_100h=None if taken is None else _scaled(taken, to_content),
        taken_mg_100h=None if taken is None else _scaled(taken, _OF_100),
        working=Working(tuple(steps)),
    )
