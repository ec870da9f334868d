"""What is said instead of typed, an element held against the old one, and the code that a finished job is left with."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import expect

from coldmark.bench.closing import closing
from tests.support.hands import Card, sign_in, stop_of
from tests.support.kept import notes_on_the_phone
from tests.support.looks import page_faults
from tests.support.server import wait_until

if TYPE_CHECKING:
    from playwright.sync_api import Page, Route

    from tests.support.server import DemoServer

pytestmark = pytest.mark.browser

PHOTO = Path(__file__).parents[2] / "src/coldmark/demo/photos/hose.jpg"


def test_said_and_shown(phone: Page, demo_server: DemoServer) -> None:
    sign_in(phone, demo_server.name, demo_server.password)
    stop_of(phone, "Bench digger").get_by_role("link", name="Kit").click()
    phone.get_by_role("button", name="Open the card").click()
    card = Card(phone)
    card.acknowledge()
    say_a_finding(card)
    leave_while_speaking(card)
    hold_against_the_old_one(card)
    finish_as_the_server_tells(card)
    finish(card)


def facts_of(card: Card, kind: str) -> list[dict[str, Any]]:
    """The facts of a kind that the server has of the job."""
    facts = card.page.request.get(f"/api/jobs/{card.job}/card").json()["facts"]
    return [fact for fact in facts if fact["kind"] == kind]


def say_a_finding(card: Card) -> None:
    """Refused a microphone the card says so and is typed on; with one it is said, heard, dropped, and said anew."""
    card.press("Found something")
    for title in ("What is it?", "Where is it?", "When does it want doing?"):
        card.at(title)
        card.main.get_by_role("group", name=title).get_by_role("button").first.click()
    card.press("Say it")
    expect(card.main.get_by_role("alert")).to_contain_text("The microphone is not allowed here.")
    card.page.get_by_label("What do you advise?").fill("A new hose.")
    card.page.context.grant_permissions(["microphone"])
    say(card)
    card.press("Drop what was said")
    expect(card.button("Listen to it")).to_have_count(0)
    begin_to_say(card)
    # Somebody is hurt: the recording ends, and the very page is there when the card is open again, with what was said.
    card.page.get_by_role("link", name="Emergency").click()
    expect(card.page.get_by_role("heading", level=1, name="What happened?")).to_be_visible()
    card.page.go_back()
    expect(card.main).to_contain_text(SAID)
    expect(card.page.get_by_label("What do you advise?")).to_have_value("A new hose.")
    card.press("Listen to it")
    expect(card.main.get_by_role("alert")).to_have_count(0)
    assert not page_faults(card.page)
    card.press("Keep this finding")
    expect(card.main).to_contain_text("The finding is kept.")
    card.all_sent()
    (finding,) = facts_of(card, "finding")
    said = card.page.request.get(f"/api/attachments/{finding['body']['voice']}")
    assert said.headers["content-type"] == "audio/webm"
    assert said.body().startswith(b"\x1a\x45\xdf\xa3")  # RFC 8794: how every EBML file begins


SAID = re.compile(r"Said: 0:0[1-9]")


def begin_to_say(card: Card) -> None:
    card.press(re.compile("^Say it"))
    expect(card.page.get_by_role("timer")).to_contain_text(re.compile(r"Speak now\. 1:5[0-8] left\."))


def say(card: Card) -> None:
    begin_to_say(card)
    card.press("Stop and keep it")
    expect(card.main).to_contain_text(SAID)


def leave_while_speaking(card: Card) -> None:
    """What is begun in one job stays with it, whatever is opened meanwhile; who keeps it while speaking keeps both."""
    own = card.job
    card.page.goto("/phone/#/")
    others = card.page.get_by_role("article").filter(has_not=card.page.get_by_role("heading", name="Bench digger"))
    others.get_by_role("button", name=re.compile("^Open the card")).first.click()
    card.page.wait_for_url(re.compile("#/job/"))
    card.settled()
    other = card.job
    open_job(card, own)
    card.go_to(card.first_of("tray_out"))
    card.touch("return element")
    card.press("damaged")
    card.page.get_by_label("Anything to add").fill("A dent beside the seam.")
    begin_to_say(card)
    open_job(card, other)

    def heard() -> list[tuple[str, bool]]:
        return [
            (job, bool(draft["voice"]))
            for job in (own, other)
            for name, draft in notes_on_the_phone(card.page, job).items()
            if name.startswith("noted ")
        ]

    wait_until(lambda: heard() == [(own, True)], within_s=10, what="what was said, with the job it was begun in")
    open_job(card, own)
    card.page.reload()
    expect(card.page.get_by_label("Anything to add")).to_have_value("A dent beside the seam.")
    expect(card.main).to_contain_text(SAID)
    begin_to_say(card)
    card.press("Keep this")
    card.press(re.compile("return element damaged$"))
    expect(card.main).to_contain_text(SAID)
    expect(card.page.get_by_role("timer")).to_have_count(0)
    # Dropped and not kept: what was noted before stands, and what was said is still there to go with it.
    card.press("Drop what was said", "Back")
    card.at("Lay the return stack on the tray, in order")
    leave_out_a_step(card)


# As on a phone that has no room for what is being filled in.
_FULL = """() => {
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (value, key) {
    if (String(key).startsWith("notes ")) throw new DOMException("The quota has been exceeded.", "QuotaExceededError");
    return put.call(this, value, key);
  };
}"""


def leave_out_a_step(card: Card) -> None:
    """A reason that is being given outlives the page, and is recorded with what is being said when it is kept."""
    step = card.step
    card.go_to(next(number for number, screen in enumerate(card.screens, start=1) if screen["skippable"]))
    card.press("Leave this step out")
    card.at("Why is it left out?")
    card.page.evaluate(_FULL)
    card.press("no time for it today")
    expect(card.main.get_by_role("alert")).to_contain_text("This phone has no room left")
    card.page.reload()  # the phone has room again
    card.at("Why is it left out?")
    card.press("no time for it today")
    card.page.get_by_label("Anything to add").fill("Asked for next time.")
    begin_to_say(card)
    expect(card.main.get_by_role("alert")).to_have_count(0)
    # A page that goes in the middle of a word takes a few seconds of it at most.
    card.page.reload()
    expect(card.page.get_by_label("Anything to add")).to_have_value("Asked for next time.")
    expect(card.main).to_contain_text(SAID)
    begin_to_say(card)
    card.press("Keep this reason")
    expect(card.main.get_by_role("heading", level=1, name="Why is it left out?")).to_have_count(0)
    card.all_sent()
    (skipped,) = facts_of(card, "step_skipped")
    assert {"note", "voice"} <= skipped["body"].keys()
    card.go_to(step)


_GO = """async way => {
  const gone = new Promise(done => addEventListener("hashchange", () => requestAnimationFrame(done), { once: true }));
  location.hash = way;
  await gone;
}"""


def open_job(card: Card, job: str) -> None:
    """Go to the card of a job at once, as a link does."""
    card.page.evaluate(_GO, f"#/job/{job}")
    expect(card.page.get_by_role("banner")).to_contain_text("Step ")
    card.settled()


def hold_against_the_old_one(card: Card) -> None:
    """The new element differs, and stays out; the next one goes in, with both photos."""
    card.go_to(card.first_of("tray_out"))
    card.press("Out, with what you noted")
    card.go_to(card.first_of("tray_in"))
    pair = card.main.get_by_role("region", name="Old and new side by side")
    expect(pair).to_contain_text("length: 218.0 mm")
    for side in ("The old one", "The new one"):
        with card.page.expect_file_chooser() as asked:
            pair.get_by_role("group", name=side).get_by_role("button", name="Take a photo").click()
        asked.value.set_files(PHOTO)
        expect(pair.get_by_role("group", name=side).get_by_role("img")).to_be_visible()
    assert not page_faults(card.page)
    card.touch("element ring")
    card.page.get_by_label("Number on it, if another than").fill("MA-7310-98")
    card.touch("return element")
    expect(card.page.get_by_label("Number on it, if another than")).to_have_value("")
    card.press("Something differs")
    card.at("What differs?")
    card.press("too long")
    card.page.get_by_label("Number on the new one").fill("MA-7310-99")
    card.page.get_by_label("Anything to add").fill("It stands above the bowl.")
    card.page.get_by_role("link", name="Emergency").click()
    expect(card.page.get_by_role("heading", level=1, name="What happened?")).to_be_visible()
    card.page.go_back()
    card.page.reload()
    expect(card.button("too long")).to_have_attribute("aria-pressed", "true")
    expect(card.page.get_by_label("Number on the new one")).to_have_value("MA-7310-99")
    expect(card.page.get_by_label("Anything to add")).to_have_value("It stands above the bowl.")
    card.press("It is the wrong one: it stays out")
    expect(card.main).to_contain_text("Kept out before: too long")
    card.press("Something differs")  # another new one: nothing of the first is asked on
    expect(card.page.get_by_label("Number on the new one")).to_have_count(0)
    card.press("Back")
    card.put_in("return element", fresh=True)
    expect(card.main.get_by_role("region", name="Old and new side by side")).to_have_count(0)
    card.all_sent()
    (voice,) = [fact["body"]["voice"] for fact in facts_of(card, "part_out") if "voice" in fact["body"]]
    assert card.page.request.get(f"/api/attachments/{voice}").ok
    (refused,) = facts_of(card, "part_refused")
    assert (refused["body"]["number"], refused["body"]["why"]) == ("MA-7310-99", "too_long")
    card.page.reload()
    card.touch("element ring")
    expect(card.page.get_by_label("Number on it, if another than")).to_have_value("MA-7310-98")
    assert {fact["body"]["about"] for fact in facts_of(card, "photo")} == {"return.element"}


FACTS = "**/api/facts"
NO_PYTHON = "window.Worker = function () { throw new Error('This phone starts no Python.'); }"


def finish_as_the_server_tells(card: Card) -> None:
    """The server tells what is missing without what it was not sent; once it has that, it is asked again."""
    page, epoch = card.page, card.page.request.get("/api/me").json()["epoch"]

    def refuse(route: Route) -> None:
        facts = [json.loads(text) for text in json.loads(route.request.post_data or "")["facts"]]
        why = {"answer": "refused", "why": "by = owner is odd", "name": "body.by"}
        answers = [{"id": fact["id"], **why} for fact in facts]
        route.fulfill(json={"answers": answers, "epoch": epoch, "backed_up_to": 0})

    page.add_init_script(NO_PYTHON)
    page.route(FACTS, refuse)
    card.go_to(card.first_of("finish"))
    page.reload()
    card.press("Signature")
    page.get_by_label("Name").fill("Edda Stennet")
    # A moment after the last letter it is kept.
    wait_until(lambda: "signature" in notes_on_the_phone(page, card.job), within_s=10, what="who is about to sign")
    page.reload()
    expect(page.get_by_label("Name")).to_have_value("Edda Stennet")
    card.press("Keep the signature")
    page.get_by_role("button", name="Not taken").click()
    card.press(re.compile("^Look at it"))
    page.get_by_label("body.by").fill("driver")
    page.reload()
    card.press(re.compile("^Look at it"))
    expect(page.get_by_label("body.by")).to_have_value("driver")
    page.unroute(FACTS)
    page.route(FACTS, lambda route: route.abort())
    card.press("Offer it again", "Back")
    expect(card.main).to_contain_text("Entries of this phone that are not sent yet: 1.")
    expect(card.main).to_contain_text("Nobody has signed yet.")
    page.unroute(FACTS)
    expect(card.main).not_to_contain_text("Nobody has signed yet.", timeout=20_000)
    expect(card.main).to_contain_text("What is missing")
    expect(card.main).not_to_contain_text("The server does not know them")


def finish(card: Card) -> None:
    """Close the job; the code is the bench's of the very list that was closed, and a camera reads the hash."""
    card.go_to(card.first_of("finish"))
    card.press("Finish with what is missing")
    card.at("The job is finished.")
    card.all_sent()
    begun = ("aside", "within", "signature", "finding", "noted ", "differs ", "leave out ")
    left = [name for name in notes_on_the_phone(card.page, card.job) if name.startswith(begun)]
    assert left == [], "what was filled in has ended, and is asked on nowhere"
    (closed,) = facts_of(card, "job_closed")
    code = closing([(id, sha) for id, sha in closed["body"]["facts"]])
    shown = card.main.get_by_role("region", name="Closing code")
    expect(shown.locator(".closing-signs")).to_have_text(code.code)
    square = shown.get_by_role("img", name="The whole of it, as a square code")
    square.evaluate("drawn => drawn.scrollIntoView({ block: 'center' })")  # clear of what sticks to the screen's edges
    (seen,) = zxingcpp.read_barcodes(Image.open(io.BytesIO(square.screenshot())))
    assert seen.text.lower() == code.sha256
    assert not page_faults(card.page)
    with card.page.expect_file_chooser() as asked:
        shown.get_by_role("button", name="Take a photo").click()
    asked.value.set_files(PHOTO)
    expect(shown.get_by_role("img", name="Photo 1")).to_be_visible()
    expect(card.button("Drop photo 1")).to_be_visible()
    # It is recorded a moment after it is shown, and until then everything is sent.
    wait_until(
        lambda: [fact["body"]["of"] for fact in facts_of(card, "photo")].count("other") == 1,
        within_s=10,
        what="the photo beside the closing code",
    )
