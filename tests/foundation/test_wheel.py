"""The wheel carries the built app: installed where there is no Node, it serves the whole program."""

from __future__ import annotations

import subprocess
import sys
import sysconfig
import venv
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.support.server import Server

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
APP = ROOT / "src/coldmark/web/static/card/card.js"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    assert APP.exists(), "the card's app is not built: script/test and script/build build it"
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", str(folder)]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (built,) = folder.glob("coldmark-*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A clean environment with the wheel in it, and this one's libraries (but not this working copy) beside it."""
    folder = tmp_path_factory.mktemp("clean")
    venv.create(folder, with_pip=True)
    python = folder / "bin" / "python"
    alone = ("--no-index", "--no-deps", "--quiet", "--disable-pip-version-check")
    subprocess.run([python, "-m", "pip", "install", *alone, wheel], check=True)
    site = next((folder / "lib").glob("python*/site-packages"))
    # A path line does not read the path files of the folder it names, so the working copy's own stays out.
    (site / "libraries.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return folder


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
    assert "coldmark/web/static/card/card.js" in names
    for ending in (".css", ".html", ".typ", ".woff2", ".toml", "py.typed"):
        assert any(name.endswith(ending) for name in names), ending
    assert not [name for name in names if name.startswith(("tests", "phone", "data")) or name.endswith(".sqlite3")]


def test_it_is_the_wheel_that_answers(installed: Path, tmp_path: Path) -> None:
    where: list[str | Path] = [installed / "bin" / "python", "-c", "import coldmark; print(coldmark.__file__)"]
    done = subprocess.run(where, cwd=tmp_path, capture_output=True, text=True, check=True)
    assert Path(done.stdout.strip()).is_relative_to(installed)


def test_without_node_it_serves_the_first_page_and_the_app(served: Server) -> None:
    status, headers, _ = served.get("/")
    assert status == 302
    # A new house has nobody to sign in, so the first page leads on to making its first person.
    while status == 302:
        status, headers, page = served.get(headers["location"])
    assert status == 200
    assert 'type="password"' in page
    status, headers, script = served.get("/static/card/card.js")
    assert status == 200
    assert headers["content-type"].startswith("text/javascript")
    assert script == APP.read_text(encoding="utf-8")
