"""The kit of a job: what to bring, worked out from the sheet, the options fitted and the tasks that are due.

A kit is counted per place, not per task: two tasks that open the same housing need its element once. Litres are what
the steps put in, or, where the sheet gives no figure for a top-up, what the same tasks let out. The reserve is ours:
a tenth on top, and never less than half a litre, because the nearest oil is a drive away.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from coldmark.bench.errors import require_choice
from coldmark.bench.sheet.model import Compartment, Part, Sheet, SheetStep
from coldmark.bench.sheet.tank import hydraulic_key

__all__ = [
    "ConsumableNeed",
    "Kit",
    "Note",
    "OilNeed",
    "PartNeed",
    "ToolNeed",
    "VanRoom",
    "WasteNeed",
    "combine",
    "expand",
    "kit",
]

RESERVE_SHARE = 0.10
RESERVE_LEAST_L = 0.5


@dataclass(frozen=True, slots=True)
class Note:
    """Something the packer should know: a message id of :mod:`coldmark.bench.words` with its values."""

    message: str
    values: Mapping[str, str | float]


@dataclass(frozen=True, slots=True)
class PartNeed:
    """So many of a part, and for which tasks; the serial range is shown where the sheet gives one."""

    key: str
    name: str
    kind: str
    number: str
    count: int
    serial_from: str
    serial_to: str
    tasks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OilNeed:
    """A fluid for a compartment [L]: what goes in, the reserve on top, and both together.

    ``oil`` is the key of what is inside now, where known; families and grades are those the sheet allows.
    """

    compartment: str
    name: str
    fluid: str
    oil: str | None
    families: tuple[str, ...]
    grades: tuple[str, ...]
    litres_l: float
    reserve_l: float

    @property
    def bring_l(self) -> float:
        """What to bring [L]."""
        return self.litres_l + self.reserve_l


@dataclass(frozen=True, slots=True)
class ToolNeed:
    """A tool by what it is and, for sockets and keys, by hex [mm]."""

    name: str
    hex_mm: float | None


@dataclass(frozen=True, slots=True)
class ConsumableNeed:
    """Something used up, with the amounts that the steps name."""

    name: str
    amounts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WasteNeed:
    """What comes home of one fluid [L]."""

    fluid: str
    litres_l: float


@dataclass(frozen=True, slots=True)
class VanRoom:
    """What the van can take back [L] and what it carries [L] by the oil's key."""

    waste_l: float | None
    oils: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Kit:
    """What to bring for some tasks on one machine, or on several together."""

    tasks: tuple[str, ...]
    elements: tuple[PartNeed, ...]
    seals: tuple[PartNeed, ...]
    other_parts: tuple[PartNeed, ...]
    oils: tuple[OilNeed, ...]
    tools: tuple[ToolNeed, ...]
    torque_low_nm: float | None
    torque_high_nm: float | None
    consumables: tuple[ConsumableNeed, ...]
    waste: tuple[WasteNeed, ...]
    waste_l: float
    waste_room_l: float | None
    minutes: float
    wait_min: float
    notes: tuple[Note, ...]

    @property
    def waste_fits(self) -> bool | None:
        """Whether the van can take the waste back; ``None`` when its room is not known."""
        return None if self.waste_room_l is None else self.waste_l <= self.waste_room_l


def expand(sheet: Sheet, tasks: Iterable[str], options: Iterable[str] = ()) -> tuple[str, ...]:
    """Return ``tasks`` with all that they include, shorter ones first, without those whose option is not fitted.

    Raises
    ------
    NotAChoice
        When a task is not on the sheet.
    """
    fitted = set(options)
    wanted: set[str] = set()
    waiting = [require_choice("task", task, sheet.tasks) for task in tasks]
    while waiting:
        task = waiting.pop()
        if task in wanted:
            continue
        needs = sheet.tasks[task].needs_option
        if needs is not None and needs not in fitted:
            continue
        wanted.add(task)
        waiting.extend(included for included in sheet.tasks[task].includes if included in sheet.tasks)
    return tuple(sorted(wanted, key=lambda key: (sheet.tasks[key].interval_h or float("inf"), key)))


