"""Device keys: what lets a phone in after a month without a network, without signing in anew.

A key is given to somebody of the firm who is signed in, for the device at hand. It is 256 bits of chance, kept here as
a hash alone, and it is the same until it ends: were it exchanged at each use, an answer lost on the way would lock the
phone out at the worst place. It ends when its person signs out on the device, when his password is set anew, and when
nobody has used it for as long as it lasts. Then it is a stranger's, and whoever holds it has to sign in.

One that was revoked, or whose person is of the firm no more, opens nothing either; but what the phone had recorded is
still taken from it, and held apart.
"""

from __future__ import annotations

import hashlib
import secrets
import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.contrib.sessions.models import Session

from coldmark.records.errors import uuid_of
from coldmark.records.models import Device, DeviceKey, Person
from coldmark.records.numbers import moment

__all__ = ["LASTS", "KeyUse", "end_keys", "end_sessions", "give_key", "read_key", "revoke_keys"]

LASTS = timedelta(days=400)
"""As long as browsers keep a cookie."""
_USED_WORTH = timedelta(hours=6)
"""A key's last use is written down no more often, so that phones that only read do not write."""
SECRET_BYTES = 32


@dataclass(frozen=True, slots=True)
class KeyUse:
    """Whose key it is and on which device; only a *trusted* one opens anything."""

    person: Person
    device: str
    trusted: bool


def give_key(person: Person, device: str, told: str = "", *, now: datetime | None = None) -> str:
    """Return the key of a person on a device: the one that was ``told``, while it holds, else a new one.

    The person has just been let in, by signing in or by that very key.
    """
    at = moment(now)
    row = _find(told, at)
    if row is None or row.revoked_at is not None or (str(row.device_id), row.person_id) != (device, person.id):
        row_id, secret = uuid.uuid4(), secrets.token_urlsafe(SECRET_BYTES)
        # One key for a person on a device: an older one was lost, or it would have been told.
        end_keys(person, device)
        DeviceKey.objects.create(
            id=row_id, device_id=uuid.UUID(device), person=person, sha256=_hash(secret), made_at=at, used_at=at
        )
        return f"{row_id.hex}.{secret}"
    if at - row.used_at > _USED_WORTH:
        DeviceKey.objects.filter(id=row.id).update(used_at=at)
        Device.objects.filter(id=row.device_id).update(seen_at=at)
    return told


def read_key(told: str, *, now: datetime | None = None) -> KeyUse | None:
    """Return whose key this is; ``None`` for one that is none, has ended, or has another secret. One query."""
    row = _find(told, moment(now))
    if row is None:
        return None
    person = row.person
    trusted = row.revoked_at is None and row.device.revoked_at is None and person.is_active and person.is_staff
    return KeyUse(person, str(row.device_id), trusted)


def end_keys(person: Person, device: str | None = None) -> None:
    """End the keys of a person, on one device or on all: whoever holds one has to sign in."""
    rows = DeviceKey.objects.filter(person=person, revoked_at__isnull=True)
    if device is not None:
        rows = rows.filter(device=uuid_of("device", device))
    rows.delete()


def revoke_keys(devices: Iterable[uuid.UUID], at: datetime) -> None:
    """Let no key of these devices open anything any more, nor any session that was opened on them."""
    ids = set(devices)
    DeviceKey.objects.filter(device__in=ids, revoked_at__isnull=True).update(revoked_at=at)
    end_sessions({str(id) for id in ids})


def end_sessions(devices: Iterable[str]) -> None:
    """End the sessions that say that they are on one of these devices."""
    wanted = set(devices)
    on_them = [row.pk for row in Session.objects.all().iterator() if row.get_decoded().get("device") in wanted]
    Session.objects.filter(pk__in=on_them).delete()


def _find(told: str, at: datetime) -> DeviceKey | None:
    """The key whose public half is told, when its secret is the one that is told too."""
    public, _dot, secret = told.partition(".")
    try:
        id = uuid.UUID(hex=public) if len(public) == 32 else None
    except ValueError:
        id = None
    row = None if id is None else DeviceKey.objects.select_related("device", "person").filter(id=id).first()
    # Compared in a time that does not tell how much of it is right, and where there is no such key as well.
    right = secrets.compare_digest(_hash(secret), row.sha256 if row is not None else "0" * 64)
    if row is None or not right or at - row.used_at > LASTS:
        return None
    return row


def _hash(secret: str) -> str:
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()
