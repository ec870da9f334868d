"""A machine's story: its facts in time order, both versions of what was corrected, with photos and texts."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Literal

from django.db.models import Q

from coldmark.bench.errors import ColdmarkError
from coldmark.bench.facts import Fact as BenchFact
from coldmark.bench.ledger import effective
from coldmark.records import files
from coldmark.records.access import hidden_fields, owner_facts, require_machine
from coldmark.records.corrections import corrections_of, placed_fact
from coldmark.records.errors import NotFound, refused, uuid_of
from coldmark.records.models import Attachment, Fact, MachineState, Person

__all__ = ["Corrected", "Entry", "Story", "Voice", "entries_of", "entry_of", "story"]

PAGE = 50
_VOICE = "voice"
_HASHED = ("photo", "photos", "note", "advice", "strokes", "name")


@dataclass(frozen=True, slots=True)
class Corrected:
    """A correction of a fact: when, by whom, why, and the text said with it, where there is one."""

    fact: str
    at: datetime
    person: str
    action: str
    reason: str
    note: str | None


@dataclass(frozen=True, slots=True)
class Voice:
    """What was said with an entry, by hash; it can be listened to while ``stands`` is *here*."""

    sha256: str
    stands: Literal["here", "coming", "erased"]


@dataclass(frozen=True, slots=True)
class Entry:
    """One fact of a story.

    ``body`` is as recorded, ``now`` as it stands after corrections (``None``: withdrawn). ``texts`` holds what the
    body's texts say, by hash; an erased one is ``None``. Of a fact that is not ``known`` here the body is empty.
    ``held``: it came from a revoked device and counts for nothing until the office lets it in. ``voices`` are never an
    owner's.
    """

    fact: str
    kind: str
    known: bool
    at: datetime
    job: str | None
    person: str
    person_name: str
    body: Mapping[str, Any]
    now: Mapping[str, Any] | None
    corrections: tuple[Corrected, ...]
    photos: tuple[str, ...]
    texts: Mapping[str, str | None]
    held: bool = False
    voices: tuple[Voice, ...] = ()


@dataclass(frozen=True, slots=True)
class Story:
    """A page of a story, latest first; ``further`` is handed back to get the next page, ``None`` at the end."""

    entries: tuple[Entry, ...]
    further: str | None


def story(
    person: Person, machine: str, *, before: str | None = None, size: int = PAGE, photos_only: bool = False
) -> Story:
    """A page of a machine's story, as far as the person may see it. At most seven queries."""
    id = uuid_of("machine", machine)
    spans = require_machine(person, id)
    subjects = [id, *MachineState.objects.filter(joined_into=id).values_list("machine_id", flat=True)]
    found = Fact.objects.filter(subject__in=subjects, subject_type="machine", corrects__isnull=True)
    if person.is_staff is False or spans is not None:
        found = found.filter(owner_facts(spans or ()), held_apart=False)
    if photos_only:
        found = found.filter(kind="photo")
    if before is not None:
        at, fact = _cursor(before)
        found = found.filter(Q(at__lt=at) | Q(at=at, id__lt=fact))
    rows = list(found.order_by("-at", "-id")[: size + 1])
    further = f"{rows[size - 1].at.isoformat()}~{rows[size - 1].id}" if len(rows) > size else None
    return Story(entries_of(person, rows[:size]), further)


def entry_of(person: Person, machine: str, fact: str) -> Entry:
    """One entry of a machine's story, as far as the person may see it, else *not found*."""
    id = uuid_of("machine", machine)
    spans = require_machine(person, id)
    subjects = [id, *MachineState.objects.filter(joined_into=id).values_list("machine_id", flat=True)]
    found = Fact.objects.filter(id=uuid_of("fact", fact), subject__in=subjects, corrects__isnull=True)
    if spans is not None:
        found = found.filter(owner_facts(spans), held_apart=False)
    entries = entries_of(person, list(found))
    if not entries:
        raise NotFound("entry", fact)
    return entries[0]


