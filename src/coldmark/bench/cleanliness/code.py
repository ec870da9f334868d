"""The three-number code: from counts, and from what somebody typed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import field
from typing import Literal

from coldmark.bench import words
from coldmark.bench.cleanliness.scale import OVER, SOURCE, bounds, scale_number
from coldmark.bench.errors import Contradiction, Missing, require_above, require_between
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Step, Working

__all__ = ["FEW", "SIZES_UM", "Code", "Count", "Mark", "code", "parse"]

SIZES_UM = (4, 6, 14)
"""The sizes that the three numbers stand for [µm], as an automatic counter calibrated to ISO 11171 sees them."""

FEW = 20
"""Where fewer particles than this were counted in all, the number is marked with ≥."""

Mark = Literal["", "at_least", "too_many", "not_counted"]
"""How a size's number stands: as it is; ≥, because few were counted; ``*`` too many to count; ``–`` not counted."""

Count = float | Literal["too_many"] | None
"""A count at one size [per mL]; ``"too_many"`` for the counter; ``None`` where that size was not counted."""

MOST_PER_ML = 1e9
_SIGNS: dict[Mark, str] = {"too_many": "*", "not_counted": "–"}
_DASHES = ("-", "–", "—", "−")


@dataclass(frozen=True, slots=True)
class Code:
    """A cleanliness code: for each of :data:`SIZES_UM` its scale number and mark.

    A number is ``None`` under the marks *too many* and *not counted*. ``counts_per_ml`` [per mL] is what was counted,
    ``None`` where only the code is known.
    """

    numbers: tuple[int | None, int | None, int | None]
    marks: tuple[Mark, Mark, Mark]
    counts_per_ml: tuple[float | None, float | None, float | None] = (None, None, None)
    working: Working = field(default_factory=lambda: Working(()))

    def __str__(self) -> str:
        """The code as the standard writes it: ``18/16/13``, ``14/12/≥7``, ``*/19/14``, ``–/18/13``."""
        return "/".join(map(_text, self.numbers, self.marks))


def _text(number: int | None, mark: Mark) -> str:
    if number is None:
        return _SIGNS[mark]
    text = str(number) if number < OVER else f">{OVER - 1}"
    return f"≥{text}" if mark == "at_least" else text


def _name(size_um: int) -> str:
    return f"count{size_um}_per_ml"


def _require_falling(counts: Sequence[Count]) -> None:
    """Counts are of a size *and larger*, so a larger size cannot have more."""
    smaller: tuple[int, float] | None = None
    for size_um, count in zip(SIZES_UM, counts, strict=True):
        if count == "too_many":
            if smaller is not None:
                why = "cleanliness.why.too_many"
                raise Contradiction(name=_name(size_um), value="*", why=why, size_um=smaller[0])
        elif count is not None:
            if smaller is not None and count > smaller[1]:
                why = "cleanliness.why.rises"
                raise Contradiction(
                    name=_name(size_um), value=count, why=why, count_per_ml=smaller[1], size_um=smaller[0]
                )
            smaller = size_um, count


def _marked(count: Count, counted_ml: float | None) -> Mark:
    if count is None:
        return "not_counted"
    if count == "too_many":
        return "too_many"
    # Particles come whole: what the counter counted is the whole number next to count times volume.
    few = counted_ml is not None and round(count * counted_ml) < FEW
    return "at_least" if few else ""


def _step(size_um: int, count: float, number: int, mark: Mark, counted_ml: float | None) -> Step:
    low, high = bounds(number)
    above = "" if math.isinf(high) else f" ≤ {words.figures(high)}"
    givens = [Given(f"N(≥{size_um} µm)", count, "per_ml", "measured")]
    if counted_ml is not None:
        givens.append(Given("V", counted_ml, "ml", "told"))
    return Step(
        "working.cleanliness.few" if mark == "at_least" else "working.cleanliness.number",
        f"{words.figures(low)} < N{above}" + (f"; N · V < {FEW}" if mark == "at_least" else ""),
        tuple(givens),
        _text(number, mark),
        "",
        f"{SOURCE}, table of scale numbers",
    )


