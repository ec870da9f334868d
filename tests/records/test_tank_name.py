"""A sheet calls its compartments as it likes: what is known of the hydraulic tank never hangs on its name."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from coldmark.bench.errors import CannotTell
from coldmark.bench.job import pours_of
from coldmark.records import queries, services
from coldmark.records.paperwork.kit import kit_groups, kit_notes
from coldmark.records.paperwork.report import JobRecord, paper_of
from tests.records.house import House, litres, sheet_text
from tests.records.jobs import Work, close, do_all, keep_oils, open_work

NAME = "oil_of_the_booms"
SECOND = """
[compartments.drive]
name = "drive"
fluid = "hydraulic oil"
capacity_l = 9
drain_l = 9
"""


def renamed(text: str, *, second: bool = False) -> str:
    """A sheet whose hydraulic compartment has another name; with a second one of hydraulic oil if wanted."""
    text = text.replace("[compartments.hydraulic]", f"[compartments.{NAME}]")
    text = text.replace('compartment = "hydraulic"', f'compartment = "{NAME}"')
    if second:
        text = text.replace("[hydraulic]\n", f'[hydraulic]\ncompartment = "{NAME}"\n') + SECOND
    return text


def worked(house: House, machine: str) -> Work:
    """A whole job, with the oil told first and a pour between two readings."""
    work = open_work(house, machine=machine)
    tank = queries.job_card(house.mechanic, work.job)["card"]["hydraulic"]
    fill = {"compartment": tank, "way": "fill", "litres": litres(70), "oil": "varnol_hm46"}
    house.phone.send(house.phone.fact("oil_moved", fill, at=house.days(1), machine=machine))
    do_all(work)
    reading = {"compartment": tank, "oil": {"value": "24", "unit": "c"}, "posture": "arm_out", "engine": "stopped"}
    work.say("level_read", reading | {"moment": "between", "reading": "0.62"})
    work.say("oil_moved", {"compartment": tank, "way": "top_up", "litres": litres("0.8"), "oil": "varnol_hm46"})
    work.say("level_read", reading | {"moment": "left", "reading": "0.72"})
    work.send()
    close(work)
    return work


ASKED = {
    "reading": "0.35",
    "posture": "arm_out",
    "oil_c": "12",
    "air_c": "5",
    "engine": "stopped",
    "settled_min": "10",
}


def known(house: House, work: Work) -> Mapping[str, Any]:
    """All that is worked out from the hydraulic tank on the way: card, level, finish, glance, papers."""
    state, sheet = queries.machine_state(house.mechanic, work.phone.machine)
    assert sheet is not None
    tank = queries.job_card(house.mechanic, work.job)["card"]["hydraulic"]
    answers = [queries.job_level(house.mechanic, work.job, ASKED | {"compartment": key}) for key in (None, tank)]
    assert answers[0] == answers[1]
    report = paper_of(JobRecord(house.mechanic, work.job), "R 1")
    glance = queries.level_glance(state, sheet, "metric", queries.oils_by_key())
    oil = queries.oil_glances(state, sheet, "metric", queries.oils_by_key())[0]
    kit = queries.job_kit(house.mechanic, work.job).kit
    assert kit is not None
    return {
        "learned": list(pours_of(sheet, state)),
        "level": (answers[0]["says"], answers[0]["glass"]),
        "balance": queries.job_finish(house.mechanic, work.job)["balance"],
        "glance": glance,
        "oil": (oil.name, oil.parts, oil.grade, oil.window),
        "report": (report.glasses, report.litres, report.balance, report.readings),
        "kit": (kit_groups(kit, "metric"), kit_notes(kit, "metric")),
    }


@pytest.mark.parametrize("second", [False, True], ids=["the only one of hydraulic oil", "one of two"])
def test_the_whole_way_is_the_same_whatever_the_tanks_compartment_is_called(house: House, second: bool) -> None:
    keep_oils(house)
    sheet = services.keep_sheet(house.office, renamed(sheet_text(), second=second)).sha256
    services.assign_sheet(house.office, house.other_machine, sheet, at=house.days(-50))
    usual, otherwise = (known(house, worked(house, one)) for one in (house.machine, house.other_machine))
    assert usual["learned"]
    assert usual["glance"] is not None
    assert usual["oil"][3]
    assert all(usual["report"])
    assert otherwise == usual


def test_a_level_of_another_compartment_is_not_worked_out_even_of_hydraulic_oil(house: House) -> None:
    keep_oils(house)
    sheet = services.keep_sheet(house.office, renamed(sheet_text(), second=True)).sha256
    services.assign_sheet(house.office, house.machine, sheet, at=house.days(-50))
    work = open_work(house)
    with pytest.raises(CannotTell, match="Only the hydraulic oil's level"):
        queries.job_level(house.mechanic, work.job, ASKED | {"compartment": "drive"})


def test_without_a_sheet_no_level_is_taken_for_the_hydraulic_tanks(house: House) -> None:
    keep_oils(house)
    work = worked(house, house.machine)
    state, sheet = queries.machine_state(house.mechanic, work.phone.machine)
    assert queries.level_glance(state, sheet, "metric", queries.oils_by_key()) is not None
    assert queries.level_glance(state, None, "metric", queries.oils_by_key()) is None
