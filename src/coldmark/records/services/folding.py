"""Folding: from facts to states and from states to rows, one lock a machine, once a batch.

A machine that has new facts is *stale* from the moment they are stored. Folding goes on from the snapshot, unless the
ledger says that a fact reaches back behind it; then everything is folded anew. A fold that fails leaves the machine
stale and says why; nothing is lost by it.
"""

from __future__ import annotations

import contextlib
import logging
import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from threading import Thread

from django.db import DatabaseError, connection, transaction
from django.db.models import Q, QuerySet

from coldmark.bench.clocks import all_due, usage
from coldmark.bench.errors import CannotTell
from coldmark.bench.facts import Fact as BenchFact
from coldmark.bench.ledger import CODE_VERSION, RefoldNeeded, State, effective, fold, state_from_json, state_to_json
from coldmark.bench.sheet import Sheet
from coldmark.records.closings import closing_rows
from coldmark.records.corrections import clock_errors_of, set_right, stored_fact
from coldmark.records.models import PROJECTIONS, AttachmentUse, ClosingRow, Fact, Machine, MachineState
from coldmark.records.numbers import locked_store, utc
from coldmark.records.services.projecting import clear, project
from coldmark.records.services.uses import uses_of
from coldmark.records.sheets import oils_by_key, sheets_of

__all__ = ["Folded", "brought_up_to_date", "catch_up", "rebuild", "refresh", "refresh_stale"]

log = logging.getLogger("coldmark.records")

ROWS_VERSION = 1
"""Raised whenever the same state may give other rows."""

STAMP = f"{CODE_VERSION}.{ROWS_VERSION}"


@dataclass(frozen=True, slots=True)
class Folded:
    """How many machines were folded, and which could not be."""

    machines: int
    failed: tuple[str, ...]


def refresh(machines: Iterable[str | uuid.UUID]) -> Folded:
    """Fold these machines, if they are stale, and bring their rows up to date.

    No day of today goes in: what is due is stored as days and compared with today when it is read.
    """
    waiting = [machine if isinstance(machine, uuid.UUID) else uuid.UUID(machine) for machine in machines]
    done: set[uuid.UUID] = set()
    failed: list[str] = []
    while waiting:
        machine = waiting.pop(0)
        root = _root(machine)
        if root in done:
            continue
        done.add(root)
        try:
            besides = _fold_machine(root, even_if_fresh=root != machine)
            waiting += besides
            done.difference_update(besides)  # it may have been folded before this one gave up what is its own
        except Exception as error:
            # Whatever it is, the facts are kept: say so, leave the machine stale, and go on with the others.
            log.exception("machine %s could not be folded", root)
            # It was stale before, so that it stays so if nothing can be written now.
            with contextlib.suppress(DatabaseError):
                MachineState.objects.filter(machine=root).update(
                    stale=True, trouble=f"{type(error).__name__}: {error}"[:500]
                )
            failed.append(str(root))
    return Folded(len(done), tuple(failed))


def refresh_stale() -> Folded:
    """Fold all machines that are stale or were folded by other code."""
    stale = MachineState.objects.filter(Q(stale=True) | Q(joined_into__isnull=True) & ~Q(code_version=STAMP))
    return refresh(list(stale.order_by("machine").values_list("machine_id", flat=True)))


def brought_up_to_date(row: MachineState) -> bool:
    """Whether a machine that is looked at was stale and has been folded: its row is to be read again then.

    A fold that could not be made with its facts, for a lock or for a server that was stopped, is made up for here.
    """
    if row.joined_into_id is not None or (not row.stale and row.code_version == STAMP):
        return False
    return not refresh([row.machine_id]).failed


def catch_up() -> Thread:
    """Fold in a thread of its own what a server that was stopped left stale, or what was folded by older code.

    Nobody waits for it: pages show what there is, and a machine that is looked at is folded for that.
    """
    thread = Thread(target=_catch_up, name="coldmark-catch-up", daemon=True)
    thread.start()
    return thread


def _catch_up() -> None:
    try:
        done = refresh_stale()
        if done.machines:
            log.info("%d machines were folded that had been left stale", done.machines)
    except DatabaseError:
        log.exception("what is stale could not be folded at the start")
    finally:
        connection.close()


def rebuild() -> Folded:
    """Drop all projections and make them again from what is kept, to the same content."""
    with transaction.atomic():
        locked_store()  # nobody records meanwhile, so that no fact falls between the old rows and the new
        for table in PROJECTIONS:
            table._default_manager.all().delete()
        MachineState.objects.bulk_create(
            [MachineState(machine_id=id) for id in Machine.objects.values_list("id", flat=True)], batch_size=500
        )
        errors = clock_errors_of()
        uses: list[AttachmentUse] = []
        closings: list[ClosingRow] = []
        moved: list[Fact] = []
        for row in Fact.objects.order_by("arrival").iterator(chunk_size=2000):
            fact = set_right(stored_fact(row), errors)
            uses += uses_of(fact)
            closings += closing_rows([fact])
            if utc(fact.at_ms) != row.at:
                row.at = utc(fact.at_ms)
                moved.append(row)
            if len(uses) >= 2000:
                AttachmentUse.objects.bulk_create(uses, batch_size=500, ignore_conflicts=True)
                uses.clear()
        AttachmentUse.objects.bulk_create(uses, batch_size=500, ignore_conflicts=True)
        ClosingRow.objects.bulk_create(closings, batch_size=500, ignore_conflicts=True)
        Fact.objects.bulk_update(moved, ["at"], batch_size=500)
    return refresh_stale()


