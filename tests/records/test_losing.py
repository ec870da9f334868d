"""Whether a machine loses oil, told from what was recorded of its level and its top-ups."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from coldmark.records import queries
from tests.records.house import House, litres
from tests.records.jobs import keep_oils
from tests.web.conftest import signed_in


def read(house: House, day: float, reading: object, **change: Any) -> Any:
    """A level of the five-tonne excavator as its driver reads it."""
    body = {
        "compartment": "hydraulic",
        "moment": "found",
        "reading": str(reading),
        "oil": {"value": "20", "unit": "c"},
        "posture": "arm_out",
        "engine": "stopped",
        "settled_min": 15,
    }
    return house.phone.fact("level_read", body | change, at=house.days(day))


def told(house: House) -> queries.LosingGlance | None:
    """What its page says of losses."""
    state, sheet = queries.machine_state(house.mechanic, house.phone.machine)
    return queries.losing(state, sheet, "metric", queries.oils_by_key())


def lived(house: House, readings: Sequence[object], *, every_days: float = 10, per_day_h: float = 5) -> None:
    """A machine that works so many hours a day and is read every so often."""
    keep_oils(house)
    for place, reading in enumerate(readings):
        day = 60 + every_days * place
        house.phone.send(house.phone.meter(500 + per_day_h * every_days * place, at=house.days(day)))
        house.phone.send(read(house, day + 0.01, reading))


def test_a_machine_that_loses_half_a_litre_in_a_hundred_hours_is_told(house: House) -> None:
    # 50 h between readings; 0.25 L are 0.031 of the span.
    lived(house, [0.90, 0.87, 0.84, 0.81, 0.78, 0.74, 0.71, 0.68])
    found = told(house)
    assert found is not None
    assert found.clear
    assert re.match(r"It loses about 0\.(4[5-9]|5[0-5]) L in 100 hours", found.says[0])
    page = signed_in(house.mechanic).get(f"/machines/{house.phone.machine}/").text
    assert found.says[0] in page


def test_a_top_up_between_two_readings_is_no_mending(house: House) -> None:
    lived(house, [0.60, 0.57, 0.54, 0.51])
    top_up = {"compartment": "hydraulic", "way": "top_up", "litres": litres("2.0"), "oil": "varnol_hm46"}
    house.phone.send(house.phone.fact("oil_moved", top_up, at=house.days(95)))
    for place, reading in enumerate([0.73, 0.70, 0.67, 0.64]):
        house.phone.send(house.phone.meter(700 + 50 * place, at=house.days(100 + 10 * place)))
        house.phone.send(read(house, 100.01 + 10 * place, reading))
    found = told(house)
    assert found is not None
    assert re.match(r"It loses about 0\.(4[5-9]|5[0-5]) L in 100 hours", found.says[0])


def test_a_tight_machine_is_said_to_be_no_worse_than_the_readings_leave_open(house: House) -> None:
    lived(house, [0.70, 0.71, 0.70, 0.69, 0.70, 0.71])
    found = told(house)
    assert found is not None
    assert not found.clear
    assert found.says[0].startswith("No loss can be told from these readings")


def test_two_readings_are_too_few_and_nothing_is_said(house: House) -> None:
    lived(house, [0.70, 0.60])
    assert told(house) is None


def test_what_was_lost_before_a_leak_was_mended_counts_no_more(house: House) -> None:
    lived(house, [0.95, 0.80, 0.65, 0.50])
    leak = house.phone.fact("finding", {"about": "return", "what": "leak", "urgency": "plan_for_it"}, at=house.days(92))
    house.phone.send(leak)
    assert told(house) is not None
    settled = {"finding": leak.id}
    house.phone.send(house.phone.fact("finding_settled", settled, at=house.days(93)))
    assert told(house) is None
    for place, reading in enumerate([0.70, 0.70, 0.71]):
        house.phone.send(house.phone.meter(700 + 50 * place, at=house.days(100 + 10 * place)))
        house.phone.send(read(house, 100.01 + 10 * place, reading))
    found = told(house)
    assert found is not None
    assert not found.clear


def test_a_glass_that_never_moves_is_said_to_be_doubtful(house: House) -> None:
    lived(house, [0.5, 0.5])
    for place in range(2):
        top_up = {"compartment": "hydraulic", "way": "top_up", "litres": litres("3.0"), "oil": "varnol_hm46"}
        house.phone.send(house.phone.fact("oil_moved", top_up, at=house.days(75 + 10 * place)))
        house.phone.send(house.phone.meter(600 + 50 * place, at=house.days(80 + 10 * place)))
        house.phone.send(read(house, 80.01 + 10 * place, 0.5))
    found = told(house)
    assert found is not None
    assert found.says == ()
    assert "stood still" in found.why
