"""``coldmark sheet``: checking a file, beginning a new one, the schema."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coldmark import cli
from coldmark.bench.sheet import json_schema, template


@pytest.fixture
def sheet_file(tmp_path: Path) -> Path:
    file = tmp_path / "digger.toml"
    file.write_text(template(), encoding="utf-8")
    return file


def test_a_sound_sheet_is_said_to_be_so(sheet_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["sheet", "check", str(sheet_file)]) == 0
    assert "nothing is wrong" in capsys.readouterr().out


def test_what_a_sound_sheet_had_better_have_is_said_and_the_code_stays_nought(
    sheet_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet_file.write_text(template().replace("holds_pressure = false", "holds_pressure = true"), encoding="utf-8")
    assert cli.run(["sheet", "check", str(sheet_file)]) == 0
    sound, head, remark = capsys.readouterr().out.splitlines()
    assert "nothing is wrong" in sound
    assert head == "Worth a look:"
    assert 'steps[2].housing = "return": it holds pressure after stopping' in remark
    assert cli.run(["sheet", "check", str(sheet_file), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["sound"]
    assert [one["key"] for one in told["remarks"]] == ["tasks.hyd_500.steps[2].housing"]


def test_all_faults_are_printed_with_their_lines_and_the_code_is_one(
    sheet_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = template().replace('"steel"', '"wood"', 1).replace("sprung = true", "sprung = 1", 1)
    sheet_file.write_text(text, encoding="utf-8")
    assert cli.run(["sheet", "check", str(sheet_file)]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    first, second = said.err.splitlines()
    assert first.endswith('hydraulic.tank.material = "wood": it must be one of steel, aluminium, plastic.')
    assert second.endswith("housings.return.sprung = 1: it must be true or false, without quotes.")
    assert cli.run(["sheet", "check", str(sheet_file), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert [fault["key"] for fault in told["faults"]] == ["hydraulic.tank.material", "housings.return.sprung"]
    assert text.splitlines()[told["faults"][0]["line"] - 1].startswith('material = "wood"')


def test_a_file_that_cannot_be_read_is_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["sheet", "check", str(tmp_path / "none.toml")]) == 1
    assert "cannot be read; give the path of a data sheet" in capsys.readouterr().err
    other = tmp_path / "latin.toml"
    other.write_bytes('maker = "Gerät"'.encode("latin-1"))
    assert cli.run(["sheet", "check", str(other)]) == 1
    assert "is not plain UTF-8 text" in capsys.readouterr().err


def test_a_new_sheet_is_the_template_of_its_kind(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["sheet", "new", "--kind", "telehandler"]) == 0
    assert capsys.readouterr().out == template("telehandler")
    assert cli.run(["sheet", "new", "--kind", "boat"]) == 1
    assert "kind = boat is not one of: excavator" in capsys.readouterr().err


def test_the_schema_is_printed_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["sheet", "schema"]) == 0
    assert json.loads(capsys.readouterr().out) == json_schema()


def test_misuse_is_two(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["sheet", "check"]) == 2
    assert capsys.readouterr().err
