"""The browser of the browser tests: the machine's own Chromium, driven by Playwright."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Browser, sync_playwright

HOW_TO_GET_ONE = "no Chromium: `apt-get install -y chromium`, or name one in COLDMARK_CHROMIUM"
# Quiet and alone: nothing fetched in the background, no sandbox (tests also run as root), no GPU.
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-domain-reliability",
    "--disable-extensions",
    "--disable-sync",
    "--metrics-recording-only",
    "--no-first-run",
    "--no-default-browser-check",
    "--use-fake-device-for-media-stream",  # a microphone that hums; whether a page may use it is asked all the same
    "--font-render-hinting=none",
)


def chromium() -> str | None:
    """The path of the Chromium to drive: COLDMARK_CHROMIUM, else the one on PATH."""
    told = os.environ.get("COLDMARK_CHROMIUM")
    if told:
        return told
    return next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)


def chromium_or_skip() -> str:
    """The path of the Chromium; without one the test is skipped, or fails where CI=true."""
    found = chromium()
    if found is None:
        if os.environ.get("CI") == "true":
            pytest.fail(HOW_TO_GET_ONE)
        pytest.skip(HOW_TO_GET_ONE)
    return found


@contextmanager
def launched(path: str) -> Iterator[Browser]:
    """A browser for as long as it is needed."""
    # Playwright leaves an event loop in this thread, and Django would refuse its own database calls beside one.
    before = os.environ.get("DJANGO_ALLOW_ASYNC_UNSAFE")
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
            try:
                yield browser
            finally:
                browser.close()
    finally:
        if before is None:
            del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]
        else:
            os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = before
