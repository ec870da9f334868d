"""Photos, texts and strokes: checked for hash, type and size, kept by hash, erased to a tombstone."""

from __future__ import annotations

import base64
import hashlib
import io
import json
from pathlib import Path

import pytest
from PIL import Image

from coldmark.bench.errors import NotAChoice, OutOfRange, Refused
from coldmark.records import files, queries, services
from coldmark.records.errors import NotFound
from coldmark.records.models import Attachment, Erasure, Person
from coldmark.records.services.attachments import JPEG, STROKES, TEXT
from coldmark.records.services.erasing import erasures_file, read_erasures
from tests.records.house import House, sha
from tests.records.pictures import a_photo, keep_photo

CONTRACT = Path(__file__).parents[2] / "contract"


def keep(house: House, media_type: str, content: bytes, sha256: str | None = None) -> services.AttachmentKept:
    name = hashlib.sha256(content).hexdigest() if sha256 is None else sha256
    return services.keep_attachment(house.mechanic, name, media_type, content)


def test_a_photo_is_kept_under_its_hash_and_read_back(house: House, data_folder: Path) -> None:
    sha256, content = a_photo(1)
    assert keep(house, JPEG, content).answer == "kept"
    path = data_folder / "attachments" / sha256[:2] / sha256[2:4] / sha256
    assert path.read_bytes() == content
    assert [entry.name for entry in path.parent.iterdir()] == [sha256]
    read = services.read_attachment(house.mechanic, sha256)
    assert (read.content, read.media_type) == (content, JPEG)


def test_keeping_twice_is_once_and_mends_a_damaged_file(house: House) -> None:
    sha256, content = a_photo(1)
    keep(house, JPEG, content)
    files.path_of("attachments", sha256).write_bytes(b"damaged")
    assert keep(house, JPEG, content).answer == "known"
    assert services.read_attachment(house.mechanic, sha256).content == content
    assert Attachment.objects.count() == 1


def test_another_hash_than_the_contents_is_refused(house: House) -> None:
    with pytest.raises(Refused, match="SHA-256"):
        keep(house, JPEG, a_photo(1)[1], a_photo(2)[0])
    assert not Attachment.objects.exists()


@pytest.mark.parametrize(
    "content",
    [
        b"\x89PNG\r\n\x1a\n" + bytes(40),
        b"\xff\xd8\xff<script>alert(1)</script>\xff\xd9",
        b"\xff\xd8\xff\xd9",
        a_photo(1)[1][:-20],
    ],
    ids=["another type", "a script in disguise", "no picture", "cut short"],
)
def test_what_is_no_whole_jpeg_is_refused(house: House, content: bytes) -> None:
    with pytest.raises(Refused, match="JPEG"):
        keep(house, JPEG, content)


def test_a_photo_that_was_not_redrawn_is_refused(house: House) -> None:
    notes = Image.Exif()
    notes[0x010F] = "a camera"
    with pytest.raises(Refused, match="redrawn"):
        keep(house, JPEG, a_photo(1, exif=notes)[1])


def test_a_photo_is_taken_as_the_phone_strips_it(house: House) -> None:
    golden = json.loads((CONTRACT / "golden" / "photo.json").read_text(encoding="utf-8"))
    drawn, bare = (base64.b64decode(golden[name]) for name in ("as_some_browsers_write_it", "bare"))
    with pytest.raises(Refused, match="redrawn"):
        keep(house, JPEG, drawn)
    assert keep(house, JPEG, bare).answer == "kept"
    pictures = [Image.open(io.BytesIO(content)) for content in (drawn, bare)]
    assert pictures[0].tobytes() == pictures[1].tobytes()


@pytest.mark.parametrize(
    ("content", "right"),
    [(b"\xff\xfe", "UTF-8"), (b"bell \x07", "plain text"), (b"", "bytes of the attachment")],
)
def test_what_is_no_plain_text_is_refused(house: House, content: bytes, right: str) -> None:
    with pytest.raises(Refused, match=right):
        keep(house, TEXT, content)


def test_strokes_are_whole_numbers_inside_their_box(house: House) -> None:
    good = {"width": 300, "height": 100, "strokes": [[[0, 0], [300, 100]]]}
    assert keep(house, STROKES, json.dumps(good).encode()).answer == "kept"
    assert keep(house, STROKES, json.dumps({**good, "strokes": []}).encode()).answer == "kept"  # a name alone will do
    bad: object
    for bad in (
        {**good, "strokes": [[[301, 5]]]},
        {**good, "strokes": [[[1.5, 5]]]},
        {**good, "more": 1},
        [],
    ):
        with pytest.raises(Refused, match="strokes"):
            keep(house, STROKES, json.dumps(bad).encode())


def test_types_and_sizes_have_limits(house: House) -> None:
    with pytest.raises(NotAChoice, match="image/svg"):
        keep(house, "image/svg+xml", b"<svg/>")
    with pytest.raises(OutOfRange):
        keep(house, TEXT, b"x" * 20_001)
    assert keep(house, "text/plain;charset=UTF-8", b"fine").answer == "kept"


