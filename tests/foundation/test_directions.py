"""The checker of import directions catches what it is there for, hidden imports included.

A small package laid out like ours is written aside and checked with our own contracts.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PARTS = ("bench", "papers", "records", "demo", "api", "web", "cli", "project")


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """A package of our name with our parts, each with one module ``one`` that imports nothing."""
    (tmp_path / "pyproject.toml").write_text((ROOT / "pyproject.toml").read_text())
    for part in PARTS:
        package = tmp_path / "src" / "coldmark" / part
        package.mkdir(parents=True)
        for name in ("__init__", "one", "two", "demo"):
            (package / f"{name}.py").write_text("")
    (tmp_path / "src" / "coldmark" / "__init__.py").write_text("")
    return tmp_path


def broken(house: Path, module: str, source: str) -> str:
    """Write the module and return what the checker says; an empty text when all is well."""
    (house / "src" / "coldmark" / f"{module.replace('.', '/')}.py").write_text(source)
    checker = Path(sys.executable).with_name("lint-imports")
    done = subprocess.run(
        [checker, "--no-logo", "--no-cache"],
        cwd=house,
        env={**os.environ, "PYTHONPATH": os.pathsep.join([str(house / "src"), str(ROOT)])},
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Contracts:" in done.stdout, done.stdout + done.stderr
    return done.stdout if done.returncode else ""


LAZY = "def f():\n    from coldmark.records import one\n    return one\n"
TYPING = "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from coldmark.records import one\n"


def test_the_small_house_is_in_order(house: Path) -> None:
    assert broken(house, "records.one", "from coldmark.bench import one\nfrom coldmark.papers import two\n") == ""


@pytest.mark.parametrize(
    "source", ["from coldmark.records import one\n", LAZY, TYPING], ids=["plain", "lazy", "typing"]
)
def test_the_bench_may_not_reach_up_however_it_is_hidden(house: Path, source: str) -> None:
    assert "coldmark.bench.one -> coldmark.records.one" in broken(house, "bench.one", source)


@pytest.mark.parametrize("library", ["numpy", "django.db", "typst", "yaml"])
@pytest.mark.parametrize(
    "shape",
    [
        "import {0}\n",
        "def f():\n    import {0}\n",
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import {0}\n",
    ],
    ids=["plain", "lazy", "typing"],
)
def test_the_bench_may_not_import_a_library(house: Path, library: str, shape: str) -> None:
    said = broken(house, "bench.one", shape.format(library))
    assert f"coldmark.bench.one line {shape.count(chr(10))} imports {library.split('.')[0]}" in said


def test_the_bench_may_import_the_standard_library(house: Path) -> None:
    assert broken(house, "bench.one", "import tomllib\nfrom xml.sax import saxutils\nimport _thread\n") == ""


@pytest.mark.parametrize(("one", "other"), [("api", "web"), ("web", "cli"), ("cli", "api"), ("records", "web")])
def test_neighbours_and_upper_layers_are_out_of_reach(house: Path, one: str, other: str) -> None:
    said = broken(house, f"{one}.one", f"def f():\n    import coldmark.{other}.two\n")
    assert f"coldmark.{one}.one -> coldmark.{other}.two" in said


def test_only_its_command_imports_the_demo(house: Path) -> None:
    assert broken(house, "cli.demo", "def f():\n    import coldmark.demo.one\n") == ""
    assert "coldmark.demo.one" in broken(house, "cli.one", "def f():\n    import coldmark.demo.one\n")


def test_papers_may_not_import_django(house: Path) -> None:
    assert "django" in broken(house, "papers.one", "def f():\n    import django\n")


def test_a_ring_is_found_even_through_a_function(house: Path) -> None:
    (house / "src" / "coldmark" / "bench" / "two.py").write_text("def f():\n    from coldmark.bench import one\n")
    assert "coldmark.bench.one, coldmark.bench.two" in broken(house, "bench.one", "from coldmark.bench import two\n")
