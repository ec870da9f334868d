"""Photos at small size, and parts of what is handed out."""

from __future__ import annotations

import hashlib
import io

import pytest
from PIL import Image

from coldmark.records import files, services
from tests.api.asking import Asking, told
from tests.records.house import House, sha
from tests.records.pictures import a_photo
from tests.records.voices import recorded


def _large(mode: str = "RGB", size: tuple[int, int] = (1600, 1200)) -> tuple[str, bytes]:
    made = io.BytesIO()
    Image.linear_gradient("L").resize(size).convert(mode).save(made, "JPEG", quality=90)
    return hashlib.sha256(made.getvalue()).hexdigest(), made.getvalue()


@pytest.mark.parametrize(("mode", "size", "small"), [("RGB", (1600, 1200), (320, 240)), ("L", (900, 1600), (180, 320))])
def test_a_photo_comes_small(
    house: House, mechanic: Asking, mode: str, size: tuple[int, int], small: tuple[int, int]
) -> None:
    sha256, content = _large(mode, size)
    told(mechanic.put(f"attachments/{sha256}", content, "image/jpeg"), 201)
    answer = mechanic.get(f"photos/{sha256}/small")
    assert (answer.status_code, answer["Content-Type"]) == (200, "image/jpeg")
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert "sandbox" in answer["Content-Security-Policy"]
    with Image.open(io.BytesIO(answer.content)) as drawn:
        assert drawn.size == small
        assert not drawn.getexif()
    assert len(answer.content) < 20_000
    # It is drawn once.
    kept = files.path_of(files.SMALL, sha256)
    before = kept.stat().st_mtime_ns
    assert mechanic.get(f"photos/{sha256}/small").content == answer.content
    assert kept.stat().st_mtime_ns == before


def test_a_small_photo_is_not_drawn_larger(house: House, mechanic: Asking) -> None:
    sha256, content = a_photo(1)
    told(mechanic.put(f"attachments/{sha256}", content, "image/jpeg"), 201)
    with Image.open(io.BytesIO(mechanic.get(f"photos/{sha256}/small").content)) as drawn:
        assert drawn.size == (24, 16)


def test_owners_get_the_small_one_of_what_they_may_see(house: House, mechanic: Asking, owner: Asking) -> None:
    sha256, content = a_photo(2)
    told(mechanic.put(f"attachments/{sha256}", content, "image/jpeg"), 201)
    told(mechanic.get(f"photos/{sha('another')}/small"), 404)
    told(mechanic.get("photos/x/small"), 404)
    told(owner.get(f"photos/{sha256}/small"), 404)
    house.phone.send(house.phone.fact("photo", {"photo": sha256, "of": "machine"}, at=house.days(1)))
    assert owner.get(f"photos/{sha256}/small").status_code == 200
    told(Asking(house.stranger).get(f"photos/{sha256}/small"), 404)
    told(Asking().get(f"photos/{sha256}/small"), 401)


def test_erased_is_gone_at_every_size(house: House, mechanic: Asking) -> None:
    sha256, content = a_photo(3)
    told(mechanic.put(f"attachments/{sha256}", content, "image/jpeg"), 201)
    assert mechanic.get(f"photos/{sha256}/small").status_code == 200
    services.erase(house.office, "attachment", sha256, "a face in it")
    assert not files.path_of(files.SMALL, sha256).exists()
    assert told(mechanic.get(f"photos/{sha256}/small"), 410)["says"] == "This was erased."


def test_what_is_no_photo_has_no_small_one(house: House, mechanic: Asking) -> None:
    sha256, content = sha("a word"), b"a word"
    told(mechanic.put(f"attachments/{sha256}", content, "text/plain; charset=utf-8"), 201)
    told(mechanic.get(f"photos/{sha256}/small"), 404)


def test_a_photo_whose_inside_is_broken_is_refused_by_name(house: House, mechanic: Asking) -> None:
    _sha256, content = _large(size=(64, 64))
    tables = content.index(b"\xff\xc4") + 5  # its marks stand where they should, and what they lead to is rubbish
    broken = content[:tables] + b"\xff" * 16 + content[tables + 16 :]
    sha256 = hashlib.sha256(broken).hexdigest()
    told(mechanic.put(f"attachments/{sha256}", broken, "image/jpeg"), 201)
    assert told(mechanic.get(f"photos/{sha256}/small"), 422)["name"] == "content"


PART = {
    "bytes=0-9": (206, 0, 10),
    "bytes=10-": (206, 10, None),
    "bytes=-7": (206, -7, None),
    "bytes=5-99999999": (206, 5, None),
    "bytes=-": (200, 0, None),
    "bytes=0-1,4-5": (200, 0, None),
    "chars=0-1": (200, 0, None),
}


@pytest.mark.parametrize("asked", PART)
def test_a_part_of_a_voice_is_handed_out_for_who_plays_it(house: House, mechanic: Asking, asked: str) -> None:
    sha256, content = recorded()
    told(mechanic.put(f"attachments/{sha256}", content, "audio/webm;codecs=opus"), 201)
    status, first, end = PART[asked]
    answer = mechanic.get(f"attachments/{sha256}", Range=asked)
    assert (answer.status_code, answer["Accept-Ranges"], answer["Content-Type"]) == (status, "bytes", "audio/webm")
    part = content[first:end]
    assert answer.content == part
    if status == 206:
        start = first if first >= 0 else len(content) + first
        assert answer["Content-Range"] == f"bytes {start}-{start + len(part) - 1}/{len(content)}"


@pytest.mark.parametrize("asked", ["bytes=999999-", "bytes=9-3", "bytes=-0"])
def test_a_part_that_is_not_there_is_said_so(house: House, mechanic: Asking, asked: str) -> None:
    sha256, content = recorded()
    told(mechanic.put(f"attachments/{sha256}", content, "audio/webm"), 201)
    answer = mechanic.get(f"attachments/{sha256}", Range=asked)
    assert (answer.status_code, answer["Content-Range"]) == (416, f"bytes */{len(content)}")
