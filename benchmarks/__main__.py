"""``python -m benchmarks [WORD …]``: take all measures, or those whose name holds one of the words."""

from __future__ import annotations

import argparse
import importlib
import os
import pkgutil
import platform
import sqlite3
import sys
from collections.abc import Iterator
from pathlib import Path

import benchmarks
from benchmarks import Measure, least_s


def all_measures() -> Iterator[Measure]:
    """The measures of every module of this package."""
    for found in sorted(pkgutil.iter_modules(benchmarks.__path__), key=lambda module: module.name):
        if found.name != "__main__":
            yield from getattr(importlib.import_module(f"benchmarks.{found.name}"), "MEASURES", ())


def machine() -> str:
    """The machine in one line: processor, cores, memory, system, Python, SQLite."""
    information = Path("/proc/cpuinfo")
    lines = information.read_text().splitlines() if information.exists() else []
    names = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
    processor = names[0] if names else platform.processor() or platform.machine()
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    return (
        f"{processor}, {os.cpu_count()} cores, {memory:.0f} GiB, "
        f"{platform.system()} {platform.release()}, Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}"
    )


def pace_ms() -> float:
    """A plain loop's time: it tells a machine that is busy with something else from code that has grown slow."""

    def loop() -> int:
        total = 0
        for number in range(500_000):
            total += number & 7
        return total

    return 1000 * least_s(loop)


def main() -> int:
    """Take the measures and print them; 1 when one is over its budget."""
    parser = argparse.ArgumentParser(prog="script/bench", description="Take the measured budgets.")
    parser.add_argument("words", nargs="*", metavar="WORD", help="only measures whose name holds one of these")
    words = parser.parse_args().words
    print(machine())
    print(f"a plain loop of 500,000 steps takes {pace_ms():.0f} ms now")
    over = 0
    for measure in all_measures():
        if words and not any(word in measure.name for word in words):
            continue
        value = measure.take()
        kept = value < measure.budget
        over += not kept
        says = "" if kept else "   OVER BUDGET"
        print(
            f"{measure.name:<58} {value:>10.3g} {measure.unit:<4} of {measure.budget:g} {measure.unit}{says}",
            flush=True,
        )
    print(f"the same loop takes {pace_ms():.0f} ms now")
    return 1 if over else 0


if __name__ == "__main__":
    sys.exit(main())
