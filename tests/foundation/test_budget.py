"""The browser tests are few, counted before any of them is chosen or left out, and kept to a time."""

from __future__ import annotations

import subprocess
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

from tests.support.budget import MOST_BROWSER_TESTS, keep_to_browser_budget

ROOT = Path(__file__).parents[2]


def items(count: int, *, marked: bool = True, fixtures: tuple[str, ...] = ()) -> list[pytest.Item]:
    one = SimpleNamespace(
        nodeid="tests/test_a.py::test_a",
        fixturenames=fixtures,
        get_closest_marker=lambda name: object() if marked and name == "browser" else None,
    )
    return [cast(pytest.Item, one)] * count


def test_so_many_browser_tests_may_be_and_not_one_more() -> None:
    assert MOST_BROWSER_TESTS <= 15
    keep_to_browser_budget(items(MOST_BROWSER_TESTS) + items(100, marked=False))
    with pytest.raises(pytest.UsageError, match=f"{MOST_BROWSER_TESTS + 1} browser tests"):
        keep_to_browser_budget(items(MOST_BROWSER_TESTS + 1))


def test_a_test_with_a_browser_must_be_marked() -> None:
    with pytest.raises(pytest.UsageError, match=r"tests/test_a\.py"):
        keep_to_browser_budget(items(1, marked=False, fixtures=("phone", "browser")))


def within(seconds: int, command: str, *, ci: str) -> subprocess.CompletedProcess[str]:
    """What ``within`` of the scripts does with a command."""
    code = f'. script/lib.sh; within {seconds} "the test" {command}'
    return subprocess.run(
        ["bash", "-c", code],
        cwd=ROOT,
        env={"PATH": "/usr/bin:/bin", "CI": ci},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize(("ci", "status"), [("true", 1), ("", 0)])
def test_what_takes_too_long_fails_in_ci_and_is_said_everywhere(ci: str, status: int) -> None:
    done = within(-1, "true", ci=ci)
    assert done.returncode == status
    assert "the test took 0 s, longer than the -1 s it may take" in done.stderr


def test_what_keeps_its_time_says_how_long_it_took() -> None:
    done = within(300, "true", ci="true")
    assert done.returncode == 0
    assert "the test took 0 s of at most " in done.stderr


def test_what_fails_fails_in_whatever_time() -> None:
    assert within(300, "false", ci="").returncode == 1
