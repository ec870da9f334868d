"""The command line: one sentence for a refusal, and an exit code that tells a refusal from misuse."""

from __future__ import annotations

import json
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from coldmark import cli
from coldmark.bench.errors import OutOfRange
from coldmark.cli.serve import _names
from coldmark.records.folder import demo_mark, prepare


@pytest.fixture
def taken_port() -> Iterator[int]:
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        listening.listen()
        yield listening.getsockname()[1]


def test_misuse_is_two(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["serve", "--port", "none"]) == 2
    assert cli.run(["no-such-command"]) == 2
    assert "no-such-command" in capsys.readouterr().err


def test_the_version_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["--version"]) == 0
    assert capsys.readouterr().out == "coldmark 0.1.0\n"


def test_a_refusal_is_one_and_one_sentence(capsys: pytest.CaptureFixture[str], taken_port: int) -> None:
    assert cli.run(["serve", "--port", str(taken_port)]) == 1
    said = capsys.readouterr()
    assert (
        said.err == f"port = {taken_port} is taken on 127.0.0.1; stop what runs there, or give another with --port.\n"
    )
    assert said.out == ""


def test_a_refusal_as_json_names_the_field(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(as_json: cli.Json = False) -> None:
        raise OutOfRange(name="oil_c", value=400, low=-40, high=150, source="the method")

    app = cli.build_app()
    app.command("refuse")(refuse)
    monkeypatch.setattr(cli, "build_app", lambda: app)
    assert cli.run(["refuse", "--json"]) == 1
    said = json.loads(capsys.readouterr().out)
    assert said["name"] == "oil_c"
    assert said["message"] == "refused.range"
    assert "400" in said["refused"]


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        (["--cert", str(Path(__file__))], "key"),
        (["--key", str(Path(__file__))], "cert"),
        (["--cert", "there-is-none.pem", "--key", "nor-this.pem"], "cert"),
        (["--host", "192.0.2.1"], "host"),
    ],
)
def test_serve_names_what_is_wrong(arguments: list[str], name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["serve", *arguments]) == 1
    assert capsys.readouterr().err.startswith(name)


def test_the_demo_is_not_served_to_others(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    prepare(tmp_path)
    demo_mark(tmp_path).write_text("{}")
    monkeypatch.setenv("COLDMARK_DATA", str(tmp_path))
    assert cli.run(["serve", "--host", "0.0.0.0"]) == 1
    assert "holds the demo" in capsys.readouterr().err


def test_a_server_for_all_answers_to_this_machines_name(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("COLDMARK_HOSTS", raising=False)
    assert _names("127.0.0.1", []) == []
    assert _names("192.0.2.5", ["shop.example"]) == ["shop.example", "192.0.2.5"]
    assert socket.gethostname() in _names("0.0.0.0", [])


def test_commands_start_without_django_or_any_other_heavy_library() -> None:
    heavy = ("django", "typst", "granian", "icalendar", "numpy", "psycopg")
    code = f"""
import sys
from coldmark import cli
cli.build_app()
print([name for name in {heavy!r} if name in sys.modules])
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"
