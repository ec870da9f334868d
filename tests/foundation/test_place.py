"""The machine's time zone is taken from where machines keep it, and a wrong one never stops a start."""

from __future__ import annotations

from pathlib import Path

import pytest

from coldmark.project.place import machine_time_zone


def local_time(tmp_path: Path, points_at: str) -> Path:
    link = tmp_path / "localtime"
    link.symlink_to(points_at)
    return link


@pytest.fixture(autouse=True)
def _no_zone_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("TZ", raising=False)


def test_it_is_where_local_time_points(tmp_path: Path) -> None:
    assert machine_time_zone(local_time(tmp_path, "/usr/share/zoneinfo/Europe/Vienna")) == "Europe/Vienna"
    assert machine_time_zone(tmp_path / "none") == "UTC"


def test_a_zone_that_nobody_knows_is_utc(tmp_path: Path) -> None:
    assert machine_time_zone(local_time(tmp_path, "/usr/share/zoneinfo/Valley/Mill")) == "UTC"


def test_what_is_told_comes_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    link = local_time(tmp_path, "/usr/share/zoneinfo/Europe/Vienna")
    monkeypatch.setenv("TZ", ":America/Denver")
    assert machine_time_zone(link) == "America/Denver"
    monkeypatch.setenv("TZ", "nonsense")
    assert machine_time_zone(link) == "Europe/Vienna"
