"""Whether a function has grown slower or a cylinder drifts more: two measurements brought to one oil temperature."""

from __future__ import annotations

from functools import cache
from typing import Literal, Protocol

from coldmark.bench.errors import CannotTell, Contradiction, require_between
from coldmark.bench.oil import Oil
from coldmark.bench.shapes import dataclass
from coldmark.bench.timings.model import Timed, Timing
from coldmark.bench.working import Given, Origin, Range, Step, Working

__all__ = ["MOST_APART_K", "SLIP", "Compared", "Flows", "against", "compare", "shrinkage_mm", "usual_oil"]

MOST_APART_K = 25.0
"""Oil temperatures further apart than this are not brought together: measure again with the oil as warm as before."""

SLIP = 0.05
"""Share of a pump's flow that slips back at the temperature compared at, where nothing better is known: assumed."""

_THERMOMETER_K = 2.0
_SAME_SHARE = 0.1
_MOST_SLIP = 0.5
_SHRINKS_PER_K = 0.0007
_LAW = "leakage through a gap goes as pressure over viscosity: law of narrow gaps, assumed to hold for what leaks here"


class Flows(Protocol):
    """An oil whose viscosity is known."""

    def viscosity(self, t_c: float) -> float:
        """Viscosity [mm²/s] at a temperature [°C]."""
        ...


@cache
def usual_oil() -> Oil:
    """Return what is taken where nobody tells the oil: only how its viscosity changes with warmth counts.

    Returns
    -------
    Oil
        A VG 46 of index 100, the usual fill: common practice, no source.

    Source
    ------
    ISO 3448.

    Examples
    --------
    >>> usual_oil().grade()
    46
    """
    return Oil("VG 46", 46, viscosity_index=100)


@dataclass(frozen=True, slots=True)
class Compared:
    """Two measurements at one oil temperature, and how the later stands to the earlier.

    ``now`` and ``before`` are seconds or millimetres a minute with their range; the range of a value that was brought
    from another temperature holds both the corrected and the uncorrected one, because nobody knows what leaks.
    ``ratio`` is later over earlier; ``None`` where the earlier is nothing. ``way`` says whether it is distinguishable.
    """

    kind: str
    at_c: float | None
    now: Range
    before: Range
    ratio: Range | None
    way: Literal["more", "less", "same"]
    corrected: bool
    working: Working


def _apart(one: float | None, other: float | None) -> bool:
    """Say whether two settings that were both told differ by more than a tenth."""
    if one is None or other is None:
        return False
    return abs(one - other) > _SAME_SHARE * max(abs(one), abs(other))


def _factor(kind: str, from_c: float, to_c: float, oil: Flows, slip: float) -> float:
    """Return by what a value measured at one oil temperature is multiplied to stand for another."""
    thinner = oil.viscosity(to_c) / oil.viscosity(from_c)
    if kind == "drift":
        return 1 / thinner
    lost = slip * thinner
    if lost >= _MOST_SLIP:
        raise CannotTell("timings.too_warm", from_c=from_c, to_c=to_c)
    return (1 - lost) / (1 - slip)


def _at(one: Timed, at_c: float | None, oil: Flows, slip: float) -> Range:
    """Return a measurement as it would be at another oil temperature."""
    measured = one.measured
    if at_c is None or one.oil_c is None or abs(one.oil_c - at_c) < 1e-9:
        return measured
    factors = [_factor(one.kind, one.oil_c + off, at_c, oil, slip) for off in (-_THERMOMETER_K, 0.0, _THERMOMETER_K)]
    value = measured.value * factors[1]
    spread = [1.0, *factors]
    return Range(value, measured.low * min(spread), measured.high * max(spread))


def _check(now: Timed, before: Timed) -> None:
    if now.kind != before.kind:
        raise Contradiction(name="kind", value=now.kind, why="timings.cannot.kind", other=before.kind)
    if _apart(now.load_kg, before.load_kg):
        assert now.load_kg is not None
        assert before.load_kg is not None
        raise CannotTell("timings.other_load", now_kg=now.load_kg, before_kg=before.load_kg)
    if _apart(now.engine_rpm, before.engine_rpm):
        assert now.engine_rpm is not None
        assert before.engine_rpm is not None
        raise CannotTell("timings.other_speed", now_rpm=now.engine_rpm, before_rpm=before.engine_rpm)
    known = now.oil_c is not None and before.oil_c is not None
    if not known and (now.oil_c is not None or before.oil_c is not None):
        raise CannotTell("timings.no_warmth")
    if now.oil_c is not None and before.oil_c is not None and abs(now.oil_c - before.oil_c) > MOST_APART_K:
        raise CannotTell("timings.other_warmth", now_c=now.oil_c, before_c=before.oil_c, most_k=MOST_APART_K)


