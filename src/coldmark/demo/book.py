"""What was written in a service book, before jobs were worked by the card: hours, levels, litres, tasks."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from coldmark.bench.clocks import Task
from coldmark.bench.facts import Fact
from coldmark.demo.life import Life, Look
from coldmark.demo.mechanic import quantity
from coldmark.demo.pen import Pen

__all__ = ["begin_book", "serve_by_book"]


def begin_book(life: Life, pen: Pen, recorded: datetime, owner: str, site: str | None, zone: ZoneInfo) -> list[Fact]:
    """Type in what a machine's book says when it comes to the business: hand-over, owner, options, last services."""
    machine, first = life.machine, life.hours.first
    rate = machine.per_day * machine.days / 7 * 0.8

    def day_at(hours: float) -> date:
        return first - timedelta(days=math.ceil((machine.hours - hours) / rate) + 1)

    handed_over = day_at(0.0) - timedelta(days=6)
    at = datetime.combine(handed_over, time(9), tzinfo=zone)
    where = {"customer": owner} if site is None else {"customer": owner, "site": site}
    entries: list[tuple[datetime, str, dict[str, Any]]] = [
        (at, "owner_changed", where),
        (at, "sheet_assigned", {"sheet": life.sheet.sha256}),
        (at, "handed_over", {"day": handed_over.isoformat()}),
    ]
    for option in life.options():
        entries.append((at, "option_fitted", {"option": option, "fitted": True}))
    extra_l = sum(life.sheet.options[option].extra_l or 0.0 for option in life.options())
    system_l = (life.sheet.hydraulic.system_l or 0.0) + extra_l
    fill = {"compartment": life.main_tank, "way": "fill", "litres": quantity(system_l, "l"), "oil": life.oil}
    entries.append((at, "oil_moved", fill))
    for hours, tasks in sorted(_last_services(life, machine.hours).items()):
        served = datetime.combine(day_at(hours), time(10), tzinfo=zone)
        reading = {"value": f"{hours:.1f}", "unit": "h"}
        entries.append((served, "meter_read", {"reading": reading, "way": "told"}))
        entries += [(served + timedelta(minutes=5), "task_done", {"task": task}) for task in tasks]
    seen = {"value": f"{math.floor(machine.hours * 10) / 10:.1f}", "unit": "h"}
    entries.append((recorded, "meter_read", {"reading": seen, "way": "seen"}))
    return [pen.write(kind, life.id, at, body, recorded=recorded) for at, kind, body in entries]


def _last_services(life: Life, hours: float) -> dict[float, list[str]]:
    """At what hours each task was done last, before the machine had ``hours``."""
    found: dict[float, list[str]] = {}
    served: dict[float, float] = {}
    for task in life.sheet.tasks.values():
        if task.needs_option is not None and task.needs_option not in life.options():
            continue
        line = _last_line(task, hours)
        if line is not None:
            late = min(life.rng.uniform(0, 15), (hours - line) / 2)
            at = served.setdefault(line, float(math.floor(line + late)))
            found.setdefault(at, []).append(task.key)
    return found


def _last_line(task: Task, hours: float) -> float | None:
    if task.interval_h is None:
        return None
    line = math.floor(hours / task.interval_h) * task.interval_h
    if line > 0:
        return line
    return task.first_h if task.first_h is not None and task.first_h <= hours else None


def serve_by_book(
    life: Life, pen: Pen, look: Look, begins: datetime, tasks: tuple[str, ...], card: Mapping[str, Any]
) -> list[Fact]:
    """Serve a machine and write the little that the book has room for; it is typed in two evenings later."""
    recorded = datetime.combine(begins.date() + timedelta(days=2), time(19), tzinfo=begins.tzinfo)
    at, facts = begins, list[Fact]()

    def note(kind: str, body: Mapping[str, Any]) -> None:
        facts.append(pen.write(kind, life.id, at, body, recorded=recorded))

    for place, screen in enumerate(card["screens"]):
        kind, compartment = screen["kind"], screen["compartment"]
        if kind == "meter" and place < len(card["screens"]) // 2:
            shown = look.meter(False)
            if shown is not None:
                note("meter_read", {"reading": {"value": shown, "unit": "h"}, "way": "seen"})
        elif kind in ("level_found", "level_left") and compartment == life.main_tank:
            moment = kind.removeprefix("level_")
            note("level_read", {"compartment": compartment, "moment": moment, **look.level(screen)})
        elif kind in ("do", "add", "tray_out"):
            for pour in look.moved(screen):
                if pour.litres > 0:
                    body = {"compartment": compartment, "way": pour.way, "litres": quantity(pour.litres, "l")}
                    note("oil_moved", body | ({} if pour.oil is None else {"oil": pour.oil}))
        at += timedelta(minutes=round(max(screen["minutes"], screen["wait_min"] or 0)))
    for task in tasks:
        note("task_done", {"task": task})
    return facts
