"""A backup is never put back beneath a server that serves: the folder is the servers', or a restore's alone."""

from __future__ import annotations

import os
import signal
import subprocess
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest

from coldmark.bench.errors import Refused
from coldmark.records.turns import alone_in, serve_from
from tests.support.server import COLDMARK, Server, wait_until


@pytest.fixture
def shared(tmp_path: Path) -> Iterator[int]:
    """A folder that somebody serves from; the open file that says so."""
    held = serve_from(tmp_path)
    yield held
    os.close(held)


def test_servers_share_a_folder(shared: int, tmp_path: Path) -> None:
    os.close(serve_from(tmp_path))


def test_a_restore_waits_for_no_server_it_refuses(shared: int, tmp_path: Path) -> None:
    with pytest.raises(Refused, match=r"^A server serves .* Stop the server"), alone_in(tmp_path):
        pytest.fail("two at once")


def test_no_server_starts_beneath_a_restore_and_no_second_restore(tmp_path: Path) -> None:
    with alone_in(tmp_path):
        with pytest.raises(Refused, match="being restored"):
            serve_from(tmp_path)
        with pytest.raises(Refused), alone_in(tmp_path):
            pytest.fail("two at once")
    os.close(serve_from(tmp_path))


def test_a_restore_that_fails_leaves_the_folder_free(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError), alone_in(tmp_path):
        raise RuntimeError
    os.close(serve_from(tmp_path))


def test_the_mark_is_its_owners_alone(shared: int) -> None:
    assert os.fstat(shared).st_mode & 0o777 == 0o600


def restore(server: Server, backup: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*COLDMARK, "restore", str(backup), "--over"],
        env=server.environment(),
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )


@pytest.fixture
def backup(server: Server, tmp_path: Path) -> Path:
    """A backup taken while the server serves."""
    made = tmp_path / "backup.zip"
    subprocess.run([*COLDMARK, "backup", str(made)], env=server.environment(), check=True, capture_output=True)
    return made


@pytest.mark.slow
def test_restore_refuses_while_a_server_serves_and_not_once_it_is_stopped(server: Server, backup: Path) -> None:
    refused = restore(server, backup)
    assert (refused.returncode, refused.stdout) == (1, "")
    assert refused.stderr.startswith(f"A server serves {server.folder}, or a restore is at work there. Stop the server")
    assert server.get("/sign-in/")[0] < 400
    server.stop()
    assert restore(server, backup).returncode == 0
    server.start()


@pytest.mark.slow
def test_a_killed_server_leaves_no_lock_but_its_worker_keeps_it_while_it_lives(server: Server, backup: Path) -> None:
    (worker, *_) = [one for one in psutil.Process(server.pid).children(recursive=True) if len(one.cmdline()) > 1]
    worker.suspend()  # so that it cannot see that its server is gone
    os.kill(server.pid, signal.SIGKILL)
    assert restore(server, backup).returncode == 1
    server.kill()
    wait_until(lambda: not worker.is_running(), within_s=10, what="the worker to end")
    assert restore(server, backup).returncode == 0
