"""Taking facts in: stored and synced first, answered one by one, folded apart.

An answer *kept* or *known* means that the fact is on disk. Arrival numbers are given while the store's row is locked,
so they become visible in order.
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Literal

from django.db import transaction

from coldmark import __version__
from coldmark.bench.errors import ColdmarkError, Refused
from coldmark.bench.facts import Fact, make, parse, text_hash
from coldmark.records import models
from coldmark.records.access import require_staff
from coldmark.records.closings import closing_rows
from coldmark.records.corrections import clock_errors_of, set_right, stored_fact
from coldmark.records.errors import NotAllowed, refused, uuid_of
from coldmark.records.numbers import fresh_id, in_ms, local_text, locked_store, moment, read_store, utc
from coldmark.records.services.folding import refresh
from coldmark.records.services.uses import uses_of

__all__ = ["OFFICE_KINDS", "SERVER_KINDS", "Accepted", "Answer", "Kept", "accept_facts", "admit_held", "record"]

SERVER_KINDS = frozenset({"clock_error", "document_issued"})
"""Kinds that the server alone records, and that nobody corrects."""
OFFICE_KINDS = frozenset({"machine_joined"})
"""Kinds that the office alone records, and corrects."""
# Near the ends of the calendar no moment can be brought to another time zone, or set right by a clock's error.
_EARLIEST_MS, _LATEST_MS = (in_ms(datetime(year, 1, 1, tzinfo=UTC)) for year in (1900, 2200))
CLOCK_ERROR_WORTH_S = 60
"""A device's clock is taken as right when it is off by less; the way through the network blurs it anyway."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of one fact: *kept* now, *known* before, or *refused* and why. ``id`` is empty when unreadable.

    ``name`` is the field that is not right, where a refusal is about one.
    """

    id: str
    answer: Literal["kept", "known", "refused"]
    arrival: int | None
    why: str | None
    name: str | None = None


@dataclass(frozen=True, slots=True)
class Accepted:
    """The answers in the order of the texts, the database's epoch, and the last arrival that a backup covers."""

    epoch: str
    answers: tuple[Answer, ...]
    backed_up_to: int


@dataclass(frozen=True, slots=True)
class Kept:
    """A fact made on the server: its id, its arrival, its canonical text."""

    id: str
    arrival: int
    text: str


@dataclass(frozen=True, slots=True)
class _Stored:
    answers: tuple[Answer, ...]
    machines: frozenset[uuid.UUID]
    epoch: str
    backed_up_to: int


def accept_facts(
    person: models.Person,
    texts: Sequence[str],
    *,
    device: str | None = None,
    device_now: datetime | None = None,
    now: datetime | None = None,
    fold: bool = True,
    trusted: bool = True,
) -> Accepted:
    """Take facts that a person's device brings. Sending one again changes nothing.

    A fact may name somebody else as its recorder (a shared phone). Held apart, and never refused for it, is one that
    comes from a revoked device, or names somebody who never signed in on the device that it was recorded on.

    Parameters
    ----------
    person
        Who is signed in; must belong to the firm.
    texts
        Canonical texts.
    device, device_now
        The device that sends and what its clock shows; a clock that is off is recorded as a fact.
    now
        The moment of arrival.
    fold
        Whether to fold the machines at once; else they stay stale until the next :func:`refresh`.
    trusted
        Whether who brings them is let in for anything else; if not, all of them are held apart.
    """
    if trusted:
        require_staff(person, "recording")
    at = moment(now)
    read = _open_to(person, [_read(person, text) for text in texts])
    with transaction.atomic():
        locked_store()  # first of all: what is read of the device must not be older than what is written of it
        before = None if device is None else models.Device.objects.filter(id=uuid_of("device", device)).first()
        stored = _store(person, read, at, trusted=trusted)
        touched: set[uuid.UUID] = set()
        if before is not None and device_now is not None and trusted:
            touched = _note_clock(person, before, device_now, at)
    if fold:
        refresh(stored.machines | touched)
    return Accepted(stored.epoch, stored.answers, stored.backed_up_to)


