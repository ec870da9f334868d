"""Machines: the search, and one machine's page."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from datetime import date, datetime

from django.db.models import Q

from coldmark.bench.element import Remembered
from coldmark.bench.job import DueLine
from coldmark.bench.ledger import State, state_from_json
from coldmark.bench.sheet import Sheet
from coldmark.records.access import Span, documents_seen, inside, machines_of, require_machine
from coldmark.records.errors import NotFound, uuid_of
from coldmark.records.models import Document, DueRow, FindingRow, JobRow, Machine, MachineState, Person, VisitMachine
from coldmark.records.plain import Issued, issued_plain
from coldmark.records.queries.lines import (
    FindingLine,
    JobLine,
    MachineLine,
    due_line,
    finding_line,
    job_line,
    machine_line,
    with_state,
)
from coldmark.records.searching import fold_case
from coldmark.records.services.folding import brought_up_to_date
from coldmark.records.sheets import sheets_of

__all__ = [
    "ComingVisit",
    "MachinePage",
    "Machines",
    "due_within",
    "line_within",
    "machine_page",
    "machine_state",
    "machines",
]

PAGE = 50


@dataclass(frozen=True, slots=True)
class Machines:
    """A page of machines found."""

    lines: tuple[MachineLine, ...]
    total: int
    page: int
    pages: int


@dataclass(frozen=True, slots=True)
class ComingVisit:
    """A visit planned for a machine."""

    visit: str
    day: date
    job: str
    tasks: tuple[str, ...]
    mechanic: str


@dataclass(frozen=True, slots=True)
class MachinePage:
    """All that a machine's page shows but its story.

    ``state`` and ``due`` are empty for an owner whose time is over. ``joined_into`` says which record goes on, where
    this one was found to be the same machine; the rest is empty then.
    """

    machine: MachineLine
    note: str
    joined_into: str | None
    state: State | None
    sheet: Sheet | None
    due: tuple[DueLine, ...]
    findings: tuple[FindingLine, ...]
    jobs: tuple[JobLine, ...]
    visits: tuple[ComingVisit, ...]
    documents: tuple[Issued, ...]
    trouble: str


def machines(
    person: Person,
    search: str = "",
    page: int = 1,
    *,
    customer: str | None = None,
    site: str | None = None,
    unknown: bool = False,
) -> Machines:
    """Machines by words of their names, numbers, owner, site and sheet. Two queries."""
    found = machines_of(person).filter(Q(state__joined_into__isnull=True))
    for word in fold_case(search).split():
        found = found.filter(state__search__contains=word)
    if customer is not None:
        found = found.filter(state__customer=uuid_of("customer", customer))
    if site is not None:
        found = found.filter(state__site=uuid_of("site", site))
    if unknown:
        found = found.filter(known=False)
    total = found.count()
    pages = max(1, -(-total // PAGE))
    page = min(max(page, 1), pages)
    rows = with_state(found).order_by("name", "number", "id")[(page - 1) * PAGE : page * PAGE]
    return Machines(tuple(machine_line(row, person) for row in rows), total, page, pages)


def machine_state(person: Person, machine: str) -> tuple[State, Sheet | None]:
    """The folded state of a machine, as far as the person may see it, and its sheet."""
    id = uuid_of("machine", machine)
    spans = require_machine(person, id)
    row = MachineState.objects.filter(machine=id).first()
    if row is not None and brought_up_to_date(row):
        row = MachineState.objects.filter(machine=id).first()
    if row is None:
        raise NotFound("machine", machine)
    state = _state(row, spans)
    return state, sheets_of([row.sheet]).get(row.sheet) if row.sheet else None


def machine_page(person: Person, machine: str, *, day: date) -> MachinePage:
    """A machine's page on a day. Six queries (seven for an owner), and one more when its sheet was not read before."""
    id = uuid_of("machine", machine)
    spans = require_machine(person, id)
    found = Machine.objects.select_related("state", "state__customer", "state__site").filter(id=id)
    row = found.first()
    if row is not None and hasattr(row, "state") and brought_up_to_date(row.state):
        row = found.all().first()
    if row is None or not hasattr(row, "state"):
        raise NotFound("machine", machine)
    present = _owns(spans)
    line = line_within(machine_line(row, person), spans)
    if row.state.joined_into_id is not None:
        return MachinePage(line, "", str(row.state.joined_into_id), None, None, (), (), (), (), (), "")
    findings = [one for one in FindingRow.objects.filter(machine=id).order_by("-at")[:200] if inside(spans, one.at)]
    jobs = [one for one in JobRow.objects.filter(machine=id).order_by("-opened_at")[:40] if _seen(spans, one.opened_at)]
    joined = MachineState.objects.filter(joined_into=id).values("machine")
    documents = Document.objects.filter(Q(machine=id) | Q(machine__in=joined))[:40]
    return MachinePage(
        machine=line,
        note=row.note if person.is_staff else "",
        joined_into=None,
        state=_state(row.state, spans) if present else None,
        sheet=sheets_of([row.state.sheet]).get(row.state.sheet) if row.state.sheet else None,
        due=due_within(id, spans),
        findings=tuple(map(finding_line, findings)),
        jobs=tuple(map(job_line, jobs)),
        visits=_coming(id, day) if present else (),
        documents=tuple(issued_plain(one) for one in documents_seen(spans, documents)),
        trouble=row.state.trouble if person.is_staff else "",
    )


