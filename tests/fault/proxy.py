"""A network between phone and server that makes faults on order, each of a kind that networks and servers make."""

from __future__ import annotations

import contextlib
import http.client
import select
import socket
import struct
import threading
from collections import Counter, deque
from collections.abc import Callable, Iterable
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from random import Random

__all__ = ["FAULTS", "KILLING", "Fault", "FaultyNetwork", "flapping"]

Fault = Literal[
    "pass",
    "error",  # 500 from the server, before it kept anything
    "error_after",  # 500 once it had kept everything
    "hang",  # nothing arrives, and no answer comes until the phone gives up
    "late",  # the phone gives up, and then the request arrives all the same
    "drop_after",  # the server keeps it, and the answer is lost
    "reset",  # the connection is cut before anything arrives
    "cut",  # half of the answer, then the connection is cut
    "twice",  # the request arrives twice
    "page",  # a network's own page in the place of the answer
    "page_as_json",  # the same, which calls itself JSON
    "redirect",  # elsewhere
    "too_large",
    "too_many",
    "signed_out",
    "kill_after",  # the server keeps it and is killed before it answers
    "kill_amid",  # the server is killed while it is at it
]
FAULTS: tuple[Fault, ...] = (
    *("error", "error_after", "hang", "late", "drop_after", "reset", "cut", "twice"),
    *("page", "page_as_json", "redirect", "too_large", "too_many", "signed_out"),
)
KILLING: tuple[Fault, ...] = ("kill_after", "kill_amid")
_AWAY: tuple[Fault, ...] = ("reset", "drop_after", "cut")

_PAGE = b"<!doctype html><title>Guests</title><form><button>Accept</button></form>"
_OWN: dict[str, tuple[int, dict[str, str], bytes]] = {
    "error": (500, {"Content-Type": "text/html"}, b"<h1>Server Error</h1>"),
    "page": (200, {"Content-Type": "text/html"}, _PAGE),
    "page_as_json": (200, {"Content-Type": "application/json"}, _PAGE),
    "redirect": (302, {"Location": "http://127.0.0.1:9/guests"}, b""),
    "too_large": (413, {"Content-Type": "text/html"}, b"too large"),
    "too_many": (429, {"Content-Type": "application/json", "Retry-After": "7"}, b'{"says":"later"}'),
    "signed_out": (401, {"Content-Type": "application/json"}, b'{"says":"Sign in first.","name":null}'),
}
_GIVES_UP_WITHIN_S = 5.0
_HOP_BY_HOP = {"connection", "keep-alive", "transfer-encoding", "content-length"}

Answer = tuple[int, list[tuple[str, str]], bytes]


def flapping(chance: Random, *, times: int) -> list[Fault]:
    """There for a few requests, away for a few, so many times: what is lost is lost before, during or after."""
    faults: list[Fault] = []
    for _ in range(times):
        faults.extend("pass" for _ in range(chance.randint(0, 3)))
        faults.extend(chance.choice(_AWAY) for _ in range(chance.randint(1, 3)))
    return faults


