"""Sheets and oils by their hash, read once: a text named by its hash never changes."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterable
from functools import lru_cache
from threading import Lock

from coldmark.bench.oil import Oil, from_text
from coldmark.bench.sheet import Sheet, read
from coldmark.records.errors import NotFound
from coldmark.records.models import OilVersion, SheetVersion

__all__ = ["oils_by_key", "sheet_of", "sheets_of"]

MOST_KEPT = 200
_read: OrderedDict[str, Sheet] = OrderedDict()
_lock = Lock()


def sheets_of(hashes: Iterable[str]) -> dict[str, Sheet]:
    """The sheets of these hashes that are kept here; one query for those not read before."""
    wanted = set(hashes)
    with _lock:
        found = {sha256: _read[sha256] for sha256 in wanted if sha256 in _read}
        for sha256 in found:
            _read.move_to_end(sha256)
    missing = wanted - found.keys()
    if missing:
        for row in SheetVersion.objects.filter(sha256__in=missing):
            found[row.sha256] = read(row.text)
        with _lock:
            for sha256 in missing & found.keys():
                _read[sha256] = found[sha256]
            while len(_read) > MOST_KEPT:
                _read.popitem(last=False)
    return found


def sheet_of(sha256: str) -> Sheet:
    """The sheet of this hash, else *not found*."""
    sheet = sheets_of([sha256]).get(sha256)
    if sheet is None:
        raise NotFound("sheet", sha256)
    return sheet


def oils_by_key() -> dict[str, Oil]:
    """All oils by the key that facts call them by, each in the version kept last.

    The fold asks only whether a key is known, so that a better text of the same oil changes no state.
    """
    rows = OilVersion.objects.order_by("kept_at", "sha256")
    return {row.key: _oil(row.text) for row in rows}


@lru_cache(maxsize=500)
def _oil(text: str) -> Oil:
    return from_text(text)
