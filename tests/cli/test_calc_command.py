"""``coldmark calc``: every calculation by its name, found by what one has in hand, explained on demand."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coldmark import cli
from coldmark.bench.catalogue import ENTRIES
from tests.bench.sum_examples import example_of


def _typed(key: str, folder: Path) -> list[str]:
    """An example as it is typed: a text of more than one line, and a table, as files."""
    pairs = []
    for name, value in example_of(ENTRIES[key]).items():
        text = json.dumps(value) if isinstance(value, list | tuple) else str(value)
        if "\n" in text or text.startswith("["):
            file = folder / name
            file.write_text(text, encoding="utf-8")
            text = f"@{file}"
        pairs.append(f"{name}={text}")
    return pairs


@pytest.mark.parametrize("key", ENTRIES)
def test_every_calculation_runs_from_the_command_line(
    key: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    typed = _typed(key, tmp_path)
    assert cli.run(["calc", key, *typed]) == 0
    says = capsys.readouterr().out
    assert cli.run(["calc", key, *typed, "--json"]) == 0
    plain = json.loads(capsys.readouterr().out)
    assert says.startswith("\n".join(plain["says"]))
    assert set(plain["fields"]) == set(ENTRIES[key].fields)


@pytest.mark.parametrize("key", ENTRIES)
def test_every_calculation_explains_itself_at_the_command_line(key: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["calc", key, "--how"]) == 0
    says = capsys.readouterr().out
    for part in (*ENTRIES[key].formulas, *ENTRIES[key].sources):
        assert part in says


def test_a_calculation_is_found_by_what_one_has_in_hand(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["calc", "--find", "cover tighten"]) == 0
    says = capsys.readouterr().out
    assert "bolt_order" in says
    assert "oil_density" not in says
    assert cli.run(["calc", "--find", "cover tighten", "--json"]) == 0
    assert list(json.loads(capsys.readouterr().out)) == ["bolt_order"]
    assert cli.run(["calc", "--find", "giraffe"]) == 0
    assert "No question has these words" in capsys.readouterr().out


def test_what_a_table_takes_is_listed_with_its_columns(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["calc", "debris_means"]) == 0
    says = capsys.readouterr().out
    assert "bronze_flakes, bright_metal" in says
    assert "seen, absent, not_looked" in says


@pytest.mark.parametrize("asked", [["--units", "us"], ["--units=us"]])
def test_what_cannot_be_is_refused_in_the_units_that_were_asked_for(
    asked: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    told = ["calc", "rod_volume", "kind=double", "bore_mm=50.8", "rod_mm=63.5", "stroke_mm=500", "count=1"]
    assert cli.run(told) == 1
    assert capsys.readouterr().err == "rod = 63.5 mm cannot be: the rod must be thinner than the bore, 50.8 mm.\n"
    assert cli.run([*told, *asked]) == 1
    said = "rod = 2.5 in cannot be: the rod must be thinner than the bore, 2 in."
    assert capsys.readouterr().err == f"{said}\n"
    assert cli.run([*told, *asked, "--json"]) == 1
    refused = json.loads(capsys.readouterr().out)
    assert refused == {"refused": said, "message": "refused.contradiction", "name": "rod_mm"}
