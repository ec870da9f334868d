"""A noisy-OR network weighed the long way: every set of causes, with arrays, to hold the quick way against."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import NDArray

from coldmark.bench.evidence import Network

Floats = NDArray[np.float64]


def _entropy(chances: Floats) -> float:
    kept = chances[chances > 0]
    return float(-(kept * np.log2(kept)).sum())


class AllSets:
    """All sets of a network's causes, with the chance of each before anything is seen."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.causes = list(network.before)
        sets = np.arange(2 ** len(self.causes))
        self.holds = {cause: (sets >> at & 1).astype(bool) for at, cause in enumerate(self.causes)}
        self.before = np.ones(len(sets))
        for cause, chance in network.before.items():
            self.before *= np.where(self.holds[cause], chance, 1 - chance)

    def _silent(self, signs: Iterable[str]) -> Floats:
        """The chance under each set that none of its causes shows any of the signs, each as strong as its strongest."""
        silent: Floats = np.ones(len(self.before))
        for cause in self.causes:
            strength = max(self.network.links[sign].get(cause, 0.0) for sign in signs)
            if strength > 0:
                silent[self.holds[cause]] *= 1 - strength
        return silent

    def posterior(self, observations: Mapping[str, str]) -> Floats:
        groups: dict[tuple[str, str], list[str]] = {}
        for sign, state in observations.items():
            groups.setdefault((self.network.signs[sign].group, state), []).append(sign)
        weights: Floats = self.before.copy()
        for (_, state), signs in groups.items():
            silent = self._silent(signs)
            if state == "seen":
                weights *= 1 - (1 - min(self.network.signs[sign].background for sign in signs)) * silent
            else:
                weights *= silent
        return np.asarray(weights / weights.sum(), dtype=np.float64)

    def chances(self, observations: Mapping[str, str]) -> dict[str, float]:
        weights = self.posterior(observations)
        return {cause: float(weights[self.holds[cause]].sum()) for cause in self.causes}

    def _by_targets(self, values: Floats, targets: list[str]) -> Floats:
        keys = np.zeros(len(self.before), dtype=np.int64)
        for at, cause in enumerate(targets):
            keys += self.holds[cause].astype(np.int64) << at
        return np.asarray(np.bincount(keys, weights=values, minlength=2 ** len(targets)), dtype=np.float64)

    def _there(self, sign: str) -> Floats:
        return 1 - (1 - self.network.signs[sign].background) * self._silent([sign])

    def shows(self, observations: Mapping[str, str], sign: str) -> float:
        """The chance that the sign is there."""
        return float((self.posterior(observations) * self._there(sign)).sum())

    def open_bits(self, observations: Mapping[str, str], targets: list[str]) -> float:
        """How many bits are open in which of the targets hold."""
        return _entropy(self._by_targets(self.posterior(observations), targets))

    def tells(self, observations: Mapping[str, str], sign: str, targets: list[str]) -> float:
        """Mutual information of the sign and the targets, from their joint chances."""
        weights = self.posterior(observations)
        there = self._by_targets(weights * self._there(sign), targets)
        missing = self._by_targets(weights * (1 - self._there(sign)), targets)
        joint = np.concatenate([there, missing])
        return _entropy(there + missing) + _entropy(np.array([there.sum(), missing.sum()])) - _entropy(joint)
