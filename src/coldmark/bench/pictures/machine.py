"""Machines from the side, drawn by how far their rods are out, so that a posture is known at a glance."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache

from coldmark.bench.pictures import svg
from coldmark.bench.pictures.excavator import excavator
from coldmark.bench.pictures.loaders import dumper, telehandler, track_loader, wheel_loader
from coldmark.bench.pictures.rods import GROUND, HEIGHT, WIDTH, rod_out
from coldmark.bench.sheet.model import MachineKind
from coldmark.bench.words import sentence

__all__ = ["silhouette"]

_MACHINES: Mapping[MachineKind, Callable[[Mapping[str, float]], str]] = {
    "excavator": excavator,
    "track_loader": track_loader,
    "telehandler": telehandler,
    "wheel_loader": wheel_loader,
    "dumper": dumper,
}

_PIT, _EDGE = 110.0, 150.0


def silhouette(kind: MachineKind, extension: Mapping[str, float], *, title: str = "", rod: str | None = None) -> str:
    """Draw a machine from the side.

    Parameters
    ----------
    kind : what machine it is.
    extension : how far each rod is out, 0 to 1, by the cylinder's name on the sheet; names are known by the words in
        them (boom, arm, bucket, blade, lift, tilt, telescope …), others change nothing.
    title : what the posture is called; else the machine's kind.
    rod : the cylinder in question, when the drawing asks how far it is out; the root's class then names it.

    Returns
    -------
    str
        SVG; the root's class names the kind.

    Valid for
    ---------
    The kinds that a sheet knows. Proportions are of no machine in particular.

    Raises
    ------
    KeyError
        For another kind.

    Source
    ------
    Plane geometry of linkages; rods out raise the boom, fold the arm in and curl the bucket (common practice, no
    source).

    Examples
    --------
    >>> silhouette("excavator", {"arm": 0.0}) == silhouette("excavator", {"arm": 1.0})
    False
    """
    return _drawn(kind, tuple(extension.items()), title, rod)


@lru_cache(maxsize=512)
def _drawn(kind: MachineKind, extension: tuple[tuple[str, float], ...], title: str, rod: str | None) -> str:
    """Draw it once: every card of a sheet shows the same postures and rods, and they are half of a card's work."""
    asked = None if rod is None else next(iter(rod_out({rod: 0.0})), None)
    name = sentence(f"picture.machine.{kind}")
    # Where a rod is asked for, the excavator stands at the edge of a pit, so that a boom rod that is in looks it.
    pit = kind == "excavator" and asked in {"boom", "arm", "bucket"}
    drawn = excavator(rod_out(dict(extension)), digs=True) if pit else _MACHINES[kind](rod_out(dict(extension)))
    return svg.drawing(
        WIDTH,
        HEIGHT + (_PIT if pit else 0),
        title or name,
        sentence("picture.machine.says", machine=name, posture=title) if title else name,
        svg.rect(0, GROUND, _EDGE if pit else WIDTH, 3, fill=svg.INK_PALE, class_="ground"),
        drawn,
        class_=f"picture machine {kind}" + (f" rod-{asked}" if asked else ""),
    )
