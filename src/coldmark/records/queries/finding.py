"""Finding what somebody means at the command line: a person by sign-in, a machine or a job by what it is called."""

from __future__ import annotations

import re
import uuid
from typing import Any

from django.db.models import QuerySet

from coldmark.records.access import machines_of
from coldmark.records.errors import NotFound, refused
from coldmark.records.models import JobRow, Person, Role, VisitMachine
from coldmark.records.queries.machines import machines

__all__ = ["acting", "find_job", "find_machine"]

_BEGINNING = re.compile(r"[0-9a-fA-F-]{6,36}")
_SHOWN = 5


def acting(sign_in: str | None) -> Person:
    """Who acts: the person of a sign-in name, else the office's first by name. Only who may sign in can act."""
    people = Person.objects.filter(is_active=True)
    if sign_in is None:
        found = people.filter(role=Role.OFFICE).first()
        if found is None:
            raise NotFound("person", "of the office")
        return found
    found = people.filter(sign_in=sign_in.strip().casefold()).first()
    if found is None:
        raise NotFound("person", sign_in)
    return found


def find_machine(person: Person, told: str) -> str:
    """The machine that is meant, by its id or the beginning of it, its number, or words that find it alone.

    Raises
    ------
    NotFound
        When there is none that this person may see.
    Refused
        When there are several; the sentence names some.
    """
    seen = machines_of(person).filter(state__joined_into__isnull=True)
    by_id = _by_id(told, seen, "id")
    if len(by_id) == 1:
        return by_id[0]
    by_number = list(seen.filter(number__iexact=told.strip())[:2])
    if len(by_number) == 1:
        return str(by_number[0].id)
    found = machines(person, told)
    if found.total == 1:
        return found.lines[0].id
    if not found.total or not told.strip():
        raise NotFound("machine", told)
    names = ", ".join(f"{one.name or one.serial} ({one.number or one.id[:8]})" for one in found.lines[:_SHOWN])
    raise refused("machine", told, f"enough to tell it from the others: {names}")


def find_job(person: Person, told: str, *, planned: bool = True) -> str:
    """The job that is meant, by its id or the beginning of it, or by its machine.

    Of a machine it is the job that is open, else the next one planned (where a planned one will do), else the last.

    Raises
    ------
    NotFound
        When there is none that this person may see.
    Refused
        When several machines or jobs could be meant.
    """
    mine = machines_of(person)
    jobs = JobRow.objects.filter(machine__in=mine)
    plans = VisitMachine.objects.filter(machine__in=mine, visit__called_off=False)
    by_id = {*_by_id(told, jobs, "job"), *_by_id(told, plans, "job")}
    if len(by_id) == 1:
        return by_id.pop()
    if by_id:
        raise refused("job", told, f"enough to tell it from the others: {', '.join(sorted(by_id)[:_SHOWN])}")
    if _is_id(told):
        raise NotFound("job", told)
    machine = uuid.UUID(find_machine(person, told))
    own = jobs.filter(machine=machine, opened_at__isnull=False)
    running = own.filter(closed_at__isnull=True).order_by("-opened_at").first()
    if running is not None:
        return str(running.job)
    known = JobRow.objects.filter(opened_at__isnull=False).values("job")
    ahead = plans.filter(machine=machine).exclude(job__in=known).order_by("visit__day", "visit__from_time", "place")
    coming = ahead.first() if planned else None
    if coming is not None:
        return str(coming.job)
    last = own.order_by("-opened_at").first()
    if last is None:
        raise NotFound("job", told)
    return str(last.job)


def _is_id(told: str) -> bool:
    try:
        uuid.UUID(told)
    except ValueError:
        return False
    return True


def _by_id(told: str, rows: QuerySet[Any], field: str) -> list[str]:
    """Ids that begin as told; a few letters and digits that may be a name find nothing."""
    if not _BEGINNING.fullmatch(told):
        return []
    beginning = told.replace("-", "").lower()
    # Databases write ids with hyphens or without; Django's own lookup knows which.
    return [
        str(one)
        for one in rows.filter(**{f"{field}__startswith": _hyphened(beginning)}).values_list(field, flat=True)[:_SHOWN]
    ]


def _hyphened(digits: str) -> str:
    """The beginning of an id as it is written."""
    parts, at = [], 0
    for length in (8, 4, 4, 4, 12):
        parts.append(digits[at : at + length])
        at += length
    return "-".join(part for part in parts if part)
