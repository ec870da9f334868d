"""The level against a library, handbooks, worked examples and what is common practice."""

from __future__ import annotations

import math

import pytest
from fluids.geometry import TANK
from scipy.integrate import dblquad
from scipy.optimize import brentq

from coldmark.bench import level
from coldmark.bench.oil import Oil
from tests.bench.level_machines import OIL, excavator
from tests.published.reading import Row, rows


@pytest.mark.parametrize("row", rows("tanks", "lying"), ids=str)
def test_litres_in_a_lying_cylinder(row: Row) -> None:
    shape = level.Lying(row.number("diameter_mm"), row.number("length_mm"))
    row.check(level.volume_l(shape, row.number("height_mm")))


@pytest.mark.parametrize("row", rows("tanks", "lying_height"), ids=str)
def test_height_in_a_lying_cylinder(row: Row) -> None:
    shape = level.Lying(row.number("diameter_mm"), row.number("length_mm"))
    row.check(level.height_mm(shape, row.number("filled_l")))


@pytest.mark.parametrize("row", rows("tanks", "upright_round"), ids=str)
def test_litres_in_an_upright_cylinder(row: Row) -> None:
    row.check(level.volume_l(level.UprightRound(row.number("diameter_mm")), row.number("height_mm")))


def test_a_lying_cylinder_agrees_with_the_library_at_every_height_and_back() -> None:
    library = TANK(D=0.35, L=0.62, horizontal=True)
    shape = level.Lying(350, 620)
    for height in range(0, 351, 7):
        litres = level.volume_l(shape, height)
        assert litres == pytest.approx(library.V_from_h(height / 1000) * 1000, abs=1e-6)
        assert level.height_mm(shape, litres) == pytest.approx(height, abs=1e-6)


def _told_by_a_table(library: TANK, top_mm: int) -> level.Table:
    """The rows lie off the heights that are asked for, so that what is read is read between them."""
    heights = (0, *range(7, top_mm, 20), top_mm)
    return level.Table(tuple((float(mm), library.V_from_h(mm / 1000) * 1000) for mm in heights))


@pytest.mark.parametrize("row", rows("tanks", "domed") + rows("tanks", "coned"), ids=str)
def test_a_tank_of_another_form_is_read_from_its_table(row: Row) -> None:
    if row.asked == "domed":
        domed = TANK(
            D=0.6, L=1.0, horizontal=True, sideA="ellipsoidal", sideB="ellipsoidal", sideA_a=0.15, sideB_a=0.15
        )
        shape = _told_by_a_table(domed, 600)
    else:
        shape = _told_by_a_table(TANK(D=0.5, L=0.8, horizontal=False, sideA="conical", sideA_a=0.2), 1000)
    litres = level.volume_l(shape, row.number("height_mm"))
    assert litres == pytest.approx(float(row.printed), abs=0.08)
    assert level.height_mm(shape, litres) == pytest.approx(row.number("height_mm"), abs=1e-6)


@pytest.mark.parametrize("row", rows("tanks", "growth"), ids=str)
def test_growth_of_a_vessel(row: Row) -> None:
    row.check(_millionths(row))


@pytest.mark.parametrize("row", rows("tanks", "growth_least"), ids=str)
def test_growth_of_a_vessel_is_not_less_than_printed(row: Row) -> None:
    assert _millionths(row) >= float(row.printed)


@pytest.mark.parametrize("row", rows("tanks", "growth_most"), ids=str)
def test_growth_of_a_vessel_is_not_more_than_printed(row: Row) -> None:
    assert _millionths(row) <= float(row.printed)


def _millionths(row: Row) -> float:
    return round((level.growth(row.given["material"], 21.0) - 1.0) * 1e6, 6)  # type: ignore[arg-type]


@pytest.mark.parametrize("row", rows("tanks", "grown"), ids=str)
def test_oil_in_the_tank_grows_as_its_density_says(row: Row) -> None:
    oil = Oil("published", 46, 6.8, density15_kg_m3=row.number("density15_kg_m3"))
    body = level.Oilbody(level.Scale(10.0), row.number("filled_l"), 0.0, "steel", oil.density)
    from_c, to_c = row.number("from_c"), row.number("to_c")
    start = level.Where(from_c, from_c)
    above = body.above_lower_l(oil.density(from_c) * row.number("filled_l") / 1000, start)
    row.check(body.tank_l(body.move_l(above, start, level.Where(to_c, to_c)), to_c))


def _double(row: Row) -> level.Cylinder:
    return level.Cylinder("one", "double", row.number("bore_mm"), row.number("rod_mm"), row.number("stroke_mm"))


@pytest.mark.parametrize("row", rows("rods", "rod"), ids=str)
def test_what_a_rod_draws_from_the_tank(row: Row) -> None:
    row.check(level.cylinder_draw_l(_double(row), 1.0))


@pytest.mark.parametrize("row", rows("rods", "rods_in"), ids=str)
def test_what_a_cylinder_holds_with_its_rod_in(row: Row) -> None:
    row.check(level.cylinder_holds_l(_double(row), 0.0))


