"""What was found on all machines and is open, what wants doing soonest first."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Case, IntegerField, Q, QuerySet, Value, When

from coldmark.bench.facts import KINDS
from coldmark.bench.sheet import Sheet
from coldmark.records.access import customer_of, machines_of
from coldmark.records.errors import uuid_of
from coldmark.records.models import Customer, FindingRow, MachineState, OwnerSpan, Person
from coldmark.records.queries.due import Choice
from coldmark.records.queries.lines import FindingLine, MachineLine, finding_line, machine_line, with_state
from coldmark.records.sheets import sheets_of

__all__ = ["OpenFinding", "OpenFindings", "open_findings"]

PAGE = 50
_URGENCIES = tuple(reversed(KINDS["finding"].fields["urgency"].choices))
"""The gravest first."""


@dataclass(frozen=True, slots=True)
class OpenFinding:
    """An open finding, the machine it was found on, and the sheet that says what its place is called."""

    machine: MachineLine
    finding: FindingLine
    sheet: Sheet | None


@dataclass(frozen=True, slots=True)
class OpenFindings:
    """A page of open findings: the gravest first, of the same gravity the latest; and the customers to choose from."""

    findings: tuple[OpenFinding, ...]
    total: int
    page: int
    pages: int
    customers: tuple[Choice, ...]


def open_findings(person: Person, *, customer: str | None = None, page: int = 1) -> OpenFindings:
    """Findings that are open, with their machines; an owner's own in his time. Four queries, five for an owner."""
    rows = _seen(person)
    customers = Customer.objects.filter(
        id__in=MachineState.objects.filter(machine__in=rows.values("machine")).values("customer")
    )
    wanted = rows if customer is None else rows.filter(machine__state__customer=uuid_of("customer", customer))
    total = wanted.count()
    pages = max(1, -(-total // PAGE))
    page = min(max(page, 1), pages)
    gravity = Case(
        *(When(urgency=urgency, then=Value(place)) for place, urgency in enumerate(_URGENCIES)),
        default=Value(len(_URGENCIES)),
        output_field=IntegerField(),
    )
    listed = list(wanted.order_by(gravity, "-at", "fact")[(page - 1) * PAGE : page * PAGE])
    machines = with_state(machines_of(person)).filter(id__in={row.machine_id for row in listed})
    lines = {row.id: machine_line(row, person) for row in machines}
    sheets = sheets_of({line.sheet for line in lines.values() if line.sheet})
    return OpenFindings(
        findings=tuple(
            OpenFinding(lines[row.machine_id], finding_line(row), sheets.get(lines[row.machine_id].sheet))
            for row in listed
            if row.machine_id in lines
        ),
        total=total,
        page=page,
        pages=pages,
        customers=tuple(Choice(str(row.id), row.name) for row in customers),
    )


def _seen(person: Person) -> QuerySet[FindingRow]:
    rows = FindingRow.objects.filter(settled_at__isnull=True, machine__in=machines_of(person))
    if person.is_staff:
        return rows
    times = Q(pk__in=())
    for span in OwnerSpan.objects.filter(customer=customer_of(person), until__isnull=True):
        times |= Q(machine=span.machine_id, at__gte=span.since)
    return rows.filter(times)
