"""What one key of a sheet says about another: references, orders, and values that cannot all be true."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from coldmark.bench.sheet.faults import nearest
from coldmark.bench.sheet.fields import Field, TableSpec
from coldmark.bench.sheet.lines import Path
from coldmark.bench.sheet.reading import Reading
from coldmark.bench.sheet.table import PHASES, ROOT
from coldmark.bench.sheet.tank import sole_hydraulic

__all__ = ["cross_check"]

Values = Mapping[str, Any]

_MOST_HARD_STOPS = 3
"""People stop reading a card that halts them often; three acknowledgements a job are kept for what can kill."""

_NEEDS_HOUSING = ("tray_out", "tray_in", "close")
_NEEDS_COMPARTMENT = ("level_found", "level_left", "add", "sample")
_NO_OILS = ("coolant", "brake fluid")


def _tables(spec: TableSpec, values: Values, path: Path) -> Iterator[tuple[TableSpec, Values, Path]]:
    """Walk through a table and all the tables in it."""
    yield spec, values, path
    for field in spec.fields:
        inner, here = values.get(field.name), (*path, field.key)
        if field.table is None or not inner:
            continue
        if field.type == "table":
            yield from _tables(field.table, inner, here)
        elif field.type == "named":
            for key, one in inner.items():
                yield from _tables(field.table, one, (*here, key))
        else:
            for index, one in enumerate(inner):
                yield from _tables(field.table, one, (*here, index))


def _named(values: Values, where: str) -> Mapping[str, Any]:
    """Return the table of names that a reference speaks of, such as ``hydraulic.cylinders``."""
    found: Any = values
    for part in where.split("."):
        found = found.get(part) or {}
    return found if isinstance(found, Mapping) else {}


def _reference(reading: Reading, names: Mapping[str, Any], refers: str, value: str, path: Path) -> None:
    if value in names:
        return
    if not names:
        reading.fault(path, value, "sheet.right.no_such_table", where=refers)
        return
    offered = nearest(value, names) or ", ".join(names)
    reading.fault(path, value, "sheet.right.reference", where=refers, names=offered)


def _references(reading: Reading, root: Values, field: Field, value: Any, path: Path) -> None:
    names = _named(root, field.refers)
    if field.type == "reference" and isinstance(value, str):
        _reference(reading, names, field.refers, value, path)
    elif field.type == "references":
        for index, one in enumerate(value):
            _reference(reading, names, field.refers, one, (*path, index))
    elif field.type == "shares":
        for key in value:
            _reference(reading, names, field.refers, key, (*path, key))


def _rising(reading: Reading, values: Values, path: Path, *keys: str, equal: bool = True) -> None:
    """Fault a pair of values that ought to rise in the order given."""
    known = [(key, values[key]) for key in keys if isinstance(values.get(key), int | float)]
    for (lower, small), (upper, large) in itertools.pairwise(known):
        if small > large or (not equal and small >= large):
            reading.fault((*path, upper), large, "sheet.right.above", other=f"{lower} = {small:g}")


def _tank(reading: Reading, tank: Values, path: Path) -> None:
    shape = tank.get("shape")
    if not shape or "kind" not in shape:
        return
    needs = {
        "upright": ("length_mm", "width_mm"),
        "upright_round": ("diameter_mm",),
        "lying": ("diameter_mm", "length_mm"),
        "table": ("rows",),
    }[shape["kind"]]
    here = (*path, "shape")
    for key in ("length_mm", "width_mm", "diameter_mm", "rows"):
        if key in needs and key in shape and shape[key] is None:
            reading.fault((*here, key), None, "sheet.right.shape_needs", kind=shape["kind"])
        elif key not in needs and shape.get(key) is not None:
            reading.fault((*here, key), None, "sheet.right.shape_without", kind=shape["kind"])
    rows = [row for row in shape.get("rows") or () if "height_mm" in row and "volume_l" in row]
    if "rows" in needs and shape.get("rows") is not None and len(rows) < 2:
        reading.fault((*here, "rows"), None, "sheet.right.two_rows")
    for index, (one, two) in enumerate(itertools.pairwise(rows)):
        if two["height_mm"] <= one["height_mm"] or two["volume_l"] <= one["volume_l"]:
            reading.fault((*here, "rows", index + 1), None, "sheet.right.rising_rows")


def _gauge(reading: Reading, gauge: Values, path: Path) -> None:
    _rising(reading, gauge, path, "hold_from_c", "hold_to_c")
    _rising(reading, gauge, path, "lower_mm", "upper_mm", equal=False)
    for one, other in (("hold_from_c", "hold_to_c"), ("lower_mm", "upper_mm")):
        for given, lacking in ((one, other), (other, one)):
            if gauge.get(given) is not None and lacking in gauge and gauge[lacking] is None:
                reading.fault((*path, lacking), None, "sheet.right.goes_with", other=given)


def _which_tank(reading: Reading, values: Values) -> None:
    """Fault a sheet that leaves open which compartment the hydraulic tank is, or that names one without oil."""
    hydraulic, places = values.get("hydraulic") or {}, values.get("compartments") or {}
    if "compartment" not in hydraulic or not places or any("fluid" not in one for one in places.values()):
        return  # at fault already
    here, told = ("hydraulic", "compartment"), hydraulic["compartment"]
    fluids = {key: one["fluid"] for key, one in places.items()}
    if told is not None:
        if fluids.get(told) in _NO_OILS:
            reading.fault(here, told, "sheet.right.tank_of_oil", fluid=fluids[told])
    elif sole_hydraulic(fluids.items()) is None:
        several = [key for key, fluid in fluids.items() if fluid == "hydraulic oil"]
        message = "sheet.right.which_tank" if several else "sheet.right.no_tank"
        reading.fault(here, None, message, names=", ".join(several or fluids))


def _suction(reading: Reading, values: Values) -> None:
    """Fault a strainer of whose resistance the sheet says nothing."""
    suction, path = (values.get("hydraulic") or {}).get("suction") or {}, ("hydraulic", "suction")
    strainer = (values.get("housings") or {}).get(suction.get("strainer") or "")
    if strainer is not None and "stage" in strainer and strainer["stage"] is None:
        reading.fault(
            (*path, "strainer"), suction["strainer"], "sheet.right.strainer_stage", housing=suction["strainer"]
        )


def _hydraulic(reading: Reading, hydraulic: Values, path: Path) -> None:
    _tank(reading, hydraulic.get("tank") or {}, (*path, "tank"))
    _gauge(reading, hydraulic.get("gauge") or {}, (*path, "gauge"))
    _rising(reading, hydraulic, path, "lowest_mm2_s", "best_low_mm2_s", "best_high_mm2_s", "start_limit_mm2_s")
    cylinders = hydraulic.get("cylinders") or {}
    for key, one in cylinders.items():
        if one.get("kind") in ("double", "single_dry", "through"):
            _rising(reading, one, (*path, "cylinders", key), "rod_mm", "bore_mm", equal=False)
    for key, one in (hydraulic.get("accumulators") or {}).items():
        _rising(reading, one, (*path, "accumulators", key), "charge_bar", "working_bar", equal=False)
    moving = [key for key, one in cylinders.items() if one.get("kind") != "through"]
    for key, one in (hydraulic.get("postures") or {}).items():
        lacking = [name for name in moving if name not in one.get("extension", cylinders)]
        if lacking:
            here = (*path, "postures", key, "extension")
            reading.fault(here, None, "sheet.right.all_cylinders", names=", ".join(lacking))


def _housing(reading: Reading, housing: Values, path: Path) -> None:
    seen: set[str] = set()
    for index, item in enumerate(housing.get("stack") or ()):
        here = (*path, "stack", index)
        if item.get("key") in seen:
            reading.fault((*here, "key"), item["key"], "sheet.right.only_once")
        seen.add(item.get("key", ""))
        # A can brings its own ring: that has no number, and still has to be accounted for.
        brought = housing.get("spin_on") is True and item.get("kind") == "seal"
        if item.get("renew") is True and "part" in item and item["part"] is None and not brought:
            reading.fault((*here, "part"), None, "sheet.right.renewed_part")
    held = housing.get("fasteners") or {}
    _rising(reading, held, (*path, "fasteners"), "torque_low_nm", "torque_nm", "torque_high_nm")
    stage = housing.get("stage") or {}
    _rising(reading, stage, (*path, "stage"), "alarm_bar", "terminal_bar")
    bypass = stage.get("bypass") or {}
    _rising(reading, bypass, (*path, "stage", "bypass"), "cracks_bar", "full_open_bar", equal=False)


def _steps(reading: Reading, steps: tuple[Values, ...], path: Path) -> None:
    seen: list[str] = []
    furthest = 0
    for index, step in enumerate(steps):
        here = (*path, index)
        kind = step.get("kind")
        if step.get("key") in seen:
            reading.fault((*here, "key"), step["key"], "sheet.right.only_once")
        for needed, kinds in (("housing", _NEEDS_HOUSING), ("compartment", _NEEDS_COMPARTMENT)):
            if kind in kinds and needed in step and step[needed] is None:
                reading.fault((*here, needed), None, "sheet.right.step_needs", kind=str(kind))
        for place, earlier in enumerate(step.get("after") or ()):
            if earlier not in seen:
                reading.fault((*here, "after", place), earlier, "sheet.right.earlier_step")
        if step.get("phase") in PHASES:
            phase = PHASES.index(step["phase"])
            if phase < furthest:
                reading.fault((*here, "phase"), step["phase"], "sheet.right.phases", phases=", ".join(PHASES))
            furthest = max(furthest, phase)
        seen.append(step.get("key", ""))


def _task(reading: Reading, task: Values, path: Path) -> None:
    clocks = ("interval_h", "interval_months", "first_h")
    if all(key in task and task[key] is None for key in clocks):
        reading.fault(path, None, "sheet.right.a_clock")
    rows = (task.get("breaker") or {}).get("rows") or ()
    for index, (one, two) in enumerate(itertools.pairwise(rows)):
        later = two.get("breaker_share", 1) <= one.get("breaker_share", 0)
        if later or two.get("interval_h", 0) > one.get("interval_h", 0):
            reading.fault((*path, "breaker", "rows", index + 1), None, "sheet.right.breaker_rows")
    if task.get("oil_change") is True and "compartment" in task and task["compartment"] is None:
        reading.fault((*path, "compartment"), None, "sheet.right.oil_change")
    _steps(reading, task.get("steps") or (), (*path, "steps"))


def _cycles(reading: Reading, tasks: Mapping[str, Values]) -> None:
    """Fault every task that includes itself by way of others."""
    for key, task in tasks.items():
        reached: set[str] = set()
        waiting = list(task.get("includes") or ())
        while waiting:
            one = waiting.pop()
            if one not in reached:
                reached.add(one)
                waiting += tasks.get(one, {}).get("includes") or ()
        if key in reached:
            reading.fault(("tasks", key, "includes"), None, "sheet.right.no_circle", task=key)


def _once(reading: Reading, tasks: Mapping[str, Values]) -> None:
    """Fault steps that are said to be one act but differ in kind, phase or what they are about."""
    first: dict[str, tuple[Values, str]] = {}
    for key, task in tasks.items():
        for index, step in enumerate(task.get("steps") or ()):
            word = step.get("once")
            if not word:
                continue
            same, where = first.setdefault(word, (step, f"{key}.{step.get('key', '')}"))
            for name in ("kind", "phase", "housing", "compartment"):
                if step.get(name) != same.get(name):
                    here = ("tasks", key, "steps", index, "once")
                    reading.fault(here, word, "sheet.right.same_act", other=where, name=name)


def _hard_stops(reading: Reading, cautions: Mapping[str, Values]) -> None:
    halting = [key for key, one in cautions.items() if one.get("hard_stop") is True]
    for key in halting[_MOST_HARD_STOPS:]:
        reading.fault(("cautions", key, "hard_stop"), True, "sheet.right.hard_stops", most=_MOST_HARD_STOPS)


def _timing(reading: Reading, timing: Values, path: Path) -> None:
    """Fault a most that belongs to the other kind, and a drift's most without the time that it is for."""
    own, other = ("most_mm", "most_s") if timing.get("kind") == "drift" else ("most_s", "most_mm")
    if "kind" not in timing:
        return
    if timing.get(other) is not None:
        reading.fault((*path, other), timing[other], "sheet.right.timing_kind", kind=timing["kind"], own=own)
    if timing.get("most_mm") is not None and "watched_min" in timing and timing["watched_min"] is None:
        reading.fault((*path, "watched_min"), None, "sheet.right.goes_with", other="most_mm")


_CHECKS: tuple[tuple[str, Callable[[Reading, Values, Path], None]], ...] = (
    ("housings", _housing),
    ("tasks", _task),
    ("timings", _timing),
)


def cross_check(reading: Reading, values: Values) -> None:
    """Note every fault between keys of a sheet whose values have been read; those at fault already are passed over."""
    for spec, table, path in list(_tables(ROOT, values, ())):
        for field in spec.fields:
            if field.refers and table.get(field.name) is not None:
                _references(reading, values, field, table[field.name], (*path, field.key))
    _hydraulic(reading, values.get("hydraulic") or {}, ("hydraulic",))
    _which_tank(reading, values)
    _suction(reading, values)
    for name, check in _CHECKS:
        for key, one in (values.get(name) or {}).items():
            check(reading, one, (name, key))
    tasks = values.get("tasks") or {}
    _cycles(reading, tasks)
    _once(reading, tasks)
    _hard_stops(reading, values.get("cautions") or {})