def _owns(spans: Sequence[Span] | None) -> bool:
    """Whether a person's time with a machine lasts."""
    return spans is None or any(span.until is None for span in spans)


def line_within(line: MachineLine, spans: Sequence[Span] | None) -> MachineLine:
    """A machine's line as a person may see it: a former owner's tells nothing of how it stands now, and with whom."""
    if _owns(spans):
        return line
    line = replace(line, hours=None, hours_at=None, per_day=None, open_findings=0, open_jobs=0)
    return replace(line, customer=None, customer_name="", site=None, site_name="", next_task="", next_likely=None)


def due_within(machine: uuid.UUID, spans: Sequence[Span] | None) -> tuple[DueLine, ...]:
    """What is due on a machine; nothing for a former owner."""
    rows = DueRow.objects.filter(machine=machine).order_by("likely", "task") if _owns(spans) else ()
    return tuple(map(due_line, rows))


def _coming(machine: uuid.UUID, day: date) -> tuple[ComingVisit, ...]:
    rows = VisitMachine.objects.filter(machine=machine, visit__day__gte=day, visit__called_off=False)
    return tuple(
        ComingVisit(
            visit=str(row.visit_id),
            day=row.visit.day,
            job=str(row.job),
            tasks=tuple(row.tasks),
            mechanic=row.visit.mechanic.name if row.visit.mechanic is not None else "",
        )
        for row in rows.select_related("visit", "visit__mechanic").order_by("visit__day", "visit__from_time")[:20]
    )


def _seen(spans: Sequence[Span] | None, at: datetime | None) -> bool:
    return spans is None or (at is not None and inside(spans, at))


def _state(row: MachineState, spans: Sequence[Span] | None) -> State:
    state = state_from_json(row.snapshot) if row.snapshot else State(machine=str(row.machine_id))
    return state if spans is None else _within(state, spans)


def _within(state: State, spans: Sequence[Span]) -> State:
    """A state as an owner may see it: what was read, poured, found and done in his times, and nothing internal."""

    def seen(at: str) -> bool:
        return inside(spans, datetime.fromisoformat(at))

    told = {field.name: getattr(state, field.name) for field in fields(State)}
    told["owners"], told["joined"], told["flags"], told["clock_errors"] = [], [], [], {}
    told["meter"] = replace(state.meter, points=[point for point in state.meter.points if seen(point.at)])
    told["levels"] = {key: [one for one in listed if seen(one.at)] for key, listed in state.levels.items()}
    told["pours"] = {key: [one for one in listed if seen(one.at)] for key, listed in state.pours.items()}
    told["findings"] = {key: replace(one, note=None) for key, one in state.findings.items() if seen(one.at)}
    told["jobs"] = {key: one for key, one in state.jobs.items() if one.opened_at is not None and seen(one.opened_at)}
    told["timings"] = {key: [one for one in listed if seen(one.at)] for key, listed in state.timings.items()}
    told["samples"], told["remembered"] = {}, Remembered()
    return State(**told)
