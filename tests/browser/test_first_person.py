"""A real start: an empty house asks for its first person, and knows nothing of the demo."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from coldmark.records.folder import demo_mark
from tests.support.looks import page_faults

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.support.server import Server

pytestmark = pytest.mark.browser

PASSWORD = "seven slow herons"


def test_an_empty_house_makes_its_first_person(first_phone: Page, server: Server) -> None:
    page = first_phone
    page.goto("/")
    expect(page.get_by_role("heading", level=1, name="Start your house")).to_be_visible()
    page.get_by_label("Your business").fill("Wren Field Service")
    page.get_by_label("Your name").fill("Ina Wren")
    page.get_by_label("Name to sign in with").fill("ina")
    page.get_by_label("Password", exact=True).fill("short")
    page.get_by_label("The same password again").fill("short")
    page.get_by_role("button", name="Start").click()
    expect(page.get_by_role("main")).to_contain_text(re.compile("password.*10|ten", re.IGNORECASE))
    expect(page.get_by_label("Your business")).to_have_value("Wren Field Service")
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
    page.get_by_label("Name").fill("ina")
    page.get_by_label("Password", exact=True).fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", level=1, name=re.compile("^Today"))).to_be_visible()
