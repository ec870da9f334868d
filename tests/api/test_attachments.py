"""Attachments sent and handed out: by hash, type and size, and only to who may see what they belong to."""

from __future__ import annotations

import hashlib

import pytest
from django.http import HttpResponse

from coldmark.records import files, services
from tests.api.asking import Asking, told
from tests.records.house import House, sha
from tests.records.pictures import a_photo

TEXT = "text/plain; charset=utf-8"


def hash_of(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def test_a_photo_is_kept_once_and_handed_out_as_it_was(house: House, mechanic: Asking) -> None:
    sha256, content = a_photo(3)
    assert told(mechanic.put(f"attachments/{sha256}", content, "image/jpeg"), 201)["answer"] == "kept"
    assert told(mechanic.put(f"attachments/{sha256}", content, "image/jpeg"))["answer"] == "known"
    handed = mechanic.get(f"attachments/{sha256}")
    assert handed.content == content
    assert handed["Content-Type"] == "image/jpeg"
    assert handed["X-Content-Type-Options"] == "nosniff"
    assert "sandbox" in handed["Content-Security-Policy"]
    assert handed["Cache-Control"].startswith("private")


@pytest.mark.parametrize(
    ("content", "media_type", "name"),
    [
        (b"", TEXT, "content"),
        (b"\xff\xfe", TEXT, "content"),
        (b"x" * 20_001, TEXT, "size"),
        (b"%PDF-1.7", "application/pdf", "media_type"),
        (b"<html>", "text/html", "media_type"),
        (b"plain", "text/plain; charset=latin-1", "media_type"),
        (b"no jpeg", "image/jpeg", "content"),
        (b'{"strokes": []}', "application/json", "content"),
    ],
)
def test_what_cannot_be_kept_is_refused_by_name(mechanic: Asking, content: bytes, media_type: str, name: str) -> None:
    refused = told(mechanic.put(f"attachments/{hash_of(content)}", content, media_type), 422)
    assert refused["name"] == name


def test_content_under_another_hash_is_refused(mechanic: Asking) -> None:
    refused = told(mechanic.put(f"attachments/{sha('other')}", b"this", TEXT), 422)
    assert refused["name"] == "sha256"
    assert sha("other") in refused["says"]


def test_knowing_a_hash_gives_nothing(house: House, mechanic: Asking, owner: Asking) -> None:
    sha256, content = a_photo(5)
    told(mechanic.put(f"attachments/{sha256}", content, "image/jpeg"), 201)
    told(owner.get(f"attachments/{sha256}"), 404)
    house.phone.send(house.phone.fact("photo", {"photo": sha256, "of": "glass"}))
    assert owner.get(f"attachments/{sha256}").content == content
    told(Asking(house.stranger).get(f"attachments/{sha256}"), 404)
    for unknown in (sha("never sent"), "glass.jpg", "%00", "A" * 64):
        told(mechanic.get(f"attachments/{unknown}"), 404)


def test_an_erased_one_is_gone(house: House, mechanic: Asking) -> None:
    sha256, content = a_photo(6)
    told(mechanic.put(f"attachments/{sha256}", content, "image/jpeg"), 201)
    services.erase(house.office, "attachment", sha256, "a face in it")
    assert told(mechanic.get(f"attachments/{sha256}"), 410)["says"] == "This was erased."
    assert told(mechanic.put(f"attachments/{sha256}", content, "image/jpeg"))["answer"] == "erased"


def test_it_says_which_attachments_it_lacks(house: House, mechanic: Asking, owner: Asking) -> None:
    sha256, content = a_photo(6)
    before = told(mechanic.post("attachments/lacking", {"sha256": [sha256, sha("other")]}))
    assert [one["answer"] for one in before["answers"]] == ["lacking", "lacking"]
    kept = told(mechanic.put(f"attachments/{sha256}", content, "image/jpeg"), 201)
    after = told(mechanic.post("attachments/lacking", {"sha256": [sha("other"), sha256]}))
    assert after["answers"] == [
        {"sha256": sha("other"), "answer": "lacking", "has": 0},
        {"sha256": sha256, "answer": "held", "has": 0},
    ]
    assert after["epoch"] == kept["epoch"] == services.epoch()
    # What arrives next lies behind the photo: a backup that has it has the photo as well.
    fact = told(mechanic.post("facts", {"facts": [house.phone.meter(700).text]}))["answers"][0]
    assert fact["arrival"] == kept["arrival"] == after["arrival"]
    assert told(owner.post("attachments/lacking", {"sha256": [sha256]}), 403)["name"] is None


def test_an_attachment_whose_file_is_gone_is_lacking_and_can_be_brought_again(house: House, mechanic: Asking) -> None:
    sha256, content = a_photo(7)
    told(mechanic.put(f"attachments/{sha256}", content, "image/jpeg"), 201)
    files.path_of(files.ATTACHMENTS, sha256).unlink()
    asked = {"sha256": [sha256]}
    assert told(mechanic.post("attachments/lacking", asked))["answers"][0]["answer"] == "lacking"
    assert told(mechanic.put(f"attachments/{sha256}", content, "image/jpeg"))["answer"] == "known"
    assert told(mechanic.post("attachments/lacking", asked))["answers"][0]["answer"] == "held"


def test_an_erased_attachment_is_not_asked_for(house: House, mechanic: Asking) -> None:
    sha256, content = sha("a word"), b"a word"
    told(mechanic.put(f"attachments/{sha256}", content, TEXT), 201)
    services.erase(house.office, "attachment", sha256, "asked for")
    assert told(mechanic.post("attachments/lacking", {"sha256": [sha256]}))["answers"][0]["answer"] == "erased"


@pytest.mark.parametrize("asked", [["x"], ["A" * 64], [sha("a")] * 201])
def test_a_question_about_no_hashes_is_refused_by_name(mechanic: Asking, asked: list[str]) -> None:
    assert told(mechanic.post("attachments/lacking", {"sha256": asked}), 422)["name"] == "sha256"


def piece(asking: Asking, first: int, last: int, *, told_as: str | None = None) -> HttpResponse:
    """Send the bytes of the photo from one to before the other."""
    sha256, content = a_photo(8)
    told_as = f"bytes {first}-{last - 1}/{len(content)}" if told_as is None else told_as
    return asking.put(f"attachments/{sha256}", content[first:last], "image/jpeg", **{"Content-Range": told_as})


def how_much(asking: Asking) -> tuple[str, int]:
    answer = told(asking.post("attachments/lacking", {"sha256": [a_photo(8)[0]]}))["answers"][0]
    return answer["answer"], answer["has"]


def test_a_photo_comes_in_pieces_and_is_kept_with_the_last(house: House, mechanic: Asking) -> None:
    sha256, content = a_photo(8)
    told(mechanic.get("me"))
    assert told(piece(mechanic, 0, 100), 202) == {"sha256": sha256, "answer": "goes_on", "has": 100}
    assert how_much(mechanic) == ("lacking", 100)
    assert told(piece(mechanic, 0, 100), 409) == {"sha256": sha256, "answer": "does_not_fit", "has": 100}
    assert told(piece(mechanic, 150, 200), 409)["has"] == 100
    told(mechanic.get(f"attachments/{sha256}"), 404)
    kept = told(piece(mechanic, 100, len(content)), 201)
    assert (kept["answer"], kept["sha256"]) == ("kept", sha256)
    assert how_much(mechanic) == ("held", 0)
    assert mechanic.get(f"attachments/{sha256}").content == content
    assert told(piece(mechanic, 0, 100))["answer"] == "known"


def test_another_phone_of_the_same_person_begins_by_itself(house: House, mechanic: Asking) -> None:
    other = Asking(house.mechanic)
    for phone in (mechanic, other):
        told(phone.get("me"))
    told(piece(mechanic, 0, 100), 202)
    assert how_much(other) == ("lacking", 0)
    assert told(piece(other, 0, 50), 202)["has"] == 50
    assert how_much(mechanic) == ("lacking", 100)


def test_a_wrong_whole_says_so_and_is_begun_anew(mechanic: Asking) -> None:
    sha256, _ = a_photo(8)
    wrong = mechanic.put(f"attachments/{sha256}", bytes(100), "image/jpeg", **{"Content-Range": "bytes 0-99/101"})
    assert told(wrong, 202)["has"] == 100
    whole = mechanic.put(f"attachments/{sha256}", b"x", "image/jpeg", **{"Content-Range": "bytes 100-100/101"})
    assert told(whole, 422)["name"] == "sha256"
    assert how_much(mechanic) == ("lacking", 0)


@pytest.mark.parametrize(
    "told_as", ["", "bytes */99", "bytes 0-98/200", "bytes 0-100/200", "bytes 9-0/9", "lines 0-99/9"]
)
def test_a_range_that_is_not_what_was_sent_is_refused_by_name(mechanic: Asking, told_as: str) -> None:
    assert told(piece(mechanic, 0, 100, told_as=told_as), 422)["name"] == "Content-Range"
    assert how_much(mechanic) == ("lacking", 0)


def test_pieces_are_open_to_whom_the_whole_is(house: House, owner: Asking) -> None:
    told(piece(owner, 0, 100), 403)
    told(piece(Asking(), 0, 100), 401)
    assert not files.folder("parts").exists()
