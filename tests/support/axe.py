"""What axe-core finds on a page: the rules by which people with a screen reader, a keyboard or weak eyes can use it."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

AXE = Path(__file__).parents[2] / "phone" / "node_modules" / "axe-core" / "axe.min.js"
HOW_TO_GET_IT = "no axe-core: `npm --prefix phone ci` brings it"

_RUN = """async (rules) => {
  const only = rules.length ? { runOnly: { type: 'rule', values: rules } } : {};
  const found = await axe.run(document, { ...only, resultTypes: ['violations'], preload: false, iframes: false });
  return found.violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .flatMap(({ id, impact, nodes }) => nodes.map(({ html }) => `${impact}, ${id}: ${html.slice(0, 160)}`));
}"""


@cache
def _source() -> str:
    if not AXE.exists():
        if os.environ.get("CI") == "true":
            pytest.fail(HOW_TO_GET_IT)
        pytest.skip(HOW_TO_GET_IT)
    return AXE.read_text(encoding="utf-8")


def axe_faults(page: Page, *rules: str) -> list[str]:
    """The serious and critical findings on the page as it stands in the browser, by these rules or by all."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(_source())  # past the page's policy, which rightly lets no script in
    return [str(fault) for fault in page.evaluate(_RUN, list(rules))]