def test_an_erased_photo_leaves_a_tombstone_and_is_not_taken_again(house: House) -> None:
    sha256 = keep_photo(house.mechanic, 1)
    house.phone.send(house.phone.fact("photo", {"photo": sha256, "of": "machine"}))
    services.erase(house.office, "attachment", sha256, "a face on it")
    assert files.read("attachments", sha256) is None
    read = services.read_attachment(house.mechanic, sha256)
    assert read.content is None
    assert read.erased_at is not None
    assert keep(house, JPEG, a_photo(1)[1]).answer == "erased"
    assert files.read("attachments", sha256) is None
    assert sha256 in queries.story(house.mechanic, house.machine).entries[0].photos


def test_an_erased_text_is_gone_from_the_story(house: House) -> None:
    keep(house, TEXT, b"the driver said")
    body = {"about": "boom", "what": "other", "urgency": "keep_watching", "note": sha("the driver said")}
    house.phone.send(house.phone.fact("finding", body))
    assert set(queries.story(house.mechanic, house.machine).entries[0].texts.values()) == {"the driver said"}
    services.erase(house.office, "attachment", sha("the driver said"), "asked to")
    assert set(queries.story(house.mechanic, house.machine).entries[0].texts.values()) == {None}


def test_erasing_twice_is_once_and_is_written_beside_the_database(house: House) -> None:
    sha256 = keep_photo(house.mechanic, 1)
    first = services.erase(house.office, "attachment", sha256, "a face on it")
    assert services.erase(house.office, "attachment", sha256, "again") == first
    assert Erasure.objects.count() == 1
    assert read_erasures(erasures_file().read_text()) == [first]


def test_an_erased_persons_name_goes_and_the_facts_stay(house: House) -> None:
    house.phone.send(house.phone.meter(100))
    services.erase(house.office, "person", str(house.mechanic.id), "left and asked to")
    row = Person.objects.get(id=house.mechanic.id)
    assert ("Tom" in row.name, row.is_active, row.has_usable_password()) == (False, False, False)
    entry = next(e for e in queries.story(house.office, house.machine).entries if e.kind == "meter_read")
    assert "Tom" not in entry.person_name
    with pytest.raises(Refused):
        services.sign_in("tom", "glass between marks", address="::1")


def test_an_erased_customers_name_goes_from_rows_and_search(house: House) -> None:
    services.erase(house.office, "customer", house.customer, "asked to")
    assert queries.machines(house.office, "stennet").total == 0
    assert queries.machines(house.office, "digger").lines[0].customer_name == "—"
    assert all(line.data.id != house.customer for line in queries.customers(house.office))


def test_erasing_wants_a_reason_and_something_to_erase(house: House) -> None:
    with pytest.raises(Refused, match="reason"):
        services.erase(house.office, "customer", house.customer, "  ")
    with pytest.raises(NotFound):
        services.erase(house.office, "attachment", sha("nothing"), "asked to")


def test_a_photo_erased_while_it_is_sent_again_stays_erased(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    photo = keep_photo(house.mechanic, 1)
    keep_file = files.keep

    def slow(shelf: str, content: bytes) -> str:
        """Somebody erases it after it was looked for and before its file is written."""
        services.erase(house.office, "attachment", photo, "a face on it")
        return keep_file(shelf, content)

    monkeypatch.setattr(files, "keep", slow)
    assert keep(house, JPEG, a_photo(1)[1]).answer == "erased"
    assert files.read(files.ATTACHMENTS, photo) is None


def frame_of(content: bytes, **changes: int) -> bytes:
    """The picture with another frame (ITU-T T.81, B.2.2): its mark, precision, height and width, or colours."""
    at = content.index(b"\xff\xc0")
    made = bytearray(content)
    for name, place in (("mark", 1), ("precision", 4), ("colours", 9)):
        made[at + place] = changes.get(name, made[at + place])
    for name, place in (("height", 5), ("width", 7)):
        if name in changes:
            made[at + place : at + place + 2] = changes[name].to_bytes(2, "big")
    return bytes(made)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"height": 65_500, "width": 65_500}, "65500 × 65500 pixels"),
        ({"width": 4_001}, "pixels"),
        ({"height": 0}, "pixels"),
        ({"mark": 0xC9}, "a rare kind"),
        ({"precision": 12}, "a rare kind"),
        ({"colours": 4}, "a rare kind"),
    ],
)
def test_a_photo_that_would_fill_the_memory_or_that_few_can_read_is_refused(
    house: House, changes: dict[str, int], says: str
) -> None:
    with pytest.raises(Refused, match=says):
        keep(house, JPEG, frame_of(a_photo(1)[1], **changes))


@pytest.mark.parametrize("saved", [{}, {"progressive": True}, {"quality": 30}])
def test_ordinary_photos_are_kept(house: House, saved: dict[str, object]) -> None:
    assert keep(house, JPEG, a_photo(1, **saved)[1]).answer == "kept"
