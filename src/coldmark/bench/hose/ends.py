"""Which hose end it is: from the thread's diameter and pitch, the seat, and whether the thread is outside or inside."""

from __future__ import annotations

from functools import cache
from typing import Literal

from coldmark.bench.data_file import table
from coldmark.bench.errors import Contradiction, require_between, require_choice
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Step, Working

__all__ = ["CHECKSUM", "FAMILIES", "SEATS", "SEXES", "Apart", "End", "EndCandidate", "Ends", "all_ends", "identify"]

CHECKSUM = "28a0f750dbed4ecaa5b6cfa6a8f861799110dfce6152fdfb415bc8ce67ea58ff"

FAMILIES: dict[str, tuple[str, int]] = {
    "cone_24": ("cone_24", 60),
    "flare_37": ("flare_37", 60),
    "face_ring": ("face_ring", 60),
    "port_metric": ("foot_ring", 60),
    "pipe_60": ("cone_60", 55),
    "port_pipe": ("foot_ring", 55),
    "pipe_taper": ("taper", 55),
    "npt": ("taper", 60),
    "flare_45": ("flare_45", 60),
    "port_un": ("foot_ring", 60),
}
"""How each family seals, and the angle between the flanks of its thread [°]."""

SEATS = ("cone_24", "flare_37", "flare_45", "cone_60", "face_ring", "foot_ring", "taper")
"""What seals: a cone by its angle, an O-ring in the face or at the thread's foot, or the taper of the thread itself."""

SEXES = ("male", "female")

Apart = Literal["pitch", "seat", "tube", "form", "diameter"]
"""What to measure to tell candidates apart; *form* is the angle of the thread's flanks."""

_MM_AN_INCH = 25.4
_PITCH = 0.02
_STARTS_PITCH = 0.07  # a nut starts on a thread that near, and jams or strips
_STARTS_MM = 0.7
_TUBE_MM = 0.4
_TYPED = 0.005
_MOST_ALIKE = 6


@dataclass(frozen=True, slots=True)
class End:
    """One end of the table: family, size within it, thread, its sizes [mm]; ``dash`` in sixteenths of an inch."""

    family: str
    size: str
    dash: int | None
    thread: str
    outer_mm: float
    pitch_mm: float
    tube_mm: float | None
    standing: str

    @property
    def seat(self) -> str:
        """What seals, one of :data:`SEATS`."""
        return FAMILIES[self.family][0]

    @property
    def form_deg(self) -> int:
        """Angle between the flanks of the thread."""
        return FAMILIES[self.family][1]

    @property
    def inner_mm(self) -> float:
        """Across the crests of the female thread: ISO 724, ISO 228-1, ASME B1.20.1."""
        depth = 1.6 if self.family == "npt" else 1.280654 if self.form_deg == 55 else 1.082532
        return self.outer_mm - depth * self.pitch_mm


@dataclass(frozen=True, slots=True)
class EndCandidate:
    """An end that what was measured fits, and by how much: measured less nominal [mm], and the pitch's share."""

    end: End
    off_mm: float
    pitch_off: float | None
    tube_off_mm: float | None


@dataclass(frozen=True, slots=True)
class Ends:
    """What the end may be, nearest first. ``alike`` are ends that screw on or nearly do, and are not this one.

    ``apart`` is what would tell the fitting ones apart. ``enough`` is false where only one thing was measured: that
    never identifies an end, even where a single one fits.
    """

    fitting: tuple[EndCandidate, ...]
    alike: tuple[End, ...]
    apart: tuple[Apart, ...]
    enough: bool
    working: Working

    @property
    def state(self) -> Literal["identified", "several", "none"]:
        """Whether it is identified, may be several, or is not in the table."""
        if not self.fitting:
            return "none"
        return "identified" if self.enough and len(self.fitting) == 1 else "several"


