"""The job card: tasks merged in a sound order, cautions where they matter, gates that hold."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any, Literal

import pytest

from coldmark.bench import card
from coldmark.bench.card.gates import evaluate
from coldmark.bench.errors import Missing, NotAChoice
from coldmark.bench.facts import quantity
from coldmark.bench.facts.kinds import KINDS
from coldmark.bench.ledger.state import LevelSeen, State
from coldmark.bench.level.model import Gauge, Posture, System, Tank
from coldmark.bench.sheet.model import SheetStep
from tests.bench.card_cases import (
    DEMO,
    GOLDEN_CARD,
    JOB,
    demo_card,
    demo_sheet,
    done,
    keys,
    put_back,
    said,
    screen_of,
    taken_out,
    whole_job,
)

SHEETS = sorted(path.stem for path in DEMO.glob("*.toml"))
ALL_TASKS = [(name, task) for name in SHEETS for task in demo_sheet(name).tasks]


def test_the_golden_card_is_what_is_built() -> None:
    # Stale? Write it anew: python -m tests.bench.write_card
    assert json.loads(GOLDEN_CARD.read_text(encoding="utf-8")) == demo_card()


def test_it_is_plain_json() -> None:
    built = demo_card("hyd_2000", "engine_250")
    assert json.loads(json.dumps(built)) == built


@pytest.mark.parametrize(("name", "task"), ALL_TASKS)
def test_every_task_of_every_demo_sheet_makes_a_card_that_can_be_finished(name: str, task: str) -> None:
    built = demo_card(task, name=name)
    facts = whole_job(built)
    assert card.progress(built, facts).current is None
    assert card.missing(built, facts) == []
    assert all(standing.done for standing in card.completion(built, facts))


@pytest.mark.parametrize("name", SHEETS)
def test_all_tasks_at_once_make_one_card(name: str) -> None:
    built = demo_card(*demo_sheet(name).tasks, name=name)
    found = keys(built)
    assert len(found) == len(set(found))
    assert card.finish(built, whole_job(built))["ready"]


@pytest.mark.parametrize(("name", "task"), ALL_TASKS)
def test_gates_open_in_the_order_of_the_card(name: str, task: str) -> None:
    built = demo_card(task, name=name)
    for at, screen in enumerate(built["screens"]):
        before = whole_job({"screens": built["screens"][:at]})
        # A cover's gate is judged with its own parts back; everything before the screen is done.
        for gate in screen["gates"]:
            assert evaluate(gate["needs"], before).met, (screen["key"], gate["key"])


class TestMerging:
    def test_shared_steps_come_once_and_count_for_each_task(self) -> None:
        built = demo_card("engine_250", "hyd_500")
        parks = [screen for screen in built["screens"] if screen["key"].endswith(".park")]
        assert [park["tasks"] for park in parks] == [["engine_250", "hyd_500"]]

    def test_an_included_task_comes_along(self) -> None:
        built = demo_card("hyd_2000")
        assert [task["key"] for task in built["tasks"]] == ["hyd_2000", "hyd_500", "air_breather_1000"]
        assert len([key for key in keys(built) if key.endswith(".level_left")]) == 1

    def test_no_task_comes_twice(self) -> None:
        assert keys(demo_card("hyd_500", "hyd_2000", "hyd_500")) == keys(demo_card("hyd_500", "hyd_2000"))

    @pytest.mark.parametrize("tasks", [("engine_250", "hyd_2000"), ("hyd_2000", "engine_250", "coolant_24")])
    def test_the_phases_follow_each_other(self, tasks: tuple[str, ...]) -> None:
        order = ["stop", "prepare", "work", "fill", "run", "finish"]
        phases = [order.index(screen["phase"]) for screen in demo_card(*tasks)["screens"]]
        assert phases == sorted(phases)

    @pytest.mark.parametrize(("name", "task"), ALL_TASKS)
    def test_a_step_comes_after_what_the_sheet_puts_before_it(self, name: str, task: str) -> None:
        built = demo_card(task, name=name)
        at = {key: place for place, key in enumerate(keys(built))}
        for step in demo_sheet(name).steps[task]:
            for before in step.after:
                assert at[f"{task}.{before}"] < at[f"{task}.{step.key}"]

    def test_nothing_is_started_before_the_tanks_cap_is_on(self) -> None:
        found = keys(demo_card("engine_250", "hyd_500"))
        assert found.index("hyd_500.cap") < found.index("engine_250.engine_run") < found.index("hyd_500.bleed")

    def test_a_task_that_the_sheet_has_not_is_refused(self) -> None:
        with pytest.raises(NotAChoice, match="task = hyd_501 is not one of"):
            demo_card("hyd_501")

    def test_a_job_without_a_task_is_refused(self) -> None:
        with pytest.raises(Missing, match="tasks is not known"):
            card.build(job=JOB, sheet=demo_sheet(), tasks=[], state=State("m"))

    def test_the_tasks_that_the_job_was_opened_with_are_on_it(self) -> None:
        built = demo_card("hyd_500", jobs_facts=[said("job_opened", tasks=["hyd_500", "fuel_500"])])
        assert [task["key"] for task in built["tasks"]] == ["hyd_500", "fuel_500"]

    def test_an_included_task_for_an_option_that_is_not_fitted_stays_away(self) -> None:
        sheet = demo_sheet()
        longer = replace(sheet.tasks["hyd_500"], includes=("breaker_200",))
        with_breaker = replace(sheet, tasks={**sheet.tasks, "hyd_500": longer})
        given: dict[str, Any] = {"job": JOB, "sheet": with_breaker, "tasks": ["hyd_500"]}
        without = card.build(state=State("m"), **given)
        fitted = card.build(state=State("m", options={"breaker": True}), **given)
        assert [task["key"] for task in without["tasks"]] == ["hyd_500"]
        assert [task["key"] for task in fitted["tasks"]] == ["hyd_500", "breaker_200"]


@pytest.mark.parametrize("name", SHEETS)
class TestTheOrderOfAHydraulicService:
    """Common practice, no source; each holds for every demo machine, alone and with the oil change."""

    @pytest.mark.parametrize("task", ["hyd_500", "hyd_2000"])
    def test_the_sample_is_of_the_oil_that_did_the_work(self, name: str, task: str) -> None:
        built = demo_card(task, name=name)
        sample = keys(built).index(keys(built, "sample")[0])
        vented = keys(built).index(f"{task}.vent")
        opened = keys(built).index(keys(built, "tray_out")[0])
        poured = keys(built).index(keys(built, "add")[0])
        assert vented < sample < min(opened, poured)
        assert task == "hyd_500" or sample < keys(built).index("hyd_2000.drain")

    def test_nobody_is_near_the_tank_while_levers_move(self, name: str) -> None:
        built = demo_card(name=name)
        for step in ("cap", "bleed", "cycle"):
            assert "clear_of_tank" in [one["key"] for one in screen_of(built, f"hyd_500.{step}")["cautions"]]

    def test_the_level_is_read_on_level_ground(self, name: str) -> None:
        for kind in ("level_found", "level_left"):
            built = demo_card(name=name)
            assert "level ground" in screen_of(built, keys(built, kind)[0])["says"]


@pytest.mark.parametrize("name", ["excavator_1t8", "excavator_5t"])
def test_a_breakers_line_is_opened_only_with_the_pressure_let_off_and_the_tank_vented(name: str) -> None:
    built = demo_card("breaker_200", name=name, options=["breaker"])
    found = keys(built)
    assert found.index("breaker_200.let_off") < found.index("breaker_200.vent") < found.index("breaker_200.line")
    assert keys(built, "caution") == ["stop.pressure_down", "stop.key_kept", "stop.clear_of_tank"]


class TestHardStops:
    @pytest.mark.parametrize("name", SHEETS)
    def test_there_are_at_most_three_and_they_stand_first(self, name: str) -> None:
        built = demo_card(*demo_sheet(name).tasks, name=name)
        stops = keys(built, "caution")
        assert 1 <= len(stops) <= card.MOST_STOPS
        assert keys(built)[: len(stops)] == stops

    def test_the_gravest_are_kept_when_a_sheet_has_more(self) -> None:
        sheet = demo_sheet()
        strict = {key: replace(caution, hard_stop=True) for key, caution in sheet.cautions.items()}
        built = card.build(job=JOB, sheet=replace(sheet, cautions=strict), tasks=["hyd_500"], state=State("m"))
        assert [screen["cautions"][0]["word"] for screen in built["screens"][:4] if screen["cautions"]][:3] == [
            "danger"
        ] * 3

    def test_a_sheet_that_names_none_gets_the_usual_three(self) -> None:
        sheet = demo_sheet()
        mild = {key: replace(caution, hard_stop=False) for key, caution in sheet.cautions.items()}
        built = card.build(job=JOB, sheet=replace(sheet, cautions=mild), tasks=["hyd_500"], state=State("m"))
        assert keys(built, "caution") == ["stop.pressure_down", "stop.key_kept", "stop.clear_of_tank"]

    def test_nothing_is_opened_before_they_are_read_and_done(self) -> None:
        built = demo_card()
        gate = screen_of(built, "hyd_500.tray_out")["gates"][0]
        two = whole_job({"screens": built["screens"][:2]})
        three = whole_job({"screens": built["screens"][:3]})
        assert not evaluate(gate["needs"], two).met
        assert evaluate(gate["needs"], three).met

    def test_other_cautions_stand_where_they_matter(self) -> None:
        shown = screen_of(demo_card(), "hyd_500.bolts_off")["cautions"]
        assert [(one["key"], one["word"], one["hard_stop"]) for one in shown] == [("sprung_cover", "warning", False)]

    def test_each_names_hazard_consequence_and_avoidance(self) -> None:
        for screen in demo_card("hyd_2000", "engine_250")["screens"]:
            for caution in screen["cautions"]:
                assert all(caution[field] for field in ("hazard", "consequence", "avoidance"))


class TestTheTray:
    def test_common_practice_cover_spring_valve_element_come_out_in_that_order(self) -> None:
        # common practice, no source
        items = screen_of(demo_card(), "hyd_500.tray_out")["tray"]["items"]
        order = [item["kind"] for item in items if item["kind"] != "seal"]
        assert order == ["cover", "spring", "valve", "element"]

    def test_going_back_shows_the_same_tray(self) -> None:
        built = demo_card()
        assert screen_of(built, "hyd_500.tray_in")["tray"] == screen_of(built, "hyd_500.tray_out")["tray"]

    @pytest.mark.parametrize(
        ("units", "shown"),
        [
            ("metric", ["218.0 mm", "96.0 mm", "48.0 mm"]),
            ("us", ["8.583 in", "3.780 in", "1.890 in"]),
        ],
    )
    def test_the_sheets_measures_of_a_new_element_are_there_to_be_held_against_it(
        self, units: Literal["metric", "us"], shown: list[str]
    ) -> None:
        items = screen_of(demo_card(units=units), "hyd_500.tray_in")["tray"]["items"]
        told = {item["kind"]: item["measures"] for item in items}
        assert [one["shown"] for one in told["element"]] == shown
        assert [one["name"] for one in told["element"]] == ["length", "outside diameter", "opening"]
        assert told["seal"] == told["spring"] == []

    def test_a_forgotten_spring_keeps_the_cover_off(self) -> None:
        built = demo_card()
        out, close = screen_of(built, "hyd_500.tray_out"), screen_of(built, "hyd_500.close")
        facts = taken_out(out) + put_back(out, but=["return.spring"])
        gate = next(gate for gate in close["gates"] if gate["key"] == "hyd_500.close.refitted")
        assert evaluate(gate["needs"], facts).lacking == ("return.spring",)
        assert evaluate(gate["needs"], [*facts, said("part_in", place="return.spring", count=1, fresh=False)]).met

    def test_an_old_ring_put_back_keeps_the_cover_off_until_a_reason_is_told(self) -> None:
        built = demo_card()
        out, close = screen_of(built, "hyd_500.tray_out"), screen_of(built, "hyd_500.close")
        gate = next(gate for gate in close["gates"] if gate["key"] == "hyd_500.close.renewed")
        facts = taken_out(out) + put_back(out, but=["return.cover_ring"])
        old = said("part_in", place="return.cover_ring", count=1, fresh=False)
        assert evaluate(gate["needs"], [*facts, old]).lacking == ("new:return.cover_ring",)
        assert not evaluate(screen_of(built, "hyd_500.tray_in")["done_when"], [*facts, old]).met
        told = said("part_in", place="return.cover_ring", count=1, fresh=False, reason="part_not_here")
        assert evaluate(gate["needs"], [*facts, told]).met

    def test_a_seal_that_was_missing_must_be_looked_for(self) -> None:
        built = demo_card()
        out, close = screen_of(built, "hyd_500.tray_out"), screen_of(built, "hyd_500.close")
        missing = said("part_out", place="return.cover_ring", count=0, state="missing")
        facts = [*taken_out(out, but=["return.cover_ring"]), missing, *put_back(out)]
        shut = {gate["key"]: evaluate(gate["needs"], facts).lacking for gate in close["gates"][1:]}
        assert shut == {
            "hyd_500.close.refitted": (),
            "hyd_500.close.renewed": (),
            "hyd_500.close.old_seals": ("old:return.cover_ring",),
        }
        sought = said("seal_looked_for", place="return.cover_ring", groove=True, bowl=True, photo="a" * 64)
        assert all(evaluate(gate["needs"], [*facts, sought]).met for gate in close["gates"][1:])

    def test_a_seal_that_goes_back_is_asked_for_too(self) -> None:
        sheet = demo_sheet()
        stack = tuple(replace(item, renew=False) for item in sheet.housings["return"].stack)
        kept = replace(sheet, housings={**sheet.housings, "return": replace(sheet.housings["return"], stack=stack)})
        close = screen_of(card.build(job=JOB, sheet=kept, tasks=["hyd_500"], state=State("m")), "hyd_500.close")
        assert [gate["key"].rpartition(".")[2] for gate in close["gates"]] == ["hard_stops", "refitted", "old_seals"]

    @pytest.mark.parametrize(
        ("state", "met"), [("as_expected", True), ("deformed", True), ("missing", False), ("stuck_and_left", False)]
    )
    def test_an_old_seal_must_be_accounted_for(self, state: str, met: bool) -> None:
        built = demo_card()
        out, close = screen_of(built, "hyd_500.tray_out"), screen_of(built, "hyd_500.close")
        gate = next(gate for gate in close["gates"] if gate["key"] == "hyd_500.close.old_seals")
        facts = [
            *taken_out(out, but=["return.cover_ring"]),
            said("part_out", place="return.cover_ring", count=1, state=state),
        ]
        assert evaluate(gate["needs"], facts).met is met

    @pytest.mark.parametrize(
        ("count", "state", "met"),
        [(2, "as_expected", True), (1, "as_expected", False), (1, "fewer", False), (3, "more", True)],
    )
    def test_of_two_old_rings_both_must_be_in_the_hand(self, count: int, state: str, met: bool) -> None:
        built = demo_card(name="telehandler")
        out, close = screen_of(built, "hyd_500.tray_out"), screen_of(built, "hyd_500.close")
        gate = next(gate for gate in close["gates"] if gate["key"] == "hyd_500.close.old_seals")
        rings = said("part_out", place="return.element_ring", count=count, state=state)
        assert evaluate(gate["needs"], [*taken_out(out, but=["return.element_ring"]), rings]).met is met

    @pytest.mark.parametrize("count", [0, 2])
    def test_a_spring_lost_or_doubled_keeps_the_cover_off_whatever_it_is_called(self, count: int) -> None:
        built = demo_card()
        out, close = screen_of(built, "hyd_500.tray_out"), screen_of(built, "hyd_500.close")
        gate = next(gate for gate in close["gates"] if gate["key"] == "hyd_500.close.refitted")
        springs = [
            said("part_out", place="return.spring", count=count, state="as_expected"),
            said("part_in", place="return.spring", count=count, fresh=False),
        ]
        others = taken_out(out, but=["return.spring"]) + put_back(out, but=["return.spring"])
        assert evaluate(gate["needs"], [*others, *springs]).lacking == ("return.spring",)

    @pytest.mark.parametrize(("name", "task"), [("track_loader", "hyd_500"), ("excavator_5t", "engine_250")])
    def test_the_ring_that_a_can_leaves_behind_is_asked_for(self, name: str, task: str) -> None:
        built = demo_card(task, name=name)
        gates = {gate["key"]: gate for screen in built["screens"] for gate in screen["gates"]}
        key = "hyd_500.pilot_close.old_seals" if task == "hyd_500" else "engine_250.engine_filter_close.old_seals"
        rings = [fact for fact in whole_job(built) if str(fact["body"].get("place", "")).endswith(".ring")]
        left = [fact | {"body": fact["body"] | {"count": 0, "state": "missing"}} for fact in rings]
        assert evaluate(gates[key]["needs"], rings).met
        assert not evaluate(gates[key]["needs"], left).met

    def test_a_seal_found_later_is_accounted_for(self) -> None:
        gate = next(gate for gate in screen_of(demo_card(), "hyd_500.close")["gates"] if "old_seals" in gate["key"])
        others = [said("part_out", place="return.element_ring", count=1, state="as_expected")]
        lost = said("part_out", place="return.cover_ring", count=0, state="missing")
        found = said("part_out", place="return.cover_ring", count=1, state="as_expected")
        assert not evaluate(gate["needs"], [*others, found, lost]).met
        assert evaluate(gate["needs"], [*others, lost, found]).met

    @pytest.mark.parametrize(
        ("torque", "units", "shown", "typed"),
        [
            ((24.0, 22.0, 26.0), "metric", "24 N·m", {"value": "24", "low": "22", "high": "26"}),
            ((4.5, 4.0, 5.25), "metric", "4.5 N·m", {"value": "4.5", "low": "4", "high": "5.25"}),
            ((24.0, 22.0, 26.0), "us", "18 lbf·ft", {"value": "18", "low": "16", "high": "19"}),
            ((24.0, None, None), "metric", "24 N·m", {"value": "24", "low": None, "high": None}),
        ],
    )
    def test_a_torque_starts_from_the_sheets_figure_in_the_readers_unit(
        self, torque: tuple[float, ...], units: Any, shown: str, typed: dict[str, Any]
    ) -> None:
        sheet = demo_sheet()
        held = sheet.housings["return"].fasteners
        assert held is not None
        value, low, high = torque
        held = replace(held, torque_nm=value, torque_low_nm=low, torque_high_nm=high)
        housing = replace(sheet.housings["return"], fasteners=held)
        steps = tuple(replace(step, torque_nm=None) for step in sheet.steps["hyd_500"])
        changed = replace(
            sheet, housings={**sheet.housings, "return": housing}, steps={**sheet.steps, "hyd_500": steps}
        )
        built = card.build(job=JOB, sheet=changed, tasks=["hyd_500"], state=State("m"), units=units)
        found = screen_of(built, "hyd_500.close")["torque"]
        assert (found["shown"], found["typed"]) == (shown, typed)
        assert (found["value_nm"], found["low"], found["high"]) == torque

    def test_a_housing_without_a_closing_step_gets_one_with_its_gate(self) -> None:
        built = demo_card("air_breather_1000")
        found = keys(built)
        assert found.index("air_breather_1000.breather_in") + 1 == found.index("air_breather_1000.shut_breather")
        assert any("refitted" in gate["key"] for gate in screen_of(built, "air_breather_1000.shut_breather")["gates"])

    def test_a_sprung_cover_says_hold_it_and_lets_opposite_bolts_off_last(self) -> None:
        # Where the bolts come out, not on the screen after it.
        screen = screen_of(demo_card(), "hyd_500.bolts_off")
        bolts = screen["bolts"]
        assert bolts["sprung"]
        assert abs(bolts["order"][-1] - bolts["order"][-2]) == bolts["count"] // 2
        assert any("hold the cover down" in says for says in bolts["says"])
        assert "A spring pushes the cover off" in screen["says"]
        assert screen_of(demo_card(), "hyd_500.tray_out")["bolts"] is None
        assert screen_of(demo_card(), "hyd_500.seals")["bolts"] is None

    def test_a_sheet_that_lets_the_bolts_off_with_the_tray_says_it_there(self) -> None:
        sheet = demo_sheet()
        steps = tuple(replace(step, after=()) for step in sheet.steps["hyd_500"] if step.key != "bolts_off")
        bare = replace(sheet, steps={**sheet.steps, "hyd_500": steps})
        screen = screen_of(card.build(job=JOB, sheet=bare, tasks=["hyd_500"], state=State("m")), "hyd_500.tray_out")
        assert screen["bolts"]["order"] == [6, 3, 5, 2, 4, 1]
        assert "hold it down" in screen["says"]

    def test_the_torque_is_the_sheets(self) -> None:
        close = screen_of(demo_card(), "hyd_500.close")
        assert (close["torque"]["value_nm"], close["torque"]["shown"], close["torque"]["origin"]) == (
            24.0,
            "24 N·m",
            "sheet",
        )
        assert screen_of(demo_card(units="us"), "hyd_500.close")["torque"]["shown"] == "18 lbf·ft"

    @pytest.mark.parametrize("name", SHEETS)
    def test_a_torque_of_the_card_can_be_recorded_as_it_stands(self, name: str) -> None:
        # The phone writes the number of the card; a fact takes six decimals.
        for screen in demo_card(*demo_sheet(name).tasks, name=name)["screens"]:
            if screen["torque"] is not None:
                assert quantity({"value": str(screen["torque"]["value_nm"]), "unit": "nm"}, "torque") > 0

    def test_without_a_torque_on_the_sheet_there_is_no_figure(self) -> None:
        sheet = demo_sheet()
        housing = sheet.housings["return"]
        assert housing.fasteners is not None
        loose = replace(housing, fasteners=replace(housing.fasteners, torque_nm=None))
        steps = tuple(replace(step, torque_nm=None) for step in sheet.steps["hyd_500"])
        bare = replace(sheet, housings={**sheet.housings, "return": loose}, steps={**sheet.steps, "hyd_500": steps})
        close = screen_of(card.build(job=JOB, sheet=bare, tasks=["hyd_500"], state=State("m")), "hyd_500.close")
        assert close["torque"] is None
        assert "No torque on the sheet" in close["says"]
        assert not any("%" in says for says in close["bolts"]["says"])


class TestTheAccumulator:
    def test_its_pressure_is_let_off_before_its_housing_is_opened(self) -> None:
        gate = screen_of(demo_card(), "hyd_500.pilot_out")["gates"][1]
        assert gate["key"] == "hyd_500.pilot_out.let_off"
        assert not evaluate(gate["needs"], []).met
        assert evaluate(gate["needs"], [done("hyd_500.let_off")]).met

    @pytest.mark.parametrize("name", ["excavator_5t"])
    def test_a_sheet_that_forgot_the_step_gets_it(self, name: str) -> None:
        sheet = demo_sheet(name)
        steps = tuple(step for step in sheet.steps["hyd_500"] if step.key != "let_off")
        bare = replace(sheet, steps={**sheet.steps, "hyd_500": steps})
        found = card.build(job=JOB, sheet=bare, tasks=["hyd_500"], state=State("m"))
        assert keys(found).index("hyd_500.let_off") < keys(found).index("hyd_500.vent")

    def forgetful(self, *, told: bool) -> Any:
        """The 5 t sheet without its step, and where it is not told, with no housing that is said to hold pressure."""
        sheet = demo_sheet()
        steps = tuple(step for step in sheet.steps["hyd_500"] if step.key != "let_off")
        pilot = replace(sheet.housings["pilot"], holds_pressure=told)
        return replace(sheet, steps={**sheet.steps, "hyd_500": steps}, housings={**sheet.housings, "pilot": pilot})

    def test_the_cards_own_step_says_what_the_danger_is(self) -> None:
        sheet = self.forgetful(told=True)
        built = card.build(job=JOB, sheet=sheet, tasks=["hyd_500"], state=State("m"))
        assert [one["key"] for one in screen_of(built, "hyd_500.let_off")["cautions"]] == [
            "accumulator",
            "pressure_down",
        ]
        bare = card.build(job=JOB, sheet=replace(sheet, cautions={}), tasks=["hyd_500"], state=State("m"))
        (danger,) = screen_of(bare, "hyd_500.let_off")["cautions"]
        assert (danger["word"], danger["hazard"]) == (
            "danger",
            "Oil under pressure, and an attachment that is held up.",
        )

    def test_an_accumulator_that_no_housing_is_said_to_hold_shuts_every_hydraulic_one(self) -> None:
        built = card.build(job=JOB, sheet=self.forgetful(told=False), tasks=["hyd_500"], state=State("m"))
        shut = {
            screen["key"]
            for screen in built["screens"]
            for gate in screen["gates"]
            if gate["key"] == f"{screen['key']}.let_off" and not evaluate(gate["needs"], []).met
        }
        # From the first bolt on, not only when the parts are laid out.
        assert shut == {"hyd_500.bolts_off", "hyd_500.tray_out", "hyd_500.pilot_out"}
        assert card.finish(built, whole_job(built))["ready"]

    def test_without_an_accumulator_there_is_no_such_step(self) -> None:
        sheet = demo_sheet()
        steps = tuple(step for step in sheet.steps["hyd_500"] if step.key != "let_off")
        bare = replace(
            sheet, steps={**sheet.steps, "hyd_500": steps}, hydraulic=replace(sheet.hydraulic, accumulators=())
        )
        # The housing still says that it holds pressure, so the step stays.
        assert "hyd_500.let_off" in keys(card.build(job=JOB, sheet=bare, tasks=["hyd_500"], state=State("m")))
        pilot = replace(sheet.housings["pilot"], holds_pressure=False)
        bare = replace(bare, housings={**sheet.housings, "pilot": pilot})
        assert "hyd_500.let_off" not in keys(card.build(job=JOB, sheet=bare, tasks=["hyd_500"], state=State("m")))


class TestTheLevelAsLeft:
    RUN = ("cap", "bleed", "cycle", "park_again", "stop_again", "settle")

    def gate(self) -> Any:
        return screen_of(demo_card(), "hyd_500.level_left")["gates"][-1]["needs"]

    @pytest.mark.parametrize("left_out", RUN)
    def test_it_waits_for_every_step_before_it(self, left_out: str) -> None:
        facts = [done(f"hyd_500.{step}") for step in self.RUN if step != left_out]
        assert not evaluate(self.gate(), facts).met
        assert evaluate(self.gate(), [done(f"hyd_500.{step}") for step in self.RUN]).met

    def test_moving_again_asks_for_settling_again(self) -> None:
        facts = [done(f"hyd_500.{step}") for step in self.RUN]
        again = [*facts, done("hyd_500.cycle")]
        assert not evaluate(self.gate(), again).met
        assert evaluate(self.gate(), [*again, *(done(f"hyd_500.{step}") for step in self.RUN[3:])]).met

    def test_a_cover_closed_afterwards_asks_for_all_of_it_again(self) -> None:
        facts = [done(f"hyd_500.{step}") for step in self.RUN]
        assert not evaluate(self.gate(), [*facts, done("hyd_500.close")]).met

    def test_each_step_that_the_card_adds_has_a_title_of_its_own(self) -> None:
        sheet = demo_sheet()
        steps = tuple(step for step in sheet.steps["hyd_500"] if step.kind == "tray_out")
        built = card.build(
            job=JOB,
            sheet=replace(sheet, steps={**sheet.steps, "hyd_500": steps}),
            tasks=["hyd_500"],
            state=State("m"),
        )
        sheets_own = {f"hyd_500.{step.key}" for step in steps}
        added = [one for one in built["screens"] if one["phase"] not in {"stop", ""} and one["kind"] != "finish"]
        added = [one for one in added if one["key"] not in sheets_own]
        assert len(added) == 13
        for one in added:
            assert one["title"] == card.title_of_added(sheet, one["key"].removeprefix("hyd_500."))
        assert len({one["title"] for one in added}) == len(added)
        assert screen_of(built, "hyd_500.run_posture")["title"].startswith("Take the check posture: Arm out")

    def test_the_glass_starts_where_the_oil_was_found(self) -> None:
        state = State("m")
        seen = LevelSeen(
            "2026-03-02T08:15:00+01:00", "f", "found", 0.0, 8.0, 2.0, None, "arm_out", None, "stopped", 5, False, JOB
        )
        state.levels["hydraulic"] = [seen]
        left = screen_of(demo_card(state=state), "hyd_500.level_left")["glass"]
        assert 'data-part="oil" transform="translate(0 282)"' in left

    def test_a_sheet_that_says_nothing_of_it_gets_the_whole_order(self) -> None:
        sheet = demo_sheet()
        steps = tuple(step for step in sheet.steps["hyd_500"] if step.phase == "work")
        bare = replace(sheet, steps={**sheet.steps, "hyd_500": steps})
        built = card.build(job=JOB, sheet=bare, tasks=["hyd_500"], state=State("m"))
        run = [key.removeprefix("hyd_500.") for key in keys(built) if "run_" in key or "read_" in key]
        assert run == [
            "read_meter",
            "read_found",
            "run_start",
            "run_cycle",
            "run_posture",
            "run_stop",
            "run_settle",
            "read_left",
        ]
        assert card.finish(built, whole_job(built))["ready"]


class TestAnySheet:
    def bare(self, *steps: SheetStep) -> Any:
        sheet = demo_sheet()
        flat = Posture("flat", "Everything down", {})
        return replace(
            sheet,
            hydraulic=System(tank=Tank("steel"), gauge=Gauge("line"), check_posture="flat", postures={"flat": flat}),
            housings={},
            parts={},
            cautions={},
            options={},
            steps={"hyd_500": steps},
        )

    def test_a_sheet_without_steps_still_makes_a_card(self) -> None:
        built = card.build(job=JOB, sheet=self.bare(), tasks=["hyd_500"], state=State("m"))
        assert keys(built) == [
            "stop.pressure_down", "stop.key_kept", "stop.clear_of_tank", "hyd_500.read_meter", "finish",
        ]  # fmt: skip
        assert [one["key"] for one in built["postures"]] == ["flat"]

    def test_parts_and_cautions_that_the_sheet_does_not_describe_are_left_out(self) -> None:
        step = replace(demo_sheet().steps["hyd_500"][8], cautions=("unknown",), parts=(("unknown", 1),), housing=None)
        built = card.build(job=JOB, sheet=self.bare(step), tasks=["hyd_500"], state=State("m"))
        shown = screen_of(built, f"hyd_500.{step.key}")
        assert (shown["cautions"], shown["parts"]) == ([], [])


class TestTheLists:
    def test_every_choice_that_a_fact_offers_has_words(self) -> None:
        built = demo_card()
        for name, kind, field in [
            ("reasons", "step_skipped", "reason"),
            ("urgencies", "finding", "urgency"),
            ("findings", "finding", "what"),
            ("states", "part_out", "state"),
            ("refusals", "part_refused", "why"),
            ("warmth", "level_read", "warmth"),
        ]:
            assert tuple(one["key"] for one in built[name]) == KINDS[kind].fields[field].choices

    def test_the_check_posture_stands_first(self) -> None:
        assert [posture["check"] for posture in demo_card()["postures"]] == [True, False, False, False, False]

    def test_a_rod_is_told_in_quarters(self) -> None:
        boom = demo_card()["rods"][0]
        assert [one["value"] for one in boom["quarters"]] == ["0", "0.25", "0.5", "0.75", "1"]
        assert len({one["picture"] for one in boom["quarters"]}) == 5
