"""The house, the network before it, and phones in a Node process."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from tests.fault.house import House
from tests.fault.phones import NodePhones, built
from tests.fault.proxy import FaultyNetwork


@pytest.fixture(scope="session")
def phones_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the phones' scripts are built."""
    return tmp_path_factory.mktemp("phones")


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    """A house with one person."""
    house = House(tmp_path / "house")
    try:
        house.start().begin()
        yield house
    finally:
        house.kill()


@pytest.fixture
def network(house: House) -> Iterator[FaultyNetwork]:
    """A network before the house, which can kill it."""
    network = FaultyNetwork(house.server.port, house.kill).start()
    try:
        yield network
    finally:
        network.stop()


@pytest.fixture
def node_phones(phones_folder: Path) -> Iterator[Callable[[int], NodePhones]]:
    """Phones in a Node process, which wait so many milliseconds for an answer."""
    script = built(phones_folder, "node")
    with ExitStack() as running:

        def made(patience_ms: int) -> NodePhones:
            phones = NodePhones(script, patience_ms)
            running.callback(phones.stop)
            return phones

        yield made
