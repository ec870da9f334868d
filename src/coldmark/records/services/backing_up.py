"""Backups: one file with all kept tables as lines of JSON, the attachments, the documents and the erasures.

It is taken while serving, from one moment of the database, and it restores on either database. Projections are not in
it, because they are made anew; neither are sessions, nor the house's secret.

A file that a row speaks of may be gone from the disk, as where a database was put back without its folder, or be
damaged, which counts as gone. The backup is made all the same, since everything else must be saved, and names what it
lacks: a restore accepts that this is missing, and nothing else. But it lets no phone forget. Which phone has the only
copy left is not known here, so all keep what they have until a backup lacks nothing, or the office gives up what nobody
has any more.
"""

from __future__ import annotations

import json
import os
import uuid
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from django.db import connection, transaction
from django.db.migrations.recorder import MigrationRecorder
from django.db.models import Max, Model

from coldmark import __version__
from coldmark.bench.errors import Refused
from coldmark.records import files
from coldmark.records.models import KEPT, Attachment, Document, Fact, Store
from coldmark.records.numbers import moment, read_store
from coldmark.records.services.erasing import SHELVES, all_erasures, lines

__all__ = ["FORMAT", "BackupMade", "backup", "last_migration"]

FORMAT = 1
HEAD = "coldmark.json"
ERASURES = "erasures.jsonl"


@dataclass(frozen=True, slots=True)
class BackupMade:
    """A backup that was written: where, how many facts and files, the last arrival it has, its size in bytes.

    ``lacking`` are files that are not whole on this disk, such as ``attachments/`` and a hash: as long as there are
    any, what has arrived is not told to be covered. ``given_up`` are lacking too, and nobody waits for them.
    """

    path: str
    facts: int
    files: int
    arrival: int
    size: int
    lacking: tuple[str, ...] = ()
    given_up: tuple[str, ...] = ()


def backup(path: Path, *, give_up: bool = False, now: datetime | None = None) -> BackupMade:
    """Write a backup; the server may go on serving. What is acknowledged up to then is covered, if it lacks no file.

    Parameters
    ----------
    path
        The file to write.
    give_up
        Whether no phone is waited for any more that may still have what the last backup lacked and is lacking now.
    now
        When it is made.

    Raises
    ------
    Refused
        When the file is there already, or more is to be given up than the last backup named.
    """
    if path.exists():
        raise Refused("records.backup_exists", name="file", value=str(path))
    path.parent.mkdir(parents=True, exist_ok=True)
    aside = path.with_name(f".{path.name}.part")
    at = moment(now)
    if give_up:
        _give_up()
    try:
        with os.fdopen(os.open(aside, os.O_RDWR | os.O_CREAT | os.O_TRUNC, 0o600), "w+b") as file:
            with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
                head, made = _fill(archive, at)
            file.flush()
            os.fsync(file.fileno())
        aside.replace(path)
        files.sync_folder(path.parent)
    finally:
        aside.unlink(missing_ok=True)
    # Only now, with the file on disk, may phones forget what it covers; and not yet, where it lacks what one may have.
    told: dict[str, Any] = {"backed_up_at": at, "lacking": len(made.lacking)}
    if not made.lacking:
        told["backed_up_to"] = head["arrival"]
    Store.objects.filter(id=Store.ONLY, epoch=head["epoch"]).update(**told)
    return BackupMade(
        path=str(path),
        facts=head["counts"]["fact"],
        files=made.count,
        arrival=head["arrival"],
        size=path.stat().st_size,
        lacking=made.lacking,
        given_up=made.given_up,
    )


def last_migration() -> str:
    """The name of the last migration of the records."""
    applied = MigrationRecorder(connection).applied_migrations()
    return max((name for app, name in applied if app == "records"), default="")


@dataclass(frozen=True, slots=True)
class _Files:
    count: int
    lacking: tuple[str, ...]
    given_up: tuple[str, ...]


