"""Data sheets: what a sound one gives, and what is said of one that is not."""

from __future__ import annotations

import hashlib
import math
from dataclasses import replace
from pathlib import Path

import pytest

from coldmark.bench.errors import Refused
from coldmark.bench.level.model import Lying, Table, Upright, UprightRound
from coldmark.bench.sheet import Fault, SheetFaults, check, hydraulic_key, read, remarks, template

SOUND = template("excavator")
DEMO_SHEETS = sorted((Path(__file__).parents[2] / "src" / "coldmark" / "demo" / "sheets").glob("*.toml"))


def changed(*pairs: tuple[str, str]) -> str:
    """Return the template with texts replaced; each must be there."""
    text = SOUND
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def only_fault(text: str) -> Fault:
    faults = check(text)
    assert len(faults) == 1, [fault.say() for fault in faults]
    return faults[0]


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


def test_a_sound_sheet_has_no_faults_and_is_named_by_its_text() -> None:
    assert check(SOUND) == ()
    sheet = read(SOUND)
    assert sheet.sha256 == hashlib.sha256(SOUND.encode()).hexdigest()
    assert sheet.hydraulic.postures["check"].extension == {"boom": 0.35, "arm": 0.0}
    assert [step.key for step in sheet.steps["hyd_500"]] == ["park", "tray_out", "tray_in", "close", "level_left"]


def test_what_is_not_given_is_none_and_never_guessed() -> None:
    sheet = read(SOUND)
    tank, gauge = sheet.hydraulic.tank, sheet.hydraulic.gauge
    unknown = (
        sheet.mass_kg,
        sheet.hydraulic.system_l,
        sheet.hydraulic.hot_c,
        sheet.hydraulic.settle_min,
        tank.between_marks_l,
        tank.shape,
        gauge.hold_from_c,
        gauge.lower_mm,
        sheet.housings["return"].fasteners,
        sheet.housings["return"].stage,
        sheet.compartments["hydraulic"].capacity_l,
        sheet.tasks["hyd_500"].first_h,
        sheet.tasks["hyd_500"].breaker,
    )
    assert all(value is None for value in unknown)
    assert sheet.tasks["hyd_500"].tolerance_h == pytest.approx(0)


@pytest.mark.parametrize(
    ("written", "value"), [("stroke_in = 27.6", 27.6 * 25.4), ("stroke_cm = 71", 710), ("stroke_m = 0.72", 720)]
)
def test_a_key_may_end_in_any_unit_of_its_kind(written: str, value: float) -> None:
    sheet = read(changed(("rod_mm = 50\nstroke_mm = 700", f"rod_mm = 50\n{written}")))
    assert sheet.hydraulic.cylinders[0].stroke_mm == pytest.approx(value)


def test_temperatures_pressures_volumes_and_torques_are_turned_into_the_bench_units() -> None:
    sheet = read(
        changed(
            ("# hot_c = 57 ", "hot_f = 140 "),
            ("# system_l = 60 ", "system_gal = 20 "),
            ("# features = { length_mm = 218, outer_mm = 96, bypass_bar = 1.5 }", "features = { bypass_psi = 25 }"),
            ("# torque_nm = 24          # from the manual only\nafter", "torque_lbf_ft = 18\nafter"),
        )
    )
    assert sheet.hydraulic.hot_c == pytest.approx(60)
    assert sheet.hydraulic.system_l == pytest.approx(20 * 3.785411784)
    assert sheet.parts["return_element"].features == {"bypass_bar": pytest.approx(25 * 0.0689475729)}
    assert sheet.steps["hyd_500"][3].torque_nm == pytest.approx(18 * 1.3558179483)


def test_an_accumulators_gauge_pressures_become_absolute_ones() -> None:
    accumulator = "[hydraulic.accumulators.pilot]\ngas_l = 0.3\ncharge_bar = 15\nworking_bar = 35\n"
    sheet = read(SOUND + accumulator)
    (pilot,) = sheet.hydraulic.accumulators
    # A standard atmosphere is 1.01325 bar by definition.
    assert (pilot.charge_bar, pilot.working_bar) == pytest.approx((16.01325, 36.01325))


