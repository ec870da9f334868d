"""Files named by the SHA-256 of their content: attachments and issued documents, beside the database.

A file is written aside, synced, and moved into place, and its folder is synced too: a name that can be seen holds
the whole content, and what was answered *kept* outlives a power cut.
"""

from __future__ import annotations

import errno
import hashlib
import os
import secrets
from contextlib import suppress
from pathlib import Path

from django.conf import settings

__all__ = [
    "ATTACHMENTS",
    "DOCUMENTS",
    "JPEG",
    "MP4",
    "SMALL",
    "STROKES",
    "TEXT",
    "VOICES",
    "WEBM",
    "append_line",
    "folder",
    "keep",
    "keep_as",
    "path_of",
    "read",
    "read_whole",
    "remove",
    "sync_folder",
    "write_aside",
]

ATTACHMENTS = "attachments"
DOCUMENTS = "documents"
SMALL = "small"
"""Photos at small size, by the hash of the whole ones: made anew whenever they are missing, and in no backup."""

JPEG = "image/jpeg"
TEXT = "text/plain; charset=utf-8"
STROKES = "application/json"
WEBM = "audio/webm"
MP4 = "audio/mp4"
VOICES = (WEBM, MP4)


def folder(shelf: str) -> Path:
    """The folder of a shelf, such as ``attachments``, in the data folder."""
    return Path(settings.COLDMARK_DATA) / shelf


def path_of(shelf: str, sha256: str) -> Path:
    """Where content of this hash lies: 256 × 256 folders, so that none grows large."""
    if len(sha256) != 64 or not set(sha256) <= set("0123456789abcdef"):
        raise ValueError(f"sha256 = {sha256!r} is not 64 hex digits in lower case")
    return folder(shelf) / sha256[:2] / sha256[2:4] / sha256


def keep(shelf: str, content: bytes) -> str:
    """Keep content and return its hash. Keeping it again changes nothing, and mends a damaged file."""
    sha256 = hashlib.sha256(content).hexdigest()
    path = path_of(shelf, sha256)
    if path.exists() and path.read_bytes() == content:
        return sha256
    keep_as(shelf, sha256, content)
    return sha256


def keep_as(shelf: str, name: str, content: bytes) -> None:
    """Keep content under another hash than its own."""
    path = path_of(shelf, name)
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    write_aside(path, content)


def read(shelf: str, sha256: str) -> bytes | None:
    """Return the content of this hash; ``None`` when it is not here."""
    try:
        return path_of(shelf, sha256).read_bytes()
    except FileNotFoundError:
        return None


def read_whole(shelf: str, sha256: str) -> bytes | None:
    """Return the content if it has this hash, or ``None``; what is damaged is set aside, so that it is lacking."""
    try:
        content = read(shelf, sha256)
    except OSError as error:
        if error.errno != errno.EIO:
            raise
        content = b""  # a part of the disk that cannot be read any more
    if content is None or hashlib.sha256(content).hexdigest() == sha256:
        return content
    path = path_of(shelf, sha256)
    # A failing disk may take no writing any more: it is lacking all the same.
    with suppress(OSError):
        path.replace(_damaged(path))
        sync_folder(path.parent)
    return None


def _damaged(path: Path) -> Path:
    return path.with_name(f"{path.name}.damaged")


def remove(shelf: str, sha256: str) -> None:
    """Take the content away, a damaged one too; twice is once."""
    path = path_of(shelf, sha256)
    path.unlink(missing_ok=True)
    _damaged(path).unlink(missing_ok=True)
    if path.parent.exists():
        sync_folder(path.parent)


def write_aside(path: Path, content: bytes) -> None:
    """Write a file aside, sync it, and move it into place."""
    aside = path.with_name(f".{path.name}.{secrets.token_hex(6)}")
    try:
        with os.fdopen(os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        aside.replace(path)
    finally:
        aside.unlink(missing_ok=True)
    sync_folder(path.parent)


def append_line(path: Path, line: str) -> None:
    """Add a line to a file and sync it. One that a power cut left without its end is not gone on with."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    with os.fdopen(os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND, 0o600), "r+b") as file:
        if file.seek(0, os.SEEK_END) > 0:
            file.seek(-1, os.SEEK_END)
            if file.read(1) != b"\n":
                file.write(b"\n")
        file.write(line.encode("utf-8") + b"\n")
        file.flush()
        os.fsync(file.fileno())
    sync_folder(path.parent)


def sync_folder(path: Path) -> None:
    """Sync a folder, so that a name made or removed in it is on disk."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