@cache
def all_ends() -> tuple[End, ...]:
    """Return every end of the table.

    Returns
    -------
    tuple of End
        In the table's order.

    Source
    ------
    ISO 8434-1 (by DIN 3902), ISO 6149, ASME B1.20.1, some of ISO 8434-2 and 8434-3: as printed in stored excerpts;
    ISO 228-1: library bd-warehouse 0.4.0; the others from memory, and marked so.

    Examples
    --------
    >>> all_ends()[0].thread, all_ends()[0].tube_mm
    ('M12×1.5', 6.0)
    """
    return tuple(
        End(
            family=row["family"],
            size=row["size"],
            dash=int(row["dash"]) if row["dash"] else None,
            thread=row["thread"],
            outer_mm=float(row["outer_mm"]),
            pitch_mm=float(row["pitch_mm"]),
            tube_mm=float(row["tube_mm"]) if row["tube_mm"] else None,
            standing=row["standing"],
        )
        for row in table(__package__, "ends.csv", CHECKSUM)
    )


def _window_mm(end: End, sex: str) -> tuple[float, float]:
    """Return how far a sound thread may measure below and above its nominal size [mm]."""
    if end.seat == "taper":
        # A taper of 1 in 16: a few threads up or down the thread are more than any tolerance.
        return (-0.9, 0.4) if sex == "male" else (-0.7, 0.8)
    if sex == "male":
        return -0.3 - 0.004 * end.outer_mm, 0.15
    return -0.15, 0.75


def _fit(end: End, sex: str, thread_mm: float, pitch_mm: float | None, tube_mm: float | None) -> EndCandidate | None:
    off = thread_mm - (end.outer_mm if sex == "male" else end.inner_mm)
    low, high = _window_mm(end, sex)
    pitch_off = None if pitch_mm is None else pitch_mm / end.pitch_mm - 1
    tube_off = None if tube_mm is None or end.tube_mm is None else tube_mm - end.tube_mm
    if not low - _TYPED <= off <= high + _TYPED or (pitch_off is not None and abs(pitch_off) > _PITCH):
        return None
    if tube_off is not None and abs(tube_off) > _TUBE_MM:
        return None
    return EndCandidate(end, off, pitch_off, tube_off)


def identify(
    thread_mm: float,
    sex: str,
    *,
    pitch_mm: float | None = None,
    tpi: float | None = None,
    seat: str | None = None,
    tube_mm: float | None = None,
) -> Ends:
    """Return which hose ends fit what was measured, with what each is off by, and what is easily taken for them.

    Parameters
    ----------
    thread_mm : across the thread's crests [mm]: outside of a male thread, inside of a female one.
    sex : *male*, the thread outside, or *female*, the thread inside.
    pitch_mm : from crest to crest [mm], by the gauge.
    tpi : threads an inch, in place of the pitch.
    seat : what seals, one of :data:`SEATS`; ``None`` where it was not looked at.
    tube_mm : outside of the tube that goes in [mm], where there is one to measure.

    Returns
    -------
    Ends
        Those that fit, nearest first; none where the table has none.

    Valid for
    ---------
    ISO 8434-1, -2, -3, ISO 6149, ISO 1179, BSP with a 60° cone, BSPT, NPT and NPTF, SAE J512, ISO 11926. Flanges,
    banjos, Japanese seats of 30° and makers' own ends are not in the table.

    Raises
    ------
    OutOfRange
        Outside 5 to 80 mm of thread, 0.5 to 4 mm of pitch, 6 to 50 threads an inch, 2 to 60 mm of tube.
    NotAChoice
        For another sex or seat.
    Contradiction
        When pitch and threads an inch are both told and are not the same.

    Source
    ------
    The standards named; tolerances of ISO 965, ISO 228-1 and ASME B1.20.1 in round figures, from memory.

    Examples
    --------
    >>> found = identify(18.95, "male", pitch_mm=1.59, seat="flare_37")
    >>> found.state, found.fitting[0].end.size
    ('identified', '-8')
    >>> [one.end.family for one in identify(18.95, "male", pitch_mm=1.59).fitting]
    ['flare_37', 'flare_45', 'port_un']
    """
    require_between("thread_mm", thread_mm, 5, 80, "ends of hydraulic hoses")
    require_choice("sex", sex, SEXES)
    if pitch_mm is not None:
        require_between("pitch_mm", pitch_mm, 0.5, 4, "ends of hydraulic hoses")
    if tpi is not None:
        require_between("tpi", tpi, 6, 50, "ends of hydraulic hoses")
        if pitch_mm is not None and abs(pitch_mm * tpi / _MM_AN_INCH - 1) > _PITCH:
            raise Contradiction(name="tpi", value=tpi, why="hose.cannot.tpi", made=_MM_AN_INCH / pitch_mm)
        pitch_mm = _MM_AN_INCH / tpi
    if seat is not None:
        require_choice("seat", seat, SEATS)
    if tube_mm is not None:
        require_between("tube_mm", tube_mm, 2, 60, "ends of hydraulic hoses")
    matching = [_fit(end, sex, thread_mm, pitch_mm, tube_mm) for end in all_ends()]
    fitting = [one for one in matching if one is not None and seat in (None, one.end.seat)]
    fitting.sort(key=lambda one: (abs(one.pitch_off or 0.0) + abs(one.off_mm) / 10, one.end.family))
    return Ends(
        fitting=tuple(fitting),
        alike=_alike([one.end for one in fitting]),
        apart=_apart([one.end for one in fitting], pitch_mm, seat, tube_mm),
        enough=sum(one is not None for one in (pitch_mm, seat, tube_mm)) > 0,
        working=_working(thread_mm, sex, pitch_mm, fitting),
    )


