"""Facts fold into rows: in any order of arrival, from a snapshot or anew, and again to the same content."""

from __future__ import annotations

import random
import uuid
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest

from coldmark.bench.facts import Fact as BenchFact
from coldmark.bench.ledger import state_from_json
from coldmark.records import queries, services
from coldmark.records.errors import NotAllowed
from coldmark.records.models import PROJECTIONS, DueRow, Fact, FindingRow, JobRow, Machine, MachineState, OwnerSpan
from coldmark.records.services import folding
from tests.records.house import START, House, Phone, h, litres, sha, sheet_text


def content() -> dict[str, list[dict[str, Any]]]:
    """All that the projections hold, without the numbers that the database gives."""
    found: dict[str, list[dict[str, Any]]] = {}
    for table in PROJECTIONS:
        names = [field.attname for field in table._meta.concrete_fields if field.attname != "id"]
        rows = [dict(zip(names, values, strict=True)) for values in table._default_manager.values_list(*names)]
        found[table.__name__] = sorted(rows, key=repr)
    return found


def a_year_of(phone: Phone) -> list[BenchFact]:
    """Meter reads, a service with its job, a finding settled, a top-up, a meter swap, corrections."""
    day = timedelta(days=1)
    facts = [phone.meter(10 * week, at=START + week * 7 * day) for week in range(1, 20)]
    job = str(uuid.uuid4())
    at = START + 71 * day
    facts += [
        phone.fact("job_opened", {"tasks": ["hyd_500"]}, at=at, job=job),
        phone.fact("oil_moved", {"compartment": "hydraulic", "way": "top_up", "litres": litres("2.5")}, at=at, job=job),
        phone.fact(
            "finding",
            {"about": "boom", "what": "chafed_hose", "urgency": "plan_for_it", "note": sha("left one")},
            at=at + timedelta(minutes=5),
            job=job,
        ),
        phone.fact("task_done", {"task": "hyd_500"}, at=at + timedelta(hours=2), job=job),
        phone.fact("job_closed", {"facts": []}, at=at + timedelta(hours=3), job=job),
    ]
    finding = next(fact for fact in facts if fact.kind == "finding")
    facts.append(phone.fact("finding_settled", {"finding": finding.id}, at=START + 100 * day))
    facts.append(phone.fact("meter_swapped", {"old_last": h(195), "new_first": h(0)}, at=START + 140 * day))
    facts.append(phone.meter(30, at=START + 160 * day))
    facts.append(phone.withdraw(facts[3], at=START + 161 * day, reason="mistyped"))
    facts.append(phone.fact("photo", {"photo": sha("a photo"), "of": "glass"}, at=START + 162 * day))
    return facts


def test_the_order_of_arrival_does_not_matter(house: House) -> None:
    facts = a_year_of(house.phone)
    house.phone.send(*facts)
    once = content()
    for seed in range(4):
        Fact.objects.filter(id__in=[fact.id for fact in facts]).delete()
        services.rebuild()
        shuffled = random.Random(seed).sample(facts, len(facts))
        for first in range(0, len(shuffled), 5):
            house.phone.send(*shuffled[first : first + 5])
        again = content()
        for row in (*once["MachineState"], *again["MachineState"]):
            row["folded_to"] = 0  # arrival numbers alone tell that the facts came another time
        assert again == once


def test_projections_dropped_and_rebuilt_have_the_same_content(house: House) -> None:
    for fact in a_year_of(house.phone):
        house.phone.send(fact)
    other = str(uuid.uuid4())
    house.phone.send(house.phone.meter(5, machine=other))
    services.join_machines(house.office, house.machine, other)
    before = content()
    assert all(before[table.__name__] for table in PROJECTIONS)
    for table in PROJECTIONS:
        table._default_manager.all().delete()
    assert services.rebuild().failed == ()
    assert content() == before


