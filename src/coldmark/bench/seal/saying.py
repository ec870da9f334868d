"""What rings, grooves and seal materials mean, in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from coldmark.bench import words
from coldmark.bench.seal.gland import WIDTH_TOLERANCE_MM, Gland, Measure
from coldmark.bench.seal.groove import READ_MM
from coldmark.bench.seal.identify import Candidate, Found
from coldmark.bench.seal.material import Known, Stand
from coldmark.bench.seal.table import Limit, Ring
from coldmark.bench.words import sentence

__all__ = ["notes", "says"]

_MOST_NAMED = 6


def _named(ring: Ring, units: words.UnitSystem) -> str:
    return sentence("seal.size", units=units, size=ring.size, inner_mm=ring.inner_mm, section_mm=ring.section_mm)


def _list(candidates: tuple[Candidate, ...], units: words.UnitSystem) -> str:
    shown = [_named(one.ring, units) for one in candidates[:_MOST_NAMED]]
    more = len(candidates) - len(shown)
    return "; ".join(shown) + (sentence("seal.more", count=more) if more else "")


def _way(name: str, off_mm: float, units: words.UnitSystem) -> str:
    side = "more" if off_mm > 0 else "less"
    # Half of the last figure shown: what would read as nothing is said to be nothing.
    if abs(off_mm) < 0.005:
        side = "same"
    return sentence(f"seal.off.{name}.{side}", units=units, off_mm=abs(off_mm))


def _apart(message: str, one: Candidate, units: words.UnitSystem) -> str:
    inner, section = one.inner_off_mm or 0.0, one.section_off_mm or 0.0
    return sentence(
        message,
        units=units,
        ring=_named(one.ring, units),
        inner=_way("inner", inner, units),
        section=_way("section", section, units),
    )


def _found(found: Found, units: words.UnitSystem) -> list[str]:
    way = "groove" if found.way == "groove" else "ring"
    said = []
    if found.answer == "one":
        ring = found.candidates[0].ring
        said.append(
            sentence(f"seal.{way}.one", units=units, size=ring.size, inner_mm=ring.inner_mm, section_mm=ring.section_mm)
        )
    elif found.answer == "none":
        said.append(sentence(f"seal.{way}.none"))
    else:
        said.append(sentence(f"seal.{way}.{found.answer}", sizes=_list(found.candidates, units)))
    if way == "ring":
        said += [_apart("seal.apart", one, units) for one in found.nearest]
        if found.answer == "near":
            said.append(_apart("seal.yours", found.candidates[0], units))
    elif found.nearest:
        said.append(sentence("seal.groove.nearest", sizes=_list(found.nearest, units)))
    said.append(sentence("seal.other_series"))
    return said


def _of(measure: Measure, units: words.UnitSystem) -> str:
    """Return a measure with its value as a part of a sentence."""
    value = measure.value.value
    if measure.name == "clearance":
        return sentence("seal.what.clearance", units=units, gap_mm=value)
    side = ".less" if value < 0 and measure.name != "fill" else ""
    return sentence(f"seal.what.{measure.name}{side}", units=units, value_share=abs(value))


def _between(limit: Limit, measure: Measure, units: words.UnitSystem) -> str:
    if measure.name == "clearance":
        return sentence("seal.limit.clearance", units=units, high_mm=limit.high)
    if limit.low > 0:
        return sentence("seal.limit.between", units=units, low_share=limit.low, high_share=limit.high)
    return sentence("seal.limit.most", units=units, high_share=limit.high)


def _then(measure: Measure) -> str:
    """Return what comes of a measure that is out."""
    touches = measure.name != "squeeze" or measure.value.value > 0
    return sentence(f"seal.then.{measure.name}.{measure.side if touches else 'none'}")


def _sources(measure: Measure, units: words.UnitSystem) -> str:
    return "; ".join(
        sentence("seal.source", limit=_between(one, measure, units), source=one.source) for one in measure.limits
    )


def _gland(found: Gland, units: words.UnitSystem) -> list[str]:
    worst = found.worst
    if found.answer == "does_not_fit":
        return [sentence("seal.does_not_fit", what=_of(worst, units)), _then(worst)]
    if found.answer == "near":
        return [sentence("seal.near", what=_of(worst, units)), _then(worst)]
    squeeze, fill = found.measures[0], found.measure("fill")
    what = _of(squeeze, units)
    if fill is None:
        said = [sentence("seal.fits.backed", what=what)]
    else:
        said = [sentence("seal.fits", what=what, filled=_of(fill, units))]
    fit = found.measures[1]
    if fit.value.value > 0:
        said.append(sentence(f"seal.fit.{fit.name}", units=units, value_share=fit.value.value))
    return said


def _gland_notes(found: Gland, units: words.UnitSystem) -> Iterator[str]:
    for one in found.measures:
        if one.answer != "fits" or one.differ:
            yield sentence("seal.sources", what=_of(one, units), sources=_sources(one, units))
    squeeze = found.measures[0].value
    if squeeze.value > 0:
        yield sentence("seal.worst", units=units, low_share=max(squeeze.low, 0.0), high_share=squeeze.high)
    if found.loss_share > 0 and found.fitted_squeeze > 0:
        yield sentence(
            "seal.loss",
            units=units,
            loss_share=found.loss_share,
            rule_share=found.rule_share,
            left_share=found.fitted_squeeze,
        )
    if found.backups:
        yield sentence("seal.backed")
    if found.table_width_mm is None:
        yield sentence("seal.no_width")
    elif abs(found.groove.width_mm - found.table_width_mm) > WIDTH_TOLERANCE_MM + READ_MM:
        yield sentence("seal.width", units=units, wanted_mm=found.table_width_mm, width_mm=found.groove.width_mm)
    yield sentence("seal.care")


def _fluid(name: str) -> str:
    told = f"seal.fluid.{name}"
    return sentence(told) if words.has(told) else sentence("seal.fluid.family", family=name)


def _reason(one: Known, found: Stand, units: words.UnitSystem) -> str:
    if one.strict_c is None or one.loose_c is None:
        kind = "unknown" if one.standing == "not known" else one.answer
        return sentence(f"seal.stands.fluid.{kind}", material=found.material, fluid=_fluid(found.fluid))
    return sentence(
        f"seal.stands.{one.about}.{one.answer}",
        units=units,
        material=found.material,
        t_c=found.coldest_c if one.about == "cold" else found.hottest_c,
        strict_c=one.strict_c,
        loose_c=one.loose_c,
    )


def _stand(found: Stand, units: words.UnitSystem) -> list[str]:
    if found.answer == "suits":
        return [
            sentence(
                "seal.stands.suits",
                units=units,
                material=found.material,
                fluid=_fluid(found.fluid),
                coldest_c=found.coldest_c,
                hottest_c=found.hottest_c,
            )
        ]
    reasons = [_reason(one, found, units) for one in found.known if one.answer == found.answer]
    return [sentence(f"seal.stands.{found.answer}", material=found.material, fluid=_fluid(found.fluid)), *reasons]


def says(found: Found | Gland | Stand, units: words.UnitSystem = "metric") -> list[str]:
    """Return a result of this package as plain sentences, the answer first.

    Parameters
    ----------
    found
        What :func:`identify`, :func:`gland` or :func:`stands` gave.
    units
        The reader's units.

    Returns
    -------
    list of str
        One or more sentences.

    Valid for
        Every result.

    Raises
    ------
    Nothing.

    Source
        The message file of the reader's language.

    Examples
    --------
    >>> from coldmark.bench.seal import identify, stands
    >>> says(identify(18.7, 3.5))[0]
    'It is size 210: 18.64 mm inside, 3.53 mm thick.'
    >>> says(stands("EPDM", "HM", 0, 60))[0]
    'EPDM does not stand mineral oil in this service.'
    """
    if isinstance(found, Found):
        return _found(found, units)
    if isinstance(found, Gland):
        return _gland(found, units)
    return _stand(found, units)


def notes(found: Gland | Stand, units: words.UnitSystem = "metric") -> list[str]:
    """Return what else there is to know of a result: where sources differ, the worst case, how well it is known.

    Parameters
    ----------
    found
        What :func:`gland` or :func:`stands` gave.
    units
        The reader's units.

    Returns
    -------
    list of str
        One or more sentences.

    Valid for
        Every result.

    Raises
    ------
    Nothing.

    Source
        The message file of the reader's language.

    Examples
    --------
    >>> from coldmark.bench.seal import stands
    >>> notes(stands("NBR", "HM", -20, 90))[0]
    'How well it is known: the fluid, read in print; the cold, read in print; the heat, remembered.'
    """
    if isinstance(found, Gland):
        return list(_gland_notes(found, units))
    fluid, cold, hot = (sentence(f"seal.standing.{one.standing.replace(' ', '_')}") for one in found.known)
    return [
        sentence("seal.known", fluid=fluid, cold=cold, hot=hot),
        sentence("seal.supplier", material=found.material),
    ]
