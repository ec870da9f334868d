"""What the bench costs on a phone: its start in a browser, an answer, and what an installation fetches.

The browser's slowing of the processor reaches a page's own thread and not its workers, so a phone's start is measured
there; a real one is in a worker.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmarks import Measure
from benchmarks.starting import on_the_demo
from tests.support.chromium import chromium, launched
from tests.support.hands import sign_in, until_laid
from tests.support.phone_bench import BUILT
from tests.support.visitor import Visitor

if TYPE_CHECKING:
    from playwright.sync_api import Page

_STARTS = 6
_SLOWED = 4
_IN_A_WORKER = """() => new Promise((resolve, reject) => {
  const worker = window.bench = new Worker("/phone/worker.js", { type: "module" });
  worker.onerror = ({ message }) => reject(new Error(message));
  worker.onmessage = ({ data }) => data.state === "ready" ? resolve(data.ms) : reject(new Error(data.why));
})"""
_IN_THE_PAGE = """async () => {
  const { startPython } = await import("/phone/worker.js");
  const start = performance.now();
  await startPython(new URL("/static/phone/python/", location.href).href);
  return performance.now() - start;
}"""
_ANSWER = """async (text) => {
  const { promise, resolve } = Promise.withResolvers();
  window.bench.onmessage = ({ data }) => resolve(data);
  const start = performance.now();
  window.bench.postMessage({ id: 1, text });
  const { text: answer, failed } = await promise;
  return { ms: performance.now() - start, answer, failed };
}"""
_LAID_WITHIN_MS = 120_000
_LEVEL = {
    "compartment": "hydraulic",
    "moment": "found",
    "reading": "0.35",
    "oil_c": "12",
    "air_c": "5",
    "posture": "arm_out",
    "engine": "stopped",
    "settled_min": 10,
}


@contextmanager
def _page() -> Iterator[tuple[Page, Visitor]]:
    """A page of the app's policy with nothing of the app in it, and somebody at the same server."""
    path = chromium()
    if path is None:
        raise RuntimeError("no Chromium: name one in COLDMARK_CHROMIUM")
    with on_the_demo() as server, launched(path) as browser:
        page = browser.new_context(base_url=server.server.url).new_page()
        page.goto("/phone/app.webmanifest")
        yield page, Visitor(server)


def _ready_ms(page: Page) -> float:
    """The least of several starts, from making the worker to its word that it can be asked; the first fetches."""
    taken = []
    for _ in range(_STARTS):
        taken.append(float(page.evaluate(_IN_A_WORKER)))
        page.evaluate("() => window.bench.terminate()")
    return min(taken)


def _slowed_ms(page: Page) -> float:
    """The same on the page's own thread, slowed down; each in a page that was opened anew."""
    slowing = page.context.new_cdp_session(page)
    taken = []
    for _ in range(_STARTS):
        page.reload()
        slowing.send("Emulation.setCPUThrottlingRate", {"rate": _SLOWED})
        taken.append(float(page.evaluate(_IN_THE_PAGE)))
        slowing.send("Emulation.setCPUThrottlingRate", {"rate": 1})
    return min(taken)


def _asker(page: Page) -> Callable[..., float]:
    page.evaluate(_IN_A_WORKER)

    def ask(do: str, **asked: Any) -> float:
        told = page.evaluate(_ANSWER, json.dumps({"do": do, **asked}))
        if told.get("failed") or "ok" not in json.loads(told["answer"]):
            raise RuntimeError(f"{do}: {told}")
        return float(told["ms"])

    return ask


def _card_and_level_ms(page: Page, visitor: Visitor) -> tuple[float, float]:
    """The first card, as a machine of the demo is opened, and the least of a level's verdicts on it."""
    bundle = json.loads(visitor.get("/api/bundle"))
    stop = next(job for visit in bundle["visits"] for job in visit["jobs"] if "hyd_500" in job["tasks"])
    machine = next(one for one in bundle["machines"] if one["id"] == stop["machine"])
    ask = _asker(page)
    sheet = bundle["sheets"][machine["sheet"]]
    opened = ask("open", machine=machine, sheet=sheet, oils=bundle["oils"], coldest_c=bundle["coldest_c"])
    job = {"machine": machine["id"], "job": stop["job"], "tasks": stop["tasks"], "facts": []}
    card = opened + ask("card", **job)
    return card, min(ask("level", **job, asked=_LEVEL) for _ in range(15))


@cache
def _measured() -> dict[str, float]:
    """All that wants the browser, measured with one browser at one server."""
    with _page() as (page, visitor):
        found = {"ready": _ready_ms(page) / 1000, "slowed": _slowed_ms(page) / 1000}
        found["card"], found["level"] = _card_and_level_ms(page, visitor)
    return found


def _on_the_wire(path: Path) -> int:
    """Bytes of a file as the server hands it to a browser."""
    pressed = path.with_name(f"{path.name}.br")
    return (pressed if pressed.exists() else path).stat().st_size


def install_mb() -> float:
    """All files that the service worker holds, with itself and the manifest."""
    app = BUILT.parent
    worker = (app / "sw.js").read_text(encoding="utf-8")
    named = re.match(r"const FILES = (\[.*?\]);\n", worker)
    if named is None:
        raise RuntimeError("the service worker does not say what it holds")
    beneath = {"/phone/": "/static/phone/shell.html", "/phone/worker.js": "/static/phone/worker.js"}
    held = [beneath.get(address, address) for address, _hash in json.loads(named[1])]
    files = [app.parent / address.removeprefix("/static/") for address in held]
    return sum(map(_on_the_wire, (*files, app / "sw.js", app / "app.webmanifest"))) / 1e6


def python_mb() -> float:
    """What Python needs of it, the bench included."""
    listed = json.loads((BUILT / "manifest.json").read_text(encoding="utf-8"))["files"]
    return sum(_on_the_wire(BUILT / one["name"]) for one in listed if one["needed"]) / 1e6


def shell_s() -> float:
    """The least of several starts of the app without a network, slowed: from its address to the day with its visits."""
    path = chromium()
    if path is None:
        raise RuntimeError("no Chromium: name one in COLDMARK_CHROMIUM")
    with on_the_demo() as server, launched(path) as browser:
        context = browser.new_context(base_url=server.server.url, viewport={"width": 360, "height": 740})
        page = context.new_page()
        sign_in(page, server.name, server.password)
        page.goto("/phone/")
        page.get_by_role("article").first.wait_for(timeout=_LAID_WITHIN_MS)
        until_laid(page)
        context.set_offline(True)
        slowing = context.new_cdp_session(page)
        slowing.send("Emulation.setCPUThrottlingRate", {"rate": _SLOWED})
        taken = []
        for _ in range(_STARTS):
            page.reload(wait_until="commit")
            page.get_by_role("article").first.wait_for()
            taken.append(float(page.evaluate("performance.now()")) / 1000)
        return min(taken)


MEASURES = (
    Measure("the app without a network to the day's visits, slowed four times", 1.5, "s", shell_s),
    Measure("the bench ready in a phone's worker", 1, "s", lambda: _measured()["ready"]),
    Measure("the same on a page's thread, slowed four times", 3, "s", lambda: _measured()["slowed"]),
    Measure("a machine taken up by the worker, and its card", 500, "ms", lambda: _measured()["card"]),
    Measure("a level's verdict by the worker", 20, "ms", lambda: _measured()["level"]),
    Measure("first installation on a phone, on the wire", 6, "MB", install_mb),
    Measure("Python's part of it, the bench included", 5.5, "MB", python_mb),
)
