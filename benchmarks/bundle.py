"""What a phone takes along for its coming days, on the house of 2,000 machines: how large, and how long it is made."""

from __future__ import annotations

import gzip
import json
from functools import cache
from typing import Any

from benchmarks import Measure, least_s
from benchmarks.big_house import NOW, big_house

MACHINES = 10


@cache
def _made() -> Any:
    """The bundle of a mechanic who comes by ten machines; as many as it may hold when all are wanted."""
    big_house()
    from coldmark.records import queries  # Django must be ready first
    from coldmark.records.models import Person
    from coldmark.records.paperwork import kit_along

    mechanic = Person.objects.get(sign_in="mechanic0")
    return lambda: queries.bundle(mechanic, now=NOW, packed=kit_along)


def _for_ten() -> dict[str, Any]:
    whole: dict[str, Any] = _made()()
    machines = whole["machines"][:MACHINES]
    if len(machines) < MACHINES:
        raise RuntimeError(f"the house's mechanic comes by {len(machines)} machines")
    wanted = {one["id"] for one in machines}
    visits = [one for one in whole["visits"] if any(job["machine"] in wanted for job in one["jobs"])]
    sheets = {sha256: whole["sheets"][sha256] for sha256 in {one["sheet"] for one in machines} if sha256 is not None}
    return whole | {"machines": machines, "visits": visits, "sheets": sheets}


def _on_the_wire_kb(told: dict[str, Any]) -> float:
    """As an answer is sent: JSON, compressed."""
    return len(gzip.compress(json.dumps(told).encode(), 6)) / 1000


MEASURES = (
    Measure(f"a bundle of {MACHINES} machines, on the wire", 500, "kB", lambda: _on_the_wire_kb(_for_ten())),
    Measure("a bundle of all the machines of two weeks, made", 1500, "ms", lambda: 1000 * least_s(_made(), times=5)),
)
