"""Whether the jug in hand may go in: as far as family and grade tell, and open about the rest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal, Protocol

from coldmark.bench.oil.grades import GRADES
from coldmark.bench.oil.model import FAMILIES, Oil
from coldmark.bench.shapes import dataclass

__all__ = ["Allows", "Answer", "Reason", "Verdict", "may_top_up"]

Answer = Literal["yes", "yes_with_notes", "no", "unknown"]


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
class Reason:
    """One reason: a message id with its values, and what it alone would answer."""

    message: str
    weighs: Answer
    values: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Verdict:
    """May the jug go in: the answer, and every reason for it, the weightiest first."""

    answer: Answer
    reasons: tuple[Reason, ...]


# How much each answer weighs against the others: one reason against it is enough.
_WEIGHT: dict[Answer, int] = {"no": 3, "unknown": 2, "yes_with_notes": 1, "yes": 0}

# Each of these mineral families can do what the one before it can.
_MINERAL_ORDER = ("HH", "HL", "HM", "HV")


def _family(inside: Oil, jug: Oil) -> Reason:
    values = {"inside": inside.family, "jug": jug.family}
    if not inside.family or not jug.family:
        return Reason("top_up.family.unknown", "unknown", values)
    if inside.family == jug.family:
        return Reason("top_up.family.same", "yes", values)
    if FAMILIES[inside.family] != FAMILIES[jug.family]:
        return Reason("top_up.family.mixed", "no", values)
    if inside.family in _MINERAL_ORDER and jug.family in _MINERAL_ORDER:
        if _MINERAL_ORDER.index(jug.family) > _MINERAL_ORDER.index(inside.family):
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
        return Reason("top_up.grade.none", "unknown", values)
    if here == there:
        return Reason("top_up.grade.same", "yes", values)
    numbers = [grade.number for grade in GRADES]
    if abs(numbers.index(here) - numbers.index(there)) == 1:
        return Reason("top_up.grade.next", "yes_with_notes", values)
    return Reason("top_up.grade.far", "no", values)


def _additive(inside: Oil, jug: Oil) -> Reason:
    values = {"inside": f"additive.{inside.additive}", "jug": f"additive.{jug.additive}"}
    if "unknown" in (inside.additive, jug.additive):
        return Reason("top_up.additive.unknown", "yes_with_notes", values)
    if inside.additive == jug.additive:
        return Reason("top_up.additive.same", "yes", values)
    return Reason("top_up.additive.differs", "unknown", values)


def _same_grade(label: str, allowed: str) -> bool:
    def plain(text: str) -> str:
        return text.upper().replace("ISO", "").replace(" ", "").removeprefix("VG").removeprefix("SAE")

    return bool(label) and plain(label) == plain(allowed)


def _by_sheet(jug: Oil, sheet: Allows) -> Iterator[Reason]:
    """Yield what the data sheet says against the jug."""
    if jug.fluid != sheet.fluid:
        yield Reason("top_up.sheet.fluid", "no", {"jug": jug.fluid, "sheet": sheet.fluid})
    if sheet.families and jug.family and jug.family not in sheet.families:
        yield Reason("top_up.sheet.family", "no", {"jug": jug.family, "sheet": ", ".join(sheet.families)})
    if sheet.grades and jug.label() and not any(_same_grade(jug.label(), one) for one in sheet.grades):
        yield Reason("top_up.sheet.grade", "no", {"jug": jug.label(), "sheet": ", ".join(sheet.grades)})
    if sheet.additive in ("zinc", "zinc_free") and jug.additive not in ("unknown", sheet.additive):
        values = {"jug": f"additive.{jug.additive}", "sheet": f"additive.{sheet.additive}"}
        yield Reason("top_up.sheet.additive", "no", values)


def may_top_up(inside: Oil | None, jug: Oil, sheet: Allows | None = None) -> Verdict:
    """Say whether the oil in the jug may be topped up onto what is inside, with every reason.

    Parameters
    ----------
    inside
        The oil in the compartment, or ``None``: nobody knows.
    jug
        The oil in hand.
    sheet
        What the data sheet allows in the compartment, where there is a sheet.

    Returns
    -------
    Verdict
        *yes*, *yes with notes*, *no* or *unknown*. One reason against is enough for *no*. Family, grade and additive
        are judged; climate, pour point and the residue limits of bio-oils are not, and an approval by the maker cannot
        be worked out by anybody: both are said.

    Valid for
        Oils of any kind; what is not known makes the answer *unknown*.

    Raises
    ------
    Nothing: an unknown is an answer here.

    Source
        ISO 6743-4 for the families, ISO 3448 for the grades; that neighbours in grade may be mixed in a pinch, and
        families not, is common practice, no source.

    Examples
    --------
    >>> inside = Oil("Valley 46", 46, 6.8, family="HM", additive="zinc")
    >>> may_top_up(inside, Oil("Meadow bio 46", 46, 9.0, family="HEES")).answer
    'no'
    >>> may_top_up(inside, Oil("Ridge 46", 46, 6.8, family="HM", additive="zinc")).answer
    'yes_with_notes'
    """
    reasons = list(_by_sheet(jug, sheet)) if sheet else []
    if inside is None:
        reasons.append(Reason("top_up.inside_unknown", "unknown", {}))
    elif inside == jug:
        reasons.append(Reason("top_up.same_oil", "yes", {"jug": jug.name}))
    else:
        if inside.fluid != jug.fluid:
            reasons.append(Reason("top_up.fluid_mixed", "no", {"inside": inside.fluid, "jug": jug.fluid}))
        elif inside.fluid == "hydraulic oil":
            reasons.append(_family(inside, jug))
        reasons += [_grade(inside, jug), _additive(inside, jug)]
        reasons.append(Reason("top_up.not_judged", "yes_with_notes", {}))
        reasons.append(Reason("top_up.approval", "yes_with_notes", {}))
    reasons.sort(key=lambda reason: -_WEIGHT[reason.weighs])
    return Verdict(reasons[0].weighs, tuple(reasons))
