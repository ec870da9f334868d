"""How tight: the data sheet's figure first, a worked-out one only where it may stand, spin-on cans by their turn."""

from __future__ import annotations

from coldmark.bench.errors import CannotTell, Missing, NotAChoice, require_above, require_choice
from coldmark.bench.joint.threads import thread as thread_of
from coldmark.bench.joint.tighten import Tightening, torque
from coldmark.bench.shapes import dataclass
from coldmark.bench.sheet.model import Fasteners, Housing
from coldmark.bench.words import UnitSystem, Value, sentence
from coldmark.bench.working import Given, Origin, Range, Step, Working

__all__ = [
    "INTO",
    "HowTight",
    "SpinOn",
    "how_tight",
    "known_thread",
    "says_how_tight",
    "says_spin_on",
    "sheet_torque",
    "spin_on",
]

INTO = ("steel", "aluminium", "plastic", "sheet_metal", "weld_nut", "unknown")
"""What a bolt goes into; only for steel is a torque worked out."""

_STANDS_APART = 1.0


@dataclass(frozen=True, slots=True)
class HowTight:
    """How tight a bolt goes. ``sheet_nm`` is the data sheet's figure, which wins; ``computed`` what the relation gives.

    ``why_not`` is the message id of why nothing is worked out, where ``computed`` is empty.
    """

    sheet_nm: Range | None
    computed: Tightening | None
    why_not: str | None
    values: dict[str, str]
    working: Working

    @property
    def set_nm(self) -> float | None:
        """The torque to set [N·m]: the sheet's, else the worked-out one, else none."""
        if self.sheet_nm is not None:
            return self.sheet_nm.value
        return None if self.computed is None else self.computed.set_nm


@dataclass(frozen=True, slots=True)
class SpinOn:
    """How far a spin-on can is turned after its ring touches, and whether the sheet or the can says so."""

    turn: str
    origin: Origin
    working: Working


def sheet_torque(fasteners: Fasteners | None) -> Range | None:
    """Return the torque that a data sheet gives for a cover's fasteners.

    Parameters
    ----------
    fasteners : from the sheet, or ``None``.

    Returns
    -------
    Range or None
        Torque [N·m] with the sheet's own limits; ``None`` where it gives none.

    Valid for
    ---------
    Every sheet.

    Raises
    ------
    Nothing
        A sheet's limits were checked when it was read.

    Source
    ------
    The data sheet.

    Examples
    --------
    >>> sheet_torque(Fasteners(6, 13.0, "M8", 24.0, 22.0, 26.0, "manual"))
    Range(value=24.0, low=22.0, high=26.0)
    """
    if fasteners is None:
        return None
    low, value, high = fasteners.torque_low_nm, fasteners.torque_nm, fasteners.torque_high_nm
    known = [one for one in (low, value, high) if one is not None]
    if not known:
        return None
    least, most = known[0], known[-1]
    return Range((least + most) / 2 if value is None else value, least, most)


def how_tight(
    *,
    thread: str | None,
    property_class: str | None,
    friction: str | float = "oiled",
    into: str = "steel",
    sprung: bool = False,
    sheet_nm: Range | None = None,
) -> HowTight:
    """Return how tight a bolt goes: by the data sheet where it says so, else worked out where that may stand.

    Parameters
    ----------
    thread : the thread as measured, such as ``M10``; ``None`` or empty where nobody has measured it.
    property_class : the mark on the head; ``None`` or ``unknown`` where there is none.
    friction : how the thread was treated, or the friction itself.
    into : what it goes into, one of :data:`INTO`.
    sprung : whether a spring pushes the cover.
    sheet_nm : the data sheet's torque [N·m] with its limits, where it gives one.

    Returns
    -------
    HowTight
        With the sheet's figure, the worked-out one, or why there is none.

    Valid for
    ---------
    Bolts with a hexagon head, M6 to M24, classes 8.8 to 12.9, in steel.

    Raises
    ------
    NotAChoice
        For another material or treatment, or what is no metric thread.
    OutOfRange
        For a friction or a sheet's torque that cannot be.

    Source
    ------
    The data sheet; else VDI 2230. What is not worked out: common practice, no source.

    Examples
    --------
    >>> found = how_tight(thread="M8", property_class="8.8", into="aluminium")
    >>> found.set_nm, found.why_not
    (None, 'joint.why_not.aluminium')
    >>> how_tight(thread="M8", property_class="unknown", sheet_nm=Range(24, 22, 26)).set_nm
    24
    """
    require_choice("into", into, INTO)
    if sheet_nm is not None:
        require_above("sheet_nm", sheet_nm.low, 0, "a data sheet's torque")
    given = () if sheet_nm is None else (_of_the_sheet(sheet_nm),)
    why_not = _why_not(thread, property_class, into, sprung)
    if why_not is not None:
        return HowTight(sheet_nm, None, why_not, {}, Working(given))
    assert thread is not None
    assert property_class is not None
    try:
        computed = torque(thread, property_class, friction)
    except CannotTell as reason:
        values = {name: str(value) for name, value in reason.values.items()}
        return HowTight(sheet_nm, None, reason.message, values, Working(given))
    return HowTight(sheet_nm, computed, None, {}, Working(given) + computed.working)


