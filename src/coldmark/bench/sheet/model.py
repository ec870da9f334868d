"""A machine's data sheet as plain data: what its TOML text says, checked, in the bench's units.

The physical parts are the very classes that the sums take: :mod:`~coldmark.bench.level`,
:mod:`~coldmark.bench.filter` and :mod:`~coldmark.bench.clocks` own them, the sheet only fills them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Literal

from coldmark.bench.clocks.model import Task
from coldmark.bench.filter.model import Function, Pump, Stage, SuctionLine
from coldmark.bench.level.model import System
from coldmark.bench.shapes import dataclass
from coldmark.bench.timings.model import Timing

__all__ = [
    "Caution",
    "Compartment",
    "Consumable",
    "Fasteners",
    "Housing",
    "Item",
    "MachineKind",
    "Option",
    "Part",
    "Phase",
    "Sheet",
    "SheetStep",
    "SignalWord",
    "StepKind",
    "SuctionSide",
    "Tool",
]

MachineKind = Literal["excavator", "track_loader", "telehandler", "wheel_loader", "dumper"]
SignalWord = Literal["danger", "warning", "caution", "notice"]
StepKind = Literal["do", "tray_out", "tray_in", "close", "meter", "level_found", "level_left", "add", "sample"]
Phase = Literal["prepare", "work", "fill", "run", "finish"]
"""Where a step stands in a job of several tasks: getting ready; the work itself; new oil in; running the machine,
levels as left; leaving. Within a phase the tasks keep their order, within a task the steps do."""


@dataclass(frozen=True, slots=True)
class Compartment:
    """One place that holds a fluid: what may go in, and how much [L]."""

    key: str
    name: str
    fluid: Literal["hydraulic oil", "engine oil", "gear oil", "coolant", "brake fluid"]
    families: tuple[str, ...]
    grades: tuple[str, ...]
    additive: Literal["zinc", "zinc_free", "any"]
    capacity_l: float | None
    drain_l: float | None
    origin: str


@dataclass(frozen=True, slots=True)
class Part:
    """An element, seal or other part: number on the sheet, and the features that can be measured on it.

    ``features`` are in the bench's units by name (``length_mm``, ``outer_mm``, ``section_mm`` …); ``holds_l`` is the
    oil that an old one carries away with it.
    """

    key: str
    name: str
    kind: Literal["element", "seal", "spring", "valve", "strainer", "breather", "other"]
    number: str
    features: Mapping[str, float]
    holds_l: float | None
    serial_from: str
    serial_to: str
    origin: str


@dataclass(frozen=True, slots=True)
class Item:
    """One thing in a housing's stack, counted from the outside in: cover, spring, valve, seal, element …

    ``renew`` means that a new one (``part``) goes back; else the same one does. ``retained`` parts may stay in.
    """

    key: str
    name: str
    kind: Literal["cover", "spring", "valve", "seal", "element", "strainer", "bowl", "plate", "other"]
    part: str | None
    count: int
    renew: bool
    note: str


@dataclass(frozen=True, slots=True)
class Fasteners:
    """What holds the cover: count, hex [mm], thread as on the sheet, torque [N·m] from the sheet or none."""

    count: int
    hex_mm: float | None
    thread: str
    torque_nm: float | None
    torque_low_nm: float | None
    torque_high_nm: float | None
    origin: str


@dataclass(frozen=True, slots=True)
class Housing:
    """A housing as an ordered stack, outside first. ``opens`` says from where it is opened.

    ``sprung`` covers are held down while the last two, opposite fasteners are let off.
    """

    key: str
    name: str
    compartment: str
    opens: Literal["top", "below", "side"]
    sprung: bool
    spin_on: bool
    turn_after_contact: str
    stack: tuple[Item, ...]
    fasteners: Fasteners | None
    stage: Stage | None
    holds_pressure: bool
    spill_l: float | None
    origin: str


@dataclass(frozen=True, slots=True)
class SuctionSide:
    """How the pumps draw from the tank: the line, the housing of its strainer, and which pumps draw through it.

    ``least_bar`` is the least absolute pressure that they may have at their inlet [bar], ``tank_bar`` what the tank
    holds above the air [bar].
    """

    line: SuctionLine
    strainer: str | None
    pumps: tuple[str, ...]
    least_bar: float | None
    tank_bar: float
    origin: str


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard, what it does, and how it is avoided. ``hard_stop`` ones halt the card until acknowledged."""

    key: str
    word: SignalWord
    hazard: str
    consequence: str
    avoidance: str
    hard_stop: bool


@dataclass(frozen=True, slots=True)
class Tool:
    """A tool by what it is and its size: ``hex_mm`` for a socket or key, else by name."""

    name: str
    hex_mm: float | None


@dataclass(frozen=True, slots=True)
class Consumable:
    """Something used up: rags, cleaner, drain bags, with how much a time."""

    name: str
    amount: str


@dataclass(frozen=True, slots=True)
class SheetStep:
    """One step of a task as the sheet tells it; the card turns it into a screen.

    ``kind`` says what is recorded: a plain *do*, a housing taken apart (*tray_out*), refitted (*tray_in*) or its
    cover put on (*close*), the meter, the level as found or as left, oil added, a sample taken. ``phase`` is where it
    stands in a job of several tasks; steps of several tasks with the same ``once`` are one and the same act, done
    once a job.
    """

    key: str
    kind: StepKind
    says: str
    why: str
    housing: str | None
    compartment: str | None
    cautions: tuple[str, ...]
    tools: tuple[Tool, ...]
    consumables: tuple[Consumable, ...]
    parts: tuple[tuple[str, int], ...]
    minutes: float
    litres_out_l: float | None
    litres_in_l: float | None
    wait_min: float | None
    torque_nm: float | None
    after: tuple[str, ...]
    phase: Phase = "work"
    once: str = ""


@dataclass(frozen=True, slots=True)
class Option:
    """Something that a machine may have fitted: what it changes in tasks, parts and oil."""

    key: str
    name: str
    tasks: tuple[str, ...]
    breaker: bool
    extra_l: float | None


@dataclass(frozen=True, slots=True)
class Sheet:
    """A whole data sheet. ``sha256`` names the text it was read from; ``steps`` are by task, in order.

    ``timings`` is what is timed to see how well it still works, and the most that the manual allows. ``suction``:
    how the pumps draw from the tank.
    ``hydraulic_compartment`` is the compartment that the hydraulic tank is, where the sheet says so; ask
    :func:`~coldmark.bench.sheet.hydraulic_key`.
    """

    sha256: str
    maker: str
    model: str
    kind: MachineKind
    mass_kg: float | None
    serial_from: str
    serial_to: str
    compartments: Mapping[str, Compartment]
    hydraulic: System
    start_limit_mm2_s: float | None
    lowest_mm2_s: float | None
    best_low_mm2_s: float | None
    best_high_mm2_s: float | None
    pumps: tuple[Pump, ...]
    functions: tuple[Function, ...]
    housings: Mapping[str, Housing]
    parts: Mapping[str, Part]
    cautions: Mapping[str, Caution]
    options: Mapping[str, Option]
    tasks: Mapping[str, Task]
    steps: Mapping[str, tuple[SheetStep, ...]]
    hydraulic_compartment: str | None = None
    timings: Mapping[str, Timing] = field(default_factory=dict)
    suction: SuctionSide | None = None