def compare(now: Timed, before: Timed, oil: Flows | None = None, *, slip: float = SLIP) -> Compared:
    """Compare two measurements of the same thing, the later brought to the oil temperature of the earlier.

    Parameters
    ----------
    now, before : the two measurements; their hours do not matter.
    oil : the oil, for its viscosity; a VG 46 where it is not known.
    slip : share of the pump's flow that slips back, for a cycle.

    Returns
    -------
    Compared
        Both values, their ratio with its range, and whether they differ by more than can be measured.

    Valid for
    ---------
    The same load and engine speed within a tenth, oil temperatures within 25 K.

    Raises
    ------
    CannotTell
        When load, speed or warmth differ too much, or the warmth of one alone is known.
    Contradiction
        When one is a time and the other a drift.
    OutOfRange
        For a slip outside 0 to 0.4.

    Source
    ------
    Law of narrow gaps: leakage goes as pressure over viscosity, an assumption here. Resolution of hand timing: 0.10 s
    of standard deviation, as printed in a stored excerpt; of a tape, 1 mm: common practice, no source.

    Examples
    --------
    >>> earlier = Timed("drift", watched_min=10, moved_mm=10, oil_c=50)
    >>> found = compare(Timed("drift", watched_min=10, moved_mm=25, oil_c=50), earlier)
    >>> found.way, round(found.ratio.value, 2)
    ('more', 2.5)
    """
    require_between("slip", slip, 0, 0.4, "share of a pump's flow")
    _check(now, before)
    chosen: Flows = usual_oil() if oil is None else oil
    here, there = _at(now, before.oil_c, chosen, slip), before.measured
    way: Literal["more", "less", "same"] = "same"
    if here.low > there.high:
        way = "more"
    elif here.high < there.low:
        way = "less"
    ratio = None
    if there.low > 0:
        ratio = Range(here.value / there.value, here.low / there.high, here.high / there.low)
    moved = now.oil_c is not None and before.oil_c is not None and abs(now.oil_c - before.oil_c) > 1e-9
    return Compared(
        kind=now.kind,
        at_c=before.oil_c,
        now=here,
        before=there,
        ratio=ratio,
        way=way,
        corrected=moved,
        working=_working(now, before, here, chosen, slip, "told" if oil is not None else "assumed", moved),
    )


def against(now: Timed, timing: Timing, oil: Flows | None = None) -> Literal["over", "within", "open"] | None:
    """Return how a measurement stands to the most that a data sheet allows.

    Parameters
    ----------
    now : the measurement.
    timing : what the sheet says of it.
    oil : the oil, for its viscosity; a VG 46 where it is not known.

    Returns
    -------
    str or None
        *over* or *within*, *open* where stop-watch, tape and warmth leave it open, ``None`` where the sheet gives no
        most.

    Valid for
    ---------
    As :func:`compare`; the sheet's oil temperature stands for the earlier one.

    Raises
    ------
    CannotTell
        As :func:`compare`.

    Source
    ------
    The data sheet.

    Examples
    --------
    >>> timing = Timing("boom", "boom", "cycle", "", 50, 3.0, None, None, None, None, "manual")
    >>> against(Timed("cycle", time_s=3.5, oil_c=50), timing)
    'over'
    """
    most = timing.most
    if most is None:
        return None
    if timing.oil_c is not None and now.oil_c is None:
        raise CannotTell("timings.no_warmth")
    if timing.kind == "cycle":
        stand_in = Timed("cycle", time_s=most, oil_c=timing.oil_c, load_kg=timing.load_kg, engine_rpm=timing.engine_rpm)
    else:
        stand_in = Timed("drift", watched_min=1.0, moved_mm=most, oil_c=timing.oil_c, load_kg=timing.load_kg)
    if timing.oil_c is None:
        stand_in = _without_warmth(stand_in)
        now = _without_warmth(now)
    _check(now, stand_in)
    here = _at(now, timing.oil_c, usual_oil() if oil is None else oil, SLIP)
    if here.low > most:
        return "over"
    return "within" if here.high <= most else "open"


def _without_warmth(one: Timed) -> Timed:
    return Timed(
        one.kind, one.time_s, one.watched_min, one.moved_mm, None, one.load_kg, one.engine_rpm, one.runs, one.hours
    )


def shrinkage_mm(column_mm: float, cooled_k: float) -> float:
    """Return how far a cylinder sinks only because the oil in it cools.

    Parameters
    ----------
    column_mm : length of the oil that carries the load [mm]: the rod's way out.
    cooled_k : by how much it cooled meanwhile [K].

    Returns
    -------
    float
        The movement [mm].

    Valid for
    ---------
    Mineral oils; the steel shrinks fifty times less.

    Raises
    ------
    OutOfRange
        Outside 0 to 10 000 mm and 0 to 80 K.

    Source
    ------
    0.0007 per kelvin, as printed in a stored excerpt.

    Examples
    --------
    >>> round(shrinkage_mm(600, 10), 1)
    4.2
    """
    require_between("column_mm", column_mm, 0, 10_000, "strokes")
    require_between("cooled_k", cooled_k, 0, 80, "oil that cools")
    return column_mm * _SHRINKS_PER_K * cooled_k


def _working(now: Timed, before: Timed, here: Range, oil: Flows, slip: float, origin: Origin, moved: bool) -> Working:
    unit = "s" if now.kind == "cycle" else "mm_min"
    steps = []
    if moved:
        assert now.oil_c is not None
        assert before.oil_c is not None
        formula = "v · ν(t)/ν(t₀)" if now.kind == "drift" else "T · (1 − s · ν(t₀)/ν(t)) / (1 − s)"
        givens = [
            Given("t", now.oil_c, "c", "measured"),
            Given("t₀", before.oil_c, "c", "measured"),
            Given("ν(t)", oil.viscosity(now.oil_c), "mm2_s", origin),
            Given("ν(t₀)", oil.viscosity(before.oil_c), "mm2_s", origin),
        ]
        if now.kind == "cycle":
            givens.append(Given("s", slip, "share", "assumed"))
        steps.append(Step("working.timings.warmth", formula, tuple(givens), here.value, unit, _LAW))
    symbol = "T" if now.kind == "cycle" else "v"
    steps.append(
        Step(
            "working.timings.ratio",
            f"{symbol} / {symbol}₀",
            (
                Given(symbol, here.value, unit, "worked_out" if moved else "measured"),
                Given(f"{symbol}₀", before.value, unit, "measured"),
            ),
            here.value / before.value if before.value > 0 else "–",
            "",
            "two measurements at one oil temperature",
        )
    )
    return Working(tuple(steps))
