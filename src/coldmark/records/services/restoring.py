"""Restoring a backup: hashes checked, erasures done again, a new epoch, projections made anew."""

from __future__ import annotations

import hashlib
import json
import uuid
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from django.contrib.sessions.models import Session
from django.core.exceptions import ValidationError
from django.db import DataError, IntegrityError, transaction
from django.db.models import Model

from coldmark.bench.errors import Refused
from coldmark.bench.facts import text_hash
from coldmark.records import files
from coldmark.records.models import (
    KEPT,
    PROJECTIONS,
    Attachment,
    Customer,
    Device,
    DeviceKey,
    Document,
    Fact,
    Machine,
    OilVersion,
    Person,
    SheetVersion,
    SignInTry,
    Store,
)
from coldmark.records.services.backing_up import ERASURES, FORMAT, HEAD, last_migration
from coldmark.records.services.erasing import (
    SHELVES,
    Erased,
    all_erasures,
    erasures_file,
    lines,
    read_erasures,
    replay,
)
from coldmark.records.services.folding import Folded, rebuild

__all__ = ["Restored", "restore"]

BATCH = 1000


@dataclass(frozen=True, slots=True)
class Restored:
    """What was restored: how many facts and files, the new epoch, how many erasures were done again, the folding.

    ``lacking`` files were not on the disk any more when the backup was made, nor are they here: phones that have them
    send them. ``given_up`` are lacking too, and nobody waits for them.
    """

    facts: int
    files: int
    epoch: str
    erasures: int
    folded: Folded
    lacking: int = 0
    given_up: int = 0


def restore(path: Path, *, over: bool = False) -> Restored:
    """Put a backup in the place of what the database holds.

    Parameters
    ----------
    path
        The backup's file.
    over
        Whether records that are there may be replaced.

    Raises
    ------
    Refused
        When the file is not a whole backup, was made by a newer version, or the database is not empty. The database
        is unchanged then.
    """
    if not over and any(table._default_manager.exists() for table in (Person, Customer, Machine, Fact)):
        raise Refused("records.not_empty", name="file")
    try:
        with zipfile.ZipFile(path) as archive:
            done = _restore(archive, path)
    except Refused:
        raise
    except _BROKEN as error:
        raise _broken(path, f"{type(error).__name__}: {error}") from error
    if done.erasures:
        files.write_aside(erasures_file(), lines(done.erasures).encode("utf-8"))
    return Restored(
        facts=done.facts,
        files=done.files,
        epoch=done.epoch,
        erasures=len(done.erasures),
        folded=rebuild(),
        lacking=done.lacking,
        given_up=done.given_up,
    )


_BROKEN = (
    *(zipfile.BadZipFile, zlib.error, OSError, EOFError, RuntimeError, NotImplementedError),
    *(KeyError, ValueError, TypeError, AttributeError, ValidationError, IntegrityError, DataError),
)
"""What a file gives that is no whole backup: cut, locked, packed in another way, or with rows that do not fit."""


@dataclass(frozen=True, slots=True)
class _Done:
    facts: int
    files: int
    epoch: str
    erasures: list[Erased]
    lacking: int
    given_up: int


def _restore(archive: zipfile.ZipFile, path: Path) -> _Done:
    """Put the kept tables and the files in place."""
    head = _head(archive, path)
    known = {(one.what, one.target): one for one in read_erasures(archive.read(ERASURES).decode("utf-8"))}
    # Those done since the backup was made are known here alone.
    known |= {(one.what, one.target): one for one in all_erasures()}
    erasures = list(known.values())
    erased = {one.target for one in erasures if one.what in SHELVES}
    count = _unpack_files(archive, path, erased)
    with transaction.atomic():
        issued = max(Store.objects.values_list("next_document", flat=True), default=1)
        trusted_no_more = dict(Device.objects.filter(revoked_at__isnull=False).values_list("id", "revoked_at"))
        _empty()
        for table in KEPT:
            # A table that is not counted is one that there was not when the backup was made.
            if table._meta.model_name in head["counts"]:
                _fill(archive, path, table, head["counts"][table._meta.model_name])
        lacking, given_up = _require_files(path, erased, set(head.get("lacking", ())))
        store = Store.objects.get(id=Store.ONLY)
        # Phones see by the epoch that facts may have been lost, and send again what they still have. The office's
        # device is a new one, because its running numbers since the backup are lost.
        store.epoch, store.office_device, store.office_number = uuid.uuid4(), uuid.uuid4(), 0
        if not lacking:  # else what an earlier backup covered, which lacked nothing
            store.backed_up_to = head["arrival"]
        store.backed_up_at, store.lacking = datetime.fromisoformat(head["made_at"]), lacking
        # What was issued since is with the customers: its numbers are not given again.
        store.next_document = max(store.next_document, issued)
        store.save()
        _trust_no_more(trusted_no_more)
        replay(erasures)
    return _Done(head["counts"]["fact"], count, str(store.epoch), erasures, lacking, given_up)


