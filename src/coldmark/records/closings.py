"""What a job was closed over, and what has come to it since."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from coldmark.bench import words
from coldmark.bench.closing import FINISH, Closing, closing
from coldmark.bench.errors import ColdmarkError
from coldmark.bench.facts import Fact as BenchFact
from coldmark.records.access import facts_of_job
from coldmark.records.corrections import standing, stored_fact
from coldmark.records.models import ClosingRow, Fact
from coldmark.records.worktime import CLOCK_KINDS

__all__ = [
    "Closed",
    "closed_over",
    "closing_of",
    "closing_rows",
    "closing_that_holds",
    "says_closed",
    "shows_sticker",
]

_NOT_OF_THE_MACHINE = frozenset({"clock_error", "document_issued", "job_closed"}) | CLOCK_KINDS
"""Kinds that may follow a closing and say nothing of what was done: papers, and whose clock ran until when."""


@dataclass(frozen=True, slots=True)
class Closed:
    """A job's closing: its code, when, over how many entries, and what has come since.

    ``missing`` of the entries are not here as they were then. ``late`` are facts of the job that came after, and
    ``stickers`` those of them that are photos of the sticker, which can be taken only then. ``changed`` are those of
    the closing that were corrected since. ``withdrawn``: the closing was taken back. ``held``: it came from a device
    that is trusted no more, and nobody has let it in.
    """

    code: str
    sha256: str
    at: datetime
    count: int
    missing: int
    late: frozenset[str]
    stickers: frozenset[str]
    changed: frozenset[str]
    withdrawn: bool
    held: bool


def closing_of(body: Mapping[str, Any]) -> Closing | None:
    """The code of a body that closes a job; ``None`` where it names a fact twice, as no program of ours does."""
    try:
        return closing((str(id), str(sha256)) for id, sha256 in body["facts"])
    except (ColdmarkError, KeyError, TypeError, ValueError):
        return None


def closing_rows(facts: Iterable[BenchFact]) -> list[ClosingRow]:
    """The rows by which codes are found, of those of the facts that close a job."""
    rows = []
    for fact in facts:
        made = closing_of(fact.body) if fact.kind == "job_closed" and fact.known else None
        if made is not None:
            rows.append(ClosingRow(fact=uuid.UUID(fact.id), code=made.bare, sha256=made.sha256))
    return rows


def closing_that_holds(machine: uuid.UUID, job: uuid.UUID) -> Closed | None:
    """The closing of a job that counts now: the latest that nobody took back.

    Four queries, and one each for corrections and for photos that came after.
    """
    of_it = facts_of_job(machine, job).filter(kind="job_closed", held_apart=False)
    rows = sorted(of_it, key=lambda row: (row.at, row.number, row.id), reverse=True)
    holds = standing(rows)
    found = (_closed(row, withdrawn=False) for row in rows if str(row.id) in holds)
    return next((one for one in found if one is not None), None)


def closed_over(row: Fact) -> Closed | None:
    """What a fact that closes a job closed, and what has come since."""
    return _closed(row, withdrawn=not row.held_apart and str(row.id) not in standing([row]))


def _closed(row: Fact, *, withdrawn: bool) -> Closed | None:
    fact = stored_fact(row)
    made = closing_of(fact.body) if fact.known else None
    if made is None or row.job is None:
        return None
    sealed = {str(id): str(sha256) for id, sha256 in fact.body["facts"]}
    of_job = Fact.objects.filter(job=row.job).values_list("id", "sha256", "kind", "corrects", "held_apart")
    kept, late, photos = 0, set(), []
    for id, sha256, kind, corrects, held in of_job:
        if str(id) in sealed:
            kept += sealed[str(id)] == sha256
        elif not (held or corrects is not None or kind in _NOT_OF_THE_MACHINE):
            late.add(str(id))
            if kind == "photo":
                photos.append(id)
    return Closed(
        code=made.code,
        sha256=made.sha256,
        at=row.at,
        count=len(sealed),
        missing=len(sealed) - kept,
        late=frozenset(late),
        stickers=_stickers(photos),
        changed=_changed(sealed),
        withdrawn=withdrawn,
        held=row.held_apart,
    )


def shows_sticker(kind: str, body: Mapping[str, Any]) -> bool:
    """Whether a fact is the photo that is taken of the sticker on the screen with the closing code."""
    return kind == "photo" and body.get("of") == "other" and body.get("about") == FINISH


def _stickers(photos: Sequence[uuid.UUID]) -> frozenset[str]:
    if not photos:
        return frozenset()
    facts = [stored_fact(row) for row in Fact.objects.filter(id__in=photos)]
    return frozenset(fact.id for fact in facts if fact.known and shows_sticker(fact.kind, fact.body))


def _changed(sealed: Mapping[str, str]) -> frozenset[str]:
    """The facts that a correction speaks of which came since and holds."""
    corrections = Fact.objects.filter(corrects__in=list(sealed), held_apart=False)
    since: Sequence[Fact] = [row for row in corrections if str(row.id) not in sealed]
    holds = standing(since) if since else {}
    return frozenset(str(row.corrects) for row in since if str(row.id) in holds)


def says_closed(closed: Closed, *, day: str, time: str) -> list[str]:
    """Tell what a closing code stands for: no names, and no machine."""
    said = [_counted("closing.over", closed.count, day=day, time=time)]
    if closed.held:
        said.append(words.sentence("closing.held"))
    said.append(words.sentence("closing.kept") if not closed.missing else _counted("closing.missing", closed.missing))
    others = len(closed.late - closed.stickers)
    if closed.stickers:
        said.append(_counted("closing.sticker", len(closed.stickers)))
        said.append(_counted("closing.late.else", others))
    else:
        said.append(_counted("closing.late", others))
    said.append(_counted("closing.changed", len(closed.changed)))
    if closed.withdrawn:
        said.append(words.sentence("closing.withdrawn"))
    return said


def _counted(message: str, count: int, **values: str) -> str:
    which = "none" if count == 0 else "one" if count == 1 else "many"
    told: dict[str, words.Value] = {"count": count, **values}
    return words.sentence(f"{message}.{which}", units="metric", **told)
