"""The card's page and a job afterwards."""

from __future__ import annotations

import io
from uuid import uuid4

import pytest
from pypdf import PdfReader

from coldmark.records import paperwork, services
from coldmark.records.models import Document, Fact
from tests.records.house import House
from tests.records.jobs import Work, close, do_all, keep_oils, open_work, photographed, said
from tests.web.conftest import signed_in


def finding(house: House) -> dict[str, object]:
    return {
        "about": "return",
        "what": "chafed_hose",
        "urgency": "plan_for_it",
        "note": said(house, "The return hose rubs on the clamp."),
        "advice": said(house, "Fit a new hose and a sleeve."),
        "photos": [photographed(house, 3)],
        "cost_low": 120,
        "cost_high": 160,
    }


@pytest.fixture
def done(house: House) -> Work:
    """A whole job with a finding, closed and signed."""
    keep_oils(house)
    work = open_work(house)
    do_all(work)
    work.say("finding", finding(house))
    work.send()
    close(work)
    return work


def read_back(content: bytes) -> str:
    return " ".join(" ".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(content)).pages).split())


def test_the_way_to_a_card_leads_into_the_app(done: Work) -> None:
    answer = signed_in(done.house.mechanic).get(f"/jobs/{done.job}/card/")
    assert (answer.status_code, answer["Location"]) == (302, f"/phone/#/job/{done.job}")


def test_a_job_whose_card_is_gone_is_closed_without_it(house: House) -> None:
    keep_oils(house)
    work = open_work(house)
    client, address = signed_in(house.mechanic), f"/jobs/{work.job}/close/"
    assert address in client.get(f"/jobs/{work.job}/").text
    assert "Close the job without the card?" in client.get(address).text
    assert client.post(address).headers["Location"] == f"/jobs/{work.job}/"
    assert Fact.objects.filter(job=work.job, kind="job_closed").count() == 1
    assert address not in client.get(f"/jobs/{work.job}/").text
    assert client.post(address).headers["Location"] == f"/jobs/{work.job}/"
    assert Fact.objects.filter(job=work.job, kind="job_closed").count() == 1
    assert signed_in(house.owner).get(address).status_code == 404
    assert client.get(f"/jobs/{uuid4()}/close/").status_code == 404


def test_a_machine_without_a_sheet_has_no_card_and_its_job_page_says_so(house: House) -> None:
    bare = services.keep_machine(house.office, services.MachineData(str(uuid4()), "Old roller"))
    job = services.open_job(house.mechanic, bare, ("anything",)).job
    client = signed_in(house.mechanic)
    card = client.get(f"/jobs/{job}/card/")
    assert (card.status_code, "no data sheet" in card.text) == (409, True)
    after = client.get(f"/jobs/{job}/")
    assert after.status_code == 200
    assert "no data sheet" in after.text


@pytest.mark.parametrize("page", ["", "card/", "report.pdf", "card.pdf"])
def test_a_job_that_is_not_there_is_not_found(house: House, page: str) -> None:
    assert signed_in(house.mechanic).get(f"/jobs/{uuid4()}/{page}").status_code == 404


def test_the_job_page_tells_what_the_report_will_tell(done: Work) -> None:
    page = signed_in(done.house.mechanic).get(f"/jobs/{done.job}/").text
    for told in (
        "One thing was found to plan for",
        "Chafed hose, Return filter",
        "The return hose rubs on the clamp.",
        "120 to 160",
        "Topped up, Hydraulic system, Varnol Hydro 46",
        "Hydraulic service: return and pilot elements",
        "As found",
        "As left",
        "It is right as it is; up to ",
    ):
        assert told in page, told


def test_the_job_page_speaks_the_readers_units(done: Work) -> None:
    services.set_look(done.house.mechanic, units="us")
    page = signed_in(done.house.mechanic).get(f"/jobs/{done.job}/").text
    assert "oil 75 °F" in page
    assert "0.63 gal" in page
    assert " L<" not in page


