"""Who works with the data folder: servers share it, a restore has it to itself.

The lock is the kernel's, on an open file, and goes with the processes that hold it: neither a kill nor a power cut
leaves it behind, and a worker that outlives its server still counts. On PostgreSQL as well a house's attachments and
secret lie in this folder, so that all its processes meet here. No Django here, as in :mod:`coldmark.records.folder`.
"""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from coldmark.bench.errors import Refused
from coldmark.records.folder import prepare

__all__ = ["alone_in", "serve_from"]

FILE = "in-use"


def serve_from(folder: Path) -> int:
    """Share the folder with other servers for as long as this process lives, or what it turns into by ``exec``.

    Returns the open file, which is never closed on purpose.

    Raises
    ------
    Refused
        While a backup is being restored into the folder.
    """
    held = _open(folder)
    if not _locked(folder, held, fcntl.LOCK_SH):
        os.close(held)
        raise Refused("serve.being_restored", name="data folder", value=str(folder))
    os.set_inheritable(held, True)
    return held


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Have the folder to oneself meanwhile.

    Raises
    ------
    Refused
        While a server serves it, or another restore works in it.
    """
    held = _open(folder)
    try:
        if not _locked(folder, held, fcntl.LOCK_EX):
            raise Refused("records.in_use", name="data folder", value=str(folder))
        yield
    finally:
        os.close(held)


def _open(folder: Path) -> int:
    prepare(folder)
    return os.open(folder / FILE, os.O_RDWR | os.O_CREAT, 0o600)


def _locked(folder: Path, held: int, how: int) -> bool:
    try:
        fcntl.flock(held, how | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError as error:
        raise Refused("records.no_lock", name="data folder", value=str(folder), why=error.strerror or "") from error
    return True
