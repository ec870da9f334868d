"""Fixtures for all tests.

``data_folder``   an empty data folder that the settings point at, for one test
``server``        a server in a process of its own on an empty house; ``demo_server`` on the loaded demo
``browser``       the machine's Chromium; ``phone``, ``second_phone`` and ``desk`` are pages of 360 and 1440 px on
                  ``demo_server``, each of a device of its own; ``first_phone`` is one on an empty house
"""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from django.test import override_settings

from coldmark.records.folder import demo_mark, prepare
from tests.support.budget import keep_to_browser_budget
from tests.support.server import COLDMARK, DemoServer, Server

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page
    from pytest_django import Settings

SLOWEST_STEP_MS = 10_000


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Count the browser tests before ``-m`` chooses among them."""
    keep_to_browser_budget(items)


@pytest.fixture(scope="session", autouse=True)
def _no_house_of_ours(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep the tests away from the data folder of whoever runs them, and their passwords cheap."""
    folder = tmp_path_factory.mktemp("house")
    prepare(folder)
    with override_settings(
        COLDMARK_DATA=folder,
        COLDMARK_ATTACHMENTS=folder / "attachments",
        COLDMARK_DEMO_MARK=demo_mark(folder),
        SECRET_KEY="for tests alone",
        PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"],
        TIME_ZONE="Europe/Vienna",
    ):
        yield


@pytest.fixture
def data_folder(tmp_path: Path, settings: Settings) -> Path:
    """An empty data folder that the settings point at."""
    folder = tmp_path / "data"
    prepare(folder)
    settings.COLDMARK_DATA = folder
    settings.COLDMARK_ATTACHMENTS = folder / "attachments"
    settings.COLDMARK_DEMO_MARK = demo_mark(folder)
    return folder


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    """A server on an empty house."""
    served = Server(tmp_path / "house")
    try:
        yield served.start()
    finally:
        served.kill()


@pytest.fixture(scope="session")
def demo_house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with the demo loaded, to be copied and never served itself."""
    template = Server(tmp_path_factory.mktemp("demo") / "house")
    subprocess.run([*COLDMARK, "demo", "--if-empty"], env=template.environment(), check=True)
    return template.folder


@pytest.fixture
def demo_server(demo_house: Path, tmp_path: Path) -> Iterator[DemoServer]:
    """A server on a fresh copy of the demo."""
    folder = tmp_path / "demo-house"
    shutil.copytree(demo_house, folder)
    served = Server(folder)
    try:
        yield DemoServer.of(served.start())
    finally:
        served.kill()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The machine's Chromium."""
    from tests.support.chromium import chromium_or_skip, launched  # heavy: only the browser tests need Playwright

    with launched(chromium_or_skip()) as running:
        yield running


def _page(browser: Browser, url: str, width: int, height: int, *, touch: bool) -> Iterator[Page]:
    context = browser.new_context(
        base_url=url,
        viewport={"width": width, "height": height},
        has_touch=touch,
        locale="en-GB",
        accept_downloads=True,
    )
    context.set_default_timeout(SLOWEST_STEP_MS)
    page = context.new_page()
    complaints: list[str] = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("console", lambda said: complaints.append(said.text) if "Content Security Policy" in said.text else None)
    try:
        yield page
    finally:
        context.close()
    assert not complaints, complaints


@pytest.fixture
def phone(browser: Browser, demo_server: DemoServer) -> Iterator[Page]:
    """A page as wide as a phone, on the demo; script errors and refused resources fail the test."""
    yield from _page(browser, demo_server.server.url, 360, 740, touch=True)


@pytest.fixture
def second_phone(browser: Browser, demo_server: DemoServer) -> Iterator[Page]:
    """Another device's page as wide as a phone, on the demo."""
    yield from _page(browser, demo_server.server.url, 360, 740, touch=True)


@pytest.fixture
def first_phone(browser: Browser, server: Server) -> Iterator[Page]:
    """A page as wide as a phone, on an empty house."""
    yield from _page(browser, server.url, 360, 740, touch=True)


@pytest.fixture
def desk(browser: Browser, demo_server: DemoServer) -> Iterator[Page]:
    """A page as wide as a desk's screen, on the demo; script errors and refused resources fail the test."""
    yield from _page(browser, demo_server.server.url, 1440, 900, touch=False)
