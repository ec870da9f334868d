"""``coldmark level`` and ``coldmark calc``: two sentences first, then the working; refusals by name."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from coldmark import cli

SHEETS = Path(__file__).parents[2] / "src/coldmark/demo/sheets"
SHEET = str(SHEETS / "excavator_5t.toml")
OIL = str(SHEETS.parent / "oils" / "varnol_hm46.toml")
READ = ["level", SHEET, "--posture", "arm_out", "--oil", OIL]


def test_a_level_is_told_in_two_sentences_and_then_worked_out(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run([*READ, "--reading", "-0.05", "--oil-c", "8"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("Add ")
    assert lines[0].endswith(" L now.")
    assert lines[1] == "Hot, it will stand just under the upper mark."
    assert lines[2] == ""
    assert lines[3].startswith("1. Mass of all the oil: ")
    assert any("kg/m³" in line for line in lines)
    # The figures and what was assumed come after the working.
    working, figures, assumed = "\n".join(lines[3:]).split("\n\n")
    assert "Litres from this reading to where it may be filled" in working
    assert "Cold mark:" in figures
    assert "The coldest start is not told" in assumed


def test_what_more_may_go_in_is_said_and_is_what_the_working_works_out(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run([*READ, "--reading", "0.35", "--oil-c", "8"]) == 0
    said, working, figures, *_ = capsys.readouterr().out.split("\n\n")
    assert said.startswith("It is right as it is; up to 2.3 L more may go in.")
    assert re.search(r"where it may be filled \(negative: to drain off\): 2\.2\d+ L", working)
    assert "Up to this much more may go in: 2.3 L" in figures
    assert "add:" not in figures


def test_a_us_reader_gets_gallons_for_fahrenheit(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run([*READ, "--reading", "-0.05", "--oil-f", "46.4", "--units", "us"]) == 0
    assert capsys.readouterr().out.splitlines()[0].endswith(" gal now.")


def test_another_program_gets_the_values(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run([*READ, "--reading", "-0.05", "--oil-c", "8", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["fields"]["add_l"]["low"] < told["fields"]["add_l"]["value"] < told["fields"]["add_l"]["high"]
    assert told["fields"]["state"]["value"] == "low"


def test_rods_may_be_told_one_by_one_where_the_machine_cannot_move(capsys: pytest.CaptureFixture[str]) -> None:
    rods = [word for name in ("boom", "arm", "bucket", "blade", "swing") for word in ("--rod", f"{name}=0.5")]
    command = ["level", SHEET, "--reading", "-0.4", "--oil-c", "8", "--cannot-move", *rods]
    assert cli.run(command) == 0
    assert capsys.readouterr().out.startswith("Add between ")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--reading", "0.35", "--oil-c", "300"], "oil = 300 °C is outside -40 to 120 °C"),
        (["--reading", "half", "--oil-c", "8"], "reading = half is not a number"),
        (["--reading", "0.35"], "oil is not known"),
        (["--reading", "0.35", "--oil-c", "8", "--oil-f", "46"], "told already"),
    ],
)
def test_a_level_is_refused_by_name(arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run([*READ, *arguments]) == 1
    assert said in capsys.readouterr().err


def test_a_posture_is_asked_for_with_those_of_the_sheet(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["level", SHEET, "--reading", "0.35", "--oil-c", "8", "--posture", "upside_down"]) == 1
    assert "arm_out" in capsys.readouterr().err


def test_a_sheet_that_is_not_there_is_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["level", str(tmp_path / "none.toml"), "--reading", "0.35", "--oil-c", "8"]) == 1
    assert "give the path of a file" in capsys.readouterr().err


def test_calculations_are_listed_with_their_questions(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["calc"]) == 0
    said = capsys.readouterr().out
    assert "How much oil does a rod draw from the tank?" in said
    assert cli.run(["calc", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["oil_density"] == "How heavy is the oil at a temperature?"


def test_a_calculation_without_values_says_what_it_needs(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["calc", "oil_density", "--units", "us"]) == 0
    said = capsys.readouterr().out
    assert "-58 to 302 °F" in said
    assert cli.run(["calc", "tank_volume"]) == 0
    assert "rows of height_mm, filled_l" in capsys.readouterr().out


def test_a_calculation_runs_on_key_value_and_on_files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["calc", "rod_volume", "bore_mm=100", "rod_mm=56", "stroke_mm=800"]) == 0
    assert capsys.readouterr().out.startswith("It draws 2.0 L from the tank.\n")
    pours = tmp_path / "pours.csv"
    pours.write_text("before,litres_l,after,oil_c,jug_c\n0.2,2.0,0.7,20\n", encoding="utf-8")
    assert cli.run(["calc", "litres_between", f"pours=@{pours}"]) == 0
    assert capsys.readouterr().out.startswith("About 4.0 L lie between the marks")


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["oil_density", "t_c=warm"], 1),
        (["oil_density", "colour=amber"], 1),
        (["weather"], 1),
        (["oil_density", "t_c"], 2),
        (["oil_density", "t_c=20", "t_c=30"], 2),
    ],
)
def test_a_value_is_refused_with_1_and_a_misused_command_line_with_2(
    arguments: list[str], code: int, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.run(["calc", *arguments]) == code
    assert capsys.readouterr().err