def _head(archive: zipfile.ZipFile, path: Path) -> dict[str, Any]:
    try:
        head = json.loads(archive.read(HEAD))
        format_, migration = int(head["format"]), str(head["migration"])
    except (KeyError, ValueError, TypeError):
        raise _broken(path, f"it has no readable {HEAD}") from None
    if format_ > FORMAT or migration > last_migration():
        raise Refused("records.backup_newer", name="file", value=str(path), version=str(head.get("app", "?")))
    return dict(head)


def _trust_no_more(devices: Mapping[uuid.UUID, datetime | None]) -> None:
    """Revoke again what was revoked since the backup was made: it may be a stolen phone."""
    for device, at in devices.items():
        Device.objects.filter(id=device, revoked_at__isnull=True).update(revoked_at=at)
        DeviceKey.objects.filter(device=device, revoked_at__isnull=True).update(revoked_at=at)


def _unpack_files(archive: zipfile.ZipFile, path: Path, erased: set[str]) -> int:
    count = 0
    for name in archive.namelist():
        shelf, _slash, sha256 = name.partition("/")
        if shelf not in {"attachments", "documents"} or sha256 in erased:
            continue
        content = archive.read(name)
        if hashlib.sha256(content).hexdigest() != sha256:
            raise _broken(path, f"{name} does not have the content its name says")
        files.keep(shelf, content)
        count += 1
    return count


def _empty() -> None:
    for table in (*PROJECTIONS, SignInTry, Session, *reversed(KEPT)):
        table._default_manager.all().delete()


def _fill(archive: zipfile.ZipFile, path: Path, table: type[Model], expected: int) -> None:
    batch: list[Model] = []
    count = 0
    for row in _rows(archive, table):
        _check_hash(path, row)
        batch.append(row)
        count += 1
        if len(batch) == BATCH:
            table._default_manager.bulk_create(batch)
            batch = []
    table._default_manager.bulk_create(batch)
    if count != expected:
        raise _broken(path, f"{table._meta.model_name} has {count} rows of {expected}")


def _rows(archive: zipfile.ZipFile, table: type[Model]) -> Iterator[Model]:
    by_name = {field.attname: field for field in table._meta.concrete_fields}
    with archive.open(f"tables/{table._meta.model_name}.jsonl") as file:
        for line in file:
            told = json.loads(line)
            # A field that this version has no more is left out; one that it has since got takes its default.
            yield table(**{name: by_name[name].to_python(value) for name, value in told.items() if name in by_name})


def _check_hash(path: Path, row: Model) -> None:
    if isinstance(row, (Fact, SheetVersion, OilVersion)) and text_hash(row.text) != row.sha256:
        raise _broken(path, f"{row._meta.verbose_name} {row.pk} does not have the text its hash says")


def _require_files(path: Path, erased: set[str], lacked: set[str]) -> tuple[int, int]:
    """Every file that a row speaks of must be there, unless it was erased since or the backup says that it lacked it.

    Returns how many it lacked that somebody may still have, and how many that were given up.
    """
    shelves = ((files.ATTACHMENTS, Attachment.objects), (files.DOCUMENTS, Document.objects))
    lacking: dict[bool, set[str]] = {False: set(), True: set()}
    for shelf, rows in shelves:
        for sha256, given_up in rows.filter(erased_at__isnull=True).values_list("sha256", "given_up"):
            if sha256 in erased or files.path_of(shelf, sha256).exists():
                continue
            if f"{shelf}/{sha256}" not in lacked:
                raise _broken(path, f"{shelf}/{sha256} is missing")
            lacking[given_up].add(f"{shelf}/{sha256}")
    return len(lacking[False]), len(lacking[True])


def _broken(path: Path, why: str) -> Refused:
    return Refused("records.backup_file", name="file", value=str(path), why=why)
