"""What the keys of a data sheet are called, whatever they name; a key that it does not know stands as words."""

from __future__ import annotations

from coldmark.bench import words
from coldmark.bench.card import title_of_added
from coldmark.bench.sheet import Sheet

__all__ = ["name_of"]


def name_of(sheet: Sheet | None, key: str) -> str:
    """What a key of the sheet is called, whatever it names: a task, a step, a place, a part, a posture …"""
    if sheet is not None:
        for named in (sheet.tasks, sheet.compartments, sheet.housings, sheet.parts, sheet.options, sheet.timings):
            if key in named:
                return named[key].name
        if key in sheet.cautions:
            return sheet.cautions[key].hazard.rstrip(".")
        if key in sheet.hydraulic.postures:
            return sheet.hydraulic.postures[key].says
        first, _dot, last = key.partition(".")
        if first in sheet.housings:
            return _item(sheet, first, last)
        if first in sheet.tasks:
            return _step(sheet, first, last)
    if key == "elsewhere":
        return words.sentence("card.elsewhere")
    stop = f"card.stop.{key}.hazard"
    return words.sentence(stop).rstrip(".") if words.has(stop) else key.replace(".", ", ").replace("_", " ")


def _item(sheet: Sheet, housing: str, item: str) -> str:
    found = next((one.name for one in sheet.housings[housing].stack if one.key == item), item.replace("_", " "))
    name = sheet.housings[housing].name
    # A strainer in a strainer's housing is one thing to whoever has it in his hand.
    return found if found == name else words.sentence("story.item", item=found, housing=name)


def _step(sheet: Sheet, task: str, step: str) -> str:
    found = next((one for one in sheet.steps.get(task, ()) if one.key == step), None)
    if found is not None:
        return found.says.rstrip(".")
    added = title_of_added(sheet, step)
    if added is not None:
        return added
    return words.sentence("story.step", step=step.replace("_", " "), task=sheet.tasks[task].name)
