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
}
UPGRADES: dict[tuple[str, int], Callable[[Body], Body]] = {
    ("step_done", 1): _unchanged,
    ("part_in", 1): _unchanged,
}
