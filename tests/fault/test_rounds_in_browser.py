"""The same rounds with a real browser's database and network: six of them, or two hundred by `script/test --long`."""

from __future__ import annotations

import os
import time
from contextlib import ExitStack
from random import Random
from typing import TYPE_CHECKING

import pytest

from tests.fault.phones import PagePhones, built
from tests.fault.world import World

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser

    from tests.fault.house import House
    from tests.fault.proxy import FaultyNetwork

pytestmark = pytest.mark.browser

LONG = os.environ.get("COLDMARK_LONG") == "1"
ROUNDS = 200 if LONG else 6
SEED = os.environ.get("COLDMARK_SEED", "cold oil")


def test_a_browser_loses_nothing_and_doubles_nothing_whatever_fails(
    browser: Browser, house: House, network: FaultyNetwork, phones_folder: Path
) -> None:
    print(f"\nseed: COLDMARK_SEED={SEED!r}")
    script = built(phones_folder, "page")
    with ExitStack() as open_pages:
        contexts = {}
        for phone in ("first", "second"):
            contexts[phone] = browser.new_context(locale="en-GB")
            open_pages.callback(contexts[phone].close)
        phones = PagePhones(script, contexts, network.url)
        world = World(phones, house, network, Random(SEED), dict.fromkeys(contexts, "browser"))
        began = time.monotonic()
        world.open()
        for number in range(1, ROUNDS + 1):
            world.round(number)
        world.end()
    print(f"{ROUNDS} rounds in {time.monotonic() - began:.0f} s: {world.counts}; requests {network.told()}")
