"""Which bolt wears this hexagon: a size across the flats belongs to several threads, by standard and by age."""

from __future__ import annotations

from functools import cache
from typing import Literal

from coldmark.bench.data_file import table
from coldmark.bench.errors import Contradiction, require_between
from coldmark.bench.joint.threads import COARSE_MM, FINE_MM, INCH
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Step, Working

__all__ = ["CHECKSUM", "STANDARDS", "BoltCandidate", "BoltCandidates", "candidates"]

CHECKSUM = "d695e5f15b9068156468cf633e383f7601bc30e210660fe582e8afa6d7096bd4"

STANDARDS = {
    "iso": "ISO 4014",
    "din": "old DIN 931",
    "jis": "JIS B 1180",
    "jis_small": "JIS B 1180 with a small head",
    "flange_small": "flange bolt EN 1662",
    "flange": "flange bolt EN 1665",
    "flange_nut": "flange nut EN 1661",
    "inch": "inch",
}
"""What each standard of the table is called."""

Standing = Literal["library", "as printed", "from memory"]

_MM_AN_INCH = 25.4
_SMALLER = 0.028  # heads are made up to so much smaller than their size (36 may be 35.0), and wear
_LARGER_MM = 0.1
_NEAR = 0.035
_PITCH = 0.03  # a gauge blade that fits is nearer than that
_TYPED = 0.005


@dataclass(frozen=True, slots=True)
class BoltCandidate:
    """One thread that wears the hexagon. ``off_mm`` is measured less nominal width; ``pitches_mm`` what it may have.

    ``name`` has the pitch where that is known: ``M10``, ``M10×1.25``, ``3/8-16 UNC``. ``fits`` is false for a size
    that is only near: a spanner goes on, loosely or with force. ``standing`` is how the width is known.
    """

    name: str
    thread: str
    standard: str
    hex_mm: float
    off_mm: float
    fits: bool
    pitches_mm: tuple[float, ...]
    standing: Standing


@dataclass(frozen=True, slots=True)
class BoltCandidates:
    """What the hexagon may belong to, nearest first: those that fit, and those that could be taken for it."""

    hex_mm: float
    fitting: tuple[BoltCandidate, ...]
    near: tuple[BoltCandidate, ...]
    working: Working

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the threads that fit, each once."""
        return tuple(dict.fromkeys(one.name for one in self.fitting))

    def standards_of(self, name: str) -> tuple[str, ...]:
        """Return what the standards are called by which a thread wears it."""
        return tuple(dict.fromkeys(STANDARDS[one.standard] for one in self.fitting if one.name == name))


@cache
def _heads() -> tuple[tuple[str, str, float, Standing], ...]:
    return tuple(
        (row["standard"], row["thread"], float(row["hex_mm"]), row["standing"])  # type: ignore[misc]
        for row in table(__package__, "heads.csv", CHECKSUM)
    )


def _sizes(thread: str) -> tuple[float, dict[float, str]]:
    """Return a thread's diameter [mm] and its pitches [mm], each with the name that the thread has by it."""
    if thread in INCH:
        inches, coarse, fine = INCH[thread]
        named = {_MM_AN_INCH / coarse: f"{thread}-{coarse} UNC", _MM_AN_INCH / fine: f"{thread}-{fine} UNF"}
        return inches * _MM_AN_INCH, named
    diameter = float(thread.removeprefix("M"))
    named = {COARSE_MM[diameter]: thread} | {fine: f"{thread}×{fine:g}" for fine in FINE_MM.get(diameter, ())}
    return diameter, named


def _wears(diameter_mm: float, measured_mm: float | None) -> bool:
    """Say whether a bolt of this thread measures so much over its crests: a little less than nominal, and worn."""
    return measured_mm is None or -0.1 - 0.03 * diameter_mm <= measured_mm - diameter_mm <= _LARGER_MM


