"""Attachments that come in pieces: gone on with after a break, whole before they count, and nothing else is left."""

from __future__ import annotations

import hashlib
import os
import signal
import subprocess
import sys
import zipfile
from datetime import timedelta
from pathlib import Path

import pytest
from django.db import connection
from django.utils import timezone
from PIL import Image

from coldmark.bench.errors import OutOfRange, Refused
from coldmark.records import files, parts, services
from coldmark.records.errors import NotAllowed, NotFound
from coldmark.records.models import Attachment, Person
from coldmark.records.services.attachments import JPEG, TEXT
from tests.records.house import House, sha
from tests.records.pictures import a_photo
from tests.records.test_at_once import BUILD, environment, run

PHONE, TABLET = "6ba7b810-9dad-41d1-80b4-00c04fd430c8", "6ba7b811-9dad-41d1-80b4-00c04fd430c8"
SHA256, PHOTO = a_photo(1)
CUT = len(PHOTO) // 3


def send(
    person: Person, first: int, last: int, *, sha256: str = SHA256, content: bytes = PHOTO, device: str = PHONE
) -> services.AttachmentKept | services.AttachmentBegun:
    return services.keep_piece(
        person, sha256, JPEG, content[first:last], first=first, total=len(content), device=device
    )


def begun(answer: services.AttachmentKept | services.AttachmentBegun) -> tuple[str, int]:
    assert isinstance(answer, services.AttachmentBegun)
    assert answer.sha256 == SHA256
    return answer.answer, answer.has


def has(person: Person, sha256: str = SHA256, device: str = PHONE) -> tuple[str, int]:
    (answer,) = services.lacking_attachments(person, [sha256], device=device).answers
    return answer.answer, answer.has


def left(folder: Path) -> int:
    return len(list((folder / "parts").iterdir()))


def test_the_last_piece_makes_it_whole(house: House, data_folder: Path) -> None:
    assert begun(send(house.mechanic, 0, CUT)) == ("goes_on", CUT)
    assert has(house.mechanic) == ("lacking", CUT)
    assert begun(send(house.mechanic, CUT, 2 * CUT)) == ("goes_on", 2 * CUT)
    assert not Attachment.objects.exists()
    with pytest.raises(NotFound):
        services.read_attachment(house.office, SHA256)
    assert send(house.mechanic, 2 * CUT, len(PHOTO)).answer == "kept"
    assert services.read_attachment(house.office, SHA256).content == PHOTO
    assert has(house.mechanic) == ("held", 0)
    assert left(data_folder) == 0


@pytest.mark.parametrize(
    ("there", "first", "last"),
    [(0, CUT, 2 * CUT), (CUT, 0, CUT), (CUT, CUT + 1, 2 * CUT), (CUT, 2 * CUT, len(PHOTO)), (CUT, 0, len(PHOTO))],
    ids=["without its beginning", "once more", "a byte too far", "the last too soon", "all in one"],
)
def test_a_piece_that_does_not_fit_is_told_where_the_next_begins(
    house: House, there: int, first: int, last: int
) -> None:
    if there:
        send(house.mechanic, 0, there)
    assert begun(send(house.mechanic, first, last)) == ("does_not_fit", there)
    assert has(house.mechanic) == ("lacking", there)
    assert not Attachment.objects.exists()


def test_what_a_killed_process_wrote_is_gone_on_with(house: House, data_folder: Path) -> None:
    send(house.mechanic, 0, 2 * CUT)
    (part,) = (data_folder / "parts").iterdir()
    os.truncate(part, CUT + 7)
    assert begun(send(house.mechanic, 2 * CUT, len(PHOTO))) == ("does_not_fit", CUT + 7)
    assert send(house.mechanic, CUT + 7, len(PHOTO)).answer == "kept"


