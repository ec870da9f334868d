"""The litre balance of a job: what came out and went in, all at 15 °C, and what nothing explains.

A tank drained hot and filled cold takes fewer litres than came out and is not short: a warm litre is lighter. So
every can is turned into its volume at 15 °C before anything is added up.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Literal, Protocol

from coldmark.bench import words
from coldmark.bench.errors import Contradiction, require_between, require_choice
from coldmark.bench.oil import Oil, expansion_at_15, volume_factor
from coldmark.bench.oil.density import BASE_C
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Origin, Range, Step, Working

__all__ = ["IN_WAYS", "OUT_WAYS", "Balance", "Line", "PourLike", "at_15", "balance", "says"]

OUT_WAYS = ("drained", "held_by_element", "spilt", "sampled")
"""Ways in which a service takes oil out."""
IN_WAYS = ("fill", "top_up")
"""Ways in which a service puts oil in."""
_EXPLAINING = ("attachment_on", "attachment_off", "water_drained")

CAN_SHARE = 0.02  # a can's or measure's mark is good to 2 %: assumed
TOLD_K = 2.0
SAME_LEVEL_L = 0.5  # how far "the same level as before" may be off, nobody having read it: assumed
ASSUMED_K = 15.0  # how far off the temperature may be that nobody took
USUAL_DENSITY15_KG_M3 = (
    875.0  # a mineral hydraulic oil; 50 kg/m³ more or less moves a litre by less than 0.1 % per 20 K
)


class PourLike(Protocol):
    """One movement of oil as the ledger keeps it: :class:`coldmark.bench.ledger.state.Pour` is one."""

    @property
    def way(self) -> str:
        """How: fill, top_up, drained …"""

    @property
    def litres(self) -> float:
        """Positive in, negative out [L], at its temperature."""

    @property
    def oil(self) -> str | None:
        """The oil's key, or ``None``: nobody knows."""

    @property
    def temperature_c(self) -> float | None:
        """How warm it was [°C], or ``None``: nobody took it."""


@dataclass(frozen=True, slots=True)
class Line:
    """All movements of one way: litres at 15 °C with their range, and how many there were."""

    way: str
    litres: Range
    count: int


@dataclass(frozen=True, slots=True)
class Balance:
    """A job's oil at 15 °C [L].

    ``out_l`` and ``in_l`` are what the service took out and put in, both positive. ``explained_l`` is the part of
    *in less out* that attachments and drained water account for, together with what the glass shows to have been
    gained. ``unexplained_l`` is the rest: positive, oil went in that shows nowhere; negative, more is there than went
    in. ``against`` says what it was held against: the levels as read, or the assumption that the level before was the
    level after. ``clear`` is whether the rest is more than the measures leave open.
    """

    lines: tuple[Line, ...]
    out_l: Range
    in_l: Range
    explained_l: Range
    unexplained_l: Range
    against: Literal["levels", "same level assumed"]
    clear: bool
    working: Working


def _sum(ranges: Iterable[Range], sign: float = 1.0) -> Range:
    """Add values whose errors are independent: the spreads add by their squares."""
    kept = list(ranges)
    value = sign * sum(one.value for one in kept)
    low = math.hypot(*(one.value - one.low for one in kept))
    high = math.hypot(*(one.high - one.value for one in kept))
    if sign < 0:
        low, high = high, low
    return Range(value, value - low, value + high)


def _density15(oil: Oil | None) -> float:
    if oil is None or oil.density15_kg_m3 is None:
        return USUAL_DENSITY15_KG_M3
    return oil.density15_kg_m3


