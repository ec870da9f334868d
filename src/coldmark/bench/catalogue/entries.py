"""All calculations, in the order in which they are offered."""

from __future__ import annotations

from coldmark.bench.catalogue import (
    dirt,
    expecting,
    filtering,
    filters,
    fit,
    hoses,
    joints,
    lamp,
    levels,
    limits,
    losing,
    mixing,
    oiling,
    parts,
    samples,
    services,
    signs,
    slewing,
    timing,
)
from coldmark.bench.catalogue.model import Entry

__all__ = ["ENTRIES"]

ENTRIES: dict[str, Entry] = {
    one.key: one
    for one in (
        *levels.ENTRIES,
        *slewing.ENTRIES,
        *losing.ENTRIES,
        *parts.ENTRIES,
        *mixing.ENTRIES,
        *oiling.ENTRIES,
        *filters.ENTRIES,
        *lamp.ENTRIES,
        *filtering.ENTRIES,
        *dirt.ENTRIES,
        *expecting.ENTRIES,
        *samples.ENTRIES,
        *limits.ENTRIES,
        *signs.ENTRIES,
        *services.ENTRIES,
        *joints.ENTRIES,
        *fit.ENTRIES,
        *hoses.ENTRIES,
        *timing.ENTRIES,
    )
}
