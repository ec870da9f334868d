"""How long an element lasts: hours until it is full, against the dirt that gets in or by what it caught so far."""

from __future__ import annotations

from collections.abc import Callable

from coldmark.bench.errors import Missing, OutOfRange, require_above, require_between
from coldmark.bench.filter.drop import FLOW_SPREAD, HIGHEST_L_MIN, VISCOSITY_SPREAD, resistance
from coldmark.bench.filter.loading import held_at, logged_growth, warmths, within_one
from coldmark.bench.filter.model import Stage
from coldmark.bench.level.mass import combine
from coldmark.bench.oil import Oil
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["Life", "life", "life_so_far"]

CAPACITY_SPREAD = 0.2  # dirt of the field is not the dust of the test; assumed
HELD_SPREAD = 0.1  # what an indicator tells of the dirt held; assumed

_HOURS = "hours of machines"


@dataclass(frozen=True, slots=True)
class Life:
    """How many hours [h] an element has left, and what happens on the way.

    ``lamp_h`` and ``opens_h`` are the hours until the lamp comes on and until the bypass cracks at this flow and
    temperature; 0: it does so already, ``None``: not before it is full, or there is none, or nobody knows where.
    ``full_bypassed_share`` goes past the full element; ``dirtier`` is how many times as dirty that leaves the oil.
    """

    full_h: Range
    lamp_h: Range | None
    opens_h: Range | None
    full_bypassed_share: float
    dirtier: float
    ingress_g_h: float | None
    working: Working


@dataclass(frozen=True, slots=True)
class _Course:
    """An element filling: hours from what it holds to any share, by what is known and how well."""

    capacity: float
    held: float
    held_spread: float
    rate: Callable[[float, float], float]  # dirt an hour [g/h] from capacity and dirt held
    rate_ends: tuple[float, float]  # factors on the rate

    def hours(self, share: float, capacity: float, held: float, factor: float = 1.0) -> float:
        return max(0.0, share - held) * capacity / (self.rate(capacity, held) * factor)

    def range(self, share: float, ends: tuple[float, float] | None = None) -> Range:
        """Return the hours until this share is held; ``ends`` are the share's own."""
        low, high = max(self.held / 2, self.held - self.held_spread), min(1.0, self.held + self.held_spread)
        small, large = self.capacity * (1 - CAPACITY_SPREAD), self.capacity * (1 + CAPACITY_SPREAD)
        pairs = [
            (self.hours(share, small, self.held), self.hours(share, large, self.held)),
            (self.hours(share, self.capacity, low), self.hours(share, self.capacity, high)),
            tuple(self.hours(share, self.capacity, self.held, factor) for factor in self.rate_ends),
        ]
        if ends is not None:
            pairs.append(tuple(self.hours(one, self.capacity, self.held) for one in ends))
        value = self.hours(share, self.capacity, self.held)
        found = combine(value, [(pair[0], pair[1]) for pair in pairs])
        return Range(found.value, max(0.0, found.low), found.high)


def _until(course: _Course, stage: Stage, reading: float | None, flow: float, oil: Oil, t_c: float) -> Range | None:
    """Return the hours until the filter feels this drop at this flow, or ``None``: not before the element is full."""
    if reading is None:
        return None
    logged = logged_growth(stage)
    found, cold, warm = warmths(stage, oil, t_c)
    share = held_at(found, reading, flow, logged)
    if share > 1:
        return None
    near = [held_at(one, reading, flow, logged) for one in (cold, warm)]
    near += [held_at(found, reading, flow * (1 + one * FLOW_SPREAD), logged) for one in (-1, 1)]
    near += [held_at(found.thicker(1 + one * VISCOSITY_SPREAD), reading, flow, logged) for one in (-1, 1)]
    return course.range(share, (within_one(min(near)), within_one(max(near))))


def _life(
    course: _Course, stage: Stage, flow: float, oil: Oil, t_c: float, ingress: float | None, told: tuple[Given, ...]
) -> Life:
    require_above("flow_l_min", flow, 0, "flow through the filter")
    require_between("flow_l_min", flow, 0, HIGHEST_L_MIN, "flows of mobile hydraulics")
    full = resistance(stage, oil, t_c, 1.0)
    past = 1 - full.through_element(flow) / flow
    full_h = course.range(1.0)
    formula = "h = (1 − x) · m / R" if told[0].symbol == "m" else "h = (1 − x) / x · H"
    source = "what gets in is caught in the end; worked out"
    givens = (Given("x", course.held, "", "told"), *told)
    hours = Step("working.filter.full_in", formula, givens, full_h.value, "h", source)
    past_step = Step(
        "working.filter.dirtier",
        "1 / (1 − k), k = share of the flow past the full element",
        (Given("k", past, "share", "worked_out"), Given("t", t_c, "c", "told"), Given("Q", flow, "l_min", "told")),
        1 / (1 - past),
        "",
        "particle balance, worked out",
    )
    return Life(
        full_h,
        _until(course, stage, stage.alarm_bar, flow, oil, t_c),
        _until(course, stage, None if stage.bypass is None else stage.bypass.cracks_bar, flow, oil, t_c),
        past,
        1 / (1 - past),
        ingress,
        Working((hours, past_step)),
    )


