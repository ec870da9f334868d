"""One job: what its card, its kit and its report are made from."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date

from coldmark.bench.errors import ColdmarkError
from coldmark.bench.facts import Fact as BenchFact
from coldmark.bench.job import DueLine, refused_says
from coldmark.bench.ledger import State, effective
from coldmark.bench.sheet import Sheet
from coldmark.fleet.kit import Kit
from coldmark.records.access import documents_seen, facts_of_job, inside, owner_facts, require_machine
from coldmark.records.corrections import corrections_of, placed_fact
from coldmark.records.errors import NotFound, uuid_of
from coldmark.records.models import Document, JobRow, Machine, Person, Van, Visit, VisitMachine
from coldmark.records.plain import Issued, issued_plain
from coldmark.records.queries.lines import JobLine, MachineLine, job_line, machine_line
from coldmark.records.queries.machines import due_within, line_within, machine_state
from coldmark.records.queries.refusing import refused_parts
from coldmark.records.queries.story import Entry, entries_of
from coldmark.records.queries.today import kit_of
from coldmark.records.sheets import sheets_of
from coldmark.records.worktime import CLOCK_KINDS

__all__ = [
    "JobKit",
    "JobMaterial",
    "JobPage",
    "job_kit",
    "job_material",
    "job_page",
    "job_told",
    "last_report",
    "machine_kit",
]


_DESK = frozenset({"job_opened", "job_closed", "document_issued", "signature", "consent"}) | CLOCK_KINDS
"""What the office does as well: it makes nobody the job's mechanic."""


@dataclass(frozen=True, slots=True)
class JobMaterial:
    """What the card is built from: the machine, its state and sheet, the tasks, the job's effective facts."""

    machine: MachineLine
    job: JobLine
    tasks: tuple[str, ...]
    options: tuple[str, ...]
    state: State
    sheet: Sheet | None
    facts: tuple[BenchFact, ...]


@dataclass(frozen=True, slots=True)
class JobPage:
    """A job afterwards: its entries in time order, what is due next, the documents issued for it."""

    machine: MachineLine
    job: JobLine
    task_names: tuple[str, ...]
    mechanics: tuple[str, ...]
    entries: tuple[Entry, ...]
    due: tuple[DueLine, ...]
    documents: tuple[Issued, ...]


@dataclass(frozen=True, slots=True)
class JobKit:
    """The kit of a job; ``day`` is that of its visit, where one is planned. ``refused``: what not to bring."""

    machine: MachineLine
    job: JobLine
    task_names: tuple[str, ...]
    day: date | None
    van: str
    kit: Kit | None
    refused: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Found:
    machine: Machine
    job: JobLine
    tasks: tuple[str, ...]
    visit: Visit | None
    van: Van | None


def job_material(person: Person, job: str) -> JobMaterial:
    """All that a job's card is built from; for staff. A planned job that is not opened yet has its planned tasks."""
    if not person.is_staff:
        raise NotFound("job", job)
    return job_told(person, job)


def job_told(person: Person, job: str) -> JobMaterial:
    """The same afterwards, as far as the person may see it: an owner's has his kinds of fact in his times alone."""
    found = _find(person, job)
    state, sheet = machine_state(person, str(found.machine.id))
    facts = facts_of_job(found.machine.id, uuid_of("job", job)).filter(held_apart=False)
    spans = require_machine(person, found.machine.id)
    if spans is not None:
        facts = facts.filter(owner_facts(spans))
    rows = list(facts.order_by("at", "number", "id"))
    kept = {str(row.id) for row in rows}
    holds = effective([*(placed_fact(row) for row in rows), *corrections_of(rows)])
    return JobMaterial(
        machine=line_within(machine_line(found.machine, person), spans),
        job=found.job,
        tasks=found.tasks,
        options=tuple(option for option, fitted in state.options.items() if fitted),
        state=state,
        sheet=sheet,
        facts=tuple(fact for fact in holds if fact.id in kept),
    )


