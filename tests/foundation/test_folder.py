"""The data folder: its secret is made once, is the owner's alone, and two starts agree on it."""

from __future__ import annotations

import stat
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from coldmark.records.folder import data_folder, prepare, secret_key


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_the_secret_is_long_and_read_by_its_owner_alone(tmp_path: Path) -> None:
    secret = secret_key(tmp_path / "house")
    assert len(secret) >= 64
    assert mode(tmp_path / "house" / "secret") == 0o600
    assert mode(tmp_path / "house") == 0o700


def test_the_secret_stays_and_another_house_has_another(tmp_path: Path) -> None:
    assert secret_key(tmp_path / "a") == secret_key(tmp_path / "a")
    assert secret_key(tmp_path / "a") != secret_key(tmp_path / "b")


def test_starts_at_the_same_moment_agree_and_leave_nothing_behind(tmp_path: Path) -> None:
    with ThreadPoolExecutor(8) as pool:
        secrets = set(pool.map(lambda _: secret_key(tmp_path / "house"), range(32)))
    assert len(secrets) == 1
    assert sorted(path.name for path in (tmp_path / "house").iterdir()) == ["attachments", "secret"]


def test_preparing_twice_changes_nothing(tmp_path: Path) -> None:
    prepare(tmp_path / "house")
    (tmp_path / "house" / "attachments" / "photo").write_bytes(b"x")
    prepare(tmp_path / "house")
    assert (tmp_path / "house" / "attachments" / "photo").read_bytes() == b"x"


def test_the_folder_is_the_one_told_else_the_one_here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLDMARK_DATA", str(tmp_path / "told"))
    assert data_folder() == tmp_path / "told"
    monkeypatch.delenv("COLDMARK_DATA")
    monkeypatch.chdir(tmp_path)
    assert data_folder() == tmp_path / "data"
