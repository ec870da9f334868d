"""The working of a level: each step with its formula, what went in and what came out."""

from __future__ import annotations

from coldmark.bench.level.setting import Case, Setting
from coldmark.bench.level.tank import GROWTH_PER_K
from coldmark.bench.working import Given, Origin, Step

__all__ = ["ghost_step", "limit_steps", "litres_step", "mass_steps"]

_MASS = "conservation of mass; density of the oil at each temperature"
_GEOMETRY = "geometry: rod, ram or bore area times stroke"
_MOVE = "(ρ·V + ρ_out·V_out) kept; V_tank = (V_lower + V_above)·(1 + γ·(t - 20))"
_ORIGINS: tuple[Origin, ...] = ("sheet", "measured", "told", "assumed", "practice", "learned", "worked_out")


def _origin(setting: Setting, name: str) -> Origin:
    """Return where a value of the system comes from; the data sheet where it does not say otherwise."""
    told = setting.system.origins.get(name, "sheet")
    for origin in _ORIGINS:
        if origin == told:
            return origin
    return "sheet"


def _density(setting: Setting, symbol: str, t_c: float) -> Given:
    return Given(symbol, setting.density(t_c), "kg_m3", "worked_out")


def mass_steps(setting: Setting, case: Case) -> tuple[Step, ...]:
    """Show what is drawn from the tank, and the mass of all the oil."""
    body = setting.body(case)
    if body is None or setting.system.system_l is None:
        return ()
    now = setting.where(case.oil_c, case.warmth, case.drawn_l)
    above_l = body.scale.litres(case.reading)
    drawn = Step("level.step.drawn", "Σ count·π/4·d²·stroke·share out", (), case.drawn_l, "l", _GEOMETRY)
    mass = Step(
        "level.step.mass",
        "m = ρ·V_tank + ρ_out·V_out",
        (
            Given("reading", case.reading, "share", "measured"),
            Given("t", case.oil_c, "c", "measured"),
            Given("V_between", body.scale.between_l, "l", _origin(setting, "between_marks_l")),
            Given("V_lower", body.at_lower_l, "l", _origin(setting, "at_lower_l")),
            Given("V_system", setting.system.system_l, "l", _origin(setting, "system_l")),
            Given("V_tank", body.tank_l(above_l, now.tank_c), "l", "worked_out"),
            Given("V_out", body.outside_l + now.drawn_l, "l", "worked_out"),
            _density(setting, "ρ", now.tank_c),
            Given("γ", GROWTH_PER_K[body.material], "1/K", "practice"),
        ),
        body.mass_kg(above_l, now),
        "kg",
        _MASS,
    )
    return (drawn, mass) if case.drawn_l else (mass,)


def ghost_step(setting: Setting, what: str, t_c: float, reading: float) -> Step:
    """Show where the same oil stands at another temperature in the check posture."""
    return Step(what, _MOVE, (Given("t", t_c, "c", "sheet"), _density(setting, "ρ", t_c)), reading, "share", _MASS)


def limit_steps(setting: Setting, case: Case, highest: float | None, lowest: float | None) -> tuple[Step, ...]:
    """Show the highest and the lowest reading now."""
    steps: list[Step] = []
    read_to = Given("resolution", setting.resolution, "share", "practice")
    if highest is not None and setting.marks_c is not None:
        givens = [Given("t", case.oil_c, "c", "measured"), Given("t_marks", setting.marks_c, "c", "sheet"), read_to]
        above = setting.system.tank.above_upper_l
        if above is not None:
            givens.append(Given("V_breather", above, "l", _origin(setting, "above_upper_l")))
        steps.append(
            Step(
                "level.step.highest",
                "stands at 1 - resolution at t_marks, and under the breather hot with every rod in",
                tuple(givens),
                highest,
                "share",
                _MASS,
            )
        )
    if lowest is not None and setting.coldest_c is not None:
        givens = [Given("t", case.oil_c, "c", "measured"), Given("t_coldest", setting.coldest_c, "c", "told"), read_to]
        below = setting.system.tank.below_lower_l
        if below is not None:
            givens.append(Given("V_suction", below, "l", _origin(setting, "below_lower_l")))
        steps.append(
            Step(
                "level.step.lowest",
                "stands at resolution on the coldest start, and over the suction then with every rod out",
                tuple(givens),
                lowest,
                "share",
                _MASS,
            )
        )
    return tuple(steps)


def litres_step(reading: float, target: float, litres_l: float) -> Step:
    """Show the litres that carry the reading to where it should stand."""
    return Step(
        "level.step.litres",
        "V = V_tank(fill to) - V_tank(reading), at the oil's temperature",
        (Given("reading", reading, "share", "measured"), Given("fill to", target, "share", "worked_out")),
        litres_l,
        "l",
        "the tank's scale",
    )
