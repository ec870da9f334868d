"""What signs point to, against what tutorials and manuals print and what the trade says."""

from __future__ import annotations

import pytest

from coldmark.bench import evidence
from tests.published.reading import Row, rows


@pytest.mark.parametrize("row", rows("evidence", "points_to"), ids=str)
def test_a_sign_alone_points_to_what_is_printed(row: Row) -> None:
    sign = row.given["sign"]
    first = evidence.rank({sign: "seen"}).raised[0]
    network = evidence.network()
    assert network.links[sign][row.printed] == max(network.links[sign].values())
    assert first.key in network.links[sign]
    if row.standing == "as printed":
        assert first.key == row.printed
        assert network.origins[row.printed, sign].endswith("as printed in a stored excerpt")


def test_what_every_used_element_shows_raises_nothing() -> None:
    (row,) = rows("evidence", "raises_nothing")
    assert evidence.rank({row.given["sign"]: "seen"}).raised == ()
