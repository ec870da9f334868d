"""The keyboard alone: sign in, find the machine, open its job, work the card, read the level by the arrow keys."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.support.hands import Card, likely_hours

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.support.server import DemoServer

pytestmark = pytest.mark.browser

MOST_TABS = 120
# What the thing in focus is called, as far as the pages need it; and whether it is seen to have the focus.
FOCUSED = """() => {
  const it = document.activeElement;
  const name = it.getAttribute('aria-label') || (it.labels && it.labels[0] && it.labels[0].innerText) || it.innerText;
  const style = getComputedStyle(it);
  const seen = style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) > 0 || style.boxShadow !== 'none';
  return [name.trim().replace(/\\s+/g, ' '), seen || it === document.body];
}"""


def tab_to(page: Page, name: str, *, back: bool = False) -> None:
    """Press Tab until the thing of this name has the focus, and is seen to have it."""
    met = []
    for _ in range(MOST_TABS):
        page.keyboard.press("Shift+Tab" if back else "Tab")
        called, seen = page.evaluate(FOCUSED)
        assert seen, f"{called} has the focus and does not show it"
        met.append(called)
        if re.match(name, called, re.IGNORECASE):
            return
    raise AssertionError(f"no {name} by the keyboard; only {met}")


def press(page: Page, name: str, *, back: bool = False, key: str = "Enter") -> None:
    """Go to the thing of this name and press it."""
    tab_to(page, name, back=back)
    page.keyboard.press(key)


def press_enabled(card: Card, name: str) -> None:
    """Press a button of the card as soon as it takes a press; a fresh one does not for a moment."""
    expect(card.button(re.compile(f"^{name}"))).to_be_enabled()
    press(card.page, name)


def test_the_keyboard_alone_will_do(desk: Page, demo_server: DemoServer) -> None:
    page = desk
    page.goto("/")
    tab_to(page, "Name")
    page.keyboard.type(demo_server.name)
    tab_to(page, "Password")
    page.keyboard.type(demo_server.password)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1, name=re.compile("^Today"))).to_be_visible()
    hours = likely_hours(page, "Bench digger") + 0.5
    press(page, "Machines$")
    expect(page.get_by_role("heading", level=1, name="Machines")).to_be_visible()
    tab_to(page, "Name, number, serial")
    # The list follows the typing by itself; pressing Enter as well would swap it a second time, under the focus.
    page.keyboard.type("Bench")
    page.wait_for_url(re.compile(r"[?&]q=Bench\b"))
    expect(page.get_by_role("main")).to_contain_text("1 machine")
    press(page, "Bench digger")
    expect(page.get_by_role("heading", level=1, name="Bench digger")).to_be_visible()
    press(page, "Kit$")
    expect(page.get_by_role("heading", level=1, name="Kit")).to_be_visible()
    press(page, "Open the card")

    card = Card(page)
    for caution in ("Oil under pressure", "The engine is started", "The first strokes"):
        card.at(re.compile(f"^{caution}"))
        press_enabled(card, "Read and done")
    card.at("Read the hour meter")
    tab_to(page, "What the hour meter shows")
    page.keyboard.press("Control+A")
    page.keyboard.type(f"{hours:.1f}")
    press_enabled(card, f"Record {hours:.1f} h")
    card.at("Arm out, bucket curled on the ground, blade down")
    press(page, "Read the oil level as found", back=True)

    card.at("How does the machine stand?")
    press_enabled(card, "Arm out, bucket curled")
    card.at("The engine")
    press_enabled(card, "Stopped")
    card.at("Minutes since it stopped")
    press_enabled(card, "Keep 5 min")
    card.at("How warm is the oil?")
    press_enabled(card, "Hand-warm")
    card.at("The air's temperature")
    tab_to(page, "The air's temperature")
    page.keyboard.press("Control+A")
    page.keyboard.type("12")
    press_enabled(card, "Keep 12 °C")
    card.at("Drag the oil to what you see")
    tab_to(page, "Where the oil stands")
    for key, stands in (("Home", 0), ("ArrowUp", 5), ("PageUp", 30), ("ArrowRight", 35), ("ArrowDown", 30)):
        page.keyboard.press(key)
        expect(card.glass).to_have_attribute("aria-valuenow", str(stands))
    expect(card.glass).to_have_attribute("aria-valuetext", "30 % of the way from the lower to the upper mark")
    press_enabled(card, "Record this level")
    card.at(re.compile(r"^Add \d\.\d L now"))
    press_enabled(card, "Go on")
    card.at("Turn the tank cap a quarter, leave it on, loose")
    card.all_sent()
