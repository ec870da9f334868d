"""A code beside its target, the metal of several samples, and causes by how likely they are."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from coldmark.bench.pictures import svg
from coldmark.bench.pictures.chart import HEIGHT, WIDTH, Frame
from coldmark.bench.words import UnitSystem, figures, quantity, sentence

if TYPE_CHECKING:
    from coldmark.bench.cleanliness import Code
    from coldmark.bench.evidence import Cause
    from coldmark.bench.wear import Fill, Sample

__all__ = ["causes", "code_ladder", "metal_course"]

_LEFT, _RIGHT = 66.0, 350.0
_SIZES_UM = (4, 6, 14)
_ROW, _TOP = 72.0, 38.0
_MOST_CAUSES = 5


def _ladder_row(y: float, size_um: int, number: int | None, limit: int | None, span: tuple[int, int]) -> list[str]:
    first, last = span

    def x(at: float) -> float:
        return _LEFT + (at - first) / (last - first) * (_RIGHT - _LEFT)

    parts = [
        svg.text(4, y + 5, f"{size_um} µm", size=17, bold=True, fill=svg.INK, class_="band-name"),
        svg.line(_LEFT, y, _RIGHT, y, stroke=svg.INK, stroke_width=1.6, class_="axis"),
    ]
    if limit is not None:
        parts.append(
            svg.rect(_LEFT, y - 13, x(limit) - _LEFT, 26, fill=svg.AMBER_LIGHT, fill_opacity=0.22, class_="best")
        )
        parts.append(svg.line(x(limit), y - 15, x(limit), y + 15, stroke=svg.AMBER, stroke_width=3, class_="limit"))
        parts.append(svg.text(x(limit), y + 31, str(limit), size=16, fill=svg.INK, text_anchor="middle", class_="tick"))
    if number is not None:
        # Told by shape first: a dot may be there, a square stands beyond the target.
        place = x(number)
        beyond = limit is not None and number > limit
        shape = (
            svg.rect(place - 8, y - 8, 16, 16, fill=svg.INK, stroke=svg.INK, stroke_width=2.4, class_="edge-dot beyond")
            if beyond
            else svg.circle(place, y, 7, fill=svg.PAPER, stroke=svg.INK, stroke_width=2.6, class_="edge-dot")
        )
        parts.append(shape)
        parts.append(
            svg.text(
                place, y - 13, str(number), size=17, bold=True, fill=svg.INK, text_anchor="middle", class_="band-name"
            )
        )
    return parts


def code_ladder(found: Code | None, wanted: Code | None = None) -> str:
    """Draw a cleanliness code, size by size, beside the one that is wanted.

    Parameters
    ----------
    found : what the oil has, or None where only the target is to be shown.
    wanted : what it should have, or None.

    Returns
    -------
    str
        SVG. A square stands beyond the target, a circle within it; each number up is about twice the particles.

    Valid for
    ---------
    Any code; a size that was not counted has no mark.

    Raises
    ------
    Nothing.

    Source
    ------
    ISO 4406.

    Examples
    --------
    >>> from coldmark.bench.cleanliness import parse
    >>> "20/18/15" in code_ladder(parse("20/18/15"), parse("18/16/13"))
    True
    """
    nothing = (None, None, None)
    numbers, limits = (nothing if one is None else one.numbers for one in (found, wanted))
    shown = [one for one in (*numbers, *limits) if one is not None] or [13]
    span = (max(0, min(shown) - 3), max(shown) + 2)
    parts = [svg.text(4, 16, sentence("picture.code.scale"), size=14, fill=svg.INK, class_="tick")]
    for at, size_um in enumerate(_SIZES_UM):
        parts += _ladder_row(_TOP + 22 + at * _ROW, size_um, numbers[at], limits[at], span)
    says = [] if found is None else [sentence("picture.code.says", found=str(found))]
    if wanted is not None:
        says.append(sentence("picture.code.says_wanted", wanted=str(wanted)))
        below = sentence("picture.code.wanted" if found is None else "picture.code.beyond")
        parts.append(svg.text(4, _TOP + 3 * _ROW + 12, below, size=14, fill=svg.INK, class_="tick"))
    title = sentence("picture.code.title")
    return svg.drawing(WIDTH, _TOP + 3 * _ROW + 24, title, " ".join(says), *parts, class_="picture ladder")


def metal_course(samples: Sequence[Sample], found: Fill, *, units: UnitSystem = "metric") -> str:
    """Draw the metal of several samples over the hours, and the even course that lies nearest.

    Parameters
    ----------
    samples : the samples.
    found : what :func:`coldmark.bench.wear.fill` made of them.
    units : the reader's units.

    Returns
    -------
    str
        SVG. The line is whole where wear is even, dashed where the samples do not follow it.

    Valid for
    ---------
    Two samples or more.

    Raises
    ------
    Nothing.

    Source
    ------
    That function.

    Examples
    --------
    >>> from coldmark.bench.wear import Sample, fill
    >>> samples = [Sample(0, 2), Sample(250, 8), Sample(500, 14)]
    >>> metal_course(samples, fill(samples, 120)).count("<circle")
    3
    """
    top = 1.15 * max(1.0, *(one.content_mg_kg for one in samples), *found.fitted_mg_kg)
    first, last = samples[0].hours_h, samples[-1].hours_h
    frame = Frame(first, last, 0, top)
    steady = found.verdict == "steady"
    parts = [
        frame.axes(
            sentence("picture.metal.side"),
            sentence("picture.metal.foot"),
            [(at, quantity(at, "h", digits=0)) for at in (first, last)],
            [(at, figures(at, 3)) for at in _round_steps(top)],
        ),
        frame.curve(
            [(one.hours_h, at) for one, at in zip(samples, found.fitted_mg_kg, strict=True)], second=not steady
        ),
        *(frame.dot(one.hours_h, one.content_mg_kg) for one in samples),
    ]
    says = sentence(
        "picture.metal.says",
        units=units,
        count=len(samples),
        first_mg_kg=samples[0].content_mg_kg,
        last_mg_kg=samples[-1].content_mg_kg,
        run_h=last - first,
    )
    return svg.drawing(WIDTH, HEIGHT, sentence("picture.metal.title"), says, *parts, class_="picture chart")


def _round_steps(top: float) -> list[float]:
    """Return some four round values from nothing up to ``top``."""
    power = 10.0 ** (len(str(int(top / 4))) - 1)
    step = next(one * power for one in (1, 2, 5, 10) if one * power >= top / 4)
    return [step * at for at in range(int(top / step) + 1)]


def _lines(text: str, most: int = 40) -> list[str]:
    """Break a name into lines that a phone holds."""
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + 1 + len(word) > most:
            lines.append(word)
        else:
            lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


def causes(found: Sequence[Cause]) -> str:
    """Draw causes by how likely they are, each with a mark where it stood before anything was seen.

    Parameters
    ----------
    found : causes of a ranking; the first five are drawn.

    Returns
    -------
    str
        SVG.

    Valid for
    ---------
    One cause or more.

    Raises
    ------
    Nothing.

    Source
    ------
    :func:`coldmark.bench.evidence.rank`.

    Examples
    --------
    >>> from coldmark.bench.evidence import rank
    >>> causes(rank({"rust_seen": "seen"}).raised).count('class="share"')
    1
    """
    parts, y, told = [], 8.0, []
    right = _RIGHT - 52
    for one in found[:_MOST_CAUSES]:
        name = sentence(f"evidence.cause.{one.key}")
        for line in _lines(name[:1].upper() + name[1:]):
            y += 20
            parts.append(svg.text(4, y, line, size=17, fill=svg.INK, class_="band-name"))
        y += 8
        share = quantity(one.chance, "share")
        told.append(f"{name} {share}")
        parts += [
            svg.rect(4, y, right - 4, 16, fill=svg.PAPER, stroke=svg.INK, stroke_width=1.4, class_="band"),
            svg.rect(4, y, (right - 4) * one.chance, 16, fill=svg.AMBER, class_="share"),
            svg.line(
                4 + (right - 4) * one.before,
                y - 4,
                4 + (right - 4) * one.before,
                y + 20,
                stroke=svg.INK,
                stroke_width=2.4,
                class_="edge-tick",
            ),
            svg.text(
                _RIGHT + 16, y + 15, share, size=18, bold=True, fill=svg.INK, text_anchor="end", class_="band-name"
            ),
        ]
        y += 28
    parts.append(svg.text(4, y + 14, sentence("picture.causes.before"), size=15, fill=svg.INK, class_="tick"))
    says = sentence("picture.causes.says", causes="; ".join(told))
    return svg.drawing(WIDTH, y + 24, sentence("picture.causes.title"), says, *parts, class_="picture causes")
