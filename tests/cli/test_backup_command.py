"""``coldmark backup`` and ``coldmark restore`` where the disk has lost a file."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coldmark import cli
from coldmark.records import files
from coldmark.records.models import Store
from tests.records.house import House
from tests.records.pictures import keep_photo

pytestmark = pytest.mark.django_db(transaction=True)  # a backup reads one moment, which no transaction may stand around


def test_it_says_what_it_lacks_and_is_made_all_the_same(
    house: House, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    photo = keep_photo(house.mechanic, 1)
    file = tmp_path / "one.zip"
    assert cli.run(["backup", str(file)]) == 0
    assert capsys.readouterr().err == ""
    files.path_of(files.ATTACHMENTS, photo).unlink()

    assert cli.run(["backup", str(tmp_path / "two.zip")]) == 0
    said = capsys.readouterr()
    assert "It lacks 1 file that is gone from this disk or damaged." in said.err
    assert (tmp_path / "two.zip").exists()

    assert cli.run(["backup", str(tmp_path / "three.zip"), "--json"]) == 0
    said = capsys.readouterr()
    assert json.loads(said.out)["lacking"] == [f"attachments/{photo}"]
    assert said.err == ""

    assert cli.run(["restore", str(tmp_path / "two.zip"), "--over"]) == 0
    assert "Files that the backup lacked already: 1." in capsys.readouterr().err


def test_what_is_given_up_is_said_and_waited_for_no_longer(
    house: House, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for shade in (1, 2):
        files.path_of(files.ATTACHMENTS, keep_photo(house.mechanic, shade)).unlink()
    assert cli.run(["backup", str(tmp_path / "one.zip")]) == 0
    assert "It lacks 2 files that are gone from this disk or damaged." in capsys.readouterr().err
    assert Store.objects.get().backed_up_to == 0
    assert cli.run(["backup", str(tmp_path / "two.zip"), "--give-up"]) == 0
    said = capsys.readouterr()
    assert "Without 2 files that nobody has any more." in said.out
    assert said.err == ""
    assert Store.objects.get().backed_up_to == Store.objects.get().next_arrival - 1
