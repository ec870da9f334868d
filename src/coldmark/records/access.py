"""Who may see and do what, in one place.

Staff (mechanics and the office) see the firm. An owner sees the machines that are or were his, in the time in which
they were his, and only the kinds of fact listed here: never work clocks, internal notes or voice. What a person may
not see is *not found*, so that asking for an id tells nothing.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q, QuerySet

from coldmark.records.corrections import standing
from coldmark.records.errors import NotAllowed, NotFound
from coldmark.records.models import Attachment, AttachmentUse, Fact, Machine, MachineState, OwnerSpan, Person, Role

__all__ = [
    "INTERNAL_FIELDS",
    "OWNER_KINDS",
    "Span",
    "customer_of",
    "inside",
    "machines_of",
    "owner_facts",
    "require_attachment",
    "require_machine",
    "require_office",
    "require_staff",
    "spans_of",
]

OWNER_KINDS = frozenset(
    {
        "caution_acknowledged",
        "consent",
        "correction",
        "document_issued",
        "finding",
        "finding_settled",
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
        "photo",
        "sample_taken",
        "sheet_assigned",
        "signature",
        "step_done",
        "step_skipped",
        "task_done",
    }
)
INTERNAL_FIELDS = frozenset({"note"})


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
    """The times in which a person may see a machine; ``None`` is all of time, empty is never. One query for owners."""
    if not person.is_active:
        return ()
    if person.is_staff:
        return None
    rows = OwnerSpan.objects.filter(machine=machine, customer=customer_of(person)).order_by("since", "id")
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
    uses = AttachmentUse.objects.filter(sha256=sha256, kind__in=OWNER_KINDS).exclude(field__in=INTERNAL_FIELDS)
    listed = list(uses)
    if not listed:
        return False
    subjects = {use.subject for use in listed}
    into = dict(
        MachineState.objects.filter(machine__in=subjects, joined_into__isnull=False).values_list(
            "machine_id", "joined_into_id"
        )
    )
    owned: dict[uuid.UUID, list[Span]] = {}
    roots = {into.get(subject, subject) for subject in subjects}
    for row in OwnerSpan.objects.filter(customer=customer_of(person), machine__in=roots):
        owned.setdefault(row.machine_id, []).append(Span(row.since, row.until))
    seen = [use for use in listed if inside(owned.get(into.get(use.subject, use.subject), ()), use.at)]
    return bool(seen) and bool(standing(list(Fact.objects.filter(id__in=[use.fact for use in seen]))))
