"""Every screen and every page of paper as a picture, each looked at by code; run by ``script/pictures FOLDER``.

The demo is served and walked from its first page along its own links, a few pages of each kind (addresses that differ
in an id alone are one kind), so that a new page is pictured without being listed anywhere. The card is walked step by
step.
"""

from __future__ import annotations

import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urljoin, urlsplit

import pypdfium2

from tests.support.card_pages import pages_within
from tests.support.chromium import chromium, launched
from tests.support.hands import Card, sign_in, stop_of
from tests.support.looks import page_faults, picture_faults, sheet_faults
from tests.support.server import COLDMARK, DemoServer, Server

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

WIDTHS = ((360, 740), (1440, 900))
MARGIN_MM = 5
STARTS_WITHIN_MS = 120_000
EMERGENCIES = ("injection", "burn", "crush", "fire", "spill")
SAMPLES = 3
_ID = re.compile(r"/(?:[0-9a-f]{8}-[0-9a-f-]{27}|[0-9a-f]{32,64}|\d+)(?=[/.])")
_NOT_PAGES = (".ics", ".json", ".toml", "/sign-out/")


@dataclass
class Walk:
    """The pictures taken so far and what is wrong with them."""

    folder: Path
    taken: int = 0
    faults: list[str] = field(default_factory=list)

    def keep(self, name: str, png: bytes, faults: list[str]) -> None:
        """Write the picture and note its faults."""
        (self.folder / f"{name}.png").write_bytes(png)
        self.taken += 1
        self.faults += [f"{name}: {fault}" for fault in (*picture_faults(png), *faults)]


def kind_of(path: str) -> str:
    """A page's kind: its path with ``ID`` for every id.

    >>> kind_of("/jobs/01937b5e-7c1a-7d3e-8f00-0123456789ab/kit/?units=us"), kind_of("/machines/12/")
    ('/jobs/ID/kit/', '/machines/ID/')
    """
    return _ID.sub("/ID", urlsplit(path).path)


def name_of(kind: str) -> str:
    """A file name for a kind of page.

    >>> name_of("/"), name_of("/jobs/ID/report.pdf")
    ('today', 'jobs-ID-report')
    """
    return kind.strip("/").removesuffix(".pdf").replace("/", "-") or "today"


def walk_pages(page: Page, walk: Walk, width: int, *, whose: str = "") -> dict[str, str]:
    """Picture the pages of each kind from the first page on; return the papers met, by kind.

    A job looks one way while it waits and another when it is done, so a kind is looked at again where it is linked to
    from another kind of page, a few times at most.
    """
    met: dict[str, list[str]] = {"/": ["/"]}
    ways: set[tuple[str, str]] = set()
    papers: dict[str, str] = {}
    waiting = ["/"]
    while waiting:
        path = waiting.pop(0)
        here = kind_of(path)
        page.goto(path, wait_until="networkidle")
        number = met[here].index(path) + 1
        name = whose + (name_of(here) if number == 1 else f"{name_of(here)}-{number}")
        picture(page, walk, f"{name}-{width}")
        if here == "/jobs/ID/" and page.locator("main form button.first").count():
            # A closed job without its report: make it, as its reader would.
            page.locator("main form button.first").click()
            page.wait_for_load_state("networkidle")
            picture(page, walk, f"{name}-reported-{width}")
        for target in links_of(page):
            kind = kind_of(target)
            if kind.endswith(".pdf"):
                papers.setdefault(kind, target)
            elif worth_a_look(kind, here, target, met, ways):
                ways.add((kind, here))
                met.setdefault(kind, []).append(target)
                waiting.append(target)
    return papers


def links_of(page: Page) -> Iterator[str]:
    """The page's links to pages and papers of the same house."""
    here = urlsplit(page.url).netloc
    for link in page.eval_on_selector_all("a[href]", "links => links.map(link => link.getAttribute('href'))"):
        parts = urlsplit(urljoin(page.url, link))
        if parts.netloc == here and not parts.path.startswith("/api/") and not parts.path.endswith(_NOT_PAGES):
            yield parts.path


def worth_a_look(kind: str, here: str, target: str, met: dict[str, list[str]], ways: set[tuple[str, str]]) -> bool:
    """Whether a link leads to a kind not met by this way yet, and to a page not met at all."""
    before = met.get(kind, [])
    return target not in before and len(before) < SAMPLES and (kind, here) not in ways


def walk_card(page: Page, walk: Walk) -> None:
    """Picture every step of the card, then every page that it comes to within its steps, until the job is closed."""
    page.goto("/")
    stop_of(page, "Bench digger").get_by_text(re.compile("^(Open|Go on with) the card$")).click()
    card = Card(page)
    card.settled()
    for number, _screen in enumerate(card.screens, start=1):
        card.go_to(number)
        picture_both(page, walk, f"card-{number:02d}")
    card.go_to(1)
    for name in pages_within(card):
        card.settled()
        picture_both(page, walk, f"card-{name}")


