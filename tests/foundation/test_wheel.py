"""The wheel carries the built app: installed where there is no Node, it serves the whole program."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import venv
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn

import pytest

from tests.support.server import Server

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
APP = ROOT / "src/coldmark/web/static/phone"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    assert (APP / "sw.js").exists(), "the app at the machine is not built: script/test and script/build build it"
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", str(folder)]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (built,) = folder.glob("coldmark-*.whl")
    return built


def uv() -> str:
    """The uv that the scripts lay the environment with."""
    ours = ROOT / ".tools/uv/bin/uv"
    found = str(ours) if ours.exists() else shutil.which("uv")
    if found is None:
        lacking("uv is not here: script/test brings it")
    return found


def lacking(what: str) -> NoReturn:
    """Skip, or fail in CI, where nothing may be left out."""
    if os.environ.get("CI") == "true":
        pytest.fail(what)
    pytest.skip(what)


def install(python: Path, *what: str) -> None:
    """Install by uv, from what it has kept if that will do, else from where it took it."""
    command = [uv(), "pip", "install", "--quiet", "--python", str(python)]
    for more in (["--offline"], []):
        done = subprocess.run([*command, *more, *what], cwd=ROOT, capture_output=True, text=True, check=False)
        if done.returncode == 0:
            return
    lacking(f"the locked libraries are not to be had: {done.stderr}")


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A fresh environment with the wheel and the libraries that the lock names for running it, and nothing else."""
    folder = tmp_path_factory.mktemp("fresh")
    named = folder / "named.txt"
    export = [uv(), "export", "--quiet", "--frozen", "--no-dev", "--no-emit-project", "--output-file", str(named)]
    subprocess.run(export, cwd=ROOT, check=True, capture_output=True)
    venv.create(folder / "venv", symlinks=True)
    python = folder / "venv" / "bin" / "python"
    install(python, "--require-hashes", "--requirement", str(named))
    install(python, "--no-deps", str(wheel))
    return folder / "venv"


@pytest.fixture
def served(installed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Server]:
    monkeypatch.setenv("PATH", str(tmp_path / "nothing-is-here"))
    monkeypatch.delenv("PYTHONPATH", raising=False)
    server = Server(tmp_path / "house", command=(str(installed / "bin" / "coldmark"), "serve"))
    try:
        yield server.start()
    finally:
        server.kill()


def test_it_carries_the_app_the_pages_and_the_papers_and_no_more(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    assert {f"coldmark/web/static/phone/{name}" for name in ("shell.html", "sw.js", "app.webmanifest")} <= set(names)
    python = [
        one["name"] for one in json.loads((APP / "python" / "manifest.json").read_text(encoding="utf-8"))["files"]
    ]
    assert {"NOTICE.txt", "LICENSE-MPL-2.0.txt", "LICENSE-Python.txt"} < set(python)
    pressed = [f"{name}{ending}" for name in python for ending in ("", ".br", ".gz")]
    assert {f"coldmark/web/static/phone/python/{name}" for name in pressed} <= set(names)
    for ending in (".css", ".csv", ".html", ".typ", ".woff2", ".toml", "py.typed"):
        assert any(name.endswith(ending) for name in names), ending
    assert "coldmark/bench/seal/LICENSE-Apache-2.0.txt" in names  # beside the tables that are under it
    assert not [name for name in names if name.startswith(("tests", "phone", "data")) or name.endswith(".sqlite3")]


def test_it_is_the_wheel_that_answers(installed: Path, tmp_path: Path) -> None:
    where: list[str | Path] = [installed / "bin" / "python", "-c", "import coldmark; print(coldmark.__file__)"]
    done = subprocess.run(where, cwd=tmp_path, capture_output=True, text=True, check=True)
    assert Path(done.stdout.strip()).is_relative_to(installed)


def test_it_needs_nothing_but_what_the_lock_names_for_running_it(installed: Path) -> None:
    told = json.loads(
        subprocess.run(
            [uv(), "pip", "list", "--format", "json", "--python", installed / "bin" / "python"],
            capture_output=True,
            check=True,
        ).stdout
    )
    names = {one["name"] for one in told}
    assert {"coldmark", "django", "granian"} <= names
    assert names.isdisjoint({"pytest", "mypy", "ruff", "playwright", "pip"})
    check = [uv(), "pip", "check", "--python", str(installed / "bin" / "python")]
    subprocess.run(check, check=True, capture_output=True)


def test_without_node_it_serves_the_first_page_and_the_app(served: Server) -> None:
    status, headers, _ = served.get("/")
    assert status == 302
    # A new house has nobody to sign in, so the first page leads on to making its first person.
    while status == 302:
        status, headers, page = served.get(headers["location"])
    assert status == 200
    assert 'type="password"' in page
    status, headers, page = served.get("/phone/")
    assert (status, page) == (200, (APP / "shell.html").read_text(encoding="utf-8"))
    for address in re.findall(r'(?:src|href)="(/[^"]+)"', page):
        status, headers, content = served.get(address)
        assert status == 200, address
        if address.endswith(".js"):
            assert headers["content-type"].startswith("text/javascript")
            assert content == (APP / "app" / address.rpartition("/")[2]).read_text(encoding="utf-8")


@pytest.mark.parametrize("encoding", ["br", "gzip"])
def test_the_phones_python_is_handed_out_compressed_and_as_what_it_is(served: Server, encoding: str) -> None:
    for name, kind in (("asm.wasm", "application/wasm"), ("asm.mjs", "text/javascript"), ("mjs", "text/javascript")):
        path = APP / "python" / f"pyodide.{name}"
        status, headers, _ = served.get(f"/static/phone/python/{path.name}", {"Accept-Encoding": encoding})
        assert (status, headers["content-encoding"]) == (200, encoding)
        # A browser compiles WebAssembly while it comes in only where it is called so.
        assert headers["content-type"].partition(";")[0] == kind
        pressed = path.with_name(path.name + {"br": ".br", "gzip": ".gz"}[encoding])
        assert int(headers["content-length"]) == pressed.stat().st_size
