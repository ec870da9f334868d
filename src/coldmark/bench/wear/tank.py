"""How metal gathers in a well-mixed tank: the exact solution of its balance over a stretch of running.

Over a stretch oil may leak away evenly (and is made up at its end), be made up as evenly as it is lost, and go through
a filter that keeps some of the metal. With the volume V − a·t, metal made at g and taken with the oil at s::

    ρ · (V − a·t) · dc/dt = g + ρ · q · c_new − ρ · s · c,   s = q + the filter's flow · (1 − 1/β)

Its solution decays with exp(−s·x), where x = ln(V / (V − a·t)) / a is t/V for a level that keeps.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from coldmark.bench.errors import Contradiction, require_between
from coldmark.bench.shapes import dataclass

__all__ = ["MOST_MG_KG", "WHAT", "Course", "Tank", "after", "course"]

MOST_MG_KG = 100_000.0
WHAT = "metal in oil"


@dataclass(frozen=True, slots=True)
class Tank:
    """The oil that the metal is in: litres of the whole system, density, what new oil brings, what the filter cleans.

    ``cleaned_l_h`` is the flow of oil that would have to be wholly free of metal behind the filter to take as much.
    """

    volume_l: float
    density_kg_l: float
    fresh_mg_kg: float = 0.0
    cleaned_l_h: float = 0.0


@dataclass(frozen=True, slots=True)
class Course:
    """What a stretch makes of the content at its start: ``kept · c + per_wear · g + brought``.

    ``kept`` is the share of it that is left, ``per_wear`` what metal made at 1 mg/h adds [mg/kg], ``brought`` what new
    oil adds [mg/kg].
    """

    kept: float
    per_wear: float
    brought: float

    def then(self, later: Course) -> Course:
        """Return this stretch followed by a later one."""
        return Course(
            later.kept * self.kept,
            later.kept * self.per_wear + later.per_wear,
            later.kept * self.brought + later.brought,
        )

    def content(self, start_mg_kg: float, wear_mg_h: float) -> float:
        """Return the content at its end [mg/kg] for a content at its start and metal made at ``wear_mg_h``."""
        return self.kept * start_mg_kg + self.per_wear * wear_mg_h + self.brought

    def wear(self, start_mg_kg: float, end_mg_kg: float) -> float:
        """Return how fast metal was made [mg/h] when the content went from ``start_mg_kg`` to ``end_mg_kg``."""
        return (end_mg_kg - self.kept * start_mg_kg - self.brought) / self.per_wear


NOTHING = Course(1.0, 0.0, 0.0)


def _stretch(tank: Tank, hours: float, leaked_l: float, steady_l: float) -> Course:
    """One stretch: ``leaked_l`` lost evenly and not yet made up, ``steady_l`` made up as evenly as it was lost."""
    if hours <= 0:
        return NOTHING
    leak, steady = leaked_l / hours, steady_l / hours
    # Hours over litres that the content feels: a tank that runs empty feels the same wear more.
    felt = hours / tank.volume_l if leak <= 0 else -math.log1p(-leaked_l / tank.volume_l) / leak
    taken = steady + tank.cleaned_l_h
    gained = felt if taken <= 0 else -math.expm1(-taken * felt) / taken
    return Course(math.exp(-taken * felt), gained / tank.density_kg_l, steady * tank.fresh_mg_kg * gained)


def _topped(tank: Tank, litres: float) -> Course:
    share = litres / tank.volume_l
    return Course(1.0 - share, 0.0, share * tank.fresh_mg_kg)


def course(tank: Tank, hours: float, top_ups: Iterable[tuple[float, float]] = (), *, steady_l: float = 0.0) -> Course:
    """Return what ``hours`` of running make of the metal in a tank.

    ``top_ups`` are (hours after the start, litres), each for oil that leaked away evenly since the start or the top-up
    before it; ``steady_l`` is made up over the whole time as evenly as it is lost.
    """
    found, last = NOTHING, 0.0
    for at, litres in sorted(top_ups):
        if litres >= tank.volume_l:
            raise Contradiction(name="top_ups", value=litres, unit_of="litres_l", why="wear.why.too_much")
        between = at - last
        if between <= 0 < litres and hours > 0:
            # Added at the same moment as the start or the last can: nothing leaked meanwhile that is not counted yet.
            found = found.then(_topped(tank, litres))
            continue
        found = found.then(_stretch(tank, between, litres, steady_l * between / hours)).then(_topped(tank, litres))
        last = at
    return found.then(_stretch(tank, hours - last, 0.0, steady_l * (hours - last) / hours if hours > 0 else 0.0))


def after(before_mg_kg: float, left_share: float, fresh_mg_kg: float = 0.0) -> float:
    """Return the content with which a new fill starts, because a drain leaves some of the old oil behind.

    Parameters
    ----------
    before_mg_kg
        Content of the old oil when it was drained [mg/kg].
    left_share
        Share of all the system's oil that was not drained.
    fresh_mg_kg
        Content of the new oil [mg/kg].

    Returns
    -------
    float
        Content of the new fill once every function was moved [mg/kg].

    Valid for
        Shares from 0 to 1; contents up to 100 000 mg/kg.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        Old and new oil mix by mass; worked example of residual oil, as printed in a stored excerpt.

    Examples
    --------
    >>> after(80.0, 0.15)
    12.0
    """
    require_between("before_mg_kg", before_mg_kg, 0, MOST_MG_KG, WHAT)
    require_between("left_share", left_share, 0, 1, "a share of the oil")
    require_between("fresh_mg_kg", fresh_mg_kg, 0, MOST_MG_KG, WHAT)
    return left_share * before_mg_kg + (1 - left_share) * fresh_mg_kg
