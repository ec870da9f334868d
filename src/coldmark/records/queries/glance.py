"""What a machine's page shows at a glance, with what is kept here of the place, and questions about its meter."""

from __future__ import annotations

from collections.abc import Mapping

from coldmark.bench import job, words
from coldmark.bench.job import LevelGlance, MeterAnswer, OilGlance, doubted, oil_glances
from coldmark.bench.ledger import State
from coldmark.bench.oil import Oil
from coldmark.bench.sheet import Sheet
from coldmark.records.models import Person
from coldmark.records.numbers import read_store
from coldmark.records.queries.machines import machine_state

__all__ = ["LevelGlance", "OilGlance", "level_glance", "machine_meter", "oil_glances"]


def level_glance(
    state: State, sheet: Sheet | None, units: words.UnitSystem, oils: Mapping[str, Oil]
) -> LevelGlance | None:
    """The hydraulic level as last left, else as last read, at the coldest start that the business reckons with."""
    return job.level_glance(state, sheet, units, oils, read_store().coldest_c)


def machine_meter(person: Person, machine: str, reading_h: float, at: str) -> MeterAnswer:
    """Question a reading of a machine's meter against what is known; it is never refused for that."""
    state, _sheet = machine_state(person, machine)
    return doubted(state, reading_h, at)
