"""How clean oil should be: the published targets by component and pressure, and how far a code is from them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import cache
from typing import Literal

from coldmark.bench import words
from coldmark.bench.cleanliness.code import SIZES_UM, Code, parse
from coldmark.bench.cleanliness.scale import bounds
from coldmark.bench.data_file import table
from coldmark.bench.errors import CannotTell, Contradiction, Missing, require_between, require_choice
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["COMPONENTS", "CONDITIONS", "Comparison", "Target", "compare", "target"]

CHECKSUM = "f66d660f3ebf50a6f5cb3eade87171a56e5222519b4a8c80e1bda7b8a6a74389"

COMPONENTS = (
    "gear_vane_pump",
    "fixed_piston_pump",
    "variable_vane_pump",
    "variable_piston_pump",
    "check_valve",
    "directional_valve",
    "flow_control",
    "cartridge_valve",
    "proportional_valve",
    "servo_valve",
    "cylinder_gear_motor",
    "piston_motor",
    "hydrostatic_drive",
)
"""What the published tables know."""

CONDITIONS = ("safety", "cold_starts", "shock", "severe", "other_fluid")
"""What lowers a target by one number each: a failure would endanger somebody, frequent cold starts, shock and
vibration, severe duty, a fluid that is not petroleum."""

_PRESSURES = ((140.0, "below_140_bar"), (210.0, "to_210_bar"), (math.inf, "above_210_bar"))
_SOURCE = "two published tables of target cleanliness, as printed in stored excerpts"
_MOST_BAR = 700.0

Triple = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Target:
    """How clean the oil of a system should be.

    ``wanted`` is the stricter of both tables at every size, with the conditions taken off; ``first`` and ``second`` are
    what each table gives, so that a difference is seen. ``second`` is ``None`` where a component stands in one table
    only. ``decides`` are the components that set ``wanted``; ``odd`` those whose row is printed oddly.
    """

    wanted: Code
    first: Code
    second: Code | None
    decides: tuple[str, ...]
    odd: tuple[str, ...]
    working: Working

    @property
    def differ(self) -> bool:
        """Whether the two tables give different codes."""
        return self.second is not None and self.second.numbers != self.first.numbers


@dataclass(frozen=True, slots=True)
class Comparison:
    """A code held against a target, size by size in the order of :data:`SIZES_UM`.

    ``steps`` is how many scale numbers the oil is above the target (below zero: cleaner), ``times`` how many times as
    many particles as the target allows, ``None`` where a size was not counted or too many to count, or the target asks
    nothing of it. ``verdict``: *clean_enough*, *too_dirty* at one size or more, or *not_counted* where nothing is too
    dirty, but a size that the target asks for was not counted. ``unsure`` are sizes that pass with a number marked ≥.
    """

    verdict: Literal["clean_enough", "too_dirty", "not_counted"]
    found: Code
    wanted: Code
    steps: tuple[int | None, int | None, int | None]
    times: tuple[Range | None, Range | None, Range | None]
    too_dirty: tuple[int, ...]
    not_counted: tuple[int, ...]
    unsure: tuple[int, ...]
    working: Working


@cache
def _tables() -> dict[tuple[str, str], dict[str, Triple]]:
    found: dict[tuple[str, str], dict[str, Triple]] = {}
    for row in table("coldmark.bench.cleanliness", "targets.csv", CHECKSUM):
        cells = {column: row[column] for _, column in _PRESSURES if row[column]}
        found[row["component"], row["printed_in"]] = {column: _triple(parse(text)) for column, text in cells.items()}
    return found


def _triple(code: Code) -> Triple:
    one, two, three = code.numbers
    if one is None or two is None or three is None:
        raise Contradiction(name="target", value=str(code), why="cleanliness.why.whole_target")
    return one, two, three


def _of(numbers: Triple) -> Code:
    return Code(numbers, ("", "", ""))


def _strictest(triples: Iterable[Triple]) -> Triple:
    columns = list(zip(*triples, strict=True))
    return min(columns[0]), min(columns[1]), min(columns[2])


def _column(pressure_bar: float) -> str:
    if pressure_bar < _PRESSURES[0][0]:
        return _PRESSURES[0][1]
    return next(column for limit, column in _PRESSURES[1:] if pressure_bar <= limit)


def _lowered(triple: Triple, by: int) -> Triple:
    one, two, three = (max(0, number - by) for number in triple)
    return one, two, three


def _printed(component: str, printed_in: str, column: str, pressure_bar: float) -> Triple | None:
    rows = _tables().get((component, printed_in))
    if rows is None:
        return None
    if column not in rows:
        name = words.sentence(f"cleanliness.component.{component}")
        raise CannotTell("cleanliness.no_target", component=name, pressure_bar=pressure_bar)
    return rows[column]


def target(components: Iterable[str], pressure_bar: float, *, conditions: Iterable[str] = ()) -> Target:
    """Return how clean the oil of a system should be, from two published tables.

    Parameters
    ----------
    components
        What is in the system, of :data:`COMPONENTS`; the most sensitive one decides, size by size.
    pressure_bar
        Working pressure [bar].
    conditions
        Of :data:`CONDITIONS`; each lowers every number by one.

    Returns
    -------
    Target
        What to aim for, and what each table says where they differ.

    Valid for
        Up to 700 bar. The machine's manual goes before both tables.

    Raises
    ------
    Missing
        Without a component.
    NotAChoice
        For a component or condition that is not known.
    OutOfRange
        For another pressure.
    CannotTell
        Where both tables print a dash: a variable vane pump above 210 bar.

    Source
        Two published tables of target cleanliness for petroleum fluids and the rule of one number a condition, as
        printed in stored excerpts.

    Examples
    --------
    >>> found = target(["variable_piston_pump", "directional_valve", "cylinder_gear_motor"], 250)
    >>> str(found.wanted), str(found.first), str(found.second), found.decides
    ('16/14/11', '16/14/11', '16/14/12', ('variable_piston_pump',))
    """
    chosen = list(dict.fromkeys(require_choice("component", one, COMPONENTS) for one in components))
    if not chosen:
        raise Missing(name="component", needed_for=words.sentence("cleanliness.the_target"))
    met = list(dict.fromkeys(require_choice("condition", one, CONDITIONS) for one in conditions))
    require_between("pressure_bar", pressure_bar, 0, _MOST_BAR, "hydraulic systems")
    column = _column(pressure_bar)
    pairs = {one: [_printed(one, which, column, pressure_bar) for which in ("first", "second")] for one in chosen}
    stricter = {one: _strictest(triple for triple in pair if triple) for one, pair in pairs.items()}
    plain = _strictest(stricter.values())
    # What stands in one table only goes for both, so that the two system targets cover the same components.
    first, second = (_strictest(pair[index] or stricter[one] for one, pair in pairs.items()) for index in range(2))
    in_both = any(pair[1] is not None for pair in pairs.values())
    wanted = _lowered(plain, len(met))
    decides = tuple(
        one for one, triple in stricter.items() if any(mine == least for mine, least in zip(triple, plain, strict=True))
    )
    return Target(
        wanted=_of(wanted),
        first=_of(_lowered(first, len(met))),
        second=_of(_lowered(second, len(met))) if in_both else None,
        decides=decides,
        odd=tuple(one for one in chosen if one == "hydrostatic_drive" and column == _PRESSURES[0][1]),
        working=_working(pairs, wanted, pressure_bar, met),
    )


def _working(pairs: dict[str, list[Triple | None]], wanted: Triple, pressure_bar: float, met: list[str]) -> Working:
    givens = [Given("p", pressure_bar, "bar", "told")]
    for one, pair in pairs.items():
        texts = list(dict.fromkeys("/".join(map(str, triple)) for triple in pair if triple))
        givens.append(Given(words.sentence(f"cleanliness.component.{one}"), " | ".join(texts), "", "practice"))
    givens += [Given(words.sentence(f"cleanliness.condition.{one}"), -1.0, "", "told") for one in met]
    step = Step(
        "working.cleanliness.target",
        "the lowest number at each size, less one for each condition",
        tuple(givens),
        "/".join(map(str, wanted)),
        "",
        _SOURCE,
    )
    return Working((step,))


def _times(number: int | None, count: float | None, wanted: int) -> Range | None:
    """Return how many times as many particles there are as the target's number allows at most."""
    if number is None:
        return None
    allowed = bounds(wanted)[1]
    if count is not None:
        return Range(count / allowed, count / allowed, count / allowed)
    low, high = bounds(number)
    if math.isinf(high):
        return Range(low / allowed, low / allowed, high)
    # Between the bounds of a row that is nearly a doubling the middle by ratio is the fairest single figure.
    middle = math.sqrt(low * high) if low else high / 2
    return Range(middle / allowed, low / allowed, high / allowed)


