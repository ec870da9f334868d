"""What the office records of a machine without a job: its meter, breaker hours, findings settled, entries put right."""

from __future__ import annotations

import hashlib
import re
import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from coldmark.bench.errors import Contradiction, NotANumber, require_choice
from coldmark.bench.facts import KINDS, make
from coldmark.bench.facts import Fact as BenchFact
from coldmark.bench.facts.checks import LIMITS
from coldmark.bench.units import UNITS, number
from coldmark.records.access import require_staff
from coldmark.records.corrections import stored_fact
from coldmark.records.errors import NotFound, refused, uuid_of
from coldmark.records.models import Fact, FindingRow, Machine, Person
from coldmark.records.numbers import moment
from coldmark.records.services.accepting import SERVER_KINDS, Kept, record
from coldmark.records.services.attachments import TEXT, keep_attachment

__all__ = [
    "TimedAs",
    "correct",
    "digits_typed",
    "hours_typed",
    "keep_text",
    "read_meter",
    "record_of",
    "settle_finding",
    "stop_meter",
    "swap_meter",
    "tell_breaker_hours",
    "tell_done_before",
    "time_function",
]

CLOCKS_DIFFER = timedelta(minutes=5)
_KEY_BARS = re.compile(r"[^a-z0-9_.-]+")


