"""``coldmark serve`` as people run it: in a process of its own, on a folder that did not exist a moment ago."""

from __future__ import annotations

import re
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest

from coldmark.records.folder import demo_mark
from tests.support.server import DemoServer, Server, wait_until

pytestmark = pytest.mark.slow
SUPPORT = Path(__file__).parents[1] / "support"


@pytest.fixture(scope="module")
def running(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """One server for the tests that only ask."""
    served = Server(tmp_path_factory.mktemp("running") / "house")
    try:
        yield served.start()
    finally:
        served.kill()


def first_person(served: Server) -> None:
    """Make the first person of a house that is not being served, as its page does."""
    code = (
        "from coldmark.cli import boot; boot.start(); from coldmark.records import services; "
        "services.first_person('Ina Orr', 'ina', 'seven slow herons')"
    )
    subprocess.run([sys.executable, "-c", code], env=served.environment(), check=True)


def resident_mib(pid: int) -> float:
    process = psutil.Process(pid)
    return sum(each.memory_info().rss for each in (process, *process.children(recursive=True))) / 2**20


def test_a_new_folder_becomes_a_house_that_answers(running: Server) -> None:
    status, headers, _ = running.get("/no-such-page/")
    assert status == 404
    assert "default-src 'none'" in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"
    assert "strict-transport-security" not in headers
    assert {path.name for path in running.folder.iterdir()} >= {"coldmark.sqlite3", "attachments", "secret"}
    assert (running.folder / "secret").stat().st_mode & 0o777 == 0o600


def test_static_files_come_from_where_they_are_installed(running: Server) -> None:
    status, headers, text = running.get("/static/web/site.css")
    assert status == 200
    assert headers["content-type"].startswith("text/css")
    assert "{" in text


def test_it_answers_only_to_its_own_names(running: Server) -> None:
    assert running.get("/no-such-page/", {"Host": "elsewhere.example"})[0] == 400


def test_memory_stays_small(running: Server) -> None:
    running.get("/no-such-page/")
    assert resident_mib(running.pid) < 200


def test_a_thread_keeps_its_database_open_from_one_answer_to_the_next(running: Server) -> None:
    # The last connection to be closed would take the log away, after it has brought it over into the file.
    assert running.get("/sign-in/")[0] < 400
    assert (running.folder / "coldmark.sqlite3-wal").exists()


def test_it_stops_when_asked_and_starts_again_on_the_same_folder(server: Server) -> None:
    secret = (server.folder / "secret").read_text()
    server.stop()
    with socket.socket() as trial:
        assert trial.connect_ex(("127.0.0.1", server.port)) != 0
    server.start()
    assert server.get("/no-such-page/")[0] == 404
    assert (server.folder / "secret").read_text() == secret


def test_killed_it_leaves_no_worker_and_starts_again(server: Server) -> None:
    workers = psutil.Process(server.pid).children(recursive=True)
    server.kill()
    wait_until(lambda: not any(map(runs, workers)), within_s=10, what="the workers to end")
    server.start()
    assert server.get("/no-such-page/")[0] == 404


def runs(process: psutil.Process) -> bool:
    return process.is_running() and process.status() != psutil.STATUS_ZOMBIE


def test_the_demo_refuses_what_came_through_a_proxy(server: Server) -> None:
    demo_mark(server.folder).write_text('{"name": "a", "password": "b"}')
    assert server.get("/no-such-page/")[0] == 404
    status, _, text = server.get("/no-such-page/", {"X-Forwarded-For": "192.0.2.9"})
    assert status == 403
    assert "demo" in text


def test_over_https_cookies_and_pages_are_kept_to_https(tmp_path: Path) -> None:
    # A certificate for tests alone, its key open to all who read this; nobody else trusts it.
    cert, key = SUPPORT / "localhost-cert.pem", SUPPORT / "localhost-key.pem"
    served = Server(tmp_path / "house", "--cert", str(cert), "--key", str(key), certificate=cert)
    try:
        headers = served.start().get("/no-such-page/")[1]
    finally:
        served.kill()
    assert headers["strict-transport-security"] == "max-age=31536000"


def test_a_second_server_on_the_port_is_refused_in_a_sentence(running: Server, tmp_path: Path) -> None:
    second = Server(tmp_path / "another")
    second.port = running.port
    done = subprocess.run(
        [*second.command, "--port", str(second.port)],
        env=second.environment(),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert (
        done.stderr
        == f"port = {running.port} is taken on 127.0.0.1; stop what runs there, or give another with --port.\n"
    )


def test_an_empty_house_that_others_can_reach_prints_a_start_code_and_only_while_it_is_empty(tmp_path: Path) -> None:
    served = Server(tmp_path / "house", "--host", "0.0.0.0")
    try:
        served.start()
        printed = re.search(r"start code ([a-z0-9]{4}-[a-z0-9]{4})$", served.log.read_text(), re.MULTILINE)
        assert printed is not None
        page = served.get("/start/")[2]
        assert 'name="start_code"' in page
        assert printed[1] not in page
        served.stop()
        served.start()
        assert len({*re.findall(r"start code (\S+)", served.log.read_text())}) == 2
        served.stop()
        first_person(served)
        served.log.write_text("")
        served.start()
        assert "start code" not in served.log.read_text()
    finally:
        served.kill()


def test_behind_a_proxy_an_empty_house_prints_a_start_code_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLDMARK_PROXY", "1")
    served = Server(tmp_path / "house")
    try:
        assert "start code" in served.start().log.read_text()
    finally:
        served.kill()


def test_on_this_machine_alone_no_start_code_is_needed(running: Server) -> None:
    assert "start code" not in running.log.read_text()
    assert 'name="start_code"' not in running.get("/start/")[2]


def test_told_to_it_loads_the_demo_where_nothing_is_kept_and_prints_its_sign_in(tmp_path: Path) -> None:
    served = Server(tmp_path / "house", "--demo")
    try:
        sign_in = DemoServer.of(served.start())
        assert f"sign in as {sign_in.name} with {sign_in.password}" in served.log.read_text()
        served.stop()
        served.start()
        assert DemoServer.of(served) == sign_in
    finally:
        served.kill()
