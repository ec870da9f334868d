"""Two invented years are true to life: the same each time, consistent, and every story shows in the facts."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from itertools import pairwise

import pytest

from coldmark.bench import level, litres
from coldmark.bench.clocks import breaker_share
from coldmark.bench.facts import Fact, moment_ms, parse, quantity
from coldmark.bench.ledger import LevelSeen, State, fold
from coldmark.bench.timings import trend
from coldmark.demo.life import Life
from tests.demo.valley import TODAY, called, lived, oils, some_of, whole

FEW = ("Bench digger", "Yard handler", "Small digger")


def folded(life: Life) -> State:
    """The state of a machine, from its facts alone."""
    return fold(life.facts, machine=life.id, sheets={life.sheet.sha256: life.sheet}, oils=oils())


def kinds(life: Life, kind: str) -> list[Fact]:
    return [fact for fact in life.facts if fact.kind == kind]


def day_of(fact: Fact) -> date:
    return date.fromisoformat(fact.at[:10])


class TestTheWhole:
    def test_the_same_seed_gives_the_same_facts(self) -> None:
        once, twice = lived(some_of(FEW)), lived(some_of(FEW))
        assert [fact.text for fact in once.facts] == [fact.text for fact in twice.facts]
        assert once.kept.by_hash == twice.kept.by_hash
        assert once.visits == twice.visits

    def test_another_seed_gives_others(self) -> None:
        assert {fact.text for fact in lived(some_of(FEW[:1])).facts}.isdisjoint(
            fact.text for fact in lived(some_of(FEW[:1]), seed=2).facts
        )

    def test_it_is_two_years_of_thirty_machines(self) -> None:
        assert len(whole().lives) == 30
        assert 3000 <= len(whole().facts) <= 9000
        days = [day_of(fact) for fact in whole().facts]
        assert max(days) < TODAY
        assert len([day for day in days if day >= TODAY - timedelta(days=30)]) > 100

    def test_every_fact_reads_as_it_was_written(self) -> None:
        for fact in whole().facts:
            assert parse(fact.text) == fact
        assert len({fact.id for fact in whole().facts}) == len(whole().facts)

    def test_each_device_counts_without_a_gap(self) -> None:
        numbers: dict[str, list[int]] = {}
        for fact in whole().facts:
            numbers.setdefault(fact.device, []).append(fact.number)
        assert len(numbers) == 2
        for counted in numbers.values():
            assert counted == list(range(1, len(counted) + 1))

    def test_what_facts_name_by_hash_is_kept_and_nothing_else(self) -> None:
        named = {
            told
            for fact in whole().facts
            for told in (*fact.body.values(), *(fact.body.get("photos") or ()))
            if isinstance(told, str) and len(told) == 64 and fact.kind not in {"sheet_assigned"}
        }
        assert named == set(whole().kept.by_hash)

    def test_no_machine_has_a_flag(self) -> None:
        assert [(life.machine.name, flag.says) for life in whole().lives.values() for flag in folded(life).flags] == []

    def test_folding_onward_gave_what_folding_at_once_gives(self) -> None:
        for life in whole().lives.values():
            assert life.know() == folded(life)

    def test_all_that_happens_in_a_service_is_there(self) -> None:
        seen = Counter(fact.kind for fact in whole().facts)
        for kind in ("step_skipped", "gate_opened", "finding", "finding_settled", "sample_taken", "lab_value", "photo"):
            assert seen[kind] >= 2, kind

    def test_tasks_fall_due_on_both_sides_of_today(self) -> None:
        stands = Counter(_stands(life) for life in whole().lives.values())
        soon = [
            one
            for life in whole().lives.values()
            for one in life.due()
            if one.likely and TODAY < one.likely <= TODAY + timedelta(days=28)
        ]
        assert stands["over"] >= 2
        assert stands["now"] >= 2
        assert stands["ahead"] >= 2
        assert len(soon) >= 5

    def test_findings_are_open_and_settled(self) -> None:
        found = [one for life in whole().lives.values() for one in folded(life).findings.values()]
        assert len([one for one in found if one.settled_at is None]) >= 5
        assert len([one for one in found if one.settled_at is not None]) >= 5


def _stands(life: Life) -> str:
    """The worst that any task of a machine stands to today."""
    dues = [one for one in life.due() if one.likely is not None]
    if any((one.late or one.likely) < TODAY for one in dues if one.likely):
        return "over"
    return "now" if any((one.early or one.likely or TODAY) <= TODAY for one in dues) else "ahead"


class TestLevels:
    def test_the_litres_of_a_job_explain_its_levels(self) -> None:
        held_against_levels = 0
        for life in whole().lives.values():
            state, system, oil = folded(life), life.sheet.hydraulic, oils()[life.oil]
            for job in state.jobs:
                pours = [pour for pour in state.pours[life.main_tank] if pour.job == job]
                ends = _ends(state, life.main_tank, job)
                if ends is None or system.tank.between_marks_l is None:
                    continue
                first, last = ends
                gained = level.gained_l(system, _stand(first), _stand(last), oil=oil)
                found = litres.balance(pours, oil, assumed_c=last.oil_c or 20.0, gained_l=gained)
                assert not found.clear, (life.machine.name, first, last, pours)
                held_against_levels += 1
        assert held_against_levels > 20

    def test_the_oil_is_seen_in_the_glass_and_mostly_in_the_check_posture(self) -> None:
        seen = [
            (life, one)
            for life in whole().lives.values()
            for one in folded(life).levels.get(life.main_tank, [])
            if one.job is not None
        ]
        assert all(isinstance(one.reading, float) for _, one in seen)
        right = [one for life, one in seen if one.posture == life.sheet.hydraulic.check_posture]
        assert 0.9 < len(right) / len(seen) < 1.0

    def test_the_oil_is_as_warm_as_a_season_makes_it(self) -> None:
        airs = {
            month: [
                one.air_c
                for life in whole().lives.values()
                for one in folded(life).levels.get(life.main_tank, [])
                if one.air_c is not None and one.at[5:7] == month
            ]
            for month in ("01", "07")
        }
        assert max(airs["01"]) < min(airs["07"])


def _ends(state: State, tank: str, job: str) -> tuple[LevelSeen, LevelSeen] | None:
    seen = [one for one in state.levels.get(tank, []) if one.job == job and isinstance(one.reading, float)]
    found = [one for one in seen if one.moment == "found"]
    left = [one for one in seen if one.moment == "left"]
    return (found[-1], left[-1]) if found and left else None


def _stand(seen: LevelSeen) -> level.Stand:
    assert isinstance(seen.reading, float)
    assert seen.oil_c is not None
    assert seen.posture is not None
    return level.Stand(seen.reading, seen.oil_c, seen.posture, seen.oil_spread_k)


class TestStories:
    def test_hours_go_on_through_a_new_meter(self) -> None:
        life = called("Small digger")
        meter = folded(life).meter
        swapped = kinds(life, "meter_swapped")
        assert meter.swaps == len(swapped) == 1
        assert all(later.hours >= earlier.hours - 0.1 for earlier, later in pairwise(meter.points))
        last = meter.points[-1]
        assert last.shown_h < 1000 < last.hours
        assert last.hours == pytest.approx(life.hours.at(date.fromisoformat(last.at[:10])), abs=0.5)

    def test_a_dead_meter_is_read_no_more(self) -> None:
        life = called("Ditch digger")
        state, stopped = folded(life), kinds(life, "meter_stopped")[0]
        assert state.meter.dead_since == stopped.body["since"]
        assert [fact for fact in kinds(life, "meter_read") if fact.at_ms > stopped.at_ms] == []
        assert any(note.message == "due.meter_dead" for one in life.due() for note in one.notes)

    @pytest.mark.parametrize(("name", "lost"), [("Yard handler", 0.6), ("Hire 22", 0.35)])
    def test_a_leak_shows_in_the_litres(self, name: str, lost: float) -> None:
        found = _lost_l_100h(called(name))
        assert lost * 0.7 < found < lost * 1.5
        others = ["Farm handler"] if name == "Yard handler" else ["Big digger"]
        assert all(_lost_l_100h(called(other)) < found / 1.5 for other in others)

    @pytest.mark.parametrize(("name", "share"), [("Hire 21", 0.15), ("Splitting digger", 0.5)])
    def test_a_breaker_shortens_the_interval(self, name: str, share: float) -> None:
        life = called(name)
        state = folded(life)
        told = breaker_share(state, None)
        assert told is not None
        assert told[0] == pytest.approx(share, abs=0.05)
        due = next(one for one in life.due() if one.task == "hyd_500")
        done = state.tasks["hyd_500"].hours
        assert due.by == "breaker"
        assert due.due_h is not None
        assert done is not None
        assert due.due_h - done < 450

    def test_one_machine_was_sold(self) -> None:
        life = called("Muck loader")
        state = folded(life)
        assert len(state.owners) == 2
        sold = moment_ms("at", state.owners[1][0])
        assert any(fact.at_ms < sold for fact in kinds(life, "task_done"))
        assert any(fact.at_ms > sold for fact in kinds(life, "task_done"))

    def test_another_oil_is_inside_where_the_story_says_so(self) -> None:
        life = called("Parish digger")
        inside = folded(life).oils[life.main_tank]
        assert [(part.oil, round(part.share, 2)) for part in inside] == [("varnol_hv46", 1.0)]

    def test_who_is_always_late_is_late_today(self) -> None:
        for name in ("Trench digger", "Tamsin's loader"):
            life = called(name)
            engine = next(one for one in life.due() if one.task == "engine_250")
            assert engine.due_h is not None
            assert engine.due_h < life.hours.at(TODAY) - 30

    def test_every_story_has_its_finding_open(self) -> None:
        for life in whole().lives.values():
            told = life.machine.story.get("finding")
            if told is not None:
                assert told in [one.what for one in folded(life).findings.values() if one.settled_at is None]


def _lost_l_100h(life: Life) -> float:
    """What left the system unseen in a hundred hours, by the first and the last level and the litres between."""
    state, system = folded(life), life.sheet.hydraulic
    seen = [one for one in state.levels[life.main_tank] if isinstance(one.reading, float) and one.oil_c is not None]
    first, last = seen[0], seen[-1]
    moved = sum(pour.litres for pour in state.pours[life.main_tank] if first.at < pour.at <= last.at)
    gained = level.gained_l(system, _stand(first), _stand(last), oil=oils()[life.oil]).value
    hours = [life.hours.at(date.fromisoformat(one.at[:10])) for one in (first, last)]
    return (moved - gained) / (hours[1] - hours[0]) * 100


class TestToday:
    @pytest.mark.parametrize("today", [TODAY, date(2026, 6, 7), date(2026, 11, 25), date(2027, 1, 2)])
    def test_the_bench_digger_wants_its_500_hour_service(self, today: date) -> None:
        world = lived(some_of(("Bench digger", "Crusher loader")), today=today)
        life = next(iter(world.lives.values()))
        visit = next(visit for visit in world.visits if visit.day == today and visit.stops[0].machine == life.id)
        assert visit.stops[0].tasks == ("hyd_500",)
        due = {one.task: one for one in life.due()}
        early = due["hyd_500"].early
        assert early is not None
        assert early <= today
        engine, hours = due["engine_250"].due_h, life.hours.at(today)
        assert engine is not None
        assert engine > hours - 25

    def test_there_are_visits_today_and_in_the_weeks_to_come(self) -> None:
        days = [visit.day for visit in whole().visits]
        assert days.count(TODAY) == 2
        assert len([day for day in days if TODAY < day <= TODAY + timedelta(days=14)]) >= 3
        assert sum(len(visit.stops) for visit in whole().visits if visit.day == TODAY) == 3

    def test_one_job_was_left_open_the_day_before(self) -> None:
        still = [
            (life.machine.name, job)
            for life in whole().lives.values()
            for job in folded(life).jobs.values()
            if job.closed_at is None
        ]
        assert [name for name, _ in still] == ["Hire 14"]
        assert still[0][1].opened_at is not None
        assert still[0][1].opened_at[:10] == "2026-03-03"

    def test_litres_are_told_to_a_decilitre(self) -> None:
        moved = [fact.body["litres"] for fact in whole().facts if fact.kind == "oil_moved"]
        assert all(quantity(one, "volume") > 0 for one in moved)
        assert all(len(one["value"].split(".")[1]) == 1 for one in moved)


def test_what_its_sheet_has_timed_grows_worse_on_a_worn_machine() -> None:
    timed_functions = folded(called("Bench digger")).timings
    assert set(timed_functions) == {"boom_up", "arm_drift"}
    rises = [trend(seen) for seen in timed_functions.values()]
    assert [len(one.points) for one in rises] == [5, 5]
    assert all(one.per_1000h is not None and one.per_1000h > 0 for one in rises)
    boom = trend(timed_functions["boom_up"]).compared
    assert boom is not None
    assert boom.way == "more"
    assert not folded(called("Small digger")).timings
