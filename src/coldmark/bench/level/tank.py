"""Litres in a tank against height, and how tank and marks grow with the oil's temperature."""

from __future__ import annotations

import math
from bisect import bisect_right

from coldmark.bench.errors import Contradiction, OutOfRange, require_between
from coldmark.bench.level.model import Gauge, Lying, Material, Table, Tank, Upright, UprightRound
from coldmark.bench.shapes import dataclass

__all__ = ["GROWTH_PER_K", "REFERENCE_C", "Scale", "Shape", "growth", "height_mm", "scale_of", "volume_l"]

Shape = Table | Upright | UprightRound | Lying

GROWTH_PER_K: dict[Material, float] = {"steel": 3.6e-5, "aluminium": 6.9e-5, "plastic": 5e-4}
"""Growth of a vessel's volume per kelvin. Aluminium as printed in a handbook table of solids; steel within the 33 to 39
of that table; polyethylene three times a linear 17e-5 from a table of plastics, and so the most uncertain of them."""

REFERENCE_C = 20.0
"""The temperature at which a sheet's litres and millimetres are taken to hold."""

_MM3_PER_L = 1e6
_SOURCE_SHAPE = "the shape's own height"


def _segment_mm2(diameter_mm: float, height: float) -> float:
    """Area of the part of a circle that lies below ``height``."""
    radius = diameter_mm / 2
    return radius**2 * math.acos((radius - height) / radius) - (radius - height) * math.sqrt(
        height * (diameter_mm - height)
    )


def _table_l(rows: tuple[tuple[float, float], ...], height: float) -> float:
    require_between("height_mm", height, rows[0][0], rows[-1][0], "the table's first and last row")
    index = min(bisect_right(rows, (height, math.inf)), len(rows) - 1)
    (low_mm, low_l), (high_mm, high_l) = rows[index - 1], rows[index]
    return low_l + (high_l - low_l) * (height - low_mm) / (high_mm - low_mm)


def volume_l(shape: Shape, height_mm: float) -> float:
    """Litres in a tank that is filled to a height.

    Parameters
    ----------
    shape
        A table of heights and litres, or an upright box, an upright or a lying cylinder by its inside sizes [mm].
    height_mm
        Height of the oil above the tank's bottom [mm].

    Returns
    -------
    float
        Volume [L].

    Valid for
        Level tanks with flat ends. A table holds from its first row to its last, with straight lines between.

    Raises
    ------
    OutOfRange
        When the height lies below the bottom, above a lying cylinder, or outside the table.

    Source
        Geometry; the lying cylinder is the segment of a circle times the length.

    Examples
    --------
    >>> round(volume_l(Lying(diameter_mm=600, length_mm=1200), 200), 4)
    99.0025
    >>> volume_l(Upright(length_mm=500, width_mm=400), 100)
    20.0
    """
    if isinstance(shape, Table):
        return _table_l(shape.rows, height_mm)
    top = shape.diameter_mm if isinstance(shape, Lying) else 10_000.0
    require_between("height_mm", height_mm, 0.0, top, _SOURCE_SHAPE)
    if isinstance(shape, Upright):
        return shape.length_mm * shape.width_mm * height_mm / _MM3_PER_L
    if isinstance(shape, UprightRound):
        return math.pi / 4 * shape.diameter_mm**2 * height_mm / _MM3_PER_L
    return _segment_mm2(shape.diameter_mm, height_mm) * shape.length_mm / _MM3_PER_L


def _lying_mm(shape: Lying, filled_l: float) -> float:
    """Height in a lying cylinder: Newton's steps by the chord's width, halving where a step would leave the bracket."""
    wanted = filled_l * _MM3_PER_L / shape.length_mm
    low, high = 0.0, shape.diameter_mm
    height = shape.diameter_mm / 2
    for _ in range(60):
        over = _segment_mm2(shape.diameter_mm, height) - wanted
        if over > 0:
            high = height
        else:
            low = height
        chord = 2.0 * math.sqrt(height * (shape.diameter_mm - height))
        closer = height - over / chord if chord > 0 else low
        if not low < closer < high:
            closer = (low + high) / 2
        if abs(closer - height) < 1e-9:
            return closer
        height = closer
    return height


def height_mm(shape: Shape, filled_l: float) -> float:
    """Height to which a tank is filled by a number of litres: the inverse of :func:`volume_l`.

    Parameters
    ----------
    shape
        As for :func:`volume_l`.
    filled_l
        Litres in the tank [L].

    Returns
    -------
    float
        Height of the oil above the tank's bottom [mm].

    Valid for
        As :func:`volume_l`.

    Raises
    ------
    OutOfRange
        When the tank holds less, or the table begins with more.

    Source
        Geometry; table and box by straight lines, the lying cylinder by Newton's method.

    Examples
    --------
    >>> round(height_mm(Lying(diameter_mm=600, length_mm=1200), 200.0), 4)
    342.2989
    """
    if isinstance(shape, Table):
        rows = shape.rows
        require_between("filled_l", filled_l, rows[0][1], rows[-1][1], "the table's first and last row")
        turned = tuple((litres, height) for height, litres in rows)
        return _table_l(turned, filled_l)
    if isinstance(shape, Lying):
        full = volume_l(shape, shape.diameter_mm)
        require_between("filled_l", filled_l, 0.0, full, "the full tank")
        return _lying_mm(shape, filled_l)
    if filled_l < 0:
        raise OutOfRange(name="filled_l", value=filled_l, low=0.0, high=math.inf, source=_SOURCE_SHAPE)
    return filled_l / volume_l(shape, 1.0)