def kit(
    sheet: Sheet,
    tasks: Iterable[str],
    *,
    options: Iterable[str] = (),
    inside: Mapping[str, str] | None = None,
    van: VanRoom | None = None,
) -> Kit:
    """Work out what to bring for ``tasks`` on a machine of this sheet.

    Parameters
    ----------
    sheet
        The machine's data sheet.
    tasks
        Keys of the tasks; what they include comes with them.
    options
        Keys of the options fitted on the machine.
    inside
        The oil now in each compartment, by key, where known.
    van
        What the van can take back and what it carries.

    Raises
    ------
    NotAChoice
        When a task is not on the sheet.
    """
    fitted = tuple(options)
    keys = expand(sheet, tasks, fitted)
    steps = _steps(sheet, keys)
    parts = _parts(sheet, steps)
    out = _out_by_compartment(sheet, keys, steps, fitted)
    oils, notes = _oils(sheet, keys, steps, out, fitted, inside or {})
    waste = _waste(sheet, out)
    torque = _torques(sheet, steps)
    made = Kit(
        tasks=keys,
        elements=tuple(need for need in parts if need.kind in {"element", "strainer", "breather"}),
        seals=tuple(need for need in parts if need.kind == "seal"),
        other_parts=tuple(need for need in parts if need.kind not in {"element", "strainer", "breather", "seal"}),
        oils=oils,
        tools=_tools(sheet, steps),
        torque_low_nm=min(torque, default=None),
        torque_high_nm=max(torque, default=None),
        consumables=_consumables(step for _task, step in steps),
        waste=waste,
        waste_l=sum(need.litres_l for need in waste),
        waste_room_l=None,
        minutes=sum(step.minutes for _task, step in steps),
        wait_min=sum(step.wait_min or 0.0 for _task, step in steps),
        notes=tuple(notes),
    )
    return _in_van(made, van)


def combine(kits: Sequence[Kit], van: VanRoom | None = None) -> Kit:
    """Put the kits of several machines together for one trip: counts, litres, minutes and waste add, tools do not."""
    consumables: dict[str, list[str]] = {}
    for need in (need for one in kits for need in one.consumables):
        consumables.setdefault(need.name, []).extend(need.amounts)
    waste: dict[str, float] = {}
    for need_back in (need for one in kits for need in one.waste):
        waste[need_back.fluid] = waste.get(need_back.fluid, 0.0) + need_back.litres_l
    lows = [one.torque_low_nm for one in kits if one.torque_low_nm is not None]
    highs = [one.torque_high_nm for one in kits if one.torque_high_nm is not None]
    together = Kit(
        tasks=tuple(dict.fromkeys(task for one in kits for task in one.tasks)),
        elements=_add_parts(need for one in kits for need in one.elements),
        seals=_add_parts(need for one in kits for need in one.seals),
        other_parts=_add_parts(need for one in kits for need in one.other_parts),
        oils=_add_oils(need for one in kits for need in one.oils),
        tools=_sorted_tools({tool for one in kits for tool in one.tools}),
        torque_low_nm=min(lows, default=None),
        torque_high_nm=max(highs, default=None),
        consumables=tuple(ConsumableNeed(name, tuple(amounts)) for name, amounts in sorted(consumables.items())),
        waste=tuple(WasteNeed(fluid, litres) for fluid, litres in sorted(waste.items())),
        waste_l=sum(waste.values()),
        waste_room_l=None,
        minutes=sum(one.minutes for one in kits),
        wait_min=sum(one.wait_min for one in kits),
        notes=tuple(note for one in kits for note in one.notes if not note.message.startswith("kit.van_")),
    )
    return _in_van(together, van)


def _steps(sheet: Sheet, tasks: Iterable[str]) -> list[tuple[str, SheetStep]]:
    """All steps of the tasks; one and the same act of several tasks (the sheet's ``once``) is there once."""
    seen: dict[tuple[str, str], tuple[str, SheetStep]] = {}
    for task in tasks:
        for step in sheet.steps.get(task, ()):
            seen.setdefault(("", step.once) if step.once else (task, step.key), (task, step))
    return list(seen.values())


def _renewed(sheet: Sheet, housing: str) -> dict[str, int]:
    """The parts of a housing's stack of which new ones go back."""
    counts: dict[str, int] = {}
    for item in sheet.housings[housing].stack:
        if item.renew and item.part is not None:
            counts[item.part] = counts.get(item.part, 0) + item.count
    return counts


