"""The sizes of ISO 3601-1, and what is known of the grooves for their sections."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from coldmark.bench.data_file import table
from coldmark.bench.errors import NotAChoice, require_between
from coldmark.bench.shapes import dataclass

__all__ = ["SIZES_SOURCE", "Limit", "Ring", "limits", "measured", "size", "sizes"]

_PACKAGE = "coldmark.bench.seal"
_CHECKSUMS = {
    "sizes.csv": "c049307bb07ffc49e22850afa07911f10c771ad77b130f23af18053096bf64fe",
    "glands_static.csv": "0470f7c3c2477eb3cc11e1ecdf198a1ed0159d430bdc41713aed915032b7fa3d",
    "glands_moving.csv": "9a402e509e627eeaacdd3ec0c11d68f4d2c57a0642d5cf2870c9211991ee0c36",
    "limits.csv": "45c52433f13086e7009910f8b81c5039446d505f871fed9b762bbea65e169785",
}

SIZES_SOURCE = "ISO 3601-1, general industrial, class A"
_SERIES = ("001 to 050", "102 to 178", "201 to 284", "309 to 395", "425 to 475")
_CALLIPER = "what a calliper takes between its jaws"

# What a calliper tells of soft rubber: common practice, no source.
_READ_INNER_MM, _READ_SECTION_MM = 0.1, 0.05


@dataclass(frozen=True, slots=True)
class Ring:
    """An O-ring: inside diameter and section [mm] with the tolerance of each to both sides; ``size`` is its number in
    ISO 3601-1, empty for one that was only measured."""

    inner_mm: float
    section_mm: float
    inner_tolerance_mm: float
    section_tolerance_mm: float
    size: str = ""

    @property
    def outer_mm(self) -> float:
        """Outside diameter [mm]."""
        return self.inner_mm + 2 * self.section_mm


@dataclass(frozen=True, slots=True)
class Limit:
    """What one source lets a measure be: least and most, as shares."""

    low: float
    high: float
    source: str


def _rows(name: str) -> list[dict[str, str]]:
    return table(_PACKAGE, name, _CHECKSUMS[name])


@cache
def sizes() -> Mapping[str, Ring]:
    """Return every size of the table by its number.

    Returns
    -------
    Mapping
        349 rings with tolerances, from ``"001"`` to ``"475"``; the sizes of tube fittings (9xx) are not among them.

    Raises
    ------
    Contradiction
        When the file is not the one that was checked.

    Source
    ------
    ISO 3601-1, general industrial, class A, as carried by the library bd-warehouse 0.4.0.

    Examples
    --------
    >>> len(sizes()), sizes()["210"].inner_mm, sizes()["210"].section_mm
    (349, 18.64, 3.53)
    """
    return {
        row["size"]: Ring(
            float(row["inner_mm"]),
            float(row["section_mm"]),
            float(row["inner_tolerance_mm"]),
            float(row["section_tolerance_mm"]),
            row["size"],
        )
        for row in _rows("sizes.csv")
    }


def size(name: str) -> Ring:
    """Return one size by its number.

    Parameters
    ----------
    name
        The three digits, with or without a hyphen before them (``"-210"``).

    Returns
    -------
    Ring
        Nominal measures and tolerances.

    Valid for
        The 349 sizes of the table.

    Raises
    ------
    NotAChoice
        For another number, with those that there are.

    Source
        ISO 3601-1, general industrial, class A, as carried by the library bd-warehouse 0.4.0.

    Examples
    --------
    >>> size("-025")
    Ring(inner_mm=29.87, section_mm=1.78, inner_tolerance_mm=0.28, section_tolerance_mm=0.08, size='025')
    """
    wanted = name.strip().lstrip("-\N{HYPHEN}\N{EN DASH}\N{MINUS SIGN}").strip()
    found = sizes().get(wanted.zfill(3))
    if found is None:
        raise NotAChoice(name="size", value=name, choices=_SERIES)
    return found


def measured(inner_mm: float, section_mm: float) -> Ring:
    """Return a ring as a calliper tells it, with what a calliper tells of soft rubber for its tolerance.

    Parameters
    ----------
    inner_mm
        Inside diameter of the ring, lying free [mm].
    section_mm
        How thick it is, across the flat of the ring [mm].

    Returns
    -------
    Ring
        The ring, to 0.1 mm in diameter and 0.05 mm in section.

    Valid for
        0.3 to 1500 mm inside, 0.5 to 20 mm thick.

    Raises
    ------
    OutOfRange
        Outside of these.

    Source
        Resolution of a calliper on rubber: common practice, no source.

    Examples
    --------
    >>> measured(18.6, 3.5).outer_mm
    25.6
    """
    require_between("inner_mm", inner_mm, 0.3, 1500, _CALLIPER)
    require_between("section_mm", section_mm, 0.5, 20, _CALLIPER)
    return Ring(inner_mm, section_mm, _READ_INNER_MM, _READ_SECTION_MM)


@cache
def _glands(*, moving: bool) -> tuple[Mapping[str, float], ...]:
    rows = _rows("glands_moving.csv" if moving else "glands_static.csv")
    return tuple({name: float(cell) for name, cell in row.items() if cell} for row in rows)


def gland_row(section_mm: float, *, moving: bool) -> Mapping[str, float] | None:
    """Return the row of the groove tables for rings of this section, or ``None``: the tables have no such section."""
    nearest = min(_glands(moving=moving), key=lambda row: abs(row["section_mm"] - section_mm))
    # As wide as the tolerance of most sections: the metric 3.5 mm is in the row of 3.53, 2.5 mm is not in that of 2.62.
    return nearest if abs(nearest["section_mm"] - section_mm) <= 0.1 else None


@cache
def limits(measure: str, kind: str, *, moving: bool) -> tuple[Limit, ...]:
    """Return what the sources let a measure be in one kind of groove; the first of them leads.

    Parameters
    ----------
    measure
        ``squeeze``, ``stretch``, ``oversize`` or ``fill``.
    kind
        ``face_inside``, ``face_outside``, ``spigot`` or ``bore``.
    moving
        Whether the seal moves to and fro.

    Returns
    -------
    tuple of Limit
        Least and most, as shares, each with its source.

    Valid for
        Grooves of rectangular form.

    Raises
    ------
    LookupError
        When no source has this measure for this kind.

    Source
        Each row's own.

    Examples
    --------
    >>> [(one.low, one.high) for one in limits("fill", "face_inside", moving=False)]
    [(0.65, 0.85), (0.0, 0.9)]
    """
    wanted = {"any", "yes" if moving else "no"}
    found = tuple(
        Limit(float(row["low_pct"]) / 100, float(row["high_pct"]) / 100, row["source"])
        for row in _rows("limits.csv")
        if row["measure"] == measure and kind in row["kinds"].split() and row["moving"] in wanted
    )
    if not found:
        raise LookupError(f"no limit for {measure} in {kind}")
    return found
