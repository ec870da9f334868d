"""The bench's dataclasses behave as the standard library's do, and cost a fraction to define."""

from __future__ import annotations

import ast
import copy
import dataclasses
import inspect
import pickle
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import coldmark.bench
from coldmark.bench import shapes

BENCH = Path(coldmark.bench.__file__).parent


def _kinds(dataclass: Callable[..., Any]) -> tuple[type[Any], type[Any]]:
    @dataclass(frozen=True, slots=True)
    class Mark:
        """A mark."""

        name: str
        height_mm: float = 12.0
        seen: list[str] = dataclasses.field(default_factory=list, compare=False)
        hidden: int = dataclasses.field(default=0, repr=False)

        def __post_init__(self) -> None:
            if self.height_mm < 0:
                raise ValueError("below the bottom")

    @dataclass(slots=True)
    class Tally:
        """A count that goes on."""

        count: int = 0

    for kind in (Mark, Tally):
        kind.__qualname__ = kind.__name__
    return Mark, Tally


OURS, OURS_OPEN = _kinds(shapes.dataclass)
THEIRS, THEIRS_OPEN = _kinds(dataclasses.dataclass)
VALUES = st.tuples(st.sampled_from("ab"), st.sampled_from((1.0, 12.0)), st.sampled_from(([], ["x"])), st.integers(0, 1))


@given(VALUES, VALUES)
def test_values_compare_hash_and_show_as_the_standard_librarys_do(one: tuple[Any, ...], other: tuple[Any, ...]) -> None:
    ours, theirs = (OURS(*one), OURS(*other)), (THEIRS(*one), THEIRS(*other))
    assert (ours[0] == ours[1]) == (theirs[0] == theirs[1])
    assert (ours[0] != ours[1]) == (theirs[0] != theirs[1])
    assert [hash(value) for value in ours] == [hash(value) for value in theirs]
    assert repr(ours[0]) == repr(theirs[0])
    assert dataclasses.asdict(ours[0]) == dataclasses.asdict(theirs[0])


def test_left_out_values_are_the_defaults_and_a_list_is_each_ones_own() -> None:
    one, other = OURS("a"), OURS(name="a")
    assert (one.height_mm, one.seen, one.hidden) == (12.0, [], 0)
    assert one.seen is not other.seen
    assert dataclasses.replace(one, height_mm=3.0) == OURS("a", 3.0)


@pytest.mark.parametrize("wrong", [(), ("a", 1.0, [], 0, "too many")], ids=["too few", "too many"])
def test_a_wrong_number_of_values_is_refused(wrong: tuple[Any, ...]) -> None:
    with pytest.raises(TypeError, match="__init__"):
        OURS(*wrong)
    with pytest.raises(TypeError, match="colour"):
        OURS("a", colour="red")


def test_a_value_is_checked_when_it_is_made_and_when_it_is_replaced() -> None:
    with pytest.raises(ValueError, match="below the bottom"):
        OURS("a", -1.0)
    with pytest.raises(ValueError, match="below the bottom"):
        dataclasses.replace(OURS("a"), height_mm=-1.0)


def test_a_frozen_one_refuses_to_change_and_another_attribute() -> None:
    mark = OURS("a")
    with pytest.raises(dataclasses.FrozenInstanceError, match="'name'"):
        mark.name = "b"
    with pytest.raises(dataclasses.FrozenInstanceError, match="'name'"):
        del mark.name
    with pytest.raises(AttributeError):
        mark.colour = "red"


def test_one_that_is_not_frozen_changes_and_has_no_hash() -> None:
    tally = OURS_OPEN()
    tally.count += 1
    assert tally == OURS_OPEN(1)
    assert repr(tally) == repr(THEIRS_OPEN(1))
    with pytest.raises(TypeError):
        hash(tally)
    with pytest.raises(AttributeError):
        tally.other = 1


def test_it_is_not_equal_to_another_kind_with_the_same_values() -> None:
    assert OURS("a") != THEIRS("a")


def test_it_is_copied_deeply_and_written_out() -> None:
    from coldmark.bench.working import Range

    mark = OURS("a", 1.0, ["x"])
    copied = copy.deepcopy(mark)
    assert copied == mark
    assert copied.seen == mark.seen
    assert copied.seen is not mark.seen
    assert pickle.loads(pickle.dumps(Range(2.0, 1.0, 3.0))) == Range(2.0, 1.0, 3.0)


def _imports_dataclass(module: Path) -> bool:
    return any(
        isinstance(node, ast.ImportFrom)
        and node.module == "dataclasses"
        and any(alias.name == "dataclass" for alias in node.names)
        for node in ast.walk(ast.parse(module.read_text(encoding="utf-8")))
    )


def test_no_module_of_the_bench_takes_the_costly_ones() -> None:
    costly = [str(path.relative_to(BENCH)) for path in sorted(BENCH.rglob("*.py")) if _imports_dataclass(path)]
    assert [path for path in costly if path != "shapes.py"] == [], "take dataclass from coldmark.bench.shapes"


def test_one_without_a_docstring_costs_no_signature(monkeypatch: pytest.MonkeyPatch) -> None:
    # The standard library writes a docstring where there is none, which costs more than all the rest; phones have none.
    monkeypatch.setattr(inspect, "signature", lambda _kind: pytest.fail("written from the signature"))

    @shapes.dataclass(frozen=True, slots=True)
    class Mark:
        height_mm: float = 12.0

    assert Mark.__doc__ == "Mark"
    assert Mark().height_mm == 12.0
