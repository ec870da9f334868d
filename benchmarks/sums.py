"""What the catalogue's calculations cost, each with its own example."""

from __future__ import annotations

import sys

from benchmarks import Measure, least_s
from coldmark.bench import catalogue, evidence
from tests.bench.sum_examples import example_of


def _sum_ms(name: str) -> float:
    """One calculation as a page asks for it: the example read, worked out, and put into words and pictures."""
    example = example_of(catalogue.ENTRIES[name])

    def once() -> object:
        return catalogue.outcome_to_plain(catalogue.run(name, example))

    return 1000 * least_s(once, times=7, warm_up=1)


def _slowest_ms(*, of_a_sheet: bool) -> float:
    takes_one = {name: any(one.kind == "sheet" for one in entry.inputs) for name, entry in catalogue.ENTRIES.items()}
    taken = {name: _sum_ms(name) for name, takes in takes_one.items() if takes is of_a_sheet}
    slowest = max(taken, key=lambda name: taken[name])
    print(f"slowest of {len(taken)}: {slowest}", end=" ... ", file=sys.stderr, flush=True)
    return taken[slowest]


def slowest_ms() -> float:
    """The one that takes longest of all that are told everything in figures."""
    return _slowest_ms(of_a_sheet=False)


def slowest_of_a_sheet_ms() -> float:
    """The one that takes longest of those that read a machine's whole data sheet first: reading it is most of that."""
    return _slowest_ms(of_a_sheet=True)


def ranking_ms() -> float:
    """Ranking causes by the signs of a whole visit: ten seen, nine looked for in vain."""
    signs = [name for name, sign in evidence.network().signs.items() if evidence.network().links[name]]
    told = dict.fromkeys(signs[0::4], "seen") | dict.fromkeys(signs[1::4], "absent")
    return 1000 * least_s(lambda: evidence.rank(told), times=7, warm_up=1)


MEASURES = (
    Measure("ranking causes by nineteen signs", 20, "ms", ranking_ms),
    Measure("the slowest calculation of the catalogue", 5, "ms", slowest_ms),
    Measure("the slowest that reads a machine's sheet first", 50, "ms", slowest_of_a_sheet_ms),
)
