"""Is this the right element: by sight first, by calliper in doubt, and open about what nobody can see."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import hypot

from coldmark.bench import words
from coldmark.bench.element.model import (
    ENDS,
    SEEN,
    SIGHTS,
    UNSEEN,
    Answer,
    Comparison,
    Element,
    Ends,
    Judged,
    Named,
    Reject,
    Seen,
    tolerance_mm,
)
from coldmark.bench.element.remembered import plain
from coldmark.bench.element.serials import in_range
from coldmark.bench.errors import Missing, require_choice
from coldmark.bench.unit_table import of_name, stem
from coldmark.bench.working import Given, Origin, Step, Working

__all__ = ["compare"]

# The calliper goes to these when the eye is not sure.
_BY_CALLIPER: Mapping[str, tuple[str, ...]] = {
    "length": ("length_mm",),
    "upper_end": ("upper_mm",),
    "lower_end": ("lower_mm",),
    "seal": ("section_mm",),
    "spigot": ("inner_mm", "spigot_mm"),
}
_PRACTICE = "tolerance: common practice, no source"


def _lengths(features: Mapping[str, float]) -> dict[str, float]:
    """Return the features that a calliper tells."""
    return {name: value for name, value in features.items() if name.endswith("_mm")}


def _measured(new: Element, old: Element | None, sheet: Mapping[str, float]) -> Iterator[tuple[Judged, Step]]:
    """Yield each feature that was measured on the new one and is known of another; the sheet goes before the old."""
    was = {} if old is None else _lengths(old.features)
    for name, value in _lengths(new.features).items():
        other = sheet.get(name, was.get(name))
        if other is None:
            continue
        origin: Origin = "sheet" if name in sheet else "measured"
        allowed, off = tolerance_mm(name), value - other
        fits = abs(off) <= allowed + 1e-9
        side = "within" if fits else "more" if off > 0 else "less"
        judged = Judged(
            name,
            "fits" if fits else "does_not_fit",
            f"element.measured.{side}.{'sheet' if origin == 'sheet' else 'old'}",
            {"feature": stem(name), "off_mm": abs(off), "tolerance_mm": allowed, "side": "more" if off > 0 else "less"},
        )
        step = Step(
            "working.element.off",
            "new − other, no more than the tolerance to either side",
            (
                Given("feature", stem(name), "", "told"),
                Given("new", value, "mm", "measured"),
                Given("other", other, "mm", origin),
                Given("tolerance", allowed, "mm", "practice"),
            ),
            round(off, 3),
            "mm",
            _PRACTICE,
        )
        yield judged, step


def _old_ones(old: Element | None, sheet: Mapping[str, float]) -> Iterator[Judged]:
    """Yield where the old element is not what the sheet says: it may have been the wrong one."""
    for name, value in ({} if old is None else _lengths(old.features)).items():
        if name in sheet and abs(value - sheet[name]) > tolerance_mm(name) + 1e-9:
            values: dict[str, str | float] = {"feature": stem(name), "old_mm": value, "sheet_mm": sheet[name]}
            yield Judged(name, "unproven", "element.old_differs", values)


def _by_sight(sight: Mapping[str, Seen], measured: Mapping[str, Judged]) -> Iterator[Judged]:
    """Yield what the eye says of each. The calliper decides what the eye is not sure of, and any length; it does not
    make up for ends, a seal or a spigot that nobody looked at, or that are of another kind, however they measure."""
    for name in SIGHTS:
        seen = sight.get(name, "not_looked")
        told = [measured[one].answer for one in _BY_CALLIPER[name] if one in measured]
        if seen == "same":
            yield Judged(name, "fits", "element.sight.same", {"sight": name})
        elif told and (seen == "in_doubt" or name == "length"):
            if "does_not_fit" not in told:
                yield Judged(name, "fits", "element.sight.measured", {"sight": name})
        else:
            answer: Answer = "does_not_fit" if seen == "different" else "in_doubt"
            yield Judged(name, answer, f"element.sight.{seen}", {"sight": name})


def _unseen(reference: Named | None, vouched: bool) -> Iterator[Judged]:
    """Yield what nobody can see; where the number is the sheet's, that is what vouches for it."""
    features = {} if reference is None else reference.features
    for name, called in UNSEEN.items():
        told = next(((one, value) for one, value in features.items() if stem(one) in called), None)
        end = "vouched" if vouched else "open"
        if told is None:
            yield Judged(name, "unproven", f"element.unseen.{end}", {"unseen": name})
            continue
        unit = of_name(told[0])
        value = told[1] if unit is None else unit.to_bench(told[1])
        yield Judged(name, "unproven", f"element.unseen.{end}.sheet", {"unseen": name, "value": value, "unit": told[0]})


def _number(new: Element, reference: Named | None, rejects: Sequence[Reject]) -> Iterator[Judged]:
    for one in rejects:
        if new.number and plain(one.number) == plain(new.number):
            told = {"number": new.number, "day": one.day, "place": one.place}
            if one.why:
                told["why"] = words.sentence(f"refused.{one.why}")
            message = "element.rejected.why" if one.why else "element.rejected"
            yield Judged("number", "does_not_fit", message if one.day else "element.rejected.once", told)
            break
    if reference is None or not reference.number:
        return
    if not new.number:
        yield Judged("number", "unproven", "element.number.not_read", {"wanted": reference.number})
    elif plain(new.number) == plain(reference.number):
        yield Judged("number", "fits", "element.number.same", {"number": reference.number})
    else:
        yield Judged("number", "unproven", "element.number.other", {"number": new.number, "wanted": reference.number})