@pytest.mark.parametrize("row", rows("rods", "rods_out"), ids=str)
def test_what_a_cylinder_holds_with_its_rod_out(row: Row) -> None:
    row.check(level.cylinder_holds_l(_double(row), 1.0))


@pytest.mark.parametrize("row", rows("rods", "ram"), ids=str)
def test_what_rams_take(row: Row) -> None:
    across = math.sqrt(4 * row.number("area_cm2") * 100 / math.pi)
    rams = level.Cylinder("ram", "plunger", across, across, row.number("stroke_mm"), count=int(row.number("count")))
    row.check(level.cylinder_draw_l(rams, 1.0) * 1000)


@pytest.mark.parametrize("row", rows("accumulator", "held"), ids=str)
def test_what_an_accumulator_holds(row: Row) -> None:
    scale = 1 / 14.5 if row.number("charge") > 500 else 1.0  # the printed example is in psi; only the ratio counts
    one = level.Accumulator(
        "one",
        row.number("gas"),
        row.number("charge") * scale,
        row.number("working") * scale,
        row.number("exponent"),
    )
    row.check(level.accumulator_l(one))


@pytest.mark.parametrize("row", rows("accumulator", "gas_for_one"), ids=str)
def test_gas_volume_for_one_litre_between_two_pressures(row: Row) -> None:
    def held(working: float) -> float:
        return level.accumulator_l(level.Accumulator("one", 1.0, row.number("charge"), working, row.number("exponent")))

    row.check(1.0 / (held(row.number("high")) - held(row.number("low"))))


@pytest.mark.parametrize("row", rows("rods", "together_reaches"), ids=str)
def test_rods_and_warmth_together_reach_five_litres_on_a_large_one_and_not_on_a_small_one(row: Row) -> None:
    def together(mass_t: float) -> float:
        machine = excavator(mass_t)
        least, most = level.extremes_l(machine)
        assert machine.system_l is not None
        return most - least + machine.system_l * (OIL.density(15) / OIL.density(58) - 1.0)

    assert together(row.number("mass_t")) > float(row.printed) > together(1.8)
    assert together(3.5) == pytest.approx(float(row.printed), rel=0.35)


@pytest.mark.parametrize("hot_c", [55, 60])
@pytest.mark.parametrize("row", rows("level", "cold_mark_above"), ids=str)
def test_the_cold_mark_is_above_the_middle(row: Row, hot_c: float) -> None:
    mark = level.cold_mark(excavator(row.number("mass_t")), 5, hot_c, oil=OIL).mark
    assert mark.low > float(row.printed)


@pytest.mark.parametrize("hot_c", [55, 60])
@pytest.mark.parametrize("row", rows("level", "cold_mark_clear_of"), ids=str)
def test_the_cold_mark_is_clear_of_the_upper_mark(row: Row, hot_c: float) -> None:
    mark = level.cold_mark(excavator(row.number("mass_t")), 5, hot_c, oil=OIL).mark
    assert mark.high < float(row.printed)


@pytest.mark.parametrize("row", rows("level", "acceptable"), ids=str)
def test_between_the_marks_is_acceptable_and_the_middle_or_above_preferred(row: Row) -> None:
    assert level.read(excavator(), row.number("reading"), 58, "check", oil=OIL).state == row.printed


@pytest.mark.parametrize("row", rows("level", "asked_first"), ids=str)
def test_what_is_asked_for_before_a_level_is_judged(row: Row) -> None:
    given = {"posture": "check", "settled_min": "20", "reading": "0.4"} | dict(row.given)
    reading: level.Reading = "below" if given["reading"] == "below" else float(given["reading"])
    machine = excavator(settle_min=10)
    verdict = level.read(machine, reading, 5, given["posture"], oil=OIL, settled_min=float(given["settled_min"]))
    assert verdict.state == row.printed
    assert verdict.add_l is None


@pytest.mark.parametrize(("pitch_deg", "roll_deg"), [(4.0, 0.0), (0.0, -6.0), (5.0, 3.0), (-2.0, 7.0)])
def test_the_slope_of_a_box_tank_agrees_with_quadrature(pitch_deg: float, roll_deg: float) -> None:
    length, width, level_mm = 500.0, 300.0, 200.0
    ahead, left = -240.0, 120.0
    along, across = math.tan(math.radians(pitch_deg)), math.tan(math.radians(roll_deg))

    def litres(middle: float) -> float:
        found, _ = dblquad(lambda y, x: middle - x * along - y * across, -length / 2, length / 2, -width / 2, width / 2)
        return float(found) / 1e6

    wanted = level.volume_l(level.Upright(length, width), level_mm)
    middle = brentq(lambda height: litres(height) - wanted, 50.0, 400.0)
    at_gauge = middle - ahead * along - left * across
    gauge = level.Gauge("glass", ahead_mm=ahead, left_mm=left)
    assert level.slope_mm(gauge, pitch_deg, roll_deg) == pytest.approx(at_gauge - level_mm, abs=1e-6)
