"""Two hundred rounds of misfortune between phones and server: nothing is lost, nothing is there twice."""

from __future__ import annotations

import os
import time
from collections import Counter
from random import Random
from typing import TYPE_CHECKING

import pytest

from tests.fault.proxy import flapping
from tests.fault.world import World, a_large_photo, a_photo

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.fault.house import House
    from tests.fault.phones import NodePhones
    from tests.fault.proxy import Fault, FaultyNetwork

pytestmark = pytest.mark.slow

ROUNDS = 200
SEED = os.environ.get("COLDMARK_SEED", "cold oil")
FACTS, PHOTOS = 1000, 40


@pytest.mark.rounds
@pytest.mark.parametrize("half", ["first", "second"])
def test_nothing_is_lost_and_nothing_doubled_whatever_fails(
    node_phones: Callable[[int], NodePhones], house: House, network: FaultyNetwork, half: str
) -> None:
    # Two halves, each with a house and phones of its own, so that both processors of a machine have one.
    print(f"\nseed: COLDMARK_SEED={SEED!r}, {half} half")
    stores = {"first": "browser", "second": "browser", "third": "memory"}
    phones = node_phones(250)
    world = World(phones, house, network, Random(f"{SEED}, {half} half"), stores)
    began = time.monotonic()
    world.open()
    for number in range(1, ROUNDS // 2 + 1):
        world.round(number)
    world.end()
    took = time.monotonic() - began
    print(f"{ROUNDS // 2} rounds in {took:.0f} s: {world.counts}; requests {network.told()}")


def test_a_thousand_facts_and_forty_photos_arrive_over_a_slow_flapping_network(
    node_phones: Callable[[int], NodePhones], house: House, network: FaultyNetwork
) -> None:
    rng = Random(SEED)
    world = World(node_phones(2000), house, network, rng, {"first": "browser"})
    world.open()
    for _ in range(20):
        world.record("first", FACTS // 20, [])
    for photo in range(PHOTOS):
        world.record("first", 0, [a_large_photo(rng) if photo % 4 == 0 else a_photo(rng, side=150)])
    network.bytes_a_second = 500_000
    began = time.monotonic()
    network.order(flapping(rng, times=60))
    told = world.phones.do("rest", phone="first", most=400)
    assert told["rested"], told
    world.check()
    # A photo whose answer was lost was asked about, and not sent a second time; no piece of one was either.
    pieces = Counter(path for path, _range in network.taken)
    assert Counter(pieces.values()) == {1: PHOTOS * 3 // 4, 4: PHOTOS // 4}
    assert set(network.taken.values()) == {1}
    print(f"\n{told['rounds']} rounds in {time.monotonic() - began:.0f} s; requests {network.told()}")


def test_photos_arrive_over_a_line_that_breaks_off_within_each(
    node_phones: Callable[[int], NodePhones], house: House, network: FaultyNetwork
) -> None:
    rng = Random(SEED)
    world = World(node_phones(2000), house, network, rng, {"first": "browser"})
    world.open()
    for _ in range(5):
        world.record("first", 1, [a_large_photo(rng)])
    network.bytes_to_a_break = 100_000
    told = world.phones.do("rest", phone="first", most=100)
    assert told["rested"], told
    world.check()
    assert network.made["break"] >= 10
    assert set(network.taken.values()) == {1}


def test_a_server_killed_between_pieces_goes_on_from_what_it_had(
    node_phones: Callable[[int], NodePhones], house: House, network: FaultyNetwork
) -> None:
    world = World(node_phones(2000), house, network, Random(SEED), {"first": "browser"})
    world.open()
    world.record("first", 0, [a_large_photo(Random(SEED))])
    killed: tuple[list[Fault], ...] = (["pass", "pass", "kill_after"], ["pass", "kill_after"])
    for faults in killed:
        network.order(faults)
        world.phones.do("send", phone="first", force=True)
        network.settle()
        assert not house.running
        house.start()
    world.rest()
    world.check()
    assert len(network.taken) == 4
    assert set(network.taken.values()) == {1}


@pytest.mark.parametrize("restored", [False, True], ids=["the disk as it is", "restored from a backup that lacks them"])
def test_photos_that_the_disk_has_lost_are_sent_again_and_no_backup_without_them_lets_the_phone_forget(
    node_phones: Callable[[int], NodePhones], house: House, network: FaultyNetwork, restored: bool
) -> None:
    rng = Random(SEED)
    world = World(node_phones(2000), house, network, rng, {"first": "browser"})
    world.open()
    world.record("first", 3, [a_photo(rng), a_large_photo(rng), a_photo(rng)])
    world.record("first", 1, [])
    world.rest()
    for sha256 in sorted(world.taken)[:2]:
        house.lose(sha256)
    house.backup()
    if restored:
        house.restore(burnt=True)
    # Its page is loaded anew, and asks after what it has delivered.
    world.phones.do("killed", phone="first")
    world.rest(knock=True)
    world.check()
    world.end()
