"""Who may see and do what, in one place.

Staff (mechanics and the office) see the firm. An owner sees the machines that are or were his, in the time in which
they were his, and only the kinds of fact listed here: never work clocks, internal notes or voice. What a person may
not see is *not found*, so that asking for an id tells nothing.

A note is internal, unless it belongs to a reason that the report prints: whoever writes it is told so. One rule holds
for pages, story, attachments and the report, which is made for the owner whoever issues it.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Q, QuerySet
from django.utils import timezone

from coldmark.records.corrections import MOST_ROUNDS, standing
from coldmark.records.errors import NotAllowed, NotFound
from coldmark.records.models import (
    Attachment,
    AttachmentUse,
    Document,
    Fact,
    JobRow,
    Machine,
    MachineState,
    OwnerSpan,
    Person,
    Role,
    VisitMachine,
)

__all__ = [
    "OWNER_KINDS",
    "REASONED_KINDS",
    "Span",
    "customer_of",
    "documents_seen",
    "facts_of_job",
    "hidden_fields",
    "inside",
    "machines_of",
    "owner_facts",
    "require_attachment",
    "require_machine",
    "require_office",
    "require_staff",
    "spans_of",
    "stops_seen",
]

OWNER_KINDS = frozenset(
    {
        "caution_acknowledged",
        "consent",
        "correction",
        "document_issued",
        "finding",
        "finding_settled",
        "function_timed",
        "gate_opened",
        "handed_over",
        "job_closed",
        "job_opened",
        "lab_value",
        "level_read",
        "meter_read",
        "meter_stopped",
        "meter_swapped",
        "breaker_hours_told",
        "oil_moved",
        "option_fitted",
        "part_in",
        "part_out",
        "part_refused",
        "photo",
        "sample_taken",
        "seal_looked_for",
        "sheet_assigned",
        "signature",
        "step_done",
        "step_skipped",
        "task_done",
    }
)
REASONED_KINDS = frozenset({"gate_opened", "part_in", "part_out", "seal_looked_for", "step_skipped"})
"""Kinds whose note says more of a reason, and is printed with it."""
_SPOKEN = frozenset({"voice"})
"""Never an owner's, whatever kind it is in: nobody speaks as he would write."""
_INTERNAL = frozenset({"note"}) | _SPOKEN


@dataclass(frozen=True, slots=True)
class Span:
    """A time of ownership; ``until`` is ``None`` while it lasts."""

    since: datetime
    until: datetime | None

    def holds(self, at: datetime) -> bool:
        """Whether a moment lies in it."""
        return self.since <= at and (self.until is None or at < self.until)


def inside(spans: Sequence[Span] | None, at: datetime) -> bool:
    """Whether a moment may be seen; ``None`` stands for all of time."""
    return spans is None or any(span.holds(at) for span in spans)


def require_staff(person: Person, what: str) -> None:
    """Refuse whoever does not belong to the firm."""
    if not (person.is_active and person.is_staff):
        raise NotAllowed(what, person.role)


def require_office(person: Person, what: str) -> None:
    """Refuse whoever is not of the office."""
    if not (person.is_active and person.role == Role.OFFICE):
        raise NotAllowed(what, person.role)


def hidden_fields(kind: str) -> frozenset[str]:
    """The fields of a kind of fact that no owner sees and no report prints."""
    return _SPOKEN if kind in REASONED_KINDS else _INTERNAL


def customer_of(person: Person) -> uuid.UUID:
    """Whose owner a person is; an id that nobody has for one who is no owner."""
    return person.customer_id or uuid.UUID(int=0)


def machines_of(person: Person) -> QuerySet[Machine]:
    """The machines that a person may see now: all for staff, those he owns at present for an owner."""
    if not person.is_active:
        return Machine.objects.none()
    if person.is_staff:
        return Machine.objects.all()
    owned = OwnerSpan.objects.filter(customer=customer_of(person), until__isnull=True)
    return Machine.objects.filter(id__in=owned.values("machine"))


def spans_of(person: Person, machine: uuid.UUID) -> tuple[Span, ...] | None:
    """The times in which a person may see a machine; ``None`` is all of time, empty is never. One query for owners.

    A record that was joined into another one is that machine too.
    """
    if not person.is_active:
        return ()
    if person.is_staff:
        return None
    root = MachineState.objects.filter(machine=machine, joined_into__isnull=False).values("joined_into")
    rows = OwnerSpan.objects.filter(Q(machine=machine) | Q(machine__in=root), customer=customer_of(person))
    rows = rows.order_by("since", "id")
    return tuple(Span(row.since, row.until) for row in rows)


def require_machine(person: Person, machine: uuid.UUID) -> tuple[Span, ...] | None:
    """Return the times in which a person may see a machine; *not found* when there is none."""
    spans = spans_of(person, machine)
    if spans == ():
        raise NotFound("machine", machine)
    return spans