def _why_not(thread: str | None, property_class: str | None, into: str, sprung: bool) -> str | None:
    if into != "steel":
        return f"joint.why_not.{into}"
    if sprung:
        return "joint.why_not.sprung"
    if not thread:
        return "joint.why_not.thread"
    if property_class in (None, "", "unknown"):
        return "joint.why_not.class"
    return None


def _of_the_sheet(sheet_nm: Range) -> Step:
    givens = (Given("M", sheet_nm.value, "nm", "sheet"),)
    return Step("working.joint.sheet", "", givens, sheet_nm.value, "nm", "the data sheet")


def says_how_tight(found: HowTight, units: UnitSystem = "metric") -> list[str]:
    """Return what :func:`how_tight` found in plain sentences, the figure to set first.

    Parameters
    ----------
    found : what was found.
    units : the reader's units.

    Returns
    -------
    list of str
        Sentences.

    Valid for
    ---------
    Whatever was found.

    Raises
    ------
    Nothing
        Every case has its sentences.

    Source
    ------
    Coldmark's own words.

    Examples
    --------
    >>> says_how_tight(how_tight(thread="", property_class="8.8"))[0]
    'No torque is worked out: the thread is not measured, and a guess strips it or leaves it loose.'
    """
    lines = []
    sheet, computed = found.sheet_nm, found.computed
    if sheet is not None:
        span = "joint.says.sheet" if sheet.width <= 0 else "joint.says.sheet_span"
        lines.append(sentence(span, units=units, torque_nm=sheet.value, low_nm=sheet.low, high_nm=sheet.high))
    if computed is None:
        assert found.why_not is not None
        lines.append(sentence(found.why_not, units=units, **found.values))
        if sheet is None:
            lines.append(sentence("joint.says.sheet_or_none"))
        return lines
    lines += _computed(computed, sheet, units)
    return lines


def _computed(one: Tightening, sheet: Range | None, units: UnitSystem) -> list[str]:
    values: dict[str, Value] = {
        "thread": one.thread.name,
        "grade": one.property_class,
        "set_nm": one.set_nm,
        "high_nm": one.torque_nm.high,
        "low_kn": one.pull_kn.low,
        "high_kn": one.pull_kn.high,
        "low_mu": one.mu.low,
        "high_mu": one.mu.high,
    }
    if sheet is None:
        messages = ("set_span", "pull_span", "stiff") if one.torque_nm.width > 0 else ("set", "pull")
        return [sentence(f"joint.says.{message}", units=units, **values) for message in messages]
    apart = sheet.high < one.torque_nm.low - _STANDS_APART or sheet.low > one.torque_nm.high + _STANDS_APART
    lines = [sentence("joint.says.compare", units=units, **values)]
    return [*lines, sentence("joint.says.apart")] if apart else lines


def spin_on(housing: Housing | None = None, *, turn: str = "") -> SpinOn:
    """Return how a spin-on can is tightened: contact of its ring, then the turn that the data sheet gives.

    Parameters
    ----------
    housing : the can's housing on the data sheet, where there is one; its turn comes first.
    turn : the turn after contact, in the words of the can or the manual, where no sheet gives it.

    Returns
    -------
    SpinOn
        The turn, and where it is from.

    Valid for
    ---------
    Cans with a rubber ring, turned by hand.

    Raises
    ------
    Missing
        When neither the sheet nor the can tells the turn: there is no turn that is right for all.

    Source
    ------
    The data sheet; oil on the ring and contact first: common practice, no source.

    Examples
    --------
    >>> spin_on(turn="three quarters of a turn").origin
    'told'
    """
    of_sheet = "" if housing is None else housing.turn_after_contact.strip()
    told = of_sheet or turn.strip()
    if not told:
        raise Missing(name="turn", needed_for=sentence("joint.the_can"))
    origin: Origin = "sheet" if of_sheet else "told"
    step = Step("working.joint.turn", "", (Given(sentence("joint.turn"), told, "", origin),), told, "", "")
    return SpinOn(told, origin, Working((step,)))


def says_spin_on(found: SpinOn) -> str:
    """Return how a can is tightened, as one sentence or two.

    Parameters
    ----------
    found : from :func:`spin_on`.

    Returns
    -------
    str
        The sentences.

    Valid for
    ---------
    Every can.

    Raises
    ------
    Nothing
        Every can has its sentence.

    Source
    ------
    Coldmark's own words.

    Examples
    --------
    >>> says_spin_on(spin_on(turn="hand tight"))
    'Oil the new ring. Turn the can on by hand until the ring touches; then: hand tight. No strap, no wrench.'
    """
    return sentence("joint.says.spin_on", turn=found.turn)


def known_thread(text: str) -> str | None:
    """Return the name of a metric thread that stands in a sheet's words, or ``None`` where they name none.

    Parameters
    ----------
    text : what a data sheet says of the thread.

    Returns
    -------
    str or None
        The thread's name.

    Valid for
    ---------
    Words that begin with the thread.

    Raises
    ------
    Nothing
        What names no metric thread is ``None``.

    Source
    ------
    ISO 261.

    Examples
    --------
    >>> known_thread("M8 x 25"), known_thread("bowl")
    ('M8', None)
    """
    # "M8 x 25" is a thread and a length, "M8 x 1" a thread and its pitch: the longer reading is tried first.
    parts = text.replace("×", "x").split()
    for one in ("".join(parts[:3]), *parts[:1]):
        try:
            return thread_of(one).name
        except (CannotTell, NotAChoice):
            continue
    return None