def _parts(sheet: Sheet, steps: Iterable[tuple[str, SheetStep]]) -> tuple[PartNeed, ...]:
    """Parts by place: a step that names what its housing's stack already renews does not double it."""
    by_place: dict[tuple[str, str], int] = {}
    tasks: dict[str, list[str]] = {}
    for task, step in steps:
        place = step.housing or f"{task}.{step.key}"
        named = dict(step.parts)
        if step.housing is not None and step.kind in {"tray_in", "tray_out"}:
            for part, count in _renewed(sheet, step.housing).items():
                named[part] = max(count, named.get(part, 0))
        for part, count in named.items():
            by_place[place, part] = max(count, by_place.get((place, part), 0))
            if task not in tasks.setdefault(part, []):
                tasks[part].append(task)
    counts: dict[str, int] = {}
    for (_place, part), count in by_place.items():
        counts[part] = counts.get(part, 0) + count
    needs = (_part_need(sheet.parts[key], count, tuple(tasks[key])) for key, count in counts.items() if count > 0)
    return tuple(sorted(needs, key=lambda need: (need.name, need.key)))


def _part_need(part: Part, count: int, tasks: tuple[str, ...]) -> PartNeed:
    return PartNeed(part.key, part.name, part.kind, part.number, count, part.serial_from, part.serial_to, tasks)


def _out_by_compartment(
    sheet: Sheet, tasks: Iterable[str], steps: Iterable[tuple[str, SheetStep]], options: Iterable[str]
) -> dict[str, float]:
    """Litres that come out: drained, carried away by old elements, spilt as a housing is opened."""
    out: dict[str, float] = {}
    opened: set[str] = set()
    for _task, step in steps:
        if step.compartment is not None and step.litres_out_l:
            out[step.compartment] = out.get(step.compartment, 0.0) + step.litres_out_l
        if step.housing is not None and step.kind == "tray_out":
            opened.add(step.housing)
    for key in opened:
        housing = sheet.housings[key]
        held = sum((sheet.parts[part].holds_l or 0.0) * count for part, count in _renewed(sheet, key).items())
        lost = held + (housing.spill_l or 0.0)
        if lost > 0.0:
            out[housing.compartment] = out.get(housing.compartment, 0.0) + lost
    for compartment, extra_l in _extra(sheet, tasks, options).items():
        if compartment in out:
            out[compartment] += extra_l
    return out


def _extra(sheet: Sheet, tasks: Iterable[str], options: Iterable[str]) -> dict[str, float]:
    """What fitted options add to the hydraulic oil when it is changed."""
    more = sum(sheet.options[key].extra_l or 0.0 for key in set(options) if key in sheet.options)
    changed = {sheet.tasks[task].compartment for task in tasks if sheet.tasks[task].oil_change}
    key = hydraulic_key(sheet)
    return {key: more} if key is not None and key in changed and more > 0.0 else {}


def _oils(
    sheet: Sheet,
    tasks: Sequence[str],
    steps: Iterable[tuple[str, SheetStep]],
    out: Mapping[str, float],
    options: Iterable[str],
    inside: Mapping[str, str],
) -> tuple[tuple[OilNeed, ...], list[Note]]:
    told: dict[str, float] = {}
    added: set[str] = set()
    for _task, step in steps:
        if step.compartment is None:
            continue
        if step.litres_in_l:
            told[step.compartment] = told.get(step.compartment, 0.0) + step.litres_in_l
        elif step.kind == "add":
            added.add(step.compartment)
    for compartment, extra_l in _extra(sheet, tasks, options).items():
        if compartment in told:
            told[compartment] += extra_l
    litres = dict(told)
    for compartment in added - set(told):
        litres[compartment] = out.get(compartment, 0.0)
    notes = [
        Note("kit.litres_unknown", {"what": sheet.compartments[key].name})
        for key in sorted(added - set(told))
        if key not in out
    ]
    needs = [_oil_need(sheet.compartments[key], litres[key], inside.get(key)) for key in sorted(litres)]
    return tuple(needs), notes


def _oil_need(place: Compartment, litres_l: float, oil: str | None) -> OilNeed:
    reserve_l = max(RESERVE_LEAST_L, RESERVE_SHARE * litres_l)
    return OilNeed(
        place.key, place.name, place.fluid, oil, tuple(place.families), tuple(place.grades), litres_l, reserve_l
    )


