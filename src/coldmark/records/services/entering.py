"""Entering a machine: its names, and the first facts of it, all or nothing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from coldmark.records.access import require_staff
from coldmark.records.errors import refused, uuid_of
from coldmark.records.models import Machine, Person
from coldmark.records.numbers import moment
from coldmark.records.plain import MachineData
from coldmark.records.services.rows import assign_sheet, hand_over, keep_machine, move_machine
from coldmark.records.services.telling import read_meter

__all__ = ["MachineEntered", "enter_machine"]


@dataclass(frozen=True, slots=True)
class MachineEntered:
    """What is known of a machine when it is entered; all but its names may be told later."""

    customer: str | None = None
    site: str | None = None
    sheet: str | None = None
    handed_over: date | None = None
    reading: str = ""


def enter_machine(person: Person, data: MachineData, told: MachineEntered, *, now: datetime | None = None) -> str:
    """Make a machine with what is known of it, and return its id. Entering it again changes nothing.

    Raises
    ------
    Refused
        Naming the field; nothing is kept then.
    """
    require_staff(person, "entering machines")
    at = moment(now)
    id = uuid_of("id", data.id)
    if told.site is not None and told.customer is None:
        raise refused("customer", "nothing", "the owner, as a site is given")
    if told.handed_over is not None and told.handed_over > at.date():
        raise refused("handed_over", told.handed_over.isoformat(), "a day that has come already")
    with transaction.atomic():
        if Machine.objects.filter(id=id).exists():
            return str(id)
        keep_machine(person, data)
        machine = str(id)
        if told.customer is not None:
            move_machine(person, machine, told.customer, told.site, at=at, now=at)
        if told.sheet is not None:
            assign_sheet(person, machine, told.sheet, at=at, now=at)
        if told.handed_over is not None:
            hand_over(person, machine, told.handed_over, now=at)
        if told.reading.strip():
            read_meter(person, machine, told.reading, at=at, now=at)
    return machine
