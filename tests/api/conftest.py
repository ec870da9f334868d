"""Fixtures of the API's tests: the records' house, and somebody of it as a program that asks."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.api.asking import Asking
from tests.records.house import House, build_house
from tests.records.jobs import Work, keep_oils, open_work


@pytest.fixture
def house(db: None, data_folder: Path) -> House:
    """A small house in an empty data folder."""
    made = build_house()
    keep_oils(made)
    return made


@pytest.fixture
def mechanic(house: House) -> Asking:
    """The mechanic's program."""
    return Asking(house.mechanic)


@pytest.fixture
def owner(house: House) -> Asking:
    """The program of the machine's owner."""
    return Asking(house.owner)


@pytest.fixture
def work(house: House) -> Work:
    """An open job: the 500-hour hydraulic service on the house's machine."""
    return open_work(house)
