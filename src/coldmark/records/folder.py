"""The one data folder: database, attachments, secret, and the mark a demo leaves.

Everything a house keeps lies in this folder, so that copying the folder away is never half the truth, and an
empty folder is a new house. No Django here: the command line asks about the folder before it starts Django.
"""

from __future__ import annotations

import contextlib
import os
import secrets
from pathlib import Path

ENVIRONMENT = "COLDMARK_DATA"


def data_folder() -> Path:
    """The folder named by COLDMARK_DATA, else ./data, as a full path (it need not exist yet)."""
    return Path(os.environ.get(ENVIRONMENT) or "data").expanduser().resolve()


def prepare(folder: Path) -> None:
    """Make the folder and its attachments folder, readable by their owner alone."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    (folder / "attachments").mkdir(mode=0o700, exist_ok=True)


def demo_mark(folder: Path) -> Path:
    """The file that says a folder holds the demo; it keeps the demo's sign-in, for `coldmark serve` to print."""
    return folder / "demo.json"


def secret_key(folder: Path) -> str:
    """The house's secret, made on first use and kept in a file that only its owner reads."""
    kept = folder / "secret"
    if not kept.exists():
        _make_secret(kept)
    return kept.read_text(encoding="ascii").strip()


def _make_secret(kept: Path) -> None:
    """Write a new secret aside and link it into place, so that two starts at once agree on one of them."""
    prepare(kept.parent)
    aside = kept.with_name(f"secret.{secrets.token_hex(8)}")
    handle = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(secrets.token_urlsafe(64) + "\n")
            file.flush()
            os.fsync(file.fileno())
        with contextlib.suppress(FileExistsError):  # another process was first; its secret is the house's
            os.link(aside, kept)
    finally:
        aside.unlink()
