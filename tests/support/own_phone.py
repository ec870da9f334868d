"""A phone with a browser process of its own: killed as when its power goes, it starts again on what it had stored."""

from __future__ import annotations

import json
import os
import signal
from pathlib import Path
from typing import TYPE_CHECKING

from tests.support.chromium import FLAGS, chromium_or_skip
from tests.support.server import wait_until

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, BrowserType, Page

__all__ = ["USUAL_LETTERS_PX", "OwnPhone"]

SLOWEST_STEP_MS = 10_000
USUAL_LETTERS_PX = 16


class OwnPhone:
    """The browser, its folder, and the one page that is open in it, with letters of the size that was chosen there."""

    def __init__(self, kind: BrowserType, folder: Path, url: str, *, letters_px: int = USUAL_LETTERS_PX) -> None:
        self._kind, self._folder, self._url = kind, folder, url
        self.context: BrowserContext | None = None
        chosen = folder / "Default" / "Preferences"
        chosen.parent.mkdir(parents=True)
        chosen.write_text(json.dumps({"webkit": {"webprefs": {"default_font_size": letters_px}}}), encoding="utf-8")

    def start(self) -> Page:
        """Start the browser on what its folder holds, and return its page."""
        self.context = self._kind.launch_persistent_context(
            self._folder,
            executable_path=chromium_or_skip(),
            args=list(FLAGS),
            base_url=self._url,
            viewport={"width": 360, "height": 740},
            has_touch=True,
            locale="en-GB",
        )
        self.context.set_default_timeout(SLOWEST_STEP_MS)
        return self.context.pages[0]

    def kill(self) -> None:
        """Take the power from all of the browser's processes at once: none of them can tidy up."""
        mine = self._processes()
        if not mine:
            raise AssertionError("the browser has no process")
        for process in mine:
            os.kill(process, signal.SIGKILL)
        wait_until(lambda: not self._processes(), within_s=20, what="the killed browser to be gone")

    def close(self) -> None:
        """Close the browser, if it runs."""
        if self.context is not None and self._processes():
            self.context.close()

    def _processes(self) -> list[int]:
        """The processes that were started on this folder; those without it on their line end with them."""
        told = f"--user-data-dir={self._folder}"
        found = []
        for folder in Path("/proc").iterdir():
            if not folder.name.isdigit():
                continue
            try:
                line = (folder / "cmdline").read_bytes().decode(errors="replace")
            except OSError:
                continue  # ended meanwhile
            if told in line.split("\0"):
                found.append(int(folder.name))
        return found
