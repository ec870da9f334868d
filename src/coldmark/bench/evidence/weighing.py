"""Weigh causes against signs: the exact posterior of a noisy-OR network, part by part.

Signs that are absent only lower the odds of their causes, each by itself. Signs that are seen bind the causes that may
show them together; causes bound together, directly or through others, are one *part*, and each part is weighed by going
through the sets of its causes. No step subtracts, so that nothing is lost to rounding.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from coldmark.bench.shapes import dataclass

__all__ = ["Evidence", "Part", "Weighed", "entropy", "weigh"]

MOST_SETS = 1024
"""Most sets of causes that are kept in one part: all of ten causes, above that those that weigh most."""

_NEARLY_SURE = 1e-9


@dataclass(frozen=True, slots=True)
class Evidence:
    """What is seen of one group: how strongly each cause shows it, and how often it is there without a cause."""

    group: str
    strengths: Mapping[str, float]
    background: float


@dataclass(frozen=True, slots=True)
class Part:
    """Causes bound together: ``sets`` are bit masks over ``causes``, ``weights`` their weights, adding up to 1.

    ``explained`` has for each group seen in this part the chance of seeing it under each set.
    """

    causes: tuple[str, ...]
    sets: tuple[int, ...]
    weights: tuple[float, ...]
    explained: Mapping[str, Sequence[float]]

    def chances(self) -> dict[str, float]:
        """Return the chance of each cause by all that is seen."""
        return self._chances(self.weights, self._holding())

    def without(self) -> dict[str, dict[str, float]]:
        """Return the chance of each cause by all that is seen but one group, for each group."""
        holding = self._holding()
        return {
            group: self._chances([one / own for one, own in zip(self.weights, shown, strict=True)], holding)
            for group, shown in self.explained.items()
        }

    def _holding(self) -> list[list[int]]:
        """For each cause, where the sets stand in which it holds."""
        return [[place for place, mask in enumerate(self.sets) if mask >> at & 1] for at in range(len(self.causes))]

    def _chances(self, weights: Sequence[float], holding: Sequence[Sequence[int]]) -> dict[str, float]:
        total = sum(weights)
        found = (sum(map(weights.__getitem__, places)) / total for places in holding)
        # A chance is never nothing or all, whatever was rounded or left out.
        return {
            cause: min(max(one, _NEARLY_SURE), 1 - _NEARLY_SURE) for cause, one in zip(self.causes, found, strict=True)
        }

    def over(self, some: int) -> dict[int, float]:
        """Return the joint chances of some of its causes, both given as bit masks over its causes."""
        found: dict[int, float] = {}
        for mask, weight in zip(self.sets, self.weights, strict=True):
            own = mask & some
            found[own] = found.get(own, 0.0) + weight
        return found


@dataclass(frozen=True, slots=True)
class Weighed:
    """The posterior: the parts, and for each cause the part that it is in."""

    parts: tuple[Part, ...]
    part_of: Mapping[str, Part]

    def tells(self, strengths: Mapping[str, float], background: float, targets: Iterable[str]) -> float:
        """Return how many bits the answer to one sign is expected to tell of which targets hold.

        ``strengths`` are those of the causes that may show the sign; it tells nothing where none of them is bound to a
        target.
        """
        wanted = set(targets)
        # (targets that hold, chance, chance that the sign is not there), for each way in which things may stand.
        found: list[tuple[int, float, float]] = [(0, 1.0, 1.0 - background)]
        for part in self.parts:
            if not strengths.keys() & set(part.causes):
                continue
            aims = sum(1 << at for at, one in enumerate(part.causes) if one in wanted)
            own = [(1 << at, 1 - strengths[one]) for at, one in enumerate(part.causes) if one in strengths]
            shift = len(part.causes)
            found = [
                (held << shift | mask & aims, chance * weight, missing * _silent(own, mask))
                for mask, weight in part.over(aims | sum(bit for bit, _ in own)).items()
                for held, chance, missing in found
            ]
        by_targets: dict[int, tuple[float, float]] = {}
        for held, chance, missing in found:
            weight, none = by_targets.get(held, (0.0, 0.0))
            by_targets[held] = weight + chance, none + chance * missing
        left = sum(weight * entropy(none / weight) for weight, none in by_targets.values() if weight > 0)
        return max(0.0, entropy(sum(none for _, none in by_targets.values())) - left)


def _silent(showing: Sequence[tuple[int, float]], mask: int) -> float:
    """Return the chance that none of the causes that hold shows the sign."""
    return math.prod(silent for bit, silent in showing if mask & bit)


def entropy(chance: float) -> float:
    """Return how many bits are open in a question that is answered *yes* with ``chance``."""
    if chance <= 0 or chance >= 1:
        return 0.0
    return -(chance * math.log2(chance) + (1 - chance) * math.log2(1 - chance))


def _bound(causes: Iterable[str], seen: Sequence[Evidence]) -> list[tuple[list[str], list[Evidence]]]:
    """Put causes together that a group seen binds, directly or through others."""
    parts: list[tuple[set[str], list[Evidence]]] = [({one}, []) for one in causes]
    for evidence in seen:
        touched = [part for part in parts if part[0] & evidence.strengths.keys()]
        if not touched:
            continue
        parts = [part for part in parts if part not in touched]
        both = set().union(*(part[0] for part in touched))
        parts.append((both, [*(one for part in touched for one in part[1]), evidence]))
    return [(sorted(part), evidences) for part, evidences in parts]


def _in_order(causes: Sequence[str], seen: Sequence[Evidence]) -> list[str]:
    """Return the causes so that the groups that they show are done with as early as may be."""
    left, order = set(causes), []
    for evidence in sorted(seen, key=lambda one: len(one.strengths)):
        order += sorted(left & evidence.strengths.keys())
        left -= evidence.strengths.keys()
    return [*order, *sorted(left)]


def _part(causes: Sequence[str], odds: Mapping[str, float], seen: Sequence[Evidence]) -> Part:
    order = _in_order(causes, seen)
    sets, weights = [0], [1.0]
    # For each group seen, the chance under each set that nothing shows it.
    quiet = [[1 - one.background] for one in seen]
    for at, cause in enumerate(order):
        sets += [mask | 1 << at for mask in sets]
        weights += [own * odds[cause] for own in weights]
        for column, evidence in zip(quiet, seen, strict=True):
            silent = 1 - evidence.strengths.get(cause, 0.0)
            column += [own * silent for own in column] if silent < 1 else column
        if len(sets) > MOST_SETS:
            keep = _heaviest(weights, quiet, [_still_silent(one, order[at + 1 :], odds) for one in seen])
            sets = [sets[place] for place in keep]
            weights, *quiet = ([column[place] for place in keep] for column in (weights, *quiet))
    explained = {one.group: [1 - own for own in column] for one, column in zip(seen, quiet, strict=True)}
    for shown in explained.values():
        weights = [weight * own for weight, own in zip(weights, shown, strict=True)]
    total = math.fsum(weights)
    return Part(tuple(order), tuple(sets), tuple(one / total for one in weights), explained)


def _heaviest(weights: Sequence[float], quiet: Sequence[Sequence[float]], to_come: Sequence[float]) -> list[int]:
    """Return which sets to keep: those that weigh most once the causes to come show the rest by their own chances."""
    promise = list(weights)
    for column, rest in zip(quiet, to_come, strict=True):
        promise = [weight * (1 - own * rest) for weight, own in zip(promise, column, strict=True)]
    return sorted(sorted(range(len(promise)), key=promise.__getitem__)[-MOST_SETS:])


def _still_silent(evidence: Evidence, to_come: Iterable[str], odds: Mapping[str, float]) -> float:
    """Return the chance that none of the causes to come shows a group, each taken at its own chance."""
    chances = (odds[one] / (1 + odds[one]) * evidence.strengths.get(one, 0.0) for one in to_come)
    return math.prod(1 - one for one in chances)


def weigh(before: Mapping[str, float], absent: Iterable[Mapping[str, float]], seen: Sequence[Evidence]) -> Weighed:
    """Return the posterior for causes with their chances ``before``, strengths of what is absent, and what is seen."""
    odds = {cause: chance / (1 - chance) for cause, chance in before.items()}
    for strengths in absent:
        for cause, strength in strengths.items():
            odds[cause] *= 1 - strength
    parts = tuple(_part(causes, odds, evidences) for causes, evidences in _bound(before, seen))
    return Weighed(parts, {cause: part for part in parts for cause in part.causes})
