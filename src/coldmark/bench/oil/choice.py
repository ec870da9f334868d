"""Which oil suits a machine and a place: each oil against the coldest start and the hottest work, with its reasons."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache

from coldmark.bench import words
from coldmark.bench.errors import Contradiction, Missing, OutOfRange, require_between
from coldmark.bench.oil.climate import POUR_MARGIN_K
from coldmark.bench.oil.cold import viscosity_in_the_cold
from coldmark.bench.oil.density import HIGHEST_C, LOWEST_C
from coldmark.bench.oil.model import Oil
from coldmark.bench.oil.reason import Answer, Reason, weightiest
from coldmark.bench.oil.top_up import Allows, not_on_sheet
from coldmark.bench.oil.window import AsksViscosity, Window, window
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["HIGH_INDEX", "ORDINARY_INDEX", "Candidate", "Choice", "choose", "usual_oils"]

ORDINARY_INDEX, HIGH_INDEX = 100.0, 150.0
_GRADES = (22, 32, 46, 68)

_RANK: dict[Answer, int] = {"yes": 0, "yes_with_notes": 1, "unknown": 2, "no": 3}


@cache
def usual_oils() -> tuple[Oil, ...]:
    """Return the oils that one chooses from: VG 22, 32, 46 and 68, each with an ordinary and with a high index.

    Returns
    -------
    tuple of Oil
        The thinnest first; in the middle of their grades, with an index of 100 (HM) and of 150 (HV).

    Source
        ISO 3448 for the grades; that these are the usual indices is common practice, no source.

    Examples
    --------
    >>> [oil.name for oil in usual_oils()][:2]
    ['VG 22', 'VG 22, high index']
    """
    return tuple(
        Oil(words.sentence(message, grade=f"VG {grade}"), grade, viscosity_index=index, family=family)
        for grade in _GRADES
        for message, index, family in (
            ("oil.choice.ordinary", ORDINARY_INDEX, "HM"),
            ("oil.choice.high", HIGH_INDEX, "HV"),
        )
    )


@dataclass(frozen=True, slots=True)
class Candidate:
    """One oil: whether it fits, why or why not, its window, and its viscosities [mm²/s] at both ends.

    ``cold_mm2_s`` reaches up to what a thickened oil may really have; ``None`` where the oil does not flow.
    ``short_k`` is by how much it falls short at the worse end [K]; 0 for one that fits.
    """

    oil: Oil
    answer: Answer
    reasons: tuple[Reason, ...]
    window: Window
    cold_mm2_s: Range | None
    hot_mm2_s: float
    short_k: float

    @property
    def fits(self) -> bool:
        """Whether nothing speaks against it."""
        return self.answer in {"yes", "yes_with_notes"}


@dataclass(frozen=True, slots=True)
class Choice:
    """All oils looked at, in the order in which they were given; the best of those that fit, or ``None``.

    ``nearest`` is the one that falls least short, where none fits.
    """

    candidates: tuple[Candidate, ...]
    best: Candidate | None
    nearest: Candidate | None
    coldest_c: float
    hottest_c: float
    usual_c: float | None
    working: Working


def choose(
    oils: Sequence[Oil] | None = None,
    *,
    coldest_c: float,
    hottest_c: float,
    usual_c: float | None = None,
    limits: AsksViscosity | None = None,
    sheet: Allows | None = None,
) -> Choice:
    """Say which oils suit a machine at a place: thin enough for the coldest start, thick enough for the hottest work.

    Parameters
    ----------
    oils
        The oils to choose from; ``None``: :func:`usual_oils`.
    coldest_c
        The oil's temperature at the coldest start [°C]: that of the air after a night.
    hottest_c
        The oil's temperature at the hottest work [°C].
    usual_c
        The oil's usual temperature at work [°C]; decides between those that fit. ``None``: not told.
    limits
        Viscosities that the machine asks for, from its sheet; what is not given is common practice.
    sheet
        What the sheet allows in the compartment, or ``None``.

    Returns
    -------
    Choice
        Every oil with its window and every reason. Of those that fit the best is the one about which least is to be
        noted, at its best at the usual temperature, without a thickener where it can do without, with most to spare.

    Valid for
        Starts of −50 to 60 °C, work of 0 to 150 °C, the second the warmer.

    Raises
    ------
    OutOfRange
        Outside of that.
    Contradiction
        When the hottest work is no warmer than the coldest start.
    Missing
        When there is no oil to choose from.

    Source
        ASTM D341 and ISO 3448; limits from the sheet, else common practice, no source. How far a thickened oil may be
        off in the cold: :func:`cold_factor`.

    Examples
    --------
    >>> found = choose(coldest_c=-10, hottest_c=80)
    >>> [one.oil.name for one in found.candidates if one.fits]
    ['VG 46, high index']
    >>> choose(coldest_c=-5, hottest_c=65).best.oil.name
    'VG 32'
    """
    candidates_of = usual_oils() if oils is None else tuple(oils)
    _check(candidates_of, coldest_c, hottest_c, usual_c)
    candidates = tuple(_candidate(oil, coldest_c, hottest_c, usual_c, limits, sheet) for oil in candidates_of)
    fitting = [one for one in candidates if one.fits]
    best = min(fitting, key=lambda one: _rank(one, coldest_c, hottest_c, usual_c), default=None)
    nearest = None if fitting else min(candidates, key=lambda one: one.short_k)
    steps = tuple(step for one in candidates for step in _steps(one, coldest_c, hottest_c))
    return Choice(candidates, best, nearest, coldest_c, hottest_c, usual_c, Working(steps))


def _check(oils: Sequence[Oil], coldest_c: float, hottest_c: float, usual_c: float | None) -> None:
    if not oils:
        raise Missing(name="oils", needed_for=words.sentence("oil.choice.needed_for"))
    require_between("coldest_c", coldest_c, LOWEST_C, 60, "oil at a start")
    require_between("hottest_c", hottest_c, 0, HIGHEST_C, "oil at work")
    if not hottest_c > coldest_c:
        raise Contradiction(name="hottest_c", value=hottest_c, why="oil.cannot.hottest", coldest_c=coldest_c)
    if usual_c is not None:
        require_between("usual_c", usual_c, coldest_c, hottest_c, words.sentence("oil.choice.usual_between"))


def _candidate(
    oil: Oil,
    coldest_c: float,
    hottest_c: float,
    usual_c: float | None,
    limits: AsksViscosity | None,
    sheet: Allows | None,
) -> Candidate:
    found = window(oil, limits)
    cold = _cold(oil, coldest_c)
    reasons = [
        *(not_on_sheet(oil, sheet) if sheet else ()),
        *_in_the_cold(oil, found, cold, coldest_c),
        *_in_the_heat(oil, found, hottest_c),
        *_at_work(found, usual_c),
    ]
    ordered = weightiest(reasons)
    short_k = max(0.0, found.start.t_c - coldest_c, hottest_c - found.work_to.t_c)
    hot = oil.viscosity(min(hottest_c, oil.hottest_c))
    return Candidate(oil, ordered[0].weighs, ordered, found, cold, hot, short_k)


def _cold(oil: Oil, coldest_c: float) -> Range | None:
    """Return the viscosity at the start; ``None`` below the pour point, or where it is thicker than any method goes."""
    if coldest_c < oil.coldest_c:
        return None
    try:
        return viscosity_in_the_cold(oil, coldest_c)
    except OutOfRange:
        return None


def _in_the_cold(oil: Oil, found: Window, cold: Range | None, coldest_c: float) -> Iterator[Reason]:
    start = found.start
    values: dict[str, words.Value] = {"coldest_c": coldest_c, "start_c": start.t_c, "limit_mm2_s": start.kv_mm2_s}
    if cold is None:
        yield Reason("oil.choice.cold.stiff", "no", values)
        return
    values |= {"kv_mm2_s": cold.value, "high_mm2_s": cold.high}
    if coldest_c < start.t_c:
        yield Reason("oil.choice.cold.too_thick", "no", values)
    elif cold.high > start.kv_mm2_s:
        yield Reason("oil.choice.cold.doubted", "yes_with_notes", values)
    else:
        yield Reason("oil.choice.cold.right", "yes", values)
        if coldest_c < found.work_from.t_c:
            yield Reason("oil.choice.cold.idle", "yes", {"work_from_c": found.work_from.t_c})
    if oil.pour_c is not None and coldest_c < oil.pour_c + POUR_MARGIN_K:
        yield Reason("oil.choice.cold.pour_near", "yes_with_notes", {"pour_c": oil.pour_c})


def _in_the_heat(oil: Oil, found: Window, hottest_c: float) -> Iterator[Reason]:
    edge = found.work_to
    values: dict[str, words.Value] = {"hottest_c": hottest_c, "work_to_c": edge.t_c, "limit_mm2_s": edge.kv_mm2_s}
    if hottest_c > edge.t_c:
        thin = {"kv_mm2_s": oil.viscosity(min(hottest_c, oil.hottest_c))}
        yield Reason("oil.choice.hot.too_thin", "no", values | thin)
    else:
        yield Reason("oil.choice.hot.right", "yes", values)


def _at_work(found: Window, usual_c: float | None) -> Iterator[Reason]:
    if usual_c is None:
        return
    values: dict[str, words.Value] = {"usual_c": usual_c, "from_c": found.best_from.t_c, "to_c": found.best_to.t_c}
    if found.best_from.t_c <= usual_c <= found.best_to.t_c:
        yield Reason("oil.choice.usual.best", "yes", values)
    else:
        yield Reason(f"oil.choice.usual.{'thick' if usual_c < found.best_from.t_c else 'thin'}", "yes", values)


def _rank(one: Candidate, coldest_c: float, hottest_c: float, usual_c: float | None) -> tuple[int, float, bool, float]:
    """Return by what the fitting are put in order, the best having the least."""
    off_k = 0.0
    if usual_c is not None:
        off_k = max(0.0, one.window.best_from.t_c - usual_c, usual_c - one.window.best_to.t_c)
    to_spare = min(coldest_c - one.window.start.t_c, one.window.work_to.t_c - hottest_c)
    thickened = one.oil.doubt(LOWEST_C) is not None
    return _RANK[one.answer], round(off_k, 6), thickened, -to_spare


def _steps(one: Candidate, coldest_c: float, hottest_c: float) -> Iterator[Step]:
    formula = "log log Z = A − B · log(t + 273.15)"
    line = (Given("A", one.oil.curve.a, "", "worked_out"), Given("B", one.oil.curve.b, "", "worked_out"))
    ends = [] if one.cold_mm2_s is None else [(coldest_c, one.cold_mm2_s.value)]
    for t_c, kv in (*ends, (min(hottest_c, one.oil.hottest_c), one.hot_mm2_s)):
        givens = (Given("oil", one.oil.name, "", "told"), Given("t", t_c, "c", "told"), *line)
        yield Step("working.oil.viscosity", formula, givens, kv, "mm2_s", "ASTM D341")
    for edge in (one.window.start, one.window.work_to):
        givens = (Given("oil", one.oil.name, "", "told"), Given("ν", edge.kv_mm2_s, "mm2_s", edge.origin), *line)
        yield Step("working.oil.temperature", formula, givens, edge.t_c, "c", "ASTM D341")
