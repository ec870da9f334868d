"""Visits as a calendar file, read back with a general calendar library and held to the rules of RFC 5545.

The rules are from memory; that a library of general use reads the file and writes such lines itself confirms them:
lines end in CRLF and are folded at 75 octets with CRLF and a blank (3.1), in text ``\\``, ``;``, ``,`` and line ends
are escaped (3.3.11), an event has UID and DTSTAMP in UTC (3.6.1), a whole day's end is the day after (3.6.1).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time
from typing import Any
from uuid import uuid4

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.records import services
from coldmark.records.paperwork import visits_ics
from coldmark.records.paperwork.calendar import calendar_of
from coldmark.records.queries import VisitLine
from coldmark.records.services import VisitData, VisitPart
from tests.records.house import House

NOW = datetime(2026, 3, 1, 12, 30, tzinfo=UTC)
DAY = date(2026, 3, 2)
YEAR = (date(2026, 1, 1), date(2026, 12, 31))
LINE = VisitLine(str(uuid4()), DAY, None, None, "", "", "", "", None, None, "", 0, False, ())


def events(content: bytes) -> list[Any]:
    calendar = icalendar.Calendar.from_ical(content)
    assert calendar["version"] == "2.0"
    assert calendar["prodid"]
    return list(calendar.walk("VEVENT"))


def event(line: VisitLine) -> Any:
    (only,) = events(calendar_of([line], now=NOW))
    return only


def unfolded(content: bytes) -> list[str]:
    return content.decode().replace("\r\n ", "").split("\r\n")


def a_visit(house: House, **more: object) -> VisitData:
    told = {
        "id": str(uuid4()),
        "day": DAY,
        "machines": (VisitPart(house.machine, ("hyd_500", "engine_250")),),
        "mechanic": str(house.mechanic.id),
        "van": house.van,
        "site": house.site,
        "from_time": time(8, 0),
        "to_time": time(11, 30),
        "note": "call first",
    }
    return services.plan_visit(house.office, VisitData(**(told | more)))  # type: ignore[arg-type]


def test_a_visit_is_an_event_with_its_place_machines_and_tasks(house: House) -> None:
    planned = a_visit(house)
    (found,) = events(visits_ics(house.office, *YEAR, now=NOW))
    assert found["uid"] == planned.id
    assert found["summary"] == "Visit: Upper bench"
    assert found["location"] == "Upper bench"
    assert found["geo"].to_ical() == "47.1;10.2"
    lines = str(found["description"]).split("\n")
    assert lines[0].startswith("Digger: Hydraulic service: return and pilot elements, ")
    assert lines[1:] == ["Mechanic: Tom Weir", "Van: Blue van", "call first"]
    assert found["status"] == "CONFIRMED"


def test_its_times_are_those_of_the_workshop_written_in_utc(house: House) -> None:
    a_visit(house)  # the tests' workshop stands in Vienna, an hour before UTC in winter and two in summer
    a_visit(house, day=date(2026, 7, 1))
    winter, summer = events(visits_ics(house.office, *YEAR, now=NOW))
    assert winter.start == datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
    assert winter.end == datetime(2026, 3, 2, 10, 30, tzinfo=UTC)
    assert summer.start == datetime(2026, 7, 1, 6, 0, tzinfo=UTC)
    assert winter["dtstamp"].dt == NOW


def test_a_visit_without_a_time_takes_the_whole_day() -> None:
    content = calendar_of([LINE], now=NOW)
    assert "DTSTART;VALUE=DATE:20260302" in unfolded(content)
    assert "DTEND;VALUE=DATE:20260303" in unfolded(content)


def test_a_visit_that_only_begins_has_no_end_made_up_for_it() -> None:
    found = event(replace(LINE, from_time=time(8, 0)))
    assert "dtend" not in found
    assert "duration" not in found


def test_a_visit_that_only_ends_says_until_when() -> None:
    found = event(replace(LINE, to_time=time(16, 0)))
    assert found["dtstart"].dt == DAY
    assert "Until 16:00" in found["description"]


def test_a_visit_called_off_stays_as_called_off_with_a_higher_sequence(house: House) -> None:
    planned = a_visit(house)
    (before,) = events(visits_ics(house.office, *YEAR, now=NOW))
    services.call_off_visit(house.office, planned.id)
    (after,) = events(visits_ics(house.office, *YEAR, now=NOW))
    assert after["uid"] == before["uid"]
    assert after["status"] == "CANCELLED"
    assert after["sequence"] > before["sequence"]
    assert after["summary"].startswith("Called off")


def test_a_change_keeps_the_uid_and_raises_the_sequence(house: House) -> None:
    planned = a_visit(house)
    services.plan_visit(house.office, replace(planned, day=date(2026, 3, 9)))
    (after,) = events(visits_ics(house.office, *YEAR, now=NOW))
    assert (after["uid"], after["sequence"]) == (planned.id, 1)
    assert after.start.date() == date(2026, 3, 9)


def test_one_mechanics_calendar_holds_his_visits_alone(house: House) -> None:
    mine = a_visit(house)
    a_visit(house, mechanic=None)
    (found,) = events(visits_ics(house.office, *YEAR, mechanic=str(house.mechanic.id), now=NOW))
    assert found["uid"] == mine.id


def test_no_visits_are_an_empty_calendar() -> None:
    assert events(calendar_of([], now=NOW)) == []


@given(
    site=st.text(max_size=200),
    address=st.text(max_size=200),
    note=st.text(max_size=400),
    mechanic=st.text(alphabet=st.characters(categories=["L", "N", "P", "S", "Zs"]), max_size=80),
)
def test_whatever_was_typed_the_lines_keep_to_the_rules_and_read_back(
    site: str, address: str, note: str, mechanic: str
) -> None:
    line = replace(LINE, site_name=site, address=address, note=note, mechanic=mechanic)
    content = calendar_of([line], now=NOW)
    assert content.endswith(b"\r\n")
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert b"\r" not in content.replace(b"\r\n", b"")
    assert all(len(one) <= 75 for one in content.split(b"\r\n"))
    assert not any(byte < 0x20 or byte == 0x7F for byte in content.replace(b"\r\n", b""))
    (found,) = events(content)
    assert str(found.get("description", "")).split() == _words(mechanic and f"Mechanic: {mechanic}") + _words(note)
    assert str(found.get("location", "")).replace(",", " ").split() == [
        part for text in (site, address) for part in " ".join(_words(text)).replace(",", " ").split()
    ]


def _words(text: str) -> list[str]:
    return "".join(letter if letter.isprintable() else " " for letter in text).split()


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("a,b", "a\\,b"),
        ("a;b", "a\\;b"),
        ("a\\b", "a\\\\b"),
        ("a:b", "a:b"),
        ('"a"', '"a"'),
    ],
)
def test_what_means_something_in_the_format_is_escaped(typed: str, written: str) -> None:
    content = calendar_of([replace(LINE, address=typed)], now=NOW)
    assert f"LOCATION:{written}" in unfolded(content)
    assert event(replace(LINE, address=typed))["location"] == typed


def test_a_long_line_is_folded_between_letters_and_never_inside_one() -> None:
    name = "Böschungsbaggerführerhäuschen " * 6
    content = calendar_of([replace(LINE, site_name=name)], now=NOW)
    lines = content.split(b"\r\n")
    assert any(one.startswith(b" ") for one in lines)
    for one in lines:
        one.decode("utf-8")  # each line by itself is whole letters
    assert event(replace(LINE, site_name=name))["summary"] == f"Visit: {name.strip()}"
