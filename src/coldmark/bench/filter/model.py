"""What a filter stage is: its housing and element as curves, and the bypass valve beside the element."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Bypass", "Function", "Pump", "Stage"]


@dataclass(frozen=True, slots=True)
class Bypass:
    """The valve beside the element: where it cracks and where it is fully open [bar].

    ``full_open_l_min`` is the flow through it at the full-open pressure; ``spans_housing`` whether it also spans
    the housing's own drop.
    """

    cracks_bar: float
    full_open_bar: float
    full_open_l_min: float
    spans_housing: bool = False


@dataclass(frozen=True, slots=True)
class Stage:
    """One filter: clean pressure drops at a stated reference, what it may hold, and its valve and alarm.

    Reference values follow the published curves: flow [L/min], viscosity [mm²/s], density [kg/m³]. Housing drops
    [bar] are split into a turbulent and a laminar part. ``capacity_g`` is the dirt it holds to ``terminal_bar``;
    ``alarm_bar`` is where the lamp comes on. ``None``: nobody knows.
    """

    name: str
    element_bar: float
    housing_turbulent_bar: float
    reference_l_min: float
    reference_mm2_s: float = 30.0
    reference_kg_m3: float = 860.0
    housing_laminar_bar: float = 0.0
    bypass: Bypass | None = None
    alarm_bar: float | None = None
    terminal_bar: float | None = None
    capacity_g: float | None = None
    beta: float | None = None
    beta_um: float | None = None


@dataclass(frozen=True, slots=True)
class Pump:
    """A pump: displacement per turn [cm³], and engine speeds [1/min] at idle and at full throttle."""

    name: str
    displacement_cm3: float
    idle_rpm: float
    full_rpm: float
    volumetric: float = 0.95
    case_drain_l_min: float = 0.0


@dataclass(frozen=True, slots=True)
class Function:
    """One function that a pump drives: the cylinder that returns oil, and what does not pass the filter.

    ``lowering_s`` is the measured time [s] of lowering by gravity; ``regenerated`` the share of the leaving oil
    that goes to the other side instead of the return line.
    """

    name: str
    kind: Literal["cylinder", "motor"]
    cylinder: str | None = None
    pump: str | None = None
    regenerated: float = 0.0
    lowering_s: float | None = None
