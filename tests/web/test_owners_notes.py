"""Which notes an owner reads: those of a reason, which the report prints too, and no other; one rule for every face."""

from __future__ import annotations

import io
from dataclasses import dataclass

import pytest
from pypdf import PdfReader

from coldmark.bench.facts import KINDS
from coldmark.records import access, paperwork, services
from tests.records.house import House
from tests.records.jobs import Work, close, do_all, keep_oils, open_work, said
from tests.web.conftest import signed_in

TOLD = {
    "step_skipped": "The debris tray stayed in the van.",
    "gate_opened": "The spring is on order.",
    "part_out": "The old seal came in two pieces.",
    "part_in": "The new ring was cut.",
    "seal_looked_for": "It came off with the old can.",
}
INTERNAL = {
    "finding": "He never pays in time.",
    "finding_settled": "We forgot it last year.",
    "consent": "His brother may have meant it otherwise.",
    "correction": "Typed with cold fingers.",
    "function_timed": "The driver said it was slow.",
    "part_refused": "The counter sold it to us twice.",
}
BODIES: dict[str, dict[str, object]] = {
    "step_skipped": {"step": "hyd_500.debris", "reason": "no_time_today"},
    "gate_opened": {"gate": "hyd_500.close.refitted", "reason": "part_was_missing"},
    "part_out": {"place": "return.cover_ring", "count": 0, "state": "missing"},
    "part_in": {"place": "return.cover_ring", "count": 1, "fresh": False, "reason": "part_damaged"},
    "seal_looked_for": {"place": "return.cover_ring", "groove": True, "bowl": True},
    "finding": {"about": "return", "what": "leak", "urgency": "plan_for_it"},
    "consent": {"about": "hyd_500", "agreed": True},
    "part_refused": {"place": "return.element", "number": "ZZ-1", "why": "too_short"},
    "function_timed": {"timing": "boom_up", "what": "cycle", "time": {"value": "3.2", "unit": "s"}},
}


@dataclass
class Noted:
    """A job with a note of every kind that can have one."""

    work: Work
    hashes: dict[str, str]
    facts: list[str]
    number: str


@pytest.fixture
def noted(house: House) -> Noted:
    keep_oils(house)
    work = open_work(house)
    do_all(work, but=("hyd_500.debris",))
    hashes = {text: said(house, text) for text in (*TOLD.values(), *INTERNAL.values())}
    facts = {kind: work.say(kind, body | {"note": hashes[(TOLD | INTERNAL)[kind]]}) for kind, body in BODIES.items()}
    read = work.say("meter_read", {"reading": {"value": "5120", "unit": "h"}, "way": "seen"})
    settled = {"finding": facts["finding"].id, "note": hashes[INTERNAL["finding_settled"]]}
    work.say("finding_settled", settled)
    wrong = {"of": read.id, "action": "replace", "reason": "mistyped", "note": hashes[INTERNAL["correction"]]}
    work.say("correction", wrong | {"body": {"reading": {"value": "512", "unit": "h"}, "way": "seen"}})
    close(work, tasks=())
    issued = paperwork.issue_report(house.office, work.job)
    return Noted(work, hashes, [*(one.id for one in facts.values()), read.id], issued.id)


def words_of(content: bytes) -> str:
    return " ".join(" ".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(content)).pages).split())


def pages(noted: Noted) -> list[str]:
    """All pages that tell of the job."""
    machine = f"/machines/{noted.work.house.machine}/"
    entries = [f"{machine}story/{fact}/" for fact in noted.facts]
    return [f"/jobs/{noted.work.job}/", machine, f"{machine}story/", f"{machine}story/?job={noted.work.job}", *entries]


def test_every_kind_with_a_note_is_of_one_sort_or_the_other() -> None:
    noted = {kind.name for kind in KINDS.values() if "note" in kind.fields}
    assert noted == TOLD.keys() | INTERNAL.keys()
    assert {kind for kind in noted if "note" not in access.hidden_fields(kind)} == TOLD.keys()


def test_the_report_prints_the_notes_of_reasons_and_no_internal_one(noted: Noted) -> None:
    text = words_of(services.read_document(noted.work.house.office, noted.number).content or b"")
    for note in TOLD.values():
        assert note in text
    for note in INTERNAL.values():
        assert note not in text


def test_an_owner_reads_on_the_pages_what_the_report_prints_and_nothing_else(noted: Noted) -> None:
    client = signed_in(noted.work.house.owner)
    told = "".join(client.get(address).text for address in pages(noted))
    for note in TOLD.values():
        assert note in told
    for note in INTERNAL.values():
        assert note not in told
    assert "in no report" not in told


def test_staff_read_all_of_them(noted: Noted) -> None:
    client = signed_in(noted.work.house.mechanic)
    told = "".join(client.get(address).text for address in pages(noted))
    for note in (TOLD | INTERNAL).values():
        assert note in told, note
    job = client.get(f"/jobs/{noted.work.job}/").text
    assert f"Note, in no report and not for owners:</span> {INTERNAL['finding']}" in job


def test_knowing_the_hash_of_an_internal_note_gives_it_to_no_owner(noted: Noted) -> None:
    house = noted.work.house
    for note, sha256 in noted.hashes.items():
        address = f"/api/attachments/{sha256}"
        assert signed_in(house.mechanic).get(address).status_code == 200
        assert signed_in(house.stranger).get(address).status_code == 404
        assert signed_in(house.owner).get(address).status_code == (200 if note in TOLD.values() else 404), note


def test_a_reason_put_right_takes_its_new_note_to_the_owner_and_the_corrections_own_to_none(noted: Noted) -> None:
    work = noted.work
    new, why = said(work.house, "The tray was cracked."), said(work.house, "Tom mixed it up.")
    skipped = noted.facts[0]
    body = {"step": "hyd_500.debris", "reason": "no_time_today", "note": new}
    wrong = {"of": skipped, "action": "replace", "reason": "other", "note": why, "body": body}
    work.phone.send(work.phone.fact("correction", wrong, at=work.at, job=work.job))
    owner = signed_in(work.house.owner)
    assert "The tray was cracked." in owner.get(f"/jobs/{work.job}/").text
    assert owner.get(f"/api/attachments/{new}").status_code == 200
    assert owner.get(f"/api/attachments/{why}").status_code == 404
    assert owner.get(f"/api/attachments/{noted.hashes[TOLD['step_skipped']]}").status_code == 404, "no longer said"
