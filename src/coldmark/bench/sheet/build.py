"""From the values of a sheet without fault to the model that the sums take."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench.clocks.model import Breaker, Task
from coldmark.bench.filter.model import Bypass, Function, Pump, Stage, SuctionLine
from coldmark.bench.level.model import (
    Accumulator,
    Cylinder,
    Gauge,
    Lying,
    Posture,
    System,
    Table,
    Tank,
    Upright,
    UprightRound,
)
from coldmark.bench.sheet.model import (
    Caution,
    Compartment,
    Consumable,
    Fasteners,
    Housing,
    Item,
    Option,
    Part,
    Sheet,
    SheetStep,
    SuctionSide,
    Tool,
)
from coldmark.bench.timings.model import Timing

__all__ = ["build"]

Values = Mapping[str, Any]

_ATMOSPHERE_BAR = 1.01325
"""Standard atmosphere: a sheet gives an accumulator's pressures as a gauge shows them, the sums want absolute ones."""


def _plain(values: Values, *without: str) -> dict[str, Any]:
    return {name: value for name, value in values.items() if name not in without}


def _shape(values: Values | None) -> Table | Upright | UprightRound | Lying | None:
    if values is None:
        return None
    match values["kind"]:
        case "upright":
            return Upright(values["length_mm"], values["width_mm"])
        case "upright_round":
            return UprightRound(values["diameter_mm"])
        case "lying":
            return Lying(values["diameter_mm"], values["length_mm"])
        case _:
            return Table(tuple((row["height_mm"], row["volume_l"]) for row in values["rows"]))


def _origins(values: Values) -> dict[str, str]:
    """Return where each figure given for the system, tank and gauge comes from; one for each cylinder and the like."""
    found: dict[str, str] = {}
    for table in (values, values["tank"], values["gauge"]):
        found |= {
            name: table["origin"]
            for name, value in table.items()
            if name != "origin" and value is not None and not isinstance(value, Mapping)
        }
    if values["tank"]["shape"] is not None:
        found["shape"] = values["tank"]["shape"]["origin"]
    for group in ("cylinders", "accumulators", "postures"):
        found |= {f"{group}.{key}": one["origin"] for key, one in values[group].items()}
    return found


def _system(values: Values) -> System:
    tank, gauge = values["tank"], values["gauge"]
    return System(
        tank=Tank(**_plain(tank, "shape", "origin"), shape=_shape(tank["shape"])),
        gauge=Gauge(**_plain(gauge, "origin")),
        check_posture=values["check_posture"],
        postures={key: Posture(key=key, **_plain(one, "origin")) for key, one in values["postures"].items()},
        system_l=values["system_l"],
        cylinders=tuple(Cylinder(name=key, **_plain(one, "origin")) for key, one in values["cylinders"].items()),
        accumulators=tuple(
            Accumulator(
                key,
                one["gas_l"],
                one["charge_bar"] + _ATMOSPHERE_BAR,
                one["working_bar"] + _ATMOSPHERE_BAR,
                one["exponent"],
            )
            for key, one in values["accumulators"].items()
        ),
        engine=values["engine"],
        settle_min=values["settle_min"],
        hot_c=values["hot_c"],
        origins=_origins(values),
    )


def _suction(values: Values | None) -> SuctionSide | None:
    if values is None:
        return None
    line = {name: values[name] for name in ("inner_mm", "length_mm", "head_mm", "fittings", "roughness_mm")}
    return SuctionSide(line=SuctionLine(**line), **_plain(values, *line))


def _stage(name: str, values: Values | None) -> Stage | None:
    if values is None:
        return None
    bypass = values["bypass"]
    return Stage(
        name=name,
        bypass=None if bypass is None else Bypass(**_plain(bypass, "origin")),
        **_plain(values, "bypass", "origin"),
    )


def _housing(key: str, values: Values) -> Housing:
    held = values["fasteners"]
    return Housing(
        key=key,
        stack=tuple(Item(**_plain(item, "origin")) for item in values["stack"]),
        fasteners=None if held is None else Fasteners(**held),
        stage=_stage(key, values["stage"]),
        **_plain(values, "stack", "fasteners", "stage"),
    )


def _task(key: str, values: Values) -> Task:
    breaker = values["breaker"]
    rows = () if breaker is None else tuple((row["breaker_share"], row["interval_h"]) for row in breaker["rows"])
    return Task(
        key=key,
        breaker=None if breaker is None else Breaker(rows, breaker["factor"]),
        **_plain(values, "breaker", "steps"),
    )


def _step(values: Values) -> SheetStep:
    return SheetStep(
        tools=tuple(Tool(**_plain(tool, "origin")) for tool in values["tools"]),
        consumables=tuple(Consumable(**_plain(one, "origin")) for one in values["consumables"]),
        parts=tuple((one["part"], one["count"]) for one in values["parts"]),
        **_plain(values, "tools", "consumables", "parts", "origin"),
    )


def build(values: Values, sha256: str) -> Sheet:
    """Return the sheet of values that have been read and found without fault."""
    machine, hydraulic = values["machine"], values["hydraulic"]
    return Sheet(
        sha256=sha256,
        **_plain(machine, "origin"),
        compartments={key: Compartment(key=key, **one) for key, one in values["compartments"].items()},
        hydraulic=_system(hydraulic),
        start_limit_mm2_s=hydraulic["start_limit_mm2_s"],
        lowest_mm2_s=hydraulic["lowest_mm2_s"],
        best_low_mm2_s=hydraulic["best_low_mm2_s"],
        best_high_mm2_s=hydraulic["best_high_mm2_s"],
        pumps=tuple(Pump(name=key, **_plain(one, "origin")) for key, one in values["pumps"].items()),
        functions=tuple(Function(name=key, **_plain(one, "origin")) for key, one in values["functions"].items()),
        housings={key: _housing(key, one) for key, one in values["housings"].items()},
        parts={key: Part(key=key, **one) for key, one in values["parts"].items()},
        cautions={key: Caution(key=key, **_plain(one, "origin")) for key, one in values["cautions"].items()},
        options={key: Option(key=key, **_plain(one, "origin")) for key, one in values["options"].items()},
        tasks={key: _task(key, one) for key, one in values["tasks"].items()},
        steps={key: tuple(_step(one) for one in task["steps"]) for key, task in values["tasks"].items()},
        hydraulic_compartment=hydraulic["compartment"],
        timings={key: Timing(key=key, **one) for key, one in values["timings"].items()},
        suction=_suction(hydraulic["suction"]),
    )
