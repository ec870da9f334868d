"""Pressure drop and return flow against handbook relations."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

import pytest

from coldmark.bench import filter as filters
from coldmark.bench import oil
from coldmark.bench.level.model import Cylinder
from tests.published.reading import Row, rows

STAGE = filters.Stage("published", 0.35, 0.20, 100, bypass=filters.Bypass(50, 60, 100))


@dataclass(frozen=True)
class Fixed:
    """An oil whose viscosity and density are told outright, as in the handbook's cases."""

    kv_mm2_s: float
    density_kg_m3: float
    coldest_c: float = -50
    hottest_c: float = 150

    def viscosity(self, t_c: float) -> float:
        return self.kv_mm2_s

    def density(self, t_c: float) -> float:
        return self.density_kg_m3


def _drop(row: Row, stage: filters.Stage = STAGE) -> filters.Drop:
    told = cast(oil.Oil, Fixed(row.number("viscosity_mm2_s"), float(row.given.get("density_kg_m3", "860"))))
    return filters.pressure_drop(stage, row.number("flow_l_min"), told, 40)


@pytest.mark.parametrize("row", rows("filter", "drop"), ids=str)
def test_the_drop_in_all(row: Row) -> None:
    row.check(_drop(row).total_bar.value)


@pytest.mark.parametrize("row", rows("filter", "element"), ids=str)
def test_the_elements_drop(row: Row) -> None:
    row.check(_drop(row).element_bar.value)


@pytest.mark.parametrize("row", rows("filter", "housing"), ids=str)
def test_the_housings_drop(row: Row) -> None:
    row.check(_drop(row).housing_bar.value)


@pytest.mark.parametrize("row", rows("filter", "r_factor"), ids=str)
def test_an_element_told_by_its_resistance(row: Row) -> None:
    # The same element as a reference point: 1 L/min of 1 mm²/s, the density of the reference.
    at_one = row.number("r") / (1000 * row.number("number") * row.number("length_in"))
    row.check(_drop(row, filters.Stage("R", at_one, 0, 1, reference_mm2_s=1)).total_bar.value)


def _cylinder(row: Row) -> Cylinder:
    stroke = float(row.given.get("stroke_mm", "800"))
    return Cylinder("boom", "double", row.number("bore_mm"), row.number("rod_mm"), stroke)


@pytest.mark.parametrize("row", rows("filter", "ratio"), ids=str)
def test_the_ratio_of_areas(row: Row) -> None:
    row.check(filters.area_ratio(_cylinder(row)))


@pytest.mark.parametrize("row", rows("filter", "rod_in"), ids=str)
def test_a_rod_driven_in_sends_back_more_than_the_pump_gives(row: Row) -> None:
    pump = filters.Pump("main", row.number("pump_l_min"), 1000, 1000, volumetric=1)
    function = filters.Function("in", "cylinder", "boom", "main")
    row.check(filters.return_flow([pump], [function], [_cylinder(row)]).total_l_min.value)


@pytest.mark.parametrize("row", rows("filter", "rod_out"), ids=str)
def test_a_rod_driven_out_sends_back_less(row: Row) -> None:
    row.check(row.number("pump_l_min") / filters.area_ratio(_cylinder(row)))


@pytest.mark.parametrize("row", rows("filter", "cap_l"), ids=str)
def test_what_sinks_in_a_minute_sends_its_cap_volume_back(row: Row) -> None:
    function = filters.Function("sinks", "cylinder", "boom", None, lowering_s=60)
    row.check(filters.return_flow([], [function], [_cylinder(row)]).total_l_min.value)


def test_a_usual_return_filter_keeps_the_trades_rule_when_warm() -> None:
    (row,) = rows("filter", "clean_over_cracking_at_most")
    usual = filters.Stage("return", 0.30, 0.15, 100, bypass=filters.Bypass(1.5, 2.2, 150))
    warm = filters.pressure_drop(usual, 100, oil.Oil("Valley 46", 46, 6.8, density15_kg_m3=880), 50)
    assert warm.total_bar.value / 1.5 < float(row.printed)
