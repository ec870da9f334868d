"""Issued papers and erasure: kept as issued, or erased with what they show, which the office says each time."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pytest
from pypdf import PdfReader

from coldmark.bench.errors import Refused
from coldmark.records import files, queries, services
from coldmark.records.errors import NotAllowed, NotFound
from coldmark.records.models import Document, Erasure
from coldmark.records.paperwork import issue_report, issuing
from coldmark.records.paperwork.report import ReportMade, report_of
from coldmark.records.plain import Issued
from tests.records.house import House
from tests.records.jobs import Work, close, do_all, keep_oils, open_work, photographed, said, signed

ADVICE = "Mrs Stennet wants a quote."


@pytest.fixture
def work(house: House) -> Work:
    """A closed job: done by the mechanic, signed by the owner, with a photo and words."""
    keep_oils(house)
    work = open_work(house)
    do_all(work)
    told = {"about": "return", "what": "leak", "urgency": "plan_for_it", "photos": [photographed(house, 3)]}
    work.say("finding", told | {"advice": said(house, ADVICE)})
    close(work)
    return work


@pytest.fixture
def issued(work: Work) -> Issued:
    return issue_report(work.house.office, work.job)


def words_of(house: House, paper: Issued) -> str:
    content = services.read_document(house.office, paper.id).content
    assert content is not None
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages).split())


SHOWN: dict[str, Callable[[House], tuple[str, str, str]]] = {
    "the mechanic": lambda house: ("person", str(house.mechanic.id), "Tom Weir"),
    "the customer": lambda house: ("customer", house.customer, "Stennet Quarry"),
    "words": lambda house: ("attachment", said(house, ADVICE), ADVICE),
    "who signed": lambda house: ("attachment", said(house, "Edda Stennet"), "Edda Stennet"),
}


@pytest.mark.parametrize("what", SHOWN)
def test_a_paper_is_kept_as_issued_unless_the_office_says_otherwise(house: House, issued: Issued, what: str) -> None:
    kind, target, text = SHOWN[what](house)
    assert text in words_of(house, issued)
    assert queries.documents_showing(house.office, kind, target) == 1
    services.erase(house.office, kind, target, "asked to")  # type: ignore[arg-type]
    assert text in words_of(house, issued)


@pytest.mark.parametrize("what", SHOWN)
def test_a_paper_goes_with_what_it_shows_and_is_made_anew_without(
    house: House, work: Work, issued: Issued, what: str
) -> None:
    kind, target, text = SHOWN[what](house)
    services.erase(house.office, kind, target, "asked to", documents=True)  # type: ignore[arg-type]
    assert files.read(files.DOCUMENTS, issued.sha256) is None
    assert services.read_document(house.office, issued.id).content is None
    row = Document.objects.get(id=issued.id)
    assert (row.number, row.size, row.reason) == (issued.number, 0, "asked to")
    assert row.erased_at is not None
    anew = issue_report(house.office, work.job)
    assert anew.number > issued.number
    assert text not in words_of(house, anew)
    assert queries.documents_showing(house.office, kind, target) == 0


@pytest.mark.parametrize("of", ["photo", "signature"])
def test_a_picture_in_a_paper_goes_with_it_too(house: House, issued: Issued, of: str) -> None:
    target = photographed(house, 3) if of == "photo" else signed(house)
    services.erase(house.office, "attachment", target, "a face on it", documents=True)
    assert services.read_document(house.office, issued.id).content is None


def test_papers_that_show_somebody_else_stay(house: House, issued: Issued) -> None:
    keep_oils(house)
    other = open_work(house, machine=house.other_machine)
    do_all(other)
    close(other, name="Olm Hallbeck")
    kept = issue_report(house.office, other.job)
    services.erase(house.office, "customer", house.customer, "asked to", documents=True)
    assert "Hallbeck Farm" in words_of(house, kept)
    assert services.read_document(house.office, issued.id).content is None


def test_what_was_kept_at_first_goes_when_the_office_thinks_better_of_it(house: House, issued: Issued) -> None:
    first = services.erase(house.office, "customer", house.customer, "asked to")
    assert services.read_document(house.office, issued.id).content is not None
    for _time in range(2):
        assert services.erase(house.office, "customer", house.customer, "asked again", documents=True) == first
    assert services.read_document(house.office, issued.id).content is None
    assert sorted(Erasure.objects.values_list("what", flat=True)) == ["customer", "document"]


def test_one_paper_is_erased_by_itself(house: House, work: Work, issued: Issued) -> None:
    with pytest.raises(NotAllowed):
        services.erase(house.mechanic, "document", issued.sha256, "asked to")
    with pytest.raises(NotFound):
        services.erase(house.office, "document", "0" * 64, "asked to")
    services.erase(house.office, "document", issued.sha256, "asked to")
    assert services.read_document(house.owner, issued.id).content is None
    with pytest.raises(NotFound):
        services.read_document(house.stranger, issued.id)
    assert queries.last_report(house.office, work.job) is None
    (told,) = queries.job_page(house.office, work.job).documents
    assert told.erased_at is not None


def test_what_is_erased_while_a_paper_is_made_is_not_in_it(
    house: House, work: Work, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[ReportMade] = []

    def slow(*told: Any, **more: Any) -> ReportMade:
        """Somebody erases the customer after the first paper was put together and before it is issued."""
        made.append(report_of(*told, **more))
        services.erase(house.office, "customer", house.customer, "asked to", documents=True)
        return made[-1]

    monkeypatch.setattr(issuing, "report_of", slow)
    issued = issue_report(house.office, work.job)
    assert [one.paper.owner for one in made] == ["Stennet Quarry", "—"]
    assert "Stennet Quarry" not in words_of(house, issued)
    shelf = files.folder(files.DOCUMENTS)
    assert [path.name for path in shelf.rglob("*") if path.is_file()] == [issued.sha256], "no paper lies about"


def test_a_paper_that_tells_not_what_it_shows_is_found_by_its_facts(house: House, issued: Issued) -> None:
    Document.objects.update(shows=None)
    for shown in SHOWN.values():
        kind, target, _text = shown(house)
        assert queries.documents_showing(house.office, kind, target) == 1
    assert queries.documents_showing(house.office, "person", str(house.stranger.id)) == 0
    assert queries.documents_showing(house.office, "customer", house.other_customer) == 0
    assert queries.documents_showing(house.office, "attachment", photographed(house, 77)) == 0


def test_only_what_can_be_erased_is(house: House) -> None:
    with pytest.raises(Refused, match="attachment, document, person"):
        services.erase(house.office, "machine", house.machine, "asked to")  # type: ignore[arg-type]
