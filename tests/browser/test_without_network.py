"""The app at the machine with the network off and the server dead: it opens, works a whole job, and sends it once."""

from __future__ import annotations

import re
from collections import Counter
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from tests.browser.test_pages import looked_at
from tests.browser.test_whole_job import due_of, last_steps, leave_level, open_and_shut, prepare, sign_and_close
from tests.published.asking import ROWS, check, key_of, told_of
from tests.support.axe import axe_faults
from tests.support.hands import Card, sign_in, until_laid
from tests.support.kept import on_the_server
from tests.support.looks import page_faults
from tests.support.own_phone import USUAL_LETTERS_PX, OwnPhone
from tests.support.phone_bench import ask_on_a_page
from tests.support.server import wait_until

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Locator, Page

    from tests.support.server import DemoServer

pytestmark = pytest.mark.browser

STARTS_WITHIN_MS = 120_000


def take_along(page: Page, served: DemoServer) -> None:
    """Sign in, open the app, and wait until it is laid on the phone with all that it takes along."""
    sign_in(page, served.name, served.password)
    page.goto("/phone/")
    expect(page.get_by_role("heading", level=1, name="Today")).to_be_visible()
    until_laid(page)
    page.goto("/phone/#/outbox")
    expect(page.get_by_text("Sums are worked out on this phone.")).to_be_visible(timeout=STARTS_WITHIN_MS)
    expect(page.get_by_text(re.compile("^As of "))).not_to_contain_text("Asking")


def leave_the_network(page: Page, served: DemoServer) -> None:
    page.context.set_offline(True)
    served.server.kill()


def back_in_range(page: Page, served: DemoServer) -> None:
    served.server.start()
    page.context.set_offline(False)


def sent(page: Page) -> None:
    """Wait until the server has everything; the app may just have asked in vain and be pausing."""
    expect(page.get_by_role("button", name="All sent")).to_be_visible(timeout=60_000)


def digger(page: Page) -> Locator:
    return page.get_by_role("article").filter(has=page.get_by_role("heading", name="Bench digger"))


def open_card(page: Page) -> None:
    digger(page).get_by_role("button", name=re.compile("^Open the card")).click()


@pytest.fixture
def own_phone(browser: Browser, demo_server: DemoServer, tmp_path: Path) -> Iterator[OwnPhone]:
    """A phone whose browser can be killed, with letters at twice their usual size."""
    kind, folder = browser.browser_type, tmp_path / "own-phone"
    own = OwnPhone(kind, folder, demo_server.server.url, letters_px=2 * USUAL_LETTERS_PX)
    try:
        yield own
    finally:
        own.close()


class LookedAt(Card):
    """The card in hands that look at every page they come to."""

    def __init__(self, page: Page, faults: list[str]) -> None:
        super().__init__(page)
        self.faults = faults

    def at(self, title: str | re.Pattern[str]) -> None:
        super().at(title)
        self.faults += [f"{self.title}: {fault}" for fault in page_faults(self.page)]


def faults_around_the_card(page: Page) -> list[str]:
    """What is wrong with the app's other screens, as they stand in this browser."""
    assert page.evaluate("getComputedStyle(document.documentElement).fontSize") == "36px", "letters at twice their size"
    faults = []
    machine = digger(page).get_by_role("link", name="Bench digger", exact=True).get_attribute("href") or ""
    there: dict[str, str | re.Pattern[str]] = {
        "#/sums": "Sums",
        "#/sums/level": re.compile(r"\?$"),
        "#/urgent": "What happened?",
        "#/urgent/injection": "Oil went under the skin",
        "#/outbox": "What waits to be sent",
        machine: "As last left",
        "#/": "Today",
    }
    for place, title in there.items():
        page.goto(f"/phone/{place}")
        expect(page.get_by_role("heading", name=title).first).to_be_visible(timeout=STARTS_WITHIN_MS)
        faults += [f"{place}: {fault}" for fault in page_faults(page)]
    return faults