def read_meter(
    person: Person,
    machine: str,
    reading: str,
    *,
    way: str = "seen",
    doubt: str | None = None,
    at: datetime | None = None,
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    """Record what the hour meter shows; ``doubt`` is what was asked about it and answered with yes."""
    body: dict[str, Any] = {"reading": _hours("reading", reading), "way": way}
    if doubt is not None:
        body["doubt"] = doubt
    return record_of(person, "meter_read", machine, body, at=at, id=id, now=now)


def swap_meter(
    person: Person,
    machine: str,
    new_first: str,
    old_last: str = "",
    *,
    at: datetime | None = None,
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    """Record that the hour meter was replaced: what the new one starts at, and what the old one showed last."""
    body: dict[str, Any] = {"new_first": _hours("new_first", new_first)}
    if old_last.strip():
        body["old_last"] = _hours("old_last", old_last)
    return record_of(person, "meter_swapped", machine, body, at=at, id=id, now=now)


def stop_meter(
    person: Person, machine: str, since: date, *, id: str | None = None, now: datetime | None = None
) -> Kept:
    """Record that the hour meter is dead since about a day."""
    _not_ahead("since", since, now)
    return record_of(person, "meter_stopped", machine, {"since": since.isoformat()}, id=id, now=now)


def tell_breaker_hours(
    person: Person,
    machine: str,
    hours: str,
    from_day: date,
    to_day: date,
    *,
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    """Record how many hours the breaker worked from one day to another, both included."""
    if to_day < from_day:
        begins = from_day.isoformat()
        raise Contradiction(name="to_day", value=to_day.isoformat(), why="records.cannot.ends", begins=begins)
    _not_ahead("to_day", to_day, now)
    told = _hours("hours", hours)
    most = 24 * ((to_day - from_day).days + 1)
    if float(told["value"]) > most:
        raise refused("hours", hours, f"at most {most}, the hours of those days")
    body = {"hours": told, "from_day": from_day.isoformat(), "to_day": to_day.isoformat()}
    return record_of(person, "breaker_hours_told", machine, body, id=id, now=now)


def tell_done_before(
    person: Person,
    machine: str,
    task: str,
    day: date,
    hours: str = "",
    *,
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    """Record from a service book that a task was done on a day, at so many hours where the book tells.

    Without it the tasks of a machine that comes new to the business are not known until their first time here.
    """
    _not_ahead("day", day, now)
    # Noon by the workshop's clock: a book tells days, and either side of noon is still that day. Today's has come.
    at = min(timezone.make_aware(datetime.combine(day, time(12))), moment(now))
    subject = uuid_of("machine", machine)
    with transaction.atomic():
        told_already = id is not None and Fact.objects.filter(id=uuid_of("id", id)).exists()
        if hours.strip() and not told_already:
            body = {"reading": _hours("hours", hours), "way": "told"}
            record(person, "meter_read", subject, body, at=at, now=now, fold=False)
        return record_of(person, "task_done", machine, {"task": task}, at=at, id=id, now=now)


@dataclass(frozen=True, slots=True)
class TimedAs:
    """What was timed, as typed; each with the ending of the unit that it was typed in. Empty is not told.

    A cycle has a ``time``, a drift what it ``moved`` within the time ``watched``.
    """

    time: tuple[str, str] = ("", "s")
    moved: tuple[str, str] = ("", "mm")
    watched: tuple[str, str] = ("", "min")
    oil: tuple[str, str] = ("", "c")
    load: tuple[str, str] = ("", "kg")
    speed: tuple[str, str] = ("", "rpm")
    runs: str = ""


def time_function(
    person: Person,
    machine: str,
    timing: str,
    typed: TimedAs,
    *,
    at: datetime | None = None,
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    """Record how long a function took, or how far a cylinder drifted; ``timing`` is the sheet's key, or a new name."""
    key = _KEY_BARS.sub("_", timing.strip().casefold()).strip("_.-")
    if not key:
        raise refused("timing", timing.strip(), "one of the list, or a name")
    if typed.time[0].strip() and typed.moved[0].strip():
        raise Contradiction(name="moved", value=typed.moved[0], why="records.cannot.time_and_drift")
    body: dict[str, Any] = {"timing": key[:120], "what": "drift" if typed.moved[0].strip() else "cycle"}
    needed = ("moved", "watched") if body["what"] == "drift" else ("time",)
    for name in ("time", "moved", "watched", "oil", "load", "speed"):
        text, ending = getattr(typed, name)
        if not text.strip() and name not in needed:
            continue
        if name == "watched" and body["what"] == "cycle":
            raise Contradiction(name="moved", value="", why="records.cannot.moved")
        body[name] = _quantity(name, text, ending)
    if typed.runs.strip() and body["what"] == "cycle":
        runs = number("runs", typed.runs, right="3")
        if not 1 <= runs <= 100 or runs % 1 > 0:
            raise refused("runs", typed.runs.strip(), "a whole number from 1 to 100")
        body["runs"] = int(runs)
    return record_of(person, "function_timed", machine, body, at=at, id=id, now=now)


def settle_finding(
    person: Person, machine: str, finding: str, note: str = "", *, id: str | None = None, now: datetime | None = None
) -> Kept:
    """Record that a finding was put right, or is no more."""
    require_staff(person, "settling findings")
    row = FindingRow.objects.filter(fact=uuid_of("finding", finding), machine=uuid_of("machine", machine)).first()
    if row is None:
        raise NotFound("finding", finding)
    body: dict[str, Any] = {"finding": str(row.fact)}
    sha256 = keep_text(person, note)
    if sha256 is not None:
        body["note"] = sha256
    return record_of(person, "finding_settled", machine, body, id=id, now=now)


def correct(
    person: Person,
    fact: str,
    action: str,
    reason: str,
    *,
    body: Mapping[str, Any] | None = None,
    note: str = "",
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    """Replace a fact's body, or withdraw the fact; to undo a correction, withdraw it. Nothing is ever rewritten.

    Raises
    ------
    Refused
        Naming the field, its value and what would be right.
    """
    require_staff(person, "correcting entries")
    require_choice("action", action, KINDS["correction"].fields["action"].choices)
    row = Fact.objects.filter(id=uuid_of("fact", fact), subject_type="machine").first()
    if row is None or row.kind in SERVER_KINDS:
        raise NotFound("fact", fact)
    told: dict[str, Any] = {"of": str(row.id), "action": action}
    if action == "replace":
        if body is None:
            raise refused("body", "nothing", "what the entry says now")
        told["body"] = dict(_checked(stored_fact(row), body).body)
        # A body of the stored version is upgraded when it is read; the new one is of today's.
        told["version"] = KINDS[row.kind].version
    told["reason"] = reason
    sha256 = keep_text(person, note)
    if sha256 is not None:
        told["note"] = sha256
    return record(person, "correction", row.subject, told, job=row.job, id=id, now=now)


def _checked(old: BenchFact, body: Mapping[str, Any]) -> BenchFact:
    """The fact as it would have been recorded with another body: what its kind refuses is refused here."""
    if not old.known:
        raise refused("kind", old.kind, "one that this version can read")
    return make(
        id=old.id,
        kind=old.kind,
        subject=old.subject,
        subject_type=old.subject_type,
        job=old.job,
        at=old.at,
        recorded=old.recorded,
        device=old.device,
        number=old.number,
        person=old.person,
        app=old.app,
        body=body,
    )


def keep_text(person: Person, text: str) -> str | None:
    """Keep free text apart, where it can be erased, and return its hash; ``None`` for an empty one."""
    plain = text.replace("\r\n", "\n").strip()
    if not plain:
        return None
    content = plain.encode("utf-8")
    sha256 = hashlib.sha256(content).hexdigest()
    keep_attachment(person, sha256, TEXT, content)
    return sha256


def record_of(
    person: Person,
    kind: str,
    machine: str,
    body: Mapping[str, Any],
    *,
    at: datetime | None = None,
    id: str | None = None,
    now: datetime | None = None,
) -> Kept:
    """Record something of a machine, for staff; of a moment that has come."""
    subject = uuid_of("machine", machine)
    require_staff(person, "recording")
    if not Machine.objects.filter(id=subject).exists():
        raise NotFound("machine", machine)
    if at is not None and at > moment(now) + CLOCKS_DIFFER:
        raise refused("at", f"{at:%Y-%m-%d %H:%M}", "a moment that has come already")
    return record(person, kind, uuid.UUID(str(subject)), body, at=at, id=id, now=now)


def hours_typed(name: str, typed: str) -> float:
    """Read hours as typed [h], or refuse what no hour meter can show."""
    hours, (low, high) = number(name, typed, right="1523.4"), LIMITS["hours"]
    if not low <= hours <= high:
        raise refused(name, typed.strip(), f"from {low:g} to {high:g} h")
    return hours


def _hours(name: str, typed: str) -> dict[str, str]:
    """Hours as typed: the digits are kept, a comma becomes a point."""
    hours_typed(name, typed)
    return {"value": digits_typed(name, typed, "1523.4"), "unit": "h"}


def _quantity(name: str, typed: str, ending: str) -> dict[str, str]:
    """A quantity as typed, in the unit that it was typed in; what cannot be is refused."""
    unit = UNITS[ending]
    low, high = LIMITS[unit.kind]
    if not low <= unit.to_bench(number(name, typed)) <= high:
        shown = [f"{unit.from_bench(limit):g}" for limit in (low, high)]
        raise refused(name, typed.strip(), f"from {shown[0]} to {shown[1]} {unit.symbol}")
    return {"value": digits_typed(name, typed), "unit": ending}


def digits_typed(name: str, typed: str, right: str = "12.5") -> str:
    """The digits as typed, a comma made a point; or refuse what is no number."""
    text = typed.strip().replace(",", ".").replace("\N{MINUS SIGN}", "-").lstrip("+")
    sign, text = text[: text.startswith("-")], text.removeprefix("-")
    whole, _point, decimals = text.partition(".")
    if not (whole + decimals).isdecimal():
        raise NotANumber(name=name, value=typed.strip(), right=right)
    return f"{sign}{whole or '0'}.{decimals}" if decimals else f"{sign}{whole}"


def _not_ahead(name: str, day: date, now: datetime | None) -> None:
    if day > moment(now).date() + timedelta(days=1):
        raise refused(name, day.isoformat(), "a day that has come already")
