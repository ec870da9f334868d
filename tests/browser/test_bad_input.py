"""Bad input: a sentence names the field, the value and what would be right, and what was typed stays."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.support.hands import Card, sign_in, stop_of

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

    from tests.support.server import DemoServer

pytestmark = pytest.mark.browser


def refused(page: Page, field: Locator, value: str, button: str, says: str) -> None:
    """Type a value and press; the page says what is wrong with it, and it still stands there."""
    field.fill(value)
    page.get_by_role("button", name=button, exact=True).click()
    expect(page.get_by_role("main")).to_contain_text(says)
    expect(field).to_have_value(value)


def test_what_is_wrong_is_said_and_kept(phone: Page, demo_server: DemoServer) -> None:
    sign_in(phone, "jonas", demo_server.password)

    phone.goto("/machines/")
    phone.get_by_role("link", name=re.compile("^Bench digger")).click()
    phone.get_by_role("link", name="Read the hour meter").click()
    reading = phone.get_by_label("What it shows, in hours")
    refused(phone, reading, "35o4", "Record", "reading = 35o4 is not a number; write it like 1523.4.")
    expect(reading).to_have_attribute("aria-invalid", "true")
    refused(phone, reading, "-3", "Record", "reading = -3 is not right: it must be from 0 to 200000 h.")

    phone.goto("/visits/new/")
    phone.get_by_label("From", exact=True).fill("11:30")
    refused(phone, phone.get_by_label("To", exact=True), "09:15", "Plan the visit", "09:15")
    expect(phone.get_by_label("From", exact=True)).to_have_value("11:30")

    phone.goto("/people/new/")
    phone.get_by_label("Name", exact=True).fill("Mara Again")
    phone.get_by_label("First password").fill("four tall grey cranes")
    refused(
        phone,
        phone.get_by_label("Name to sign in with"),
        "mara",
        "Let them in",
        "mara is another person's sign-in name; choose another.",
    )
    expect(phone.get_by_label("Name", exact=True)).to_have_value("Mara Again")

    phone.goto("/sums/level/")
    phone.get_by_label("Data sheet").select_option("Maverin MA50")
    phone.get_by_label("Oil temperature, °C").fill("20")
    refused(phone, phone.get_by_label(re.compile("^Reading")), "half", "Work it out", "= half")
    expect(phone.get_by_label("Oil temperature, °C")).to_have_value("20")

    # On the card the same: a box keeps what was typed, and nothing is recorded.
    phone.goto("/")
    stop_of(phone, "Bench digger").get_by_role("button", name="Open the card").click()
    card = Card(phone)
    card.acknowledge()
    card.at("Read the hour meter")
    box = phone.get_by_label("What the hour meter shows")
    right = "is not right; a number from 0 to 199999 h would be, such as 1482.5."
    refused(phone, box, "35o4", "Record 35o4 h", f'"What the hour meter shows" = 35o4 h {right}')
    expect(box).to_have_attribute("aria-invalid", "true")
    box.fill("10")
    card.press("Record 10 h")
    card.at(re.compile("10 h would be less. Is it what it shows\\?$"))
    card.press("Type again")
    expect(box).to_have_value("10")
    card.at("Read the hour meter")
    level_in_other_words(card)


def level_in_other_words(card: Card) -> None:
    """Answer wrongly, then rightly, what is asked about the level: minutes, temperatures of oil and air."""
    card.page.get_by_role("button", name=re.compile("^Steps")).click()
    card.page.get_by_role("button", name=re.compile("^Read the oil level as found")).first.click()
    card.stand("Arm out, bucket curled")
    card.press("Stopped")
    asked = {
        "Minutes since it stopped": ("5,5", "7", "5,5 min is not right; a whole number from 0 to 999 min would be."),
        "The oil's temperature": (
            "",
            "18,5",
            "nothing is not right; a number from −50 to 130 °C would be, such as 32.5.",
        ),
        "The air's temperature": (
            "600",
            "−3",
            "600 °C is not right; a number from −50 to 60 °C would be, such as 12.5.",
        ),
    }
    for name, (wrong, right, says) in asked.items():
        card.at(name)
        box = card.page.get_by_label(name)
        box.fill(wrong)
        card.press(re.compile("^Keep"))
        expect(card.main.get_by_role("alert")).to_have_text(f'"{name}" = {says}')
        expect(box).to_have_value(wrong)
        box.fill(right)
        expect(card.main.get_by_role("alert")).to_have_count(0)
        card.page.reload()  # an interruption: it is asked on from there
        expect(box).to_have_value(right)
        card.press(re.compile("^Keep"))
        if name.startswith("Minutes"):
            card.press("I have a thermometer")
    card.at("Drag the oil to what you see")
