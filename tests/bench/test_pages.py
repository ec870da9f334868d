"""The pages that say how things are worked out say it with examples that run."""

from __future__ import annotations

import doctest
from pathlib import Path

import pytest

PAGES = Path(__file__).parents[2] / "docs" / "how"


@pytest.mark.parametrize("page", ["filter.md", "hose.md", "joint.md", "oil.md", "seal.md"])
def test_the_examples_of_a_page_run(page: str) -> None:
    result = doctest.testfile(str(PAGES / page), module_relative=False, encoding="utf-8")
    assert result.attempted > 3
    assert result.failed == 0
