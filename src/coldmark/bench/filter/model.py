"""What a filter stage is: its housing and element as curves, and the bypass valve beside the element."""

from __future__ import annotations

from typing import Literal

from coldmark.bench.errors import Contradiction, Missing, require_above, require_between, require_choice
from coldmark.bench.shapes import dataclass

__all__ = ["Bypass", "Function", "Pump", "Stage", "SuctionLine"]

_PRESSURES = "pressure drops of filters"
_FLOWS = "flows of mobile hydraulics"


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

    def __post_init__(self) -> None:
        require_above("cracks_bar", self.cracks_bar, 0, _PRESSURES)
        require_above("full_open_bar", self.full_open_bar, 0, _PRESSURES)
        require_above("full_open_l_min", self.full_open_l_min, 0, _FLOWS)
        if not self.full_open_bar > self.cracks_bar:
            why = "filter.cannot.full_open"
            raise Contradiction(name="full_open_bar", value=self.full_open_bar, why=why, cracks_bar=self.cracks_bar)

    def flow(self, drop_bar: float) -> float:
        """Return the flow through the valve [L/min] at a drop across it [bar].

        Nothing up to where it cracks, rising in a straight line to where it is fully open, and from there as through a
        fixed opening, with the square root of the drop.

        >>> [round(Bypass(1.5, 2.0, 200).flow(drop), 1) for drop in (1.5, 1.75, 2.0, 8.0)]
        [0.0, 100.0, 200.0, 400.0]
        """
        if drop_bar <= self.cracks_bar:
            return 0.0
        if drop_bar <= self.full_open_bar:
            return self.full_open_l_min * (drop_bar - self.cracks_bar) / (self.full_open_bar - self.cracks_bar)
        return float(self.full_open_l_min * (drop_bar / self.full_open_bar) ** 0.5)

    def drop(self, flow_l_min: float) -> float:
        """Return the drop across the valve [bar] that lets this flow through [L/min].

        >>> [round(Bypass(1.5, 2.0, 200).drop(flow), 2) for flow in (0.0, 100.0, 200.0, 400.0)]
        [1.5, 1.75, 2.0, 8.0]
        """
        share = flow_l_min / self.full_open_l_min
        if share <= 1:
            return self.cracks_bar + share * (self.full_open_bar - self.cracks_bar)
        return self.full_open_bar * share * share


@dataclass(frozen=True, slots=True)
class Stage:
    """One filter: clean pressure drops at a stated reference, what it may hold, and its valve and alarm.

    Reference values follow the published curves: flow [L/min], viscosity [mm²/s], density [kg/m³]. Housing drops
    [bar] are split into a turbulent and a laminar part. ``capacity_g`` is the dirt it holds until the element's own
    drop at the reference has grown to ``terminal_bar``; ``alarm_bar`` is where the lamp comes on, felt across the
    same two points as the bypass. ``None``: nobody knows.
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

    def __post_init__(self) -> None:
        require_above("element_bar", self.element_bar, 0, _PRESSURES)
        require_between("housing_turbulent_bar", self.housing_turbulent_bar, 0, 100, _PRESSURES)
        require_between("housing_laminar_bar", self.housing_laminar_bar, 0, 100, _PRESSURES)
        require_above("reference_l_min", self.reference_l_min, 0, _FLOWS)
        require_above("reference_mm2_s", self.reference_mm2_s, 0, "reference of the curves")
        require_between("reference_kg_m3", self.reference_kg_m3, 500, 1500, "reference of the curves")
        for name in ("alarm_bar", "capacity_g", "beta_um"):
            if getattr(self, name) is not None:
                require_above(name, getattr(self, name), 0, "filters")
        if self.beta is not None:
            require_between("beta", self.beta, 1, 1e6, "ISO 16889")
        if self.terminal_bar is not None and not self.terminal_bar > self.element_bar:
            why = "filter.cannot.full_element"
            raise Contradiction(name="terminal_bar", value=self.terminal_bar, why=why, clean_bar=self.element_bar)


@dataclass(frozen=True, slots=True)
class Pump:
    """A pump: displacement per turn [cm³], and engine speeds [1/min] at idle and at full throttle.

    ``volumetric`` is the flow delivered over the flow displaced; ``case_drain_l_min`` what goes back to the tank past
    the return filter.
    """

    name: str
    displacement_cm3: float
    idle_rpm: float
    full_rpm: float
    volumetric: float = 0.95
    case_drain_l_min: float = 0.0

    def __post_init__(self) -> None:
        require_above("displacement_cm3", self.displacement_cm3, 0, "pumps")
        require_above("idle_rpm", self.idle_rpm, 0, "pumps")
        require_between("volumetric", self.volumetric, 0.1, 1, "pumps")
        require_between("case_drain_l_min", self.case_drain_l_min, 0, 1000, _FLOWS)
        if not self.full_rpm >= self.idle_rpm:
            why = "filter.cannot.idling"
            raise Contradiction(name="full_rpm", value=self.full_rpm, why=why, idle_rpm=self.idle_rpm)

    def delivers(self, speed: Literal["idle", "full"]) -> float:
        """Return the flow [L/min] at idle or at full throttle.

        >>> Pump("main", 45, 1000, 2200, volumetric=1.0).delivers("full")
        99.0
        """
        return self.displacement_cm3 * (self.full_rpm if speed == "full" else self.idle_rpm) * self.volumetric / 1000


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

    def __post_init__(self) -> None:
        require_choice("kind", self.kind, ("cylinder", "motor"))
        require_between("regenerated", self.regenerated, 0, 1, "a share")
        if self.lowering_s is not None:
            require_above("lowering_s", self.lowering_s, 0, "a measured time")
        if self.kind == "cylinder" and self.cylinder is None:
            raise Missing(name="cylinder", needed_for=f"the function {self.name}")


@dataclass(frozen=True, slots=True)
class SuctionLine:
    """A suction line: inner diameter and length [mm], how far the oil stands above the pump's inlet [mm, below zero
    where the pump sits higher], the sum of its fittings' loss coefficients, and the roughness of its wall [mm]."""

    inner_mm: float
    length_mm: float
    head_mm: float = 0.0
    fittings: float = 1.5
    roughness_mm: float = 0.01

    def __post_init__(self) -> None:
        require_above("inner_mm", self.inner_mm, 0, "suction lines")
        require_between("inner_mm", self.inner_mm, 5, 200, "suction lines")
        require_between("length_mm", self.length_mm, 0, 20_000, "suction lines")
        require_between("head_mm", self.head_mm, -5000, 5000, "tanks of mobile machines")
        require_between("fittings", self.fittings, 0, 100, "loss coefficients")
        require_between("roughness_mm", self.roughness_mm, 0, 0.05 * self.inner_mm, "Colebrook")
