"""Phones that run the app's own outbox: in a Node process, or in a browser's page."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import threading
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import TYPE_CHECKING, Any, Protocol

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page

__all__ = ["NodePhones", "PagePhones", "Phones", "built"]

PHONE = Path(__file__).parents[2] / "phone"
HOW_TO_GET_IT = "no Node or no packages for the app: `script/test` brings both, or `npm --prefix phone ci`"
_ANSWERS_WITHIN_S = 120.0

Told = dict[str, Any]


class Phones(Protocol):
    """What drives the phones: one command, one answer."""

    def do(self, what: str, **told: Any) -> Any:
        """Let a phone do something, and wait for its answer."""

    def begin(self, what: str, **told: Any) -> int:
        """Let a phone begin something, to be waited for or not."""

    def end(self, number: int) -> Any:
        """Wait for the answer to what was begun."""

    def sign_in(self, phone: str, cookies: dict[str, str]) -> None:
        """Give a phone the cookies of a sign-in."""


def built(folder: Path, kind: str) -> Path:
    """The phones' script, made anew from the app's sources: ``node`` or ``page``."""
    vite = PHONE / "node_modules" / "vite" / "bin" / "vite.js"
    node = shutil.which("node")
    if node is None or not vite.exists():
        if os.environ.get("CI") == "true":
            pytest.fail(HOW_TO_GET_IT)
        pytest.skip(HOW_TO_GET_IT)
    config = PHONE / "tests" / "fault" / "vite.config.ts"
    subprocess.run(
        [node, str(vite), "build", "--config", str(config), "--mode", kind, "--outDir", str(folder)],
        cwd=PHONE,
        check=True,
    )
    return folder / ("phones.mjs" if kind == "node" else "phones.js")


class NodePhones:
    """Phones in a Node process of their own."""

    def __init__(self, script: Path, patience_ms: int = 250) -> None:
        node = shutil.which("node") or "node"
        self._process = subprocess.Popen(
            [node, "--enable-source-maps", str(script)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env={**os.environ, "PATIENCE_MS": str(patience_ms)},
            text=True,
            encoding="utf-8",
        )
        self._answers: dict[int, SimpleQueue[Told]] = {}
        self._count = 0
        threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self) -> None:
        assert self._process.stdout is not None
        for line in self._process.stdout:
            answer = json.loads(line)
            self._answers[answer["number"]].put(answer)
        for waiting in list(self._answers.values()):
            waiting.put({"fault": "the phones' process has ended; what it said stands above"})

    def _say(self, **told: Any) -> int:
        self._count += 1
        self._answers[self._count] = SimpleQueue()
        assert self._process.stdin is not None
        self._process.stdin.write(json.dumps({"number": self._count, **told}) + "\n")
        self._process.stdin.flush()
        return self._count

    def begin(self, what: str, **told: Any) -> int:
        """Send a command."""
        return self._say(command={"do": what, **told})

    def end(self, number: int) -> Any:
        """Wait for its answer."""
        try:
            answer = self._answers[number].get(timeout=_ANSWERS_WITHIN_S)
        except Empty:
            raise TimeoutError(f"the phones did not answer command {number} within {_ANSWERS_WITHIN_S:g} s") from None
        if "fault" in answer:
            raise AssertionError(answer["fault"])
        return answer["ok"]

    def do(self, what: str, **told: Any) -> Any:
        """Send a command and wait for its answer."""
        return self.end(self.begin(what, **told))

    def sign_in(self, phone: str, cookies: dict[str, str]) -> None:
        """Put cookies into the phone's jar."""
        self.end(self._say(cookies={"phone": phone, "jar": cookies}))

    def stop(self) -> None:
        """End the process."""
        with self._process:
            self._process.kill()


class PagePhones:
    """Phones in pages of a browser, each with a context, and so with cookies and a database, of its own."""

    def __init__(self, script: Path, contexts: dict[str, BrowserContext], url: str) -> None:
        self._contexts = contexts
        self._pages: dict[str, Page] = {}
        self._begun: list[str] = []
        self._opened: dict[str, Told] = {}
        self._url = url
        for context in contexts.values():
            context.add_init_script(path=script)

    def page(self, phone: str) -> Page:
        """The phone's page; a fresh one where it has none."""
        if phone not in self._pages:
            page = self._contexts[phone].new_page()
            page.goto(f"{self._url}/sign-in/")
            self._pages[phone] = page
        return self._pages[phone]

    def do(self, what: str, **told: Any) -> Any:
        """Have the page do it and wait for its answer."""
        phone = told["phone"]
        if what == "killed":
            self._kill(phone)
            return None
        answer = self.page(phone).evaluate("command => window.phones.do(command)", {"do": what, **told})
        if what == "open":
            self._opened[phone] = told
        if what == "who":
            self._opened[phone] |= {"me": answer}
        return answer

    def begin(self, what: str, **told: Any) -> int:
        """Have the page begin it."""
        page = self.page(told["phone"])
        self._begun.append(told["phone"])
        number = len(self._begun) - 1
        script = "([number, command]) => void ((window.begun ??= {})[number] = window.phones.do(command))"
        page.evaluate(script, [number, {"do": what, **told}])
        return number

    def end(self, number: int) -> Any:
        """Wait for what was begun in the page."""
        return self.page(self._begun[number]).evaluate("number => window.begun[number]", number)

    def sign_in(self, phone: str, cookies: dict[str, str]) -> None:
        """Put cookies into the phone's browser."""
        context = self._contexts[phone]
        context.add_cookies([{"name": name, "value": value, "url": self._url} for name, value in cookies.items()])

    def _kill(self, phone: str) -> None:
        """Close the phone's page in the middle of whatever it does, and open it anew."""
        self._pages.pop(phone).close()
        self.do("open", **self._opened[phone])