def compare(found: Code, wanted: Code) -> Comparison:
    """Hold a code against the one that is wanted.

    Parameters
    ----------
    found
        What the oil has, from :func:`code` or :func:`parse`.
    wanted
        What it should have: :attr:`Target.wanted`, or a sheet's or manual's own code.

    Returns
    -------
    Comparison
        Verdict, and at each size how many numbers and how many times off. With counts the times are exact; with the
        code alone they have the range of its row.

    Valid for
        Codes of the same three sizes.

    Raises
    ------
    OutOfRange
        When the wanted code has a number that the scale has not.
    Contradiction
        When the wanted code asks nothing at any size.

    Source
        ISO 4406, table of scale numbers.

    Examples
    --------
    >>> found = compare(parse("20/18/15"), parse("18/16/13"))
    >>> found.verdict, found.steps, found.times[0].low, found.times[0].high
    ('too_dirty', (2, 2, 2), 2.0, 4.0)
    """
    if all(number is None for number in wanted.numbers):
        raise Contradiction(name="wanted", value=str(wanted), why="cleanliness.why.wanted")
    steps: list[int | None] = []
    times: list[Range | None] = []
    givens: list[Given] = []
    groups: dict[str, list[int]] = {"too_dirty": [], "not_counted": [], "unsure": []}
    sizes = zip(SIZES_UM, found.numbers, found.marks, found.counts_per_ml, wanted.numbers, strict=True)
    for size_um, number, mark, count, limit in sizes:
        off = None if number is None or limit is None else number - limit
        steps.append(off)
        times.append(None if limit is None else _times(number, count, limit))
        if limit is None:
            continue
        givens.append(Given(f"allowed(≥{size_um} µm)", bounds(limit)[1], "per_ml", "told"))
        if mark == "too_many" or (off is not None and off > 0):
            groups["too_dirty"].append(size_um)
        elif mark in {"not_counted", "at_least"}:
            groups["not_counted" if mark == "not_counted" else "unsure"].append(size_um)
    verdict: Literal["clean_enough", "too_dirty", "not_counted"] = "clean_enough"
    if groups["too_dirty"]:
        verdict = "too_dirty"
    elif groups["not_counted"]:
        verdict = "not_counted"
    step = Step(
        "working.cleanliness.compare",
        "particles found / particles allowed",
        (Given("found", str(found), "", "measured"), Given("wanted", str(wanted), "", "told"), *givens),
        " · ".join("–" if one is None else words.figures(one.value, 3) for one in times),
        "",
        "ISO 4406, table of scale numbers",
    )
    return Comparison(
        verdict,
        found,
        wanted,
        (steps[0], steps[1], steps[2]),
        (times[0], times[1], times[2]),
        tuple(groups["too_dirty"]),
        tuple(groups["not_counted"]),
        tuple(groups["unsure"]),
        Working((step,)),
    )
