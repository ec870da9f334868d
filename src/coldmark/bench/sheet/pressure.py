"""Which housings may still be under pressure when the engine has stopped, and where a sheet forgets to let it off."""

from __future__ import annotations

from collections.abc import Iterator

from coldmark.bench.sheet.model import Housing, Sheet, SheetStep
from coldmark.bench.sheet.tank import hydraulic_key

__all__ = ["LET_OFF", "holding", "is_wet", "lets_off", "unrelieved"]

LET_OFF = "let_off"
"""The key, or the word ``once``, of the step that lets stored pressure off."""

_OPENS = ("tray_out", "tray_in", "close")
_WET = ("element", "strainer", "bowl")


def lets_off(step: SheetStep) -> bool:
    """Say whether a step is the one that lets stored pressure off."""
    return LET_OFF in (step.once, step.key)


def holding(sheet: Sheet) -> frozenset[str]:
    """Return the housings that may hold pressure after stopping.

    A housing says so itself. Where the sheet has an accumulator and no housing says so, nobody knows which ones it
    reaches, and every housing in the hydraulic oil may be one.
    """
    told = frozenset(key for key, housing in sheet.housings.items() if housing.holds_pressure)
    if told or not sheet.hydraulic.accumulators:
        return told
    place = hydraulic_key(sheet)
    return frozenset(key for key, one in sheet.housings.items() if one.compartment == place and is_wet(one))


def is_wet(housing: Housing) -> bool:
    """Say whether oil stands in a housing: it holds an element, a strainer or a bowl."""
    return any(item.kind in _WET for item in housing.stack)


def unrelieved(sheet: Sheet) -> Iterator[tuple[str, int, Housing]]:
    """Yield of each task the first step that opens such a housing with nothing before it that lets the pressure off.

    The step counts from any task that the task includes: in a job they stand before the work.
    """
    held = holding(sheet)
    for task, steps in sheet.steps.items():
        others = _included(sheet, task)
        if any(lets_off(step) for other in others for step in sheet.steps.get(other, ())):
            continue
        for index, step in enumerate(steps):
            if lets_off(step):
                break
            if step.kind in _OPENS and step.housing in held:
                yield task, index, sheet.housings[step.housing]
                break


def _included(sheet: Sheet, task: str) -> set[str]:
    found: set[str] = set()
    waiting = list(sheet.tasks[task].includes)
    while waiting:
        one = waiting.pop()
        # One for an option comes along only where that is fitted.
        if one not in found and one in sheet.tasks and sheet.tasks[one].needs_option is None:
            found.add(one)
            waiting += sheet.tasks[one].includes
    return found
