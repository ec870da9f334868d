"""A backup of a house whose disk has lost files: it is made, says what it lacks, and lets no phone forget."""

from __future__ import annotations

import errno
import json
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path

import pytest

from coldmark.bench.errors import Refused
from coldmark.records import files, services
from coldmark.records.models import Attachment, Document, Fact, Store
from coldmark.records.services.attachments import JPEG
from tests.records.house import House
from tests.records.pictures import a_photo, keep_photo
from tests.records.test_backup import house, lose_everything

__all__ = ["house"]

pytestmark = pytest.mark.django_db(transaction=True)


def lose(shelf: str, sha256: str) -> None:
    """As where a database is put back without its files: nobody erased it."""
    files.path_of(shelf, sha256).unlink()


def a_paper() -> str:
    return Document.objects.get().sha256


def named(file: Path) -> list[str]:
    with zipfile.ZipFile(file) as archive:
        return list(json.loads(archive.read("coldmark.json"))["lacking"])


def test_it_is_made_and_names_what_it_lacks(house: House, tmp_path: Path) -> None:
    lose(files.ATTACHMENTS, a_photo(1)[0])
    lose(files.DOCUMENTS, a_paper())
    made = services.backup(tmp_path / "backup.zip")
    lacking = (f"attachments/{a_photo(1)[0]}", f"documents/{a_paper()}")
    assert made.lacking == lacking
    assert named(tmp_path / "backup.zip") == list(lacking)
    assert (made.facts, made.files) == (Fact.objects.count(), 1)


def test_phones_keep_what_they_have_until_a_backup_lacks_nothing(house: House, tmp_path: Path) -> None:
    covered = services.backup(tmp_path / "first.zip").arrival
    photo = keep_photo(house.mechanic, 3)
    house.phone.send(house.phone.fact("photo", {"photo": photo, "of": "glass"}, at=house.days(10)))
    lose(files.ATTACHMENTS, photo)
    made = services.backup(tmp_path / "second.zip")
    told = services.lacking_attachments(house.mechanic, [photo])
    assert [one.answer for one in told.answers] == ["lacking"]
    assert told.backed_up_to == Store.objects.get().backed_up_to == covered < made.arrival
    # The phone sends it again, and the next backup covers it.
    again = services.keep_attachment(house.mechanic, photo, JPEG, a_photo(3)[1])
    assert again.backed_up_to == covered
    assert services.read_attachment(house.mechanic, photo).content == a_photo(3)[1]
    whole = services.backup(tmp_path / "third.zip")
    assert whole.lacking == ()
    assert Store.objects.get().backed_up_to == whole.arrival == made.arrival
    assert Store.objects.get().lacking == 0


def test_a_file_that_comes_back_in_pieces_is_there_again(house: House, tmp_path: Path) -> None:
    sha256, content = a_photo(1)
    lose(files.ATTACHMENTS, sha256)
    half = len(content) // 2
    for first, piece in ((0, content[:half]), (half, content[half:])):
        services.keep_piece(
            house.mechanic, sha256, JPEG, piece, first=first, total=len(content), device=house.phone.device
        )
    assert services.backup(tmp_path / "backup.zip").lacking == ()


def test_it_restores_without_what_it_lacked_and_waits_for_the_phones(
    house: House, data_folder: Path, tmp_path: Path
) -> None:
    lose(files.ATTACHMENTS, a_photo(1)[0])
    lose(files.DOCUMENTS, a_paper())
    made = services.backup(tmp_path / "backup.zip")
    lose_everything(data_folder)
    done = services.restore(tmp_path / "backup.zip")
    assert (done.facts, done.files, done.lacking) == (made.facts, 1, 2)
    assert Attachment.objects.filter(erased_at__isnull=True).count() == 2
    store = Store.objects.get()
    assert (store.backed_up_to, store.lacking) == (0, 2)
    assert store.backed_up_at is not None
    services.keep_attachment(house.mechanic, a_photo(1)[0], JPEG, a_photo(1)[1])
    assert services.backup(tmp_path / "next.zip").lacking == (f"documents/{a_paper()}",)


