"""The order of bolts: against published patterns, and the laws that hold for any count."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import joint
from coldmark.bench.errors import OutOfRange
from tests.published.reading import Row, rows

counts = st.integers(1, joint.MOST)


def apart(pair: tuple[int, ...], count: int) -> int:
    first, second = pair
    step = abs(first - second) % count
    return min(step, count - step)


@pytest.mark.parametrize("row", rows("joint", "order"), ids=str)
def test_it_tightens_in_the_published_order(row: Row) -> None:
    assert "-".join(map(str, joint.sequence(int(row.given["count"])).tighten)) == row.printed


@pytest.mark.parametrize("row", rows("joint", "pass"), ids=str)
def test_it_tightens_in_the_published_passes(row: Row) -> None:
    row.check(joint.sequence(6).passes[int(row.given["number"]) - 1])


@pytest.mark.parametrize("row", rows("joint", "last_two_apart"), ids=str)
def test_a_sprung_covers_last_two_are_opposite(row: Row) -> None:
    count = int(row.given["count"])
    order = joint.sequence(count, sprung=True)
    row.check(apart(order.loosen[-2:], count))
    assert order.last_opposite


@pytest.mark.parametrize("row", rows("joint", "first_two_apart"), ids=str)
def test_refitting_starts_crosswise(row: Row) -> None:
    count = int(row.given["count"])
    row.check(apart(joint.sequence(count).tighten[:2], count))


@given(counts)
def test_every_bolt_comes_once(count: int) -> None:
    order = joint.sequence(count)
    assert sorted(order.tighten) == sorted(order.loosen) == list(range(1, count + 1))


@given(st.integers(5, joint.MOST))
def test_no_bolt_follows_its_neighbour_within_the_first_cross(count: int) -> None:
    order = joint.sequence(count).tighten
    assert apart(order[:2], count) >= (count - 1) // 2


@given(counts)
def test_the_last_two_are_as_opposite_as_the_count_allows(count: int) -> None:
    order = joint.sequence(count)
    if count > 1:
        assert apart(order.loosen[-2:], count) == count // 2
    assert order.last_opposite is (count % 2 == 0)


@pytest.mark.parametrize("count", [0, -4, joint.MOST + 1])
def test_a_count_that_no_cover_has_is_refused(count: int) -> None:
    with pytest.raises(OutOfRange, match=f"count = {count}"):
        joint.sequence(count)