def test_a_whole_job_without_a_network_arrives_once(
    own_phone: OwnPhone, second_phone: Page, demo_server: DemoServer
) -> None:
    phone = own_phone.start()
    take_along(phone, demo_server)
    leave_the_network(phone, demo_server)
    phone.goto("/phone/")
    phone.reload()
    faults = faults_around_the_card(phone)
    due = due_of(digger(phone).inner_text())
    read = due + 14.0
    open_card(phone)
    card = LookedAt(phone, faults)
    prepare(card, read)
    open_and_shut(card)
    leave_level(card)

    # The phone's power goes: what comes back stands at the same step, with what was recorded.
    address, step = phone.url, card.step
    own_phone.kill()
    again = own_phone.start()
    again.context.set_offline(True)
    again.goto(address)
    card = LookedAt(again, faults)
    card.at("Look for leaks at every joint opened")
    assert card.step == step
    last_steps(card, read + 0.4)
    sign_and_close(card)
    assert not faults, "\n".join(faults)
    job = card.job
    code = again.get_by_role("region", name="Closing code").locator(".closing-signs").inner_text()
    expect(again.get_by_role("button", name=re.compile("^Not sent yet"))).to_be_visible()

    back_in_range(again, demo_server)
    sent(again)
    found = on_the_server(demo_server.server.folder, job)
    numbers = [number for _, number, _ in found]
    assert numbers == list(range(numbers[0], numbers[0] + len(numbers))), "each once, and none lost"
    kinds = Counter(kind for kind, _, _ in found)
    assert (kinds["meter_read"], kinds["level_read"], kinds["signature"], kinds["job_closed"]) == (2, 3, 1, 1)
    again.goto(f"/jobs/{job}/")
    code = re.sub(r"\s", "", code)
    expect(again.get_by_role("main")).to_contain_text(code)
    again.get_by_role("link", name="Bench digger").first.click()
    again.wait_for_url("**/machines/*/")
    expect(again.get_by_role("main")).to_contain_text(code)
    faults = check_it_as_a_stranger(second_phone, code)
    assert not faults, "\n".join(faults)


def check_it_as_a_stranger(page: Page, code: str) -> list[str]:
    """Whoever has a closing code checks it without an account; return what is wrong with the pages met."""
    page.goto("/check/")
    faults = looked_at(page)
    page.get_by_label("The code").fill(code[:-1] + ("2" if code[-1] != "2" else "3"))
    page.keyboard.press("Enter")
    expect(page.get_by_text("has a wrong sign or two that are swapped")).to_be_visible()
    faults += looked_at(page)
    page.get_by_label("The code").fill(code.lower().replace("-", " "))
    page.get_by_role("button", name="Check it").click()
    answer = page.get_by_role("status")
    expect(answer).to_contain_text(code)
    expect(answer).to_contain_text("The job was closed on")
    expect(answer).not_to_contain_text("digger")
    return faults + looked_at(page)


def a_page_of_somebody_elses_answers(page: Page) -> None:
    """A network's own page answers for the server: it is told, and what was taken along stays."""
    portal = "<!doctype html><title>Welcome</title><p>Sign in to the guest network.</p>"
    page.route("**/api/**", lambda route: route.fulfill(status=200, content_type="text/html", body=portal))
    page.reload()
    page.get_by_role("button", name="Take along what is new").click()
    expect(page.get_by_role("main")).to_contain_text("answers in its place")
    page.goto("/phone/#/")
    expect(page.get_by_role("article").first).to_be_visible()
    held = page.evaluate("indexedDB.databases().then(all => all.map(({ name }) => name))")
    assert "coldmark held" in held, "a stranger's page is no reason to drop what was taken along"
    page.unroute("**/api/**")


def serve_a_newer_version(served: DemoServer, folder: Path) -> None:
    """Start the server anew with another version of the app, as after an update of the house."""
    worker = folder / "phone" / "sw.js"
    worker.parent.mkdir(parents=True)
    worker.write_text(served.server.get("/phone/sw.js")[2] + "\n// a newer one\n", encoding="utf-8")
    served.server.kill()
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("DJANGO_SETTINGS_MODULE", "tests.support.newer_app")
        patched.setenv("NEWER_APP", str(folder))
        served.server.start()


