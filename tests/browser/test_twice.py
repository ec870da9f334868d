"""What is pressed twice is recorded once; what two phones record on one job is all kept."""

from __future__ import annotations

import re
from collections import Counter
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.support.hands import Card, likely_hours, sign_in, stop_of
from tests.support.kept import on_the_server

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.support.server import DemoServer

pytestmark = pytest.mark.browser


def test_a_double_tap_records_once_and_a_second_phone_loses_nothing(
    phone: Page, second_phone: Page, demo_server: DemoServer
) -> None:
    sign_in(phone, demo_server.name, demo_server.password)
    hours = likely_hours(phone, "Bench digger") + 0.2
    phone.goto("/machines/")
    phone.get_by_role("link", name=re.compile("^Bench digger")).click()
    machine = phone.url
    phone.get_by_role("link", name="Read the hour meter").click()
    phone.get_by_label("What it shows, in hours").fill(f"{hours:.1f}")
    phone.get_by_role("button", name="Record").dblclick()
    # Two forms are sent: the way to the first one's answer is broken off by the second's, and that is no fault.
    expect(phone).to_have_url(machine)
    phone.goto(machine)
    expect(phone.get_by_role("region", name="Its story").get_by_text(f"{hours:.1f} h")).to_have_count(1)

    phone.goto("/")
    stop_of(phone, "Bench digger").get_by_role("button", name="Open the card").dblclick()
    card = Card(phone)
    for number in (1, 2, 3):
        expect(phone.get_by_role("banner")).to_contain_text(f"Step {number} of")
        card.button("Read and done").dblclick()
    card.at("Read the hour meter")
    phone.get_by_label("What the hour meter shows").fill(f"{hours:.1f}")
    card.button(f"Record {hours:.1f} h").dblclick()
    card.at("Arm out, bucket curled on the ground, blade down")
    card.button("Done").dblclick()
    card.at("Idle for two minutes, then stop the engine")
    card.all_sent()

    # Another goes on with the same job on a phone of his own, while the first goes on too and hears nothing of it.
    sign_in(second_phone, "jonas", demo_server.password)
    stop_of(second_phone, "Bench digger").get_by_role("link", name="Go on with the card").click()
    other = Card(second_phone)
    other.at("Idle for two minutes, then stop the engine")
    phone.context.set_offline(True)
    other.press("Done")
    card.press("Found something", "Leak", "Hydraulic system", "Keep watching it", "Keep this finding")
    other.do("Key off, in your pocket; tag on the seat")
    card.do("Idle for two minutes, then stop the engine")
    card.at("Key off, in your pocket; tag on the seat")
    phone.context.set_offline(False)
    card.all_sent()
    other.at("Lock open, both levers all ways ten times, lock shut")
    other.all_sent()

    found = on_the_server(demo_server.server.folder, card.job)
    named = Counter((kind, str(body.get("caution") or body.get("step") or "")) for kind, _, body in found)
    assert named == {
        ("caution_acknowledged", "pressure_down"): 1,
        ("caution_acknowledged", "key_kept"): 1,
        ("caution_acknowledged", "clear_of_tank"): 1,
        ("meter_read", ""): 1,
        ("step_done", "hyd_500.meter"): 1,
        ("step_done", "hyd_500.park"): 1,
        ("step_done", "hyd_500.stop"): 2,  # each of the two did it, and both are kept
        ("step_done", "hyd_500.key"): 1,
        ("finding", ""): 1,
    }
    # The first phone takes in by itself what the second has done, and shows it when it is opened anew.
    expect(phone.get_by_role("progressbar")).to_have_attribute("value", "7", timeout=30_000)
    phone.reload()
    card.at("Key off, in your pocket; tag on the seat")
    expect(card.main).to_contain_text("Recorded at")
    expect(phone.get_by_role("progressbar")).to_have_attribute("value", "7")
