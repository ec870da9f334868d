"""Colours stand in one file: the office pages link it, and the card's build takes it in."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
WEB = ROOT / "src" / "coldmark" / "web"
COLOURS = WEB / "static" / "web" / "colours.css"
SHEETS = (WEB / "static" / "web" / "site.css", ROOT / "phone" / "src" / "app.css")

NAMED = re.compile(r"^\s*(--[a-z-]+):", re.MULTILINE)
USED = re.compile(r"var\((--[a-z-]+)\)")
COLOUR = re.compile(r"#[0-9a-f]{3,8}\b|\b(?:rgb|hsl|oklch|color)a?\(", re.IGNORECASE)


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda path: path.name)
def test_no_other_style_sheet_has_a_colour_of_its_own(sheet: Path) -> None:
    assert COLOUR.findall(sheet.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda path: path.name)
def test_every_name_that_is_used_is_given(sheet: Path) -> None:
    text = sheet.read_text(encoding="utf-8")
    given = set(NAMED.findall(COLOURS.read_text(encoding="utf-8"))) | set(NAMED.findall(text))
    assert set(USED.findall(text)) <= given


def test_every_colour_that_is_given_is_used() -> None:
    used = {name for sheet in SHEETS for name in USED.findall(sheet.read_text(encoding="utf-8"))}
    assert set(NAMED.findall(COLOURS.read_text(encoding="utf-8"))) <= used


def test_the_pages_link_it_before_their_own_and_the_card_takes_it_in() -> None:
    base = (WEB / "templates" / "web" / "base.html").read_text(encoding="utf-8")
    assert -1 < base.find("web/colours.css") < base.find("web/site.css")
    card = SHEETS[1].read_text(encoding="utf-8")
    (told,) = re.findall(r'@import "([^"]+)"', card)
    assert (SHEETS[1].parent / told).resolve() == COLOURS.resolve()


def test_what_the_card_is_built_from_includes_it() -> None:
    # Else a new colour would wait for the next change of the app itself.
    script = (ROOT / "script" / "lib.sh").read_text(encoding="utf-8")
    found = re.search(r"^app_inputs\(\) \{\n  git ls-files [^|]* -- ([^|]+)\|", script, re.MULTILINE)
    assert found
    assert any(COLOURS.is_relative_to(ROOT / told) for told in found[1].replace("\\\n", " ").split())