def entries_of(person: Person, rows: Sequence[Fact]) -> tuple[Entry, ...]:
    """Rows of facts as entries with their corrections; for an owner without withdrawn facts and internal texts."""
    facts = {row.id: _readable(placed_fact(row)) for row in rows}
    corrections = corrections_of(rows)
    stand = {fact.id: fact for fact in effective([*facts.values(), *corrections])}
    by_fact: dict[str, list[BenchFact]] = {}
    for correction in sorted(corrections, key=lambda fact: (fact.at_ms, fact.number, fact.id)):
        if correction.known:
            by_fact.setdefault(correction.body["of"], []).append(correction)
    names = _names({fact.person for fact in (*facts.values(), *corrections)})
    shown = [row for row in rows if person.is_staff or str(row.id) in stand]
    told = (*facts.values(), *stand.values(), *map(_readable, corrections))
    texts, voices = _attached(
        (hash for fact in told for hash in _hashes(fact.body, _hidden(person, fact.kind), photos=False)),
        (fact.body[_VOICE] for fact in told if _speaks(fact.body, _hidden(person, fact.kind))),
    )
    entries: list[Entry] = []
    for row in shown:
        fact = facts[row.id]
        hidden = _hidden(person, fact.kind)
        now = stand.get(fact.id)
        bodies = [
            body for body in (fact.body if person.is_staff else None, now.body if now else None) if body is not None
        ]
        used = [hash for body in bodies for hash in _hashes(body, hidden, photos=False)]
        last = now.body if now is not None else fact.body
        entries.append(
            Entry(
                fact=fact.id,
                kind=fact.kind,
                known=fact.known,
                at=row.at,
                job=fact.job,
                person=fact.person,
                person_name=names.get(fact.person, ""),
                body=_without(bodies[0], hidden),
                now=None if now is None else _without(now.body, hidden),
                corrections=tuple(
                    _corrected(one, names, texts, _hidden(person, one.kind)) for one in by_fact.get(fact.id, ())
                ),
                photos=tuple(_hashes(last, hidden, photos=True)),
                texts={hash: texts.get(hash) for hash in used},
                held=row.held_apart,
                voices=(voices[last[_VOICE]],) if _speaks(last, hidden) else (),
            )
        )
    return tuple(entries)


def _hidden(person: Person, kind: str) -> frozenset[str]:
    return frozenset() if person.is_staff else hidden_fields(kind)


def _readable(fact: BenchFact) -> BenchFact:
    """A fact without its body when that cannot be read here: whatever bears a known name in it may be anything."""
    return fact if fact.known else replace(fact, body={})


def _corrected(
    fact: BenchFact, names: Mapping[str, str], texts: Mapping[str, str | None], hidden: frozenset[str]
) -> Corrected:
    note = fact.body.get("note")
    return Corrected(
        fact=fact.id,
        at=datetime.fromisoformat(fact.at),
        person=names.get(fact.person, ""),
        action=fact.body["action"],
        reason=fact.body["reason"],
        note=texts.get(note) if note is not None and "note" not in hidden else None,
    )


def _without(body: Mapping[str, Any], hidden: frozenset[str]) -> Mapping[str, Any]:
    return {name: value for name, value in body.items() if name not in hidden} if hidden else body


def _hashes(body: Mapping[str, Any], hidden: frozenset[str], *, photos: bool) -> list[str]:
    found: list[str] = []
    for name in _HASHED:
        value = body.get(name)
        if value is None or name in hidden or (name in {"photo", "photos"}) is not photos:
            continue
        found += [value] if isinstance(value, str) else value
    return found


def _names(ids: Iterable[str]) -> dict[str, str]:
    return {str(id): name for id, name in Person.objects.filter(id__in=set(ids)).values_list("id", "name")}


def _speaks(body: Mapping[str, Any], hidden: frozenset[str]) -> bool:
    return body.get(_VOICE) is not None and _VOICE not in hidden


def _attached(texts: Iterable[str], voices: Iterable[str]) -> tuple[dict[str, str | None], dict[str, Voice]]:
    """What these texts say, ``None`` for one that was erased or has not come yet; and where these voices stand."""
    wanted = set(texts)
    spoken: dict[str, Voice] = {sha256: Voice(sha256, "coming") for sha256 in voices}
    found: dict[str, str | None] = {}
    if not wanted and not spoken:
        return found, spoken
    for row in Attachment.objects.filter(sha256__in=wanted | spoken.keys(), media_type__in=(files.TEXT, *files.VOICES)):
        if row.sha256 in spoken:
            spoken[row.sha256] = Voice(row.sha256, "here" if row.erased_at is None else "erased")
        elif row.media_type == files.TEXT:
            content = None if row.erased_at is not None else files.read(files.ATTACHMENTS, row.sha256)
            found[row.sha256] = None if content is None else content.decode("utf-8")
    return found, spoken


def _cursor(text: str) -> tuple[datetime, uuid.UUID]:
    at, _mark, fact = text.partition("~")
    try:
        return datetime.fromisoformat(at), uuid_of("before", fact)
    except (ValueError, ColdmarkError):
        raise refused("before", text, "what the page before gave") from None