class FaultyNetwork:
    """A proxy before one server. Faults are for requests to the API alone, in the order in which these come in."""

    def __init__(self, port: int, kill: Callable[[], None]) -> None:
        self._upstream = port
        self._kill = kill
        self._faults: deque[Fault] = deque()
        self._late: list[threading.Thread] = []
        self._lock = threading.Lock()
        self._killing = 0
        self._killed = threading.Condition(self._lock)
        self.made: Counter[str] = Counter()
        self.taken: Counter[tuple[str, str]] = Counter()
        """How often a whole or a piece came to the server with PUT and was answered, by its address and its range."""
        self.bytes_a_second: float | None = None
        """How fast the network is, or ``None`` for as fast as it goes."""
        self.bytes_to_a_break: int | None = None
        """After how many bytes of bodies the line breaks off, again and again, or ``None`` where it never does."""
        self._since_break = 0
        network = self

        class Handler(_Handler):
            def handle_one(self) -> None:
                network._carry(self)

        self._server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self._server.daemon_threads = True
        self._thread = threading.Thread(target=self._server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True)

    @property
    def url(self) -> str:
        """Where the phone finds the server through this network."""
        return f"http://127.0.0.1:{self._server.server_address[1]}"

    def start(self) -> FaultyNetwork:
        """Begin to carry."""
        self._thread.start()
        return self

    def stop(self) -> None:
        """Carry no more."""
        self._server.shutdown()
        self._server.server_close()
        self.settle()

    def order(self, faults: Iterable[Fault]) -> None:
        """Let the next requests to the API meet these, one each; those after them pass."""
        with self._lock:
            self._faults = deque(faults)

    def told(self) -> str:
        """How many requests met what."""
        return ", ".join(f"{fault} {count}" for fault, count in self.made.most_common())

    def settle(self) -> None:
        """Wait until who was to be killed is dead, and what is late has arrived."""
        with self._lock:
            self._killed.wait_for(lambda: self._killing == 0)
            late, self._late = self._late, []
        for thread in late:
            thread.join()

    def _next(self, path: str) -> Fault:
        if not path.startswith("/api/"):
            return "pass"
        with self._lock:
            fault = self._faults.popleft() if self._faults else "pass"
            self.made[fault] += 1
            self._killing += fault in KILLING
            return fault

    def _carry(self, phone: _Handler) -> None:
        body = self._read(phone)
        fault = self._next(phone.path)
        try:
            self._meet(phone, body, fault)
        finally:
            with self._lock:
                self._killing -= fault in KILLING
                self._killed.notify_all()

    def _meet(self, phone: _Handler, body: bytes, fault: Fault) -> None:
        if fault in _OWN:
            phone.answer(*_OWN[fault])
        elif fault == "reset":
            phone.cut()
        elif fault in ("hang", "late"):
            phone.wait_until_gone()
            phone.cut()
            if fault == "late":
                thread = threading.Thread(target=self._forward, args=(phone, body))
                with self._lock:
                    thread.start()
                    self._late.append(thread)
        elif fault == "kill_amid":
            thread = threading.Thread(target=self._forward, args=(phone, body))
            thread.start()
            thread.join(timeout=len(body) % 17 / 1000)
            self._kill()
            thread.join()
            phone.cut()
        else:
            self._carry_there(phone, body, fault)

    def _carry_there(self, phone: _Handler, body: bytes, fault: Fault) -> None:
        if fault == "twice":
            self._forward(phone, body)
        answer = self._forward(phone, body)
        if fault == "kill_after":
            self._kill()
        if answer is None:
            phone.answer(502, {"Content-Type": "text/html"}, b"<h1>Bad Gateway</h1>")
        elif fault in ("drop_after", "kill_after"):
            phone.cut()
        elif fault == "error_after":
            phone.answer(*_OWN["error"])
        else:
            status, headers, content = answer
            phone.answer(status, headers, content, whole=fault != "cut")

    def _read(self, phone: _Handler) -> bytes:
        length = int(phone.headers.get("Content-Length") or 0)
        if self.bytes_a_second is None and self.bytes_to_a_break is None:
            return phone.rfile.read(length)
        body = b""
        while len(body) < length:
            piece = phone.rfile.read(min(16_384, length - len(body)))
            if not piece:
                break
            body += piece
            if self.bytes_a_second is not None:
                threading.Event().wait(len(piece) / self.bytes_a_second)
            if self._breaks(len(piece)):
                phone.cut()
                raise ConnectionResetError("the line broke off")
        return body

    def _breaks(self, carried: int) -> bool:
        with self._lock:
            self._since_break += carried
            breaks = self.bytes_to_a_break is not None and self._since_break >= self.bytes_to_a_break
            if breaks:
                self._since_break = 0
                self.made["break"] += 1
            return breaks

    def _forward(self, phone: _Handler, body: bytes) -> Answer | None:
        """What the server answers, or ``None`` where there is none."""
        upstream = http.client.HTTPConnection("127.0.0.1", self._upstream, timeout=20)
        try:
            # The host as the phone named it: the server holds a request's origin against it.
            headers = {name: value for name, value in phone.headers.items() if name.lower() not in _HOP_BY_HOP}
            upstream.request(phone.command, phone.path, body=body or None, headers=headers)
            answer = upstream.getresponse()
            kept = [(name, value) for name, value in answer.getheaders() if name.lower() not in _HOP_BY_HOP]
            content = answer.read()
            if phone.command == "PUT" and answer.status in (200, 201, 202, 409):
                self.taken[phone.path, phone.headers.get("Content-Range", "")] += 1
            return answer.status, kept, content
        except (OSError, http.client.HTTPException):
            return None
        finally:
            upstream.close()


class _Handler(BaseHTTPRequestHandler):
    """One phone's connection."""

    protocol_version = "HTTP/1.1"
    disable_nagle_algorithm = True
    wbufsize = -1  # head and body of an answer leave together

    def handle(self) -> None:
        """A phone that goes away in the middle is nothing to complain of."""
        with contextlib.suppress(ConnectionError):
            super().handle()

    def handle_one(self) -> None:
        """Carry one request; the network that made this handler says how."""
        raise NotImplementedError

    def do_GET(self) -> None:
        """Any request."""
        with contextlib.suppress(ConnectionError, TimeoutError):
            self.handle_one()
            return
        self.close_connection = True

    do_POST = do_PUT = do_HEAD = do_GET

    def answer(
        self, status: int, headers: dict[str, str] | list[tuple[str, str]], content: bytes, *, whole: bool = True
    ) -> None:
        """Answer the phone, or begin to."""
        self.send_response_only(status)
        for name, value in headers.items() if isinstance(headers, dict) else headers:
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content if whole else content[: len(content) // 2])
        self.wfile.flush()
        if not whole:
            self.cut()

    def cut(self) -> None:
        """Cut the connection, as a network does that has gone away."""
        self.close_connection = True
        with contextlib.suppress(OSError):
            self.wfile.flush()
            self.connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))

    def wait_until_gone(self) -> None:
        """Say nothing until the phone gives up."""
        readable, _, _ = select.select([self.connection], [], [], _GIVES_UP_WITHIN_S)
        if readable:
            with contextlib.suppress(OSError):
                self.connection.recv(1, socket.MSG_PEEK)

    def log_message(self, *_told: Any) -> None:
        """Nothing to say."""
