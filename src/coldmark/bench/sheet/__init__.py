"""A machine's data sheet: TOML that a mechanic writes from the manual, read, checked, and in the bench's shapes.

::

    check(text) -> faults          all that is wrong, with line, key, value and what would be right
    read(text)  -> Sheet           or SheetFaults
"""

from __future__ import annotations

from coldmark.bench.sheet.faults import Fault, SheetFaults
from coldmark.bench.sheet.model import (
    Caution,
    Compartment,
    Consumable,
    Fasteners,
    Housing,
    Item,
    MachineKind,
    Option,
    Part,
    Phase,
    Sheet,
    SheetStep,
    SignalWord,
    StepKind,
    Tool,
)
from coldmark.bench.sheet.text import check, read, sheet_hash

__all__ = [
    "Caution",
    "Compartment",
    "Consumable",
    "Fasteners",
    "Fault",
    "Housing",
    "Item",
    "MachineKind",
    "Option",
    "Part",
    "Phase",
    "Sheet",
    "SheetFaults",
    "SheetStep",
    "SignalWord",
    "StepKind",
    "Tool",
    "check",
    "read",
    "sheet_hash",
]
