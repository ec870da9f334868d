"""What a hydraulic system is, as far as its oil level goes: tank, gauge, cylinders, accumulators."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

__all__ = [
    "Accumulator",
    "Cylinder",
    "CylinderKind",
    "Gauge",
    "GaugeKind",
    "Lying",
    "Material",
    "Posture",
    "Reading",
    "System",
    "Table",
    "Tank",
    "Upright",
    "UprightRound",
]

CylinderKind = Literal["double", "plunger", "single_dry", "through"]
"""Double-acting; plunger (ram); single-acting with a dry rod side; through-rod."""

GaugeKind = Literal["glass", "line", "bullseye", "dipstick", "plug"]
Material = Literal["steel", "aluminium", "plastic"]

Reading = float | Literal["below", "above"]
"""Where the oil stands: 0 is the lower mark, 1 the upper; *below* or *above* what the gauge can show."""


@dataclass(frozen=True, slots=True)
class Table:
    """Litres in the tank against height: rising pairs of (height [mm], volume [L])."""

    rows: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Upright:
    """A box standing upright: inside length and width [mm]."""

    length_mm: float
    width_mm: float


@dataclass(frozen=True, slots=True)
class UprightRound:
    """A cylinder standing upright: inside diameter [mm]."""

    diameter_mm: float


@dataclass(frozen=True, slots=True)
class Lying:
    """A cylinder lying on its side with flat ends: inside diameter and length [mm]."""

    diameter_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True)
class Tank:
    """The tank. ``between_marks_l`` alone is enough; a shape with the marks' heights is better.

    ``at_lower_l`` is what the tank holds at the lower mark; ``above_upper_l`` what still goes in between the
    upper mark and the breather; ``below_lower_l`` what is left above the suction when the oil stands at the
    lower mark. ``None`` means that nobody knows, and switches off what needs it.
    """

    material: Material
    between_marks_l: float | None = None
    shape: Table | Upright | UprightRound | Lying | None = None
    at_lower_l: float | None = None
    above_upper_l: float | None = None
    below_lower_l: float | None = None
    on_upper_structure: bool = False


@dataclass(frozen=True, slots=True)
class Gauge:
    """What the level is read on, and the oil temperature [°C] for which its marks hold.

    Heights [mm] are measured in the tank from its bottom; offsets [mm] from the tank's middle, ahead and to the
    left positive, matter on a slope. ``resolution`` is how well the gauge can be read, as a share of its span.
    """

    kind: GaugeKind
    hold_from_c: float | None = None
    hold_to_c: float | None = None
    lower_mm: float | None = None
    upper_mm: float | None = None
    ahead_mm: float | None = None
    left_mm: float | None = None
    resolution: float = 0.03


@dataclass(frozen=True, slots=True)
class Cylinder:
    """One kind of cylinder on the machine; ``name`` is what postures speak of."""

    name: str
    kind: CylinderKind
    bore_mm: float
    rod_mm: float
    stroke_mm: float
    count: int = 1


@dataclass(frozen=True, slots=True)
class Accumulator:
    """A gas accumulator: gas volume [L], gas charge and working pressure [bar absolute], exponent of the gas."""

    name: str
    gas_l: float
    charge_bar: float
    working_bar: float
    exponent: float = 1.0


@dataclass(frozen=True, slots=True)
class Posture:
    """How the machine stands: for each cylinder how far its rod is out, 0 to 1.

    ``charged`` says whether the accumulators hold pressure in it.
    """

    key: str
    says: str
    extension: Mapping[str, float]
    charged: bool = False


@dataclass(frozen=True, slots=True)
class System:
    """Everything that decides where the oil stands. ``system_l`` is all the oil, at the marks' middle [L]."""

    tank: Tank
    gauge: Gauge
    check_posture: str
    postures: Mapping[str, Posture]
    system_l: float | None = None
    cylinders: tuple[Cylinder, ...] = ()
    accumulators: tuple[Accumulator, ...] = ()
    engine: Literal["stopped", "idling"] = "stopped"
    settle_min: float | None = None
    hot_c: float | None = None
    origins: Mapping[str, str] = field(default_factory=dict)
