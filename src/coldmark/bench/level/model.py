"""What a hydraulic system is, as far as its oil level goes: tank, gauge, cylinders, accumulators."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from itertools import pairwise
from typing import Literal

from coldmark.bench.errors import Contradiction, OutOfRange, RowRefused, require_between, require_choice
from coldmark.bench.shapes import dataclass

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

_CHOICES = {
    "cylinder kind": ("double", "plunger", "single_dry", "through"),
    "gauge kind": ("glass", "line", "bullseye", "dipstick", "plug"),
    "material": ("steel", "aluminium", "plastic"),
    "engine": ("stopped", "idling"),
}
_SIZES = "sizes on compact machines, common practice"


def _positive(name: str, value: float, high: float) -> None:
    """Refuse a size that is not above zero, or larger than any that a compact machine has."""
    if not 0 < value <= high:
        raise OutOfRange(name=name, value=value, low=0, high=high, source=_SIZES)


def _at_least_zero(name: str, value: float | None, high: float) -> None:
    if value is not None:
        require_between(name, value, 0.0, high, _SIZES)


@dataclass(frozen=True, slots=True)
class Table:
    """Litres in the tank against height: rising pairs of (height [mm], volume [L])."""

    rows: tuple[tuple[float, float], ...]

    def __post_init__(self) -> None:
        if len(self.rows) < 2:
            raise Contradiction(name="table", value=len(self.rows), why="level.cannot.two_rows")
        for row, (before, here) in enumerate(pairwise(self.rows), 2):
            for name, low, value in zip(("height_mm", "volume_l"), before, here, strict=True):
                if not value > low:
                    why = "level.cannot.rises"
                    inner = Contradiction(name=name, value=value, why=why, before=low, measure=name)
                    raise RowRefused(row, inner, name="table")


@dataclass(frozen=True, slots=True)
class Upright:
    """A box standing upright: inside length and width [mm]."""

    length_mm: float
    width_mm: float

    def __post_init__(self) -> None:
        _positive("length_mm", self.length_mm, 5000)
        _positive("width_mm", self.width_mm, 5000)


@dataclass(frozen=True, slots=True)
class UprightRound:
    """A cylinder standing upright: inside diameter [mm]."""

    diameter_mm: float

    def __post_init__(self) -> None:
        _positive("diameter_mm", self.diameter_mm, 5000)


@dataclass(frozen=True, slots=True)
class Lying:
    """A cylinder lying on its side with flat ends: inside diameter and length [mm]."""

    diameter_mm: float
    length_mm: float

    def __post_init__(self) -> None:
        _positive("diameter_mm", self.diameter_mm, 5000)
        _positive("length_mm", self.length_mm, 5000)


@dataclass(frozen=True, slots=True)
class Tank:
    """The tank. ``between_marks_l`` alone is enough; a shape with the marks' heights is better.

    ``at_lower_l`` is what the tank holds at the lower mark; ``above_upper_l`` what still goes in between the
    upper mark and the breather; ``below_lower_l`` what is left above the suction when the oil stands at the
    lower mark. ``None`` means that nobody knows, and switches off what needs it. ``between_low_l`` and
    ``between_high_l`` say how well the litres between the marks are known, where they were learned or assumed.
    """

    material: Material
    between_marks_l: float | None = None
    shape: Table | Upright | UprightRound | Lying | None = None
    at_lower_l: float | None = None
    above_upper_l: float | None = None
    below_lower_l: float | None = None
    on_upper_structure: bool = False
    between_low_l: float | None = None
    between_high_l: float | None = None

    def __post_init__(self) -> None:
        require_choice("material", self.material, _CHOICES["material"])
        if self.between_marks_l is not None:
            _positive("between_marks_l", self.between_marks_l, 1000)
            low = self.between_marks_l if self.between_low_l is None else self.between_low_l
            high = self.between_marks_l if self.between_high_l is None else self.between_high_l
            if not 0 < low <= self.between_marks_l <= high:
                raise Contradiction(
                    name="between_marks_l",
                    value=self.between_marks_l,
                    why="level.cannot.between",
                    low_l=low,
                    high_l=high,
                )
        for name in ("at_lower_l", "above_upper_l", "below_lower_l"):
            _at_least_zero(name, getattr(self, name), 2000)


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

    def __post_init__(self) -> None:
        require_choice("gauge", self.kind, _CHOICES["gauge kind"])
        if not 0 < self.resolution <= 0.25:
            raise OutOfRange(
                name="resolution_share", value=self.resolution, low=0, high=0.25, source="a readable gauge"
            )
        for name in ("hold_from_c", "hold_to_c"):
            value = getattr(self, name)
            if value is not None:
                require_between(name, value, -40.0, 120.0, "oil temperatures at which marks hold, common practice")
        if self.hold_from_c is not None and self.hold_to_c is not None and self.hold_to_c < self.hold_from_c:
            why = "level.cannot.below_hold_from"
            raise Contradiction(name="hold_to_c", value=self.hold_to_c, why=why, hold_from_c=self.hold_from_c)
        _at_least_zero("lower_mm", self.lower_mm, 5000)
        if self.lower_mm is not None and self.upper_mm is not None and not self.upper_mm > self.lower_mm:
            raise Contradiction(
                name="upper_mm", value=self.upper_mm, why="level.cannot.above_lower", lower_mm=self.lower_mm
            )


@dataclass(frozen=True, slots=True)
class Cylinder:
    """One kind of cylinder on the machine; ``name`` is what postures speak of."""

    name: str
    kind: CylinderKind
    bore_mm: float
    rod_mm: float
    stroke_mm: float
    count: int = 1

    def __post_init__(self) -> None:
        require_choice("kind", self.kind, _CHOICES["cylinder kind"])
        _positive("bore_mm", self.bore_mm, 500)
        _positive("rod_mm", self.rod_mm, 500)
        _positive("stroke_mm", self.stroke_mm, 10000)
        require_between("count", self.count, 1, 20, _SIZES)
        if self.kind != "plunger" and not self.rod_mm < self.bore_mm:
            raise Contradiction(name="rod_mm", value=self.rod_mm, why="level.cannot.rod", bore_mm=self.bore_mm)


@dataclass(frozen=True, slots=True)
class Accumulator:
    """A gas accumulator: gas volume [L], gas charge and working pressure [bar absolute], exponent of the gas."""

    name: str
    gas_l: float
    charge_bar: float
    working_bar: float
    exponent: float = 1.0

    def __post_init__(self) -> None:
        _positive("gas_l", self.gas_l, 200)
        _positive("charge_bar", self.charge_bar, 500)
        require_between("exponent", self.exponent, 1.0, 1.67, "isothermal to adiabatic, ideal gas")
        if not self.working_bar >= self.charge_bar:
            raise Contradiction(
                name="working_bar", value=self.working_bar, why="level.cannot.charge", charge_bar=self.charge_bar
            )


@dataclass(frozen=True, slots=True)
class Posture:
    """How the machine stands: for each cylinder how far its rod is out, 0 to 1.

    ``charged`` says whether the accumulators hold pressure in it.
    """

    key: str
    says: str
    extension: Mapping[str, float]
    charged: bool = False

    def __post_init__(self) -> None:
        for share in self.extension.values():
            require_between("extension", share, 0.0, 1.0, "0 is all the way in, 1 all the way out")


@dataclass(frozen=True, slots=True)
class System:
    """Everything that decides where the oil stands. ``system_l`` is all the oil, at the marks' middle [L].

    ``origins`` says where a figure comes from (*manual*, *measured*, *assumed*, *learned*): by its own name for the
    system, tank and gauge (``between_marks_l``, ``hot_c``), and ``cylinders.boom`` for all of a cylinder's.
    """

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

    def __post_init__(self) -> None:
        require_choice("check_posture", self.check_posture, self.postures)
        require_choice("engine", self.engine, _CHOICES["engine"])
        if self.system_l is not None:
            _positive("system_l", self.system_l, 5000)
        if self.hot_c is not None:
            require_between("hot_c", self.hot_c, 0.0, 120.0, "working temperatures of hydraulic oil, common practice")
        names = [cylinder.name for cylinder in self.cylinders]
        for posture in self.postures.values():
            for name in posture.extension:
                require_choice("cylinder", name, names)
