"""Every page as it is met in a browser: to be read and used by all, at a phone's width and at a desk's."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

import coldmark.demo
from coldmark.records.folder import demo_mark
from coldmark.web.forms import ACTS
from coldmark.web.urls import urlpatterns
from tests.support.axe import axe_faults
from tests.support.card_pages import pages_within
from tests.support.hands import Card, sign_in, stop_of, text_of
from tests.support.looks import page_faults
from tests.support.pictures import WIDTHS, kind_of, links_of

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.support.server import DemoServer, Server

pytestmark = pytest.mark.browser

PASSWORD = "seven slow herons"
DEMO = Path(next(iter(coldmark.demo.__path__)))
# What answers a press alone, or another program, and is no page.
NO_PAGES = {
    "/devices/ID/admit/",
    "/devices/ID/revoke/",
    "/jobs/ID/clock/",
    "/jobs/ID/open/",
    "/people/ID/active/",
    "/phone/sw.js",
    "/phone/worker.js",
    "/visits.ics",
}
# Pages that no link leads to for somebody who is signed in, looked at by tests of their own.
NO_LINK = {"/jobs/ID/card/", "/phone/", "/start/"}

# A viscosity's 40 and 100 °C are part of its name, in US laboratories too.
METRIC = re.compile(r"\d (L|N·m)\b|(?<!at 40)(?<!at 100) °C\b")
KINDS = {
    "caution",
    "meter",
    "do",
    "level_found",
    "sample",
    "tray_out",
    "tray_in",
    "close",
    "level_left",
    "add",
    "finish",
}


def looked_at(page: Page) -> list[str]:
    """What is wrong with the page as it stands, at a desk's width and at a phone's, in the colours of every look."""
    faults = []
    for width, height in reversed(WIDTHS):
        page.set_viewport_size({"width": width, "height": height})
        faults += [f"{kind_of(page.url)} at {width}: {fault}" for fault in (*page_faults(page), *axe_faults(page))]
    before = page.evaluate("document.documentElement.dataset.look")
    for look in ("dark", "sun"):
        page.evaluate("look => document.documentElement.dataset.look = look", look)
        faults += [f"{kind_of(page.url)}, {look}: {fault}" for fault in axe_faults(page, "color-contrast")]
    page.evaluate("look => document.documentElement.dataset.look = look", before)
    return faults


def pages_there_are() -> set[str]:
    """The kinds of page that the house has, by its addresses."""
    kinds = set()
    for pattern in urlpatterns:
        kind = "/" + re.sub(
            r"<\w+:(\w+)>", lambda found: {"name": "NAME", "act": "ACT"}.get(found[1], "ID"), str(pattern.pattern)
        )
        kinds |= {kind.replace("ACT", act) for act in ACTS} if "ACT" in kind else {kind}
    return {kind for kind in kinds if not kind.endswith((".pdf", ".toml", ".webmanifest"))} - NO_PAGES


def test_every_office_page_is_whole_and_usable_at_both_widths(phone: Page, demo_server: DemoServer) -> None:
    phone.goto("/sign-in/")
    faults = looked_at(phone)
    phone.goto("/nowhere/")
    faults += looked_at(phone)
    sign_in(phone, "jonas", demo_server.password)

    machine, job = machine_and_job(phone, "Bench digger")
    phone.goto(job)
    phone.get_by_role("button", name="Make the report").click()
    expect(phone.get_by_role("status")).to_contain_text("is issued")
    phone.get_by_text("Erase a paper").click()
    faults += looked_at(phone)
    phone.goto("/")
    stop_of(phone, "Bench digger").get_by_role("button", name="Open the card").click()
    card = Card(phone)
    card.at(re.compile("^Oil under pressure"))
    kinds = {"/sign-in/", *NO_LINK}
    for path in ("/", job, f"/jobs/{card.job}/", "/sign-out/"):
        phone.goto(path)
        for kind in walk(phone, without=kinds):
            faults += looked_at(phone)
            kinds.add(kind)
    for path in (machine, "/sums/level/?example"):
        phone.goto(path)
        if "example" in path:
            phone.get_by_role("button", name="Work it out").click()
            expect(phone.get_by_role("region", name="The answer")).to_be_visible()
        faults += looked_at(phone)
    assert not faults, "\n".join(faults)
    assert kinds >= pages_there_are()


def walk(page: Page, *, without: Collection[str] = ()) -> Iterator[str]:
    """Open one page of every kind, from the one that is open on along its own links; say the kind of each."""
    start = urlsplit(page.url).path
    met, waiting = {kind_here(start), *without}, [start]
    while waiting:
        path = waiting.pop(0)
        answer = page.goto(path)
        assert answer is not None
        assert answer.status == 200, path
        yield kind_here(path)
        for target in links_of(page):
            if kind_here(target) not in met and not target.endswith(".pdf") and not target.startswith("/api/"):
                met.add(kind_here(target))
                waiting.append(target)


def kind_here(path: str) -> str:
    """A page's kind; all sums are one."""
    return re.sub(r"^/sums/\w+/", "/sums/NAME/", kind_of(path))