def test_what_is_here_already_is_not_lacking_after_a_restore(house: House, tmp_path: Path) -> None:
    lose(files.ATTACHMENTS, a_photo(1)[0])
    services.backup(tmp_path / "backup.zip")
    services.keep_attachment(house.mechanic, a_photo(1)[0], JPEG, a_photo(1)[1])
    assert services.restore(tmp_path / "backup.zip", over=True).lacking == 0
    assert services.read_attachment(house.mechanic, a_photo(1)[0]).content == a_photo(1)[1]


@pytest.mark.parametrize("gone", ["attachments/", "documents/"])
def test_a_file_that_goes_from_the_backup_itself_is_still_missed(
    house: House, data_folder: Path, tmp_path: Path, gone: str
) -> None:
    lose(files.ATTACHMENTS, a_photo(1)[0])
    whole, cut = tmp_path / "backup.zip", tmp_path / "cut.zip"
    services.backup(whole)
    with zipfile.ZipFile(whole) as told, zipfile.ZipFile(cut, "w") as less:
        dropped = next(name for name in told.namelist() if name.startswith(gone))
        for name in told.namelist():
            if name != dropped:
                less.writestr(name, told.read(name))
    lose_everything(data_folder)
    with pytest.raises(Refused, match="is missing"):
        services.restore(cut)
    assert not Fact.objects.exists()