def growth(material: Material, t_c: float) -> float:
    """Factor by which a tank holds more at a temperature than at 20 °C, up to the same mark.

    The marks grow with the tank, on a plastic one because they are moulded in it: what lies below a mark, and what
    lies between two, both grow by this factor.

    Parameters
    ----------
    material
        ``"steel"``, ``"aluminium"`` or ``"plastic"`` (polyethylene).
    t_c
        Temperature of the wall, taken as the oil's [°C].

    Returns
    -------
    float
        Volume at ``t_c`` over volume at 20 °C [-].

    Valid for
        -40 to 130 °C.

    Raises
    ------
    OutOfRange
        Outside these temperatures.

    Source
        Handbook tables of expansion of solids and plastics (see :data:`GROWTH_PER_K`).

    Examples
    --------
    >>> round(growth("steel", 60.0), 5), round(growth("plastic", 60.0), 3)
    (1.00144, 1.02)
    """
    require_between("t_c", t_c, -40.0, 130.0, "hydraulic oil in work")
    return 1.0 + GROWTH_PER_K[material] * (t_c - REFERENCE_C)


@dataclass(frozen=True, slots=True)
class Scale:
    """The gauge's scale in litres at 20 °C: what a reading means above the lower mark, and back.

    Between the marks it follows the tank's shape where that is known; beyond them, where hardly anything can be read,
    it goes on with the mean litres of one span.
    """

    between_l: float
    shape: Shape | None = None
    lower_mm: float = 0.0
    upper_mm: float = 0.0
    shape_lower_l: float = 0.0
    shape_between_l: float = 1.0

    def litres(self, reading: float) -> float:
        """Litres above the lower mark at a reading."""
        if self.shape is None or not 0.0 < reading < 1.0:
            return reading * self.between_l
        height = self.lower_mm + reading * (self.upper_mm - self.lower_mm)
        return (volume_l(self.shape, height) - self.shape_lower_l) * self.between_l / self.shape_between_l

    def reading(self, litres: float) -> float:
        """Reading at a number of litres above the lower mark."""
        share = litres / self.between_l
        if self.shape is None or not 0.0 < share < 1.0:
            return share
        height = height_mm(self.shape, self.shape_lower_l + share * self.shape_between_l)
        return (height - self.lower_mm) / (self.upper_mm - self.lower_mm)

    def times(self, factor: float) -> Scale:
        """Return the same scale with ``factor`` times the litres between the marks."""
        return Scale(
            self.between_l * factor,
            self.shape,
            self.lower_mm,
            self.upper_mm,
            self.shape_lower_l,
            self.shape_between_l,
        )


def scale_of(tank: Tank, gauge: Gauge) -> Scale | None:
    """Make the gauge's scale from what is known of the tank.

    Parameters
    ----------
    tank
        With the litres between the marks, or a shape.
    gauge
        With the marks' heights [mm], needed where the tank has a shape.

    Returns
    -------
    Scale or None
        ``None`` where neither litres between the marks nor a shape with both marks' heights is known. Where both are,
        the shape gives the curve and the litres between the marks its size.

    Valid for
        Tanks whose oil surface lies within the shape at both marks.

    Raises
    ------
    Contradiction
        When shape and litres between the marks differ by more than half.
    OutOfRange
        When a mark lies outside the shape.

    Source
        Geometry.

    Examples
    --------
    >>> tank = Tank(material="steel", shape=Upright(length_mm=500, width_mm=400))
    >>> scale_of(tank, Gauge(kind="glass", lower_mm=150, upper_mm=200)).between_l
    10.0
    """
    between = tank.between_marks_l
    if tank.shape is None or gauge.lower_mm is None or gauge.upper_mm is None:
        return None if between is None else Scale(between)
    lower_l = volume_l(tank.shape, gauge.lower_mm)
    by_shape = volume_l(tank.shape, gauge.upper_mm) - lower_l
    if between is not None and not 0.5 < between / by_shape < 1.5:
        raise Contradiction(name="between_marks_l", value=between, why="level.cannot.shape", by_shape_l=by_shape)
    return Scale(
        by_shape if between is None else between, tank.shape, gauge.lower_mm, gauge.upper_mm, lower_l, by_shape
    )