def test_the_cards_screens_are_whole_and_usable_at_both_widths(phone: Page, demo_server: DemoServer) -> None:
    sign_in(phone, demo_server.name, demo_server.password)
    stop_of(phone, "Bench digger").get_by_role("button", name="Open the card").click()
    card = Card(phone)
    card.at(re.compile("^Oil under pressure"))
    kinds = dict.fromkeys(screen["kind"] for screen in card.screens)
    assert set(kinds) == KINDS
    faults = []
    for kind in kinds:
        card.go_to(card.first_of(kind))
        faults += [f"{kind}: {fault}" for fault in looked_at(phone)]
    card.go_to(1)
    for name in pages_within(card):
        faults += [f"{name}: {fault}" for fault in looked_at(phone)]
    assert not faults, "\n".join(faults)


def test_an_owner_reads_what_is_hers_and_nothing_else(phone: Page, desk: Page, demo_server: DemoServer) -> None:
    sign_in(desk, demo_server.name, demo_server.password)
    hers, others = (machine_and_job(desk, name) for name in ("Bench digger", "Hire 14"))
    papers: list[str] = []
    for job in (hers[1], others[1]):
        desk.goto(job)
        desk.get_by_role("button", name="Make the report").click()
        expect(desk.get_by_role("status")).to_contain_text("is issued")
        papers.append(desk.get_by_role("link", name=re.compile("^Download")).get_attribute("href") or "")

    sign_in(phone, "edda", demo_server.password)
    expect(phone.get_by_role("link", name="Bench digger").first).to_be_visible()
    kinds, faults = set(), []
    for kind in walk(phone):
        kinds.add(kind)
        faults += looked_at(phone)
        # What she may change is how she sees it, and her password.
        if kind not in {"/settings/", "/sign-out/"}:
            assert phone.locator("form[method=post], button:not([type=submit])").count() == 0, kind
    assert not faults, "\n".join(faults)
    assert kinds >= {"/", "/due/", "/jobs/ID/", "/machines/", "/machines/ID/", "/machines/ID/story/", "/settings/"}
    phone.goto(hers[1])
    with phone.expect_download() as downloaded:
        phone.get_by_role("link", name=re.compile("^Download")).click()
    text = " ".join(page.extract_text() for page in PdfReader(downloaded.value.path()).pages)
    assert "Bench digger" in text
    for path in (*others, papers[1], f"{others[1]}report.pdf", f"{hers[1]}card/", f"{hers[0]}meter/", "/people/"):
        answer = phone.goto(path)
        assert answer is not None
        assert answer.status == 404, path
        expect(phone.get_by_role("heading", level=1)).to_have_text("There is nothing here.")


def machine_and_job(page: Page, name: str) -> tuple[str, str]:
    """The addresses of a machine's page and of the page of its last closed job."""
    page.goto(f"/machines/?q={name}")
    page.get_by_role("link", name=re.compile(f"^{name}")).first.click()
    page.get_by_role("region", name="Jobs").wait_for()
    machine = urlsplit(page.url).path
    jobs = page.get_by_role("region", name="Jobs").get_by_role("link")
    hrefs = [job.get_attribute("href") or "" for job in jobs.all()]
    return machine, next(href for href in hrefs if not href.endswith("/card/"))


