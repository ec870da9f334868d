"""Every page as it is met in a browser: to be read and used by all, at a phone's width and at a desk's."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.support.axe import axe_faults
from tests.support.hands import Card, sign_in, stop_of
from tests.support.looks import page_faults
from tests.support.pictures import WIDTHS, kind_of, links_of

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.support.server import DemoServer

pytestmark = pytest.mark.browser

# A walk that does not come by these has lost its way.
KNOWN = {
    "/",
    "/customers/",
    "/customers/ID/",
    "/due/",
    "/jobs/ID/",
    "/jobs/ID/card/",
    "/jobs/ID/kit/",
    "/jobs/new/",
    "/machines/",
    "/machines/ID/",
    "/machines/ID/meter/",
    "/machines/ID/story/",
    "/machines/ID/story/ID/",
    "/machines/new/",
    "/more/",
    "/oils/",
    "/oils/ID/",
    "/people/",
    "/people/ID/",
    "/settings/",
    "/sheets/",
    "/sheets/ID/",
    "/sheets/new/",
    "/sums/",
    "/sums/level/",
    "/visits/",
    "/visits/ID/",
    "/visits/new/",
}


def looked_at(page: Page) -> list[str]:
    """What is wrong with the page as it stands, at a phone's width and at a desk's."""
    faults = []
    for width, height in WIDTHS:
        page.set_viewport_size({"width": width, "height": height})
        faults += [f"{kind_of(page.url)} at {width}: {fault}" for fault in (*page_faults(page), *axe_faults(page))]
    return faults


def test_every_office_page_is_whole_and_usable_at_both_widths(phone: Page, demo_server: DemoServer) -> None:
    phone.goto("/sign-in/")
    faults = looked_at(phone)
    phone.goto("/nowhere/")
    faults += looked_at(phone)
    sign_in(phone, "jonas", demo_server.password)

    # One page of every kind, from the first page on along its own links.
    met, waiting = {"/"}, ["/"]
    while waiting:
        path = waiting.pop(0)
        import time

        t = time.time()
        phone.goto(path)
        t2 = time.time()
        if not path.endswith("/card/"):
            faults += looked_at(phone)
        print(path, round(t2 - t, 2), round(time.time() - t2, 2))
        for target in links_of(phone):
            kind = kind_of(target)
            if kind not in met and not kind.endswith(".pdf"):
                met.add(kind)
                waiting.append(target)
    print("\n".join(faults))
    print(sorted(met))
    assert not faults
    assert met >= KNOWN