def walk_app(page: Page, walk: Walk) -> None:
    """Picture the screens of the app around the card, in the looks of day, sun and dark where they tell most."""
    page.goto("/phone/")
    page.get_by_role("article").first.wait_for()
    machine = page.get_by_role("link", name="Bench digger").first.get_attribute("href") or ""
    page.goto("/phone/#/outbox")
    page.get_by_text("Sums are worked out on this phone.").wait_for(timeout=STARTS_WITHIN_MS)
    for name, address, shows in (
        ("today", "#/", "Today"),
        ("machine", machine, "As last left"),
        ("new-job", f"{machine}/job", "Which tasks?"),
        ("sums", "#/sums", "The oil level"),
        ("outbox", "#/outbox", "Taken along"),
        ("urgent", "#/urgent", "What happened?"),
        *(
            (f"urgent-{kind}", f"#/urgent/{kind}", "Tell them")
            for kind in ("injection", "burn", "crush", "fire", "spill")
        ),
    ):
        page.goto(f"/phone/{address}")
        page.get_by_role("heading", name=shows).first.wait_for()
        picture_both(page, walk, f"app-{name}")
    page.goto("/phone/#/sums/level")
    page.get_by_role("button", name="Fill in an example").click()
    page.get_by_text("How this was worked out").wait_for()
    for look in ("day", "sun", "dark"):
        page.evaluate("look => document.documentElement.dataset.look = look", look)
        picture_both(page, walk, f"app-sum-{look}")


def picture_both(page: Page, walk: Walk, name: str) -> None:
    """Picture a page that cannot be come to twice at every width, the narrowest last."""
    for width, height in reversed(WIDTHS):
        page.set_viewport_size({"width": width, "height": height})
        picture(page, walk, f"{name}-{width}")


def picture(page: Page, walk: Walk, name: str) -> None:
    """Take one picture of the page in a window as tall as the page, so that what sticks to an edge does so once."""
    window = page.viewport_size
    if window is None:
        raise RuntimeError("the page has no window")
    faults = page_faults(page)
    tall = page.evaluate("Math.max(document.documentElement.scrollHeight, innerHeight)")
    page.set_viewport_size({"width": window["width"], "height": int(tall)})
    walk.keep(name, page.screenshot(), faults)
    page.set_viewport_size(window)


def picture_papers(page: Page, walk: Walk, papers: dict[str, str]) -> None:
    """Picture every page of every paper."""
    for kind, address in papers.items():
        answer = page.request.get(address)
        if answer.status != 200:
            walk.faults.append(f"{kind}: answered {answer.status}")
            continue
        with pypdfium2.PdfDocument(answer.body()) as document:
            for number, sheet in enumerate(document, start=1):
                for width, _height in WIDTHS:
                    name = f"{name_of(kind)}-page{number}-{width}"
                    scale = width / sheet.get_width()
                    image = sheet.render(scale=scale).to_pil()
                    image.save(walk.folder / f"{name}.png")
                    walk.taken += 1
                    faults = sheet_faults(image, margin_px=round(MARGIN_MM / 25.4 * 72 * scale))
                    walk.faults += [f"{name}: {fault}" for fault in faults]


def take_start(browser: Browser, server: Server, walk: Walk) -> None:
    """Picture the one page of an empty house, at every width."""
    for width, height in WIDTHS:
        context = browser.new_context(base_url=server.url, viewport={"width": width, "height": height})
        page = context.new_page()
        page.goto("/start/")
        picture(page, walk, f"start-{width}")
        context.close()


@contextmanager
def empty() -> Iterator[Server]:
    """An empty house, served for as long as it is needed."""
    with tempfile.TemporaryDirectory(prefix="coldmark-pictures-") as folder:
        server = Server(Path(folder) / "house")
        try:
            yield server.start()
        finally:
            server.kill()


@contextmanager
def demo() -> Iterator[DemoServer]:
    """The demo, loaded and served for as long as it is needed."""
    with tempfile.TemporaryDirectory(prefix="coldmark-pictures-") as folder:
        server = Server(Path(folder) / "house")
        subprocess.run([*COLDMARK, "demo", "--if-empty"], env=server.environment(), check=True)
        try:
            yield DemoServer.of(server.start())
        finally:
            server.kill()


def take_all(browser: Browser, served: DemoServer, walk: Walk) -> None:
    """Walk the demo at every width as the office and as an owner, then its papers and its card."""
    for width, height in WIDTHS:
        for person, whose in (("jonas", ""), ("edda", "owner-")):  # the office sees most; an owner, what is hers
            context = browser.new_context(base_url=served.server.url, viewport={"width": width, "height": height})
            page = context.new_page()
            for path in ("/sign-in/", "/nowhere/") if not whose else ():
                page.goto(path)
                picture(page, walk, f"{name_of(path)}-{width}")
            sign_in(page, person, served.password)
            papers = walk_pages(page, walk, width, whose=whose)
            page.goto("/sign-out/")
            picture(page, walk, f"{whose}sign-out-{width}")
            if (width, whose) == (WIDTHS[0][0], ""):
                picture_papers(page, walk, papers)
            context.close()
    context = browser.new_context(base_url=served.server.url)
    page = context.new_page()
    sign_in(page, "jonas", served.password)
    walk_card(page, walk)
    walk_app(page, walk)
    context.close()


def main() -> int:
    """Take all pictures into the folder of the first argument; 1 when something is wrong with one."""
    found = chromium()
    if found is None:
        sys.exit("script/pictures needs a Chromium: apt-get install -y chromium, or name one in COLDMARK_CHROMIUM")
    walk = Walk(Path(sys.argv[1]))
    walk.folder.mkdir(parents=True, exist_ok=True)
    with demo() as served, launched(found) as browser:
        take_all(browser, served, walk)
        with empty() as server:
            take_start(browser, server, walk)
    for fault in walk.faults:
        print(fault)
    print(f"{walk.taken} pictures in {walk.folder}, {len(walk.faults)} faults")
    return 1 if walk.faults else 0


if __name__ == "__main__":
    sys.exit(main())