def test_a_wrong_whole_is_refused_and_begun_anew(house: House, data_folder: Path) -> None:
    send(house.mechanic, 0, CUT)
    (part,) = (data_folder / "parts").iterdir()
    part.write_bytes(bytes(CUT))
    with pytest.raises(Refused, match="SHA-256") as found:
        send(house.mechanic, CUT, len(PHOTO))
    assert found.value.name == "sha256"
    assert left(data_folder) == 0
    assert has(house.mechanic) == ("lacking", 0)
    send(house.mechanic, 0, CUT)
    assert send(house.mechanic, CUT, len(PHOTO)).answer == "kept"


def test_a_beginning_as_long_as_the_whole_is_of_something_else(house: House, data_folder: Path) -> None:
    send(house.mechanic, 0, CUT)
    (part,) = (data_folder / "parts").iterdir()
    part.write_bytes(bytes(len(PHOTO)))
    assert begun(send(house.mechanic, 0, CUT)) == ("goes_on", CUT)


def test_the_whole_is_checked_as_if_it_had_come_at_once(house: House, data_folder: Path) -> None:
    notes = Image.Exif()
    notes[0x010F] = "a camera"
    sha256, content = a_photo(1, exif=notes)
    send(house.mechanic, 0, 100, sha256=sha256, content=content)
    with pytest.raises(Refused, match="redrawn"):
        send(house.mechanic, 100, len(content), sha256=sha256, content=content)
    assert left(data_folder) == 0
    assert not files.path_of(files.ATTACHMENTS, sha256).exists()


@pytest.mark.parametrize(
    ("sha256", "media_type", "piece", "first", "total", "name"),
    [
        (SHA256, JPEG, b"x", 0, 4_000_001, "size"),
        (SHA256, JPEG, b"x", 0, 0, "size"),
        (SHA256, TEXT, b"x", 0, 20_001, "size"),
        (SHA256, "application/pdf", b"x", 0, 9, "media_type"),
        (SHA256, JPEG, b"", 0, 9, "content"),
        (SHA256, JPEG, b"xyz", 7, 9, "content"),
        ("../../secret", JPEG, b"x", 0, 9, "sha256"),
        (SHA256.upper(), JPEG, b"x", 0, 9, "sha256"),
    ],
)
def test_what_could_never_be_whole_is_refused_at_once(
    house: House, data_folder: Path, sha256: str, media_type: str, piece: bytes, first: int, total: int, name: str
) -> None:
    with pytest.raises((Refused, OutOfRange)) as found:
        services.keep_piece(house.mechanic, sha256, media_type, piece, first=first, total=total, device=PHONE)
    assert found.value.name == name
    assert not (data_folder / "parts").exists()


def test_it_is_open_to_who_may_keep_attachments(house: House) -> None:
    with pytest.raises(NotAllowed):
        send(house.owner, 0, CUT)


def test_each_phone_and_each_person_has_its_own_beginning(house: House, data_folder: Path) -> None:
    send(house.mechanic, 0, 2 * CUT)
    assert has(house.mechanic, device=TABLET) == has(house.office) == ("lacking", 0)
    send(house.mechanic, 0, CUT, device=TABLET)
    send(house.office, 0, CUT)
    assert left(data_folder) == 3
    # The one that is whole first is kept, and the others hear so with their next piece.
    assert send(house.office, CUT, len(PHOTO)).answer == "kept"
    assert left(data_folder) == 0
    assert send(house.mechanic, 2 * CUT, len(PHOTO)).answer == "known"
    assert send(house.mechanic, 0, CUT, device=TABLET).answer == "known"
    assert left(data_folder) == 0
    assert has(house.mechanic) == ("held", 0)


def test_one_that_comes_whole_leaves_no_beginning(house: House, data_folder: Path) -> None:
    send(house.mechanic, 0, CUT)
    services.keep_attachment(house.office, SHA256, JPEG, PHOTO)
    assert left(data_folder) == 0