@pytest.mark.parametrize(
    ("lines", "shape"),
    [
        ('kind = "upright"\nlength_mm = 420\nwidth_mm = 300', Upright(420, 300)),
        ('kind = "upright_round"\ndiameter_mm = 400', UprightRound(400)),
        ('kind = "lying"\ndiameter_mm = 400\nlength_mm = 900', Lying(400, 900)),
        (
            'kind = "table"\nrows = [{ height_mm = 0, volume_l = 0 }, { height_cm = 40, volume_l = 50 }]',
            Table(((0, 0), (400, 50))),
        ),
    ],
)
def test_a_tank_may_have_any_of_the_shapes(lines: str, shape: object) -> None:
    assert read(SOUND + "\n[hydraulic.tank.shape]\n" + lines).hydraulic.tank.shape == shape


def test_origin_on_a_table_covers_its_keys_and_the_tables_below() -> None:
    text = changed(
        ("[hydraulic]\n", '[hydraulic]\norigin = "assumed"\nhot_c = 57\n'),
        ("[hydraulic.gauge]\n", '[hydraulic.gauge]\norigin = "measured"\nlower_mm = 300\nupper_mm = 360\n'),
    )
    sheet = read(text)
    origins = sheet.hydraulic.origins
    assert origins["hot_c"] == "assumed"
    assert origins["material"] == "assumed"
    assert origins["lower_mm"] == "measured"
    assert origins["cylinders.boom"] == "assumed"
    assert sheet.housings["return"].origin == "manual"
    assert "system_l" not in origins


def test_a_fault_of_syntax_comes_first_and_alone_with_its_line() -> None:
    text = changed(('material = "steel"', 'material = "steel'), ("sprung = true", "sprung = perhaps"))
    fault = only_fault(text)
    assert fault.line == line_of(text, 'material = "steel')
    assert "not TOML" in fault.say()


def test_all_value_faults_are_told_at_once_each_with_its_line() -> None:
    text = changed(
        ('material = "steel"', 'material = "wood"'),
        ("bore_mm = 90", 'bore_mm = "90"'),
        ("sprung = true", 'sprung = "yes"'),
        ("interval_h = 500", "interval_h = -5"),
    )
    faults = check(text)
    assert [(fault.line, fault.key, fault.value) for fault in faults] == [
        (line_of(text, 'material = "wood"'), "hydraulic.tank.material", '"wood"'),
        (line_of(text, 'bore_mm = "90"'), "hydraulic.cylinders.boom.bore_mm", '"90"'),
        (line_of(text, 'sprung = "yes"'), "housings.return.sprung", '"yes"'),
        (line_of(text, "interval_h = -5"), "tasks.hyd_500.interval_h", "-5"),
    ]
    with pytest.raises(SheetFaults) as refusal:
        read(text)
    assert refusal.value.faults == faults
    assert isinstance(refusal.value, Refused)
    assert "faults: 4" in str(refusal.value)


def test_a_fault_says_line_key_value_and_what_would_be_right() -> None:
    fault = only_fault(changed(('material = "steel"', 'material = "wood"')))
    assert fault.say() == (
        f'Line {fault.line}: hydraulic.tank.material = "wood": it must be one of steel, aluminium, plastic.'
    )


def test_limits_are_told_in_the_unit_that_was_written() -> None:
    fault = only_fault(changed(("rod_mm = 50", "rod_in = 50")))
    assert fault.right == "it must be from 0.11811 to 19.685"


@pytest.mark.parametrize(
    ("old", "new", "near"),
    [
        ('material = "steel"', 'material = "steel"\nbetwen_marks_l = 8', "between_marks_l"),
        ("minutes = 8\nafter", "minutes = 8\ntool = []\nafter", "tools"),
        ("\norigin = ", '\nsheat = "x"\norigin = ', "machine, compartments"),
    ],
)
def test_an_unknown_key_is_told_with_the_nearest_known_one(old: str, new: str, near: str) -> None:
    fault = only_fault(changed((old, new)))
    assert "there is no such key here" in fault.right
    assert near in fault.right


def test_a_key_in_a_wrong_unit_is_unknown() -> None:
    faults = check(changed(("rod_mm = 50", "rod_kg = 50")))
    assert {fault.key for fault in faults} == {"hydraulic.cylinders.boom.rod_mm", "hydraulic.cylinders.boom.rod_kg"}


def test_a_quantity_given_twice_in_two_units_is_a_fault() -> None:
    fault = only_fault(changed(("rod_mm = 50", "rod_mm = 50\nrod_in = 2")))
    assert fault.key == "hydraulic.cylinders.boom.rod_in"
    assert "rod_mm" in fault.right


