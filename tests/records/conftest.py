"""Fixtures of the records' tests."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.records.house import House, build_house


@pytest.fixture
def house(db: None, data_folder: Path) -> House:
    """A small house in an empty data folder."""
    return build_house()
