"""Clocks: when a task falls due by hours, months and breaker work, and what is known of a machine's hours."""

from coldmark.bench.clocks.breaker import interval_h
from coldmark.bench.clocks.due import all_due, due
from coldmark.bench.clocks.grid import next_line_h, stands_for_h
from coldmark.bench.clocks.machine import breaker_share, hours_at, last_of, meter_doubt, start_of, usage
from coldmark.bench.clocks.model import (
    Breaker,
    BreakerSpan,
    DoneMark,
    DoneTask,
    Doubt,
    DueAt,
    HoursAt,
    Last,
    MeterPoint,
    MeterState,
    Note,
    Start,
    Task,
    Usage,
)
from coldmark.bench.clocks.months import add_months
from coldmark.bench.clocks.usage import hours_at_ms, trusted, usage_of, why_doubt

__all__ = [
    "Breaker",
    "BreakerSpan",
    "DoneMark",
    "DoneTask",
    "Doubt",
    "DueAt",
    "HoursAt",
    "Last",
    "MeterPoint",
    "MeterState",
    "Note",
    "Start",
    "Task",
    "Usage",
    "add_months",
    "all_due",
    "breaker_share",
    "due",
    "hours_at",
    "hours_at_ms",
    "interval_h",
    "last_of",
    "meter_doubt",
    "next_line_h",
    "stands_for_h",
    "start_of",
    "trusted",
    "usage",
    "usage_of",
    "why_doubt",
]