def test_a_needed_key_that_is_missing_is_told_at_its_table() -> None:
    text = changed(('says = "Boom up, arm in"\n', ""))
    fault = only_fault(text)
    assert (fault.line, fault.key) == (line_of(text, "[hydraulic.postures.other]"), "hydraulic.postures.other.says")
    assert fault.right == "it is needed: the posture in words"


@pytest.mark.parametrize("value", ["nan", "inf", "-inf", "true", '"90"', "[90]", "1e400", "1" + "0" * 400])
def test_what_is_no_number_is_refused_as_one(value: str) -> None:
    fault = only_fault(changed(("bore_mm = 90", f"bore_mm = {value}")))
    assert fault.right == "it must be a number without quotes, such as 12.5"


@pytest.mark.parametrize(
    ("old", "new", "key", "told"),
    [
        ('check_posture = "check"', 'check_posture = "chek"', "hydraulic.check_posture", "check"),
        ('compartment = "hydraulic"\nopens', 'compartment = "hydrolic"\nopens', "housings.return.compartment", "hydra"),
        (
            'part = "return_element"\nrenew',
            'part = "retur_element"\nrenew',
            "housings.return.stack[5].part",
            "return_element",
        ),
        ("{ boom = 0.35, arm = 0 }", "{ boom = 0.35, arm = 0, bucket = 1 }", ".extension.bucket", "boom, arm"),
        ("{ boom = 0.35, arm = 0 }", "{ boom = 0.35 }", "hydraulic.postures.check.extension", "arm"),
        ('cautions = ["pressure_down"]', 'cautions = ["pressure"]', "tasks.hyd_500.steps[1].cautions[1]", "pressure_d"),
        (
            'housing = "return"\nminutes = 5',
            'housing = "pilot"\nminutes = 5',
            "tasks.hyd_500.steps[4].housing",
            "return",
        ),
        (
            '{ part = "return_element", count = 1 }',
            '{ part = "x", count = 1 }',
            "steps[3].parts[1].part",
            "return_elem",
        ),
        ("# includes = []", 'includes = ["hyd_50"]', "tasks.hyd_500.includes[1]", "hyd_500"),
        ('# needs_option = "breaker"', 'needs_option = "breaker"', "tasks.hyd_500.needs_option", "nothing is there"),
    ],
)
def test_a_reference_must_name_something_that_is_there(old: str, new: str, key: str, told: str) -> None:
    text = changed((old, new))
    fault = only_fault(text)
    assert fault.key.endswith(key)
    assert told in fault.right
    assert fault.line == line_of(text, new.splitlines()[0])


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("rod_mm = 50", "rod_mm = 90", "hydraulic.cylinders.boom.bore_mm"),
        ("# hold_from_c = 50 ", "hold_from_c = 50 ", "hydraulic.gauge.hold_to_c"),
        ("# upper_mm = 390", "upper_mm = 390", "hydraulic.gauge.lower_mm"),
        ("interval_h = 500 ", "# interval_h = 500 ", "tasks.hyd_500"),
        ('after = ["tray_out"]', 'after = ["close"]', "tasks.hyd_500.steps[3].after[1]"),
        ('key = "level_left"', 'key = "tray_out"', "tasks.hyd_500.steps[5].key"),
        ('phase = "run"\n', 'phase = "prepare"\n', "tasks.hyd_500.steps[5].phase"),
        ('housing = "return"\nminutes = 8\n# tools', "minutes = 8\n# tools", "tasks.hyd_500.steps[2].housing"),
        ('compartment = "hydraulic"\nminutes', "minutes", "tasks.hyd_500.steps[5].compartment"),
        ('part = "cover_ring"\nrenew = true', "renew = true", "housings.return.stack[2].part"),
        ('key = "spring"', 'key = "cover"', "housings.return.stack[3].key"),
        ("# includes = []", 'includes = ["hyd_500"]', "tasks.hyd_500.includes"),
    ],
)
def test_what_contradicts_within_the_sheet_is_a_fault(old: str, new: str, key: str) -> None:
    assert only_fault(changed((old, new))).key == key


def test_the_ring_that_a_can_brings_along_needs_no_part_of_its_own() -> None:
    words = 'name = "can"\ncompartment = "hydraulic"\nopens = "below"\nsprung = false\nholds_pressure = false\n'
    ring = '[[housings.can.stack]]\nkey = "ring"\nname = "ring"\nkind = "seal"\nrenew = true\n'
    assert check(f"{SOUND}\n[housings.can]\n{words}spin_on = true\n{ring}") == ()
    fault = only_fault(f"{SOUND}\n[housings.can]\n{words}spin_on = false\n{ring}")
    assert fault.key == "housings.can.stack[1].part"


