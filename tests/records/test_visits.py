"""Visits are planned, jobs opened and closed, documents issued: each safe to repeat."""

from __future__ import annotations

import json
import uuid
from dataclasses import replace
from datetime import time

import pytest

from coldmark.bench.errors import Contradiction, Refused
from coldmark.records import queries, services
from coldmark.records.errors import NotFound
from coldmark.records.models import Document, Fact, JobRow, Visit
from coldmark.records.services import VisitData, VisitPart
from tests.records.house import House


def a_visit(house: House, *tasks: str) -> VisitData:
    return VisitData(
        id=str(uuid.uuid4()),
        day=house.days(20).date(),
        machines=(VisitPart(house.machine, tasks or ("hyd_500",)),),
        mechanic=str(house.mechanic.id),
        van=house.van,
        site=house.site,
        from_time=time(8),
        to_time=time(11, 30),
    )


def test_a_planned_visit_gives_each_machine_its_job(house: House) -> None:
    planned = services.plan_visit(house.office, a_visit(house))
    (part,) = planned.machines
    assert part.job is not None
    material = queries.job_material(house.mechanic, part.job)
    assert (material.tasks, material.facts) == (("hyd_500",), ())
    assert queries.visit_data(house.office, planned.id) == planned


def test_planning_again_changes_the_visit_and_keeps_the_jobs(house: House) -> None:
    first = services.plan_visit(house.office, a_visit(house))
    more = replace(
        first, machines=(VisitPart(house.other_machine, ("engine_250",)), replace(first.machines[0], job=None))
    )
    second = services.plan_visit(house.office, more)
    assert second.machines[1].job == first.machines[0].job
    assert Visit.objects.get().changed == 1
    assert services.plan_visit(house.office, second) == second


def test_a_machine_whose_job_is_open_stays_in_its_visit(house: House) -> None:
    planned = services.plan_visit(house.office, a_visit(house))
    services.open_job(house.mechanic, house.machine, ("hyd_500",), job=planned.machines[0].job, visit=planned.id)
    with pytest.raises(Refused, match="open already"):
        services.plan_visit(house.office, replace(planned, machines=()))


def test_what_cannot_be_is_refused_by_name(house: House) -> None:
    visit = a_visit(house)
    with pytest.raises(Contradiction, match="ends after"):
        services.plan_visit(house.office, replace(visit, to_time=time(7)))
    with pytest.raises(Refused, match="polish"):
        services.plan_visit(house.office, a_visit(house, "polish"))
    with pytest.raises(Refused, match="twice"):
        services.plan_visit(house.office, replace(visit, machines=visit.machines * 2))
    for wrong in ({"mechanic": str(house.owner.id)}, {"van": str(uuid.uuid4())}, {"site": str(uuid.uuid4())}):
        with pytest.raises(NotFound):
            services.plan_visit(house.office, replace(visit, **wrong))  # type: ignore[arg-type]
    assert not Visit.objects.exists()


def test_a_visit_that_is_called_off_stays_to_be_seen_in_calendars(house: House) -> None:
    planned = services.plan_visit(house.office, a_visit(house))
    services.call_off_visit(house.office, planned.id)
    services.call_off_visit(house.office, planned.id)
    (line,) = queries.visits(house.mechanic, planned.day, planned.day)
    assert (line.called_off, line.changed) == (True, 1)


def test_a_visit_tells_how_far_its_jobs_are(house: House) -> None:
    planned = services.plan_visit(house.office, a_visit(house))
    job = planned.machines[0].job
    assert job is not None

    def how_far() -> str:
        return queries.visits(house.office, planned.day, planned.day)[0].machines[0].how_far

    assert how_far() == "planned"
    services.open_job(house.mechanic, house.machine, ("hyd_500",), job=job, visit=planned.id)
    assert how_far() == "open"
    services.close_job(house.mechanic, job)
    assert how_far() == "closed"


def test_opening_a_job_twice_is_once(house: House) -> None:
    first = services.open_job(house.mechanic, house.machine, ("hyd_500",))
    assert services.open_job(house.mechanic, house.machine, ("hyd_500",), job=first.job) == first
    assert JobRow.objects.get().tasks == ["hyd_500"]


def test_closing_seals_all_facts_of_the_job_and_twice_is_once(house: House) -> None:
    job = services.open_job(house.mechanic, house.machine, ("hyd_500",), at=house.days(1)).job
    house.phone.send(house.phone.meter(100, at=house.days(1.1), job=job))
    facts = {str(row.id): row.sha256 for row in Fact.objects.filter(job=job)}
    closed = services.close_job(house.mechanic, job)
    assert json.loads(closed.text)["body"]["facts"] == sorted([id, sha256] for id, sha256 in facts.items())
    assert services.close_job(house.office, job) == closed
    assert JobRow.objects.get(job=job).closed_at is not None
    with pytest.raises(NotFound):
        services.close_job(house.mechanic, str(uuid.uuid4()))


PDF = b"%PDF-1.7 a report"


def test_a_document_gets_its_number_and_keeps_bytes_and_facts(house: House) -> None:
    job = services.open_job(house.mechanic, house.machine, ("hyd_500",)).job
    fact = house.phone.meter(100, job=job)
    house.phone.send(fact)
    number = services.next_document_number(house.days(3))
    id = str(uuid.uuid4())

    def issue() -> services.Issued:
        return services.issue_document(
            house.mechanic,
            what="report",
            machine=house.machine,
            job=job,
            content=PDF,
            facts=[fact.id],
            number=number,
            id=id,
            now=house.days(3),
        )

    issued = issue()
    assert issued.number == number == "2026-00001"
    assert issue() == issued
    assert Document.objects.get().facts == [fact.id]
    assert Fact.objects.filter(kind="document_issued", job=job).count() == 1
    assert services.read_document(house.owner, id).content == PDF
    with pytest.raises(NotFound):
        services.read_document(house.stranger, id)
    with pytest.raises(Refused, match="2026-00002"):
        services.issue_document(
            house.mechanic,
            what="report",
            machine=house.machine,
            content=PDF,
            facts=[],
            number=number,
            now=house.days(4),
        )


def test_a_document_that_is_no_pdf_or_speaks_of_facts_that_are_not_here_is_refused(house: House) -> None:
    with pytest.raises(Refused, match="PDF"):
        services.issue_document(house.mechanic, what="report", machine=house.machine, content=b"<html>", facts=[])
    with pytest.raises(Refused, match="kept facts"):
        services.issue_document(
            house.mechanic, what="report", machine=house.machine, content=PDF, facts=[str(uuid.uuid4())]
        )
    with pytest.raises(Refused, match="what"):
        services.issue_document(house.mechanic, what="poem", machine=house.machine, content=PDF, facts=[])
