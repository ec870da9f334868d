"""Fixtures of the command line's tests: the records' house, which the commands find by COLDMARK_DATA."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.records.house import House, build_house
from tests.records.jobs import Work, keep_oils, open_work


@pytest.fixture
def house(db: None, data_folder: Path, monkeypatch: pytest.MonkeyPatch) -> House:
    """A small house in an empty data folder."""
    monkeypatch.setenv("COLDMARK_DATA", str(data_folder))
    made = build_house()
    keep_oils(made)
    return made


@pytest.fixture
def work(house: House) -> Work:
    """An open job: the 500-hour hydraulic service on the house's machine."""
    return open_work(house)
