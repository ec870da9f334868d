"""What a comparison of elements means, in sentences."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coldmark.bench import words
from coldmark.bench.element.model import Comparison, Judged
from coldmark.bench.unit_table import of_name, stem
from coldmark.bench.words import sentence

__all__ = ["notes", "says"]


def _called(feature: str) -> str:
    told = f"element.feature.{feature}"
    return sentence(told) if words.has(told) else words.spoken(feature)


def _value(one: Judged, units: words.UnitSystem) -> str:
    """Return the value that the sheet gives for what nobody can see, in the reader's own units."""
    value, unit = one.values["value"], of_name(str(one.values["unit"]))
    if unit is None or not isinstance(value, float | int):
        return str(value)
    return words.quantity(value, unit.ending, units=units)


def _said(one: Judged, units: words.UnitSystem) -> str:
    values: dict[str, str | float] = dict(one.values)
    if "feature" in values:
        values["feature"] = _called(str(values["feature"]))
    if "sight" in values:
        values["sight"] = sentence(f"element.sight.{values['sight']}")
    if "unseen" in values:
        if "unit" in values:
            values["value"] = _value(one, units)
        values["unseen"] = sentence(f"element.unseen.{values['unseen']}")
    values.pop("unit", None)
    said = sentence(one.message, units=units, **values)
    then = f"element.then.{one.values.get('feature', '')}.{one.values.get('side', '')}"
    return f"{said} {sentence(then)}" if one.answer == "does_not_fit" and words.has(then) else said


def _grouped(judged: Iterable[Judged], units: words.UnitSystem) -> Iterator[str]:
    """Yield a sentence a feature; features of which the very same is said share one."""
    together: dict[str, list[Judged]] = {}
    for one in judged:
        alike = one.message if set(one.values) in ({"sight"}, {"unseen"}) else f"{one.message} {one.feature}"
        together.setdefault(alike, []).append(one)
    for same in together.values():
        kind = next(iter(same[0].values))
        if len(same) == 1 or kind not in ("sight", "unseen"):
            yield _said(same[0], units)
        else:
            named = ", ".join(sentence(f"element.{kind}.{one.values[kind]}") for one in same)
            named = named[0] + named[1:].lower()
            yield sentence(same[0].message, sight=named) if kind == "sight" else sentence(same[0].message, unseen=named)


def _to_do(found: Comparison) -> list[str]:
    """Return what is still to be looked at, and where the calliper goes."""
    unseen = [one.feature for one in found.having("in_doubt") if one.message == "element.sight.not_looked"]
    said = []
    if unseen:
        named = ", ".join(sentence(f"element.sight.{name}") for name in unseen)
        said.append(sentence("element.sight.not_looked", sight=named))
    if found.measure:
        said.append(sentence("element.measure", named=", ".join(_called(stem(one)) for one in found.measure)))
    return said


def says(found: Comparison, units: words.UnitSystem = "metric") -> list[str]:
    """Return a comparison as plain sentences, the verdict first.

    Parameters
    ----------
    found
        What :func:`compare` gave.
    units
        The reader's units.

    Returns
    -------
    list of str
        The verdict, what speaks against it or is to be looked at, which way up it goes in, and what stays unproven.

    Valid for
        Every comparison.

    Raises
    ------
    Nothing.

    Source
        The message file of the reader's language.

    Examples
    --------
    >>> from coldmark.bench.element import SIGHTS, Element, compare
    >>> says(compare(Element(), Element(), sight=dict.fromkeys(SIGHTS, "same"), ends="alike"))[0]
    'Fits, as far as eye and calliper can tell.'
    """
    said = [sentence(f"element.answer.{found.answer}")]
    said += _grouped(found.having("does_not_fit"), units)
    if found.answer == "in_doubt":
        said += _to_do(found)
    if found.answer != "does_not_fit":
        said.append(sentence(f"element.upside_down.{found.upside_down}"))
        said.append(sentence("element.unproven"))
    return said


def notes(found: Comparison, units: words.UnitSystem = "metric") -> list[str]:
    """Return what is said of each feature that fits or that nobody can see.

    Parameters
    ----------
    found
        What :func:`compare` gave.
    units
        The reader's units.

    Returns
    -------
    list of str
        A sentence a feature, or one for those of which the same is said.

    Valid for
        Every comparison.

    Raises
    ------
    Nothing.

    Source
        The message file of the reader's language.

    Examples
    --------
    >>> from coldmark.bench.element import SIGHTS, Element, compare
    >>> notes(compare(Element(), Element(), sight=dict.fromkeys(SIGHTS, "same")))[0]
    'Bypass setting, collapse pressure, rating, media: nobody can see it.'
    """
    return list(_grouped((*found.having("unproven"), *found.having("fits")), units))
