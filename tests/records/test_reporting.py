"""The service report and the printed card, read back from the paper."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from pypdf import PdfReader

from coldmark.bench.errors import Missing
from coldmark.records import services
from coldmark.records.errors import NotAllowed, NotFound
from coldmark.records.models import Document
from coldmark.records.paperwork import card_pdf, issue_report, issuing, job_after
from coldmark.records.paperwork.report import ReportMade, report_of
from coldmark.records.plain import Issued
from tests.records.house import House, litres
from tests.records.jobs import Work, close, do_all, keep_oils, open_work, photographed, said
from tests.records.pictures import a_photo


def read_back(content: bytes) -> str:
    """The text of a PDF, each run of blanks and line ends as one blank."""
    return " ".join(" ".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(content)).pages).split())


def report_pdf(work: Work) -> bytes:
    issued = issue_report(work.house.office, work.job)
    content = services.read_document(work.house.office, issued.id).content
    assert content is not None
    return content


def report(work: Work) -> str:
    return read_back(report_pdf(work))


@pytest.fixture
def work(house: House) -> Work:
    """An open job, nothing done yet."""
    keep_oils(house)
    return open_work(house)


def a_finding(work: Work, urgency: str, **more: object) -> None:
    work.say("finding", {"about": "return", "what": "chafed_hose", "urgency": urgency, **more})
    work.send()


def test_a_clean_job_is_told_in_the_owners_order(work: Work) -> None:
    do_all(work)
    close(work)
    text = report(work)
    heads = (
        "Is it all right?",
        "Yes, as far as was looked at.",
        "What was found",
        "What to plan money for",
        "When next",
        "The oil level",
        "Parts fitted new",
        "Oil in and out",
        "Readings",
        "What was done",
        "Signature",
    )
    places = [text.index(head) for head in heads]
    assert places == sorted(places)
    assert "Left out or done otherwise" not in text
    assert "not final" not in text
    assert "It does not say that the machine is safe" in text


@pytest.mark.parametrize(
    ("urgency", "says"),
    [
        ("before_next_work", "Not yet: one thing was found that should be put right before the machine works again."),
        ("plan_for_it", "Yes, as far as was looked at. One thing was found to plan for."),
        ("keep_watching", "Yes, as far as was looked at. One thing was found to keep watching."),
    ],
)
def test_the_gravest_finding_answers_whether_it_is_all_right(work: Work, urgency: str, says: str) -> None:
    do_all(work)
    a_finding(work, "keep_watching")
    if urgency != "keep_watching":
        a_finding(work, urgency)
        close(work)
        assert says in report(work)
    else:
        close(work)
        assert says in report(work)


def test_what_waiting_costs_stands_beside_what_it_costs_now(work: Work) -> None:
    services.keep_business(work.house.office, services.BusinessData("Varne Valley Service", money="EUR"))
    do_all(work)
    a_finding(work, "plan_for_it", cost_low=120, cost_high=160, waiting_low=900, waiting_high=2500)
    text = report(work)
    assert "Chafed hose, Return filter 120 to 160 EUR 900 to 2500 EUR" in text
    assert "not an offer" in text


def test_words_and_photos_of_a_finding_are_on_the_paper(work: Work) -> None:
    do_all(work)
    before = len(PdfReader(io.BytesIO(report_pdf(work))).pages[0].images)
    a_finding(
        work,
        "plan_for_it",
        note=said(work.house, "He will not pay for it."),
        advice=said(work.house, "Fit a sleeve."),
        photos=[photographed(work.house, 3), photographed(work.house, 4)],
    )
    content = report_pdf(work)
    text = read_back(content)
    assert "He will not pay for it." not in text
    assert "Advice: Fit a sleeve." in text
    assert len(PdfReader(io.BytesIO(content)).pages[0].images) == before + 2


def test_a_photo_on_its_way_is_told_on_the_page_and_on_the_paper_until_it_is_here(work: Work) -> None:
    do_all(work)
    assert job_after(work.house.mechanic, work.job).awaited == ""
    a_finding(work, "plan_for_it", photos=[a_photo(7)[0]])
    assert "still on its way from a phone" in job_after(work.house.mechanic, work.job).awaited
    assert "One photo, text or signature was still on its way" in report(work)
    a_finding(work, "plan_for_it", photos=[a_photo(8)[0]])
    assert job_after(work.house.mechanic, work.job).awaited.startswith("2 photos, texts or signatures are")
    for shade in (7, 8):
        photographed(work.house, shade)
    assert job_after(work.house.mechanic, work.job).awaited == ""
    assert "on its way" not in report(work)


def test_an_erased_photo_leaves_the_report_whole(work: Work) -> None:
    do_all(work)
    photo = photographed(work.house, 3)
    a_finding(work, "plan_for_it", photos=[photo])
    services.erase(work.house.office, "attachment", photo, "asked for")
    text = report(work)
    assert "Chafed hose" in text
    assert "on its way" not in text


def test_a_step_left_out_is_printed_with_its_reason_and_holds_its_task_back(work: Work) -> None:
    do_all(work, but=("hyd_500.debris",))
    note = said(work.house, "The element is in the van.")
    work.say("step_skipped", {"step": "hyd_500.debris", "reason": "no_time_today", "note": note})
    work.send()
    close(work, tasks=())
    text = report(work)
    assert "Not everything was done" in text
    assert "Look at what the old element caught: left out, no time for it today: The element is in the van." in text
    assert "counts as not done: lacking: Look at what the old element caught" in text


def test_a_gate_passed_with_a_reason_is_printed_with_why_it_was_shut(work: Work) -> None:
    do_all(work)
    work.say("gate_opened", {"gate": "hyd_500.close.refitted", "reason": "part_was_missing"})
    work.send()
    text = report(work)
    assert "Bolts in crosswise, to the torque:" in text
    assert "Gone on all the same: the part was missing." in text


def test_a_part_that_came_out_otherwise_than_expected_is_told(work: Work) -> None:
    do_all(work)
    work.say("part_out", {"place": "return.spring", "count": 1, "state": "deformed"})
    work.send()
    assert "Spring came out: out of shape" in report(work)


def tightened(work: Work, step: str, torque: str, unit: str = "nm", **more: str) -> None:
    do_all(work, but=(step,))
    work.say("step_done", {"step": step, "torque": {"value": torque, "unit": unit}, **more})
    work.send()


def test_a_torque_is_printed_as_the_data_sheets_where_it_is(work: Work) -> None:
    do_all(work)
    assert "Torque, Bolts in crosswise, to the torque 24 N·m, the data sheet's figure" in report(work)


def test_another_torque_than_the_data_sheets_is_printed_beside_it(work: Work) -> None:
    tightened(work, "hyd_500.close", "25", torque_from="other")
    assert "25 N·m as told; the data sheet has 24 N·m (22 N·m to 26 N·m)" in report(work)


def test_a_torque_outside_what_the_data_sheet_allows_is_printed_as_asked_about(work: Work) -> None:
    tightened(work, "hyd_500.close", "18.5", "lbf_ft", torque_from="other", torque_doubt="too_low")
    text = report(work)  # 18.5 × 1.355818 = 25.08 (NIST SP 811; the factor from memory)
    assert "25.08 N·m as told, asked about and kept; the data sheet has 24 N·m (22 N·m to 26 N·m)" in text


def test_a_torque_of_an_older_record_is_printed_as_it_stands(work: Work) -> None:
    tightened(work, "hyd_500.close", "24.5")
    text = report(work)
    assert "Torque, Bolts in crosswise, to the torque 24.5 N·m" in text
    assert "24.5 N·m," not in text


def images(content: bytes) -> int:
    return sum(len(sheet.images) for sheet in PdfReader(io.BytesIO(content)).pages)


def test_an_old_ring_put_back_is_printed_with_its_reason(work: Work) -> None:
    do_all(work)
    note = said(work.house, "The new one was cut.")
    old = {"place": "return.cover_ring", "count": 1, "fresh": False, "reason": "part_damaged", "note": note}
    work.say("part_in", old)
    work.send()
    close(work)
    text = report(work)
    assert "Cover ring, return filter: the old one went back in: the part is damaged: The new one was cut." in text
    assert "Not everything was done" in text


def test_an_old_seal_that_was_looked_for_is_printed_with_the_photo_of_its_groove(work: Work) -> None:
    do_all(work)
    before = images(report_pdf(work))
    photo, note = photographed(work.house, 3), said(work.house, "It came off with the old can, it seems.")
    work.say("part_out", {"place": "return.cover_ring", "count": 0, "state": "missing"})
    work.say("part_in", {"place": "return.cover_ring", "count": 1, "fresh": True})
    sought = {"place": "return.cover_ring", "groove": True, "bowl": True, "photo": photo, "note": note}
    work.say("seal_looked_for", sought)
    work.send()
    content = report_pdf(work)
    text = read_back(content)
    assert "Cover ring came out: missing" in text
    assert "looked for in its groove, in the bowl and on the cover, and is not there: It came off with the old" in text
    assert images(content) == before + 1


def test_an_open_job_gives_a_report_that_says_it_is_not_final(work: Work) -> None:
    do_all(work, but=("hyd_500.waste",))
    text = report(work)
    assert "this report is not final" in text
    assert "Oil, elements and rags into closed drums not done" in text
    assert "Not signed on the spot." in text


def test_the_owners_signature_and_name_are_on_it(work: Work) -> None:
    do_all(work)
    close(work, name="Edda Stennet")
    text = report(work)
    assert "Signature Edda Stennet" in text
    assert "Not signed" not in text


def test_the_same_job_reads_in_us_units_for_who_uses_them(work: Work) -> None:
    do_all(work)
    metric = report(work)
    services.set_look(work.house.office, units="us")
    us = report(work)
    assert "24 N·m" in metric
    assert "2.4 L" in metric
    assert "12 °C" in metric
    assert "18 lbf·ft" in us
    assert "0.63 gal" in us
    assert "54 °F" in us
    assert " L " not in us
    assert "°C" not in us


def test_us_units_come_on_letter_paper_and_metric_on_a4(work: Work) -> None:
    do_all(work)
    a4 = PdfReader(io.BytesIO(report_pdf(work))).pages[0].mediabox
    services.set_look(work.house.office, units="us")
    letter = PdfReader(io.BytesIO(report_pdf(work))).pages[0].mediabox
    # ISO 216 A4 is 210 mm × 297 mm; US letter is 8.5 in × 11 in; a point is 1/72 in.
    assert [float(a4.width), float(a4.height)] == pytest.approx([210 / 25.4 * 72, 297 / 25.4 * 72], abs=0.5)
    assert [float(letter.width), float(letter.height)] == pytest.approx([612, 792], abs=0.5)


def test_parts_are_fitted_new_only_where_they_were_said_to_be_fresh(work: Work) -> None:
    do_all(work)
    text = report(work)
    parts = text[text.index("Parts fitted new") : text.index("Oil in and out")]
    assert "Return element MA-7310-22 1" in parts
    assert "Spring" not in parts


def test_oil_that_went_the_same_way_is_one_line_and_a_withdrawn_pour_is_none(work: Work) -> None:
    do_all(work)
    wrong = work.say("oil_moved", {"compartment": "hydraulic", "way": "spilt", "litres": litres("7.5")})
    work.send()
    assert "Spilt, Hydraulic system 7.5 L" in report(work)
    work.phone.send(work.phone.withdraw(wrong, at=work.at + timedelta(hours=3), reason="mistyped"))
    text = report(work)
    assert "Spilt" not in text
    assert "Held by old elements, Hydraulic system 0.3 L" in text


def overtaken(monkeypatch: pytest.MonkeyPatch, act: Callable[[], object]) -> None:
    """Have something happen after a report was put together and before it is issued."""
    done: list[bool] = []

    def slow(*told: Any, **more: Any) -> ReportMade:
        made = report_of(*told, **more)
        if not done:
            done.append(True)
            act()
        return made

    monkeypatch.setattr(issuing, "report_of", slow)


def test_who_comes_second_with_the_same_report_gets_the_first_however_often_he_asks(
    work: Work, monkeypatch: pytest.MonkeyPatch
) -> None:
    do_all(work)
    first: list[Issued] = []
    overtaken(monkeypatch, lambda: first.append(issue_report(work.house.mechanic, work.job)))
    id = str(uuid4())
    for _press in range(2):
        assert issue_report(work.house.office, work.job, id=id) == first[0]
    assert Document.objects.count() == 1
    assert issue_report(work.house.office, work.job) != first[0], "asked for anew later, it is made anew"


def test_who_is_overtaken_by_another_jobs_report_gets_his_own_with_the_next_number(
    work: Work, monkeypatch: pytest.MonkeyPatch
) -> None:
    do_all(work)
    other = open_work(work.house, machine=work.house.other_machine)
    do_all(other)
    overtaken(monkeypatch, lambda: issue_report(work.house.mechanic, other.job))
    issued = issue_report(work.house.office, work.job)
    assert issued.number.endswith("-00002")
    assert issued.number in read_back(services.read_document(work.house.office, issued.id).content or b"")


def test_a_report_overtaken_by_what_was_recorded_since_is_one_of_its_own(
    work: Work, monkeypatch: pytest.MonkeyPatch
) -> None:
    do_all(work)
    other: list[Issued] = []

    def record_and_issue() -> None:
        a_finding(work, "plan_for_it")
        other.append(issue_report(work.house.mechanic, work.job))

    overtaken(monkeypatch, record_and_issue)
    issued = issue_report(work.house.office, work.job)
    assert issued != other[0]
    assert "Chafed hose" in read_back(services.read_document(work.house.office, issued.id).content or b"")


def test_readers_of_other_units_get_reports_of_their_own(work: Work, monkeypatch: pytest.MonkeyPatch) -> None:
    do_all(work)
    work.house.mechanic.units = "us"
    work.house.mechanic.save()
    other: list[Issued] = []
    overtaken(monkeypatch, lambda: other.append(issue_report(work.house.mechanic, work.job)))
    assert issue_report(work.house.office, work.job) != other[0]


def test_a_letter_that_no_typeface_of_ours_has_does_not_stop_the_report(work: Work) -> None:
    do_all(work)
    a_finding(work, "keep_watching", advice=said(work.house, "看 Hose 🙂 rubs #panic() <b>"))
    assert "Hose ? rubs #panic() <b>" in report(work)


def test_issuing_twice_with_one_id_is_issuing_once(work: Work) -> None:
    do_all(work)
    id = str(uuid4())
    first = issue_report(work.house.office, work.job, id=id)
    assert issue_report(work.house.office, work.job, id=id) == first
    assert Document.objects.count() == 1


def test_the_number_on_the_paper_is_the_documents_and_its_facts_are_the_jobs(work: Work) -> None:
    do_all(work)
    issued = issue_report(work.house.office, work.job)
    assert issued.number in read_back(services.read_document(work.house.office, issued.id).content or b"")
    row = Document.objects.get(id=issued.id)
    recorded = {entry.fact for entry, _says in job_after(work.house.office, work.job).entries}
    assert set(row.facts) == recorded - {
        entry.fact for entry, _ in job_after(work.house.office, work.job).entries if entry.kind == "document_issued"
    }


def test_a_machine_without_a_sheet_has_no_report_but_its_job_can_be_looked_at(house: House) -> None:
    bare = services.keep_machine(house.office, services.MachineData(str(uuid4()), "Old roller"))
    job = services.open_job(house.mechanic, bare, ("anything",)).job
    with pytest.raises(Missing):
        issue_report(house.office, job)
    after = job_after(house.office, job)
    assert after.told is None
    assert [entry.kind for entry, _says in after.entries] == ["job_opened"]


def test_an_owner_issues_nothing_and_a_stranger_finds_no_job(work: Work) -> None:
    do_all(work)
    with pytest.raises(NotAllowed):
        issue_report(work.house.owner, work.job)
    with pytest.raises(NotFound):
        job_after(work.house.stranger, work.job)
    with pytest.raises(NotFound):
        card_pdf(work.house.owner, work.job)


def test_an_owner_is_told_all_but_the_firms_own_notes(work: Work) -> None:
    do_all(work)
    advice, note = said(work.house, "Fit a sleeve."), said(work.house, "He always pays late.")
    a_finding(work, "plan_for_it", note=note, advice=advice)
    told = job_after(work.house.owner, work.job)
    assert [(one.advice, noted) for one, noted in told.findings] == [("Fit a sleeve.", "")]
    assert "pays late" not in repr(told)
    ((_one, noted),) = job_after(work.house.mechanic, work.job).findings
    assert noted == "He always pays late."


def test_the_office_opens_and_issues_but_only_who_worked_is_the_mechanic(work: Work) -> None:
    do_all(work)
    issue_report(work.house.office, work.job)
    told = job_after(work.house.office, work.job).told
    assert told is not None
    assert told.mechanic == "Tom Weir"


def test_the_card_prints_every_step_with_lines_to_fill_in(work: Work) -> None:
    text = read_back(card_pdf(work.house.mechanic, work.job))
    for told in (
        "Job card",
        "DANGER",
        "Oil under pressure",
        "Lay the return stack on the tray, in order",
        "1 × return element MA-7310-22",
        "24 N·m (22 N·m to 26 N·m)",
        "1 – 4 – 2 – 5 – 3 – 6",
        "Reading (0 lower, 1 upper mark)",
        "Name and signature",
    ):
        assert told in text, told


def test_a_caution_stands_once_on_the_printed_card_of_its_stop(work: Work) -> None:
    first = PdfReader(io.BytesIO(card_pdf(work.house.mechanic, work.job))).pages[0].extract_text()
    stop = " ".join(first.split()).split("2. ")[0]
    assert stop.count("Everything down on the ground") == 1


def test_what_an_open_job_has_not_come_to_yet_is_not_called_left_out(work: Work) -> None:
    text = report(work)
    assert "not final" in text
    assert "Left out or done otherwise" not in text
    assert "Not everything was done" not in text


def test_oil_of_another_compartment_is_listed_without_a_balance_of_the_hydraulics(work: Work) -> None:
    work.say("oil_moved", {"compartment": "engine", "way": "drained", "litres": litres("6.0")})
    work.send()
    told = job_after(work.house.office, work.job).told
    assert told is not None
    assert [(one.what, one.amount) for one in told.litres] == [("Drained, Engine", "6.0 L")]
    assert told.balance == ()


def test_a_finding_put_right_since_is_told_so_and_does_not_darken_the_verdict(work: Work) -> None:
    do_all(work)
    a_finding(work, "before_next_work")
    (found,) = [one for one, _says in job_after(work.house.office, work.job).entries if one.kind == "finding"]
    work.say("finding_settled", {"finding": found.fact})
    work.send()
    text = report(work)
    assert "Yes, as far as was looked at." in text
    assert "put right since" in text


def test_each_step_has_the_time_at_which_it_was_done(work: Work) -> None:
    do_all(work)
    told = job_after(work.house.office, work.job).told
    assert told is not None
    assert all(":" in one.state for one in told.steps), [one for one in told.steps if ":" not in one.state]