def test_what_is_erased_while_it_is_made_is_not_lacking(
    house: House, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The rows have been read, the files have not: the erasure falls in between."""
    read, paper = files.read, a_paper()

    def erased_first(shelf: str, sha256: str) -> bytes | None:
        if sha256 == a_photo(1)[0]:
            services.erase(house.office, "attachment", sha256, "a face on it")
            services.erase(house.office, "document", paper, "asked to")
        return read(shelf, sha256)

    monkeypatch.setattr(files, "read", erased_first)
    # Hashes come in order, and the paper comes last: neither has been read by then.
    made = services.backup(tmp_path / "backup.zip")
    assert files.read(files.DOCUMENTS, paper) is None
    assert (made.lacking, named(tmp_path / "backup.zip")) == ((), [])
    assert Store.objects.get().backed_up_to == made.arrival


def test_an_erased_paper_excuses_no_photo_of_the_same_hash(house: House, tmp_path: Path) -> None:
    photo, paper = a_photo(1)[0], a_paper()
    Document.objects.filter(sha256=paper).update(sha256=photo)
    lose(files.ATTACHMENTS, photo)
    services.erase(house.office, "document", photo, "asked to")
    assert services.backup(tmp_path / "backup.zip").lacking == (f"attachments/{photo}",)


def test_what_the_office_gives_up_holds_nothing_back_any_more(house: House, data_folder: Path, tmp_path: Path) -> None:
    photo = a_photo(1)[0]
    lose(files.ATTACHMENTS, photo)
    services.backup(tmp_path / "first.zip")
    made = services.backup(tmp_path / "second.zip", give_up=True)
    assert (made.lacking, made.given_up) == ((), (f"attachments/{photo}",))
    assert Store.objects.get().backed_up_to == made.arrival
    # It stays given up, here and where it is restored, and another one that is lost holds back as ever.
    lose_everything(data_folder)
    done = services.restore(tmp_path / "second.zip")
    assert (done.lacking, done.given_up) == (0, 1)
    assert Store.objects.get().backed_up_to == made.arrival
    lose(files.DOCUMENTS, a_paper())
    assert services.backup(tmp_path / "third.zip").lacking == (f"documents/{a_paper()}",)


def test_no_more_is_given_up_than_a_backup_has_named(house: House, tmp_path: Path) -> None:
    lose(files.ATTACHMENTS, a_photo(1)[0])
    with pytest.raises(Refused, match="not on this disk now: 1; the last backup named 0"):
        services.backup(tmp_path / "never.zip", give_up=True)
    services.backup(tmp_path / "first.zip")
    lose(files.DOCUMENTS, a_paper())  # the whole folder is not where it was, say
    with pytest.raises(Refused, match="not on this disk now: 2; the last backup named 1"):
        services.backup(tmp_path / "never.zip", give_up=True)
    assert not (tmp_path / "never.zip").exists()
    assert services.backup(tmp_path / "second.zip").given_up == ()


def test_what_was_given_up_is_welcome_all_the_same(house: House, tmp_path: Path) -> None:
    sha256, content = a_photo(1)
    lose(files.ATTACHMENTS, sha256)
    services.backup(tmp_path / "named.zip")
    services.backup(tmp_path / "first.zip", give_up=True)
    assert services.lacking_attachments(house.mechanic, [sha256]).answers[0].answer == "lacking"
    services.keep_attachment(house.mechanic, sha256, JPEG, content)
    lose(files.ATTACHMENTS, sha256)
    assert services.backup(tmp_path / "second.zip").lacking == (f"attachments/{sha256}",)


@contextmanager
def unreadable(path: Path, number: int) -> Iterator[None]:
    """The disk fails where this file lies."""
    read = Path.read_bytes

    def failing(self: Path) -> bytes:
        if self == path:
            raise OSError(number, "no")
        return read(self)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Path, "read_bytes", failing)
        yield


@pytest.mark.parametrize("how", ["changed", "cut", "unreadable"])
def test_a_damaged_file_is_lacking_and_is_asked_for(house: House, data_folder: Path, tmp_path: Path, how: str) -> None:
    sha256, content = a_photo(1)
    path = files.path_of(files.ATTACHMENTS, sha256)
    if how == "changed":
        path.write_bytes(content[:-9] + b"?" + content[-8:])
    elif how == "cut":
        path.write_bytes(content[:50])
    with unreadable(path, errno.EIO) if how == "unreadable" else nullcontext():
        made = services.backup(tmp_path / "backup.zip")
    assert made.lacking == (f"attachments/{sha256}",)
    assert Store.objects.get().backed_up_to == 0
    assert services.lacking_attachments(house.mechanic, [sha256]).answers[0].answer == "lacking"
    lose_everything(data_folder)
    assert services.restore(tmp_path / "backup.zip").lacking == 1
    services.keep_attachment(house.mechanic, sha256, JPEG, content)
    assert services.backup(tmp_path / "next.zip").lacking == ()


def test_a_failing_disk_that_takes_no_writing_is_backed_up_all_the_same(
    house: House, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_told: object) -> Path:
        raise OSError(errno.EROFS, "read-only")

    path = files.path_of(files.ATTACHMENTS, a_photo(1)[0])
    path.write_bytes(b"damaged")
    replace = Path.replace
    monkeypatch.setattr(Path, "replace", lambda one, to: refuse() if one == path else replace(one, to))
    assert services.backup(tmp_path / "backup.zip").lacking == (f"attachments/{path.name}",)


def test_what_is_left_of_a_damaged_file_goes_with_its_erasure(house: House, tmp_path: Path) -> None:
    path = files.path_of(files.ATTACHMENTS, a_photo(1)[0])
    path.write_bytes(b"a part of a face")
    services.backup(tmp_path / "backup.zip")
    assert [one.read_bytes() for one in path.parent.iterdir()] == [b"a part of a face"]
    services.erase(house.office, "attachment", a_photo(1)[0], "a face on it")
    assert list(path.parent.iterdir()) == []


def test_a_file_that_may_not_be_read_is_not_taken_for_damaged(house: House, tmp_path: Path) -> None:
    path = files.path_of(files.ATTACHMENTS, a_photo(1)[0])
    with unreadable(path, errno.EACCES), pytest.raises(OSError, match="no"):
        services.backup(tmp_path / "backup.zip")
    assert services.read_attachment(house.mechanic, a_photo(1)[0]).content == a_photo(1)[1]
    assert list(tmp_path.glob("*.zip")) == []
