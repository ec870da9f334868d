"""A closing code, from the page of a job to a stranger's phone."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.test_pages import looked_at
from tests.support.hands import sign_in

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.support.server import DemoServer

pytestmark = pytest.mark.browser


def test_whoever_has_the_code_checks_it_without_an_account(
    phone: Page, second_phone: Page, demo_server: DemoServer
) -> None:
    sign_in(phone, "jonas", demo_server.password)
    phone.goto("/machines/")
    phone.get_by_role("link", name="Bench digger").first.click()
    phone.get_by_text(re.compile("^Job closed over")).first.wait_for()
    told = phone.get_by_text(re.compile("closing code")).first.inner_text()
    (code,) = re.findall(r"(?:[0-9A-HJKMNP-TV-Z]{4}-){3}[0-9A-HJKMNP-TV-Z]{5}", told)
    faults = looked_at(phone)

    second_phone.goto("/check/")
    faults += looked_at(second_phone)
    second_phone.get_by_label("The code").fill(code[:-1] + ("2" if code[-1] != "2" else "3"))
    second_phone.keyboard.press("Enter")
    expect(second_phone.get_by_text("has a wrong sign or two that are swapped")).to_be_visible()
    faults += looked_at(second_phone)
    second_phone.get_by_label("The code").fill(code.lower().replace("-", " "))
    second_phone.get_by_role("button", name="Check it").click()
    answer = second_phone.get_by_role("status")
    expect(answer).to_contain_text(code)
    expect(answer).to_contain_text("The job was closed on")
    expect(answer).not_to_contain_text("digger")
    faults += looked_at(second_phone)
    assert not faults, "\n".join(faults)
