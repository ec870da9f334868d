"""The workings of what an oil answers, step by step."""

from __future__ import annotations

from coldmark.bench.oil.curve import SOURCE as CURVE_SOURCE
from coldmark.bench.oil.density import SOURCE as DENSITY_SOURCE
from coldmark.bench.oil.density import expansion_at_15
from coldmark.bench.oil.model import Oil
from coldmark.bench.working import Given, Step, Working

__all__ = ["explain_density", "explain_expansion", "explain_temperature", "explain_viscosity"]

_Z = "Z = ν + 0.7 + exp(−1.47 − 1.84·ν − 0.51·ν²)"


def _line(oil: Oil) -> tuple[Step, Step]:
    points = (Given("ν₄₀", oil.kv40_mm2_s, "mm2_s", "told"), Given("ν₁₀₀", oil.kv100_mm2_s, "mm2_s", "told"))
    slope = "B = (log log Z₄₀ − log log Z₁₀₀) / (log 373.15 − log 313.15), " + _Z
    height = "A = log log Z₄₀ + B · log 313.15"
    return (
        Step("working.oil.curve_slope", slope, points, oil.curve.b, "", CURVE_SOURCE),
        Step("working.oil.curve_height", height, points[:1], oil.curve.a, "", CURVE_SOURCE),
    )


def explain_viscosity(oil: Oil, t_c: float) -> Working:
    """Return the working of :meth:`Oil.viscosity`.

    Parameters
    ----------
    oil
        The oil.
    t_c
        Temperature [°C].

    Returns
    -------
    Working
        The steps to the value, the last one with it.

    Valid for
        The temperatures that the method itself takes.

    Raises
    ------
    OutOfRange
        As :meth:`Oil.viscosity`.

    Source
        ASTM D341.

    Examples
    --------
    >>> [step.unit for step in explain_viscosity(Oil("Valley 46", 46, 6.8), 20).steps]
    ['', '', 'mm2_s']
    """
    found = oil.viscosity(t_c)
    formula = f"log log Z = A − B · log(t + 273.15), {_Z}"
    givens = (
        Given("t", t_c, "c", "told"),
        Given("A", oil.curve.a, "", "worked_out"),
        Given("B", oil.curve.b, "", "worked_out"),
    )
    return Working((*_line(oil), Step("working.oil.viscosity", formula, givens, found, "mm2_s", CURVE_SOURCE)))


def explain_temperature(oil: Oil, kv_mm2_s: float) -> Working:
    """Return the working of :meth:`Oil.temperature_at`.

    Parameters
    ----------
    oil
        The oil.
    kv_mm2_s
        Kinematic viscosity [mm²/s].

    Returns
    -------
    Working
        The steps to the value, the last one with it.

    Valid for
        The temperatures that the method itself takes.

    Raises
    ------
    OutOfRange
        As :meth:`Oil.temperature_at`.

    Source
        ASTM D341.

    Examples
    --------
    >>> round(float(explain_temperature(Oil("Valley 32", 32, 5.4), 10).steps[-1].result), 1)
    74.0
    """
    found = oil.temperature_at(kv_mm2_s)
    formula = f"t = 10^((A − log log Z) / B) − 273.15, {_Z}"
    givens = (
        Given("ν", kv_mm2_s, "mm2_s", "told"),
        Given("A", oil.curve.a, "", "worked_out"),
        Given("B", oil.curve.b, "", "worked_out"),
    )
    return Working((*_line(oil), Step("working.oil.temperature", formula, givens, found, "c", CURVE_SOURCE)))


def _rate(density15: float) -> tuple[Step, float]:
    alpha = expansion_at_15(density15)
    given = Given("ρ₁₅", density15, "kg_m3", "told")
    return Step("working.oil.expansion_rate", "α = 0.6278 / ρ₁₅", (given,), alpha, "1/K", DENSITY_SOURCE), alpha


def explain_density(oil: Oil, t_c: float) -> Working:
    """Return the working of :meth:`Oil.density`.

    Parameters
    ----------
    oil
        The oil.
    t_c
        Temperature [°C].

    Returns
    -------
    Working
        The steps to the value, the last one with it.

    Valid for
        The temperatures that the method itself takes.

    Raises
    ------
    OutOfRange, Missing
        As :meth:`Oil.density`.

    Source
        API MPMS 11.1, lubricating oils.

    Examples
    --------
    >>> explain_density(Oil("Valley 46", 46, 6.8, density15_kg_m3=880), 40).steps[-1].unit
    'kg_m3'
    """
    found = oil.density(t_c)
    density15 = oil.density(15)
    rate, alpha = _rate(density15)
    givens = (
        Given("ρ₁₅", density15, "kg_m3", "told"),
        Given("α", alpha, "1/K", "worked_out"),
        Given("t", t_c, "c", "told"),
    )
    formula = "ρ = ρ₁₅ · exp(−α·Δt·(1 + 0.8·α·Δt)), Δt = t − 15"
    return Working((rate, Step("working.oil.density", formula, givens, found, "kg_m3", DENSITY_SOURCE)))


def explain_expansion(oil: Oil, t1_c: float, t2_c: float) -> Working:
    """Return the working of :meth:`Oil.expansion`.

    Parameters
    ----------
    oil
        The oil.
    t1_c, t2_c
        Temperatures [°C] before and after.

    Returns
    -------
    Working
        The steps to the value, the last one with it.

    Valid for
        The temperatures that the method itself takes.

    Raises
    ------
    OutOfRange, Missing
        As :meth:`Oil.expansion`.

    Source
        API MPMS 11.1, lubricating oils.

    Examples
    --------
    >>> len(explain_expansion(Oil("Valley 46", 46, 6.8, density15_kg_m3=880), 10, 70).steps)
    5
    """
    found = oil.expansion(t1_c, t2_c)
    givens = (
        Given("ρ₁", oil.density(t1_c), "kg_m3", "worked_out"),
        Given("ρ₂", oil.density(t2_c), "kg_m3", "worked_out"),
    )
    last = Step("working.oil.expansion", "V₂ / V₁ = ρ₁ / ρ₂", givens, found, "", DENSITY_SOURCE)
    return explain_density(oil, t1_c) + explain_density(oil, t2_c) + Working((last,))
