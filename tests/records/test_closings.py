"""The code a job is closed with: computed here as on the phone, told by page, story and report, checked by anybody."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from io import BytesIO
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from pypdf import PdfReader

from coldmark.bench.closing import closing
from coldmark.bench.errors import Refused
from coldmark.records import closings, paperwork, queries, services
from coldmark.records.errors import NotNow
from coldmark.records.models import ClosingRow, Fact
from tests.records.house import House, Phone
from tests.records.jobs import Work, close, do_all, keep_oils, open_work
from tests.records.pictures import keep_photo

NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
HERE = "203.0.113.9"


@pytest.fixture
def work(house: House) -> Work:
    """The 500-hour service, done and closed."""
    keep_oils(house)
    work = open_work(house)
    do_all(work)
    close(work)
    return work


def closed(work: Work) -> closings.Closed:
    return services.check_code(code_of(work), address=HERE)


def code_of(work: Work) -> str:
    """The code as a second program works it out from what is stored."""
    (row,) = Fact.objects.filter(job=work.job, kind="job_closed")
    return closing((id, sha) for id, sha in json.loads(row.text)["body"]["facts"]).code


def test_the_code_is_of_all_that_was_recorded_until_then(work: Work) -> None:
    pairs = [
        (str(row.id), row.sha256) for row in Fact.objects.filter(job=work.job).exclude(kind="job_closed").order_by("id")
    ]
    made = closing(pairs)
    found = closed(work)
    assert (found.code, found.sha256, found.count) == (made.code, made.sha256, len(pairs))
    assert (found.missing, found.late, found.changed, found.withdrawn) == (0, frozenset(), frozenset(), False)


def test_the_whole_hash_finds_it_too_and_so_does_a_code_as_it_was_scribbled(work: Work) -> None:
    found = closed(work)
    code = found.code.lower().replace("-", " ")
    for told in (found.sha256, found.sha256.upper(), f" {found.sha256[:32]} {found.sha256[32:]} ", code):
        assert services.check_code(told, address=HERE) == found


def test_what_comes_later_is_counted_but_not_papers_and_clocks(work: Work) -> None:
    paperwork.issue_report(work.house.office, work.job)
    work.say("clock_off", {"work": "work"})
    work.send()
    assert closed(work).late == frozenset()
    late = work.say("finding", {"about": "return", "what": "leak", "urgency": "plan_for_it"})
    work.send()
    assert closed(work).late == {late.id}


def stick(work: Work, shade: int, **body: str) -> str:
    """Photograph the sticker, as the phone does on the last screen of the card."""
    built = queries.job_card(work.house.mechanic, work.job)["card"]
    photo = {"photo": keep_photo(work.house.mechanic, shade), "of": "other", "about": built["screens"][-1]["step"]}
    fact = work.say("photo", photo | body)
    work.send()
    return fact.id


def told(work: Work) -> list[str]:
    return closings.says_closed(closed(work), day="2 March 2026", time="14:05")


def test_a_photo_of_the_sticker_is_told_as_such(work: Work) -> None:
    assert "Nothing was recorded for this job afterwards." in told(work)
    first = stick(work, 1)
    found = closed(work)
    assert found.late == found.stickers == {first}
    assert told(work)[2:4] == [
        "Afterwards a photo of the sticker was added.",
        "Nothing else was recorded for this job afterwards.",
    ]
    stick(work, 2)
    assert "Afterwards 2 photos of the sticker were added." in told(work)


def test_what_else_came_later_is_counted_beside_the_photo_of_the_sticker(work: Work) -> None:
    sticker = stick(work, 1)
    late = work.say("finding", {"about": "return", "what": "leak", "urgency": "plan_for_it"})
    work.send()
    assert closed(work).late == {sticker, late.id}
    assert closed(work).stickers == {sticker}
    assert "One other entry was recorded for this job afterwards." in told(work)
    work.say("meter_read", {"reading": {"value": "514", "unit": "h"}, "way": "seen"})
    work.send()
    assert "2 other entries were recorded for this job afterwards." in told(work)


@pytest.mark.parametrize("body", [{"of": "machine"}, {"about": "return"}], ids=["of the machine", "about a housing"])
def test_another_photo_that_comes_later_is_an_entry_like_any(work: Work, body: dict[str, str]) -> None:
    late = stick(work, 1, **body)
    assert closed(work).late == {late}
    assert closed(work).stickers == frozenset()
    assert "One entry was recorded for this job afterwards." in told(work)


def test_page_story_and_report_tell_the_photo_of_the_sticker_alike(work: Work) -> None:
    sticker = stick(work, 1)
    says = "Afterwards a photo of the sticker was added. Nothing else was recorded for this job afterwards."
    for person in (work.house.office, work.house.owner):
        after = paperwork.job_after(person, work.job)
        assert after.closing is not None
        assert says in " ".join(after.closing.says)
        assert after.late == {sticker}
        (entry,) = [line for one, line in after.entries if one.fact == sticker]
        assert entry == "Photo of the sticker with the closing code."
    issued = paperwork.issue_report(work.house.office, work.job)
    content = services.read_document(work.house.office, issued.id).content
    assert content is not None
    text = " ".join(" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(content)).pages)
    assert says in text
    assert "Photo of the sticker with the closing code." in text


def test_what_is_corrected_later_is_counted_until_the_correction_is_taken_back(work: Work) -> None:
    row = Fact.objects.filter(job=work.job, kind="meter_read").order_by("at")[0]
    body = {"reading": {"value": "999", "unit": "h"}, "way": "seen"}
    kept = services.correct(work.house.office, str(row.id), "replace", "mistyped", body=body)
    assert closed(work).changed == {str(row.id)}
    services.correct(work.house.office, kept.id, "withdraw", "undo")
    assert closed(work).changed == frozenset()


def test_what_was_corrected_before_is_part_of_what_was_closed(house: House) -> None:
    keep_oils(house)
    work = open_work(house)
    do_all(work)
    row = Fact.objects.filter(job=work.job, kind="meter_read").order_by("at")[0]
    services.correct(house.office, str(row.id), "withdraw", "mistyped")
    close(work)
    assert closed(work).changed == frozenset()


def test_a_closing_that_was_taken_back_says_so_and_the_next_one_has_another_code(work: Work) -> None:
    before = closed(work)
    (row,) = Fact.objects.filter(job=work.job, kind="job_closed")
    services.correct(
        work.house.office,
        str(row.id),
        "withdraw",
        "undo",
    )
    assert services.check_code(before.code, address=HERE).withdrawn
    assert paperwork.job_after(work.house.office, work.job).closing is None
    again = services.close_job(work.house.mechanic, work.job)
    now = paperwork.job_after(work.house.office, work.job).closing
    assert now is not None
    assert now.code != before.code
    assert again.id != str(row.id)


def test_what_is_not_here_any_more_as_it_was_is_told(work: Work) -> None:
    first, second = Fact.objects.filter(job=work.job, kind="step_done").order_by("id")[:2]
    first.delete()
    Fact.objects.filter(id=second.id).update(sha256="0" * 64)
    found = closed(work)
    assert found.missing == 2
    says = closings.says_closed(found, day="2 March 2026", time="14:05")
    assert "2 entries are not here any more as they were then." in says


def test_one_that_was_made_on_a_revoked_phone_says_so(house: House) -> None:
    keep_oils(house)
    work = open_work(house)
    do_all(work)
    services.revoke_device(house.office, work.phone.device)
    pairs = sorted([str(row.id), row.sha256] for row in Fact.objects.filter(job=work.job))
    fact = work.say("job_closed", {"facts": pairs})
    work.send()
    code = closing((id, sha) for id, sha in pairs).code
    found = services.check_code(code, address=HERE)
    assert found.held
    assert any("trusted no more" in line for line in closings.says_closed(found, day="today", time="now"))
    services.admit_held(house.office, work.phone.device)
    assert not services.check_code(code, address=HERE).held
    assert ClosingRow.objects.get().fact == Fact.objects.get(id=fact.id).id


def test_it_tells_no_names_and_no_machine(work: Work) -> None:
    stick(work, 1)
    said = " ".join(told(work))
    for name in ("Digger", "Stennet", "Tom", "Upper bench", work.job, work.house.machine):
        assert name not in said
        assert name not in repr(closed(work))


@pytest.mark.parametrize("code", ["", "0VJH", "hello there", "Ω" * 17, "0" * 63])
def test_what_is_no_code_is_refused_as_such(work: Work, code: str) -> None:
    with pytest.raises(Refused) as refused:
        services.check_code(code, address=HERE)
    assert refused.value.message == "closing.no_code"


def test_a_wrong_sign_is_found_before_anything_is_looked_up(work: Work) -> None:
    code = code_of(work)
    with pytest.raises(Refused) as refused:
        services.check_code(code[:-1] + ("0" if code[-1] != "0" else "1"), address=HERE)
    assert refused.value.message == "closing.mistyped"


def test_codes_that_are_made_up_are_tried_slowly_and_mistyped_ones_are_not(work: Work) -> None:
    for number in range(60):
        with pytest.raises(Refused):
            services.check_code("0VJH-8CXV-W39R-F0ER0", address=HERE, now=NOW)
        if number < 20:
            with pytest.raises(Refused) as refused:
                services.check_code(f"{number:064x}", address=HERE, now=NOW)
            assert refused.value.message == "closing.unknown"
    with pytest.raises(NotNow):
        services.check_code(code_of(work), address=HERE, now=NOW)
    assert services.check_code(code_of(work), address="203.0.113.10", now=NOW).count
    assert services.check_code(code_of(work), address=HERE, now=NOW + timedelta(minutes=16)).count


@pytest.mark.django_db(transaction=True)  # a backup reads one moment, which no transaction may stand around
def test_a_rebuild_and_a_restore_find_the_same_codes(work: Work, tmp_path: Path) -> None:
    before = closed(work)
    assert services.rebuild().failed == ()
    assert closed(work) == before
    services.backup(tmp_path / "backup.zip")
    services.restore(tmp_path / "backup.zip", over=True)
    assert closed(work) == before


def test_the_story_and_the_page_tell_it(work: Work) -> None:
    code = code_of(work)
    chapter = queries.chapters(work.house.mechanic, work.house.machine).chapters[0]
    lines = [line.says for line in queries.tell_job(chapter, queries.names_for(chapter.entries, None)).lines]
    assert any(f"closing code {code}" in line for line in lines)
    after = paperwork.job_after(work.house.owner, work.job)
    assert after.closing is not None
    assert after.closing.code == code


def test_the_report_prints_it_and_its_square_code_is_read_by_another_program(work: Work) -> None:
    late = work.say("finding", {"about": "return", "what": "rust", "urgency": "keep_watching"})
    work.send()
    reading = Fact.objects.filter(job=work.job, kind="meter_read").order_by("at")[0]
    body = {"reading": {"value": "513", "unit": "h"}, "way": "seen"}
    services.correct(work.house.office, str(reading.id), "replace", "mistyped", body=body)
    issued = paperwork.issue_report(work.house.office, work.job)
    content = services.read_document(work.house.office, issued.id).content
    assert content is not None
    text = " ".join(" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(content)).pages)
    found = closed(work)
    assert found.late == {late.id}
    assert found.code in text
    assert "Recorded after closing" in text
    assert "Corrected: " in text
    read = [
        one.text
        for page in pypdfium2.PdfDocument(content)
        for one in zxingcpp.read_barcodes(page.render(scale=3).to_pil())
    ]
    assert read == [found.sha256.upper()]


def test_an_open_job_has_none(house: House) -> None:
    keep_oils(house)
    work = open_work(house)
    do_all(work)
    after = paperwork.job_after(house.office, work.job)
    assert after.closing is None
    assert after.told is not None
    assert after.told.closing.code == ""


def test_two_phones_that_close_over_different_lists_have_two_codes_and_both_are_found(work: Work) -> None:
    first = code_of(work)
    phone = Phone(work.house.mechanic, work.house.machine)
    pairs = sorted([str(row.id), row.sha256] for row in Fact.objects.filter(job=work.job))
    phone.send(phone.fact("job_closed", {"facts": pairs}, at=work.at + timedelta(days=1), job=work.job))
    second = closing((id, sha) for id, sha in pairs).code
    assert first != second
    assert services.check_code(first, address=HERE).count + 1 == services.check_code(second, address=HERE).count
    after = paperwork.job_after(work.house.office, work.job).closing
    assert after is not None
    assert after.code == second