def _serial(serial: str, reference: Named | None) -> Iterator[Judged]:
    if reference is None or not (reference.serial_from or reference.serial_to):
        return
    span = words.sentence("element.serial.span", first=reference.serial_from or "…", last=reference.serial_to or "…")
    values = {"serial": serial, "span": span}
    within = in_range(serial, reference.serial_from, reference.serial_to) if serial else None
    if within:
        yield Judged("serial", "fits", "element.serial.within", values)
    elif within is None:
        yield Judged("serial", "unproven", f"element.serial.{'unlike' if serial else 'not_read'}", values)
    else:
        yield Judged("serial", "does_not_fit", "element.serial.outside", values)


def _upside_down(ends: Ends, features: Mapping[str, float]) -> str:
    upper, lower = features.get("upper_mm"), features.get("lower_mm")
    if upper is None or lower is None:
        return {"alike": "either_way", "differ": "one_way", "not_looked": "unproven"}[ends]
    # Each opening is good to its tolerance, so their difference is to both together.
    alike = abs(upper - lower) <= hypot(tolerance_mm("upper_mm"), tolerance_mm("lower_mm"))
    if ends == "not_looked":
        return "unproven" if alike else "one_way"
    if (ends == "alike") == alike:
        return "either_way" if alike else "one_way"
    return "mistakable"


def compare(
    new: Element,
    old: Element | None = None,
    reference: Named | None = None,
    *,
    sight: Mapping[str, Seen] | None = None,
    ends: Ends = "not_looked",
    serial: str = "",
    rejects: Sequence[Reject] = (),
) -> Comparison:
    """Say whether the element in hand is the right one, feature by feature.

    Parameters
    ----------
    new
        The element in hand.
    old
        The one that came out, where there is one; it may have been the wrong one itself.
    reference
        What the machine's data sheet says of the part; it goes before the old one.
    sight
        What was seen with new and old side by side: each of :data:`SIGHTS` is the same, in doubt, different or not
        looked at. What is the same needs no calliper; what is in doubt is measured.
    ends
        Whether the two ends of the new one are alike.
    serial
        The machine's serial number; elements change within a model.
    rejects
        Parts that were found wrong on this machine before, from :func:`rejects`.

    Returns
    -------
    Comparison
        One feature that does not fit is enough; bypass setting, collapse pressure, rating and media stay *unproven*,
        because nobody can see them: there the number on the element is all there is.

    Valid for
        Elements, strainers and spin-on cans that are laid side by side.

    Raises
    ------
    Missing
        When there is nothing to compare it with.
    NotAChoice
        For a sight or an answer that is not among those offered.
    OutOfRange
        For a measure that is not above nought.

    Source
        Order of looking and tolerances: common practice, no source.

    Examples
    --------
    >>> seen = dict.fromkeys(SIGHTS, "same") | {"length": "in_doubt"}
    >>> found = compare(Element(), Element(), sight=seen)
    >>> found.answer, found.measure
    ('in_doubt', ('length_mm',))
    >>> compare(Element(features={"length_mm": 212}), Element(features={"length_mm": 218}), sight=seen).answer
    'does_not_fit'
    """
    looked = dict(sight or {})
    for name, seen in looked.items():
        require_choice("sight", name, SIGHTS)
        require_choice(name, seen, SEEN)
    require_choice("ends", ends, ENDS)
    sheet = {} if reference is None else _lengths(reference.features)
    measured = list(_measured(new, old, sheet))
    if old is None and reference is None and all(seen == "not_looked" for seen in looked.values()):
        raise Missing(name="old", needed_for=words.sentence("element.why.nothing"))
    by_name = {judged.feature: judged for judged, _ in measured}
    number = list(_number(new, reference, rejects))
    vouched = any(one.answer == "fits" for one in number)
    judged = (
        *(one for one in number if one.answer == "does_not_fit"),
        *_serial(serial, reference),
        *by_name.values(),
        *_by_sight(looked, by_name),
        *_old_ones(old, sheet),
        *(one for one in number if one.answer != "does_not_fit"),
        *_unseen(reference, vouched),
    )
    answers = {one.answer for one in judged}
    doubted = [one.feature for one in judged if one.answer == "in_doubt" and looked.get(one.feature) == "in_doubt"]
    shown = Step(
        "working.element.sight",
        "",
        tuple(
            Given(words.sentence(f"element.sight.{name}"), words.sentence(f"element.seen.{seen}"), "", "told")
            for name in SIGHTS
            for seen in (looked.get(name, "not_looked"),)
        ),
        words.sentence("element.looked", count=sum(seen != "not_looked" for seen in looked.values()), all=len(SIGHTS)),
        "",
        "order of looking: common practice, no source",
    )
    return Comparison(
        answer="does_not_fit" if "does_not_fit" in answers else "in_doubt" if "in_doubt" in answers else "fits",
        judged=judged,
        measure=tuple(dict.fromkeys(_BY_CALLIPER[name][0] for name in doubted)),
        upside_down=_upside_down(ends, new.features),  # type: ignore[arg-type]
        working=Working((shown, *(step for _, step in measured))),
    )
