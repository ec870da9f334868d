"""What is inside after changes, against what others printed, and against a simulation of its own."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from coldmark.bench import oil, oilhistory
from coldmark.bench.ledger import Pour
from coldmark.bench.oil.top_up import RESIDUE_LIMIT_ENGINE_SHARE
from coldmark.bench.oilhistory import Contents, OilPart
from coldmark.bench.sheet import read
from tests.published.reading import Row, rows

SHEETS = sorted((Path(__file__).parents[2] / "src/coldmark/demo/sheets").glob("*.toml"))


def _pour(way: str, litres: float, name: str | None = None) -> Pour:
    return Pour("2026-03-02", "", way, litres, name, None, None, None)


@pytest.mark.parametrize("row", rows("oilhistory", "left_of"), ids=str)
def test_what_a_change_leaves(row: Row) -> None:
    litres = row.number("drained_l")
    changed = [_pour("drained", -litres), _pour("fill", litres, "new")]
    start = Contents((OilPart("old", 1.0),))
    found = oilhistory.fold(changed, system_l=row.number("system_l"), start=start)
    (old,) = (part.share for part in found.parts if part.oil == "old")
    row.check(row.number("before") * old)


@pytest.mark.parametrize("row", rows("oilhistory", "left_after"), ids=str)
def test_what_several_changes_leave(row: Row) -> None:
    found = oilhistory.changes_until(row.number("share"), 1e-6, row.number("drained_l"), row.number("system_l"))
    row.check(found.left[int(row.number("changes")) - 1])


@pytest.mark.parametrize("row", rows("oilhistory", "count"), ids=str)
def test_how_many_changes_it_takes(row: Row) -> None:
    row.check(oilhistory.changes_until(**row.numbers()).count.value)


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_a_drain_of_an_invented_machine_leaves_no_more_than_is_told_of_real_ones(path: Path) -> None:
    (row,) = rows("oilhistory", "most_left_by_a_drain")
    sheet = read(path.read_text(encoding="utf-8"))
    system_l, tank_l = oilhistory.system_l(sheet, "hydraulic", {}), oilhistory.tank_l(sheet, "hydraulic")
    assert system_l is not None
    assert tank_l is not None
    assert 1 - tank_l / system_l <= float(row.printed)


def test_the_residue_limits() -> None:
    rows("oilhistory", "residue_limit")[0].check(oil.RESIDUE_LIMIT_SHARE)
    rows("oilhistory", "residue_limit_engine")[0].check(RESIDUE_LIMIT_ENGINE_SHARE)


def test_drops_of_oil_drawn_by_chance_come_out_as_the_fold_says() -> None:
    chance = np.random.default_rng(7)
    drops = np.zeros(78_000, dtype=int)  # 0 the old oil, 1 and 2 what was filled in
    start, moves = Contents((OilPart("0", 1.0),)), []
    for name, litres in ((1, 48), (2, 30), (1, 5)):
        drops[chance.choice(drops.size, litres * 1000, replace=False)] = name
        moves += [_pour("drained", -litres), _pour("fill", litres, str(name))]
    found = {part.oil: part.share for part in oilhistory.fold(moves, system_l=78, start=start).parts}
    for name in (0, 1, 2):
        assert found[str(name)] == pytest.approx(np.count_nonzero(drops == name) / drops.size, abs=0.005)