def life(
    stage: Stage,
    ingress_g_h: float,
    flow_l_min: float,
    oil: Oil,
    t_c: float,
    *,
    held_share: float = 0.0,
    within: float = 2.0,
) -> Life:
    """Return the hours until an element is full, against the dirt that gets in, and what happens on the way.

    Parameters
    ----------
    stage
        The filter; the dirt that it holds and the drop of its full element must be known.
    ingress_g_h
        Dirt that gets in [g/h].
    flow_l_min
        Flow through the filter at work [L/min].
    oil
        The oil; its density must be known.
    t_c
        Its temperature at work [°C].
    held_share
        Dirt held already over what it can hold [0 to 1], known to a tenth unless it is new.
    within
        Factor within which the ingress is known.

    Returns
    -------
    Life
        Hours to lamp, bypass and full with their ranges, what goes past the full element, and what that does. An open
        bypass does not make it last longer: what it lets past comes round again, and is caught in the end.

    Valid for
        Above 0 to 1000 g/h; flows above 0 to 3000 L/min; temperatures and densities as the oil.

    Raises
    ------
    OutOfRange
        Outside of that.
    Missing
        When what it holds, the drop of the full element or the oil's density is not known.

    Source
        Mass balance: what gets in is caught in the end, since oil passes the filter thousands of times between two
        services; the drop as :func:`pressure_drop`.

    Examples
    --------
    >>> from coldmark.bench.filter import Bypass
    >>> stage = Stage("return", 0.35, 0.20, 100, bypass=Bypass(1.5, 2.0, 150), terminal_bar=2.0, capacity_g=80)
    >>> found = life(stage, 0.08, 100, Oil("Valley 46", 46, 6.8, density15_kg_m3=880), 50)
    >>> round(found.full_h.value), round(found.opens_h.value), round(found.full_bypassed_share, 2)
    (1000, 837, 0.21)
    """
    capacity = _capacity(stage)
    require_above("ingress_g_h", ingress_g_h, 0, "dirt that gets in")
    ingress = require_between("ingress_g_h", ingress_g_h, 0, 1000, "dirt that gets in")
    held = require_between("held_share", held_share, 0, 1, "clean to full")
    require_between("within", within, 1, 100, "a factor")
    spread = HELD_SPREAD if held > 0 else 0.0
    course = _Course(capacity, held, spread, lambda _capacity, _held: ingress, (within, 1 / within))
    told = (Given("m", capacity, "g", "sheet"), Given("R", ingress, "g_h", "told"))
    return _life(course, stage, flow_l_min, oil, t_c, ingress, told)


def life_so_far(
    stage: Stage, hours_h: float, flow_l_min: float, oil: Oil, t_c: float, *, held_share: float, within: float = 1.5
) -> Life:
    """Return the hours that an element has left when it goes on as it did so far: nobody need know the ingress.

    Parameters
    ----------
    stage
        The filter; the drop of its full element must be known. Where the dirt that it holds is known too, the
        ingress is told.
    hours_h
        Hours since the element was new [h].
    flow_l_min
        Flow through the filter at work [L/min].
    oil
        The oil; its density must be known.
    t_c
        Its temperature at work [°C].
    held_share
        Dirt held now over what it can hold [0 to 1], known to a tenth: 1 less what :func:`life_left` gives.
    within
        Factor within which the work ahead is as dusty as that behind.

    Returns
    -------
    Life
        As :func:`life`.

    Valid for
        Above 0 to 100 000 h; 0.05 to 1 held; else as :func:`life`.

    Raises
    ------
    OutOfRange
        Outside of that.
    Missing
        When the drop of the full element or the oil's density is not known.

    Source
        Mass balance, as :func:`life`, with the ingress from what the element has caught so far.

    Examples
    --------
    >>> stage = Stage("return", 0.35, 0.20, 100, terminal_bar=2.0, capacity_g=80)
    >>> found = life_so_far(stage, 300, 100, Oil("Valley 46", 46, 6.8, density15_kg_m3=880), 50, held_share=0.6)
    >>> round(found.full_h.value), found.ingress_g_h
    (200, 0.16)
    """
    require_above("hours_h", hours_h, 0, _HOURS)
    require_between("hours_h", hours_h, 0, 100_000, _HOURS)
    held = require_between("held_share", held_share, 0, 1, "clean to full")
    if held < 0.05:
        raise OutOfRange(name="held_share", value=held, low=0.05, high=1, source="enough to tell from")
    require_between("within", within, 1, 100, "a factor")
    # What it holds cancels out of the hours; without it, any number does.
    capacity = 100.0 if stage.capacity_g is None else stage.capacity_g
    course = _Course(capacity, held, HELD_SPREAD, lambda much, holds: much * holds / hours_h, (within, 1 / within))
    ingress = None if stage.capacity_g is None else capacity * held / hours_h
    return _life(course, stage, flow_l_min, oil, t_c, ingress, (Given("H", hours_h, "h", "told"),))


def _capacity(stage: Stage) -> float:
    if stage.capacity_g is None:
        raise Missing(name="capacity_g", needed_for="the hours until it is full")
    return stage.capacity_g
