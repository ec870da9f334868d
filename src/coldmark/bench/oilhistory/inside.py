"""What is inside, told: oils by volume and by mass, the viscosity of the mixture now, and how much is another oil."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from coldmark.bench.litres import USUAL_DENSITY15_KG_M3
from coldmark.bench.oil import BIO, FAMILIES, Oil, blend, blend_viscosity, explain_blend
from coldmark.bench.oilhistory.model import OilPart
from coldmark.bench.shapes import dataclass
from coldmark.bench.working import Given, Range, Step, Working

__all__ = ["Inside", "inside"]

_SOUND = 1e-3  # less of an unknown oil moves no figure that is shown


@dataclass(frozen=True, slots=True)
class Inside:
    """What a compartment holds.

    ``parts`` are the oils by volume, ``masses`` by mass, the greatest first; one whose key is ``None`` nobody knows,
    and neither is one whose key is not among the oils kept. ``main`` is the known oil of the greatest share.
    ``mixed`` is what the known ones make together, ``kv40_mm2_s`` the viscosity of all of it at 40 °C, ``None`` where
    too little is known. ``other_share``, by mass, is what is not made of the same stuff as the main oil: its low end
    leaves out what nobody knows, its high end takes all of that for another oil. ``bio`` says that it matters.
    """

    parts: tuple[OilPart, ...]
    masses: tuple[OilPart, ...]
    unknown_share: float
    main: Oil | None
    mixed: Oil | None
    kv40_mm2_s: Range | None
    other_share: Range | None
    bio: bool
    working: Working


def _stuff(oil: Oil) -> str:
    return FAMILIES.get(oil.family, oil.fluid)


def _masses(parts: Sequence[OilPart], oils: Mapping[str, Oil]) -> tuple[OilPart, ...]:
    weights = []
    for part in parts:
        oil = oils.get(part.oil or "")
        known = None if oil is None else oil.density15_kg_m3
        weights.append(part.share * (USUAL_DENSITY15_KG_M3 if known is None else known))
    total = sum(weights)
    return tuple(OilPart(part.oil, weight / total) for part, weight in zip(parts, weights, strict=True))


def _viscosity(
    known: Sequence[tuple[Oil, float]], unknown_share: float, between_mm2_s: tuple[float, float] | None
) -> Range | None:
    """Return the viscosity of all at 40 °C; what nobody knows has one between two that are told, or none is given."""
    parts = [(oil.kv40_mm2_s, share) for oil, share in known]
    if unknown_share < _SOUND:
        kv = blend_viscosity(parts)
        return Range(kv, kv, kv)
    if between_mm2_s is None:
        return None
    low, high = between_mm2_s
    thin, middle, thick = (blend_viscosity([*parts, (kv, unknown_share)]) for kv in (low, (low * high) ** 0.5, high))
    return Range(middle, thin, thick)


def inside(
    parts: Sequence[OilPart],
    oils: Mapping[str, Oil],
    *,
    unknown_mm2_s: tuple[float, float] | None = None,
) -> Inside:
    """Tell what a compartment holds, from its oils by volume.

    Parameters
    ----------
    parts
        The oils with their shares by volume, from :func:`fold` or the ledger's state.
    oils
        The oils that are known, by key.
    unknown_mm2_s
        Least and most viscosity at 40 °C [mm²/s] of an oil that nobody knows, such as the limits of the grade that the
        data sheet asks for; ``None``: it may be anything, and then no viscosity is given.

    Returns
    -------
    Inside
        Shares by volume and by mass, the mixture's viscosity at 40 °C with its range, and how much of another oil.

    Valid for
        Shares that make one. An oil without a density is taken for a usual one of 875 kg/m³.

    Raises
    ------
    OutOfRange
        When a share is less than nothing, or a viscosity outside of the method.
    Missing
        When there is nothing of any oil.

    Source
        ASTM D7152 by volume; density by volume; ISO 15380 for what counts as another oil in a bio-oil.

    Examples
    --------
    >>> known = {"a": Oil("Valley 46", 46, 6.8, density15_kg_m3=877, family="HM"),
    ...          "b": Oil("Meadow 46", 47.5, 9.4, density15_kg_m3=921, family="HEES")}
    >>> found = inside((OilPart("b", 0.9), OilPart("a", 0.1)), known)
    >>> [(part.oil, round(part.share, 4)) for part in found.masses], round(found.kv40_mm2_s.value, 2)
    ([('b', 0.9043), ('a', 0.0957)], 47.35)
    >>> round(found.other_share.value, 4), found.bio
    (0.0957, True)
    """
    ordered = tuple(sorted(parts, key=lambda part: (-part.share, part.oil or "")))
    kept = [(oils.get(part.oil or ""), part.share) for part in ordered]
    known = [(oil, share) for oil, share in kept if oil is not None]
    unknown_share = sum(share for oil, share in kept if oil is None)
    masses = _masses(ordered, oils) if ordered else ()
    main = known[0][0] if known else None
    other = None if main is None else _others(masses, oils, main)
    kv40 = _viscosity(known, unknown_share, unknown_mm2_s) if known else None
    steps = () if main is None else explain_blend(known, unit="share").steps if len(known) > 1 else ()
    if other is not None:
        steps += (_other_step(masses, oils, other),)
    return Inside(
        ordered,
        masses,
        unknown_share,
        main,
        blend(known) if known else None,
        kv40,
        other,
        main is not None and main.family in BIO,
        Working(steps),
    )


def _others(masses: Sequence[OilPart], oils: Mapping[str, Oil], main: Oil) -> Range:
    kinds = [(oils.get(part.oil or ""), part.share) for part in masses]
    told = sum(share for oil, share in kinds if oil is not None and _stuff(oil) != _stuff(main))
    unknown = sum(share for oil, share in kinds if oil is None)
    high = min(1.0, told + unknown)
    # What nobody knows is taken for another oil: a limit is met only when it is met for certain.
    return Range(high, min(told, high), high)


def _other_step(masses: Sequence[OilPart], oils: Mapping[str, Oil], other: Range) -> Step:
    named = [(oils.get(part.oil or ""), part.share) for part in masses]
    givens = tuple(Given("?" if oil is None else oil.name, share, "share", "worked_out") for oil, share in named)
    return Step(
        "working.oil_history.other", "all by mass less the main oil's kind", givens, other.value, "share", "ISO 15380"
    )