def job_page(person: Person, job: str) -> JobPage:
    """A job as it went. An owner sees it when it was opened in his time, without what is internal."""
    found = _find(person, job)
    facts = facts_of_job(found.machine.id, uuid_of("job", job)).filter(corrects__isnull=True)
    spans = require_machine(person, found.machine.id)
    if spans is not None:
        facts = facts.filter(owner_facts(spans), held_apart=False)
    entries = entries_of(person, list(facts.order_by("at", "number", "id")))
    documents = Document.objects.filter(job=uuid_of("job", job))
    names = _task_names(found)
    return JobPage(
        machine=line_within(machine_line(found.machine, person), spans),
        job=found.job,
        task_names=tuple(names.get(task, task) for task in found.tasks),
        mechanics=tuple(dict.fromkeys(one.person_name for one in entries if one.person_name and one.kind not in _DESK)),
        entries=entries,
        due=due_within(found.machine.id, spans),
        documents=tuple(issued_plain(row) for row in documents_seen(spans, documents)),
    )


def last_report(person: Person, job: str) -> Issued | None:
    """The report of a job that was issued last and is still there to be read."""
    documents = job_page(person, job).documents
    return next((one for one in documents if one.what == "report" and one.erased_at is None), None)


def job_kit(person: Person, job: str) -> JobKit:
    """What to bring for a job; for staff."""
    found = _find(person, job)
    if not person.is_staff:
        raise NotFound("job", job)
    sheet = sheets_of([found.machine.state.sheet]).get(found.machine.state.sheet)
    names = _task_names(found)
    return JobKit(
        machine=machine_line(found.machine, person),
        job=found.job,
        task_names=tuple(names.get(task, task) for task in found.tasks),
        day=None if found.visit is None else found.visit.day,
        van="" if found.van is None else found.van.name,
        kit=None if sheet is None else _kit(found, sheet),
        refused=refused_says(refused_parts(person, str(found.machine.id)), sheet),
    )


def machine_kit(person: Person, machine: str, tasks: tuple[str, ...]) -> JobKit:
    """What to bring for tasks on a machine, without a job; for staff.

    Raises
    ------
    NotAChoice
        When a task is not on the machine's sheet.
    """
    id = uuid_of("machine", machine)
    require_machine(person, id)
    row = Machine.objects.select_related("state", "state__customer", "state__site").filter(id=id).first()
    if row is None or not person.is_staff or not hasattr(row, "state"):
        raise NotFound("machine", machine)
    sheet = sheets_of([row.state.sheet]).get(row.state.sheet)
    return JobKit(
        machine=machine_line(row, person),
        job=JobLine("", machine, None, None, tasks, (), None, None),
        task_names=tasks if sheet is None else tuple(sheet.tasks[key].name for key in tasks if key in sheet.tasks),
        day=None,
        van="",
        kit=None if sheet is None else kit_of(row, tasks, sheet),
        refused=refused_says(refused_parts(person, machine), sheet),
    )


def _kit(found: _Found, sheet: Sheet) -> Kit | None:
    try:
        return kit_of(found.machine, found.tasks, sheet, found.van)
    except ColdmarkError:
        return None  # a task that a newer sheet has no more; the tasks themselves are shown all the same


def _find(person: Person, job: str) -> _Found:
    """The job by its facts, by its plan, or both; *not found* when the person may not see it."""
    id = uuid_of("job", job)
    row = JobRow.objects.filter(job=id).first()
    plan = VisitMachine.objects.select_related("visit", "visit__van").filter(job=id).first()
    machine_id = row.machine_id if row is not None else plan.machine_id if plan is not None else None
    if machine_id is None:
        raise NotFound("job", job)
    _require(person, machine_id, row, job)
    machine = Machine.objects.select_related("state", "state__customer", "state__site").filter(id=machine_id).first()
    if machine is None or not hasattr(machine, "state"):
        raise NotFound("job", job)
    planned = tuple(plan.tasks) if plan is not None else ()
    visit = None if plan is None else str(plan.visit_id)
    line = JobLine(job, str(machine_id), None, None, planned, (), visit, None) if row is None else job_line(row)
    return _Found(
        machine=machine,
        job=line,
        tasks=line.tasks or planned,
        visit=None if plan is None else plan.visit,
        van=None if plan is None else plan.visit.van,
    )


def _require(person: Person, machine: uuid.UUID, row: JobRow | None, job: str) -> None:
    spans = require_machine(person, machine)
    if spans is not None and (row is None or row.opened_at is None or not inside(spans, row.opened_at)):
        raise NotFound("job", job)


def _task_names(found: _Found) -> dict[str, str]:
    sheet = sheets_of([found.machine.state.sheet]).get(found.machine.state.sheet)
    return {} if sheet is None else {key: task.name for key, task in sheet.tasks.items()}
