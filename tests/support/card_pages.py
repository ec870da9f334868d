"""Every page that the card comes to within its steps: what it asks, answers, doubts and refuses, one after the other.

One list for whoever looks at them all: with axe at both widths, or as pictures.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from playwright.sync_api import expect

if TYPE_CHECKING:
    from tests.support.hands import Card

__all__ = ["pages_within"]

_GATE = "Open it all the same, with a reason"
_NOBODYS_JOB = "#/job/00000000-0000-7000-8000-000000000000"


def pages_within(card: Card) -> Iterator[str]:
    """Work a hydraulic service through its by-ways, from the first caution to the closed job; name each page met."""
    first = card.first_of
    card.acknowledge()
    card.page.get_by_role("button", name=re.compile("^Steps")).click()
    card.at("Steps")
    yield "steps"
    yield from _meter(card, first("meter"))
    yield from _level(card, first("level_found"))
    yield from _sample(card, first("sample"))
    yield from _tray(card, first("tray_out"), first("tray_in"))
    yield from _close(card, first("close"))
    yield from _reasons(card, first("do"))
    yield from _wait(card)
    yield from _add(card, first("add"))
    yield from _finding(card)
    yield from _finish(card, first("finish"))
    yield from _beside(card)


def _meter(card: Card, number: int) -> Iterator[str]:
    card.go_to(number)
    shows = card.page.get_by_label("What the hour meter shows")
    for typed, name in (("a lot", "meter-typed-wrong"), ("9.0", "meter-doubt")):
        shows.fill(typed)
        card.press(re.compile("^Record"))
        if typed == "9.0":
            expect(card.button("It is right")).to_be_visible()
        else:
            expect(card.main.get_by_role("alert")).to_be_visible()
        yield name
    card.press("Type again")


def _level(card: Card, number: int) -> Iterator[str]:
    card.go_to(number)
    card.press("In none of these")
    card.at("Move to the check posture first")
    yield "move-first"
    card.press("I cannot move it")
    card.at(re.compile("^How far"))
    yield "level-rods"
    while card.title.startswith("How far"):
        rod = card.title
        card.main.get_by_role("group").get_by_role("button").first.click()
        expect(card.main.get_by_role("heading", level=1)).not_to_have_text(rod)
    for title, name, press in (
        ("The engine", "level-engine", "Stopped"),
        ("Minutes since it stopped", "level-settled", "Keep 5 min"),
        ("How warm is the oil?", "level-warmth", "I have a thermometer"),
        ("The oil's temperature", "level-oil", "Keep 30 °C"),
        ("The air's temperature", "level-air", "Keep 10 °C"),
    ):
        card.at(title)
        yield name
        card.press(press)
    card.at("Drag the oil to what you see")
    card.drag_oil(36)
    yield "level-glass"
    card.record_level()
    yield "level-anywhere"
    card.press("Read again")
    card.stand("Arm out, bucket curled")
    card.warm()
    card.drag_oil(36)
    card.record_level()
    yield "level-verdict"


def _sample(card: Card, number: int) -> Iterator[str]:
    card.go_to(number)
    card.press("Record the sample")
    expect(card.main.get_by_role("alert")).to_be_visible()
    yield "sample-typed-wrong"


def _tray(card: Card, out: int, back: int) -> Iterator[str]:
    card.go_to(out)
    card.touch("cover ring")
    card.at("How is it?")
    yield "part"
    card.press("missing")
    expect(card.main).to_contain_text("Look into its groove now")
    yield "part-missing"
    card.press("Keep this", "Out, with what you noted")
    card.at("Look at what the old element caught")
    card.go_to(out)
    expect(card.main).to_contain_text("Recorded at")
    yield "tray-done"
    card.go_to(back)
    card.press("The old one goes back in")
    card.at("Why does the old one go back in?")
    yield "old-in-why"
    card.press("Back")
    card.put_in("return element", "element ring", fresh=True)
    card.put_in("bypass valve", fresh=False)
    yield "tray-half-in"
    card.put_in("spring", fresh=False)
    card.put_in("cover ring", fresh=True)
    card.put_in("cover", fresh=False)
    card.at("Bolts in crosswise, to the torque")


def _close(card: Card, number: int) -> Iterator[str]:
    card.go_to(number)
    card.press("Look for the old one: cover ring", "Looked everywhere: not there")
    expect(card.main.get_by_role("alert")).to_be_visible()
    yield "look-for"
    card.press("Back", _GATE)
    card.at("Why is it opened?")
    yield "gate-why"
    card.press("Back")
    _open_gates(card)
    card.page.get_by_label("What it was tightened to").fill("99")
    card.press("Tightened to 99 N·m")
    card.at("Tightened to 99 N·m: is that right?")
    yield "torque-doubt"
    card.press("It is right")
    card.at("Pilot bowl off from below, over a tray")
    card.go_to(number)
    expect(card.main).to_contain_text("Recorded at")
    yield "close-done"


def _open_gates(card: Card) -> None:
    """Open what is shut on the step's page, each with the first reason."""
    card.settled()
    while shut := card.button(_GATE).count():
        card.button(_GATE).first.click()
        _first_reason(card, "Why is it opened?")
        card.press("Keep this reason")
        expect(card.button(_GATE)).to_have_count(shut - 1)
        card.settled()


