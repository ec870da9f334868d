"""What a job's card and its answers are made from, as plain values: the same on the server and at the machine."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import card, words
from coldmark.bench.errors import Missing
from coldmark.bench.facts import Fact
from coldmark.bench.job.oils import oil_inside, oils_offered
from coldmark.bench.ledger import State
from coldmark.bench.oil import Oil
from coldmark.bench.shapes import dataclass
from coldmark.bench.sheet import Sheet, tank_of

__all__ = ["Material", "build_card"]


@dataclass(frozen=True, slots=True)
class Material:
    """A job on a machine: its tasks and the facts that hold, the machine's state and sheet, the oils and the place.

    ``machine`` has what the card's head says: id, name, serial, site, customer. ``coldest_c`` is the coldest start.
    """

    job: str
    machine: Mapping[str, Any]
    tasks: tuple[str, ...]
    sheet: Sheet | None
    state: State
    facts: tuple[Fact, ...]
    options: tuple[str, ...]
    oils: Mapping[str, Oil]
    coldest_c: float | None
    units: words.UnitSystem

    @property
    def inside(self) -> Oil | None:
        """The hydraulic oil that is in the machine, where it is known."""
        return oil_inside(self.state, tank_of(self.sheet), self.oils)


def build_card(material: Material) -> dict[str, Any]:
    """Build the card of a job; a machine without a sheet has none, and the refusal says so."""
    if material.sheet is None:
        raise Missing(name="sheet", needed_for=words.sentence("card.the_card"))
    return card.build(
        job=material.job,
        sheet=material.sheet,
        tasks=material.tasks,
        state=material.state,
        options=material.options,
        jobs_facts=material.facts,
        units=material.units,
        machine=material.machine,
        oils=oils_offered(
            material.sheet, material.state, material.oils, coldest_c=material.coldest_c, units=material.units
        ),
    )