# What the browser does by itself now and then: ask whether there is a newer version of the app.
ASK_FOR_NEWER = "async () => (await navigator.serviceWorker.getRegistration()).update()"
WAITS = "async () => Boolean((await navigator.serviceWorker.getRegistration()).waiting)"


def a_newer_version_waits_for_the_card(page: Page, served: DemoServer, folder: Path) -> None:
    """A newer version does not start while a card is open, in whichever window, and starts when none is."""
    page.goto("/phone/")
    open_card(page)
    expect(page.get_by_role("banner")).to_contain_text("Step ")
    other = page.context.new_page()
    other.goto("/phone/")
    expect(other.get_by_role("heading", level=1, name="Today")).to_be_visible()
    serve_a_newer_version(served, folder)
    other.evaluate(ASK_FOR_NEWER)
    start = other.get_by_role("button", name="Start it now")
    start.click(timeout=STARTS_WITHIN_MS)
    expect(other.get_by_role("alert")).to_contain_text("card")
    assert page.evaluate(WAITS)
    page.reload()
    expect(page.get_by_role("banner")).to_contain_text("Step ")
    assert page.evaluate(WAITS), "it waits for a card whose page is loaded anew as well"
    page.goto("/phone/#/")
    expect(page.get_by_role("heading", level=1, name="Today")).to_be_visible()
    with other.expect_navigation(wait_until="load"):
        start.click()
    expect(other.get_by_role("heading", level=1, name="Today")).to_be_visible()
    expect(start).to_have_count(0)
    assert not other.evaluate(WAITS)
    other.close()


# As on a phone on which nothing can be worked out.
NO_WORKERS = "window.Worker = class { constructor() { throw new Error('no workers here'); } };"
CARDS = """() => new Promise((done, fail) => {
  const asked = indexedDB.open("coldmark held");
  asked.onerror = fail;
  asked.onsuccess = () => {
    const keys = asked.result.transaction("cards").objectStore("cards").getAllKeys();
    keys.onsuccess = () => { done(keys.result.length); asked.result.close(); };
  };
})"""


def records_without_python(page: Page, served: DemoServer) -> None:
    """Where the bench cannot start, cards come from the server, open without a network, and take what is recorded."""
    page.add_init_script(NO_WORKERS)
    sign_in(page, "jonas", served.password)
    page.goto("/phone/")
    until_laid(page)
    wait_until(lambda: page.evaluate(CARDS) > 1, within_s=30, what="cards from the server")
    page.context.set_offline(True)
    page.reload()
    others = page.get_by_role("article").filter(has_not=page.get_by_role("heading", name="Bench digger"))
    others.get_by_role("button", name=re.compile("^Open the card")).first.click()
    Card(page).press("Read and done")
    expect(page.get_by_role("banner")).to_contain_text("Step 2 of")
    expect(page.get_by_role("button", name=re.compile("^Not sent yet"))).to_be_visible()
    page.reload()
    expect(page.get_by_role("progressbar")).to_have_attribute("value", "1")
    page.context.set_offline(False)
    sent(page)


# As where a person has site data blocked: whoever but asks for what the browser keeps is refused.
BLOCKED = """for (const name of ["localStorage", "indexedDB", "caches"]) Object.defineProperty(window, name, {
  get() { throw new DOMException("Access is denied for this document.", "SecurityError"); } });"""
# As while another page holds an older database of the app's: it is not opened.
HELD = """const open = IDBFactory.prototype.open;
IDBFactory.prototype.open = function (name) {
  const asked = open.call(this, `${name} that is held`);
  const silent = (event) => event.stopImmediatePropagation();
  for (const end of ["upgradeneeded", "success", "error"]) asked.addEventListener(end, silent);
  setTimeout(() => asked.dispatchEvent(new Event("blocked")));
  return asked;
};"""