def _first_reason(card: Card, question: str) -> None:
    card.at(question)
    card.main.get_by_role("group", name=question).get_by_role("button").first.click()


def _reasons(card: Card, number: int) -> Iterator[str]:
    card.go_to(number)
    card.press("Leave this step out")
    card.at("Why is it left out?")
    yield "leave-out"
    _first_reason(card, "Why is it left out?")
    yield "leave-out-note"
    left = card.step
    card.press("Keep this reason")
    expect(card.page.get_by_role("banner")).not_to_contain_text(f"Step {left} of")
    card.go_to(number)
    expect(card.main).to_contain_text("Left out:")
    yield "left-out"


def _wait(card: Card) -> Iterator[str]:
    card.go_to(next(at for at, one in enumerate(card.screens, start=1) if one["kind"] == "do" and one["wait_min"]))
    _open_gates(card)
    card.press("Start the wait")
    expect(card.page.get_by_role("timer")).to_be_visible()
    yield "wait"
    card.press("Done, without the whole wait")
    card.at("Done, without the whole wait")
    yield "wait-cut-why"
    card.press("Back")


def _add(card: Card, number: int) -> Iterator[str]:
    card.go_to(number)
    _open_gates(card)
    card.page.get_by_label("How much went in?").fill("1.5")
    card.press(re.compile("^Varnol Hydro 46\\b"), "Record 1.5 L in")
    expect(card.main).to_contain_text("In so far")
    yield "add-done"
    card.press("More went in")
    yield "add-more"


def _finding(card: Card) -> Iterator[str]:
    card.press("Found something")
    for title, name in (
        ("What is it?", "finding-what"),
        ("Where is it?", "finding-where"),
        ("When does it want doing?", "finding-when"),
    ):
        card.at(title)
        yield name
        card.main.get_by_role("group", name=title).get_by_role("button").first.click()
    cost = card.main.get_by_role("group", name="What it costs").get_by_role("textbox").first
    cost.fill("a lot")
    card.press("Keep this finding")
    expect(card.main.get_by_role("alert")).to_be_visible()
    yield "finding"
    cost.fill("")
    card.press("Keep this finding")
    expect(card.main.get_by_role("status")).to_have_text("The finding is kept.")
    card.press("Found something")
    expect(card.main).to_contain_text("Found on this job")
    yield "finding-so-far"
    card.press("Back")


def _finish(card: Card, number: int) -> Iterator[str]:
    card.go_to(number)
    expect(card.main).to_contain_text("Left out or opened, with the reason")
    yield "finish"
    card.press("Signature")
    card.page.get_by_label("Name").fill("Edda Stennet")
    yield "signature"
    card.press("Keep the signature")
    expect(card.main).to_contain_text("Signed by")
    card.press("Finish with what is missing")
    card.at("The job is finished.")
    card.all_sent()
    yield "finished"


def _beside(card: Card) -> Iterator[str]:
    """What is reached from every step, and a card that there is not."""
    banner = card.page.get_by_role("banner")
    banner.get_by_role("button", name="All sent").click()
    card.at("What waits to be sent")
    yield "sent"
    banner.get_by_role("link", name="Emergency").click()
    card.at("What happened?")
    yield "urgent"
    card.main.get_by_role("navigation", name="What happened?").get_by_role("link").first.click()
    expect(card.main).to_contain_text("Do this first")
    yield "urgent-one"
    card.page.evaluate("to => { location.hash = to; }", _NOBODYS_JOB)
    card.at("The card is not on this phone yet")
    yield "no-card"
