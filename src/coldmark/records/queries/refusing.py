"""Parts that were refused on a machine, or found to be the wrong ones, from what is kept here of it."""

from __future__ import annotations

from coldmark.bench import element
from coldmark.records.models import Person
from coldmark.records.queries.machines import machine_state

__all__ = ["refused_parts"]


def refused_parts(person: Person, machine: str) -> tuple[element.Reject, ...]:
    """The parts that were refused on this machine, the latest last; none for whom that is no business of."""
    state, _sheet = machine_state(person, machine)
    return tuple(state.remembered.found)
