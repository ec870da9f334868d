"""The kit of a job on the page and on paper."""

from __future__ import annotations

import uuid
from io import BytesIO

import pytest
from django.utils import timezone
from pypdf import PdfReader

from coldmark.bench.sheet import read
from coldmark.records import queries, services
from coldmark.records.models import Van, VisitMachine
from coldmark.records.services import VisitData, VisitPart
from tests.records.house import House, sheet_text
from tests.web.conftest import signed_in


@pytest.fixture
def job(house: House) -> str:
    data = VisitData(
        str(uuid.uuid4()),
        timezone.localdate(),
        (VisitPart(house.machine, ("hyd_500",)),),
        str(house.mechanic.id),
        house.van,
        house.site,
    )
    return str(services.plan_visit(house.office, data).machines[0].job)


def test_the_kit_names_elements_seals_oil_tools_and_waste(house: House, job: str) -> None:
    page = signed_in(house.mechanic).get(f"/jobs/{job}/kit/").content.decode()
    sheet = read(sheet_text())
    kit = queries.job_kit(house.mechanic, job).kit
    assert kit is not None
    for need in (*kit.elements, *kit.seals):
        assert need.name in page
        assert need.number in page
    for heading in ("Elements", "Seals", "Oil and coolant", "Tools", "Waste to take back"):
        assert f">{heading}</h2>" in page
    assert "reserve" in page
    assert "fits the van&#x27;s 60.0 L" in page
    assert sheet.tasks["hyd_500"].name in page


def test_a_van_that_is_too_small_is_told(house: House, job: str) -> None:
    Van.objects.update(waste_l=0.5)
    page = signed_in(house.mechanic).get(f"/jobs/{job}/kit/").content.decode()
    assert "more than the van&#x27;s 0.5 L" in page
    assert "the van can take 0.5 L" in page


def test_us_units_go_with_who_packs(house: House, job: str) -> None:
    house.mechanic.units = "us"
    house.mechanic.save()
    page = signed_in(house.mechanic).get(f"/jobs/{job}/kit/").content.decode()
    assert " gal" in page
    assert " L " not in page


def test_the_paper_holds_what_the_page_holds(house: House, job: str) -> None:
    answer = signed_in(house.mechanic).get(f"/jobs/{job}/kit.pdf")
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["Content-Disposition"] == 'inline; filename="kit-digger.pdf"'
    pages = PdfReader(BytesIO(answer.content)).pages
    text = " ".join(" ".join(page.extract_text().split()) for page in pages)
    kit = queries.job_kit(house.mechanic, job).kit
    assert kit is not None
    for told in ("Kit", "Digger", "Upper bench", *(need.number for need in (*kit.elements, *kit.seals)), "reserve"):
        assert told in text


def test_the_kit_is_the_firms_own(house: House, job: str) -> None:
    for person in (house.owner, house.stranger):
        client = signed_in(person)
        assert client.get(f"/jobs/{job}/kit/").status_code == 404
        assert client.get(f"/jobs/{job}/kit.pdf").status_code == 404
        assert client.post(f"/jobs/{job}/open/").status_code == 404
    assert signed_in(house.mechanic).get(f"/jobs/{uuid.uuid4()}/kit.pdf").status_code == 404


def test_a_task_that_a_newer_sheet_has_no_more_leaves_a_page_that_says_so(house: House, job: str) -> None:
    VisitMachine.objects.update(tasks=["gone_task"])
    client = signed_in(house.mechanic)
    page = client.get(f"/jobs/{job}/kit/").content.decode()
    assert "gone_task" in page
    assert "has these tasks no more" in page
    assert client.get(f"/jobs/{job}/kit.pdf").status_code == 404
