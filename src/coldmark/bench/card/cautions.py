"""The cautions of a job: which of them halt it, those that every job has, and how the card carries one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from coldmark.bench.card.acts import Act
from coldmark.bench.sheet.model import Caution, Sheet, SignalWord
from coldmark.bench.words import sentence

__all__ = ["MOST_STOPS", "caution_plain", "stops_of", "usual"]

MOST_STOPS: Final = 3
"""How many hard stops a job may have: more are read by nobody."""

_SEVERITY: Sequence[SignalWord] = ("danger", "warning", "caution", "notice")
_USUAL: Mapping[str, SignalWord] = {"pressure_down": "danger", "key_kept": "danger", "clear_of_tank": "warning"}


def usual(key: str) -> Caution:
    """Return one of the three hard stops that every such job has, for a sheet that names none."""
    return Caution(
        key=key,
        word=_USUAL[key],
        hazard=sentence(f"card.stop.{key}.hazard"),
        consequence=sentence(f"card.stop.{key}.consequence"),
        avoidance=sentence(f"card.stop.{key}.avoidance"),
        hard_stop=True,
    )


def stops_of(sheet: Sheet, acts: Sequence[Act]) -> list[Caution]:
    """Return the hard stops of the job, at most three: the gravest, in the order in which the work meets them."""
    named = dict.fromkeys(key for act in acts for key in act.step.cautions)
    met = [sheet.cautions[key] for key in named if key in sheet.cautions and sheet.cautions[key].hard_stop]
    if not met:
        return [usual(key) for key in _USUAL]
    gravest = sorted(met, key=lambda caution: _SEVERITY.index(caution.word))[:MOST_STOPS]
    return [caution for caution in met if caution in gravest]


def caution_plain(caution: Caution, *, stops: bool) -> dict[str, Any]:
    """Return a caution as the card carries it; ``stops`` says whether this screen halts for it."""
    return {
        "key": caution.key,
        "word": caution.word,
        "hazard": caution.hazard,
        "consequence": caution.consequence,
        "avoidance": caution.avoidance,
        "hard_stop": stops,
    }
