"""The demo's four machines and its oils: sound, whole, and different from each other where real ones differ."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from coldmark import demo
from coldmark.bench import level, oil
from coldmark.bench.sheet import Sheet, check, read

HERE = Path(demo.__file__).parent
SHEETS = {file.stem: read(file.read_text(encoding="utf-8")) for file in sorted((HERE / "sheets").glob("*.toml"))}
OILS = {file.stem: oil.from_text(file.read_text(encoding="utf-8")) for file in sorted((HERE / "oils").glob("*.toml"))}
VALLEY = tomllib.loads((HERE / "valley.toml").read_text(encoding="utf-8"))

every_machine = pytest.mark.parametrize("sheet", SHEETS.values(), ids=list(SHEETS))


@pytest.mark.parametrize("name", SHEETS)
def test_it_has_no_faults(name: str) -> None:
    text = (HERE / "sheets" / f"{name}.toml").read_text(encoding="utf-8")
    assert [fault.say() for fault in check(text)] == []


def test_every_machine_of_the_valley_has_its_sheet_and_a_serial_number_within_its_range() -> None:
    for machine in VALLEY["machine"]:
        sheet = SHEETS[machine["sheet"]]
        assert sheet.serial_from <= machine["serial"] <= sheet.serial_to, machine["name"]
        option = machine["story"].get("option")
        assert option is None or option in sheet.options, machine["name"]


def test_every_oil_of_the_van_and_of_a_story_is_there_under_its_key() -> None:
    assert all(found.key == name for name, found in OILS.items())
    told = {machine["story"]["oil"] for machine in VALLEY["machine"] if "oil" in machine["story"]}
    assert told | {name for van in VALLEY["van"] for name in van["oils"]} <= set(OILS)


def test_no_two_sheets_share_a_part_number() -> None:
    numbers = [part.number for sheet in SHEETS.values() for part in sheet.parts.values()]
    assert len(numbers) == len(set(numbers))


def test_the_marks_hold_at_different_temperatures_and_the_check_postures_differ() -> None:
    holds = {name: sheet.hydraulic.gauge.hold_from_c for name, sheet in SHEETS.items()}
    assert holds["excavator_5t"] == pytest.approx(50)
    assert holds["excavator_1t8"] == pytest.approx(15)
    assert {sheet.hydraulic.tank.material for sheet in SHEETS.values()} == {"steel", "plastic"}
    big, small = (SHEETS[name].hydraulic for name in ("excavator_5t", "excavator_1t8"))
    blade = [system.postures[system.check_posture].extension["blade"] for system in (big, small)]
    assert blade == pytest.approx([1, 0])


@every_machine
def test_every_way_that_people_park_it_but_one_shows_another_level(sheet: Sheet) -> None:
    """That is why the posture must be told; the wrong ones move the oil by more than the glass can be read."""
    system = sheet.hydraulic
    fluid = OILS["varnol_hm46"]
    moved = [
        level.draw_l(system, level.standing_of(system, key)) for key in system.postures if key != system.check_posture
    ]
    assert len(moved) >= 3
    assert max(abs(litres) for litres in moved) > 0.4
    wrong = next(key for key in system.postures if key != system.check_posture)
    assert level.read(system, 0.5, 20, wrong, oil=fluid).move_first == system.check_posture


def test_the_big_diggers_cold_mark_is_above_the_middle_and_clear_of_the_upper_mark() -> None:
    mark = level.cold_mark(SHEETS["excavator_5t"].hydraulic, 5, oil=OILS["varnol_hm46"])
    assert mark.highest is not None
    assert 0.5 < mark.highest.low < mark.highest.high < 0.9


@every_machine
def test_the_usual_oil_may_go_into_every_system(sheet: Sheet) -> None:
    fluid = OILS["varnol_hm46"]
    assert oil.may_top_up(fluid, fluid, sheet.compartments["hydraulic"]).answer == "yes"
    bio = oil.may_top_up(fluid, OILS["varnol_hees46"], sheet.compartments["hydraulic"])
    assert bio.answer == "no"


@every_machine
def test_every_part_that_a_task_renews_is_among_the_parts_of_its_steps(sheet: Sheet) -> None:
    for task, steps in sheet.steps.items():
        brought: dict[str, int] = {}
        for step in steps:
            for part, count in step.parts:
                brought[part] = brought.get(part, 0) + count
        opened = {step.housing for step in steps if step.kind == "tray_out"}
        for housing in opened:
            for item in sheet.housings[str(housing)].stack:
                # A can's ring comes in the can's own box.
                if item.renew and (item.part is not None or not sheet.housings[str(housing)].spin_on):
                    assert brought.get(str(item.part), 0) >= item.count, (task, housing, item.key)


@every_machine
def test_every_part_and_caution_is_used_somewhere(sheet: Sheet) -> None:
    steps = [step for own in sheet.steps.values() for step in own]
    used = {part for step in steps for part, _ in step.parts}
    used |= {item.part for housing in sheet.housings.values() for item in housing.stack if item.part}
    assert set(sheet.parts) == used
    assert {caution for step in steps for caution in step.cautions} == set(sheet.cautions)


@every_machine
def test_every_housing_that_is_opened_is_put_together_and_closed_again(sheet: Sheet) -> None:
    for task, steps in sheet.steps.items():
        kinds = [(step.kind, step.housing) for step in steps if step.housing]
        for kind, housing in kinds:
            if kind == "tray_out":
                out = kinds.index(("tray_out", housing))
                back = kinds.index(("tray_in", housing))
                assert out < back, (task, housing)
                if sheet.housings[str(housing)].fasteners is not None:
                    assert back < kinds.index(("close", housing)), (task, housing)


@every_machine
def test_a_closing_step_has_the_torque_of_its_housing(sheet: Sheet) -> None:
    for steps in sheet.steps.values():
        for step in steps:
            held = sheet.housings[step.housing].fasteners if step.kind == "close" and step.housing else None
            if held is not None and held.torque_nm is not None:
                assert step.torque_nm == pytest.approx(held.torque_nm)


@every_machine
def test_at_most_three_cautions_stop_the_card_and_each_task_tells_of_the_key(sheet: Sheet) -> None:
    stopping = {key for key, caution in sheet.cautions.items() if caution.hard_stop}
    assert stopping == {"pressure_down", "key_kept", "clear_of_tank"}
    for steps in sheet.steps.values():
        told = [caution for step in steps for caution in step.cautions]
        assert told.index("pressure_down") < told.index("key_kept")


@every_machine
def test_drained_oil_is_filled_in_again(sheet: Sheet) -> None:
    for task, steps in sheet.steps.items():
        if not sheet.tasks[task].oil_change:
            continue
        for compartment in {step.compartment for step in steps if (step.litres_out_l or 0) > 0.15 and step.compartment}:
            drained = sum(step.litres_out_l or 0 for step in steps if step.compartment == compartment)
            filled = sum(step.litres_in_l or 0 for step in steps if step.compartment == compartment)
            assert drained <= filled + 0.15, (task, compartment)


@every_machine
def test_what_drains_is_no_more_than_what_it_holds(sheet: Sheet) -> None:
    for compartment in sheet.compartments.values():
        if compartment.capacity_l is not None and compartment.drain_l is not None:
            assert compartment.drain_l < compartment.capacity_l


@every_machine
def test_no_step_says_more_than_a_phone_shows(sheet: Sheet) -> None:
    for steps in sheet.steps.values():
        for step in steps:
            assert len(step.says) <= 60
            assert step.why


def test_the_accumulators_pressure_is_let_off_as_a_step_with_its_caution() -> None:
    sheet = SHEETS["excavator_5t"]
    assert sheet.hydraulic.accumulators
    assert sheet.housings["pilot"].holds_pressure
    keys = [step.key for step in sheet.steps["hyd_500"]]
    assert keys.index("stop") < keys.index("let_off") < keys.index("pilot_out")
    let_off = sheet.steps["hyd_500"][keys.index("let_off")]
    assert "accumulator" in let_off.cautions
