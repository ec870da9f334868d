"""Whether the app stays usable while much waits: a long day and its photos over a network that comes and goes."""

from __future__ import annotations

import tempfile
import time
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

from benchmarks import Measure
from tests.fault.house import House
from tests.fault.phones import PagePhones, built
from tests.fault.proxy import FaultyNetwork, flapping
from tests.fault.world import World, a_photo
from tests.support.chromium import chromium, launched

if TYPE_CHECKING:
    from playwright.sync_api import Page

_FACTS, _PHOTOS = 1000, 40
_SLOWED = 4
_BYTES_A_SECOND = 500_000
_SENT_WITHIN_S = 300.0
_BETWEEN_TAPS_MS = 700  # as fast as a person taps who reads what comes
# From a tap on one of the ways below to the frame in which its screen stands.
_TAP = """async (name) => {
  const way = () => [...document.querySelectorAll("nav a")].find((one) => one.textContent.trim() === name);
  const start = performance.now();
  way().click();
  while (way()?.getAttribute("aria-current") !== "page") await new Promise(requestAnimationFrame);
  await new Promise(requestAnimationFrame);
  return performance.now() - start;
}"""
_UNSENT = "() => document.querySelector('.top button').textContent"


def _worst_tap_ms(page: Page) -> float:
    slowing = page.context.new_cdp_session(page)
    slowing.send("Emulation.setCPUThrottlingRate", {"rate": _SLOWED})
    end = time.monotonic() + _SENT_WITHIN_S
    taken = []
    while "All sent" not in page.evaluate(_UNSENT):
        if time.monotonic() > end:
            raise RuntimeError(f"not sent within {_SENT_WITHIN_S:g} s: {page.evaluate(_UNSENT)}")
        for way in ("Sums", "Today"):
            taken.append(float(page.evaluate(_TAP, way)))
            page.wait_for_timeout(_BETWEEN_TAPS_MS)
    if len(taken) < 2:
        raise RuntimeError("all was sent before anything was tapped")
    return max(taken)


def tap_ms() -> float:
    """The longest from a tap to its screen, from the first entry sent to the last; all must have arrived."""
    path = chromium()
    if path is None:
        raise RuntimeError("no Chromium: name one in COLDMARK_CHROMIUM")
    chance = Random("cold oil")
    with tempfile.TemporaryDirectory() as folder, launched(path) as browser:
        house = House(Path(folder) / "house")
        network = FaultyNetwork(house.server.port, house.kill).start()
        try:
            house.start().begin()
            context = browser.new_context(locale="en-GB", viewport={"width": 360, "height": 740})
            phones = PagePhones(built(Path(folder), "page"), {"first": context}, network.url)
            world = World(phones, house, network, chance, {"first": "browser"})
            world.open()
            for _ in range(20):
                world.record("first", _FACTS // 20, [])
            for _ in range(_PHOTOS):
                world.record("first", 0, [a_photo(chance, side=150)])
            network.bytes_a_second = _BYTES_A_SECOND
            network.order(flapping(chance, times=4))
            page = phones.page("first")
            page.goto(f"{network.url}/phone/#/")
            page.get_by_role("link", name="Sums", exact=True).wait_for()
            worst = _worst_tap_ms(page)
            phones.do("open", phone="first", store="browser", root=f"{network.url}/api", me=None)
            world.check()
            return worst
        finally:
            network.stop()
            house.kill()


MEASURES = (Measure("from a tap to its screen at worst, while 1,000 facts and 40 photos go", 300, "ms", tap_ms),)
