"""How many tests may drive a browser: each costs seconds where others cost milliseconds."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

__all__ = ["MOST_BROWSER_TESTS", "keep_to_browser_budget"]

MOST_BROWSER_TESTS = 15


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
    if len(marked) > MOST_BROWSER_TESTS:
        raise pytest.UsageError(
            f"{len(marked)} browser tests are more than {MOST_BROWSER_TESTS}; let one that is there look at more, "
            "or test it without a browser."
        )