def at_15(pour: PourLike, oil: Oil | None, assumed_c: float = 20.0) -> Range:
    """Return a movement of oil at 15 °C with the range that measure and thermometer leave open.

    Parameters
    ----------
    pour
        What went in (positive) or out (negative) [L], with its temperature [°C] where it was taken.
    oil
        The oil, or ``None``: a usual mineral oil is assumed.
    assumed_c
        The temperature [°C] of what nobody took one of; it is taken to be good to 15 K.

    Returns
    -------
    Range
        Litres at 15 °C [L].

    Valid for
        5000 L and −50 to 150 °C.

    Raises
    ------
    OutOfRange
        Outside of the limits.

    Source
        API MPMS 11.1, lubricating oils; cans to 2 %, common practice, no source.

    Examples
    --------
    >>> from coldmark.bench.ledger.state import Pour
    >>> hot = Pour("", "", "drained", -40.0, None, 60.0, None, None)
    >>> round(at_15(hot, None).value, 1)
    -38.7
    """
    told = pour.temperature_c
    t_c = assumed_c if told is None else told
    if pour.way == "water_drained":
        # Water hardly grows: 0.8 % from 4 to 40 °C, well inside what the measure leaves open.
        return Range.about(pour.litres, pour.litres * CAN_SHARE)
    density15, spread_k = _density15(oil), ASSUMED_K if told is None else TOLD_K
    factor = volume_factor(density15, t_c)
    slope = expansion_at_15(density15) * factor * spread_k
    return Range.about(pour.litres * factor, pour.litres * math.hypot(CAN_SHARE * factor, slope))


def _checked(pour: PourLike) -> PourLike:
    require_choice("way", pour.way, (*IN_WAYS, *OUT_WAYS, *_EXPLAINING))
    require_between("litres_l", pour.litres, -5000, 5000, "a machine's oil")
    goes_in = pour.way in (*IN_WAYS, "attachment_on")
    if pour.litres and goes_in != (pour.litres > 0):
        why = "litres.cannot.into" if goes_in else "litres.cannot.out_of"
        way = words.sentence(f"catalogue.choice.{pour.way}")
        raise Contradiction(name="litres_l", value=pour.litres, why=why, way=way)
    return pour


def _step(what: str, formula: str, givens: Mapping[str, float], result: float, source: str, origin: Origin) -> Step:
    return Step(
        what, formula, tuple(Given(name, value, "l", origin) for name, value in givens.items()), result, "l", source
    )


def _working(lines: Iterable[Line], out_l: Range, in_l: Range, gained: Range | None, unexplained: Range) -> Working:
    by_way = {line.way: line.litres.value for line in lines}
    source = "API MPMS 11.1, lubricating oils; cans to 2 %, temperatures to 2 K, untold ones to 15 K: assumed"
    last: dict[str, float] = {"in": in_l.value, "out": out_l.value}
    last |= {way.replace("_", " "): by_way[way] for way in _EXPLAINING if way in by_way}
    last["gained by the glass"] = 0.0 if gained is None else gained.value
    formula = "V₁₅ = V · exp(−α·Δt·(1 + 0.8·α·Δt)), Δt = t − 15"
    return Working(
        (
            _step(
                "working.litres.at_15",
                formula,
                {way.replace("_", " "): litres for way, litres in by_way.items()},
                sum(by_way.values()),
                source,
                "worked_out",
            ),
            _step(
                "working.litres.unexplained",
                "in − out + attachments and water − gained by the glass",
                last,
                unexplained.value,
                "oil is kept",
                "worked_out",
            ),
        )
    )


