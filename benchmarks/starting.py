"""What a start costs: importing the bench, the command's help, the server's first answer and its memory."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import psutil

from benchmarks import Measure
from tests.support.server import COLDMARK, Server

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
    return _python_s(
        "import importlib, pkgutil, coldmark.bench as bench\n"
        "for found in pkgutil.walk_packages(bench.__path__, 'coldmark.bench.'): importlib.import_module(found.name)"
    )


def help_s() -> float:
    """``coldmark --help`` from the shell's start to its end."""
    taken = []
    for _ in range(_TIMES):
        start = time.perf_counter()
        subprocess.run([*COLDMARK, "--help"], capture_output=True, check=True)
        taken.append(time.perf_counter() - start)
    return min(taken)


def server_start_s() -> float:
    """From the command to the first answered page, on a house that exists."""
    with tempfile.TemporaryDirectory() as folder:
        server = Server(Path(folder) / "house")
        server.start()
        taken = []
        for _ in range(3):
            server.stop()
            start = time.perf_counter()
            server.start()
            taken.append(time.perf_counter() - start)
        server.kill()
    return min(taken)


def server_mib() -> float:
    """Memory of the server and its worker after some pages."""
    with tempfile.TemporaryDirectory() as folder:
        server = Server(Path(folder) / "house").start()
        for _ in range(20):
            server.get("/sign-in/")
        process = psutil.Process(server.pid)
        total = sum(each.memory_info().rss for each in (process, *process.children(recursive=True)))
        server.kill()
    return float(total) / 2**20


os.environ.pop("COLDMARK_DATABASE", None)  # these measures are SQLite's
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # an installed program has its bytecode beside it
MEASURES = (
    Measure("import coldmark.bench", 0.1, "s", import_bench_s),
    Measure("import of what the card and the level need", 0.1, "s", import_card_s),
    Measure("the same to the standard library's share of it", 5, "", import_card_ratio),
    Measure("import of every module of coldmark.bench", 0.1, "s", import_all_of_bench_s),
    Measure("coldmark --help", 0.5, "s", help_s),
    Measure("server start to first answer", 3, "s", server_start_s),
    Measure("server memory, one worker", 200, "MiB", server_mib),
)
