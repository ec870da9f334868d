"""A server that is killed in the middle of the work: nothing is lost, nothing is there twice, the hand goes on."""

from __future__ import annotations

import re
from collections import Counter
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.support.hands import Card, likely_hours, sign_in, stop_of
from tests.support.kept import on_the_server

if TYPE_CHECKING:
    from playwright.sync_api import Page, Route

    from tests.support.server import DemoServer

pytestmark = pytest.mark.browser

FACTS = "**/api/facts"
# What is recorded below, by kind and by what tells one from another.
DONE = Counter(
    {
        ("caution_acknowledged", "pressure_down"): 1,
        ("caution_acknowledged", "key_kept"): 1,
        ("caution_acknowledged", "clear_of_tank"): 1,
        ("meter_read", ""): 1,
        ("step_done", "hyd_500.meter"): 1,
        ("step_done", "hyd_500.park"): 1,
        ("step_done", "hyd_500.stop"): 1,
        ("step_done", "hyd_500.key"): 1,
        ("step_done", "hyd_500.let_off"): 1,
        ("level_read", ""): 1,
        ("step_done", "hyd_500.vent"): 1,
        ("step_done", "hyd_500.clean"): 1,
    }
)


def test_a_killed_server_loses_nothing(phone: Page, demo_server: DemoServer) -> None:
    server = demo_server.server

    def killed_before_it_answers(route: Route) -> None:
        """The facts reach the server, and its answer never comes back: it has been killed."""
        route.fetch()
        server.kill()
        route.abort()

    sign_in(phone, demo_server.name, demo_server.password)
    hours = likely_hours(phone, "Bench digger")
    stop_of(phone, "Bench digger").get_by_role("button", name="Open the card").click()
    card = Card(phone)
    card.acknowledge()
    card.at("Read the hour meter")
    card.all_sent()
    phone.route(FACTS, killed_before_it_answers, times=1)
    card.read_meter(hours)
    card.do("Arm out, bucket curled on the ground, blade down", "Idle for two minutes, then stop the engine")
    card.do("Key off, in your pocket; tag on the seat", "Lock open, both levers all ways ten times, lock shut")
    expect(phone.get_by_role("button", name="Not sent yet")).to_be_visible()

    # In the middle of the level's questions the browser goes too; both come back, and the question is the same one.
    card.stand("Arm out, bucket curled")
    card.at("The engine")
    card.press("Stopped")
    card.at("Minutes since it stopped")
    address, step = phone.url, card.step
    phone.goto("about:blank")
    server.start()
    phone.goto(address)
    card.at("Minutes since it stopped")
    assert card.step == step
    card.all_sent()

    # Killed once more, with the page left open: the level is read and recorded all the same.
    card.press("Keep 5 min", "Hand-warm")
    card.at("The air's temperature")
    server.kill()
    card.press("Keep 10 °C")
    card.glass.press("ArrowDown")
    card.press("Record this level")
    # Nobody answers but the phone itself, whose bench may still be starting.
    verdict = card.main.get_by_role("heading", level=1, name=re.compile(r"^Add \d\.\d L now|^It is right"))
    expect(verdict).to_be_visible(timeout=90_000)
    card.press("Go on")
    card.do("Turn the tank cap a quarter, leave it on, loose", "Clean around every cover that will be opened")
    card.at("Take an oil sample, mark the bottle")
    server.start()
    phone.get_by_role("button", name="Not sent yet").click()
    card.press("Send now")
    card.all_sent()
    card.press("Back")
    card.at("Take an oil sample, mark the bottle")
    step = card.step
    phone.reload()
    card.at("Take an oil sample, mark the bottle")
    assert card.step == step

    found = on_the_server(server.folder, card.job)
    named = Counter((kind, str(body.get("caution") or body.get("step") or "")) for kind, _, body in found)
    assert named == DONE
    numbers = [number for _, number, _ in found]
    assert numbers == list(range(numbers[0], numbers[0] + len(numbers)))
    level = next(body for kind, _, body in found if kind == "level_read")
    assert level["reading"] == "0.45"
