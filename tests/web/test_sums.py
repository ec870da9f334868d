"""The sums: found by what one has in hand, typed with − and + and row by row, answered before the form."""

from __future__ import annotations

import re
from uuid import uuid4

import pytest
from django.test import Client
from django.utils.html import escape

from coldmark.bench import catalogue, words
from coldmark.records import services
from tests.records.house import House
from tests.records.jobs import keep_oils
from tests.web.conftest import signed_in
from tests.web.typed import typed_in


@pytest.fixture
def client(house: House) -> Client:
    """The mechanic's browser."""
    return signed_in(house.mechanic)


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("name", catalogue.ENTRIES)
def test_every_sum_has_a_form_and_its_example_is_worked_out(house: House, name: str, units: words.UnitSystem) -> None:
    keep_oils(house)
    services.set_look(house.mechanic, units=units)
    client = signed_in(house.mechanic)
    page = client.get(f"/sums/{name}/?example")
    assert escape(page.context["described"]["question"]) in page.text
    answer = client.get(f"/sums/{name}/", typed_in(page.text, of_class="sum"))
    assert answer.context["outcome"] is not None, answer.context["form"].errors
    assert escape(answer.context["outcome"].says[0]) in answer.text


@pytest.mark.parametrize("name", catalogue.ENTRIES)
def test_every_sum_explains_itself_with_its_formula_limits_example_and_sources(house: House, name: str) -> None:
    keep_oils(house)
    page = signed_in(house.mechanic).get(f"/sums/{name}/how/").text
    entry = catalogue.entry(name)
    assert page.count("<math") == len(entry.formulas)
    assert all(escape(source) in page for source in entry.sources)
    assert "An example" in page
    assert not re.search(r"""\sstyle=["']""", page), "the policy of the pages lets no style be written into a tag"


def test_a_sum_is_in_the_readers_units(house: House) -> None:
    services.set_look(house.mechanic, units="us")
    client = signed_in(house.mechanic)
    page = client.get("/sums/oil_density/?example")
    assert "°F" in page.text
    told = typed_in(page.text, of_class="sum")
    metric = catalogue.run("oil_density", catalogue.entry("oil_density").example, "us")
    assert client.get("/sums/oil_density/", told).context["outcome"].says == metric.says


@pytest.mark.parametrize(
    ("told", "field", "says"),
    [
        ({"kv40": "46", "kv100": "6.8", "t": "hot"}, "t", "hot is not a number"),
        ({"kv40": "46", "kv100": "6.8", "t": "400"}, "t", "outside -50 to 150"),
        ({"kv40": "46", "kv100": "6.8"}, "t", "is empty; it is needed."),
        ({"kv40": "46", "kv100": "6.8", "t": "1,250"}, "t", "1,250"),
    ],
)
def test_a_wrong_input_is_told_beside_its_field_and_the_rest_stays(
    client: Client, told: dict[str, str], field: str, says: str
) -> None:
    answer = client.get("/sums/oil_viscosity/", told)
    assert says in " ".join(answer.context["form"].errors[field])
    assert answer.context["outcome"] is None
    assert 'value="46"' in answer.text


def test_the_answer_comes_before_the_form_and_the_working_below_it(client: Client) -> None:
    page = client.get("/sums/oil_viscosity/", {"kv40": "46", "kv100": "6.8", "t": "0"}).text
    assert page.index("At 0 °C the oil has 577 mm²/s.") < page.index("How it is worked out") < page.index("<form")


def test_a_question_that_nobody_asks_is_not_found(client: Client) -> None:
    assert client.get(f"/sums/{uuid4()}/").status_code == 404


@pytest.mark.parametrize(
    ("words_typed", "found"),
    [("cover tighten", "bolt_order"), ("rod", "rod_volume"), ("OIL add", "level"), ("50 h", None)],
)
def test_a_question_is_found_by_what_one_has_in_hand(client: Client, words_typed: str, found: str | None) -> None:
    page = client.get("/sums/", {"q": words_typed}).text
    if found is None:
        assert "No question has these words" in page
    else:
        assert f'href="/sums/{found}/"' in page
        assert page.count('href="/sums/') < len(catalogue.ENTRIES)


def test_while_searching_only_the_questions_are_sent(client: Client) -> None:
    part = client.get("/sums/", {"q": "cover"}, headers={"HX-Request": "true"}).text
    assert "<html" not in part
    assert 'href="/sums/bolt_order/"' in part


def test_a_changed_value_brings_the_answer_alone_and_a_wrong_one_its_sentence(client: Client) -> None:
    told = {"kv40": "46", "kv100": "6.8", "t": "0"}
    part = client.get("/sums/oil_viscosity/", told, headers={"HX-Request": "true"}).text
    assert "577" in part
    assert "<form" not in part
    wrong = client.get("/sums/oil_viscosity/", told | {"t": "hot"}, headers={"HX-Request": "true"}).text
    assert "t = hot is not a number" in wrong
    assert "577" not in wrong


def test_the_rows_of_a_table_are_typed_cell_by_cell_in_the_readers_units(house: House) -> None:
    services.set_look(house.mechanic, units="us")
    client = signed_in(house.mechanic)
    told = {
        "moved-0-way": "drained",
        "moved-0-litres": "10",
        "moved-0-t": "140",
        "moved-2-way": "fill",
        "moved-2-litres": "10",
        "moved-2-t": "54",
        "assumed": "68",
    }
    page = client.get("/sums/litres_balance/", told)
    assert "Out 9.67 gal, in 10.02 gal" in page.text
    again = typed_in(page.text, of_class="sum")
    assert (again["moved-1-way"], again["moved-1-litres"], again["moved-2-litres"]) == ("fill", "10", "")


def test_a_row_that_is_wrong_is_told_by_its_number_beside_the_table(client: Client) -> None:
    told = {"moved-0-way": "drained", "moved-0-litres": "10", "moved-1-way": "fill", "moved-1-litres": "9000"}
    answer = client.get("/sums/litres_balance/", told)
    assert answer.context["form"].errors["moved"] == [
        "Row 2: litres = 9000 L is outside 0 to 5000 L (a machine's oil)."
    ]
    assert typed_in(answer.text, of_class="sum")["moved-1-litres"] == "9000"
