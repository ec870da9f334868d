"""The app at the machine with the network off and the server dead: it opens, works a whole job, and sends it once."""

from __future__ import annotations

import re
from collections import Counter
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.test_pages import looked_at
from tests.browser.test_whole_job import due_of, last_steps, leave_level, open_and_shut, prepare, sign_and_close
from tests.published.asking import ROWS, check, key_of, told_of
from tests.support.axe import axe_faults
from tests.support.hands import Card, sign_in
from tests.support.kept import on_the_server
from tests.support.looks import page_faults
from tests.support.phone_bench import ask_on_a_page

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.support.server import DemoServer

pytestmark = pytest.mark.browser

LAID = "async () => (await navigator.serviceWorker.getRegistration())?.active?.state === 'activated'"
STARTS_WITHIN_MS = 120_000


def take_along(page: Page, served: DemoServer) -> None:
    """Sign in, open the app, and wait until it is laid on the phone with all that it takes along."""
    sign_in(page, served.name, served.password)
    page.goto("/phone/")
    expect(page.get_by_role("heading", level=1, name="Today")).to_be_visible()
    page.wait_for_function(LAID, timeout=STARTS_WITHIN_MS)
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


def test_a_whole_job_without_a_network_arrives_once(phone: Page, second_phone: Page, demo_server: DemoServer) -> None:
    take_along(phone, demo_server)
    leave_the_network(phone, demo_server)
    phone.goto("/phone/")
    phone.reload()
    place = phone.get_by_role("article").filter(has=phone.get_by_role("heading", name="Bench digger"))
    due = due_of(place.inner_text())
    read = due + 14.0
    place.get_by_role("button", name=re.compile("^Open the card")).click()
    card = Card(phone)
    prepare(card, read)
    open_and_shut(card)
    leave_level(card)

    # The phone is dropped: what comes back stands at the same step, with what was recorded.
    address, step, context = phone.url, card.step, phone.context
    phone.close()
    again = context.new_page()
    again.goto(address)
    card = Card(again)
    card.at("Look for leaks at every joint opened")
    assert card.step == step
    last_steps(card, read + 0.4)
    sign_and_close(card)
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
    assert not (faults := check_it_as_a_stranger(second_phone, code)), "\n".join(faults)


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
    page.unroute("**/api/**")


def works_out_what_is_printed(page: Page) -> None:
    """The phone's Python answers the published checks as the server does."""
    published = [{"do": "sum", "key": key_of(row), "told": told_of(row)} for row in ROWS]
    for row, answer in zip(ROWS, ask_on_a_page(page, published), strict=True):
        check(row, answer["ok"]["fields"][row.asked.split(".")[1]]["value"])


def test_day_machine_sums_and_emergency_open_without_a_network(phone: Page, demo_server: DemoServer) -> None:
    take_along(phone, demo_server)
    a_page_of_somebody_elses_answers(phone)
    leave_the_network(phone, demo_server)
    phone.goto("/phone/")
    phone.reload()
    main, faults = phone.get_by_role("main"), list[str]()

    def look() -> None:
        faults.extend(f"{phone.url}: {fault}" for fault in (*page_faults(phone), *axe_faults(phone)))

    expect(phone.get_by_role("heading", level=1, name="Today")).to_be_visible()
    look()
    phone.get_by_role("link", name="Bench digger").click()
    expect(phone.get_by_role("heading", name="As last left")).to_be_visible(timeout=STARTS_WITHIN_MS)
    expect(main.get_by_role("img", name=re.compile("^Photo 1 of"))).to_be_visible()
    look()

    # A job that nobody planned, on a machine that is here.
    phone.get_by_role("link", name="Make a job").click()
    phone.get_by_role("button", name="Open the job").click()
    expect(phone.get_by_role("alert")).to_have_text("Touch at least one task.")
    phone.get_by_role("button", name=re.compile("^Engine oil and filter")).click()
    look()
    phone.get_by_role("button", name="Open the job").click()
    expect(phone.get_by_role("banner")).to_contain_text("Step 1 of")
    job = Card(phone).job

    phone.get_by_role("link", name="Emergency").click()
    phone.get_by_role("link", name="Oil went under the skin").click()
    expect(main).to_contain_text("High-pressure injection injury")
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
    works_out_what_is_printed(phone)

    back_in_range(phone, demo_server)
    sent(phone)
    phone.goto(f"/jobs/{job}/")
    expect(phone.get_by_role("main")).to_contain_text("Engine oil and filter")
