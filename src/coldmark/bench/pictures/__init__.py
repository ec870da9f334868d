"""Drawings as SVG text, the same for phone, page and paper."""

from __future__ import annotations

from coldmark.bench.pictures.bolts import bolt_order
from coldmark.bench.pictures.dirt import element_life, pump_inlet, tank_dirt
from coldmark.bench.pictures.glass import glass
from coldmark.bench.pictures.hose import hose_end
from coldmark.bench.pictures.machine import silhouette
from coldmark.bench.pictures.oils import oil_choice, oil_left
from coldmark.bench.pictures.parts import TrayItem, part, tray
from coldmark.bench.pictures.ring import ring, ring_in_groove
from coldmark.bench.pictures.samples import causes, code_ladder, metal_course
from coldmark.bench.pictures.strip import DueRow, due_strip
from coldmark.bench.pictures.strokes import strokes
from coldmark.bench.pictures.thread import bolt_measures, torque_range
from coldmark.bench.pictures.timing import timing_trend
from coldmark.bench.pictures.window import oil_window

__all__ = [
    "DueRow",
    "TrayItem",
    "bolt_measures",
    "bolt_order",
    "causes",
    "code_ladder",
    "due_strip",
    "element_life",
    "glass",
    "hose_end",
    "metal_course",
    "oil_choice",
    "oil_left",
    "oil_window",
    "part",
    "pump_inlet",
    "ring",
    "ring_in_groove",
    "silhouette",
    "strokes",
    "tank_dirt",
    "timing_trend",
    "torque_range",
    "tray",
]
