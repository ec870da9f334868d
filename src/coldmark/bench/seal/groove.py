"""A groove as it is measured: its depth, its width and one of its diameters tell the other."""

from __future__ import annotations

from typing import Literal

from coldmark.bench import words
from coldmark.bench.errors import Contradiction, Missing, require_between
from coldmark.bench.shapes import dataclass

__all__ = ["KINDS", "READ_MM", "Groove", "Kind"]

Kind = Literal["face_inside", "face_outside", "spigot", "bore"]
"""In a flat face, pressed from inside or from outside (or under vacuum); round a spigot, over which the ring is
stretched; in a bore, into which it is pushed."""

KINDS: tuple[Kind, ...] = ("face_inside", "face_outside", "spigot", "bore")

READ_MM = 0.05
"""To what a groove can be read with a calliper [mm]: common practice, no source."""

# Two diameters and the width between them, each read to READ_MM, and corners that are not sharp.
_APART_MM = 0.5

_GROOVE = "grooves of O-rings"


@dataclass(frozen=True, slots=True)
class Groove:
    """A groove: how deep, how wide, and its diameter inside or outside [mm].

    ``depth_mm`` is the whole room that the ring has across: in a face, down to the floor with the cover home; round a
    spigot or in a bore, from the floor to the other wall, the gap included. ``inner_mm`` is the inner wall of a face
    groove, the floor of one round a spigot, or the rod in a bore; ``outer_mm`` the outer wall of a face groove, the
    bore round a spigot, or the floor of a groove in a bore.
    """

    depth_mm: float
    width_mm: float
    inner_mm: float | None = None
    outer_mm: float | None = None

    def __post_init__(self) -> None:
        require_between("depth_mm", self.depth_mm, 0.3, 20, _GROOVE)
        require_between("width_mm", self.width_mm, 0.5, 60, _GROOVE)
        for name in ("inner_mm", "outer_mm"):
            value = getattr(self, name)
            if value is not None:
                require_between(name, value, 0.3, 1600, _GROOVE)

    def _apart_mm(self, kind: Kind) -> float:
        return 2 * (self.width_mm if kind.startswith("face") else self.depth_mm)

    def wall_mm(self, kind: Kind) -> float:
        """Return the diameter that decides whether a ring fits [mm]: the outer one where the ring lies against it.

        Raises
        ------
        Missing
            When neither diameter was measured.
        Contradiction
            When both were, and the width or depth does not lie between them.

        Examples
        --------
        >>> Groove(2.6, 4.6, inner_mm=43.5).wall_mm("face_inside")
        52.7
        """
        apart = self._apart_mm(kind)
        if self.inner_mm is not None and self.outer_mm is not None:
            found = self.outer_mm - self.inner_mm
            if abs(found - apart) > _APART_MM:
                why = "seal.why.width" if kind.startswith("face") else "seal.why.depth"
                raise Contradiction(
                    name="outer_mm", value=self.outer_mm, why=why, inner_mm=self.inner_mm, apart_mm=apart
                )
        if kind in ("face_inside", "bore"):
            wall = self.outer_mm if self.inner_mm is None or self.outer_mm is not None else self.inner_mm + apart
            missed = "outer_mm"
        else:
            wall = self.inner_mm if self.outer_mm is None or self.inner_mm is not None else self.outer_mm - apart
            missed = "inner_mm"
        if wall is None:
            raise Missing(name=missed, needed_for=words.sentence("seal.why.the_stretch"))
        return require_between(missed, wall, 0.3, 1600, _GROOVE)