def emergency_opens_whatever_is_kept(page: Page) -> None:
    """Where nothing can be read of what is kept, the emergency card is one touch away all the same."""
    for script, says in ((BLOCKED, "lets nothing be kept"), (HELD, "An older version")):
        fresh = page.context.new_page()
        fresh.add_init_script(script)
        fresh.goto("/phone/")
        expect(fresh.get_by_role("alert")).to_contain_text(says)
        fresh.get_by_role("link", name="Emergency").click()
        expect(fresh.get_by_role("heading", level=1, name="What happened?")).to_be_visible()
        assert not page_faults(fresh)
        fresh.close()


PUBLISHED = [{"do": "sum", "key": key_of(row), "told": told_of(row)} for row in ROWS]


def works_out_what_is_printed(page: Page) -> list[dict[str, Any]]:
    """The phone's Python answers the published checks as the server does; return its answers."""
    answers = ask_on_a_page(page, PUBLISHED)
    for row, answer in zip(ROWS, answers, strict=True):
        check(row, answer["ok"]["fields"][row.asked.split(".")[1]]["value"])
    return answers


def times_and_refuses(page: Page, look: Callable[[], None]) -> None:
    """At a machine something is timed, and a part is refused: both stand there at once, and the last is taken back."""
    main = page.get_by_role("main")
    page.get_by_role("link", name="Time a function, or measure a drift").click()
    expect(page.get_by_role("button", name="Boom up")).to_be_visible()
    look()
    page.get_by_role("button", name="Something else").click()
    page.get_by_role("button", name="A time from end to end").click()
    expect(page.get_by_role("alert")).to_contain_text("The name = nothing is not right")
    page.get_by_label("What do you call it?").fill("Bucket curl")
    look()
    page.get_by_role("button", name="A time from end to end").click()
    expect(main).to_contain_text("Nobody under it or within its reach")
    look()
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("button", name="Go on").click()
    expect(page.get_by_role("alert")).to_contain_text("a number from 0.1 to 3600 s would be, such as 3.4")
    page.get_by_label("Time from end to end").fill("4,1")
    look()
    page.reload()  # an interruption: it is asked on from there
    expect(page.get_by_label("Time from end to end")).to_have_value("4,1")
    page.get_by_role("button", name="Go on").click()
    page.get_by_label("Oil temperature").fill("50")
    page.get_by_text("Load and engine speed, where they are known").click()
    look()
    page.get_by_role("button", name="Record 4.1 s").click()
    expect(main).to_contain_text("Measured 4.1 s, for the first time", timeout=STARTS_WITHIN_MS)
    expect(page.get_by_role("heading", name="Bucket curl")).to_be_in_viewport()
    expect(main).to_contain_text("Timed function. Recorded at")
    for number, full in (("YY-2", False), ("ZZ-1", True)):
        refuse(page, number, look, full=full)
        expect(main).to_contain_text(f"Not for this machine: {number}")
    look()
    page.get_by_role("button", name="Undo").click()
    expect(main).not_to_contain_text("Not for this machine: ZZ-1")
    expect(main).to_contain_text("Not for this machine: YY-2")


# As on a phone that has room for what is recorded, and none for what is being filled in.
FULL = """() => {
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (value, key) {
    if (!String(key).startsWith("refused ")) return put.call(this, value, key);
    throw new DOMException("The quota has been exceeded.", "QuotaExceededError");
  };
}"""


def refuse(page: Page, number: str, look: Callable[[], None], *, full: bool) -> None:
    """Say of a part at hand that it is not the right one; a full phone says what it cannot keep, and records it."""
    page.get_by_role("link", name="A part was refused").click()
    page.get_by_role("button", name=re.compile("^return element,")).click()
    page.get_by_role("button", name="Go on").click()
    expect(page.get_by_role("alert")).to_contain_text("1 to 40 characters, as printed on it")
    page.get_by_label("The number on it").fill(number)
    look()
    page.get_by_role("button", name="Go on").click()
    if full:
        page.evaluate(FULL)
    page.get_by_role("button", name="Too long").click()
    expect(page.get_by_role("heading", level=1, name=number)).to_be_visible()
    look()
    if full:
        expect(page.get_by_role("alert")).to_contain_text("This phone has no room left")
    page.get_by_role("button", name="Record it as refused").click()
    expect(page.get_by_role("heading", level=1, name="Bench digger")).to_be_visible()
    expect(page.get_by_role("main")).not_to_contain_text("could not be recorded")