def test_us_units_are_shown_on_the_pages_and_in_the_cards_verdict(phone: Page, demo_server: DemoServer) -> None:
    sign_in(phone, demo_server.name, demo_server.password)
    phone.goto("/settings/")
    phone.get_by_role("radio", name=re.compile("^US customary")).check()
    phone.get_by_role("region", name="What you see").get_by_role("button", name="Keep").click()
    expect(phone.get_by_role("status")).to_be_visible()
    expect(phone.get_by_role("radio", name=re.compile("^US customary"))).to_be_checked()

    phone.goto("/")
    stop_of(phone, "Bench digger").get_by_role("link", name="Bench digger").click()
    expect(phone.get_by_role("heading", level=1, name="Bench digger")).to_be_visible()
    expect(phone.get_by_role("region", name="As last")).to_contain_text(re.compile(r"oil at \d+\s°F"))
    expect(phone.get_by_role("region", name="Its story")).to_contain_text(re.compile(r"\d\sgal out"))
    assert not METRIC.search(text_of(phone.get_by_role("main")))

    phone.goto("/")
    stop_of(phone, "Bench digger").get_by_role("button", name="Open the card").click()
    card = Card(phone)
    card.at(re.compile("^Oil under pressure"))
    card.go_to(card.first_of("level_found"))
    card.stand("Arm out, bucket curled")
    card.warm(air="50")
    card.drag_oil(30)
    card.record_level()
    card.at(re.compile(r"^Add \d\.\d+ gal now"))
    assert not METRIC.search(text_of(card.main))
    # The working is worked in the bench's units, and shows the reader's beside them.
    phone.get_by_text("How this was worked out").click()
    expect(card.main).to_contain_text(re.compile(r"t = \d+\s°C \(\d+\s°F\)"))
    expect(card.main).to_contain_text(re.compile(r"\d\sL \(\d+\.\d+\sgal\)"))


def test_a_new_house_comes_to_its_first_card(first_phone: Page, server: Server) -> None:
    page = first_phone
    make_first_person(page, server)

    # How cold it gets is asked for in the settings, where a wrong answer stays to be put right.
    page.goto("/settings/")
    coldest = page.get_by_label("Coldest start to reckon with, in °C")
    for typed, says in (("brr", "brr is not a number; write it like -15"), ("-60", "-60")):
        coldest.fill(typed)
        page.get_by_role("region", name="The business").get_by_role("button", name="Keep").click()
        expect(page.locator("#id_coldest_c_error")).to_contain_text(says)
        expect(coldest).to_have_value(typed)
    coldest.fill("-20")
    page.get_by_role("region", name="The business").get_by_role("button", name="Keep").click()
    expect(page.get_by_role("status")).to_be_visible()

    # Today names the steps to the first machine, and each is one press away.
    next_step(page, "New customer")
    page.get_by_label("Name", exact=True).fill("Alder Yard")
    page.get_by_role("button", name="Enter it").click()
    page.get_by_role("link", name="New site").click()
    page.get_by_label("Name", exact=True).fill("Alder, lower pit")
    page.get_by_role("button", name="Enter it").click()

    next_step(page, "Keep a sheet")
    keep_after_mending(page, (DEMO / "sheets" / "excavator_5t.toml").read_text(encoding="utf-8"))
    next_step(page, "Keep an oil")
    page.get_by_label("A file").set_input_files(DEMO / "oils" / "varnol_hm46.toml")
    page.get_by_role("button", name="Check and keep it").click()
    expect(page.get_by_role("link", name="Varnol Hydro 46")).to_be_visible()
    next_step(page, "New machine")
    page.goto("/customers/")
    page.get_by_role("link", name="Alder Yard").click()
    page.get_by_role("link", name="New machine").click()
    page.get_by_label("Name", exact=True).fill("Pit digger")
    page.get_by_label("Data sheet").select_option("Maverin MA50")
    page.get_by_label("What the hour meter shows now, in hours").fill("1480,5")
    assert not looked_at(page)
    page.get_by_role("button", name="Enter it").click()
    expect(page.get_by_role("main")).to_contain_text("Alder Yard, Alder, lower pit")
    expect(page.get_by_role("main")).to_contain_text("1480 h")
    assert not looked_at(page)

    # A job wants a task; then its card opens, offers the oil, and the machine's list says that it is open.
    page.get_by_role("link", name="Make a job").click()
    page.get_by_role("button", name="Open it now").click()
    expect(page.get_by_role("alert")).to_have_text(
        "tasks = nothing is not right: it must be at least one task, ticked."
    )
    page.get_by_role("checkbox", name=re.compile("Hydraulic service")).check()
    page.get_by_role("button", name="Open it now").click()
    card = Card(page)
    card.acknowledge()
    card.at("Read the hour meter")
    card.read_meter(1480.9)
    card.go_to(card.first_of("add"))
    expect(card.button(re.compile("^Varnol Hydro 46"))).to_be_visible()
    page.goto("/machines/")
    expect(page.get_by_role("link", name=re.compile("^Pit digger"))).to_contain_text("job open")