def owner_facts(spans: Sequence[Span]) -> Q:
    """The filter on facts for an owner: listed kinds in his times."""
    times = Q(pk__in=())
    for span in spans:
        times |= Q(at__gte=span.since) if span.until is None else Q(at__gte=span.since, at__lt=span.until)
    return Q(kind__in=OWNER_KINDS) & times


def facts_of_job(machine: uuid.UUID, job: uuid.UUID) -> QuerySet[Fact]:
    """The facts of a job on its machine; what another machine's facts call by the same job is none of it."""
    joined = MachineState.objects.filter(joined_into=machine).values("machine")
    of_it = Q(subject=machine) | Q(subject__in=joined)
    return Fact.objects.filter(of_it, job=job, subject_type="machine")


def documents_seen(spans: Sequence[Span] | None, documents: Iterable[Document]) -> list[Document]:
    """Those of a machine's documents that may be seen: a job's go with the job, others with the day of issue."""
    listed = list(documents)
    if spans is None or not listed:
        return listed
    jobs = {one.job for one in listed if one.job is not None}
    opened = dict(JobRow.objects.filter(job__in=jobs, opened_at__isnull=False).values_list("job", "opened_at"))
    return [one for one in listed if inside(spans, (one.job and opened.get(one.job)) or one.issued_at)]


def stops_seen(person: Person, stops: Iterable[VisitMachine]) -> list[VisitMachine]:
    """Those of the stops of visits, with their visits read, that a person may see: for an owner since he owns it.

    An earlier visit tells where the machine stood with somebody else.
    """
    listed = list(stops)
    if person.is_staff or not listed:
        return listed
    spans = OwnerSpan.objects.filter(customer=customer_of(person), until__isnull=True)
    since = dict(spans.values_list("machine_id", "since"))
    return [
        one for one in listed if one.machine_id in since and one.visit.day >= timezone.localdate(since[one.machine_id])
    ]


def require_attachment(person: Person, sha256: str) -> Attachment:
    """Return an attachment that a person may see. Knowing its hash gives nothing.

    An owner sees what a fact that he may see speaks of, by a field that is not internal, unless that fact was
    withdrawn: a photo recorded on the wrong machine is none of his.
    """
    found = Attachment.objects.filter(sha256=sha256).first()
    if found is not None and person.is_active and (person.is_staff or _owner_sees(person, sha256)):
        return found
    raise NotFound("attachment", sha256)


def _owner_sees(person: Person, sha256: str) -> bool:
    """Whether a fact that the owner may see speaks of it, as that fact holds now.

    A correction hands on to the fact that it corrects: its moment is that of the office, not of the machine.
    """
    # Whether a correction's note is its own or that of its new body shows in the body that holds now.
    internal = Q(field__in=_INTERNAL) & ~Q(kind__in=REASONED_KINDS | {"correction"})
    uses = AttachmentUse.objects.filter(sha256=sha256, kind__in=OWNER_KINDS).exclude(internal)
    uses = uses.exclude(field__in=_SPOKEN)
    listed = _corrected(set(uses.values_list("fact", flat=True)))
    if not listed:
        return False
    subjects = {row.subject for row in listed}
    into = dict(
        MachineState.objects.filter(machine__in=subjects, joined_into__isnull=False).values_list(
            "machine_id", "joined_into_id"
        )
    )
    owned: dict[uuid.UUID, list[Span]] = {}
    roots = {into.get(subject, subject) for subject in subjects}
    for row in OwnerSpan.objects.filter(customer=customer_of(person), machine__in=roots):
        owned.setdefault(row.machine_id, []).append(Span(row.since, row.until))
    seen = [row for row in listed if inside(owned.get(into.get(row.subject, row.subject), ()), row.at)]
    return bool(seen) and any(_speaks_of(fact.kind, fact.body, sha256) for fact in standing(seen).values())


def _corrected(ids: set[uuid.UUID]) -> list[Fact]:
    """These facts, with what is corrected in the place of corrections, as far as owners see the kind."""
    found: dict[uuid.UUID, Fact] = {}
    for _round in range(MOST_ROUNDS):
        rows = list(Fact.objects.filter(id__in=ids, kind__in=OWNER_KINDS, subject_type="machine")) if ids else []
        found |= {row.id: row for row in rows if row.kind != "correction"}
        ids = {row.corrects for row in rows if row.corrects is not None} - found.keys()
    return list(found.values())


def _speaks_of(kind: str, body: Mapping[str, Any], sha256: str) -> bool:
    hidden = hidden_fields(kind)
    shown = [value for name, value in body.items() if name not in hidden]
    return any(value == sha256 or (isinstance(value, list) and sha256 in value) for value in shown)