def test_later_facts_go_on_from_the_snapshot_and_an_earlier_one_folds_anew(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    house.phone.send(house.phone.meter(100, at=house.days(10)))
    loaded: list[str] = []
    all_facts = folding._all_facts

    def watched(machine: uuid.UUID) -> tuple[list[Fact], int]:
        loaded.append("all")
        return all_facts(machine)

    monkeypatch.setattr(folding, "_all_facts", watched)
    house.phone.send(house.phone.meter(110, at=house.days(11)))
    assert loaded == []
    house.phone.send(house.phone.meter(50, at=house.days(5)))
    assert loaded == ["all"]
    state = state_from_json(MachineState.objects.get(machine_id=house.machine).snapshot)
    assert [point.shown_h for point in state.meter.points] == [50, 100, 110]


def test_a_done_task_moves_its_due_row(house: House) -> None:
    phone = house.phone
    phone.send(*(phone.meter(100 * week, at=house.days(7 * week)) for week in range(1, 6)))
    before = DueRow.objects.get(machine_id=house.machine, task="hyd_500")
    phone.send(phone.fact("task_done", {"task": "hyd_500"}, at=house.days(35)))
    after = DueRow.objects.get(machine_id=house.machine, task="hyd_500")
    assert before.due_h == pytest.approx(50)  # the sheet's first time
    assert after.due_h == pytest.approx(1000)
    assert after.likely is not None
    assert before.likely is not None
    assert after.likely > before.likely


def test_rows_tell_of_findings_jobs_and_owners(house: House) -> None:
    house.phone.send(*a_year_of(house.phone))
    finding = FindingRow.objects.get(machine_id=house.machine)
    job = JobRow.objects.get(machine_id=house.machine)
    assert (finding.about, finding.settled_at) == ("boom", house.days(100))
    assert (job.tasks, job.tasks_done) == (["hyd_500"], ["hyd_500"])
    assert job.closed_at == house.days(71) + timedelta(hours=3)
    span = OwnerSpan.objects.get(machine_id=house.machine)
    assert (str(span.customer), span.until) == (house.customer, None)


def test_a_new_owner_ends_the_old_ones_time(house: House) -> None:
    services.move_machine(house.office, house.machine, house.other_customer, at=house.days(30))
    spans = OwnerSpan.objects.filter(machine_id=house.machine).order_by("since")
    assert [(str(span.customer), span.until) for span in spans] == [
        (house.customer, house.days(30)),
        (house.other_customer, None),
    ]


def test_an_owner_nobody_has_entered_does_not_stop_the_fold(house: House) -> None:
    fact = house.phone.fact("owner_changed", {"customer": str(uuid.uuid4())}, at=house.days(1))
    house.phone.send(fact)
    row = MachineState.objects.get(machine_id=house.machine)
    assert (row.customer, row.stale, row.trouble) == (None, False, "")


def test_joining_folds_both_records_into_the_one_that_goes_on(house: House) -> None:
    other = str(uuid.uuid4())
    house.phone.send(house.phone.meter(100, at=house.days(1)))
    house.phone.send(house.phone.meter(300, at=house.days(20), machine=other))
    services.join_machines(house.office, house.machine, other, now=house.days(21))
    assert MachineState.objects.get(machine_id=house.machine).hours == pytest.approx(300)
    assert str(MachineState.objects.get(machine_id=other).joined_into_id) == house.machine
    house.phone.send(house.phone.meter(310, at=house.days(22), machine=other))
    assert MachineState.objects.get(machine_id=house.machine).hours == pytest.approx(310)
    assert not MachineState.objects.filter(stale=True).exists()


def test_a_join_that_was_wrong_is_withdrawn_and_both_stand_again(house: House) -> None:
    other = str(uuid.uuid4())
    house.phone.send(house.phone.meter(100, at=house.days(1)))
    house.phone.send(house.phone.meter(300, at=house.days(20), machine=other))
    joined = services.join_machines(house.office, house.machine, other, now=house.days(21))
    services.record(
        house.office,
        "correction",
        house.machine,
        {"of": joined.id, "action": "withdraw", "reason": "other"},
        now=house.days(22),
    )
    assert MachineState.objects.get(machine_id=house.machine).hours == pytest.approx(100)
    alone = MachineState.objects.get(machine_id=other)
    assert (alone.joined_into_id, alone.stale) == (None, False)
    assert alone.hours == pytest.approx(300)


def test_joining_is_for_the_office_and_not_with_itself(house: House) -> None:
    with pytest.raises(NotAllowed):
        services.join_machines(house.mechanic, house.machine, house.other_machine)
    with pytest.raises(ValueError, match="another record"):
        services.join_machines(house.office, house.machine, house.machine)


def test_a_sheet_that_comes_after_the_fact_that_names_it_is_taken_in(house: House) -> None:
    text = sheet_text() + "\n# revised\n"
    house.phone.send(house.phone.fact("sheet_assigned", {"sheet": sha(text)}, at=house.days(1)))
    assert MachineState.objects.get(machine_id=house.machine).sheet_title == ""
    assert not DueRow.objects.filter(machine_id=house.machine).exists()
    services.keep_sheet(house.mechanic, text)
    assert MachineState.objects.get(machine_id=house.machine).sheet_title != ""
    assert DueRow.objects.filter(machine_id=house.machine, task="hyd_500").exists()


def test_the_search_follows_names_of_owner_and_machine(house: House) -> None:
    services.keep_customer(house.office, services.CustomerData(house.customer, "Österhalde Quarry"))
    services.keep_machine(house.office, services.MachineData(house.machine, "Old Digger", "7", "SN-44"))
    text = MachineState.objects.get(machine_id=house.machine).search
    assert "österhalde quarry" in text
    assert "old digger" in text
    assert "sn-44" in text
    assert Machine.objects.filter(state__search__contains="österhalde").count() == 1


def test_a_machine_that_was_left_stale_is_folded_when_it_is_looked_at(house: House) -> None:
    day = house.days(2).date()
    looks: list[Callable[[], float | None]] = [
        lambda: queries.machine_page(house.owner, house.machine, day=day).machine.hours,
        lambda: queries.machine_state(house.mechanic, house.machine)[0].meter.points[-1].hours,
    ]
    for look in looks:
        fact = house.phone.meter(400 + house.phone.number, at=house.days(1 + house.phone.number / 24))
        house.phone.send(fact, fold=False)
        assert MachineState.objects.get(machine_id=house.machine).stale
        assert look() == pytest.approx(400 + house.phone.number - 1)
        assert not MachineState.objects.get(machine_id=house.machine).stale


def test_a_machine_folded_by_older_code_is_folded_anew_when_it_is_looked_at(house: House) -> None:
    MachineState.objects.filter(machine_id=house.machine).update(code_version="0.0", hours=1.0)
    house.phone.send(house.phone.meter(400, at=house.days(1)), fold=False)
    page = queries.machine_page(house.mechanic, house.machine, day=house.days(2).date())
    assert page.machine.hours == pytest.approx(400)


def test_a_fold_that_fails_again_keeps_nobody_from_the_page(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_args: object, **_more: object) -> None:
        raise RuntimeError("no fold today")

    monkeypatch.setattr(folding, "fold", broken)
    house.phone.send(house.phone.meter(400, at=house.days(1)))
    page = queries.machine_page(house.mechanic, house.machine, day=house.days(2).date())
    assert "no fold today" in page.trouble
    assert queries.machine_page(house.owner, house.machine, day=house.days(2).date()).trouble == ""
