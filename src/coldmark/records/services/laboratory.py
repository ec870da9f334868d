"""Typing in what the laboratory found in a sample: numbers with their units, and codes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction

from coldmark.bench import cleanliness
from coldmark.bench.errors import Contradiction, require_between
from coldmark.bench.units import number
from coldmark.records.errors import NotFound, refused, uuid_of
from coldmark.records.models import Fact, Person
from coldmark.records.services.accepting import Kept, record
from coldmark.records.services.telling import digits_typed, record_of

__all__ = ["Measured", "keep_laboratory"]

_MOST = 10_000_000.0


@dataclass(frozen=True, slots=True)
class Measured:
    """One value as typed, with the unit it is printed in; a code has none."""

    typed: str
    unit: str = ""


def keep_laboratory(
    person: Person,
    machine: str,
    sample: str,
    values: Mapping[str, Measured],
    *,
    at: datetime | None = None,
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    """Record what was found in a sample, one fact a value, all or nothing; empty ones are left out.

    Raises
    ------
    Refused
        Naming the value that is not right, or ``sample`` where nothing was typed at all.
    NotFound
        When it is no sample of this machine.
    """
    subject = uuid_of("machine", machine)
    if not Fact.objects.filter(id=uuid_of("sample", sample), kind="sample_taken", subject=subject).exists():
        raise NotFound("sample", sample)
    bodies = [_body(sample, name, one) for name, one in values.items() if one.typed.strip()]
    if not bodies:
        raise refused("sample", "nothing", "one value of it at least")
    with transaction.atomic():
        if id is not None and Fact.objects.filter(id=uuid_of("id", id)).exists():
            bodies = bodies[-1:]  # all of it was kept before; the last one bears the form's own id
        for body in bodies[:-1]:
            record(person, "lab_value", subject, body, at=at, now=now, fold=False)
        return record_of(person, "lab_value", machine, bodies[-1], at=at, id=id, now=now)


def _body(sample: str, name: str, one: Measured) -> dict[str, Any]:
    if not one.unit:
        return {"sample": sample, "name": name, "code": _code(name, one.typed)}
    value = number(name, one.typed)
    require_between(name, value, 0, _MOST, "a laboratory's values")
    return {"sample": sample, "name": name, "value": digits_typed(name, one.typed), "unit": one.unit}


def _code(name: str, typed: str) -> str:
    """A cleanliness code as the standard writes it, so that it is read the same everywhere."""
    try:
        return str(cleanliness.parse(typed))
    except Contradiction as error:
        raise error.under(name, typed.strip()) from None