def test_what_was_erased_is_not_begun_and_its_beginnings_go(house: House, data_folder: Path) -> None:
    services.keep_attachment(house.mechanic, SHA256, JPEG, PHOTO)
    part = parts.part_of(SHA256, house.mechanic, TABLET)
    part.parent.mkdir()
    part.write_bytes(PHOTO[:CUT])
    services.erase(house.office, "attachment", SHA256, "a face in it")
    assert left(data_folder) == 0
    assert send(house.mechanic, 0, CUT).answer == "erased"
    assert send(house.mechanic, CUT, len(PHOTO), device=TABLET).answer == "erased"
    assert left(data_folder) == 0
    assert has(house.mechanic) == ("erased", 0)


def test_the_oldest_beginnings_of_a_person_make_room_and_no_others(house: House) -> None:
    other, began = sha("other"), timezone.now().timestamp() - 1_000
    send(house.office, 0, CUT, sha256=other)
    os.utime(parts.part_of(other, house.office, PHONE), (began - 1, began - 1))
    hashes = [sha(str(number)) for number in range(parts.MOST + 2)]
    for after, sha256 in enumerate(hashes):
        device = (PHONE, TABLET)[after % 2]
        send(house.mechanic, 0, CUT, sha256=sha256, device=device)
        os.utime(parts.part_of(sha256, house.mechanic, device), (began + after, began + after))
    there = [sha256 for sha256 in hashes if parts.part_of(sha256, house.mechanic, PHONE).exists()]
    there += [sha256 for sha256 in hashes if parts.part_of(sha256, house.mechanic, TABLET).exists()]
    assert sorted(there) == sorted(hashes[2:])
    assert has(house.office, other) == ("lacking", CUT)


def test_old_beginnings_go(house: House) -> None:
    send(house.mechanic, 0, CUT)
    old = (timezone.now() - parts.LONGEST - timedelta(minutes=1)).timestamp()
    os.utime(parts.part_of(SHA256, house.mechanic, PHONE), (old, old))
    send(house.office, 0, CUT, sha256=sha("other"))
    assert has(house.mechanic) == ("lacking", 0)
    assert has(house.office, sha("other")) == ("lacking", CUT)


@pytest.mark.django_db(transaction=True)
def test_beginnings_are_in_no_backup(house: House, data_folder: Path, tmp_path: Path) -> None:
    send(house.mechanic, 0, CUT)
    services.backup(tmp_path / "a.zip")
    with zipfile.ZipFile(tmp_path / "a.zip") as archive:
        assert not [name for name in archive.namelist() if "part" in name or SHA256 in name]
    # Over what is there they are gone on with; in a new house they are begun anew.
    services.restore(tmp_path / "a.zip", over=True)
    tom = Person.objects.get(sign_in="tom")
    assert has(tom) == ("lacking", CUT)
    for part in (data_folder / "parts").iterdir():
        part.unlink()
    assert begun(send(tom, CUT, len(PHOTO))) == ("does_not_fit", 0)


_KILLED = """
import os, signal, sys
from coldmark.cli import boot
boot.start()
from coldmark.records import services
from coldmark.records.models import Person
from tests.records.test_pieces import CUT, send
assert send(Person.objects.get(sign_in="tom"), 0, CUT).has == CUT
os.kill(os.getpid(), signal.SIGKILL)
"""
_ANOTHER = """
from coldmark.cli import boot
boot.start()
from coldmark.records.models import Person
from tests.records.test_pieces import CUT, PHOTO, has, send
tom = Person.objects.get(sign_in="tom")
assert has(tom) == ("lacking", CUT)
assert send(tom, CUT, len(PHOTO)).answer == "kept"
"""


@pytest.mark.skipif(connection.vendor != "sqlite", reason="processes of their own share a database file")
def test_a_process_killed_between_pieces_is_followed_by_one_that_goes_on(tmp_path: Path) -> None:
    folder = tmp_path / "house"
    assert run(folder, "-c", BUILD).stderr == ""
    killed = subprocess.run([sys.executable, "-c", _KILLED], env=environment(folder), check=False)
    assert killed.returncode == -signal.SIGKILL
    assert run(folder, "-c", _ANOTHER).stderr == ""
    kept = folder / "attachments" / SHA256[:2] / SHA256[2:4] / SHA256
    assert hashlib.sha256(kept.read_bytes()).hexdigest() == SHA256
