"""The oil that is truly in an invented machine, kept as mass: every reading follows from what was lost and added."""

from __future__ import annotations

from dataclasses import replace

from coldmark.bench import level
from coldmark.bench.level.setting import Case, prepare
from coldmark.bench.oil import Oil

__all__ = ["TrueOil"]

_BASE_C = 15.0
_UNTOLD_SHARE = 0.13  # what lies between the marks, of all the oil, where the sheet does not say


class TrueOil:
    """All the oil of one hydraulic system [kg]."""

    def __init__(self, system: level.System, oil: Oil, reading: float, oil_c: float) -> None:
        """Start with the oil standing at ``reading`` in the check posture at ``oil_c`` [°C]."""
        self._system = system
        setting = prepare(_whole(system), oil=oil)
        at_lower = 0.0 if setting.at_lower is None else setting.at_lower.value
        body = setting.body(Case(reading, oil_c, at_lower))
        if body is None:
            raise ValueError("the sheet lacks the system's litres or those between the marks")
        self._body = body
        self.oil = oil
        self.mass_kg = body.mass_kg(body.scale.litres(reading), level.Where(oil_c, oil_c))

    def reading(self, oil_c: float, posture: str | None = None) -> float:
        """Return where the oil stands in a posture of the sheet at a temperature [°C]."""
        drawn = 0.0
        if posture is not None and posture != self._system.check_posture:
            drawn = level.draw_l(self._system, level.standing_of(self._system, posture))
        above = self._body.above_lower_l(self.mass_kg, level.Where(oil_c, oil_c, drawn))
        return self._body.scale.reading(above)

    def move(self, litres: float, oil_c: float) -> None:
        """Put oil in (or, negative, take it out): so many litres at a temperature [°C]."""
        self.mass_kg += litres * self.oil.density(oil_c) / 1000.0

    def lose(self, litres: float) -> None:
        """Let oil go unseen: so many litres at 15 °C."""
        self.move(-litres, _BASE_C)


def _whole(system: level.System) -> level.System:
    """The system as it truly is: it has litres between its marks even where the sheet does not know them."""
    tank = system.tank
    if tank.between_marks_l is not None or tank.shape is not None or system.system_l is None:
        return system
    return replace(system, tank=replace(tank, between_marks_l=round(_UNTOLD_SHARE * system.system_l, 1)))