def _fill(archive: zipfile.ZipFile, at: datetime) -> tuple[dict[str, Any], _Files]:
    read_store()
    counts: dict[str, int] = {}
    with _one_moment():
        store = Store.objects.get(id=Store.ONLY)
        arrival = Fact.objects.aggregate(last=Max("arrival"))["last"] or 0
        for table in KEPT:
            counts[table._meta.model_name or ""] = _write_table(archive, table)
        wanted = [(shelf, sha256) for shelf, table in _SHELVED.items() for sha256 in _hashes(_expected(table))]
        given_up = {
            f"{shelf}/{sha256}"
            for shelf, table in _SHELVED.items()
            for sha256 in _hashes(_expected(table).filter(given_up=True))
        }
    count = 0
    gone = []
    for shelf, sha256 in wanted:
        content = files.read_whole(shelf, sha256)
        if content is None:
            gone.append(f"{shelf}/{sha256}")
            continue
        archive.writestr(zipfile.ZipInfo(f"{shelf}/{sha256}"), content, zipfile.ZIP_STORED)
        count += 1
    # Read after the files, and told before one is erased: what went meanwhile because it was erased is in it.
    erasures = all_erasures()
    archive.writestr(ERASURES, lines(erasures))
    erased = {f"{SHELVES[one.what]}/{one.target}" for one in erasures if one.what in SHELVES}
    gone = [name for name in gone if name not in erased]
    head = {
        "format": FORMAT,
        "app": __version__,
        "migration": last_migration(),
        "epoch": str(store.epoch),
        "made_at": at.isoformat(),
        "arrival": arrival,
        "counts": counts,
        "lacking": gone,
    }
    archive.writestr(HEAD, json.dumps(head, indent=1))
    lacking = tuple(name for name in gone if name not in given_up)
    return head, _Files(count, lacking, tuple(name for name in gone if name in given_up))


_SHELVED: dict[str, type[Attachment] | type[Document]] = {files.ATTACHMENTS: Attachment, files.DOCUMENTS: Document}
"""Whose rows speak of the files of a shelf."""


def _expected(table: type[Attachment] | type[Document]) -> Any:
    return table._default_manager.filter(erased_at__isnull=True)


def _give_up() -> None:
    """Mark what is not on this disk as given up: what the last backup named, and no more than that.

    Raises
    ------
    Refused
        When more is lacking than then, as where the folder of the files is not there at all.
    """
    gone = [
        (table, sha256)
        for shelf, table in _SHELVED.items()
        for sha256 in _hashes(_expected(table).filter(given_up=False))
        if not files.path_of(shelf, sha256).exists()
    ]
    named = read_store().lacking
    if len(gone) > named:
        raise Refused("records.more_lacking", name="give_up", value=str(len(gone)), named=str(named))
    for table, sha256 in gone:
        _expected(table).filter(sha256=sha256).update(given_up=True)


@contextmanager
def _one_moment() -> Iterator[None]:
    """A transaction that sees the database as it is at one moment, without keeping writers out."""
    if connection.vendor == "sqlite":
        sqlite: Any = connection
        mode = sqlite.transaction_mode
        # Immediate transactions, as everywhere else, would lock writers out for as long as the backup takes.
        sqlite.transaction_mode = "DEFERRED"
        try:
            with transaction.atomic():
                yield
        finally:
            sqlite.transaction_mode = mode
    else:
        with transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield


def _hashes(rows: Any) -> list[str]:
    return list(rows.order_by("sha256").values_list("sha256", flat=True).distinct())


def _write_table(archive: zipfile.ZipFile, table: type[Model]) -> int:
    count = 0
    with archive.open(f"tables/{table._meta.model_name}.jsonl", "w", force_zip64=True) as file:
        for row in table._default_manager.order_by("pk").iterator(chunk_size=2000):
            file.write(_line(row).encode("utf-8") + b"\n")
            count += 1
    return count


def _line(row: Model) -> str:
    told = {field.attname: _plain(getattr(row, field.attname)) for field in row._meta.concrete_fields}
    return json.dumps(told, ensure_ascii=False, separators=(",", ":"))


def _plain(value: Any) -> Any:
    if isinstance(value, uuid.UUID):
        return str(value)
    if isinstance(value, (datetime, date, time)):
        return value.isoformat()
    return value
