"""Evolution of the kinds: older versions as they were, and the pure functions that bring a body one version on.

Stored texts never change. When a kind gets version 2, its old table of fields moves into ``OLDER`` under
``(kind, 1)`` and a function goes into ``UPGRADES`` under the same key; both stay for good, and so does the golden
message of version 1. A field that is new and may be left out changes nothing in an older body.
"""

from __future__ import annotations

from collections.abc import Callable

from coldmark.bench.facts.kinds import Field, Kind
from coldmark.bench.facts.model import Body

__all__ = ["OLDER", "UPGRADES"]


def _unchanged(body: Body) -> Body:
    return body


_NOTE_1 = Field("hash", "what was said, as text kept apart", optional=True)
_REASONS_1 = (
    "part_not_here",
    "tool_not_here",
    "will_not_come_loose",
    "not_fitted_here",
    "owner_said_no",
    "not_safe_here",
    "no_time_today",
    "done_lately",
    "part_damaged",
    "part_was_missing",
    "other",
)

OLDER: dict[tuple[str, int], Kind] = {
    # without whose figure the torque was
    ("step_done", 1): Kind(
        "step_done",
        1,
        "a step was done",
        ("machine",),
        {
            "step": Field("key", "which"),
            "torque": Field("quantity", "the torque used", optional=True, measures="torque"),
            "photos": Field("hashes", "photos", optional=True),
        },
        needs_job=True,
    ),
    # without the reason for an old part where a new one is due
    ("part_in", 1): Kind(
        "part_in",
        1,
        "a part went back into its place",
        ("machine",),
        {
            "place": Field("key", "housing.item"),
            "count": Field("whole", "how many"),
            "fresh": Field("truth", "a new one"),
            "part": Field("key", "which part of the sheet", optional=True),
            "number": Field("mark", "the number on it, where it differs", optional=True),
        },
        needs_job=True,
    ),
    # before one could say why instead of typing it
    ("step_skipped", 1): Kind(
        "step_skipped",
        1,
        "a step was left out",
        ("machine",),
        {"step": Field("key", "which"), "reason": Field("choice", "why", choices=_REASONS_1), "note": _NOTE_1},
        needs_job=True,
    ),
    ("gate_opened", 1): Kind(
        "gate_opened",
        1,
        "a gate was passed although its condition was not met",
        ("machine",),
        {"gate": Field("key", "which"), "reason": Field("choice", "why", choices=_REASONS_1), "note": _NOTE_1},
        needs_job=True,
    ),
    ("part_out", 1): Kind(
        "part_out",
        1,
        "a part came out of its place",
        ("machine",),
        {
            "place": Field("key", "housing.item"),
            "count": Field("whole", "how many"),
            "state": Field(
                "choice",
                "how it looked",
                choices=("as_expected", "damaged", "deformed", "missing", "stuck_and_left", "fewer", "more"),
            ),
            "note": _NOTE_1,
            "photo": Field("hash", "its photo", optional=True),
        },
        needs_job=True,
    ),
    # before there were voices, and names for what lies in an opened housing besides metal, rubber and water
    ("finding", 1): Kind(
        "finding",
        1,
        "something was found that the owner should know",
        ("machine",),
        {
            "about": Field("key", "compartment, housing or part"),
            "what": Field(
                "choice",
                "what it is",
                choices=(
                    "leak",
                    "chafed_hose",
                    "cracked_hose",
                    "bright_metal",
                    "bronze_flakes",
                    "rubber_bits",
                    "dark_residue",
                    "water",
                    "rust",
                    "foam",
                    "torn_element",
                    "wrong_part",
                    "missing_part",
                    "worn_part",
                    "loose_part",
                    "damage",
                    "other",
                ),
            ),
            "urgency": Field(
                "choice", "when it wants doing", choices=("keep_watching", "plan_for_it", "before_next_work")
            ),
            "advice": Field("hash", "what is advised, as text kept apart", optional=True),
            "note": Field("hash", "what was said, as text kept apart", optional=True),
            "photos": Field("hashes", "photos", optional=True),
            "cost_low": Field("whole", "cost now at least, in whole money", optional=True),
            "cost_high": Field("whole", "cost now at most", optional=True),
            "waiting_low": Field("whole", "cost of waiting at least", optional=True),
            "waiting_high": Field("whole", "cost of waiting at most", optional=True),
        },
    ),
    # numbers with a unit alone, no codes
    ("lab_value", 1): Kind(
        "lab_value",
        1,
        "the laboratory found a value",
        ("machine",),
        {
            "sample": Field("id", "the sample's fact"),
            "name": Field("key", "what was measured"),
            "value": Field("decimal", "the value as printed"),
            "unit": Field("mark", "its unit as printed"),
        },
    ),
}
UPGRADES: dict[tuple[str, int], Callable[[Body], Body]] = {
    ("step_done", 1): _unchanged,
    ("part_in", 1): _unchanged,
    ("step_skipped", 1): _unchanged,
    ("gate_opened", 1): _unchanged,
    ("part_out", 1): _unchanged,
    ("finding", 1): _unchanged,
    ("lab_value", 1): _unchanged,
}
