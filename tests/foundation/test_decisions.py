"""Every library that is asked for is told of in the decisions: what it does for us, and what was passed over."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TOLD = "\n".join(page.read_text(encoding="utf-8") for page in (ROOT / "docs/decisions").glob("*.md")).lower()
# Called otherwise there.
CALLED = {"@sveltejs/vite-plugin-svelte": "its svelte plugin"}


def asked_for() -> list[str]:
    """The libraries of Python's and the app's lists; types alone belong to what they are the types of."""
    python = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    lists = [
        python["project"]["dependencies"],
        *python["project"]["optional-dependencies"].values(),
        *python["dependency-groups"].values(),
    ]
    app = json.loads((ROOT / "phone/package.json").read_text(encoding="utf-8"))
    names = {re.split(r"[^\w.-]", one)[0] for each in lists for one in each} | app["dependencies"].keys()
    return sorted(one for one in names | app["devDependencies"].keys() if not one.startswith(("types-", "@types/")))


@pytest.mark.parametrize("name", asked_for())
def test_it_is_told_of(name: str) -> None:
    assert CALLED.get(name, name).lower() in TOLD
