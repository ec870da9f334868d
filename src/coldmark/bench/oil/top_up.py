"""Whether the jug in hand may go in: family, grade, additive, index, climate, pour point, residue; never approval."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

from coldmark.bench.errors import require_above, require_between
from coldmark.bench.oil.blending import blend
from coldmark.bench.oil.climate import Climate
from coldmark.bench.oil.density import HIGHEST_C, LOWEST_C
from coldmark.bench.oil.grades import GRADES
from coldmark.bench.oil.model import BIO, FAMILIES, MINERAL_LADDER, Oil
from coldmark.bench.oil.reason import Answer, Reason, weightiest
from coldmark.bench.oil.window import AsksViscosity
from coldmark.bench.shapes import dataclass
from coldmark.bench.words import Value
from coldmark.bench.working import Given, Step, Working

__all__ = ["RESIDUE_LIMIT_SHARE", "Allows", "Verdict", "may_top_up", "not_on_sheet"]

RESIDUE_LIMIT_SHARE = 0.02
"""Most of another hydraulic oil that a bio-oil should hold: ISO 15380, as told in a stored excerpt."""
RESIDUE_LIMIT_ENGINE_SHARE = 0.01
"""The same for engine oil, whose detergents do more harm; ISO 15380, from memory."""

_WORTH_A_NOTE = 0.005
_INDEX_BELOW = 20.0
"""By how much an index must lie below another before it is worth a note: assumed."""


class Allows(Protocol):
    """What a data sheet lets into a compartment: :class:`coldmark.bench.sheet.Compartment` has it."""

    @property
    def fluid(self) -> str:
        """What it holds."""

    @property
    def families(self) -> tuple[str, ...]:
        """Families of hydraulic fluid allowed; empty: the sheet does not say."""

    @property
    def grades(self) -> tuple[str, ...]:
        """Grades allowed, such as ``VG 46``; empty: the sheet does not say."""

    @property
    def additive(self) -> str:
        """``zinc``, ``zinc_free`` or ``any``."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """May the jug go in: the answer, and every reason for it, the weightiest first.

    ``mixed`` is what would be inside then, ``other_share`` how much of it would not be the bio-oil; ``None`` where
    that cannot be told or does not matter.
    """

    answer: Answer
    reasons: tuple[Reason, ...]
    mixed: Oil | None = None
    other_share: float | None = None
    working: Working = Working(())


def _family(inside: Oil, jug: Oil) -> Reason:
    values = {"inside": inside.family, "jug": jug.family}
    if not inside.family or not jug.family:
        return Reason("top_up.family.unknown", "unknown", values)
    if inside.family == jug.family:
        return Reason("top_up.family.same", "yes", values)
    if FAMILIES[inside.family] != FAMILIES[jug.family]:
        return Reason("top_up.family.mixed", "no", values)
    if inside.family in MINERAL_LADDER and jug.family in MINERAL_LADDER:
        if MINERAL_LADDER.index(jug.family) > MINERAL_LADDER.index(inside.family):
            return Reason("top_up.family.higher", "yes_with_notes", values)
        return Reason("top_up.family.lower", "no", values)
    return Reason("top_up.family.untold", "unknown", values)


def _grade(inside: Oil, jug: Oil) -> Reason:
    values = {"inside": inside.label(), "jug": jug.label()}
    if inside.sae or jug.sae:
        same = inside.sae == jug.sae
        return Reason("top_up.grade.same" if same else "top_up.grade.sae_other", "yes" if same else "unknown", values)
    here, there = inside.grade(), jug.grade()
    if here is None or there is None:
        both = {"inside_mm2_s": inside.kv40_mm2_s, "jug_mm2_s": jug.kv40_mm2_s}
        return Reason("top_up.grade.none", "unknown", both)
    if here == there:
        return Reason("top_up.grade.same", "yes", values)
    numbers = [grade.number for grade in GRADES]
    if abs(numbers.index(here) - numbers.index(there)) == 1:
        return Reason("top_up.grade.next", "yes_with_notes", values)
    return Reason("top_up.grade.far", "no", values)


def _additive(inside: Oil, jug: Oil) -> Reason:
    if "unknown" in (inside.additive, jug.additive):
        return Reason("top_up.additive.unknown", "yes_with_notes")
    if inside.additive == jug.additive:
        return Reason("top_up.additive.same", "yes")
    return Reason("top_up.additive.differs", "unknown")


def _index(inside: Oil, jug: Oil) -> Iterator[Reason]:
    """Yield a note where the jug thins much more as it warms than what is inside."""
    if jug.viscosity_index < inside.viscosity_index - _INDEX_BELOW:
        values = {"jug": round(jug.viscosity_index), "inside": round(inside.viscosity_index)}
        yield Reason("top_up.index.lower", "yes_with_notes", values)


def _same_grade(label: str, allowed: str) -> bool:
    def plain(text: str) -> str:
        return text.upper().replace("ISO", "").replace(" ", "").removeprefix("VG").removeprefix("SAE")

    return bool(label) and plain(label) == plain(allowed)


def not_on_sheet(jug: Oil, sheet: Allows) -> Iterator[Reason]:
    """Yield what the data sheet says against an oil, and what it asks that is not known of it."""
    if jug.fluid != sheet.fluid:
        yield Reason("top_up.sheet.fluid", "no", {"jug": jug.fluid, "sheet": sheet.fluid})
        return
    if sheet.families and jug.family not in sheet.families and jug.fluid == "hydraulic oil":
        values = {"jug": jug.family, "sheet": ", ".join(sheet.families)}
        yield (
            Reason("top_up.sheet.family", "no", values)
            if jug.family
            else Reason("top_up.sheet.family_untold", "unknown", values)
        )
    if sheet.grades and not any(_same_grade(jug.label(), one) for one in sheet.grades):
        values = {"jug": jug.label(), "sheet": ", ".join(sheet.grades)}
        yield (
            Reason("top_up.sheet.grade", "no", values)
            if jug.label()
            else Reason("top_up.sheet.grade_untold", "unknown", values)
        )
    if sheet.additive in ("zinc", "zinc_free") and jug.additive != sheet.additive:
        known = jug.additive != "unknown"
        yield Reason("top_up.sheet.additive", "no") if known else Reason("top_up.sheet.additive_untold", "unknown")


def _stuff(oil: Oil) -> str:
    """Return what an oil is made of, for asking whether two are alike."""
    return FAMILIES.get(oil.family, oil.fluid)


@dataclass(frozen=True, slots=True)
class _Residue:
    """How much of what is inside would be another oil than the bio-oil there, before and after."""

    inside: Oil
    jug: Oil
    share: float | None  # of what goes in, of all that is there then
    before: float | None

    @property
    def foreign(self) -> bool:
        return _stuff(self.inside) != _stuff(self.jug)

    @property
    def after(self) -> float | None:
        if self.share is None or (self.before is None and not self.foreign):
            return None
        return (self.before or 0.0) * (1 - self.share) + (self.share if self.foreign else 0.0)

    @property
    def limit(self) -> float:
        return RESIDUE_LIMIT_ENGINE_SHARE if self.jug.fluid == "engine oil" else RESIDUE_LIMIT_SHARE

    def reasons(self) -> Iterator[Reason]:
        if self.inside.family not in BIO:
            if self.jug.family in BIO and self.foreign:
                yield Reason("top_up.residue.change_over", "no", {"jug": self.jug.name, "limit_share": self.limit})
            return
        values: dict[str, Value] = {"jug": self.jug.name, "limit_share": self.limit}
        after = self.after
        if self.foreign:
            if after is None:
                yield Reason("top_up.residue.untold", "unknown", values)
            elif after > self.limit:
                yield Reason("top_up.residue.over", "no", values | {"after_share": after})
            else:
                yield Reason("top_up.residue.under", "yes_with_notes", values | {"after_share": after})
        elif self.before is None:
            yield Reason("top_up.residue.inside_untold", "yes_with_notes", values)
        else:
            # Without the litres of the jug it is what it was: a little less at the most.
            now = self.before if after is None else after
            over = now > self.limit
            message = "top_up.residue.still" if over else "top_up.residue.right"
            yield Reason(message, "yes_with_notes" if over else "yes", values | {"after_share": now})

    def working(self) -> Working:
        if self.inside.family not in BIO or self.after is None or self.share is None:
            return Working(())
        givens = (
            Given("before", self.before or 0.0, "share", "worked_out" if self.before is not None else "assumed"),
            Given("jug", self.share, "share", "worked_out"),
        )
        formula = "before · (1 − jug) + jug" if self.foreign else "before · (1 − jug)"
        return Working((Step("working.top_up.residue", formula, givens, self.after, "share", "ISO 15380"),))


def may_top_up(
    inside: Oil | None,
    jug: Oil,
    sheet: Allows | None = None,
    *,
    coldest_c: float | None = None,
    hottest_c: float | None = None,
    limits: AsksViscosity | None = None,
    add_l: float | None = None,
    system_l: float | None = None,
    other_share: float | None = None,
    unknown_share: float = 0.0,
) -> Verdict:
    """Say whether the oil in the jug may be topped up onto what is inside, with every reason.

    Parameters
    ----------
    inside
        The oil in the compartment, or ``None``: nobody knows.
    jug
        The oil in hand.
    sheet
        What the data sheet allows in the compartment, where there is a sheet.
    coldest_c
        How cold the oil is at the coldest start [°C], or ``None``: not told, and said so.
    hottest_c
        How hot the oil gets at the hottest work [°C], or ``None``.
    limits
        Viscosities that the machine asks for, from its sheet; what is not given is common practice.
    add_l
        How much is to go in [L], or ``None``. With ``system_l`` the mixture is judged, else the jug by itself.
    system_l
        How much the whole system holds then [L], or ``None``.
    other_share
        Share of what is inside that is not the bio-oil there (see :mod:`coldmark.bench.oilhistory`), or ``None``.
    unknown_share
        Share of what is inside that nobody knows, beside the oil that is known.

    Returns
    -------
    Verdict
        *yes*, *yes with notes*, *no* or *unknown*. One reason against is enough for *no*. What was not told is named.
        An approval by the maker cannot be worked out by anybody, which is said with every other oil than that inside.

    Valid for
        Oils of any kind, −50 to 60 °C at the start and 0 to 150 °C at work; what is not known makes the answer
        *unknown*. Climate is judged for hydraulic oils; engine and gear oils have it in their SAE grade.

    Raises
    ------
    OutOfRange
        When a temperature, the litres or the share lie outside of that.

    Source
        ISO 6743-4 for the families, ISO 3448 for the grades, ASTM D341 and D7152 for the viscosities, ISO 15380 for
        what may be left of another oil in a bio-oil (2 %; 1 % of engine oil from memory). That neighbours in grade may
        be mixed in a pinch, and families not, and that the start should stay 10 K above the pour point, is common
        practice, no source.

    Examples
    --------
    >>> inside = Oil("Valley 46", 46, 6.8, family="HM", additive="zinc", pour_c=-27)
    >>> may_top_up(inside, Oil("Meadow bio 46", 46, 9.0, family="HEES")).answer
    'no'
    >>> found = may_top_up(inside, Oil("Ridge 46", 46, 6.8, family="HM", additive="zinc", pour_c=-24), coldest_c=-18)
    >>> found.answer, found.reasons[0].message
    ('yes_with_notes', 'top_up.pour.near')
    """
    require_between("unknown_share", unknown_share, 0, 1, "a share")
    share, mixed = _checked(inside, jug, coldest_c, hottest_c, add_l, system_l, other_share)
    reasons = list(not_on_sheet(jug, sheet)) if sheet else []
    climate = Climate(coldest_c, hottest_c, limits, inside, jug, mixed)
    residue = None if inside is None else _Residue(inside, jug, share, other_share)
    if inside is None:
        reasons.append(Reason("top_up.inside_unknown", "unknown"))
    elif inside == jug:
        reasons.append(Reason("top_up.same_oil", "yes", {"jug": jug.name}))
    elif inside.fluid != jug.fluid:
        reasons.append(Reason("top_up.fluid_mixed", "no", {"inside": inside.fluid, "jug": jug.fluid}))
        reasons += [_grade(inside, jug), _additive(inside, jug)]
    else:
        if inside.fluid == "hydraulic oil":
            reasons.append(_family(inside, jug))
        reasons += [_grade(inside, jug), _additive(inside, jug), *_index(inside, jug)]
    if inside is not None and unknown_share > _WORTH_A_NOTE:
        reasons.append(Reason("top_up.inside_part_unknown", "yes_with_notes", {"unknown_share": unknown_share}))
    reasons += climate.reasons()
    if residue is not None:
        if inside != jug or residue.before is not None:
            reasons += residue.reasons()
        if inside != jug:
            reasons.append(Reason("top_up.approval", "yes_with_notes"))
    ordered = weightiest(reasons)
    working = climate.working() + (Working(()) if residue is None else residue.working())
    after = residue.after if residue is not None and residue.inside.family in BIO else None
    return Verdict(ordered[0].weighs, ordered, mixed, after, working)


def _checked(
    inside: Oil | None,
    jug: Oil,
    coldest_c: float | None,
    hottest_c: float | None,
    add_l: float | None,
    system_l: float | None,
    other_share: float | None,
) -> tuple[float | None, Oil | None]:
    """Return the jug's share of all and the mixture, where both can be told."""
    if coldest_c is not None:
        require_between("coldest_c", coldest_c, LOWEST_C, 60, "oil at a start")
    if hottest_c is not None:
        require_between("hottest_c", hottest_c, 0, HIGHEST_C, "oil at work")
    if other_share is not None:
        require_between("other_share", other_share, 0, 1, "a share")
    if add_l is not None:
        require_above("add_l", add_l, 0, "something goes in")
    if add_l is None or system_l is None:
        return None, None
    require_between("system_l", system_l, add_l, 100_000, "what goes in is part of it")
    if inside is None:
        return add_l / system_l, None
    alike = _stuff(inside) == _stuff(jug)
    return add_l / system_l, blend([(inside, system_l - add_l), (jug, add_l)]) if alike else None
