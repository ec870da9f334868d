"""Rings and grooves against the standard's table as a library carries it, and what guides to them print."""

from __future__ import annotations

from collections.abc import Callable
from math import pi

import pytest
from scipy.optimize import brentq

from coldmark.bench import seal
from coldmark.bench.seal.gland import fitted_section_mm
from coldmark.bench.seal.table import gland_row
from tests.published.reading import Row, rows

_MM_AN_INCH = 25.4


def _mm(row: Row, name: str) -> float:
    """An input in mm, however it was printed."""
    return row.number(f"{name}_mm") if f"{name}_mm" in row.given else row.number(f"{name}_in") * _MM_AN_INCH


def _size(row: Row) -> float:
    return float(getattr(seal.size(row.given["size"]), row.given["measure"]))


def _series(row: Row) -> float:
    rings = [ring for name, ring in seal.sizes().items() if name[0] == row.given["series"]]
    inner = [ring.inner_mm for ring in rings]
    numbers = [int(ring.size) for ring in rings]
    found = {
        "count": len(rings),
        "least_inner_mm": min(inner),
        "most_inner_mm": max(inner),
        "first": min(numbers),
        "last": max(numbers),
    }
    return float(found[row.given["measure"]])


def _found(row: Row) -> seal.Gland:
    section_mm = _mm(row, "section")
    ring = seal.Ring(44.0, section_mm, 0.0, 0.0)
    groove = seal.Groove(_mm(row, "depth"), _mm(row, "width"), inner_mm=45.0)
    return seal.gland(ring, groove, row.given["kind"])  # type: ignore[arg-type]


def _share(row: Row, name: str) -> float:
    measure = _found(row).measure(name)
    assert measure is not None
    return 100 * measure.value.value


def _loss(row: Row) -> float:
    ring = seal.size(row.given["size"])
    wall_mm = ring.inner_mm * (1 + row.number("stretch_pct") / 100)
    return 100 * seal.gland(ring, seal.Groove(2.87, 4.57, inner_mm=wall_mm), "spigot").loss_share


def _oversize(row: Row) -> float:
    groove = seal.Groove(2.64, 4.57, outer_mm=row.number("outer_mm"))
    measure = seal.gland(seal.size(row.given["size"]), groove, "face_inside").measure("oversize")
    assert measure is not None
    return 100 * measure.value.value


def _table_squeeze(row: Row) -> tuple[float, float]:
    """Squeeze of the thinnest ring in the deepest groove, or of the thickest in the shallowest: [mm] and share."""
    nominal = next(ring for ring in seal.sizes().values() if abs(ring.section_mm - row.number("section_mm")) < 0.001)
    end = -1 if row.given["end"] == "min" else 1
    section_mm = nominal.section_mm + end * nominal.section_tolerance_mm
    moving = row.given["moving"] == "yes"
    kind: seal.Kind = "spigot" if row.given["way"] == "radial" else "face_outside"
    ring = seal.Ring(44.0, section_mm, 0.0, 0.0)
    groove = seal.Groove(row.number("depth_mm"), 2 * section_mm, inner_mm=45.0)
    share = seal.gland(ring, groove, kind, moving=moving).measures[0].value.value
    return share * section_mm, share


def _groove(row: Row) -> float:
    known = gland_row(row.number("section_mm"), moving=row.given["moving"] == "yes")
    assert known is not None
    return known[f"{row.given['measure']}_mm"]


def _limit(row: Row) -> float:
    moving = row.given["moving"] == "yes"
    wanted = row.given["source"].replace("_", " ")
    for one in seal.limits(row.given["measure"], row.given["kind"], moving=moving):
        if one.source.startswith(wanted):
            return 100 * (one.low if row.given["end"] == "low" else one.high)
    raise LookupError(f"{row}: no such source")


def _temperature(row: Row) -> float:
    about, which = row.given["which"].split("_")
    _, cold, hot = seal.stands(row.given["material"], "mineral", 0, 20).known
    value = getattr(cold if about == "cold" else hot, f"{which}_c")
    assert isinstance(value, float)
    return value


CHECKS: dict[str, Callable[[Row], float]] = {
    "size": _size,
    "series": _series,
    "whole": lambda _row: float(len(seal.sizes())),
    "groove": _groove,
    "section_in": lambda row: seal.size(row.given["size"]).section_mm / _MM_AN_INCH,
    "squeeze_pct": lambda row: _share(row, "squeeze"),
    "fill_pct": lambda row: _share(row, "fill"),
    "loss_pct": _loss,
    "outside_mm": lambda row: seal.size(row.given["size"]).outer_mm,
    "oversize_pct": _oversize,
    "table_squeeze_mm": lambda row: _table_squeeze(row)[0],
    "table_squeeze_pct": lambda row: 100 * _table_squeeze(row)[1],
    "limit_pct": _limit,
    "temperature_c": _temperature,
}


@pytest.mark.parametrize("row", [row for row in rows("seal") if row.asked != "stands"], ids=str)
def test_rings_and_grooves_are_as_printed(row: Row) -> None:
    row.check(CHECKS[row.asked](row))


@pytest.mark.parametrize("row", rows("seal", "stands"), ids=str)
def test_materials_stand_what_sources_say_that_they_stand(row: Row) -> None:
    known = seal.stands(row.given["material"], row.given["fluid"], 0, 20).known[0]
    assert known.answer == row.printed
    # What was only remembered is never passed off as read.
    assert row.standing == "as printed" or known.standing in ("as printed", "from memory")
    assert known.standing == "as printed" or row.standing == "from memory"


@pytest.mark.parametrize("size", ["004", "110", "210", "325", "475"])
@pytest.mark.parametrize("share", [0.005, 0.02, 0.05])
def test_the_section_left_by_stretching_is_what_scipy_finds(size: str, share: float) -> None:
    ring = seal.size(size)
    wall_mm = ring.inner_mm * (1 + share)

    def volume(inner_mm: float, section_mm: float) -> float:
        return pi**2 / 4 * section_mm**2 * (inner_mm + section_mm)

    whole = volume(ring.inner_mm, ring.section_mm)
    wanted = brentq(lambda section: volume(wall_mm, section) - whole, 0.1, ring.section_mm)
    assert fitted_section_mm(ring, wall_mm, outside=False) == pytest.approx(wanted, abs=1e-6)


def test_the_rule_of_thumb_for_lost_section_is_near_for_small_stretch() -> None:
    """Half of the stretch, as a seal guide prints it: a little more than what the volume gives."""
    for share in (0.01, 0.02, 0.03):
        ring = seal.size("225")
        found = seal.gland(ring, seal.Groove(2.87, 4.57, inner_mm=ring.inner_mm * (1 + share)), "spigot")
        assert found.rule_share == pytest.approx(share / 2)
        assert found.loss_share < found.rule_share < 1.15 * found.loss_share
