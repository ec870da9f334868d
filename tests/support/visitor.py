"""Somebody who has signed in: a browser's cookies and nothing else of a browser, for measures and plain requests."""

from __future__ import annotations

import re
from collections.abc import Iterator
from http.cookiejar import CookieJar
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, build_opener

from tests.support.server import DemoServer

__all__ = ["Visitor"]

_PATIENCE_S = 30


class Visitor:
    """One person at one server; the sign-in holds when the server is started anew."""

    def __init__(self, served: DemoServer) -> None:
        self.url = served.server.url
        self._open = build_opener(HTTPCookieProcessor(CookieJar())).open
        landed = self._send("/sign-in/", {"sign_in": served.name, "password": served.password})
        if landed != f"{self.url}/":
            raise RuntimeError(f"signing in as {served.name} led to {landed}")

    def get(self, path: str) -> bytes:
        """A page's or a paper's content; anything but an answer of 200 at this address raises."""
        with self._open(f"{self.url}{path}", None, _PATIENCE_S) as answer:
            if answer.url != f"{self.url}{path}":
                raise RuntimeError(f"{path} led to {answer.url}")
            content: bytes = answer.read()
            return content

    def look_round(self) -> None:
        """Open Today, a machine and a job that is done there, and issue its report as PDF."""
        job = next(job for machine in self._links("machines", "/") for job in self._done_jobs(machine))
        (id,) = re.findall(r'name="id" value="([^"]+)"', self._text(job))
        self._send(job, {"id": id})
        if not self.get(f"{job}report.pdf").startswith(b"%PDF"):
            raise RuntimeError(f"{job}report.pdf is no PDF")

    def _done_jobs(self, machine: str) -> Iterator[str]:
        """The jobs on a machine's page of which a report can be issued."""
        return (job for job in self._links("jobs", machine) if 'name="id"' in self._text(job))

    def _links(self, kind: str, path: str) -> list[str]:
        return list(dict.fromkeys(re.findall(rf'href="(/{kind}/[0-9a-f-]{{36}}/)"', self._text(path))))

    def _text(self, path: str) -> str:
        return self.get(path).decode("utf-8")

    def _send(self, path: str, told: dict[str, str]) -> str:
        """Send a form from its own page, and return where that led."""
        token = re.findall(r'name="csrfmiddlewaretoken" value="([^"]+)"', self._text(path))[0]
        content = urlencode(told | {"csrfmiddlewaretoken": token}).encode()
        with self._open(f"{self.url}{path}", content, _PATIENCE_S) as answer:
            return str(answer.url)