def record(
    person: models.Person,
    kind: str,
    subject: str | uuid.UUID,
    body: Mapping[str, Any],
    *,
    subject_type: Literal["machine", "visit", "van", "device"] = "machine",
    job: str | uuid.UUID | None = None,
    at: datetime | None = None,
    id: str | None = None,
    now: datetime | None = None,
    fold: bool = True,
) -> Kept:
    """Record a fact on the server, in the name of ``person``, by the office's device.

    With an ``id`` of the caller's it is safe to repeat: the fact that is kept under it is returned.

    Raises
    ------
    Refused
        Naming the field of the body, its value and what would be right.
    """
    require_staff(person, "recording")
    if kind in OFFICE_KINDS and person.role != models.Role.OFFICE:
        raise NotAllowed(kind, person.role)
    if kind == "correction":
        of = uuid_of("of", body["of"])
        why = _closed(person, _corrected_kinds([of]).get(of, ""))
        if why is not None:
            raise why
    present = moment(now)
    with transaction.atomic():
        store = locked_store()
        if id is not None:
            before = models.Fact.objects.filter(id=uuid_of("id", id)).first()
            if before is not None:
                return Kept(str(before.id), before.arrival, before.text)
        fact = make(
            id=id or fresh_id(present),
            kind=kind,
            subject=str(subject),
            subject_type=subject_type,
            job=None if job is None else str(job),
            at=local_text(at or present),
            recorded=local_text(present),
            device=str(store.office_device),
            number=store.office_number + 1,
            person=str(person.id),
            app=__version__,
            body=body,
        )
        store.office_number += 1
        store.save(update_fields=["office_number"])
        stored = _store(person, [fact], present)
    if fold:
        refresh(stored.machines)
    arrival = stored.answers[0].arrival
    assert arrival is not None  # a fact just made is neither known nor refused
    return Kept(fact.id, arrival, fact.text)


def admit_held(person: models.Person, device: str) -> int:
    """Let in the facts of a device that were held apart, and return how many there were."""
    if person.role != models.Role.OFFICE:
        raise NotAllowed("letting held facts in", person.role)
    held = models.Fact.objects.filter(device=uuid_of("device", device), held_apart=True)
    with transaction.atomic():
        store = locked_store()
        machines = set(held.filter(subject_type="machine").values_list("subject", flat=True))
        _meet_machines(machines)
        _fold_all_anew(machines)
        # They arrive now: a pull that has gone on past the numbers they were kept under would never see them.
        rows = list(held.order_by("arrival").only("id"))
        for row in rows:
            row.arrival, row.held_apart = store.next_arrival, False
            store.next_arrival += 1
        models.Fact.objects.bulk_update(rows, ["arrival", "held_apart"], batch_size=500)
        store.save(update_fields=["next_arrival"])
    refresh(machines)
    return len(rows)


def _read(person: models.Person, text: str) -> Fact | Answer:
    try:
        fact = parse(text)
        fact.text.encode("utf-8")
        if fact.kind in SERVER_KINDS:
            raise Refused("records.fact_not_from_outside", name="kind", value=fact.kind)
        if fact.kind in OFFICE_KINDS and person.role != models.Role.OFFICE:
            raise NotAllowed(fact.kind, person.role)
        for name, told, at_ms in (("at", fact.at, fact.at_ms), ("recorded", fact.recorded, fact.recorded_ms)):
            if not _EARLIEST_MS <= at_ms < _LATEST_MS:
                raise refused(name, told, "a moment of the years 1900 to 2199")
    except ColdmarkError as error:
        return Answer(_id_in(text), "refused", None, error.say(), _name_of(error))
    except UnicodeEncodeError:
        why = refused("text", "half a surrogate pair", "Unicode").say()
        return Answer(_id_in(text), "refused", None, why, "text")
    return fact


def _open_to(person: models.Person, read: Sequence[Fact | Answer]) -> list[Fact | Answer]:
    """What was read, with corrections refused of what this person could not have recorded."""
    corrections = {
        fact.id: uuid.UUID(fact.body["of"])
        for fact in read
        if isinstance(fact, Fact) and fact.kind == "correction" and fact.known
    }
    kinds = _corrected_kinds(corrections.values())
    answers: list[Fact | Answer] = []
    for fact in read:
        of = corrections.get(fact.id) if isinstance(fact, Fact) else None
        why = None if of is None else _closed(person, kinds.get(of, ""))
        answers.append(fact if why is None else Answer(fact.id, "refused", None, why.say(), _name_of(why)))
    return answers


def _corrected_kinds(ids: Iterable[uuid.UUID]) -> dict[uuid.UUID, str]:
    """What kind of fact is corrected in the end by correcting each of these, as far as they are kept here."""
    goal = {id: id for id in ids}  # by the fact that is corrected: how far its chain of corrections was followed
    kinds: dict[uuid.UUID, str] = {}
    open_ends, seen = set(goal), set[uuid.UUID]()
    while open_ends:
        seen |= open_ends
        rows = {row.id: row for row in models.Fact.objects.filter(id__in=open_ends).only("id", "kind", "corrects")}
        further = {row.id: row.corrects for row in rows.values() if row.corrects is not None}
        kinds |= {row.id: row.kind for row in rows.values()}
        goal = {id: further.get(end, end) for id, end in goal.items()}
        open_ends = set(further.values()) - seen  # a circle of corrections ends where it began
    return {id: kinds[end] for id, end in goal.items() if end in kinds}


