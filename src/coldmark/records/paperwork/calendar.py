"""Visits as a calendar file (RFC 5545), for the calendar that somebody keeps anyway."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.conf import settings

from coldmark.bench import words
from coldmark.records.models import Person
from coldmark.records.queries.visits import VisitLine, visits

__all__ = ["calendar_of", "visits_ics"]

PRODUCT = "-//Coldmark//Visits//EN"


def visits_ics(person: Person, first: date, last: date, *, mechanic: str | None = None, now: datetime) -> bytes:
    """The visits from ``first`` to ``last`` as a calendar file, with those that were called off marked so."""
    return calendar_of(visits(person, first, last, mechanic=mechanic), now=now)


def calendar_of(lines: Iterable[VisitLine], *, now: datetime) -> bytes:
    """Set visits as a calendar.

    The visit's id is its UID and the count of its changes its SEQUENCE, so that reading the file again changes the
    event that was there. METHOD makes DTSTAMP the moment at which this file was made, and not one that nobody keeps.
    """
    import icalendar  # 90 ms, and only who asks for a calendar pays it

    calendar = icalendar.Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    for line in lines:
        event = icalendar.Event()
        event.add("uid", line.id)
        event.add("dtstamp", now.astimezone(UTC))
        event.add("sequence", line.changed)
        event.add("status", "CANCELLED" if line.called_off else "CONFIRMED")
        for name, value in _when(line):
            event.add(name, value)
        event.add("summary", _summary(line))
        location = ", ".join(part for part in (_one_line(line.site_name), _one_line(line.address)) if part)
        if location:
            event.add("location", location)
        if line.lat is not None and line.lon is not None:
            event.add("geo", (line.lat, line.lon))
        description = _description(line)
        if description:
            event.add("description", description)
        calendar.add_component(event)
    written: bytes = calendar.to_ical()
    return written


def _when(line: VisitLine) -> list[tuple[str, date | datetime]]:
    """Start and end; a visit without a time takes the day, and one without an end says none."""
    if line.from_time is None:
        return [("dtstart", line.day), ("dtend", line.day + timedelta(days=1))]
    start = ("dtstart", _utc(line.day, line.from_time))
    return [start] if line.to_time is None else [start, ("dtend", _utc(line.day, line.to_time))]


def _utc(day: date, at: time) -> datetime:
    """A time in the workshop in UTC, which needs no description of its time zone in the file."""
    return datetime.combine(day, at, ZoneInfo(settings.TIME_ZONE)).astimezone(UTC)


def _summary(line: VisitLine) -> str:
    what = _one_line(line.site_name) or ", ".join(_name(one.name, one.number) for one in line.machines)
    message = "calendar.called_off" if line.called_off else "calendar.visit"
    return words.sentence(message, what=what or words.sentence("calendar.nowhere"))


def _name(name: str, number: str) -> str:
    return _one_line(name or number) or words.sentence("paper.unknown_machine")


def _description(line: VisitLine) -> str:
    said = [f"{_name(one.name, one.number)}: {', '.join(map(_one_line, one.task_names))}" for one in line.machines]
    if line.mechanic:
        said.append(words.sentence("calendar.mechanic", who=_one_line(line.mechanic)))
    if line.van:
        said.append(words.sentence("calendar.van", van=_one_line(line.van)))
    if line.from_time is None and line.to_time is not None:
        said.append(words.sentence("calendar.until", time=f"{line.to_time:%H:%M}"))
    if line.note:
        said.extend(map(_one_line, line.note.splitlines()))
    return "\n".join(said)


def _one_line(text: str) -> str:
    """A text on one line, without the control characters that RFC 5545 (3.1, CONTROL) keeps out of a file."""
    return " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())
