"""The files that the app at the machine opens by."""

from __future__ import annotations

import json
import struct
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.test import Client

FILES = [
    ("/phone/", "shell.html", "text/html; charset=utf-8"),
    ("/phone/sw.js", "sw.js", "text/javascript; charset=utf-8"),
    ("/phone/worker.js", "worker.js", "text/javascript; charset=utf-8"),
    ("/phone/app.webmanifest", "app.webmanifest", "application/manifest+json; charset=utf-8"),
]

ROOT = Path(__file__).parents[2]

pytestmark = pytest.mark.django_db


@pytest.fixture
def built(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """What a build makes, as far as it is served from here."""
    (tmp_path / "phone").mkdir()
    for _address, name, _kind in FILES:
        (tmp_path / "phone" / name).write_text(f"built: {name}", encoding="utf-8")
    monkeypatch.setattr(finders, "find", lambda name: str(tmp_path / name) if (tmp_path / name).exists() else None)
    return tmp_path / "phone"


@pytest.mark.parametrize(("address", "name", "kind"), FILES)
def test_everybody_gets_the_same_bytes_as_were_built(built: Path, address: str, name: str, kind: str) -> None:
    answer = Client().get(address)
    assert (answer.status_code, answer["Content-Type"]) == (200, kind)
    assert answer.content == (built / name).read_bytes()
    assert not answer.cookies
    assert "no-store" in answer["Cache-Control"] or "no-cache" in answer["Cache-Control"]
    assert "'wasm-unsafe-eval'" in answer["Content-Security-Policy"]


@pytest.mark.parametrize(("address", "name", "kind"), FILES)
def test_an_app_that_was_never_built_says_so(built: Path, address: str, name: str, kind: str) -> None:
    (built / name).unlink()
    answer = Client().get(address)
    assert answer.status_code == 503
    assert "never built" in answer.text


def test_the_icons_that_the_manifest_names_are_there_and_as_large_as_it_says() -> None:
    manifest = json.loads((ROOT / "phone" / "app.webmanifest").read_text(encoding="utf-8"))
    assert (manifest["scope"], manifest["start_url"], manifest["display"]) == ("/phone/", "/phone/", "standalone")
    assert {icon["purpose"] for icon in manifest["icons"]} == {"any", "maskable"}
    for icon in manifest["icons"]:
        answer = Client().get(icon["src"])
        content = b"".join(answer.streaming_content)  # type: ignore[attr-defined]
        answer.close()
        width, height = struct.unpack(">II", content[16:24])
        assert (answer["Content-Type"], f"{width}x{height}") == (icon["type"], icon["sizes"])


@pytest.mark.parametrize(("address", "name", "kind"), FILES)
def test_nothing_is_sent_to_it(built: Path, address: str, name: str, kind: str) -> None:
    assert Client().post(address).status_code == 405
