"""A server as people run it: ``coldmark serve`` in a process of its own, on a data folder of its own."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import signal
import socket
import ssl
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from coldmark.records.folder import demo_mark

COLDMARK = (sys.executable, "-m", "coldmark.cli")
SERVE = (*COLDMARK, "serve")
STARTS_WITHIN_S = 60.0


class Server:
    """One data folder and the server on it, which may be stopped, killed and started again on the same port."""

    def __init__(
        self, folder: Path, *options: str, command: tuple[str, ...] = SERVE, certificate: Path | None = None
    ) -> None:
        self.folder = folder
        self.tls = ssl.create_default_context(cafile=certificate) if certificate else None
        self.options = options
        self.command = command
        self.port = free_port()
        self.log = folder.with_name(folder.name + ".log")
        self._process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        """The server's address without a slash at its end."""
        return f"https://localhost:{self.port}" if self.tls else f"http://127.0.0.1:{self.port}"

    @property
    def pid(self) -> int:
        """The process that was started."""
        if self._process is None:
            raise RuntimeError("the server is not running")
        return self._process.pid

    def environment(self) -> dict[str, str]:
        """This process's environment with the server's data folder."""
        return {**os.environ, "COLDMARK_DATA": str(self.folder)}

    def start(self) -> Server:
        """Start it and wait until it answers."""
        command = (*self.command, "--port", str(self.port), *self.options)
        with self.log.open("ab") as log:
            # A session of its own, so that kill() takes the workers along and nothing else.
            self._process = subprocess.Popen(
                command, env=self.environment(), stdout=log, stderr=subprocess.STDOUT, start_new_session=True
            )
        try:
            wait_until(self._answers, within_s=STARTS_WITHIN_S, what=f"{self.url} to answer")
        except BaseException:
            self.kill()
            raise
        return self

    def _answers(self) -> bool:
        if self._process is None or self._process.poll() is not None:
            raise RuntimeError(f"the server ended by itself:\n{self.log.read_text()}")
        try:
            return self.get("/static/web/site.css")[0] > 0
        except OSError:
            return False

    def get(self, path: str, headers: dict[str, str] | None = None) -> tuple[int, dict[str, str], str]:
        """One request without a browser: status, headers (names in small letters) and text."""
        connection = self._connection()
        try:
            connection.request("GET", path, headers=headers or {})
            answer = connection.getresponse()
            return (
                answer.status,
                {name.lower(): value for name, value in answer.getheaders()},
                answer.read().decode("utf-8", errors="replace"),
            )
        finally:
            connection.close()

    def _connection(self) -> http.client.HTTPConnection:
        if self.tls is not None:
            return http.client.HTTPSConnection("localhost", self.port, timeout=10, context=self.tls)
        return http.client.HTTPConnection("127.0.0.1", self.port, timeout=10)

    def stop(self) -> None:
        """Ask it to stop, as Ctrl+C does, and wait."""
        if self._process is not None:
            self._process.send_signal(signal.SIGINT)
            try:
                self._process.wait(timeout=20)
            except subprocess.TimeoutExpired:
                self.kill()
                raise
            self._process = None

    def kill(self) -> None:
        """End it and its workers at once, as a power cut does."""
        if self._process is not None:
            with contextlib.suppress(ProcessLookupError):  # it ended by itself
                os.killpg(self._process.pid, signal.SIGKILL)
            self._process.wait()
            self._process = None


@dataclass(frozen=True)
class DemoServer:
    """A server on the loaded demo, and the demo's sign-in."""

    server: Server
    name: str
    password: str

    @classmethod
    def of(cls, server: Server) -> DemoServer:
        """The server with the sign-in that loading the demo left in its folder."""
        sign_in = json.loads(demo_mark(server.folder).read_text(encoding="utf-8"))
        return cls(server, sign_in["name"], sign_in["password"])


def free_port() -> int:
    """A port that nobody listens on at this moment."""
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return int(trial.getsockname()[1])


def wait_until(true: Callable[[], bool], *, within_s: float, what: str) -> None:
    """Ask again and again, briefly apart, until the answer is yes; complain when it never is."""
    pause = threading.Event()
    end = time.monotonic() + within_s
    while not true():
        if time.monotonic() > end:
            raise TimeoutError(f"waited {within_s:g} s for {what}")
        pause.wait(0.02)
