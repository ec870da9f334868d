"""Rank causes by what was seen and what was looked for in vain, and say what to look at next."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, cast

from coldmark.bench.errors import Contradiction, require_choice
from coldmark.bench.evidence.network import Network, Sign, network
from coldmark.bench.evidence.weighing import Evidence, Weighed, weigh
from coldmark.bench.shapes import dataclass
from coldmark.bench.words import sentence
from coldmark.bench.working import Given, Step, Working

__all__ = ["STATES", "Cause", "Check", "Ranking", "Reason", "State", "rank"]

State = Literal["seen", "absent", "not_looked"]
STATES: tuple[State, ...] = ("seen", "absent", "not_looked")
"""Seen; looked for and not there; not looked for."""

RAISED_BY = 1.5
RAISED_FROM = 0.05
MOST_TARGETS = 4
LEAST_BITS = 0.1
LEAST_SHIFT_BITS = 0.5
LEAST_TELLING_BITS = 0.005


@dataclass(frozen=True, slots=True)
class Reason:
    """What speaks for a cause or against it: signs of one group, and by how many bits they move its odds."""

    signs: tuple[str, ...]
    seen: bool
    bits: float


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause with its chance before and after, and the reasons, the strongest first.

    What speaks against it was looked for and is not there, or was seen and makes another cause explain the rest.

    ``raised``: it is half as likely again as before at least, and no less likely than one in twenty. ``fault`` is false
    where nothing is wrong.
    """

    key: str
    fault: bool
    before: float
    chance: float
    raised: bool
    speaks_for: tuple[Reason, ...]
    speaks_against: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to look at next: how many bits it is expected to tell of the causes, and what looking costs [min]."""

    sign: str
    bits: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Ranking:
    """All causes, the likeliest first; the checks left, the most telling first; signs that tell of no cause."""

    causes: tuple[Cause, ...]
    checks: tuple[Check, ...]
    idle: tuple[str, ...]
    working: Working

    @property
    def raised(self) -> tuple[Cause, ...]:
        """The causes that what was seen has raised."""
        return tuple(one for one in self.causes if one.raised)


def _states(observations: Mapping[str, str] | Iterable[tuple[str, str]], table: Network) -> dict[str, State]:
    """Return what was looked for, in the order of the table, so that the order of telling changes nothing."""
    pairs = observations.items() if isinstance(observations, Mapping) else observations
    found: dict[str, State] = {}
    for sign, told in pairs:
        require_choice("sign", sign, table.signs)
        state = cast(State, require_choice("state", told, STATES))
        if state == "not_looked":
            continue
        if found.get(sign, state) != state:
            raise Contradiction(name=sign, value=state, why="evidence.why.both")
        found[sign] = state
    return {sign: found[sign] for sign in table.signs if sign in found}


def _groups(found: Mapping[str, State], state: State, table: Network) -> dict[str, list[Sign]]:
    groups: dict[str, list[Sign]] = {}
    for sign, own in found.items():
        if own == state:
            groups.setdefault(table.signs[sign].group, []).append(table.signs[sign])
    return groups


def _strongest(signs: Iterable[Sign], table: Network) -> dict[str, float]:
    """Signs of one group count once: for each cause the strongest of them."""
    found: dict[str, float] = {}
    for one in signs:
        for cause, strength in table.links[one.key].items():
            found[cause] = max(strength, found.get(cause, 0.0))
    return found


def _log_odds(chance: float) -> float:
    return math.log2(chance / (1 - chance))


def _reasons(
    weighed: Weighed, seen: Mapping[str, list[Sign]], absent: Mapping[str, list[Sign]], table: Network
) -> dict[str, list[Reason]]:
    """What each sign does to each cause: by leaving its group out and weighing again."""
    found: dict[str, list[Reason]] = {cause: [] for cause in table.before}
    for part in weighed.parts:
        chances = part.chances()
        for group, without in part.without().items():
            own = tuple(one.key for one in seen[group] if table.links[one.key])
            shown_by = _strongest(seen[group], table)
            for cause, chance in chances.items():
                bits = _log_odds(chance) - _log_odds(without[cause])
                # What only shifts through other causes speaks against, never for: it shows nothing of this one.
                if (bits >= LEAST_BITS and cause in shown_by) or bits <= -LEAST_SHIFT_BITS:
                    found[cause].append(Reason(own, True, bits))
    for signs in absent.values():
        for cause, strength in _strongest(signs, table).items():
            own = tuple(one.key for one in signs if cause in table.links[one.key])
            found[cause].append(Reason(own, False, math.log2(1 - strength)))
    return {cause: sorted(reasons, key=lambda one: -abs(one.bits)) for cause, reasons in found.items()}


def _causes(
    weighed: Weighed, seen: Mapping[str, list[Sign]], absent: Mapping[str, list[Sign]], table: Network
) -> tuple[Cause, ...]:
    reasons = _reasons(weighed, seen, absent, table)
    found = []
    for part in weighed.parts:
        for key, chance in part.chances().items():
            before = table.before[key]
            raised = chance >= RAISED_FROM and chance / (1 - chance) >= RAISED_BY * before / (1 - before)
            speaks_for, against = (tuple(one for one in reasons[key] if (one.bits > 0) is way) for way in (True, False))
            found.append(Cause(key, key not in table.harmless, before, chance, raised, speaks_for, against))
    return tuple(sorted(found, key=lambda one: (-one.chance, one.key)))


def _checks(weighed: Weighed, raised: Sequence[Cause], looked_at: Iterable[str], table: Network) -> tuple[Check, ...]:
    """What is left to look at: what tells most of the causes raised, or of all faults where none is.

    A group that was looked at is done with, since more of it would tell the same again.
    """
    done, found = set(looked_at), []
    targets = [one.key for one in raised[:MOST_TARGETS]]
    for sign in table.signs.values():
        strengths = table.links[sign.key]
        if sign.group in done or not strengths:
            continue
        aims = targets or [one for one in strengths if one not in table.harmless]
        bits = weighed.tells(strengths, sign.background, aims)
        if bits >= LEAST_TELLING_BITS:
            found.append(Check(sign.key, bits, sign.minutes))
    return tuple(sorted(found, key=lambda one: (-one.bits, one.minutes, one.sign)))


def _working(causes: Iterable[Cause], found: Mapping[str, State], table: Network) -> Working:
    steps = []
    for one in causes:
        if not one.raised:
            continue
        givens = [Given(sentence("evidence.symbol.before"), one.before, "share", "assumed")]
        for reason in (*one.speaks_for, *one.speaks_against):
            names = ", ".join(sentence(f"evidence.sign.{sign}") for sign in reason.signs)
            state = sentence("evidence.state.seen" if reason.seen else "evidence.state.absent")
            givens.append(Given(f"{names} ({state})", reason.bits, "bit", "practice"))
        origins = {table.origins[one.key, sign] for sign in found if (one.key, sign) in table.origins}
        source = "; ".join(sorted(origins)) or "assumed"
        steps.append(
            Step(
                f"evidence.cause.{one.key}",
                "log₂ odds = log₂ odds before + bits of each sign, the causes weighed together (noisy-OR)",
                tuple(givens),
                one.chance,
                "share",
                source,
            )
        )
    if not steps:
        least = Given(sentence("evidence.symbol.least"), RAISED_BY, "", "assumed")
        steps.append(Step("working.evidence.none", "odds / odds before", (least,), "–", "", "assumed"))
    return Working(tuple(steps))


def rank(observations: Mapping[str, str] | Iterable[tuple[str, str]]) -> Ranking:
    """Rank what may be behind the signs on a hydraulic system, and what would tell most next.

    Parameters
    ----------
    observations
        Signs with their states: *seen*, *absent* (looked for and not there) or *not_looked*. A sign that is not named
        was not looked for.

    Returns
    -------
    Ranking
        Causes with reasons, and checks by expected information [bit] with their cost [min].

    Valid for
        The causes and signs of :func:`network`. Signs of one group count once, as strong as the strongest of them for
        each cause. Up to ten causes that what is seen binds together are weighed exactly; of more, the 1024 sets that
        weigh most are kept.

    Raises
    ------
    NotAChoice
        For a sign or state that is not known.
    Contradiction
        When one sign is told as seen and as absent.

    Source
        Noisy-OR network (Pearl; from memory). Links are common practice unless their row says otherwise; every strength
        is assumed, so the order is worth more than the figures.

    Examples
    --------
    >>> found = rank({"bronze_flakes": "seen", "dark_residue": "seen"})
    >>> [one.key for one in found.raised], found.idle, found.checks[0].sign
    (['pump_wear', 'motor_wear'], ('dark_residue',), 'much_case_drain')
    """
    table = network()
    found = _states(observations, table)
    seen, absent = _groups(found, "seen", table), _groups(found, "absent", table)
    evidences = [
        Evidence(group, _strongest(signs, table), min(one.background for one in signs)) for group, signs in seen.items()
    ]
    weighed = weigh(table.before, [_strongest(signs, table) for signs in absent.values()], evidences)
    causes = _causes(weighed, seen, absent, table)
    raised = [one for one in causes if one.raised]
    checks = _checks(weighed, raised, {*seen, *absent}, table)
    idle = tuple(sign for sign, state in found.items() if state == "seen" and not table.links[sign])
    return Ranking(causes, checks, idle, _working(causes, found, table))
