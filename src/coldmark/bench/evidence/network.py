"""The table behind the ranking: causes, signs and how often a cause alone shows a sign."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Literal, cast

from coldmark.bench.data_file import table
from coldmark.bench.errors import Contradiction
from coldmark.bench.shapes import dataclass

__all__ = ["Network", "Sign", "Way", "network"]

CHECKSUMS = {
    "causes.csv": "05212eb057ed80051e9291e8455c0711da6115f96b5b76ece2cd102d3b7257bd",
    "signs.csv": "8934fc0edac553cb5b1a8afecdc7491e8c638d36835ec1edbf9ca42bd5993398",
    "links.csv": "aff40d811d332391c15bf029783d1ad8287106630aa29a5d51fc25b5f8dbe8d2",
}

Way = Literal["look", "open", "measure", "sample"]
"""How one looks for a sign: at the machine, in the open housing, by measuring, through a laboratory."""


@dataclass(frozen=True, slots=True)
class Sign:
    """One thing that may be seen: its group, how often it is there without a cause, its cost [min], how one looks."""

    key: str
    group: str
    background: float
    minutes: float
    way: Way


@dataclass(frozen=True, slots=True)
class Network:
    """A noisy-OR network: every cause that holds shows each of its signs by its own chance, apart from the others.

    ``before`` is how often each cause holds when nothing is known, ``harmless`` are causes that are no fault, ``links``
    has for each sign the strength of each cause that may show it, ``origins`` where each such link is from.
    """

    before: Mapping[str, float]
    harmless: frozenset[str]
    signs: Mapping[str, Sign]
    links: Mapping[str, Mapping[str, float]]
    origins: Mapping[tuple[str, str], str]


def _rows(name: str) -> list[dict[str, str]]:
    return table("coldmark.bench.evidence", name, CHECKSUMS[name])


@cache
def network() -> Network:
    """Return the table as it is kept in the files.

    Returns
    -------
    Network
        Causes, signs, strengths, and the origin of every link.

    Raises
    ------
    Contradiction
        When a file is not the one that was checked, or a link names what the other files do not have.

    Source
        The files, which name it link by link: mostly common practice, no source; all strengths are assumed.

    Examples
    --------
    >>> network().links["bronze_flakes"]
    {'pump_wear': 0.7, 'motor_wear': 0.5}
    """
    causes = _rows("causes.csv")
    before = {row["cause"]: float(row["before"]) for row in causes}
    signs = {
        row["sign"]: Sign(
            row["sign"], row["group"], float(row["background"]), float(row["minutes"]), cast(Way, row["way"])
        )
        for row in _rows("signs.csv")
    }
    links: dict[str, dict[str, float]] = {sign: {} for sign in signs}
    origins: dict[tuple[str, str], str] = {}
    for row in _rows("links.csv"):
        cause, sign = row["cause"], row["sign"]
        if cause not in before or sign not in signs:
            raise Contradiction(name="links", value=f"{cause}, {sign}", why="evidence.why.link")
        links[sign][cause] = float(row["strength"])
        origins[cause, sign] = row["origin"]
    return Network(before, frozenset(row["cause"] for row in causes if row["fault"] == "no"), signs, links, origins)