def balance(
    pours: Iterable[PourLike],
    oil: Oil | None,
    *,
    oils: Mapping[str, Oil] | None = None,
    assumed_c: float = 20.0,
    gained_l: Range | None = None,
) -> Balance:
    """Return the litre balance of one compartment over a job, at 15 °C.

    Parameters
    ----------
    pours
        What went in (positive) and out (negative) [L], with temperature [°C] where it was taken.
    oil
        The oil in the compartment, or ``None``: a usual mineral oil is assumed.
    oils
        Oils by the keys that the pours name; a key that is not there counts as ``oil``.
    assumed_c
        The temperature [°C] of what nobody took one of; it is taken to be good to 15 K.
    gained_l
        What the levels as found and as left show the whole system to have gained, at 15 °C and after posture [L], or
        ``None``: then the level is assumed to be the same after as before, to half a litre, and the balance says so.

    Returns
    -------
    Balance
        Out, in, explained and unexplained, each with a range: cans to 2 % (assumed), a temperature to 2 K.

    Valid for
        5000 L and −50 to 150 °C.

    Raises
    ------
    NotAChoice
        For a way that is not known.
    Contradiction
        When the sign of the litres does not fit the way.
    OutOfRange
        Outside of the limits.

    Source
        API MPMS 11.1, lubricating oils; oil is kept.

    Examples
    --------
    >>> from coldmark.bench.ledger.state import Pour
    >>> oil = Oil("Valley 46", 46, 6.8, density15_kg_m3=880)
    >>> hot = Pour("", "", "drained", -40.0, "valley_46", 60.0, None, None)
    >>> cold = Pour("", "", "fill", 38.7, "valley_46", 12.0, None, None)
    >>> found = balance([hot, cold], oil)
    >>> round(found.out_l.value, 1), round(found.in_l.value, 1), found.clear
    (38.7, 38.8, False)
    """
    require_between("assumed_c", assumed_c, -50, 150, "API MPMS 11.1")
    known = oils or {}
    moved: dict[str, list[Range]] = {}
    for pour in map(_checked, pours):
        moved.setdefault(pour.way, []).append(at_15(pour, known.get(pour.oil or "", oil), assumed_c))
    lines = tuple(Line(way, _sum(ranges), len(ranges)) for way, ranges in moved.items())
    by_way = {line.way: line.litres for line in lines}
    out_l = _sum((by_way[way] for way in OUT_WAYS if way in by_way), -1.0)
    in_l = _sum(by_way[way] for way in IN_WAYS if way in by_way)
    aside = _sum(by_way[way] for way in _EXPLAINING if way in by_way)
    # What attachments and water took is explained, and so is what the glass shows: gained = in − out + aside.
    seen = Range.about(0.0, SAME_LEVEL_L) if gained_l is None else gained_l
    explained = _sum((seen, Range(-aside.value, -aside.high, -aside.low)))
    minus_out = Range(-out_l.value, -out_l.high, -out_l.low)
    minus_explained = Range(-explained.value, -explained.high, -explained.low)
    unexplained = _sum((in_l, minus_out, minus_explained))
    return Balance(
        lines,
        out_l,
        in_l,
        explained,
        unexplained,
        against="same level assumed" if gained_l is None else "levels",
        clear=not unexplained.holds(0.0),
        working=_working(lines, out_l, in_l, gained_l, unexplained),
    )


def says(found: Balance, units: words.UnitSystem = "metric") -> list[str]:
    """Return a balance as plain sentences.

    Parameters
    ----------
    found
        What :func:`balance` gave.
    units
        The reader's units.

    Returns
    -------
    list of str
        What came out and went in, what it is held against, and what is left unexplained.

    Valid for
        Every result.

    Raises
    ------
    Nothing.

    Source
        The message file of the reader's language.

    Examples
    --------
    >>> says(balance([], None))
    ['No oil was moved.']
    """
    if not found.lines:
        return [words.sentence("litres.none")]
    moved = {"out_l": found.out_l.value, "in_l": found.in_l.value, "base_c": BASE_C}
    said = [words.sentence("litres.moved", units=units, **moved)]
    for line in found.lines:
        if line.way in _EXPLAINING:
            said.append(words.sentence(f"litres.{line.way}", units=units, moved_l=abs(line.litres.value)))
    levels = found.against == "levels"
    said.append(words.sentence("litres.levels" if levels else "litres.same_level", units=units))
    rest = found.unexplained_l
    sizes = sorted((abs(rest.low), abs(rest.high)))
    values = {"rest_l": abs(rest.value), "low_l": sizes[0], "high_l": sizes[1]}
    message = "square" if not found.clear else "missing" if rest.value > 0 else "too_much"
    if found.clear and not levels:
        message = "more_in" if rest.value > 0 else "more_out"
    said.append(words.sentence(f"litres.{message}", units=units, **values))
    return said
