"""Signing in and checking closing codes, with guessing made slow.

After a few failures each further try has to wait, twice as long each time.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from datetime import datetime, timedelta
from ipaddress import ip_address, ip_network

from django.contrib.auth import authenticate
from django.db import transaction

from coldmark.bench.closing import read_code
from coldmark.bench.errors import Refused
from coldmark.bench.facts.checks import HASH
from coldmark.records.closings import Closed, closed_over
from coldmark.records.errors import NotNow
from coldmark.records.models import ClosingRow, Fact, Person, SignInTry
from coldmark.records.numbers import moment

__all__ = ["check_code", "sign_in"]

FREE_BY_NAME = 5
FREE_BY_ADDRESS = 20
FIRST_WAIT = timedelta(seconds=4)
LONGEST_WAIT = timedelta(minutes=15)
FORGOTTEN_AFTER = timedelta(hours=2)
_IS_HASH = re.compile(HASH).fullmatch


def sign_in(name: str, password: str, *, address: str, now: datetime | None = None) -> Person:
    """Return the person whose name and password these are.

    Parameters
    ----------
    name, password
        As typed.
    address
        Where the try comes from; many names tried from one address wait too.

    Raises
    ------
    NotNow
        When too many tries failed; says how long to wait. The password was not looked at.
    Refused
        When name or password is not right; which of them is not told.
    """
    at = moment(now)
    keys = {_key("name", name.strip().casefold()): FREE_BY_NAME, _key("address", _place(address)): FREE_BY_ADDRESS}
    _wait(keys, at)
    person = authenticate(username=name, password=password)
    if isinstance(person, Person):
        SignInTry.objects.filter(key=_key("name", name.strip().casefold())).delete()
        return person
    for key, free in keys.items():
        _failed(key, free, at)
    raise Refused("records.sign_in_wrong", name="password")


def check_code(code: str, *, address: str, now: datetime | None = None) -> Closed:
    """Return what a closing code, or the whole hash that it is the beginning of, stands for; for anybody.

    Codes that were made up find nothing and make the next try from there wait, as wrong passwords do.

    Raises
    ------
    NotNow
        When too many tries from this address found nothing.
    Refused
        When it is no code, a sign of it is wrong, or no job was closed here with it.
    """
    at = moment(now)
    bare = "".join(code.split()).lower()
    by = {"sha256": bare} if _IS_HASH(bare) else {"code": read_code(code).replace("-", "")}
    key = _key("code", _place(address))
    _wait([key], at)
    ids = ClosingRow.objects.filter(**by).values_list("fact", flat=True)
    rows = Fact.objects.filter(id__in=list(ids))
    # One list closed on two phones has one code: what counts is the first that was let in.
    for row in sorted(rows, key=lambda row: (row.held_apart, row.at, row.id)):
        found = closed_over(row)
        if found is not None:
            return found
    _failed(key, FREE_BY_ADDRESS, at)
    raise Refused("closing.unknown", name="code", value=code.strip()[:80])


def _wait(keys: Iterable[str], at: datetime) -> None:
    waits = SignInTry.objects.filter(key__in=list(keys), wait_until__gt=at).values_list("wait_until", flat=True)
    latest = max((wait for wait in waits if wait is not None), default=None)
    if latest is not None:
        raise NotNow(max(1, round((latest - at).total_seconds())))


def _failed(key: str, free: int, at: datetime) -> None:
    with transaction.atomic():
        SignInTry.objects.get_or_create(key=key, defaults={"last_at": at})
        row = SignInTry.objects.select_for_update().get(key=key)
        row.failed = 1 if at - row.last_at > FORGOTTEN_AFTER else row.failed + 1
        row.last_at = at
        over = row.failed - free
        row.wait_until = None if over < 0 else at + min(FIRST_WAIT * 2 ** min(over, 20), LONGEST_WAIT)
        row.save()
    SignInTry.objects.filter(last_at__lt=at - FORGOTTEN_AFTER).delete()


def _place(address: str) -> str:
    """What is counted as one address: of IPv6 the first half, since who has one has all behind it."""
    try:
        told = ip_address(address)
    except ValueError:
        return address
    return str(ip_network((told, 64), strict=False)) if told.version == 6 else str(told)


def _key(what: str, value: str) -> str:
    return hashlib.sha256(f"{what}\n{value}".encode("utf-8", "replace")).hexdigest()
