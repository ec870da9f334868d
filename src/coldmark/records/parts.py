"""Beginnings of attachments that come in pieces: apart from what is kept, never handed out, and in no backup.

How much there is of one is how long its file is. A piece that a killed process wrote only half of is gone on with from
there; what a power cut left wrong shows in the hash of the whole, and is begun anew.
"""

from __future__ import annotations

import contextlib
import os
from datetime import datetime, timedelta
from pathlib import Path

from coldmark.records import files
from coldmark.records.models import Person

__all__ = ["LONGEST", "MOST", "PARTS", "add", "drop", "part_of", "read", "size"]

PARTS = "parts"
MOST = 16
"""The most beginnings of one person, each no longer than an attachment may be. The oldest makes room."""
LONGEST = timedelta(days=14)
"""How long a beginning waits to be gone on with."""


def part_of(sha256: str, person: Person, device: str) -> Path:
    """Where the beginning of an attachment lies that a person sends from a device."""
    return files.folder(PARTS) / f"{sha256}.{person.id}.{device}"


def size(part: Path) -> int:
    """How much of it there is [bytes]."""
    try:
        return part.stat().st_size
    except FileNotFoundError:
        return 0


def read(part: Path) -> bytes:
    """What there is of it."""
    try:
        return part.read_bytes()
    except FileNotFoundError:
        return b""


def add(part: Path, at: int, piece: bytes, now: datetime) -> int:
    """Write a piece at its place, on disk before this returns how much there is now.

    Whoever writes the same piece at the same moment writes the same bytes to the same place.
    """
    begins = at == 0
    if begins:
        part.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        _make_room(part, now)
    with contextlib.suppress(FileNotFoundError):  # made whole or erased meanwhile: nothing is left to go on with
        handle = os.open(part, os.O_WRONLY | (os.O_CREAT if begins else 0), 0o600)
        with os.fdopen(handle, "wb") as file:
            file.seek(at)
            file.write(piece)
            file.flush()
            os.fsync(file.fileno())
        if begins:
            files.sync_folder(part.parent)
    return size(part)


def drop(sha256: str) -> None:
    """Take away every beginning of this attachment, whoever sent it."""
    for part in files.folder(PARTS).glob(f"{sha256}.*"):
        part.unlink(missing_ok=True)


def _make_room(part: Path, now: datetime) -> None:
    """Take away what is old, and this person's oldest where there are too many."""
    _sha256, person, _device = part.name.split(".")
    own: list[tuple[float, Path]] = []
    for other in part.parent.iterdir():
        with contextlib.suppress(FileNotFoundError):
            touched = other.stat().st_mtime
            if now.timestamp() - touched > LONGEST.total_seconds():
                other.unlink()
            elif other != part and other.name.split(".")[1:2] == [person]:
                own.append((touched, other))
    for _touched, other in sorted(own)[: max(0, len(own) - MOST + 1)]:
        other.unlink(missing_ok=True)
