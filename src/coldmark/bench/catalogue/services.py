"""Calculations on services: when a task falls due next, and whether the litres of a job add up."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from coldmark.bench import clocks, litres, words
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.errors import Missing
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Step, Working

__all__ = ["ENTRIES"]

_HOURS = "hour meters"
_RULE = "late inside the tolerance keeps the grid, early moves it: common practice, no source"


@dataclass(frozen=True, slots=True)
class _Next:
    stands_for_h: float
    interval_h: float
    due_h: float
    due_day: date | None


def _next_due(
    task: clocks.Task, done_h: float, line_h: float | None, share: float | None, done_day: date | None
) -> _Next:
    interval = task.interval_h or 0.0
    # The service before, as the line tells: one interval earlier, in hours that nobody asks about.
    before = None if line_h is None else clocks.Last(line_h - interval, date.min, line_h - interval)
    stands_for = clocks.stands_for_h(task, before, clocks.Start(first_known_h=done_h), done_h)
    shortened = interval if share is None else clocks.interval_h(task, share)
    months = task.interval_months
    day = None if done_day is None or months is None else clocks.add_months(done_day, months)
    return _Next(stands_for, shortened, stands_for + shortened, day)


def _prepare(values: Values) -> Mapping[str, Any]:
    if values["calendar_months"] is not None and values["done_day"] is None:
        raise Missing(name="done_day", needed_for=words.sentence("catalogue.the_calendar"))
    task = clocks.Task(
        key="task",
        name=words.sentence("catalogue.this_task"),
        compartment=None,
        interval_h=values["interval_h"],
        interval_months=values["calendar_months"],
        first_h=None,
        tolerance_h=values["tolerance_h"],
        counts_from=values["counts_from"],
        includes=(),
        breaker=clocks.Breaker(factor=values["breaker_factor"]),
        needs_option=None,
        origin="told",
    )
    return {
        "task": task,
        "done_h": values["done_h"],
        "line_h": values["line_h"],
        "share": values["breaker_share"],
        "done_day": values["done_day"],
    }


def _tell(found: _Next, values: Values, units: words.UnitSystem) -> Answer:
    says = [words.sentence("catalogue.next_due.says", units=units, due_h=found.due_h)]
    if found.due_day is not None:
        says.append(words.sentence("catalogue.next_due.day", due_day=found.due_day.isoformat()))
    stands = Step(
        "catalogue.step.stands_for",
        "late by no more than the tolerance: the line; else the hours at which it was done",
        (
            Given("done", values["done_h"], "h", "told"),
            Given("tolerance", values["tolerance_h"], "h", "told"),
            Given("interval", values["interval_h"], "h", "told"),
        ),
        found.stands_for_h,
        "h",
        _RULE,
    )
    share, factor = values["breaker_share"], values["breaker_factor"]
    due = Step(
        "catalogue.step.due",
        "line + interval / (1 − s + s · k)",
        (Given("s", share or 0.0, "share", "told"), Given("k", factor, "", "told")),
        found.due_h,
        "h",
        "harmonic rule for breaker work: common practice, no source",
    )
    return Answer(
        says=tuple(says),
        fields={
            "due_h": found.due_h,
            "stands_for_h": found.stands_for_h,
            "interval_h": found.interval_h,
            "due_day": None if found.due_day is None else found.due_day.isoformat(),
        },
        working=Working((stands, due)),
    )


@dataclass(frozen=True, slots=True)
class _Moved:
    way: str
    litres: float
    oil: str | None
    temperature_c: float | None


_WAYS = (*litres.IN_WAYS, *litres.OUT_WAYS, "attachment_on", "attachment_off", "water_drained")


def _moved(values: Values) -> Mapping[str, Any]:
    into = (*litres.IN_WAYS, "attachment_on")
    pours = [
        _Moved(row["way"], row["litres_l"] if row["way"] in into else -row["litres_l"], None, row["t_c"])
        for row in values["moved"]
    ]
    return {"pours": pours, "oil": values["inside"], "assumed_c": values["assumed_c"]}


def _tell_balance(found: litres.Balance, _values: Values, units: words.UnitSystem) -> Answer:
    return Answer(
        says=tuple(litres.says(found, units)),
        fields={"out_l": found.out_l, "in_l": found.in_l, "unexplained_l": found.unexplained_l},
        working=found.working,
    )


ENTRIES = (
    Entry(
        "litres_balance",
        (
            Input(
                "moved",
                "table",
                columns=(
                    Input("way", "choice", choices=_WAYS),
                    Input("litres_l", low=0, high=5000, source="a machine's oil", step=0.5),
                    Input("t_c", low=-50, high=150, source="API MPMS 11.1", optional=True, step=1),
                ),
                example=[["drained", "40", "60"], ["held_by_element", "0.6"], ["fill", "39.2", "12"]],
            ),
            Input("assumed_c", low=-50, high=150, source="API MPMS 11.1", default="20", step=1),
            Input("inside", "oil", optional=True),
        ),
        _moved,
        litres.balance,
        _tell_balance,
        ("out_l", "in_l", "unexplained_l"),
        ("API MPMS 11.1, lubricating oils", "cans to 2 %, common practice, no source"),
        "due",
        (
            r"V_{15} = V\,e^{-\alpha\,\Delta t\,(1 + 0.8\,\alpha\,\Delta t)},\quad \Delta t = t - 15",
            r"V_\mathrm{unexplained} = V_\mathrm{in} - V_\mathrm{out} - V_\mathrm{gained}",
        ),
    ),
    Entry(
        "next_due",
        (
            Input("interval_h", low=0, high=20_000, above=True, source="service intervals", example="500", step=50),
            Input("done_h", low=0, high=200_000, source=_HOURS, example="1530", step=10),
            Input("line_h", low=0, high=200_000, source=_HOURS, optional=True, example="1500", step=10),
            Input("tolerance_h", low=0, high=1000, source="service intervals", default="0", example="50", step=5),
            Input("counts_from", "choice", choices=("meter", "last_done"), default="meter"),
            Input(
                "breaker_share", low=0, high=1, source="a share of all hours", optional=True, example="0.2", step=0.05
            ),
            Input("breaker_factor", low=1, high=50, source="hours of wear for each breaker hour", default="1", step=1),
            Input("calendar_months", low=1, high=240, source="service intervals", optional=True, kind="whole", step=1),
            Input("done_day", "day", optional=True, example="2026-03-02"),
        ),
        _prepare,
        _next_due,
        _tell,
        ("due_h", "stands_for_h", "interval_h", "due_day"),
        ("common practice, no source",),
        "due",
        (r"h_\mathrm{due} = h_\mathrm{line} + \frac{\Delta h}{1 - s + s\,k}",),
    ),
)