def test_the_report_is_issued_once_however_often_the_button_is_pressed(done: Work) -> None:
    client = signed_in(done.house.mechanic)
    id = str(uuid4())
    for _press in range(2):
        answer = client.post(f"/jobs/{done.job}/", {"id": id})
        assert answer.status_code == 302
    issued = Document.objects.get(job=done.job)
    assert str(issued.id) == id
    assert f"Report {issued.number} is issued." in client.get(f"/jobs/{done.job}/").text


def test_a_report_is_served_as_it_was_issued_and_the_latest_by_the_job(done: Work) -> None:
    client = signed_in(done.house.mechanic)
    client.post(f"/jobs/{done.job}/", {"id": str(uuid4())})
    client.post(f"/jobs/{done.job}/", {"id": str(uuid4())})
    latest, first = Document.objects.filter(job=done.job).order_by("-issued_at")
    by_job = client.get(f"/jobs/{done.job}/report.pdf")
    assert by_job["Content-Type"] == "application/pdf"
    assert latest.number in read_back(by_job.content)
    assert first.number in read_back(client.get(f"/documents/{first.id}.pdf").content)


def test_before_a_report_is_issued_its_address_says_that_there_is_none(done: Work) -> None:
    answer = signed_in(done.house.mechanic).get(f"/jobs/{done.job}/report.pdf")
    assert answer.status_code == 404
    assert "No report has been issued for this job yet." in answer.text


def test_a_form_without_an_id_issues_nothing_and_says_why(done: Work) -> None:
    answer = signed_in(done.house.mechanic).post(f"/jobs/{done.job}/", {"id": "seven"})
    assert answer.status_code == 200
    assert "UUID" in answer.text
    assert not Document.objects.exists()


def test_the_card_prints_with_the_steps_torque_and_cautions(done: Work) -> None:
    answer = signed_in(done.house.mechanic).get(f"/jobs/{done.job}/card.pdf")
    text = read_back(answer.content)
    for told in ("DANGER", "Lay the return stack on the tray, in order", "24 N·m", "MA-7310-22", "Name and signature"):
        assert told in text, told


def test_an_owner_sees_his_own_job_and_its_report_and_nothing_internal(done: Work) -> None:
    issued = paperwork.issue_report(done.house.office, done.job)
    owner = signed_in(done.house.owner)
    page = owner.get(f"/jobs/{done.job}/")
    assert page.status_code == 200
    assert "Fit a new hose and a sleeve." in page.text
    assert "rubs on the clamp" not in page.text
    assert "Make the report" not in page.text
    assert "/card/" not in page.text
    assert owner.get(f"/jobs/{done.job}/report.pdf").status_code == 200
    assert owner.get(f"/documents/{issued.id}.pdf").status_code == 200


@pytest.mark.parametrize("page", ["card/", "card.pdf"])
def test_an_owner_does_not_reach_the_card(done: Work, page: str) -> None:
    assert signed_in(done.house.owner).get(f"/jobs/{done.job}/{page}").status_code == 404


def test_an_owner_issues_nothing(done: Work) -> None:
    answer = signed_in(done.house.owner).post(f"/jobs/{done.job}/", {"id": str(uuid4())})
    assert answer.status_code == 404
    assert not Document.objects.exists()


def test_another_customers_owner_finds_nothing_there(done: Work) -> None:
    issued = paperwork.issue_report(done.house.office, done.job)
    stranger = signed_in(done.house.stranger)
    for address in (f"/jobs/{done.job}/", f"/jobs/{done.job}/report.pdf", f"/documents/{issued.id}.pdf"):
        assert stranger.get(address).status_code == 404


