"""Cleanliness and wear against what standards, handbooks and published lists print."""

from __future__ import annotations

import pytest

from coldmark.bench import cleanliness, samples, wear
from coldmark.bench.wear.tank import Tank, course
from tests.published.reading import Row, rows

VOLUME_L, DENSITY_KG_M3, WEAR_MG_H = 200.0, 870.0, 4.0


def _of(topic: str, *asked: str) -> list[Row]:
    return [row for one in asked for row in rows(topic, one)]


@pytest.mark.parametrize("row", _of("cleanliness", "up_to", "above"), ids=str)
def test_a_scale_number_has_the_bounds_that_are_printed(row: Row) -> None:
    number = int(row.given["scale"])
    above, up_to = cleanliness.bounds(number)
    row.check(above if row.asked == "above" else up_to)
    if row.asked == "up_to":
        assert cleanliness.scale_number(float(row.printed)) == number
        assert cleanliness.scale_number(float(row.printed) * 1.000001) == number + 1


@pytest.mark.parametrize("row", _of("cleanliness", "code"), ids=str)
def test_counts_have_the_code_that_is_printed(row: Row) -> None:
    counts = [float(one) for one in row.given["counts"].split("/")]
    counted_ml = float(row.given["counted_ml"]) if "counted_ml" in row.given else None
    assert str(cleanliness.code(counts, counted_ml=counted_ml)) == row.printed


@pytest.mark.parametrize("row", _of("cleanliness", "read_back"), ids=str)
def test_a_printed_code_is_read_and_written_the_same(row: Row) -> None:
    assert str(cleanliness.parse(row.given["code"])) == row.printed


@pytest.mark.parametrize("row", _of("cleanliness", "first", "second"), ids=str)
def test_a_target_is_the_one_that_its_table_prints(row: Row) -> None:
    found = cleanliness.target([row.given["component"]], row.number("pressure_bar"))
    assert str(found.first if row.asked == "first" else found.second) == row.printed
    for size, number in enumerate(cleanliness.parse(row.printed).numbers):
        wanted = found.wanted.numbers[size]
        assert wanted is not None
        assert number is not None
        assert wanted <= number


@pytest.mark.parametrize("row", _of("cleanliness", "guide_general", "guide_sensitive"), ids=str)
def test_a_target_lies_within_a_step_of_a_guide_specification(row: Row) -> None:
    wanted = cleanliness.target([row.given["component"]], row.number("pressure_bar")).wanted
    compared = cleanliness.compare(wanted, cleanliness.parse(row.printed))
    assert all(abs(step) <= 1 for step in compared.steps if step is not None)


@pytest.mark.parametrize("row", _of("wear", "content"), ids=str)
def test_metal_gathers_as_the_balance_has_it(row: Row) -> None:
    hours = row.number("hours")
    way = course(Tank(VOLUME_L, DENSITY_KG_M3 / 1000), hours, steady_l=row.number("steady_l_h") * hours)
    row.check(way.content(0.0, WEAR_MG_H))


@pytest.mark.parametrize("row", _of("wear", "wear"), ids=str)
def test_two_samples_give_the_wear_that_the_balance_has(row: Row) -> None:
    found = wear.rate(12, 18, 500, VOLUME_L, steady_l=row.number("steady_l"), density_kg_m3=DENSITY_KG_M3)
    assert found.stays_mg_100h is not None
    row.check(found.stays_mg_100h.value / 100)


@pytest.mark.parametrize("row", _of("wear", "after"), ids=str)
def test_a_change_leaves_behind_what_is_printed(row: Row) -> None:
    row.check(wear.after(**row.numbers()))


@pytest.mark.parametrize("row", _of("wear", "per_100h"), ids=str)
def test_a_rate_is_the_one_that_is_printed(row: Row) -> None:
    found = wear.rate(row.number("c1"), row.number("c2"), row.number("hours"), VOLUME_L)
    assert found.stays_mg_kg_100h is not None
    row.check(found.stays_mg_kg_100h.value)


@pytest.mark.parametrize("row", _of("wear", "left_behind"), ids=str)
def test_metal_left_behind_by_a_drain_is_no_wear(row: Row) -> None:
    assert wear.rate(row.number("c1"), row.number("c2"), row.number("hours"), VOLUME_L).verdict == row.printed


@pytest.mark.parametrize("row", _of("wear", "limit"), ids=str)
def test_a_limit_stands_as_it_is_printed(row: Row) -> None:
    own = [one for one in wear.limits(row.given["system"], row.given["quantity"]) if one.system == row.given["system"]]
    printed = [one for one in own if one.side == row.given["side"] and row.source.startswith(one.source)]
    assert row.printed in {one.limit for one in printed}
    assert {one.standing for one in printed} == {"as printed"}


@pytest.mark.parametrize("row", _of("wear", "alarm"), ids=str)
def test_a_change_counts_from_the_new_oils_own_value(row: Row) -> None:
    new, printed = row.number("new"), float(row.printed)
    caution = [
        (limit, beyond)
        for value in (printed, printed - 0.1)
        for limit, beyond in wear.passed("hydraulic", "kv40", value, "mm²/s", fresh=new)
        if limit.limit == row.given["limit_pct"] and limit.step == "caution"
    ]
    assert [beyond for _, beyond in caution] == [True, False]


def test_a_samples_code_is_held_against_the_printed_one() -> None:
    (row,) = (one for one in rows("wear", "limit") if one.given["quantity"] == "cleanliness")
    assert str(samples.against_limit(cleanliness.parse("20/18/15")).wanted) == row.printed
    assert samples.against_limit(cleanliness.parse(row.printed)).verdict == "clean_enough"