def test_a_timing_has_the_most_of_its_own_kind_and_a_drift_the_time_that_it_is_for() -> None:
    cycle = '\n[timings.boom_up]\nname = "boom up"\nkind = "cycle"\nmost_s = 3.5\noil_f = 122\n'
    drift = '\n[timings.boom_drift]\nname = "boom drift"\nkind = "drift"\nmost_in = 0.8\nwatched_min = 5\n'
    found = read(SOUND + cycle + drift).timings
    assert (found["boom_up"].most, found["boom_up"].oil_c) == pytest.approx((3.5, 50))
    assert found["boom_drift"].most == pytest.approx(0.8 * 25.4 / 5)
    assert read(SOUND).timings == {}
    fault = only_fault(SOUND + cycle.replace("most_s = 3.5", "most_mm = 3\nwatched_min = 5"))
    assert fault.key == "timings.boom_up.most_mm"
    assert only_fault(SOUND + drift.replace("watched_min = 5\n", "")).key == "timings.boom_drift.watched_min"


def test_a_longer_circle_of_includes_is_found() -> None:
    steps = '\n[[tasks.{0}.steps]]\nkey = "x"\nsays = "x"\nminutes = 1\n'
    text = changed(("# includes = []", 'includes = ["b"]'))
    for key, includes in (("b", "c"), ("c", "hyd_500")):
        text += f'\n[tasks.{key}]\nname = "x"\ninterval_h = 5\ncounts_from = "meter"\nincludes = ["{includes}"]\n'
        text += steps.format(key)
    assert {fault.key for fault in check(text)} == {f"tasks.{key}.includes" for key in ("hyd_500", "b", "c")}


def test_a_fourth_caution_that_stops_the_card_is_a_fault() -> None:
    words = 'word = "danger"\nhazard = "x"\nconsequence = "x"\navoidance = "x"\nhard_stop = true\n'
    text = SOUND + "".join(f"\n[cautions.more_{number}]\n{words}" for number in (1, 2, 3))
    fault = only_fault(text)
    assert (fault.key, fault.line) == ("cautions.more_3.hard_stop", text.count("\n"))


def test_steps_said_to_be_one_act_must_be_alike() -> None:
    text = SOUND + (
        '\n[tasks.b]\nname = "x"\ninterval_h = 5\ncounts_from = "meter"\n'
        '[[tasks.b.steps]]\nkey = "park"\nonce = "park"\nphase = "work"\nsays = "x"\nminutes = 1\n'
    )
    fault = only_fault(text)
    assert fault.key == "tasks.b.steps[1].once"
    assert "hyd_500.park" in fault.right


ANOTHER_TANK = '\n[compartments.drive]\nname = "drive"\nfluid = "hydraulic oil"\n'


def test_the_one_compartment_of_hydraulic_oil_is_the_tank_whatever_it_is_called() -> None:
    named = SOUND.replace("[compartments.hydraulic]", "[compartments.tank_a]")
    sheet = read(named.replace('compartment = "hydraulic"', 'compartment = "tank_a"'))
    assert hydraulic_key(sheet) == "tank_a"


def test_of_two_compartments_of_hydraulic_oil_the_sheet_says_which_the_tank_is() -> None:
    fault = only_fault(SOUND + ANOTHER_TANK)
    assert fault.key == "hydraulic.compartment"
    assert fault.right == "it is needed, because more than one compartment holds hydraulic oil: hydraulic, drive"
    for key in ("hydraulic", "drive"):
        told = SOUND.replace("[hydraulic]\n", f'[hydraulic]\ncompartment = "{key}"\n')
        assert hydraulic_key(read(told + ANOTHER_TANK)) == key


def test_a_tank_of_another_oil_is_named_and_one_of_coolant_is_none() -> None:
    engine_oil = SOUND.replace('fluid = "hydraulic oil"', 'fluid = "engine oil"').replace('families = ["HM", "HV"]', "")
    fault = only_fault(engine_oil)
    assert fault.key == "hydraulic.compartment"
    assert fault.right.startswith("it is needed, because no compartment holds hydraulic oil")
    told = engine_oil.replace("[hydraulic]\n", '[hydraulic]\ncompartment = "hydraulic"\n')
    assert hydraulic_key(read(told)) == "hydraulic"
    water = told.replace('fluid = "engine oil"', 'fluid = "coolant"')
    assert only_fault(water).right == "the tank must hold an oil, and this compartment holds coolant"


