"""β, the particle balance and the suction line against printed values and general libraries."""

from __future__ import annotations

import math

import pytest

from coldmark.bench import cleanliness
from coldmark.bench import filter as filters
from tests.published.reading import Row, rows


@pytest.mark.parametrize("row", rows("beta", "by_counts"), ids=str)
def test_beta_by_what_was_counted(row: Row) -> None:
    row.check(filters.beta_by_counts(row.number("before"), row.number("after")))


@pytest.mark.parametrize("row", rows("beta", "percent"), ids=str)
def test_beta_and_what_stays_in_the_element_are_two_names_of_one_thing(row: Row) -> None:
    row.check(100 * filters.efficiency(row.number("beta")))
    assert filters.beta_of(filters.efficiency(row.number("beta"))) == pytest.approx(row.number("beta"), rel=1e-9)


@pytest.mark.parametrize("row", rows("beta", "effective"), ids=str)
def test_element_and_bypass_together(row: Row) -> None:
    row.check(filters.effective_beta(row.number("beta"), row.number("past")))


@pytest.mark.parametrize("row", rows("balance", "up"), ids=str)
def test_what_the_tank_settles_at(row: Row) -> None:
    row.check(filters.settle(**row.numbers()).tank_per_ml.value)


@pytest.mark.parametrize("row", rows("balance", "down"), ids=str)
def test_what_is_left_behind_the_filter(row: Row) -> None:
    row.check(filters.settle(**row.numbers()).after_per_ml)


@pytest.mark.parametrize("row", [*rows("balance", "up_number"), *rows("balance", "down_number")], ids=str)
def test_the_code_of_what_it_settles_at(row: Row) -> None:
    found = filters.settle(**row.numbers())
    count = found.tank_per_ml.value if row.asked == "up_number" else found.after_per_ml
    row.check(cleanliness.scale_number(count))


@pytest.mark.parametrize("row", rows("balance", "tau"), ids=str)
def test_the_time_constant(row: Row) -> None:
    row.check(filters.count_after(1000, 1, **row.numbers()).halves_min / math.log(2))


@pytest.mark.parametrize("row", rows("balance", "twentyfold"), ids=str)
def test_the_minutes_for_a_twentieth(row: Row) -> None:
    row.check(filters.cleaning_time(20_000, 1_000, **row.numbers()).minutes_min.value)


@pytest.mark.parametrize("row", rows("balance", "then"), ids=str)
def test_a_count_on_its_way(row: Row) -> None:
    row.check(filters.count_after(**row.numbers()).count_per_ml)


@pytest.mark.parametrize("row", [*rows("balance", "times"), *rows("balance", "code_steps")], ids=str)
def test_what_a_bypass_does_to_a_count(row: Row) -> None:
    with_it, without = (
        filters.settle(10, 100, row.number("beta"), bypass_share=past).tank_per_ml.value
        for past in (row.number("bypass_share"), 0.0)
    )
    row.check(with_it / without if row.asked == "times" else math.log2(with_it / without))


@pytest.mark.parametrize("row", rows("suction", "friction"), ids=str)
def test_the_friction_of_a_line(row: Row) -> None:
    row.check(filters.friction(row.number("reynolds"), row.number("roughness")))


def _metres_s(row: Row) -> float:
    return row.number("flow_l_min") / 6e4 / (math.pi / 4 * (row.number("inner_mm") / 1000) ** 2)


@pytest.mark.parametrize("row", rows("suction", "reynolds"), ids=str)
def test_the_reynolds_number_of_a_line(row: Row) -> None:
    row.check(filters.reynolds_number(**row.numbers()))


@pytest.mark.parametrize("row", rows("suction", "per_metre_pa"), ids=str)
def test_the_loss_of_a_metre(row: Row) -> None:
    line = {name: row.number(name) for name in ("flow_l_min", "inner_mm", "kv_mm2_s")}
    factor = filters.friction(filters.reynolds_number(**line))
    diameters = 1000 / row.number("inner_mm")
    row.check(factor * diameters * row.number("density_kg_m3") * _metres_s(row) ** 2 / 2)


@pytest.mark.parametrize("row", rows("suction", "air"), ids=str)
def test_the_air_at_a_height(row: Row) -> None:
    row.check(filters.air_bar(row.number("altitude_m_asl")))
