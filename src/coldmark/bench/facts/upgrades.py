"""Evolution of the kinds: older versions as they were, and the pure functions that bring a body one version on.

Stored texts never change. When a kind gets version 2, its old table of fields moves into ``OLDER`` under
``(kind, 1)`` and a function goes into ``UPGRADES`` under the same key; both stay for good, and so does the golden
message of version 1. So far every kind is at its first version.
"""

from __future__ import annotations

from collections.abc import Callable

from coldmark.bench.facts.kinds import Kind
from coldmark.bench.facts.model import Body

__all__ = ["OLDER", "UPGRADES"]

OLDER: dict[tuple[str, int], Kind] = {}
UPGRADES: dict[tuple[str, int], Callable[[Body], Body]] = {}
