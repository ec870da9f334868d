"""What comes of mixing oils: viscosity by ASTM D7152, density by volume, and what may still be said of the rest."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coldmark.bench import words
from coldmark.bench.errors import CannotTell, Missing, require_between
from coldmark.bench.oil.curve import HIGHEST_MM2_S, LOWEST_MM2_S, from_walther, walther
from coldmark.bench.oil.model import MINERAL_LADDER, Additive, Fluid, Oil
from coldmark.bench.working import Given, Step, Working

__all__ = ["blend", "blend_share", "blend_viscosity", "explain_blend"]

SOURCE = "ASTM D7152, by volume at one temperature"
MOST_L = 100_000.0
_FORMULA = "log log Z = Σ (Vᵢ / V) · log log Zᵢ, Z = ν + 0.7 + exp(−1.47 − 1.84·ν − 0.51·ν²)"


def _litres(parts: Iterable[float]) -> float:
    """Return how much there is of all parts together; something there must be."""
    litres = sum(require_between("litres_l", one, 0, MOST_L, "one compartment") for one in parts)
    if not litres > 0:
        raise Missing(name="litres_l", needed_for=words.sentence("oil.blend.needed_for"))
    return litres


def blend_viscosity(parts: Sequence[tuple[float, float]]) -> float:
    """Return the viscosity of a mixture [mm²/s] at the temperature at which those of its parts hold.

    Parameters
    ----------
    parts
        Of each part its kinematic viscosity [mm²/s], all at one temperature, and how much of it there is [L].

    Returns
    -------
    float
        Kinematic viscosity of the mixture [mm²/s]: never a straight mean, always nearer to the thinner part.

    Valid for
        0.3 to 20 million mm²/s; liquids that mix, such as base oils, fuels and oils of one kind. An index improver or
        an additive package may shift it.

    Raises
    ------
    OutOfRange
        Outside of that.
    Missing
        When there is nothing of any part.

    Source
        ASTM D7152, the method by volume at one temperature; its function is that of ASTM D341. Its form is from memory.

    Examples
    --------
    >>> round(blend_viscosity([(32, 1), (68, 1)]), 2), round(blend_viscosity([(46, 9), (3, 1)]), 1)
    (45.86, 30.8)
    """
    litres = _litres(amount for _, amount in parts)
    for kv, _ in parts:
        require_between("kv_mm2_s", kv, LOWEST_MM2_S, HIGHEST_MM2_S, SOURCE)
    # Taken in order of size, so that the order in which the parts are named changes no last digit.
    weighed = sorted((walther(kv), amount) for kv, amount in parts if amount > 0)
    if len({height for height, _ in weighed}) == 1:
        return float(next(kv for kv, amount in parts if amount > 0))
    return from_walther(sum(height * amount / litres for height, amount in weighed))


def blend_share(first_mm2_s: float, second_mm2_s: float, found_mm2_s: float) -> float:
    """Return the share of the second of two oils in a mixture, by its viscosity.

    Parameters
    ----------
    first_mm2_s, second_mm2_s
        Kinematic viscosities of the two [mm²/s], at one temperature.
    found_mm2_s
        Kinematic viscosity of the mixture [mm²/s], at the same temperature.

    Returns
    -------
    float
        Share of the second by volume, from 0 to 1.

    Valid for
        0.3 to 20 million mm²/s, two viscosities that differ by a tenth at least, and one found between them.

    Raises
    ------
    OutOfRange
        When the viscosity found does not lie between the two.
    CannotTell
        When the two are so much alike that their mixture tells nothing.

    Source
        ASTM D7152, solved for the share.

    Examples
    --------
    >>> round(blend_share(46, 3, 30.83), 3)
    0.1
    """
    for name, kv in (("first_mm2_s", first_mm2_s), ("second_mm2_s", second_mm2_s)):
        require_between(name, kv, LOWEST_MM2_S, HIGHEST_MM2_S, SOURCE)
    low, high = sorted((first_mm2_s, second_mm2_s))
    if high < 1.1 * low:
        raise CannotTell("oil.blend.alike", first_mm2_s=first_mm2_s, second_mm2_s=second_mm2_s)
    require_between("found_mm2_s", found_mm2_s, low, high, words.sentence("oil.blend.between"))
    first, second, found = (walther(kv) for kv in (first_mm2_s, second_mm2_s, found_mm2_s))
    return min(1.0, max(0.0, (found - first) / (second - first)))


def _family(oils: Sequence[Oil]) -> str:
    """Return the family that the mixture may be taken for: the least of its mineral parts, else none."""
    families = {oil.family for oil in oils}
    if len(families) == 1:
        return families.pop()
    if families <= set(MINERAL_LADDER):
        return min(families, key=MINERAL_LADDER.index)
    return ""


def _additive(oils: Sequence[Oil]) -> Additive:
    kinds = {oil.additive for oil in oils}
    return kinds.pop() if len(kinds) == 1 else "unknown"


def _merged(parts: Sequence[tuple[Oil, float]]) -> list[tuple[Oil, float]]:
    """Return each oil once, those of which there is nothing left out, the greatest part first."""
    amounts: dict[Oil, float] = {}
    for oil, litres in parts:
        if litres > 0:
            amounts[oil] = amounts.get(oil, 0.0) + litres
    return sorted(amounts.items(), key=lambda pair: (-pair[1], pair[0].name, pair[0].kv40_mm2_s))


def blend(parts: Sequence[tuple[Oil, float]]) -> Oil:
    """Return the oil that a mixture of oils is.

    Parameters
    ----------
    parts
        Of each part the oil, and how much of it there is [L], all at one temperature.

    Returns
    -------
    Oil
        Viscosity at 40 and 100 °C by ASTM D7152, and the index from the two. Density by volume. Of mineral families
        the least (HM with HV is HM); of different stuff none. The additive where all parts have one kind, else
        unknown. The warmest pour point and the lowest flash point of the parts, which is the careful side. What is
        not known of one part is not known of the mixture. The fluid is that of the greatest part. One oil alone is
        returned as it is.

    Valid for
        Oils that mix. Whether two may be mixed is another question: ask :func:`may_top_up`.

    Raises
    ------
    OutOfRange
        When there is less than nothing of a part.
    Missing
        When there is nothing of any part.

    Source
        ASTM D7152 by volume at 40 and at 100 °C, ASTM D2270; pour and flash point: common practice, no source.

    Examples
    --------
    >>> thin, thick = Oil("Valley 32", 32, 5.4, family="HV"), Oil("Valley 68", 68, 8.7, family="HM")
    >>> both = blend([(thin, 10), (thick, 10)])
    >>> both.name, round(both.kv40_mm2_s, 2), round(both.kv100_mm2_s, 3), both.family
    ('Valley 32 + Valley 68', 45.86, 6.785, 'HM')
    """
    _litres(amount for _, amount in parts)
    merged = _merged(parts)
    oils = [oil for oil, _ in merged]
    if len(oils) == 1:
        return oils[0]
    litres = sum(amount for _, amount in merged)
    densities = [oil.density15_kg_m3 for oil in oils]
    pours = [oil.pour_c for oil in oils]
    flashes = [oil.flash_c for oil in oils]
    weighed = [(one, amount) for one, (_, amount) in zip(densities, merged, strict=True) if one is not None]
    fluids: set[Fluid] = {oil.fluid for oil in oils}
    labels = {oil.sae for oil in oils}
    return Oil(
        " + ".join(oil.name for oil in oils),
        blend_viscosity([(oil.kv40_mm2_s, amount) for oil, amount in merged]),
        blend_viscosity([(oil.kv100_mm2_s, amount) for oil, amount in merged]),
        density15_kg_m3=sum(one * amount for one, amount in weighed) / litres if len(weighed) == len(oils) else None,
        family=_family(oils) if len(fluids) == 1 else "",
        additive=_additive(oils),
        pour_c=None if None in pours else max(one for one in pours if one is not None),
        flash_c=None if None in flashes else min(one for one in flashes if one is not None),
        fluid=oils[0].fluid,
        sae=labels.pop() if len(labels) == 1 and len(fluids) == 1 else "",
    )


def explain_blend(parts: Sequence[tuple[Oil, float]], *, unit: str = "l") -> Working:
    """Return the working of :func:`blend`.

    Parameters
    ----------
    parts
        Of each part the oil, and how much of it there is [L].
    unit
        How the working tells the amounts: ``l`` for litres, ``share`` where they are shares of all that is there.

    Returns
    -------
    Working
        The viscosities at 40 and 100 °C, and the density where it is known.

    Valid for
        What :func:`blend` takes.

    Raises
    ------
    OutOfRange, Missing
        As :func:`blend`.

    Source
        ASTM D7152.

    Examples
    --------
    >>> steps = explain_blend([(Oil("Valley 32", 32, 5.4), 1), (Oil("Valley 68", 68, 8.7), 1)]).steps
    >>> [round(float(step.result), 3) for step in steps]
    [45.857, 6.785]
    """
    mixed = blend(parts)
    merged = _merged(parts)
    amounts = tuple(Given(f"V{_low(place)}", one, unit, "told") for place, (_, one) in enumerate(merged, 1))

    def step(what: str, formula: str, symbol: str, values: Sequence[float], unit: str, found: float) -> Step:
        givens = tuple(Given(f"{symbol}{_low(place)}", value, unit, "told") for place, value in enumerate(values, 1))
        return Step(what, formula, (*givens, *amounts), found, unit, SOURCE)

    kv40, kv100 = [oil.kv40_mm2_s for oil, _ in merged], [oil.kv100_mm2_s for oil, _ in merged]
    steps = [
        step("working.oil.blend40", _FORMULA, "ν", kv40, "mm2_s", mixed.kv40_mm2_s),
        step("working.oil.blend100", _FORMULA, "ν", kv100, "mm2_s", mixed.kv100_mm2_s),
    ]
    densities = [oil.density15_kg_m3 for oil, _ in merged if oil.density15_kg_m3 is not None]
    if mixed.density15_kg_m3 is not None:
        formula = "ρ = Σ (Vᵢ / V) · ρᵢ"
        steps.append(step("working.oil.blend_density", formula, "ρ", densities, "kg_m3", mixed.density15_kg_m3))
    return Working(tuple(steps))


def _low(number: int) -> str:
    return str(number).translate(str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉"))