def _root(machine: uuid.UUID) -> uuid.UUID:
    """The record that goes on, where this one was joined into another."""
    seen: set[uuid.UUID] = set()
    while machine not in seen:
        seen.add(machine)
        into = MachineState.objects.filter(machine=machine).values_list("joined_into_id", flat=True).first()
        if into is None:
            break
        machine = into
    return machine


def _fold_machine(machine: uuid.UUID, *, even_if_fresh: bool) -> list[uuid.UUID]:
    """Fold one machine under its lock; return the records to be folded besides: what it let go."""
    with transaction.atomic():
        row = MachineState.objects.select_for_update().filter(machine=machine).first()
        if row is None or (not row.stale and not even_if_fresh and row.code_version == STAMP):
            return []
        # Before their facts are read: one recorded from here on waits, and says afterwards that there is more to fold.
        locked = _lock(MachineState.objects.filter(joined_into=machine))
        before, facts, arrival = _what_is_new(row)
        try:
            state, sheets = _folded(machine, facts, before)
        except RefoldNeeded:
            before = None
        while before is None:
            facts, arrival = _all_facts(machine)
            state, sheets = _folded(machine, facts, None)
            fresh = {uuid.UUID(other) for other in state.joined} - locked - {machine}
            if not fresh:
                break
            _lock(MachineState.objects.filter(machine__in=fresh))
            locked |= fresh
        sheet = sheets.get(state.sheet or "")
        others = project(row, state, sheet, () if sheet is None else all_due(sheet, state), _per_day(state))
        row.snapshot = state_to_json(state)
        row.folded_to = arrival
        row.stale, row.trouble, row.code_version, row.joined_into = False, "", STAMP, None
        row.save()
        return others + _join(machine, {uuid.UUID(other) for other in state.joined} - {machine})


def _lock(rows: QuerySet[MachineState]) -> set[uuid.UUID]:
    """Lock the rows of other records until the transaction ends, in one order everywhere, and say which."""
    return set(rows.select_for_update().order_by("machine").values_list("machine_id", flat=True))


def _folded(machine: uuid.UUID, facts: Iterable[Fact], before: State | None) -> tuple[State, dict[str, Sheet]]:
    told = [stored_fact(fact) for fact in facts]
    named = _sheets_named(told)
    if before is not None and before.sheet:
        named.add(before.sheet)
    sheets = sheets_of(named)
    return fold(told, machine=str(machine), sheets=sheets, oils=oils_by_key(), start=before), sheets


def _what_is_new(row: MachineState) -> tuple[State | None, list[Fact], int]:
    """The snapshot, when it may be gone on from, the facts since, and the last arrival among them."""
    if not row.snapshot or row.code_version != STAMP:
        return None, [], row.folded_to
    before = state_from_json(row.snapshot)
    subjects = [row.machine_id, *(uuid.UUID(other) for other in before.joined)]
    facts = list(
        Fact.objects.filter(
            subject__in=subjects, subject_type="machine", arrival__gt=row.folded_to, held_apart=False
        ).order_by("arrival")
    )
    facts += _clock_errors(facts)
    return before, facts, max((fact.arrival for fact in facts), default=row.folded_to)


def _all_facts(machine: uuid.UUID) -> tuple[list[Fact], int]:
    """All facts of a machine and of the records joined into it, with the clock errors of the devices."""
    subjects = {machine}
    facts: list[Fact] = []
    new = subjects
    while new:
        own = Fact.objects.filter(subject__in=new, subject_type="machine", held_apart=False)
        facts += own.only(*_FOLDED).order_by("arrival")
        holds = effective([stored_fact(row) for row in facts if row.kind in {"machine_joined", "correction"}])
        new = {uuid.UUID(fact.body["other"]) for fact in holds if fact.kind == "machine_joined"} - subjects
        subjects |= new
    facts += _clock_errors(facts)
    return facts, max((row.arrival for row in facts), default=0)


_FOLDED = ("id", "arrival", "kind", "device", "text")
"""The columns that folding looks at; a machine may have thousands of facts."""


def _clock_errors(facts: Iterable[Fact]) -> list[Fact]:
    """The measured clock errors of the devices that recorded these facts."""
    devices = {row.device for row in facts}
    if not devices:
        return []
    return list(Fact.objects.filter(subject__in=devices, subject_type="device", kind="clock_error").order_by("arrival"))


def _sheets_named(facts: Iterable[BenchFact]) -> set[str]:
    """The sheets that facts assign, corrections among them."""
    named: set[str] = set()
    for fact in facts:
        bodies = (fact.body, fact.body.get("body"))
        named |= {body["sheet"] for body in bodies if isinstance(body, Mapping) and isinstance(body.get("sheet"), str)}
    return named


def _per_day(state: State) -> float | None:
    try:
        return usage(state).per_day.value
    except CannotTell:
        return None


def _join(machine: uuid.UUID, joined: set[uuid.UUID]) -> list[uuid.UUID]:
    """Take records in that are this machine too, and let those go that are not any more."""
    let_go = list(MachineState.objects.filter(joined_into=machine).exclude(machine__in=joined))
    for row in let_go:
        row.joined_into, row.stale = None, True
    MachineState.objects.bulk_update(let_go, ["joined_into", "stale"])
    if joined:
        Machine.objects.bulk_create([Machine(id=id, known=False) for id in joined], ignore_conflicts=True)
        already = set(
            MachineState.objects.filter(machine__in=joined, joined_into=machine).values_list("machine_id", flat=True)
        )
        for other in joined - already:
            clear(other, machine)
        MachineState.objects.filter(machine__in=joined).update(stale=False)
    return [row.machine_id for row in let_go]