def _waste(sheet: Sheet, out: Mapping[str, float]) -> tuple[WasteNeed, ...]:
    by_fluid: dict[str, float] = {}
    for compartment, litres_l in out.items():
        fluid = sheet.compartments[compartment].fluid
        by_fluid[fluid] = by_fluid.get(fluid, 0.0) + litres_l
    return tuple(WasteNeed(fluid, litres_l) for fluid, litres_l in sorted(by_fluid.items()))


def _tools(sheet: Sheet, steps: Iterable[tuple[str, SheetStep]]) -> tuple[ToolNeed, ...]:
    tools: set[ToolNeed] = set()
    for _task, step in steps:
        tools.update(ToolNeed(tool.name, tool.hex_mm) for tool in step.tools)
        fasteners = sheet.housings[step.housing].fasteners if step.housing is not None else None
        if fasteners is not None and fasteners.hex_mm is not None:
            hexes = {tool.hex_mm for tool in step.tools}
            if fasteners.hex_mm not in hexes:
                tools.add(ToolNeed("socket", fasteners.hex_mm))
    return _sorted_tools(tools)


def _sorted_tools(tools: set[ToolNeed]) -> tuple[ToolNeed, ...]:
    return tuple(sorted(tools, key=lambda tool: (tool.hex_mm is None, tool.hex_mm or 0.0, tool.name)))


def _torques(sheet: Sheet, steps: Iterable[tuple[str, SheetStep]]) -> list[float]:
    found: list[float] = []
    for _task, step in steps:
        fasteners = sheet.housings[step.housing].fasteners if step.housing is not None else None
        figures = [step.torque_nm]
        if fasteners is not None and step.kind in {"close", "tray_in"}:
            figures += [fasteners.torque_nm, fasteners.torque_low_nm, fasteners.torque_high_nm]
        found += [figure for figure in figures if figure is not None]
    return found


def _consumables(steps: Iterable[SheetStep]) -> tuple[ConsumableNeed, ...]:
    amounts: dict[str, list[str]] = {}
    for step in steps:
        for thing in step.consumables:
            amounts.setdefault(thing.name, []).append(thing.amount)
    return tuple(ConsumableNeed(name, tuple(filter(None, listed))) for name, listed in sorted(amounts.items()))


def _add_parts(needs: Iterable[PartNeed]) -> tuple[PartNeed, ...]:
    """Parts of the same number are one line, whatever key each sheet gives them."""
    lines: dict[tuple[str, str], PartNeed] = {}
    for need in needs:
        known = lines.get((need.number or need.key, need.name))
        lines[need.number or need.key, need.name] = (
            need
            if known is None
            else replace(known, count=known.count + need.count, tasks=tuple(dict.fromkeys((*known.tasks, *need.tasks))))
        )
    return tuple(sorted(lines.values(), key=lambda need: (need.name, need.key)))


def _add_oils(needs: Iterable[OilNeed]) -> tuple[OilNeed, ...]:
    """The same oil for the same kind of place is one line; the reserve is taken once, on the sum."""
    lines: dict[tuple[str, str | None, tuple[str, ...], tuple[str, ...]], OilNeed] = {}
    for need in needs:
        what = (need.fluid, need.oil, need.families, need.grades)
        known = lines.get(what)
        litres_l = need.litres_l + (known.litres_l if known is not None else 0.0)
        name = need.name if known is None or known.name == need.name else need.fluid
        lines[what] = replace(
            need, name=name, litres_l=litres_l, reserve_l=max(RESERVE_LEAST_L, RESERVE_SHARE * litres_l)
        )
    return tuple(lines.values())


def _in_van(made: Kit, van: VanRoom | None) -> Kit:
    if van is None:
        return made
    notes = list(made.notes)
    if van.waste_l is not None and made.waste_l > van.waste_l:
        notes.append(Note("kit.van_waste_over", {"waste_l": made.waste_l, "room_l": van.waste_l}))
    for need in made.oils:
        carried = van.oils.get(need.oil) if need.oil is not None else None
        if carried is not None and carried < need.bring_l:
            notes.append(Note("kit.van_oil_short", {"what": need.name, "carried_l": carried, "bring_l": need.bring_l}))
    return replace(made, waste_room_l=van.waste_l, notes=tuple(notes))
