"""Which seal material stands which fluid, hot and cold: what is known of each, and how well."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Literal

from coldmark.bench import words
from coldmark.bench.data_file import table
from coldmark.bench.errors import Contradiction, require_between, require_choice
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Step, Working

__all__ = ["FLUIDS", "MATERIALS", "Known", "Stand", "fluid_of", "stands"]

Suits = Literal["suits", "ask", "does_not"]
Standing = Literal["as printed", "from memory", "not known"]

_CHECKSUMS = {
    "temperatures.csv": "b68e534fdd9867231a429457fbe0156d0e64c19956b206c4738161ef82b2c18d",
    "fluids.csv": "ddaa444f45735fa3735a0041e21bc9f030520422e0e031072450780d194122c4",
}

MATERIALS = ("NBR", "HNBR", "FKM", "EPDM", "AU", "VMQ", "FVMQ", "CR", "ACM", "FEPM", "IIR", "PTFE")
"""Codes of ISO 1629 (AU for the polyurethanes AU and EU), and PTFE of back-up rings."""

FLUIDS = (
    "mineral",
    "polyalphaolefin",
    "ester",
    "vegetable",
    "glycol",
    "water_glycol",
    "phosphate_ester",
    "brake_glycol",
    "brake_mineral",
    "coolant",
    "diesel",
)

# Families by ISO 6743-4. HS and HFD are each of several chemistries, and say nothing of how a rubber stands them.
_FAMILIES: Mapping[str, str] = {
    **dict.fromkeys(("HH", "HL", "HM", "HR", "HV", "HG"), "mineral"),
    "HEPR": "polyalphaolefin",
    "HEES": "ester",
    "HETG": "vegetable",
    "HEPG": "glycol",
    "HFC": "water_glycol",
    "HFDR": "phosphate_ester",
}
_UNTOLD = ("HS", "HFD", "HFDU")

_SPAN = "temperatures of machines and weather"


@dataclass(frozen=True, slots=True)
class Known:
    """One thing that is known of a material: what it alone would answer, how it is known, and from where.

    ``about`` is ``fluid``, ``cold`` or ``hot``; for the last two ``low_c`` and ``high_c`` are the limits that the
    sources give, the stricter and the looser one.
    """

    about: Literal["fluid", "cold", "hot"]
    answer: Suits
    standing: Standing
    source: str
    strict_c: float | None = None
    loose_c: float | None = None


@dataclass(frozen=True, slots=True)
class Stand:
    """Whether a material stands a fluid between two temperatures: the answer, and all that it hangs on."""

    answer: Suits
    material: str
    fluid: str
    coldest_c: float
    hottest_c: float
    known: tuple[Known, ...]
    working: Working


_WEIGHT: dict[Suits, int] = {"does_not": 2, "ask": 1, "suits": 0}


@cache
def _rows(name: str) -> tuple[Mapping[str, str], ...]:
    return tuple(table("coldmark.bench.seal", name, _CHECKSUMS[name]))


def fluid_of(family: str) -> str | None:
    """Return the fluid that a family of ISO 6743-4 is to a rubber, or ``None``: the family does not tell.

    Parameters
    ----------
    family
        ``HM``, ``HEES`` …, or one of :data:`FLUIDS`, which is returned as it is.

    Returns
    -------
    str or None
        One of :data:`FLUIDS`. ``HS`` and ``HFD`` are of several chemistries: for them there is no answer.

    Valid for
        Families of hydraulic fluid, and the fluids themselves.

    Raises
    ------
    NotAChoice
        For another word.

    Source
        ISO 6743-4, families; from memory.

    Examples
    --------
    >>> fluid_of("HV"), fluid_of("HEES"), fluid_of("HFD")
    ('mineral', 'ester', None)
    """
    if family in FLUIDS:
        return family
    require_choice("fluid", family, (*_FAMILIES, *_UNTOLD, *FLUIDS))
    return _FAMILIES.get(family)


def _fluid(material: str, fluid: str | None) -> Known:
    for row in _rows("fluids.csv"):
        if (row["material"], row["fluid"]) == (material, fluid):
            return Known("fluid", row["answer"], row["standing"], row["source"])  # type: ignore[arg-type]
    return Known("fluid", "ask", "not known", "")


def _temperature(material: str, t_c: float, about: Literal["cold", "hot"]) -> Known:
    column, sign = ("coldest_c", -1) if about == "cold" else ("hottest_c", 1)
    rows = [row for row in _rows("temperatures.csv") if row["material"] == material]
    limits = sorted(rows, key=lambda row: sign * float(row[column]))
    strict, loose = float(limits[0][column]), float(limits[-1][column])
    answer: Suits = "suits" if sign * t_c <= sign * strict else "ask" if sign * t_c <= sign * loose else "does_not"
    # What decides is named: the stricter source while it suits, else the one that still lets it or no longer does.
    row = limits[0] if answer == "suits" else limits[-1]
    return Known(about, answer, row["standing"], row["source"], strict, loose)  # type: ignore[arg-type]


def _step(one: Known, fluid: str, coldest_c: float, hottest_c: float) -> Step:
    source = f"{one.source}; {one.standing}" if one.source else one.standing
    answer = words.sentence(f"seal.answer.{one.answer}")
    if one.strict_c is None or one.loose_c is None:
        return Step("working.seal.stands_fluid", "", (Given("fluid", fluid, "", "told"),), answer, "", source)
    cold = one.about == "cold"
    return Step(
        f"working.seal.stands_{one.about}",
        "not below the strictest source's limit: suits; below the loosest: does not; between: ask"
        if cold
        else "not above the strictest source's limit: suits; above the loosest: does not; between: ask",
        (
            Given("t", coldest_c if cold else hottest_c, "c", "told"),
            Given("strictest", one.strict_c, "c", "told"),
            Given("loosest", one.loose_c, "c", "told"),
        ),
        answer,
        "",
        source,
    )


def stands(material: str, fluid: str, coldest_c: float, hottest_c: float) -> Stand:
    """Say whether a seal material stands a fluid between two temperatures, and how well that is known.

    Parameters
    ----------
    material
        Its code by ISO 1629: one of :data:`MATERIALS`.
    fluid
        One of :data:`FLUIDS`, or a family of ISO 6743-4.
    coldest_c
        Coldest that the seal gets [°C].
    hottest_c
        Hottest that it gets for long [°C].

    Returns
    -------
    Stand
        *suits*, *does not*, or *ask*: the sources differ, only a part of that material suits, or nothing is known.

    Valid for
        Materials as such, for service without a break. One compound is not the next: the supplier's sheet decides.

    Raises
    ------
    NotAChoice
        For another material or fluid.
    OutOfRange
        For temperatures that no machine meets.
    Contradiction
        When the coldest is warmer than the hottest.

    Source
        Each row's own; some as printed in stored excerpts, the others from memory, and it is said which.

    Examples
    --------
    >>> [stands(one, "HM", -20, 90).answer for one in ("NBR", "EPDM", "CR")]
    ['suits', 'does_not', 'ask']
    >>> stands("NBR", "HM", -20, 110).known[2].strict_c
    100.0
    """
    require_choice("material", material, MATERIALS)
    found = fluid_of(fluid)
    require_between("coldest_c", coldest_c, -60, 150, _SPAN)
    require_between("hottest_c", hottest_c, -60, 250, _SPAN)
    if coldest_c > hottest_c:
        raise Contradiction(name="coldest_c", value=coldest_c, why="seal.why.warmer", hottest_c=hottest_c)
    known = (
        _fluid(material, found),
        _temperature(material, coldest_c, "cold"),
        _temperature(material, hottest_c, "hot"),
    )
    return Stand(
        answer=max((one.answer for one in known), key=lambda answer: _WEIGHT[answer]),
        material=material,
        fluid=found or fluid,
        coldest_c=coldest_c,
        hottest_c=hottest_c,
        known=known,
        working=Working(tuple(_step(one, found or fluid, coldest_c, hottest_c) for one in known)),
    )
