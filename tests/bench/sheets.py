"""Small data sheets for tests, made by hand so that a test shows all that it needs."""

from __future__ import annotations

from typing import Any

from coldmark.bench.clocks import Task
from coldmark.bench.level.model import Gauge, Posture, System, Tank
from coldmark.bench.sheet.model import Compartment, Housing, Item, Option, Part, Sheet

__all__ = ["SHEET", "sheet", "task"]

SHEET = "5e" * 32


def task(key: str, interval_h: float | None = 500.0, **more: Any) -> Task:
    """Return a task that counts from the meter with a tolerance of 50 h."""
    given: dict[str, Any] = {
        "name": key,
        "compartment": "hydraulic",
        "interval_months": None,
        "first_h": None,
        "tolerance_h": 50.0,
        "counts_from": "meter",
        "includes": (),
        "breaker": None,
        "needs_option": None,
        "origin": "sheet",
    }
    return Task(key=key, interval_h=interval_h, **(given | more))


def sheet(*tasks: Task, system_l: float | None = 100.0, sha256: str = SHEET) -> Sheet:
    """Return a sheet with one hydraulic and one engine compartment, one housing and a breaker option."""
    hydraulic = Compartment("hydraulic", "Hydraulic oil", "hydraulic oil", ("HM",), ("46",), "any", 90.0, 60.0, "sheet")
    engine = Compartment("engine", "Engine oil", "engine oil", (), ("10W-30",), "any", 8.0, 8.0, "sheet")
    stack = (
        Item("cover", "cover", "cover", None, 1, False, ""),
        Item("element", "element", "element", "return_element", 1, True, ""),
    )
    housing = Housing("return", "Return", "hydraulic", "top", True, False, "", stack, None, None, False, None, "sheet")
    part = Part("return_element", "Return element", "element", "CM 48/210", {}, 0.3, "", "", "sheet")
    return Sheet(
        sha256=sha256,
        maker="Invented",
        model="E 18",
        kind="excavator",
        mass_kg=1800.0,
        serial_from="",
        serial_to="",
        compartments={"hydraulic": hydraulic, "engine": engine},
        hydraulic=System(
            tank=Tank("steel"),
            gauge=Gauge("glass"),
            check_posture="check",
            postures={"check": Posture("check", "arm out", {})},
            system_l=system_l,
        ),
        start_limit_mm2_s=None,
        lowest_mm2_s=None,
        best_low_mm2_s=None,
        best_high_mm2_s=None,
        pumps=(),
        functions=(),
        housings={"return": housing},
        parts={"return_element": part},
        cautions={},
        options={"breaker": Option("breaker", "Breaker", (), True, 5.0)},
        tasks={one.key: one for one in tasks},
        steps={},
    )
