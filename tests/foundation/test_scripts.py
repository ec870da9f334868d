"""The scripts say in one line what a machine lacks, and the browser tests never vanish silently."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from tests.support.chromium import chromium, chromium_or_skip

ROOT = Path(__file__).parents[2]
# What the set-up needs of the shell's own neighbours before it has looked for anything.
EVERYWHERE = ("bash", "dirname", "env")


def bare_path(tmp_path: Path, **programs: str) -> str:
    """A PATH with almost nothing on it, and the given small scripts."""
    folder = tmp_path / "bin"
    folder.mkdir()
    for name in EVERYWHERE:
        found = shutil.which(name)
        assert found is not None
        (folder / name).symlink_to(found)
    for name, script in programs.items():
        (folder / name).write_text(f"#!/usr/bin/env bash\n{script}\n")
        (folder / name).chmod(0o755)
    return str(folder)


def server_script(path: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [ROOT / "script" / "server"], env={"PATH": path}, capture_output=True, text=True, check=False, timeout=60
    )


def test_a_bare_machine_is_told_one_line_and_nothing_is_begun(tmp_path: Path) -> None:
    done = server_script(bare_path(tmp_path))
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr == "apt-get install -y git python3 python3-venv\n"


def test_only_what_is_missing_is_named(tmp_path: Path) -> None:
    # This python3 is new enough (its version question passes) but cannot make environments.
    done = server_script(bare_path(tmp_path, git="true", python3='[[ "$2" != *ensurepip* ]]'))
    assert done.returncode == 1
    assert done.stderr == "apt-get install -y python3-venv\n"


def test_an_old_python_is_named_with_its_version(tmp_path: Path) -> None:
    old = '[[ "$1" == --version ]] && echo "Python 3.9.2" && exit 0; exit 1'
    done = server_script(bare_path(tmp_path, git="true", python3=old))
    assert done.returncode == 1
    assert done.stderr == "Coldmark needs Python 3.11 or newer; python3 here is Python 3.9.2.\n"


@pytest.fixture
def _no_chromium(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("COLDMARK_CHROMIUM", raising=False)
    monkeypatch.setenv("PATH", str(tmp_path))


@pytest.mark.usefixtures("_no_chromium")
def test_without_a_chromium_the_skip_says_how_to_get_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("CI", raising=False)
    with pytest.raises(pytest.skip.Exception, match="apt-get install -y chromium"):
        chromium_or_skip()


@pytest.mark.usefixtures("_no_chromium")
def test_in_ci_a_missing_chromium_is_a_failure(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.fail.Exception, match="COLDMARK_CHROMIUM"):
        chromium_or_skip()


@pytest.mark.usefixtures("_no_chromium")
def test_the_chromium_that_was_named_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLDMARK_CHROMIUM", "/opt/browser")
    assert chromium() == "/opt/browser"
