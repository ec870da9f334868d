"""What a request may tell, taken from the kinds of fact that its answer is recorded as: names, choices and units.

A quantity of a fact is one field of a request for each unit of its kind, with the unit in the name: ``oil_c`` or
``oil_f`` for a fact's ``oil``. The reading of what is asked goes by this, and the OpenAPI
description is made from it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from coldmark.bench.facts import KINDS
from coldmark.bench.facts.kinds import Field
from coldmark.bench.shapes import dataclass
from coldmark.bench.unit_table import UNITS

__all__ = ["LEVEL", "METER", "Ask", "endings", "told_as"]


@dataclass(frozen=True, slots=True)
class Ask:
    """The fields of a request's body, those that must be told, and what happens without the others."""

    fields: Mapping[str, Field]
    needed: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The names as they stand in the body."""
        return tuple(name for key, field in self.fields.items() for name in told_as(key, field))


def endings(field: Field) -> tuple[str, ...]:
    """The endings of the units in which a quantity may be told; none for what is no quantity."""
    if field.type != "quantity":
        return ()
    return tuple(ending for ending, unit in UNITS.items() if unit.kind == field.measures)


def told_as(key: str, field: Field) -> tuple[str, ...]:
    """The names under which a field may be told."""
    return tuple(f"{key}_{ending}" for ending in endings(field)) or (key,)


def _of_kind(kind: str, *, without: Collection[str] = (), needed: tuple[str, ...]) -> Ask:
    fields = {name: field for name, field in KINDS[kind].fields.items() if name not in without}
    return Ask(fields, needed)


LEVEL = _of_kind("level_read", without={"photo"}, needed=("reading",))
METER = _of_kind("meter_read", without={"way", "photo", "doubt"}, needed=("reading",))
