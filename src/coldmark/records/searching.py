"""What the search looks in: one column a machine, folded to one case here, because databases fold letters unequally."""

from __future__ import annotations

from django.db.models import QuerySet

from coldmark.records.models import Machine, MachineState

__all__ = ["fold_case", "refresh_search", "search_text"]


def fold_case(text: str) -> str:
    """Text as the search compares it."""
    return " ".join(text.casefold().split())


def search_text(machine: Machine, state: MachineState) -> str:
    """All that a machine is found by: its names and numbers, its owner, its site, its sheet."""
    told = [machine.number, machine.name, machine.serial, machine.plate, state.sheet_title]
    told += [state.customer.name if state.customer else "", state.site.name if state.site else ""]
    return fold_case("\n".join(filter(None, told)))


def refresh_search(machines: QuerySet[Machine]) -> None:
    """Work the column out anew for these machines."""
    states = list(
        MachineState.objects.filter(machine__in=machines.values("id")).select_related("machine", "customer", "site")
    )
    for state in states:
        state.search = search_text(state.machine, state)
    MachineState.objects.bulk_update(states, ["search"], batch_size=500)
