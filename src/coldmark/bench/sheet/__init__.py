"""A machine's data sheet: TOML that a mechanic writes from the manual, read, checked, and in the bench's shapes.

::

    check(text)       -> faults       all that is wrong, with line, key, value and what would be right
    read(text)        -> Sheet        or SheetFaults
    remarks(text)     -> faults       what a sound sheet leaves out that somebody could be hurt by
    template(kind)    -> text         a commented sheet to start from
    json_schema()     -> dict         for editors
    to_plain(sheet)   -> dict         for the phone, and from_plain back
    hydraulic_key(sheet) -> str       the compartment that the hydraulic tank is
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
from coldmark.bench.sheet.plain import from_plain, to_plain
from coldmark.bench.sheet.schema import json_schema
from coldmark.bench.sheet.tank import hydraulic_key, tank_of
from coldmark.bench.sheet.template import template
from coldmark.bench.sheet.text import check, read, remarks, sheet_hash

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
    "from_plain",
    "hydraulic_key",
    "json_schema",
    "read",
    "remarks",
    "sheet_hash",
    "tank_of",
    "template",
    "to_plain",
]
