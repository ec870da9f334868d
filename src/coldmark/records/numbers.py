"""The store's row: locked while numbers are given out."""

from __future__ import annotations

import secrets
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.conf import settings
from django.utils import timezone

from coldmark.bench.facts import ID_RANDOM_BITS, new_id
from coldmark.records.models import Store

__all__ = ["fresh_id", "in_ms", "local_text", "locked_store", "moment", "read_store", "utc"]

_EPOCH = datetime(1970, 1, 1, tzinfo=ZoneInfo("UTC"))
_MILLISECOND = timedelta(milliseconds=1)


def read_store() -> Store:
    """The store's row, made when it is missing."""
    store, _made = Store.objects.get_or_create(id=Store.ONLY)
    return store


def locked_store() -> Store:
    """The store's row, locked until the transaction ends. To be called inside one.

    SQLite's immediate transaction locks the whole file already; PostgreSQL locks the row.
    """
    locked = Store.objects.select_for_update().filter(id=Store.ONLY).first()
    if locked is None:
        read_store()
        locked = Store.objects.select_for_update().get(id=Store.ONLY)
    return locked


def moment(now: datetime | None) -> datetime:
    """The moment handed in, or this one."""
    return timezone.now() if now is None else now


def utc(at_ms: int) -> datetime:
    """Milliseconds since 1970 as a moment."""
    return _EPOCH + at_ms * _MILLISECOND


def in_ms(at: datetime) -> int:
    """A moment as milliseconds since 1970."""
    return (at - _EPOCH) // _MILLISECOND


def local_text(at: datetime) -> str:
    """A moment as facts write it, to the second, with the workshop's UTC offset."""
    return at.astimezone(ZoneInfo(settings.TIME_ZONE)).isoformat(timespec="seconds")


def fresh_id(now: datetime) -> str:
    """A new fact id of this moment."""
    return new_id(in_ms(now), secrets.randbits(ID_RANDOM_BITS))
