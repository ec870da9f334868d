"""What is inside a machine, on its page and behind the oils that its card offers."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import files

import pytest

from coldmark.bench.job import oils_offered
from coldmark.records import queries, services
from coldmark.records.numbers import read_store
from tests.records.house import House, litres
from tests.web.conftest import signed_in


def keep_oils(house: House) -> None:
    """Keep all of the invented oils."""
    for one in (files("coldmark") / "demo" / "oils").iterdir():
        services.keep_oil(house.office, one.read_text(encoding="utf-8"))


def move(house: House, day: float, way: str, amount: object, oil: str | None = None, **more: object) -> None:
    """Oil in or out of the five-tonne excavator: 78 L in the system, 48 L at the drain."""
    body = {"compartment": "hydraulic", "way": way, "litres": litres(amount), **more}
    body |= {} if oil is None else {"oil": oil}
    house.phone.send(house.phone.fact("oil_moved", body, at=house.days(day)))


def change(house: House, day: float, oil: str, **more: object) -> None:
    """A change of what the drain lets out."""
    move(house, day, "drained", 48)
    move(house, day + 0.01, "fill", 48, oil, **more)


def told(house: House) -> queries.OilGlance:
    """What its page says of the hydraulic oil."""
    state, sheet = queries.machine_state(house.mechanic, house.phone.machine)
    return queries.oil_glances(state, sheet, "metric", queries.oils_by_key())[0]


def goes(house: House, oil: str, way: str = "top_up") -> dict[str, object]:
    """What the card says of an oil for the hydraulic tank."""
    state, sheet = queries.machine_state(house.mechanic, house.phone.machine)
    assert sheet is not None
    oils = queries.oils_by_key()
    (offered,) = (
        one for one in oils_offered(sheet, state, oils, coldest_c=read_store().coldest_c) if one["key"] == oil
    )
    found: dict[str, object] = offered["goes"]["hydraulic"][way]
    return found


def test_a_machine_of_one_oil_tells_how_thick_it_is(house: House) -> None:
    keep_oils(house)
    move(house, 10, "fill", 78, "varnol_hm46")
    found = told(house)
    assert found.parts == (("Varnol Hydro 46", 1.0),)
    assert found.says == ("By the oils in it, it has 46.0 mm²/s at 40 °C.",)
    page = signed_in(house.mechanic).get(f"/machines/{house.phone.machine}/").text
    assert "What is inside" in page
    assert found.says[0] in page


def test_what_nobody_knows_leaves_a_range_by_the_sheets_grade(house: House) -> None:
    keep_oils(house)
    change(house, 10, "varnol_hm46")
    found = told(house)
    assert found.parts[1][0] == "not known"
    assert found.says[0].startswith("By the oils in it, it has 44.2 mm²/s to 47.7 mm²/s at 40 °C")
    assert found.says[1] == "Nobody wrote that every function was moved after the last fill; it is taken for done."


def test_a_bio_oil_with_too_much_of_the_old_one_tells_the_changes_that_are_left(house: House) -> None:
    keep_oils(house)
    move(house, 10, "fill", 78, "varnol_hm46")
    change(house, 20, "varnol_hees46", circulated=True)
    found = told(house)
    assert found.says[1] == (
        "37.3% of it is another oil than the bio-oil, and 2% is the usual limit: 4 more changes of 48.0 L."
    )
    for day in (30, 40, 50, 60):
        change(house, day, "varnol_hees46", circulated=True)
    assert told(house).says[1] == "0.8% of it is another oil than the bio-oil, under the usual limit of 2%."


def test_a_fill_that_was_not_circulated_is_told_to_lie_in_the_tank(house: House) -> None:
    keep_oils(house)
    move(house, 10, "fill", 78, "varnol_hm46")
    change(house, 20, "varnol_hees46", circulated=False)
    assert told(house).says[-1] == "The last fill lies in the tank alone: move every function to both ends."


def test_two_kinds_of_oil_are_named_even_where_none_is_a_bio_oil(house: House) -> None:
    keep_oils(house)
    move(house, 10, "fill", 78, "varnol_hm46")
    move(house, 20, "top_up", 3, "varnol_hees46", circulated=True)
    assert "4.0% of it is oil of another kind: the two do not belong together." in told(house).says


def test_the_card_judges_a_jug_by_the_place_and_by_what_is_not_known(house: House) -> None:
    keep_oils(house)
    move(house, 10, "fill", 78, "varnol_hm46")
    services.keep_business(house.office, replace(queries.business(), coldest_c=-3.0))
    assert goes(house, "varnol_hm46")["answer"] == "yes"
    services.keep_business(house.office, replace(queries.business(), coldest_c=-12.0))
    cold = goes(house, "varnol_hm46")
    assert cold["answer"] == "yes_with_notes"
    assert "too stiff to start on" in str(cold["says"])
    assert goes(house, "varnol_hm46", "fill")["answer"] == "yes_with_notes"
    assert goes(house, "varnol_hees46")["answer"] == "no"


def test_the_card_says_how_much_of_what_is_inside_is_not_known(house: House) -> None:
    keep_oils(house)
    change(house, 10, "varnol_hm46")
    found = goes(house, "varnol_hm46")
    assert (found["answer"], found["says"]) == ("yes_with_notes", "38.5% of what is inside is not known.")


@pytest.mark.parametrize("oil", ["varnol_hm46", "varnol_hv46"])
def test_onto_the_unknown_nothing_is_promised(house: House, oil: str) -> None:
    keep_oils(house)
    assert goes(house, oil)["answer"] == "unknown"
