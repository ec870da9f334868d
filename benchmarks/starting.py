"""What a start costs: importing the bench, the command's help, the server's first answer and its memory."""

from __future__ import annotations

import atexit
import os
import pkgutil
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

import psutil

import coldmark.bench
from benchmarks import Measure
from tests.support.server import COLDMARK, SERVE, DemoServer, Server
from tests.support.visitor import Visitor

_TIMES = 7


def _python_s(code: str) -> float:
    """The time ``code`` takes inside a fresh Python, as it prints it: the least of several, with bytecode in place."""
    timed = f"import time; start = time.perf_counter()\n{code}\nprint(time.perf_counter() - start)"

    def once() -> float:
        done = subprocess.run([sys.executable, "-c", timed], capture_output=True, check=True, text=True)
        return float(done.stdout)

    once()  # writes the bytecode
    return min(once() for _ in range(_TIMES))


def import_bench_s() -> float:
    """``import coldmark.bench`` in a fresh Python."""
    return _python_s("import coldmark.bench")


def import_card_s() -> float:
    """What the card, its gates, the fold and a verdict on the level need: all that a phone works out by itself."""
    return _python_s("import coldmark.bench.card, coldmark.bench.ledger, coldmark.bench.level")


def import_card_ratio() -> float:
    """The same to what Python itself takes for a date, a pattern, JSON, TOML, a hash and a dataclass."""
    of_python = "import dataclasses, datetime, decimal, hashlib, json, re, tomllib, typing"
    return import_card_s() / _python_s(of_python)


def import_all_of_bench_s() -> float:
    """Every module of the bench in a fresh Python: what the catalogue needs."""
    found = pkgutil.walk_packages(coldmark.bench.__path__, "coldmark.bench.")
    return _python_s("import " + ", ".join(module.name for module in found if not module.name.endswith(".__main__")))


def help_s() -> float:
    """``coldmark --help`` from the shell's start to its end."""
    taken = []
    for _ in range(_TIMES):
        start = time.perf_counter()
        subprocess.run([*COLDMARK, "--help"], capture_output=True, check=True)
        taken.append(time.perf_counter() - start)
    return min(taken)


@cache
def _demo() -> Path:
    """The data folder of a demo, loaded once for all measures and taken away at the end."""
    folder = Path(tempfile.mkdtemp(prefix="coldmark-bench-"))
    atexit.register(shutil.rmtree, folder)
    template = Server(folder / "house")
    subprocess.run([*COLDMARK, "demo"], env=template.environment(), check=True, capture_output=True)
    return template.folder


@contextmanager
def on_the_demo(*command: str) -> Iterator[DemoServer]:
    """The demo, served and asked once, so that nothing is done for the first time any more."""
    server = Server(_demo(), command=command or SERVE)
    try:
        yield DemoServer.of(server.start())
    finally:
        server.kill()


def _start_s(served: DemoServer) -> float:
    """The least time from the command to Today, for somebody who is signed in."""
    visitor = Visitor(served)
    taken = []
    for _ in range(3):
        served.server.stop()
        start = time.perf_counter()
        served.server.start()
        visitor.get("/")
        taken.append(time.perf_counter() - start)
    return min(taken)


def server_start_s() -> float:
    """``coldmark serve`` on the demo, to the first page of somebody who is signed in."""
    with on_the_demo() as served:
        return _start_s(served)


def script_server_s() -> float:
    """``script/server`` the second time: environment and app looked at and found in place, then the same."""
    with on_the_demo("script/server") as served:
        return _start_s(served)


def server_mib() -> float:
    """Memory of the server and its worker on the demo, after pages and a report that was set as PDF."""
    with on_the_demo() as served:
        visitor = Visitor(served)
        for _ in range(3):
            visitor.look_round()
        process = psutil.Process(served.server.pid)
        total = sum(each.memory_info().rss for each in (process, *process.children(recursive=True)))
    return float(total) / 2**20


os.environ.pop("COLDMARK_DATABASE", None)  # these measures are SQLite's
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # an installed program has its bytecode beside it
MEASURES = (
    Measure("import coldmark.bench", 0.1, "s", import_bench_s),
    Measure("import of what the card and the level need", 0.1, "s", import_card_s),
    Measure("the same to the standard library's share of it", 5, "", import_card_ratio),
    Measure("import of every module of coldmark.bench", 0.1, "s", import_all_of_bench_s),
    Measure("coldmark --help", 0.5, "s", help_s),
    Measure("server start to Today on the demo, signed in", 3, "s", server_start_s),
    Measure("second start of script/server to the same", 5, "s", script_server_s),
    Measure("server memory after pages and a report, one worker", 200, "MiB", server_mib),
)
