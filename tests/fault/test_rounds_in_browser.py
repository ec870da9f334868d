"""The same rounds with a real browser's database and network: six of them, or two hundred by `script/test --long`."""

from __future__ import annotations

import os
import re
import time
from contextlib import ExitStack
from random import Random
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.fault.phones import PagePhones, built
from tests.fault.world import World
from tests.support.axe import axe_faults

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Page

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
        took = time.monotonic() - began
        _put_right_in_the_app(world, phones.page("first"))
    print(f"{ROUNDS} rounds in {took:.0f} s: {world.counts}; requests {network.told()}")


def _put_right_in_the_app(world: World, page: Page) -> None:
    """The app opens on what the rounds have left: what was refused is put right there, or not sent with a reason."""
    world.record_what_is_refused("first")
    world.record_what_is_refused("first")
    world.rest()
    refused = len(world.phones.do("summary", phone="first")["refused"])
    kept = len(world.house.facts(world.devices))
    page.goto(f"{world.network.url}/phone/#/outbox")
    look_at = page.get_by_role("button", name=re.compile("^Look at it.*Hour meter"))
    expect(look_at).to_have_count(refused)
    expect(page.get_by_role("main")).to_contain_text("body.way = guessed is not right: it must be one of seen, told")
    assert not axe_faults(page)
    look_at.first.click()
    page.get_by_label("body.way").fill("seen")
    assert not axe_faults(page)
    page.get_by_role("button", name="Record it anew").click()
    expect(look_at).to_have_count(refused - 1)
    look_at.first.click()
    page.get_by_role("button", name="Do not send it").click()
    page.get_by_role("button", name="It was only a try").click()
    assert not axe_faults(page)
    page.get_by_role("button", name="Keep this reason").click()
    expect(look_at).to_have_count(refused - 2)
    expect(page.get_by_role("main")).to_contain_text("It was only a try")
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save a file").click()
    file = saving.value
    assert re.fullmatch(r"coldmark-not-sent-[0-9-]+\.json", file.suggested_filename)
    for path, says in ((file.path(), "on this phone already"), (__file__, "no file of things that were not sent")):
        with page.expect_file_chooser() as asked:
            page.get_by_role("button", name="Read a file back").click()
        asked.value.set_files(path)
        expect(page.get_by_role("main")).to_contain_text(says)
    # What was recorded anew is on the server; what was refused is not, and stays on the phone.
    world.phones.do("open", phone="first", store="browser", root=f"{world.network.url}/api", me=None)
    world.sign_in("first")
    world.rest()
    assert len(world.house.facts(world.devices)) == kept + 1
    assert len(world.phones.do("summary", phone="first")["refused"]) == refused - 2
