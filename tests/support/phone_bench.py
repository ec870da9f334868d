"""The bench as it was built for phones: where it lies, whether it is this one, and asking it under Node."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Iterable, Mapping
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

__all__ = ["BUILT", "ask_on_a_page", "ask_under_node", "manifest", "need_built"]

ROOT = Path(__file__).parents[2]
SOURCES = ROOT / "src"
BUILT = SOURCES / "coldmark" / "web" / "static" / "phone" / "python"
ASK = ROOT / "phone" / "python" / "ask.mjs"

# Starts the worker as the app does, puts the questions to it, and gives back how its start went and the answers.
IN_A_WORKER = """async (questions) => {
  const worker = new Worker("/phone/worker.js", { type: "module" });
  const heard = new Map();
  try {
    return await new Promise((resolve, reject) => {
      worker.onerror = ({ message }) => reject(new Error(message || "worker.js"));
      worker.onmessage = ({ data }) => {
        heard.set("state" in data ? "start" : data.id, data);
        if (heard.size > questions.length)
          resolve({ start: heard.get("start"), answers: questions.map((_, id) => heard.get(id)) });
      };
      questions.forEach((text, id) => worker.postMessage({ id, text }));
    });
  } finally {
    worker.terminate();
  }
}"""


def manifest() -> dict[str, Any]:
    """The list of what was built."""
    told: dict[str, Any] = json.loads((BUILT / "manifest.json").read_text(encoding="utf-8"))
    return told


def code_hash() -> str:
    """What the build calls the sources of this bench."""
    package = SOURCES / "coldmark"
    bench = [path for path in (package / "bench").rglob("*") if path.is_file() and "__pycache__" not in path.parts]
    files = [package / "__init__.py", *(path for path in bench if path.name != "__main__.py")]
    found = sha256()
    for name, path in sorted((path.relative_to(SOURCES).as_posix(), path) for path in files):
        found.update(f"{name}\0{sha256(path.read_bytes()).hexdigest()}\n".encode())
    return found.hexdigest()


def lacking(what: str) -> NoReturn:
    """Skip, or fail in CI, where nothing may be left out."""
    if os.environ.get("CI") == "true":
        pytest.fail(what)
    pytest.skip(what)


def need_built() -> None:
    """Go on only where the phone's bench is the one in the sources."""
    if not (BUILT / "manifest.json").exists():
        lacking("the phone's bench is not built: script/test and script/build build it")
    if manifest()["code"] != code_hash():
        lacking("the phone's bench was built from other sources: script/test and script/build build it")


def ask_under_node(questions: Iterable[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Put questions to the phone's bench, all in one start of Python under Node."""
    need_built()
    node = shutil.which("node")
    if node is None:
        lacking("no Node on PATH: script/test brings one")
    lines = "".join(f"{json.dumps(question)}\n" for question in questions)
    done = subprocess.run([node, ASK], input=lines, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, done.stderr[-2000:]
    return [json.loads(line) for line in done.stdout.splitlines()]


def ask_on_a_page(page: Page, questions: Iterable[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Put questions to the phone's bench, all in one start of Python in a worker of this page of the app."""
    need_built()
    told = page.evaluate(IN_A_WORKER, [json.dumps(question) for question in questions])
    if told["start"]["state"] != "ready":
        raise AssertionError(f"the phone's bench did not start: {told['start']}")
    return [json.loads(answer["text"]) for answer in told["answers"]]
