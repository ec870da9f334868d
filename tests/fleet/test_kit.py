"""The kit of a job: counted per place, with litres and their reserve, tools by hex, and the waste the van can take."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import files

import pytest

from coldmark.bench import words
from coldmark.bench.errors import NotAChoice
from coldmark.bench.sheet import Sheet, read
from coldmark.fleet.kit import VanRoom, combine, expand, kit


@pytest.fixture(scope="module", params=["excavator_1t8", "excavator_5t", "telehandler", "track_loader"])
def sheet(request: pytest.FixtureRequest) -> Sheet:
    return read((files("coldmark") / "demo" / "sheets" / f"{request.param}.toml").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def digger() -> Sheet:
    return read((files("coldmark") / "demo" / "sheets" / "excavator_5t.toml").read_text(encoding="utf-8"))


def test_every_new_part_of_every_opened_stack_is_in_it_once(sheet: Sheet) -> None:
    for task in sheet.tasks:
        keys = expand(sheet, [task], sheet.options)
        made = kit(sheet, [task], options=sheet.options)
        counted = {need.key: need.count for need in (*made.elements, *made.seals, *made.other_parts)}
        opened = {step.housing for key in keys for step in sheet.steps[key] if step.kind == "tray_in"}
        for housing in filter(None, opened):
            for item in sheet.housings[housing].stack:
                if item.renew and item.part is not None:
                    assert counted[item.part] >= item.count


def test_two_tasks_that_open_the_same_housing_need_its_element_once(digger: Sheet) -> None:
    alone = kit(digger, ["hyd_500"])
    twin = replace(digger.tasks["hyd_500"], key="again", includes=())
    doubled = replace(
        digger, tasks={**digger.tasks, "again": twin}, steps={**digger.steps, "again": digger.steps["hyd_500"]}
    )
    both = kit(doubled, ["hyd_500", "again"])
    assert [(need.key, need.count) for need in both.elements] == [(need.key, need.count) for need in alone.elements]
    assert both.elements[0].tasks == ("again", "hyd_500") or both.elements[0].tasks == ("hyd_500", "again")


def test_a_500_hour_hydraulic_service_brings_return_and_pilot_elements_but_no_fill_of_oil(digger: Sheet) -> None:
    """common practice, no source: the elements are changed at 500 h, the oil and the suction strainer are not."""
    made = kit(digger, ["hyd_500"])
    housings = {step.housing for step in digger.steps["hyd_500"] if step.kind == "tray_in"}
    assert {"return", "pilot"} <= {name for name in housings if name}
    assert len(made.elements) >= 2
    hydraulic = [need for need in made.oils if need.fluid == "hydraulic oil"]
    assert all(need.litres_l < 0.25 * (digger.hydraulic.system_l or 0.0) for need in hydraulic)
    assert not any(need.kind == "strainer" for need in made.elements)


def test_the_oil_change_needs_more_oil_and_more_room_for_waste_than_the_filter_service(sheet: Sheet) -> None:
    changes = [key for key, task in sheet.tasks.items() if task.oil_change]
    assert changes
    for change in changes:
        made = kit(sheet, [change], options=sheet.options)
        assert sum(need.litres_l for need in made.oils) > 0
        assert made.waste_l > 0


def test_included_tasks_come_with_the_longer_one_and_options_not_fitted_stay_away(sheet: Sheet) -> None:
    for key, task in sheet.tasks.items():
        if task.needs_option is not None:
            assert expand(sheet, [key]) == ()
            assert expand(sheet, [key], [task.needs_option])[-1] == key
        else:
            assert {key, *(k for k in task.includes if sheet.tasks[k].needs_option is None)} <= set(
                expand(sheet, [key])
            )


def test_the_reserve_is_a_tenth_and_half_a_litre_at_least(sheet: Sheet) -> None:
    for task in sheet.tasks:
        for need in kit(sheet, [task], options=sheet.options).oils:
            assert need.reserve_l == pytest.approx(max(0.5, need.litres_l / 10))
            assert need.bring_l == pytest.approx(need.litres_l + need.reserve_l)


def test_what_old_elements_hold_comes_home_as_waste(digger: Sheet) -> None:
    dry = kit(digger, ["hyd_500"])
    (held, *_more) = [need for need in dry.elements if need.kind == "element"]
    part = digger.parts[held.key]
    soaked = replace(digger, parts={**digger.parts, held.key: replace(part, holds_l=(part.holds_l or 0.0) + 1.0)})
    assert kit(soaked, ["hyd_500"]).waste_l == pytest.approx(dry.waste_l + held.count)


def test_tools_are_sorted_by_hex_each_once_and_fasteners_bring_their_own(digger: Sheet) -> None:
    made = kit(digger, ["hyd_500"])
    hexes = [tool.hex_mm for tool in made.tools if tool.hex_mm is not None]
    assert hexes == sorted(hexes)
    assert len(set(made.tools)) == len(made.tools)
    for step in digger.steps["hyd_500"]:
        fasteners = digger.housings[step.housing].fasteners if step.housing else None
        if fasteners is not None and fasteners.hex_mm is not None:
            assert fasteners.hex_mm in hexes


def test_a_van_that_is_too_small_for_the_waste_is_said_so(digger: Sheet) -> None:
    change = next(key for key, task in digger.tasks.items() if task.oil_change)
    small = kit(digger, [change], options=digger.options, van=VanRoom(1.0, {}))
    assert small.waste_fits is False
    note = next(note for note in small.notes if note.message == "kit.van_waste_over")
    assert "1.0 L" in words.sentence(note.message, units="metric", **note.values)
    assert kit(digger, [change], van=VanRoom(1000.0, {})).waste_fits is True
    assert kit(digger, [change], van=VanRoom(None, {})).waste_fits is None


def test_the_oil_inside_is_named_and_a_van_that_carries_too_little_of_it_is_said_so(digger: Sheet) -> None:
    change = next(key for key, task in digger.tasks.items() if task.oil_change)
    compartment = kit(digger, [change]).oils[0].compartment
    made = kit(digger, [change], inside={compartment: "valley_46"}, van=VanRoom(500.0, {"valley_46": 0.5}))
    need = next(need for need in made.oils if need.compartment == compartment)
    assert need.oil == "valley_46"
    note = next(note for note in made.notes if note.message == "kit.van_oil_short")
    assert words.sentence(note.message, units="metric", **note.values)


def test_kits_of_several_machines_add_up_and_the_reserve_is_taken_once(digger: Sheet) -> None:
    one = kit(digger, ["hyd_500"])
    both = combine([one, one], VanRoom(one.waste_l * 1.5, {}))
    assert [need.count for need in both.elements] == [2 * need.count for need in one.elements]
    assert both.minutes == pytest.approx(2 * one.minutes)
    assert both.waste_l == pytest.approx(2 * one.waste_l)
    assert both.tools == one.tools
    assert both.waste_fits is False
    for single, together in zip(one.oils, both.oils, strict=True):
        assert together.litres_l == pytest.approx(2 * single.litres_l)
        assert together.reserve_l == pytest.approx(max(0.5, 0.2 * single.litres_l))


def test_an_option_with_its_own_oil_makes_the_change_larger(digger: Sheet) -> None:
    change = next(
        key
        for key, task in digger.tasks.items()
        if task.oil_change and task.compartment and digger.compartments[task.compartment].fluid == "hydraulic oil"
    )
    option = next(iter(digger.options.values()))
    larger = replace(digger, options={**digger.options, option.key: replace(option, extra_l=7.0)})
    plain, fitted = kit(larger, [change]), kit(larger, [change], options=[option.key])
    assert sum(n.litres_l for n in fitted.oils) == pytest.approx(sum(n.litres_l for n in plain.oils) + 7.0)
    assert fitted.waste_l == pytest.approx(plain.waste_l + 7.0)


def test_a_task_that_is_not_on_the_sheet_is_refused_by_name(digger: Sheet) -> None:
    with pytest.raises(NotAChoice, match="polish"):
        kit(digger, ["polish"])
