"""What a person's hands do on the pages and on the card: everything is found by its role and its name."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from playwright.sync_api import expect

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page


def text_of(seen: Locator) -> str:
    """What a person reads there: each run of blanks, line ends and no-break spaces as one blank."""
    return " ".join(seen.inner_text().split())


def sign_in(page: Page, name: str, password: str) -> None:
    """Sign in as a person does."""
    page.goto("/sign-in/")
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password", exact=True).fill(password)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(lambda url: "/sign-in/" not in url)


_LAID = """async () => {
  await navigator.serviceWorker.ready;
  if (navigator.serviceWorker.controller) return;
  await new Promise((taken) => navigator.serviceWorker.addEventListener("controllerchange", taken, { once: true }));
}"""


def until_laid(page: Page) -> None:
    """Wait until the app is laid on the phone, whole, and opens from there."""
    page.evaluate(_LAID)


def stop_of(page: Page, machine: str) -> Locator:
    """A machine's part of Today."""
    return page.get_by_role("article").filter(has=page.get_by_role("heading", name=machine))


def likely_hours(page: Page, machine: str) -> float:
    """What the hour meter of a machine of Today will show, as Today reckons: a reading that nobody doubts."""
    told = re.search(r"about (\d+) h", text_of(stop_of(page, machine)))
    if told is None:
        raise AssertionError(f"Today does not reckon what {machine} will show")
    return float(told[1])


class Card:
    """The job card in a browser's page, worked step by step."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.main = page.get_by_role("main")

    def at(self, title: str | re.Pattern[str]) -> None:
        """Wait until the card shows a page with this heading."""
        expect(self.main.get_by_role("heading", level=1, name=title)).to_be_visible()

    @property
    def title(self) -> str:
        """The heading of the page that is shown."""
        return text_of(self.main.get_by_role("heading", level=1))

    @property
    def job(self) -> str:
        """The job whose card it is, by the app's address."""
        return self.page.url.partition("#/job/")[2]

    @property
    def step(self) -> int:
        """The number of the step that is shown."""
        found = re.search(r"Step (\d+) of", text_of(self.page.get_by_role("banner")))
        if found is None:
            raise AssertionError("the card tells no step")
        return int(found[1])

    @property
    def screens(self) -> list[dict[str, Any]]:
        """The steps of the card that is open, as the server hands them over."""
        screens: list[dict[str, Any]] = self.page.request.get(f"/api/jobs/{self.job}/card").json()["card"]["screens"]
        return screens

    def first_of(self, kind: str) -> int:
        """The number of the first step of a kind, from 1."""
        return next(number for number, screen in enumerate(self.screens, start=1) if screen["kind"] == kind)

    def go_to(self, number: int) -> None:
        """Choose a step from the card's list, which stands at the side where there is room."""
        steps = self.page.get_by_role("list").filter(has=self.page.locator("button.step")).filter(visible=True)
        if not steps.count():
            self.page.get_by_role("button", name=re.compile("^Steps")).click()
        steps.first.get_by_role("button").nth(number - 1).click()
        expect(self.page.get_by_role("banner")).to_contain_text(f"Step {number} of")
        self.settled()

    def settled(self) -> None:
        """Wait until the page that is shown takes presses: a fresh one does not for a moment."""
        self.main.get_by_role("heading", level=1).wait_for()
        fresh = "button:is(.press, .choice):disabled:not([data-off], .pad *)"
        self.page.wait_for_function("css => !document.querySelector('main').querySelector(css)", arg=fresh)

    def button(self, name: str | re.Pattern[str]) -> Locator:
        """A button by its whole name, whichever letters the look makes capitals."""
        whole = re.compile(f"^{re.escape(name)}$", re.IGNORECASE) if isinstance(name, str) else name
        return self.main.get_by_role("button", name=whole)

    def press(self, *names: str | re.Pattern[str]) -> None:
        """Press buttons one after the other."""
        for name in names:
            self.button(name).click()

    def do(self, *titles: str | re.Pattern[str], press: str = "Done") -> None:
        """Do steps one after the other that want nothing but to be done."""
        for title in titles:
            self.at(title)
            self.press(press)

    def acknowledge(self) -> None:
        """Read the three cautions that stop the card."""
        self.do(re.compile("^Oil under pressure"), re.compile("^The engine is started"), press="Read and done")
        self.do(re.compile("^The first strokes"), press="Read and done")

    def read_meter(self, hours: float, *, doubted: bool = False) -> None:
        """Type what the hour meter shows; say that it is right where the card asks."""
        self.page.get_by_label("What the hour meter shows").fill(f"{hours:.1f}")
        self.press(f"Record {hours:.1f} h")
        if doubted:
            self.press("It is right")

    def stand(self, posture: str) -> None:
        """Say how the machine stands, by its picture."""
        self.at("How does the machine stand?")
        self.button(re.compile(f"^{posture}")).click()

    def warm(self, oil: str = "Hand-warm", air: str = "10") -> None:
        """Answer what is asked of a stopped machine: rested for five minutes, the oil by hand, the air by degrees."""
        self.at("The engine")
        self.press("Stopped")
        self.at("Minutes since it stopped")
        self.page.get_by_label("Minutes since it stopped").fill("5")
        self.press("Keep 5 min")
        self.at("How warm is the oil?")
        self.press(oil)
        self.at("The air's temperature")
        self.page.get_by_label("The air's temperature").fill(air)
        self.press(re.compile(f"^Keep {air} "))
        self.at("Drag the oil to what you see")

    @property
    def glass(self) -> Locator:
        """The glass whose oil is dragged."""
        return self.page.get_by_role("slider", name="Where the oil stands")

    @property
    def stands(self) -> int:
        """Where the oil was dragged to [% of the way from the lower to the upper mark]."""
        return int(self.glass.get_attribute("aria-valuenow") or "")

    def drag_oil(self, pct: int) -> None:
        """Drag the oil roughly there with a finger, then by the arrows beside the glass, two in a hundred at a time."""
        box = self.glass.bounding_box()
        if box is None:
            raise AssertionError("the glass is not to be seen")
        low, high = (int(self.glass.get_attribute(f"aria-value{end}") or "") for end in ("min", "max"))
        x, middle = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        self.page.mouse.move(x, middle)
        self.page.mouse.down()
        self.page.mouse.move(x, middle + (0.5 - (pct - low) / (high - low)) * box["height"] * 0.75, steps=4)
        self.page.mouse.up()
        while abs(pct - self.stands) > 1:
            self.press("Higher" if self.stands < pct else "Lower")

    def record_level(self) -> None:
        """Record the level and wait for the verdict."""
        self.press("Record this level")
        expect(self.page.get_by_text("How this was worked out")).to_be_visible()

    def photograph(self, picture: Path) -> None:
        """Take a photo."""
        with self.page.expect_file_chooser() as asked:
            self.press("Take a photo")
        asked.value.set_files(picture)
        expect(self.main.get_by_role("img", name="Photo 1")).to_be_visible()

    def put_in(self, *parts: str, fresh: bool) -> None:
        """Put parts back in their turn."""
        for part in parts:
            self.press(f"{'New one in' if fresh else 'Same one back in'}: {part}")

    def touch(self, part: str) -> None:
        """Touch a part that lies on the tray."""
        self.main.get_by_role("button", name=re.compile(rf"^\d+ {part}( (in|out|new one in))?$")).click()

    def all_sent(self) -> None:
        """Wait until the server has everything; after a silence the card tries again in two seconds, then in four."""
        expect(self.page.get_by_role("button", name="All sent")).to_be_visible(timeout=10_000)
