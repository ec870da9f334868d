"""What importing a part of the bench brings along, and that names fetched later are those a type checker reads."""

from __future__ import annotations

import ast
import importlib
import json
import subprocess
import sys
from pathlib import Path

import pytest

import coldmark.bench

BENCH = Path(coldmark.bench.__file__).parent
LATER = sorted(path for path in BENCH.rglob("__init__.py") if "= later(" in path.read_text(encoding="utf-8"))

# What draws a card, works its gates, folds the facts and reads a level: all that a phone works out by itself.
CARD = ("card", "ledger", "level")
# What none of these asks for.
IDLE = ("catalogue", "filter.drop", "filter.warm", "filter.returning", "filter.saying")


def _read_by_the_checker(tree: ast.Module, package: str) -> dict[str, str]:
    """Each name with its module, as the imports under TYPE_CHECKING have it."""
    return {
        alias.name: str(node.module).removeprefix(f"{package}.")
        for branch in tree.body
        if isinstance(branch, ast.If) and isinstance(branch.test, ast.Name) and branch.test.id == "TYPE_CHECKING"
        for node in branch.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }


def _read_by_python(tree: ast.Module) -> dict[str, str]:
    """Each name with its module, as the call of ``later`` has it."""
    return {
        name: str(given.arg)
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "later"
        for given in node.keywords
        for name in ast.literal_eval(given.value)
    }


def test_some_package_fetches_its_names_later() -> None:
    assert LATER


@pytest.mark.parametrize("file", LATER, ids=lambda file: file.parent.name)
def test_names_fetched_later_are_those_the_type_checker_reads(file: Path) -> None:
    package = "coldmark.bench." + ".".join(file.parent.relative_to(BENCH).parts)
    tree = ast.parse(file.read_text(encoding="utf-8"))
    home = _read_by_python(tree)
    assert home == _read_by_the_checker(tree, package)
    module = importlib.import_module(package)
    assert sorted(home) == sorted(module.__all__)
    for name, place in home.items():
        assert getattr(module, name) is getattr(importlib.import_module(f"{package}.{place}"), name)


@pytest.mark.parametrize("file", LATER, ids=lambda file: file.parent.name)
def test_no_name_fetched_later_is_a_modules_too(file: Path) -> None:
    # Importing a module puts it into its package under its own name, in place of what else is called so.
    modules = {path.stem for path in file.parent.iterdir()}
    assert modules.isdisjoint(_read_by_python(ast.parse(file.read_text(encoding="utf-8"))))


def test_a_name_that_is_not_there_is_missed_by_name() -> None:
    filters = importlib.import_module("coldmark.bench.filter")
    with pytest.raises(AttributeError, match="has no attribute 'strainer'"):
        filters.strainer  # noqa: B018


def test_what_the_card_needs_brings_no_sum_that_it_does_not_ask_for() -> None:
    code = "import sys, json, " + ", ".join(f"coldmark.bench.{part}" for part in CARD)
    code += "; print(json.dumps([name for name in sys.modules if name.startswith('coldmark.bench.')]))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    brought = {name.removeprefix("coldmark.bench.") for name in json.loads(done.stdout)}
    assert brought >= set(CARD)
    assert sorted(brought & set(IDLE)) == []
