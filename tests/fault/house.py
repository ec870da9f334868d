"""A house to be killed, backed up and put back: a real server on a data folder of its own, with one person in it."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import sqlite3
import subprocess
import threading
from collections.abc import Iterable
from contextlib import closing
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, build_opener

from tests.support.server import COLDMARK, Server

__all__ = ["SIGN_IN", "House", "Kept"]

SIGN_IN = {"sign_in": "ina", "password": "seven slow herons"}
_FIRST = {"business": "Wren Field Service", "name": "Ina Wren", "again": SIGN_IN["password"], **SIGN_IN}

Kept = dict[str, str]
"""Facts by id, each with the hash of its text."""


class House:
    """The server, what it has kept, and the last backup of it."""

    def __init__(self, folder: Path) -> None:
        self.server = Server(folder)
        self._backups = folder.with_name(folder.name + "-backups")
        self._backups.mkdir()
        self._last: Path | None = None
        self._count = 0
        self.running = False
        self._lock = threading.Lock()

    def start(self) -> House:
        """Start the server, also after it was killed."""
        self.server.start()
        self.running = True
        return self

    def kill(self) -> None:
        """Take its power away."""
        with self._lock:
            self.running = False
            self.server.kill()

    def begin(self) -> None:
        """Make the first person, who signs in from every phone."""
        self._form("/start/", _FIRST)
        self.backup()

    def sign_in(self) -> dict[str, str]:
        """Sign in as a browser does, and return its cookies."""
        return self._form("/sign-in/", SIGN_IN)

    def _form(self, path: str, told: dict[str, str]) -> dict[str, str]:
        jar = CookieJar()
        browser = build_opener(HTTPCookieProcessor(jar))
        url = f"{self.server.url}{path}"
        with browser.open(url, timeout=20) as page:
            (token,) = set(re.findall(r'name="csrfmiddlewaretoken" value="([^"]+)"', page.read().decode()))
        content = urlencode(told | {"csrfmiddlewaretoken": token}).encode()
        with browser.open(url, content, timeout=20) as landed:
            if path in landed.url:
                raise RuntimeError(f"{path} was not left: {landed.read().decode()[:2000]}")
        return {cookie.name: str(cookie.value) for cookie in jar}

    def backup(self) -> None:
        """Make a backup while it serves, or while it does not."""
        self._count += 1
        path = self._backups / f"{self._count}.zip"
        self._coldmark("backup", str(path))
        if self._last is not None:
            self._last.unlink()
        self._last = path

    def restore(self, *, burnt: bool) -> None:
        """Put the last backup in the place of what is there, or of nothing where the house has burnt down."""
        if self._last is None:
            raise RuntimeError("there is no backup yet")
        if self.running:
            self.kill()
        if burnt:
            shutil.rmtree(self.server.folder)
        self._coldmark("restore", str(self._last), *([] if burnt else ["--over"]))
        self.start()

    def _coldmark(self, *arguments: str) -> None:
        done = subprocess.run(
            [*COLDMARK, *arguments], env=self.server.environment(), capture_output=True, text=True, check=False
        )
        if done.returncode != 0:
            raise RuntimeError(f"coldmark {' '.join(arguments)}: {done.stdout}{done.stderr}")

    def facts(self, devices: Iterable[str]) -> Kept:
        """What the server has kept of these devices, the text's hash reckoned here; each number and id stands once."""
        rows = self._rows("select id, device, number, text, sha256 from records_fact")
        wanted = {device.replace("-", "") for device in devices}
        kept: Kept = {}
        numbers: set[tuple[str, int]] = set()
        for _, device, number, text, sha256 in rows:
            if device not in wanted:
                continue
            reckoned = hashlib.sha256(text.encode()).hexdigest()
            if reckoned != sha256:
                raise AssertionError(f"the text of number {number} of {device} is not the one that was hashed")
            id = json.loads(text)["id"]
            if id in kept or (device, number) in numbers:
                raise AssertionError(f"{id}, number {number} of {device}, is there twice")
            kept[id] = reckoned
            numbers.add((device, number))
        return kept

    def attachments(self) -> set[str]:
        """The attachments that the server has, each with the content that its name says."""
        hashes = {sha256 for (sha256,) in self._rows("select sha256 from records_attachment where erased_at is null")}
        for sha256 in hashes:
            path = self.server.folder / "attachments" / sha256[:2] / sha256[2:4] / sha256
            if hashlib.sha256(path.read_bytes()).hexdigest() != sha256:
                raise AssertionError(f"attachment {sha256} has another content")
        return hashes

    def lose(self, sha256: str) -> None:
        """Let the disk lose the file of an attachment."""
        (self.server.folder / "attachments" / sha256[:2] / sha256[2:4] / sha256).unlink()

    def stale(self) -> int:
        """How many machines could not be folded."""
        return int(self._rows("select count(*) from records_machinestate where stale")[0][0])

    def _rows(self, query: str) -> list[tuple]:  # type: ignore[type-arg]
        path = self.server.folder / "coldmark.sqlite3"
        with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as database:
            return database.execute(query).fetchall()