def test_the_office_erases_a_paper_and_everybody_is_told_that_it_was(done: Work) -> None:
    issued = paperwork.issue_report(done.house.office, done.job)
    job, address = f"/jobs/{done.job}/", f"/documents/{issued.id}/erase/"
    office, owner = signed_in(done.house.office), signed_in(done.house.owner)
    assert address in office.get(job).text
    for person, status in ((done.house.mechanic, 403), (done.house.owner, 404), (done.house.stranger, 404)):
        client = signed_in(person)
        assert address not in client.get(job).text
        assert client.post(address, {"reason": "asked to"}).status_code == status
    assert "Why is empty; it is needed." in office.post(address, {"reason": ""}).text
    assert Document.objects.get().erased_at is None
    assert office.post(address, {"reason": "asked to"})["Location"] == job
    for client in (office, owner):
        gone = client.get(f"/documents/{issued.id}.pdf")
        assert gone.status_code == 410
        assert "This paper was erased" in gone.text
        assert client.get(f"{job}report.pdf").status_code == 404
        for page in (job, f"/machines/{done.house.machine}/", f"/machines/{done.house.machine}/story/"):
            told = client.get(page).text
            assert f"Report {issued.number}" in told
            assert '<span class="word">erased</span>' in told
            assert f"/documents/{issued.id}.pdf" not in told
    office.post(job, {"id": str(uuid4())})
    assert office.get(f"{job}report.pdf").status_code == 200, "a report can be made anew"


def test_a_clock_is_put_on_and_off_on_the_jobs_page_and_owners_see_nothing_of_it(house: House) -> None:
    keep_oils(house)
    work = open_work(house)
    job, address = f"/jobs/{work.job}/", f"/jobs/{work.job}/clock/"
    mechanic, owner = signed_in(house.mechanic), signed_in(house.owner)
    first = mechanic.get(job)
    for says in ("Start work", "Start the drive", "Start waiting"):
        assert f">{says}</button>" in first.text
    told = {"id": first.context["clock"]["id"].value(), "act": "work"}
    for _press in range(2):
        assert mechanic.post(address, told)["Location"] == job
    running = mechanic.get(job)
    assert "at work since" in running.text
    assert ">Stop work</button>" in running.text
    assert ">Start the drive</button>" not in running.text
    assert ">Start the drive</button>" in signed_in(house.office).get(job).text, "the clock is the mechanic's"
    stop = {"id": running.context["clock"]["id"].value(), "act": "stop"}
    refused = mechanic.post(address, stop | {"at": "2020-01-01T08:00"}, follow=True).text
    assert "at = 2020-01-01 08:00 is not right: it must be a moment from" in refused
    for _press in range(2):
        mechanic.post(address, stop)
    assert "work 0 min" in mechanic.get(job).text
    assert Fact.objects.filter(kind__in=("clock_on", "clock_off")).count() == 2
    for page in (job, f"/machines/{house.machine}/", f"/machines/{house.machine}/story/?job={work.job}"):
        text = owner.get(page).text
        for hidden in ("Time on the job", "clock/", "Work began", "work 0 min"):
            assert hidden not in text
    for client in (owner, signed_in(house.stranger)):
        assert client.post(address, told).status_code == 404
    paperwork.issue_report(house.office, work.job)
    assert "0 min" not in read_back(owner.get(f"{job}report.pdf").content)


@pytest.mark.parametrize("told", [{"act": "sleep"}, {"act": "stop"}, {"id": "1", "act": "work"}, {}])
def test_a_clock_that_cannot_be_is_said_plainly(house: House, told: dict[str, str]) -> None:
    keep_oils(house)
    work = open_work(house)
    client = signed_in(house.mechanic)
    id = client.get(f"/jobs/{work.job}/").context["clock"]["id"].value()
    answer = client.post(f"/jobs/{work.job}/clock/", {"id": id} | told, follow=True)
    assert answer.status_code == 200
    assert '<p class="said" role="status">' in answer.text
    assert not Fact.objects.filter(kind__in=("clock_on", "clock_off")).exists()


def test_what_somebody_typed_is_text_on_the_page(done: Work) -> None:
    hostile = finding(done.house) | {"note": said(done.house, "<script>alert(1)</script>")}
    done.say("finding", hostile)
    done.send()
    page = signed_in(done.house.mechanic).get(f"/jobs/{done.job}/").text
    assert "<script>alert(1)" not in page
    assert "&lt;script&gt;alert(1)" in page
