"""Who issues the papers, and how cold it gets there."""

from __future__ import annotations

import pytest

from coldmark.bench.errors import OutOfRange
from coldmark.records import queries, services
from coldmark.records.services import BusinessData
from tests.records.house import House


def test_what_was_kept_of_the_business_is_read_back(house: House) -> None:
    told = BusinessData("Varne Valley Service", "Mill lane 2\nVarne", "555 01", "EUR", -18.0)
    services.keep_business(house.office, told)
    assert queries.business() == told


def test_the_coldest_start_may_be_left_out(house: House) -> None:
    services.keep_business(house.office, BusinessData("Varne Valley Service", coldest_c=-18.0))
    services.keep_business(house.office, BusinessData("Varne Valley Service"))
    assert queries.business().coldest_c is None


@pytest.mark.parametrize("coldest_c", [-40.1, 20.1, float("nan"), float("inf")])
def test_a_coldest_start_that_no_place_has_is_refused_and_changes_nothing(house: House, coldest_c: float) -> None:
    before = queries.business()
    with pytest.raises(OutOfRange) as refused:
        services.keep_business(house.office, BusinessData("Another name", coldest_c=coldest_c))
    assert refused.value.name == "coldest_c"
    assert queries.business() == before