def make_first_person(page: Page, server: Server) -> None:
    """An empty house asks for its first person, keeps what was typed beside a mistake, and knows no demo."""
    page.goto("/")
    expect(page.get_by_role("heading", level=1, name="Start your house")).to_be_visible()
    assert not looked_at(page)
    page.get_by_label("Your business").fill("Fenwater Service")
    page.get_by_label("Your name").fill("Ida Fenn")
    page.get_by_label("Name to sign in with").fill("ida")
    page.get_by_label("Password", exact=True).fill("short")
    page.get_by_label("The same password again").fill("short")
    page.get_by_role("button", name="Start").click()
    expect(page.get_by_role("main")).to_contain_text(re.compile("password.*10|ten", re.IGNORECASE))
    expect(page.get_by_label("Your business")).to_have_value("Fenwater Service")
    assert not page_faults(page)
    page.get_by_label("Password", exact=True).fill(PASSWORD)
    page.get_by_label("The same password again").fill(PASSWORD)
    page.get_by_role("button", name="Start").click()

    # In, with nothing planned and a way on; the demo's people are unknown here.
    expect(page.get_by_role("heading", level=1, name=re.compile("^Today"))).to_be_visible()
    expect(page.get_by_role("main")).to_contain_text("Nothing is planned for today.")
    assert not page_faults(page)
    page.goto("/sign-out/")
    page.get_by_role("button", name="Sign out").click()
    assert "demo" not in page.get_by_role("main").inner_text().lower()
    assert not demo_mark(server.folder).exists()
    page.goto("/start/")
    expect(page.get_by_role("heading", level=1, name="Sign in")).to_be_visible()
    page.get_by_label("Name").fill("mara")
    page.get_by_label("Password", exact=True).fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("main")).to_contain_text("Name or password is not right.")
    expect(page.get_by_label("Name")).to_have_value("mara")
    page.get_by_label("Name").fill("ida")
    page.get_by_label("Password", exact=True).fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", level=1, name=re.compile("^Today"))).to_be_visible()


def next_step(page: Page, act: str) -> None:
    """Take the step to the first machine that Today marks as the next."""
    page.goto("/")
    expect(page.get_by_role("main")).to_contain_text("There is no machine yet.")
    expect(page.locator("main a.first")).to_have_text(act)
    page.get_by_role("link", name=act).click()


def keep_after_mending(page: Page, text: str) -> None:
    """Keep a sheet that has faults at first: all are told with their lines, and the text is there to be mended."""
    wrong = text.replace('kind = "excavator"', 'kind = "digger"', 1).replace("hot_c = 57", 'hot_c = "warm"', 1)
    wrong = wrong.replace("count = 6", "cuont = 6", 1)
    page.get_by_label("A file").set_input_files(
        {"name": "ma50.toml", "mimeType": "text/plain", "buffer": wrong.encode()}
    )
    page.get_by_role("button", name="Check and keep it").click()
    lines = wrong.splitlines()
    expect(page.get_by_role("alert").get_by_role("listitem")).to_have_text(
        [
            re.compile(rf"^Line {lines.index(faulty) + 1}: [a-z_.]+{says}")
            for faulty, says in (
                ('kind = "digger"', 'kind = "digger": it must be one of excavator, .*'),
                ('hot_c = "warm"', 'hot_c = "warm": it must be a number'),
                ("[housings.return.fasteners]", "count: it is needed"),
                ("cuont = 6", "cuont: there is no such key here; the nearest is count"),
            )
        ]
    )
    assert not looked_at(page)
    kept = page.get_by_label("Or the text itself")
    expect(kept).to_have_value(wrong)
    kept.evaluate("(box, text) => box.value = text", text)  # typing so much would take a browser many seconds
    page.get_by_role("button", name="Check and keep it").click()
    expect(page.get_by_role("status")).to_have_text("The data sheet is kept.")
