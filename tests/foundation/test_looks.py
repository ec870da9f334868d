"""The code that looks at pictures finds what it is there for, and nothing on a page in order."""

from __future__ import annotations

import io
from collections.abc import Iterator

import pytest
from PIL import Image, ImageDraw
from playwright.sync_api import Browser, Page

from tests.support.axe import axe_faults
from tests.support.looks import page_faults, picture_faults, sheet_faults

IN_ORDER = """<!doctype html><meta name="viewport" content="width=device-width"><h1>Level</h1>
<p style="width: 1px; height: 1px; overflow: hidden; position: absolute">for screen readers alone, as long as needed</p>
<div style="overflow-x: auto; width: 300px"><p style="width: 2000px">a wide table that scrolls by itself</p></div>"""

APP = """<!doctype html><h1>Level</h1><div id="app"><style>
  #app :is(button, label) { display: block; width: 57px; height: 57px }
  #app .low { height: 56px }
  #app .slim { width: 56px }
</style>"""


def sheet(box: tuple[int, int, int, int] | None) -> Image.Image:
    image = Image.new("RGB", (400, 600), "white")
    if box:
        ImageDraw.Draw(image).rectangle(box, fill="black")
    return image


def test_a_sheet_in_order_has_no_faults() -> None:
    assert sheet_faults(sheet((40, 40, 360, 560)), margin_px=20) == []


@pytest.mark.parametrize("box", [(5, 40, 100, 100), (40, 5, 100, 100), (40, 40, 395, 100), (40, 40, 100, 590)])
def test_what_reaches_into_the_margin_is_found(box: tuple[int, int, int, int]) -> None:
    assert sheet_faults(sheet(box), margin_px=20)[0].startswith("reaches into the margin")


def test_a_blank_sheet_and_a_blank_picture_are_found() -> None:
    assert sheet_faults(sheet(None), margin_px=20) == ["blank: one colour all over"]
    file = io.BytesIO()
    sheet(None).save(file, "PNG")
    assert picture_faults(file.getvalue()) == ["blank: one colour all over"]


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 360, "height": 740})
    yield context.new_page()
    context.close()


@pytest.mark.browser
def test_a_page_that_is_blank_cut_or_too_wide_is_found(page: Page) -> None:
    page.set_content(IN_ORDER)
    assert page_faults(page) == []
    page.set_content(IN_ORDER + '<p style="width: 900px">far too wide for a phone</p>')
    assert page_faults(page)[0].startswith("scrolls sideways: 9")
    page.set_content(
        IN_ORDER + '<p id="x" style="width: 60px; overflow: hidden; white-space: nowrap">2.4 litres to add</p>'
    )
    assert page_faults(page) == ['cut: p#x "2.4 litres to add"']
    page.set_content(IN_ORDER + '<p style="height: 20px; line-height: 30px; overflow: hidden">two<br>lines</p>')
    assert page_faults(page) == ['cut: p "twolines"']
    page.set_content(IN_ORDER + '<p style="margin-left: -50px">Stop</p>')
    assert page_faults(page) == ['off the screen: p "Stop"']
    page.set_content(APP + '<button>Go</button><label><input type=checkbox></label><p>See <a href="#">there</a>.</p>')
    assert page_faults(page) == []
    page.set_content(
        APP + '<button class=low>Go</button><label class=slim><input type=radio></label><p><a href="#">There</a></p>'
    )
    assert [fault.split(" ")[1] for fault in page_faults(page)] == ["button.low", "label.slim", "a"]
    page.set_content("<!doctype html><p></p>")
    assert page_faults(page) == ["blank: not a word on it"]

    page.set_content('<!doctype html><html lang="en"><title>Level</title>' + IN_ORDER)
    assert axe_faults(page) == []
    page.set_content('<!doctype html><html lang="en"><title>Level</title><input><p style="color: #bbb">2.4 L</p>')
    assert [fault.split(":")[0] for fault in axe_faults(page)] == ["serious, color-contrast", "critical, label"]
    assert len(axe_faults(page, "color-contrast")) == 1
