"""What a machine's own samples and findings tell: signs for the ranking, and wear on the fill that is in now.

A laboratory prints figures; a ranking asks for signs. The steps between are here, each with where it is from.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from typing import Protocol

from coldmark.bench import cleanliness, wear
from coldmark.bench.errors import CannotTell, ColdmarkError, Refused, require_above
from coldmark.bench.evidence import State
from coldmark.bench.facts import moment_ms
from coldmark.bench.shapes import dataclass

__all__ = ["METALS", "Drawn", "PourSeen", "against_limit", "code_of", "plain_name", "signs", "wear_of"]

METALS = ("iron", "copper", "lead", "chromium", "tin", "silicon")
"""What wear is worked out for, in the order in which it is told."""

FINDINGS = {
    "bronze_flakes": "bronze_flakes",
    "bright_metal": "bright_metal",
    "swarf": "swarf",
    "grit": "gritty_element",
    "rubber_bits": "rubber_bits",
    "dark_residue": "dark_residue",
    "almost_no_debris": "almost_no_debris",
    "water": "water_seen",
    "rust": "rust_seen",
    "foam": "foam_seen",
    "torn_element": "torn_element",
    "stuck_valve": "valve_stuck",
    "scored_rod": "scored_rod",
    "bad_breather": "bad_breather",
    "cracked_hose": "aged_hose",
    "leak": "oil_outside",
}
"""What a mechanic finds, as the sign that it is. What is not here says nothing of a cause."""

JUMP_SHARE = 0.5
JUMP_LEAST_MG_KG = 20.0
"""A jump: half as much again as in the sample before, and 20 mg/kg more; common practice, no source."""

_NAMES = {
    "fe": "iron",
    "cu": "copper",
    "pb": "lead",
    "cr": "chromium",
    "sn": "tin",
    "si": "silicon",
    "ca": "calcium",
    "mg": "magnesium",
    "na": "sodium",
    "k": "potassium",
    "h2o": "water",
    "viscosity_40": "kv40",
    "viscosity40": "kv40",
    "v40": "kv40",
    "particles_4": "count4",
    "particles_6": "count6",
    "particles_14": "count14",
    "count_4": "count4",
    "count_6": "count6",
    "count_14": "count14",
    "iso4406": "cleanliness",
    "iso_4406": "cleanliness",
}
_COUNTS = tuple(f"count{size}" for size in cleanliness.SIZES_UM)
_PER_ML = frozenset({"1/ml", "1/mL", "/ml", "/mL", "per ml", "per mL"})
_LIMITED = {
    "iron": "iron_up",
    "copper": "copper_up",
    "chromium": "chromium_up",
    "silicon": "silicon_up",
    "sodium": "sodium_up",
    "potassium": "sodium_up",
    "water": "water_by_lab",
}
_JUMPING = {"calcium": "calcium_up", "magnesium": "magnesium_up"}
_PARTS_PER_MILLION = ("mg/kg", "ppm")


class PourSeen(Protocol):
    """Oil in or out, as the ledger keeps it: :class:`coldmark.bench.ledger.state.Pour` is one."""

    @property
    def at(self) -> str:
        """When."""

    @property
    def way(self) -> str:
        """How: fill, top_up, drained …"""

    @property
    def litres(self) -> float:
        """Positive in, negative out [L]."""

    @property
    def job(self) -> str | None:
        """The job that it belongs to."""

    @property
    def hours(self) -> float | None:
        """What the machine had run [h]."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """One sample of a compartment: when [ms since 1970 UTC], at how many hours [h], on which job, and its values.

    ``values`` are by :func:`plain_name`, each with its unit as printed; ``codes`` is what stood in place of a number.
    """

    at_ms: int
    hours_h: float | None
    job: str | None
    values: Mapping[str, tuple[float, str]]
    codes: Mapping[str, str] = field(default_factory=dict)


def plain_name(name: str) -> str:
    """Return what a laboratory's name of a value means here.

    Parameters
    ----------
    name
        As it was kept: ``iron``, ``Fe``, ``viscosity_40`` …

    Returns
    -------
    str
        ``iron``, ``kv40`` …; a name that is not known as it is, in small letters.

    Valid for
        Any name.

    Raises
    ------
    Nothing.

    Source
        Chemical symbols, and the names that are used here.

    Examples
    --------
    >>> plain_name("Fe"), plain_name("viscosity_40"), plain_name("soot")
    ('iron', 'kv40', 'soot')
    """
    plain = name.strip().lower().replace(".", "_").replace("-", "_")
    return _NAMES.get(plain, plain)


def _beyond(name: str, value: float, unit: str) -> bool | None:
    """Whether a value is beyond a published limit; new oil that nobody measured is taken to have none of it."""
    try:
        held = wear.passed("hydraulic", name, value, unit, fresh=0.0)
    except (Refused, CannotTell):
        return None
    return any(beyond for _, beyond in held)


def _jumped(before: tuple[float, str], now: tuple[float, str]) -> bool | None:
    if before[1] != now[1] and not {before[1], now[1]} <= set(_PARTS_PER_MILLION):
        return None
    return now[0] > before[0] * (1 + JUMP_SHARE) and now[0] - before[0] > JUMP_LEAST_MG_KG


def _state(there: bool | None) -> State:
    return "not_looked" if there is None else "seen" if there else "absent"


def _of_values(drawn: Sequence[Drawn]) -> dict[str, State]:
    last, found = drawn[-1].values, dict[str, State]()
    for name, sign in _LIMITED.items():
        if name in last:
            there = _beyond(name, *last[name])
            before = next((one.values[name] for one in reversed(drawn[:-1]) if name in one.values), None)
            jumped = before is not None and name in METALS and _jumped(before, last[name])
            # Sodium and potassium are one sign: either may show it.
            found[sign] = "seen" if found.get(sign) == "seen" or jumped else _state(there)
    for name, sign in _JUMPING.items():
        before = next((one.values[name] for one in reversed(drawn[:-1]) if name in one.values), None)
        if name in last and before is not None:
            found[sign] = _state(_jumped(before, last[name]))
    return found


def code_of(drawn: Drawn) -> cleanliness.Code | None:
    """Return the cleanliness code of a sample, as it was printed or by its particle counts.

    Parameters
    ----------
    drawn
        The sample.

    Returns
    -------
    Code or None
        ``None`` where neither a code that can be read nor all that a code needs was found.

    Valid for
        Codes of three numbers, and counts at 4, 6 and 14 µm.

    Raises
    ------
    Nothing.

    Source
        :func:`coldmark.bench.cleanliness.parse` and :func:`coldmark.bench.cleanliness.code`.

    Examples
    --------
    >>> str(code_of(Drawn(0, None, None, {}, {"cleanliness": "21/19/16"})))
    '21/19/16'
    """
    counts = [drawn.values[name][0] if name in drawn.values else None for name in _COUNTS]
    per_ml = all(drawn.values[name][1] in _PER_ML for name in _COUNTS if name in drawn.values)
    try:
        if "cleanliness" in drawn.codes:
            return cleanliness.parse(drawn.codes["cleanliness"])
        return cleanliness.code(counts) if per_ml and any(one is not None for one in counts) else None
    except ColdmarkError:
        return None  # printed in another way, or counts that rise: it stands as it is and tells nothing here


def against_limit(found: cleanliness.Code) -> cleanliness.Comparison:
    """Return how a code stands to the one beyond which a published criterion has hydraulic oil changed.

    Parameters
    ----------
    found
        A sample's code.

    Returns
    -------
    Comparison
        Against that code.

    Valid for
        Hydraulic oil. A manual's own target goes before it.

    Raises
    ------
    Nothing.

    Source
        The published limits of :mod:`coldmark.bench.wear`, each with its own.

    Examples
    --------
    >>> against_limit(cleanliness.parse("21/19/16")).verdict
    'too_dirty'
    """
    (limit,) = wear.limits("hydraulic", "cleanliness")
    return cleanliness.compare(found, cleanliness.parse(limit.limit))


def _of_code(drawn: Drawn) -> dict[str, State]:
    found = code_of(drawn)
    verdict = None if found is None else against_limit(found).verdict
    there = {"too_dirty": True, "clean_enough": False}.get(verdict or "")
    return {"too_many_particles": _state(there)}


def _of_viscosity(found: tuple[float, str], new_mm2_s: float, *, improved: bool) -> dict[str, State]:
    value, unit = found
    if unit not in {"mm²/s", "mm2/s", "cSt", "cst"}:
        return {}
    held = wear.passed("hydraulic_hv" if improved else "hydraulic", "kv40", value, "mm²/s", fresh=new_mm2_s)
    beyond = {limit.side for limit, passed in held if passed and limit.step != "caution"}
    return {"thicker_oil": _state("above" in beyond), "thinner_oil": _state("below" in beyond)}


def signs(
    findings: Iterable[str],
    drawn: Sequence[Drawn],
    *,
    kv40_mm2_s: float | None = None,
    improved: bool = False,
    falls: bool | None = None,
    gearbox: Iterable[str] = (),
) -> dict[str, State]:
    """Return the signs that a hydraulic system's findings and samples are.

    Parameters
    ----------
    findings
        What was found, as the record calls it: ``bronze_flakes``, ``water``, ``leak`` …
    drawn
        Its samples, oldest first; the last one tells, the one before it what has jumped.
    kv40_mm2_s
        Viscosity at 40 °C of the oil that is in it, when new [mm²/s].
    improved
        Whether that oil has an index improver, some of which is always sheared: it may grow thinner by twice as much.
    falls
        Whether its level falls by more than its readings leave open; ``None`` where they do not tell.
    gearbox
        What :func:`coldmark.bench.level.rising` says of each gearbox, final drive and the engine.

    Returns
    -------
    dict
        States by sign; what nobody measured is left out.

    Valid for
        Hydraulic systems.

    Raises
    ------
    OutOfRange
        For a viscosity that is not above 0.

    Source
        Published limits of used oil, each with its own; jumps are common practice, no source.

    Examples
    --------
    >>> signs(["water", "wrong_part"], [Drawn(0, 500.0, None, {"copper": (42.0, "mg/kg"), "iron": (9.0, "mg/kg")})])
    {'water_seen': 'seen', 'iron_up': 'absent', 'copper_up': 'seen'}
    """
    found: dict[str, State] = {FINDINGS[one]: "seen" for one in findings if one in FINDINGS}
    levels = set(gearbox)
    found["hydraulic_falls"] = _state(falls)
    found["gearbox_rises"] = _state(True if "rising" in levels else False if "steady" in levels else None)
    if drawn:
        found |= _of_values(drawn) | _of_code(drawn[-1])
        if kv40_mm2_s is not None and "kv40" in drawn[-1].values:
            require_above("kv40_mm2_s", kv40_mm2_s, 0, "an oil")
            found |= _of_viscosity(drawn[-1].values["kv40"], kv40_mm2_s, improved=improved)
    return {sign: state for sign, state in found.items() if state != "not_looked"}


def _last_change(pours: Sequence[PourSeen]) -> tuple[PourSeen | None, float]:
    """Return the first can of the last change, and the litres that were drained for it."""
    fills = [one for one in pours if one.way == "fill"]
    if not fills:
        return None, 0.0
    last = fills[-1]
    together = [one for one in fills if one is last or (last.job is not None and one.job == last.job)]
    drained = -sum(one.litres for one in pours if one.way == "drained" and one.job == last.job and last.job is not None)
    return together[0], drained


def wear_of(metal: str, drawn: Sequence[Drawn], pours: Sequence[PourSeen], system_l: float) -> wear.Fill | None:
    """Return what the samples on the fill that is in now tell of a metal.

    Parameters
    ----------
    metal
        One of :data:`METALS`.
    drawn
        The compartment's samples, oldest first.
    pours
        Its oil in and out, oldest first. A sample drawn on the job of a change is of the old oil; what it had and what
        was drained tell what the new fill started with. Top-ups between samples are reckoned in.
    system_l
        All the system's oil [L].

    Returns
    -------
    Fill or None
        ``None`` where fewer than two points on this fill are known with their hours.

    Valid for
        Contents in mg/kg (ppm is the same).

    Raises
    ------
    Refused
        What :func:`coldmark.bench.wear.fill` refuses.

    Source
        :func:`coldmark.bench.wear.fill` and :func:`coldmark.bench.wear.after`.

    Examples
    --------
    >>> drawn = [Drawn(at, hours, None, {"iron": (iron, "mg/kg")}) for at, hours, iron in
    ...          ((1, 100.0, 4.0), (2, 350.0, 9.0), (3, 600.0, 14.0))]
    >>> wear_of("iron", drawn, [], 80.0).verdict
    'steady'
    """
    change, drained_l = _last_change(pours)
    changed_ms = None if change is None else moment_ms("at", change.at)
    measured = [one for one in drawn if metal in one.values and one.values[metal][1] in _PARTS_PER_MILLION]
    here: list[tuple[int, wear.Sample]] = []
    if change is not None and changed_ms is not None:
        old = [one for one in measured if one.at_ms <= changed_ms or (change.job is not None and one.job == change.job)]
        measured = [one for one in measured if one not in old]
        # What the old oil had is known only when it was drawn as it was let out.
        if old and change.job is not None and old[-1].job == change.job and drained_l > 0 and change.hours is not None:
            left = max(0.0, 1 - drained_l / system_l)
            here.append((changed_ms, wear.Sample(change.hours, wear.after(old[-1].values[metal][0], left))))
    for one in measured:
        since_ms = here[-1][0] if here else one.at_ms
        if one.hours_h is None or (here and one.hours_h - here[-1][1].hours_h < 1):
            continue
        added = sum(
            pour.litres for pour in pours if pour.way == "top_up" and since_ms < moment_ms("at", pour.at) <= one.at_ms
        )
        here.append((one.at_ms, wear.Sample(one.hours_h, one.values[metal][0], added)))
    return None if len(here) < 2 else wear.fill([sample for _, sample in here], system_l)