def _closed(person: models.Person, kind: str) -> ColdmarkError | None:
    """Why a person may not correct a fact of a kind; ``None`` when he may."""
    if kind in SERVER_KINDS:
        return Refused("records.fact_not_from_outside", name="kind", value=kind)
    if kind in OFFICE_KINDS and person.role != models.Role.OFFICE:
        return NotAllowed(kind, person.role)
    return None


def _name_of(error: ColdmarkError) -> str | None:
    return error.name if isinstance(error, Refused) else None


def _id_in(text: object) -> str:
    """The id of a text that was refused, so that its sender knows which one is meant."""
    try:
        found = json.loads(text)["id"] if isinstance(text, str) else ""
        return str(uuid.UUID(found))
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return ""


def _store(person: models.Person, read: Sequence[Fact | Answer], at: datetime, *, trusted: bool = True) -> _Stored:
    """Write what is new, under the store's lock, and answer everything."""
    store = locked_store()
    facts = [fact for fact in read if isinstance(fact, Fact)]
    known: dict[str, tuple[str, int]] = {
        str(id): (sha256, arrival)
        for id, sha256, arrival in models.Fact.objects.filter(id__in=[fact.id for fact in facts]).values_list(
            "id", "sha256", "arrival"
        )
    }
    doubted = {fact.id for fact in facts} if not trusted else _doubted(person, facts, store)
    _meet_devices(person, facts, store, at)
    errors = clock_errors_of({fact.device for fact in facts})
    answers: list[Answer] = []
    rows: list[models.Fact] = []
    new: list[Fact] = []
    machines: set[uuid.UUID] = set()
    for fact in read:
        if isinstance(fact, Answer):
            answers.append(fact)
            continue
        sha256 = text_hash(fact.text)
        before = known.get(fact.id)
        if before is None:
            arrival = store.next_arrival + len(rows)
            placed = set_right(fact, errors)
            rows.append(_row(placed, sha256, arrival, person, at, held=fact.id in doubted))
            new.append(placed)
            if fact.subject_type == "machine" and fact.id not in doubted:
                machines.add(uuid.UUID(fact.subject))
            known[fact.id] = (sha256, arrival)
            answers.append(Answer(fact.id, "kept", arrival, None))
        elif before[0] == sha256:
            answers.append(Answer(fact.id, "known", before[1], None))
        else:
            why = Refused("records.fact_changed", name="id", value=fact.id).say()
            answers.append(Answer(fact.id, "refused", None, why, "id"))
    models.Fact.objects.bulk_create(rows, batch_size=500)
    models.AttachmentUse.objects.bulk_create(
        [use for fact in new for use in uses_of(fact)], batch_size=500, ignore_conflicts=True
    )
    models.ClosingRow.objects.bulk_create(closing_rows(new), batch_size=500, ignore_conflicts=True)
    store.next_arrival += len(rows)
    store.save(update_fields=["next_arrival"])
    _meet_machines(machines)
    _mark_stale(machines)
    return _Stored(tuple(answers), frozenset(machines), str(store.epoch), store.backed_up_to)


def _row(fact: Fact, sha256: str, arrival: int, person: models.Person, at: datetime, *, held: bool) -> models.Fact:
    corrects = fact.body.get("of") if fact.kind == "correction" and fact.known else None
    return models.Fact(
        id=uuid.UUID(fact.id),
        arrival=arrival,
        kind=fact.kind,
        subject_type=fact.subject_type,
        subject=uuid.UUID(fact.subject),
        job=None if fact.job is None else uuid.UUID(fact.job),
        at=utc(fact.at_ms),
        device=uuid.UUID(fact.device),
        number=fact.number,
        person=uuid.UUID(fact.person),
        corrects=None if corrects is None else uuid.UUID(corrects),
        text=fact.text,
        sha256=sha256,
        arrived=at,
        brought_by=person,
        held_apart=held,
    )