def test_day_machine_sums_and_emergency_open_without_a_network(
    phone: Page, second_phone: Page, demo_server: DemoServer, tmp_path: Path
) -> None:
    records_without_python(second_phone, demo_server)
    take_along(phone, demo_server)
    in_range = ask_on_a_page(phone, PUBLISHED[:1])
    a_page_of_somebody_elses_answers(phone)
    a_newer_version_waits_for_the_card(phone, demo_server, tmp_path / "newer")
    leave_the_network(phone, demo_server)
    phone.goto("/phone/")
    phone.reload()
    main, faults = phone.get_by_role("main"), list[str]()

    def look() -> None:
        faults.extend(f"{phone.url}: {fault}" for fault in (*page_faults(phone), *axe_faults(phone)))

    expect(phone.get_by_role("heading", level=1, name="Today")).to_be_visible()
    look()
    digger(phone).get_by_role("link", name="What to bring").click()
    expect(phone.get_by_role("heading", level=1, name="What to bring")).to_be_visible()
    look()
    phone.go_back()
    phone.get_by_role("link", name="Bench digger", exact=True).click()
    expect(phone.get_by_role("heading", name="As last left")).to_be_visible(timeout=STARTS_WITHIN_MS)
    expect(main.get_by_role("img", name=re.compile("^Photo 1 of"))).to_be_visible()
    look()

    machine = phone.url
    times_and_refuses(phone, look)

    # A job that nobody planned, on a machine that is here.
    phone.get_by_role("link", name="Make a job").click()
    phone.get_by_role("button", name="Open the job").click()
    expect(phone.get_by_role("alert")).to_have_text("Touch at least one task.")
    task = phone.get_by_role("button", name=re.compile("^Engine oil and filter"))
    task.click()
    look()
    phone.reload()
    expect(task).to_have_attribute("aria-pressed", "true")
    phone.get_by_role("button", name="Open the job").click()
    expect(phone.get_by_role("banner")).to_contain_text("Step 1 of")
    job = Card(phone).job

    emergency_opens_whatever_is_kept(phone)
    phone.get_by_role("link", name="Emergency").click()
    phone.get_by_role("link", name="Oil went under the skin").click()
    expect(main).to_contain_text("High-pressure injection injury")
    expect(main).to_contain_text("used for work on Bench digger")
    look()
    phone.get_by_role("link", name="Sums").click()
    phone.get_by_label("What is it about?").fill("tighten cover")
    phone.get_by_role("link", name=re.compile("order")).first.click()
    phone.get_by_role("button", name="Fill in an example").click()
    expect(phone.get_by_text("How this was worked out")).to_be_visible()
    look()
    phone.goto("/phone/#/sums/level")
    phone.get_by_role("button", name="Work it out").click()
    expect(phone.get_by_role("alert")).to_contain_text("is empty; it is needed.")
    phone.get_by_role("button", name="Fill in an example").click()
    expect(main.get_by_text(re.compile(r"^(Add|It is right|Drain|Nothing)")).first).to_be_visible()
    look()
    phone.get_by_role("link", name="Today").click()
    expect(phone.get_by_role("heading", name="Open jobs")).to_be_visible()
    assert not faults, "\n".join(faults)
    assert works_out_what_is_printed(phone)[:1] == in_range

    back_in_range(phone, demo_server)
    sent(phone)
    phone.goto(f"/jobs/{job}/")
    expect(phone.get_by_role("main")).to_contain_text("Engine oil and filter")
    phone.goto(f"/machines/{machine.rpartition('/')[2]}/")
    page = phone.get_by_role("main")
    expect(page).to_contain_text("Measured 4.1 s, for the first time")
    expect(page).not_to_contain_text("Not for this machine: ZZ-1")
    expect(page).to_contain_text("Not for this machine: YY-2")