def candidates(
    hex_mm: float, *, diameter_mm: float | None = None, pitch_mm: float | None = None, tpi: float | None = None
) -> BoltCandidates:
    """Return the threads that wear a hexagon, by standard, narrowed by what was measured on the thread.

    Parameters
    ----------
    hex_mm : width across the flats [mm]: a spanner's size, or measured with a calliper.
    diameter_mm : measured over the crests of the bolt's thread [mm], where it was.
    pitch_mm : from crest to crest [mm], by the gauge or over ten threads.
    tpi : threads an inch, in place of the pitch.

    Returns
    -------
    BoltCandidates
        Those that fit, nearest first, and those near enough to be taken for it; either may be empty.

    Valid for
    ---------
    Bolts and nuts of M4 to M39 and 1/4 to 1 in. Fittings, plugs and wheel bolts have hexagons of their own.

    Raises
    ------
    OutOfRange
        Outside 5 to 70 mm; for a diameter outside 2 to 50 mm, a pitch outside 0.3 to 6 mm or 4 to 80 threads an inch.
    Contradiction
        When pitch and threads an inch are both told and are not the same.

    Source
    ------
    ISO 4014 and 4017, DIN 931, EN 1661, 1662 and 1665 by the library bd-warehouse 0.4.0; JIS B 1180 and BS 1768 as
    printed in stored excerpts; how much smaller a head may be made, from memory.

    Examples
    --------
    >>> candidates(17).names
    ('M10', 'M12')
    >>> candidates(13, diameter_mm=7.9, pitch_mm=1.25).names
    ('M8',)
    """
    require_between("hex_mm", hex_mm, 5, 70, "hexagons of M4 to M39")
    if diameter_mm is not None:
        require_between("diameter_mm", diameter_mm, 2, 50, "threads of M4 to M39")
    if pitch_mm is not None:
        require_between("pitch_mm", pitch_mm, 0.3, 6, "threads of M4 to M39")
    if tpi is not None:
        require_between("tpi", tpi, 4, 80, "threads of 1/4 to 1 in")
        if pitch_mm is not None and not _same_pitch(_MM_AN_INCH / tpi, pitch_mm):
            raise Contradiction(name="tpi", value=tpi, why="joint.cannot.tpi", made=_MM_AN_INCH / pitch_mm)
        pitch_mm = _MM_AN_INCH / tpi
    fitting: list[BoltCandidate] = []
    near: list[BoltCandidate] = []
    for standard, thread, nominal, standing in _heads():
        off = hex_mm - nominal
        fits = -_SMALLER * nominal - _TYPED <= off <= _LARGER_MM
        diameter, pitches = _sizes(thread)
        left = {pitch: name for pitch, name in pitches.items() if _same_pitch(pitch, pitch_mm)}
        if not left or not _wears(diameter, diameter_mm) or not (fits or abs(off) <= _NEAR * nominal):
            continue
        name = next(iter(left.values())) if pitch_mm is not None else f"{thread} in" if thread in INCH else thread
        found = BoltCandidate(name, thread, standard, nominal, off, fits, tuple(left), standing)
        (fitting if fits else near).append(found)
    fitting.sort(key=lambda one: (abs(one.off_mm), _sizes(one.thread)[0]))
    near.sort(key=lambda one: abs(one.off_mm))
    return BoltCandidates(hex_mm, tuple(fitting), tuple(near), _working(hex_mm, diameter_mm, pitch_mm, fitting))


def _same_pitch(pitch_mm: float, measured_mm: float | None) -> bool:
    return measured_mm is None or abs(measured_mm - pitch_mm) <= _PITCH * pitch_mm


def _working(hex_mm: float, diameter_mm: float | None, pitch_mm: float | None, fitting: list[BoltCandidate]) -> Working:
    measured = (("s", hex_mm), ("d", diameter_mm), ("P", pitch_mm))
    givens = [Given(symbol, value, "mm", "measured") for symbol, value in measured if value is not None]
    givens += [
        Given(f"{one.name}, {STANDARDS[one.standard]} ({one.standing})", one.hex_mm, "mm", "practice")
        for one in fitting
    ]
    step = Step(
        what="working.joint.heads",
        formula="s_nominal − 2.8 % ≤ s ≤ s_nominal + 0.1 mm",
        givens=tuple(givens),
        result=", ".join(dict.fromkeys(one.name for one in fitting)) or "–",
        unit="",
        source="ISO 4014, DIN 931, EN 1661, EN 1662, EN 1665, JIS B 1180, BS 1768",
    )
    return Working((step,))
