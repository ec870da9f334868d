"""What was found of a hose, in plain sentences, and the cautions that go with every hose."""

from __future__ import annotations

from itertools import combinations

from coldmark.bench.hose.bore import HoseSize
from coldmark.bench.hose.ends import End, EndCandidate, Ends
from coldmark.bench.hose.stamp import LONGEST_STORED_MONTHS, Age
from coldmark.bench.words import UnitSystem, Value, day, has, quantity, sentence

__all__ = ["cautions", "family_name", "says", "says_alike"]

_MOST_SAID = 8
_MOST_REMEMBERED = 4
_SAID_MM = 0.05


def family_name(end: End) -> str:
    """Return what an end's family is called.

    >>> from coldmark.bench.hose.ends import all_ends
    >>> family_name(all_ends()[0])
    'metric 24° cone (ISO 8434-1)'
    """
    return sentence(f"hose.family.{end.family}")


def says(found: Ends | HoseSize | Age, units: UnitSystem = "metric") -> list[str]:
    """Return what was found in plain sentences, the answer first.

    Parameters
    ----------
    found : from :func:`~coldmark.bench.hose.identify`, ``size_of`` or ``age``.
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
    >>> from coldmark.bench.hose.bore import size_of
    >>> says(size_of(12.6))
    ['The hose is a -8, of 12.7 mm bore (DN 12.5).']
    """
    if isinstance(found, Ends):
        return _ends(found, units)
    if isinstance(found, HoseSize):
        return [sentence("hose.size", units=units, dash=found.dash, bore_mm=found.bore_mm, dn=found.dn)]
    return _age(found)


def _about(message: str, end: End, units: UnitSystem = "metric", **values: Value) -> str:
    """Return a sentence about an end of the table."""
    return sentence(message, units=units, name=family_name(end), thread=end.thread, size=end.size, **values)


def _off(value_mm: float, units: UnitSystem) -> str:
    if abs(value_mm) < _SAID_MM:
        return sentence("hose.off.none")
    amount = quantity(abs(value_mm), "mm", units=units, digits=2 if units == "metric" else 3)
    return sentence("hose.off.under" if value_mm < 0 else "hose.off.over", amount=amount)


def _line(one: EndCandidate, units: UnitSystem) -> str:
    return _about("hose.may_be", one.end, units, off=_off(one.off_mm, units))


def _ends(found: Ends, units: UnitSystem) -> list[str]:
    if found.state == "none":
        return [sentence("hose.none"), sentence("hose.none.do")]
    if found.state == "identified":
        one = found.fitting[0]
        lines = [_about("hose.is", one.end), sentence("hose.measured", off=_off(one.off_mm, units))]
        if one.end.dash is not None:
            lines.append(sentence("hose.dash", dash=one.end.dash))
        return lines
    lines = [sentence("hose.several" if len(found.fitting) > 1 else "hose.only_one")]
    lines += [_line(one, units) for one in found.fitting[:_MOST_SAID]]
    if len(found.fitting) > _MOST_SAID:
        lines.append(sentence("hose.and_more", count=len(found.fitting) - _MOST_SAID))
    if not found.enough:
        lines.append(sentence("hose.one_measurement"))
    lines += [sentence(f"hose.apart.{one}") for one in found.apart]
    return lines


def says_alike(found: Ends) -> list[str]:
    """Return what is easily taken for what was found: pairs that screw together and are not made for each other.

    Parameters
    ----------
    found : from :func:`~coldmark.bench.hose.identify`.

    Returns
    -------
    list of str
        Sentences; empty where nothing fits or nothing is alike.

    Valid for
    ---------
    Whatever was found.

    Raises
    ------
    Nothing
        Every case has its sentences.

    Source
    ------
    The table of ends; what happens when they are mixed: common practice, no source.

    Examples
    --------
    >>> from coldmark.bench.hose.ends import identify
    >>> says_alike(identify(18.95, "male", pitch_mm=1.59, seat="flare_37"))[0][:38]
    'JIC 37° and SAE 45° flares share this '
    """
    ends = [one.end for one in found.fitting]
    lines = [sentence(message) for one, other in combinations(ends, 2) if (message := _pair(one, other)) is not None]
    for other in found.alike:
        nearest = min(
            ends, key=lambda one: (abs(other.pitch_mm / one.pitch_mm - 1), abs(other.outer_mm - one.outer_mm))
        )
        message = _pair(nearest, other)
        percent = round(100 * abs(other.pitch_mm / nearest.pitch_mm - 1))
        told = "hose.alike" if percent else "hose.alike.same_pitch"
        lines.append(_about(message or told, other, percent=percent))
    remembered = [f"{family_name(one)} {one.thread}" for one in ends if one.standing == "from memory"]
    if remembered:
        lines.append(sentence("hose.from_memory", ends="; ".join(remembered[:_MOST_REMEMBERED])))
    return list(dict.fromkeys(lines))


def _pair(one: End, other: End) -> str | None:
    """Return the message of two families that are taken for each other, where there is one of their own."""
    first, second = sorted((one.family, other.family))
    message = f"hose.pair.{first}.{second}"
    return message if has(message) else None


def _age(found: Age) -> list[str]:
    first, last = day(found.made.first), day(found.made.last)
    lines = [
        sentence("hose.age.about", age=_span(found.months.low, found.months.high)),
        sentence("hose.age.made", first=first, last=last),
    ]
    if len(found.made.readings) > 1:
        lines.append(sentence("hose.age.two_ways"))
    message = f"hose.age.{found.kept}.{found.verdict}"
    lines.append(sentence(message, limit=_years(found.limit_months), source=found.limit_source))
    if found.kept == "stored_hose" and found.months.high >= LONGEST_STORED_MONTHS:
        lines.append(sentence("hose.age.forty_quarters"))
    return lines


def _years(months: float) -> str:
    return sentence("hose.years", years=f"{months / 12:.1f}".removesuffix(".0"))


def _span(low: float, high: float) -> str:
    if high < 24:
        shown = f"{low:.0f}" if round(low) == round(high) else f"{low:.0f}–{high:.0f}"
        return sentence("hose.months", months=shown)
    least, most = f"{low / 12:.1f}", f"{high / 12:.1f}"
    return sentence("hose.years", years=least if least == most else f"{least}–{most}")


def cautions() -> tuple[str, ...]:
    """Return the cautions that stand with everything said of a hose.

    Returns
    -------
    tuple of str
        The jet that goes through skin first.

    Source
    ------
    ISO 4413 in its sense, and what is printed of injection injuries in stored excerpts; own words.

    Examples
    --------
    >>> cautions()[0]
    'Never feel for a leak with your hand: a jet you cannot see goes through skin and glove. Use a piece of card.'
    """
    return tuple(sentence(f"hose.caution.{one}") for one in ("jet", "injected", "pressure", "manual"))