def code(counts_per_ml: Sequence[Count], *, counted_ml: float | None = None) -> Code:
    """Return the cleanliness code of particle counts.

    Parameters
    ----------
    counts_per_ml
        Particles at and above 4, 6 and 14 µm [per mL], in this order; ``"too_many"`` where the counter could not keep
        up, ``None`` where a size was not counted (a microscope counts two sizes only).
    counted_ml
        How much oil the counter looked at in all [mL], or ``None``: then nobody knows whether few were counted, and no
        number is marked with ≥.

    Returns
    -------
    Code
        Scale numbers with their marks; its text is as the standard writes it.

    Valid for
        Counts from 0 to 1e9 per mL; three sizes.

    Raises
    ------
    OutOfRange
        Outside of that.
    Contradiction
        When there are not three, or a larger size has more particles than a smaller one.
    Missing
        When nothing was counted at any size.

    Source
        ISO 4406:1999 and 2021, clauses 3 and 4, as printed in stored excerpts; the marks ``*`` and ``–`` from memory.

    Examples
    --------
    >>> str(code((151_773, 38_363, 3_339)))
    '24/22/19'
    >>> str(code((150, 30, 1.2), counted_ml=10)), str(code((None, 1_800, 75))), str(code(("too_many", 4_000, 150)))
    ('14/12/≥7', '–/18/13', '*/19/14')
    """
    if len(counts_per_ml) != len(SIZES_UM):
        raise Contradiction(name="counts_per_ml", value=str(len(counts_per_ml)), why="cleanliness.why.three_counts")
    if counted_ml is not None:
        require_above("counted_ml", counted_ml, 0, "an oil sample")
    counted = {size: one for size, one in zip(SIZES_UM, counts_per_ml, strict=True) if isinstance(one, float | int)}
    for size_um, count in counted.items():
        require_between(_name(size_um), count, 0, MOST_PER_ML, "a count of particles")
    if all(one is None for one in counts_per_ml):
        raise Missing(name=_name(SIZES_UM[0]), needed_for=words.sentence("cleanliness.the_code"))
    _require_falling(counts_per_ml)
    numbers = [scale_number(counted[size]) if size in counted else None for size in SIZES_UM]
    marks = [_marked(one, counted_ml) for one in counts_per_ml]
    steps = tuple(
        _step(size, counted[size], number, mark, counted_ml)
        for size, number, mark in zip(SIZES_UM, numbers, marks, strict=True)
        if number is not None
    )
    kept = [counted.get(size) for size in SIZES_UM]
    return Code(
        (numbers[0], numbers[1], numbers[2]),
        (marks[0], marks[1], marks[2]),
        (kept[0], kept[1], kept[2]),
        Working(steps),
    )


def _part(part: str, text: str) -> tuple[int | None, Mark]:
    if part == "*":
        return None, "too_many"
    if part in _DASHES:
        return None, "not_counted"
    if part.replace(" ", "") == f">{OVER - 1}":
        return OVER, ""
    few = part.startswith(("≥", ">="))
    digits = part.removeprefix("≥").removeprefix(">=").strip()
    if not (digits.isascii() and digits.isdigit() and len(digits) <= 2):
        raise Contradiction(name="code", value=text, why="cleanliness.why.part", part=part)
    if int(digits) >= OVER:
        raise Contradiction(name="code", value=text, why="cleanliness.why.over", part=part)
    return int(digits), "at_least" if few else ""


def parse(text: str) -> Code:
    """Read a code as laboratories and counters print it.

    Parameters
    ----------
    text
        Three parts set apart by strokes, for 4, 6 and 14 µm: a number, ``≥7`` (or ``>=7``) where few were counted,
        ``*`` too many to count, ``–`` (or a hyphen) not counted. Blanks and the letters ISO in front are passed over.

    Returns
    -------
    Code
        The code, without counts.

    Valid for
        Scale numbers 0 to 28 and ``>28``.

    Raises
    ------
    Contradiction
        When it has not three parts, a part is none of these, or a later number is higher than an earlier.
    Missing
        When the text is empty, or nothing was counted.

    Source
        ISO 4406:1999 and 2021, as printed in stored excerpts; the marks ``*`` and ``–`` from memory.

    Examples
    --------
    >>> parse(" 18/16/13 ").numbers, str(parse("-/18/>=7")), str(parse("ISO 22/20/17"))
    ((18, 16, 13), '–/18/≥7', '22/20/17')
    >>> parse("18/20/13")
    Traceback (most recent call last):
    ...
    coldmark.bench.errors.Contradiction: code = 18/20/13 cannot be: 20 follows 18, and the numbers never rise.
    """
    bare = text.strip()
    if not bare:
        raise Missing(name="code", needed_for=words.sentence("cleanliness.the_code"))
    if bare[:3].upper() == "ISO":
        bare = bare[3:].strip()
        if bare[:4] == "4406":
            bare = bare[4:].lstrip(" :").strip()
    parts = [part.strip() for part in bare.split("/")]
    if len(parts) != len(SIZES_UM) or not all(parts):
        why = "cleanliness.why.two_parts" if len(parts) == 2 else "cleanliness.why.three_parts"
        raise Contradiction(name="code", value=text.strip(), why=why)
    read = [_part(part, text.strip()) for part in parts]
    last: int | None = None
    for (number, mark), part in zip(read, parts, strict=True):
        if mark == "too_many" and last is not None:
            raise Contradiction(name="code", value=text.strip(), why="cleanliness.why.star_after", last=last)
        if number is None:
            continue
        if last is not None and number > last:
            why = "cleanliness.why.number_rises"
            raise Contradiction(name="code", value=text.strip(), why=why, part=part, last=last)
        last = number
    if all(mark == "not_counted" for _, mark in read):
        raise Missing(name="code", needed_for=words.sentence("cleanliness.the_code"))
    (one, first), (two, second), (three, third) = read
    return Code((one, two, three), (first, second, third))