def _alike(fitting: list[End]) -> tuple[End, ...]:
    """Return ends on which a nut of these starts, or on which these start, and which they are not."""
    found: dict[tuple[str, str], tuple[float, End]] = {}
    for one in fitting:
        for other in all_ends():
            pitch = abs(other.pitch_mm / one.pitch_mm - 1)
            apart = abs(other.outer_mm - one.outer_mm)
            if other in fitting or pitch > _STARTS_PITCH or apart > _STARTS_MM:
                continue
            if other.family == one.family and other.thread == one.thread and other.tube_mm is None:
                continue
            found[other.family, other.size] = (apart + 10 * pitch, other)
    nearest = sorted(found.values(), key=lambda pair: pair[0])
    return tuple(end for _, end in nearest[:_MOST_ALIKE])


def _apart(fitting: list[End], pitch_mm: float | None, seat: str | None, tube_mm: float | None) -> tuple[Apart, ...]:
    if len(fitting) < 2:
        return ()
    first = fitting[0]
    found: list[Apart] = []
    if pitch_mm is None and any(abs(one.pitch_mm / first.pitch_mm - 1) > 2 * _PITCH for one in fitting):
        found.append("pitch")
    if seat is None and any(one.seat != first.seat for one in fitting):
        found.append("seat")
    if tube_mm is None and _same_thread_other_tube(fitting):
        found.append("tube")
    if any(one.form_deg != first.form_deg and one.seat == first.seat for one in fitting):
        found.append("form")
    return tuple(found) or ("diameter",)


def _same_thread_other_tube(fitting: list[End]) -> bool:
    threads = [(one.family, one.thread) for one in fitting if one.tube_mm is not None]
    return len(threads) > len(set(threads))


def _working(thread_mm: float, sex: str, pitch_mm: float | None, fitting: list[EndCandidate]) -> Working:
    givens = [Given("d" if sex == "male" else "D₁", thread_mm, "mm", "measured")]
    if pitch_mm is not None:
        givens.append(Given("P", pitch_mm, "mm", "measured"))
    for one in fitting:
        nominal = one.end.outer_mm if sex == "male" else one.end.inner_mm
        givens.append(Given(f"{one.end.thread} ({one.end.standing})", nominal, "mm", "practice"))
    step = Step(
        what="working.hose.ends",
        formula="d" if sex == "male" else "D₁ = d − 1.0825 · P (60°), d − 1.2807 · P (55°), d − 1.6 · P (NPT)",
        givens=tuple(givens),
        result=", ".join(dict.fromkeys(one.end.thread for one in fitting)) or "–",
        unit="",
        source="ISO 8434, ISO 6149, ISO 228-1, ISO 7-1, ASME B1.20.1, SAE J512, ISO 11926",
    )
    return Working((step,))