def test_a_sheet_made_by_hand_without_a_clear_tank_takes_none_for_it() -> None:
    sheet = read(SOUND)
    two = replace(sheet, compartments={key: replace(sheet.compartments["hydraulic"], key=key) for key in ("a", "b")})
    assert hydraulic_key(two) is None


UNUSABLE = [
    ("x" * 500_001, "at most 500000 letters"),
    ("a = " + "[" * 5000 + "]" * 5000, "nested too deeply"),
    ('a = "\ud800"', "UTF-8"),
]


@pytest.mark.parametrize(("text", "told"), UNUSABLE, ids=["long", "deep", "surrogate"])
def test_a_text_that_is_no_sheet_at_all_is_one_plain_sentence(text: str, told: str) -> None:
    fault = only_fault(text)
    assert told in fault.say()
    assert fault.line == 0


def test_an_empty_text_names_every_needed_table() -> None:
    assert {fault.key for fault in check("")} == {"origin", "machine", "compartments", "hydraulic", "tasks"}


def test_a_mark_before_the_first_letter_and_windows_line_ends_do_no_harm() -> None:
    windows = "\ufeff" + SOUND.replace("\n", "\r\n")
    assert read(windows).hydraulic == read(SOUND).hydraulic
    assert math.isclose(read(windows).steps["hyd_500"][0].minutes, 5)


class TestRemarks:
    LET_OFF = """\
[[tasks.hyd_500.steps]]
key = "let_off"
kind = "do"
says = "Levers all ways"
minutes = 2
phase = "prepare"

"""
    FIRST_STEP = "[[tasks.hyd_500.steps]]"
    ACCUMULATOR = "[hydraulic.accumulators.pilot]\ngas_l = 0.3\ncharge_bar = 12\nworking_bar = 35\n\n"

    def remarked(self, text: str) -> tuple[Fault, ...]:
        assert check(text) == (), "a sheet with faults has no remarks"
        return remarks(text)

    def under_pressure(self) -> str:
        return changed(("holds_pressure = false", "holds_pressure = true"))

    def test_a_housing_that_holds_pressure_wants_it_let_off(self) -> None:
        text = self.under_pressure()
        (remark,) = self.remarked(text)
        assert text.splitlines()[remark.line - 1].startswith('housing = "return"')
        assert remark.say() == (
            f'Line {remark.line}: tasks.hyd_500.steps[2].housing = "return": it holds pressure after stopping, and '
            "no step let_off comes before this one; the card puts its own in: \"Let the accumulator's pressure off as "
            "the machine's manual says\"."
        )

    def test_a_step_that_lets_it_off_first_is_enough(self) -> None:
        text = self.under_pressure()
        assert self.remarked(text.replace(self.FIRST_STEP, self.LET_OFF + self.FIRST_STEP, 1)) == ()
        once = self.LET_OFF.replace('"let_off"', '"levers"').replace("phase", 'once = "let_off"\nphase')
        assert self.remarked(text.replace(self.FIRST_STEP, once + self.FIRST_STEP, 1)) == ()

    def test_one_that_comes_afterwards_is_not(self) -> None:
        text = self.under_pressure()
        last = text.rindex(self.FIRST_STEP)
        late = self.LET_OFF.replace('phase = "prepare"', 'phase = "run"')
        assert len(self.remarked(text[:last] + late + text[last:])) == 1

    def test_an_accumulator_that_no_housing_holds_is_remarked(self) -> None:
        text = SOUND.replace("[parts.return_element]", self.ACCUMULATOR + "[parts.return_element]", 1)
        (remark,) = self.remarked(text)
        assert remark.message == "sheet.remark.accumulator"

    def test_a_sheet_with_faults_has_no_remarks_yet(self) -> None:
        assert remarks(changed(("holds_pressure = false", "holds_pressure = 1"))) == ()
        assert remarks("[") == ()


@pytest.mark.parametrize("path", DEMO_SHEETS, ids=lambda path: path.stem)
def test_the_demos_sheets_leave_nothing_to_remark(path: Path) -> None:
    assert remarks(path.read_text(encoding="utf-8")) == ()
