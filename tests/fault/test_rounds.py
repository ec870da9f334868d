"""Two hundred rounds of misfortune between phones and server: nothing is lost, nothing is there twice."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest

from tests.fault.house import House
from tests.fault.phones import NodePhones, built
from tests.fault.proxy import FaultyNetwork
from tests.fault.world import World

pytestmark = pytest.mark.slow

ROUNDS = 200
SEED = os.environ.get("COLDMARK_SEED", "cold oil")


@pytest.fixture(scope="module")
def script(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The phones' script."""
    return built(tmp_path_factory.mktemp("phones"), "node")


@pytest.fixture
def phones(script: Path) -> Iterator[NodePhones]:
    """Phones in a Node process."""
    running = NodePhones(script)
    try:
        yield running
    finally:
        running.stop()


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


def test_nothing_is_lost_and_nothing_doubled_whatever_fails(
    phones: NodePhones, house: House, network: FaultyNetwork
) -> None:
    print(f"\nseed: COLDMARK_SEED={SEED!r}")
    stores = {"first": "browser", "second": "browser", "third": "memory"}
    world = World(phones, house, network, Random(SEED), stores)
    began = time.monotonic()
    world.open()
    for number in range(1, ROUNDS + 1):
        world.round(number)
    world.rest(knock=True)
    world.check()
    assert house.stale() == 0
    # A backup has it all now: the phones hear of it and keep nothing more.
    world.record("first", 1, [])
    world.rest()
    house.backup()
    world.rest(knock=True)
    for phone in stores:
        left = phones.do("summary", phone=phone)
        assert (left["facts"], left["attachments"], left["delivered"]) == (0, 0, {"facts": 0, "attachments": 0}), phone
    took = time.monotonic() - began
    print(f"{ROUNDS} rounds in {took:.0f} s: {world.counts}; requests {dict(sorted(network.made.items()))}")
