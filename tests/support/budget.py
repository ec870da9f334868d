"""How many tests may drive a browser: each costs seconds where others cost milliseconds.

Those marked *long* wait for ``script/test --long`` and do not count.
"""

from __future__ import annotations

import os
from collections.abc import Iterable

import pytest

__all__ = ["MOST_BROWSER_TESTS", "keep_to_browser_budget", "leave_long_ones"]

MOST_BROWSER_TESTS = 15


def leave_long_ones(items: list[pytest.Item]) -> list[pytest.Item]:
    """Take the long tests out of a collection, unless they are what was asked for, and return them."""
    if os.environ.get("COLDMARK_LONG") == "1":
        return []
    left = [item for item in items if item.get_closest_marker("long") is not None]
    items[:] = [item for item in items if item.get_closest_marker("long") is None]
    return left


def keep_to_browser_budget(items: Iterable[pytest.Item]) -> None:
    """Refuse a collection with too many browser tests, or with one that is not marked as such and so not counted."""
    marked, unmarked = [], []
    for item in items:
        if item.get_closest_marker("browser") is not None:
            marked.append(item.nodeid)
        elif "browser" in getattr(item, "fixturenames", ()):
            unmarked.append(item.nodeid)
    if unmarked:
        raise pytest.UsageError(f"marked as browser tests they must be: {', '.join(unmarked)}")
    if len(marked) > MOST_BROWSER_TESTS and os.environ.get("COLDMARK_LONG") != "1":
        raise pytest.UsageError(
            f"{len(marked)} browser tests are more than {MOST_BROWSER_TESTS}; let one that is there look at more, "
            "or test it without a browser."
        )