def _doubted(person: models.Person, facts: Sequence[Fact], store: models.Store) -> set[str]:
    """The facts to be held apart: of a revoked device, or of somebody else who never signed in on their device."""
    devices = {fact.device for fact in facts} - {str(store.office_device)}
    rows = {str(row.id): row for row in models.Device.objects.filter(id__in=devices)}
    revoked = {id for id, row in rows.items() if row.revoked_at is not None}
    others = {fact.device for fact in facts if fact.person != str(person.id)} & devices
    signed_in = {(id, str(row.person_id)) for id, row in rows.items()}
    if others:
        ids = [uuid.UUID(device) for device in others]
        keys = models.DeviceKey.objects.filter(device__in=ids).values_list("device_id", "person_id")
        signed_in |= {(str(device), str(whose)) for device, whose in keys}
    return {
        fact.id
        for fact in facts
        if fact.device in revoked
        or (fact.device in others and fact.person != str(person.id) and (fact.device, fact.person) not in signed_in)
    }


def _meet_devices(person: models.Person, facts: Iterable[Fact], store: models.Store, at: datetime) -> None:
    """Remember the running numbers of the devices, and make rows for those never seen.

    A device may be unknown because this database was restored from before it signed in: its facts are as good.
    """
    numbers: dict[str, int] = {}
    for fact in facts:
        if fact.device != str(store.office_device):
            numbers[fact.device] = max(fact.number, numbers.get(fact.device, 0))
    rows = {str(row.id): row for row in models.Device.objects.filter(id__in=numbers)}
    models.Device.objects.bulk_create(
        [
            models.Device(id=uuid.UUID(device), person=person, last_number=number, met_at=at, seen_at=at)
            for device, number in numbers.items()
            if device not in rows
        ]
    )
    for device, row in rows.items():
        row.last_number = max(row.last_number, numbers[device])
        row.seen_at = at
    models.Device.objects.bulk_update(rows.values(), ["last_number", "seen_at"])


def _meet_machines(machines: set[uuid.UUID]) -> None:
    """Make rows for machines that a fact speaks of and nobody has entered yet."""
    if not machines:
        return
    models.Machine.objects.bulk_create([models.Machine(id=id, known=False) for id in machines], ignore_conflicts=True)


def _mark_stale(machines: set[uuid.UUID]) -> None:
    """Say, with the facts and not after them, that these machines want folding."""
    if not machines:
        return
    models.MachineState.objects.bulk_create(
        [models.MachineState(machine_id=id) for id in machines], ignore_conflicts=True
    )
    models.MachineState.objects.filter(machine__in=machines).update(stale=True)


def _fold_all_anew(machines: set[uuid.UUID]) -> None:
    """Drop the snapshots of these machines: what changes lies behind them, or is no fact of theirs."""
    _mark_stale(machines)
    models.MachineState.objects.filter(machine__in=machines).update(snapshot="", folded_to=0)


def _note_clock(person: models.Person, before: models.Device, device_now: datetime, at: datetime) -> set[uuid.UUID]:
    """Record how far a device's clock is off, when that has changed; return the machines whose fold takes it in.

    The fold sets a fact right by the first measurement after it was written down. So a change records two: what the
    error still was when the device was seen last, and what it is now; facts delivered earlier stay where they are.
    """
    seconds = round((device_now - at).total_seconds())
    if abs(seconds) < CLOCK_ERROR_WORTH_S:
        seconds = 0
    if abs(seconds - before.clock_error_s) < CLOCK_ERROR_WORTH_S:
        return set()
    if before.seen_at is not None and before.seen_at < at:
        _record_error(person, before.id, before.clock_error_s, before.seen_at, at)
    _record_error(person, before.id, seconds, at, at)
    models.Device.objects.filter(id=before.id).update(clock_error_s=seconds)
    recorded = models.Fact.objects.filter(device=before.id, subject_type="machine", held_apart=False)
    machines = set(recorded.order_by().values_list("subject", flat=True).distinct())
    _set_rows_right(before.id)
    _fold_all_anew(machines)
    return machines


def _set_rows_right(device: uuid.UUID) -> None:
    """Put the rows of a device's facts where its measured clock errors put the facts."""
    errors = clock_errors_of([device])
    moved: list[models.Fact] = []
    for row in models.Fact.objects.filter(device=device).only("id", "at", "text").iterator(chunk_size=2000):
        at = utc(set_right(stored_fact(row), errors).at_ms)
        if at != row.at:
            row.at = at
            moved.append(row)
            models.AttachmentUse.objects.filter(fact=row.id).update(at=at)
    models.Fact.objects.bulk_update(moved, ["at"], batch_size=500)


def _record_error(person: models.Person, device: uuid.UUID, seconds: int, at: datetime, now: datetime) -> None:
    body = {"device": str(device), "seconds": seconds}
    record(person, "clock_error", device, body, subject_type="device", at=at, now=now, fold=False)


def epoch() -> str:
    """The database's epoch: another one after a restore."""
    return str(read_store().epoch)
