"""Oils side by side: which of them does for a place, and how much of the old one each change leaves."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor

from coldmark.bench.oil import Candidate, Choice
from coldmark.bench.oilhistory import Changes
from coldmark.bench.pictures import svg
from coldmark.bench.shapes import dataclass
from coldmark.bench.words import UnitSystem, quantity, sentence

__all__ = ["oil_choice", "oil_left"]

_WIDTH, _LEFT, _RIGHT = 372.0, 10.0, 362.0
_TOP, _ROW, _BAR = 62.0, 42.0, 15.0
_LONGEST = 24  # letters of a name that have room beside what is said of the oil
MOST_BARS = 12


@dataclass(frozen=True, slots=True)
class _Span:
    """The temperatures that the drawing covers [°C], and where each stands."""

    cold_c: float
    hot_c: float

    def x(self, t_c: float) -> float:
        inside = min(max(t_c, self.cold_c), self.hot_c)
        return _LEFT + (inside - self.cold_c) / (self.hot_c - self.cold_c) * (_RIGHT - _LEFT)


def _span(choice: Choice) -> _Span:
    windows = [one.window for one in choice.candidates]
    cold = min([choice.coldest_c, *(one.start.t_c for one in windows)])
    hot = max([choice.hottest_c, *(one.work_to.t_c for one in windows)])
    return _Span(10 * floor((cold - 2) / 10), 10 * ceil((hot + 2) / 10))


def _short(one: Candidate, choice: Choice) -> str:
    """Return the message id of what is said of an oil in two or three words."""
    if one.answer == "yes":
        return "picture.choice.fits"
    if one.answer == "yes_with_notes":
        return "picture.choice.noted"
    cold = choice.coldest_c < one.window.start.t_c
    hot = choice.hottest_c > one.window.work_to.t_c
    if cold and hot:
        return "picture.choice.both"
    return "picture.choice.stiff" if cold else "picture.choice.thin" if hot else "picture.choice.sheet"


def _row(one: Candidate, choice: Choice, span: _Span, top: float) -> str:
    fits = one.fits
    found = one.window
    edges = (found.start.t_c, found.work_from.t_c, found.best_from.t_c, found.best_to.t_c, found.work_to.t_c)
    fills = (svg.PAPER, svg.INK_PALE, svg.AMBER, svg.INK_PALE)
    classes = ("band band-idle-only", "band band-cool", "band band-best", "band band-warm")
    says = sentence(_short(one, choice))
    name = one.oil.name if len(one.oil.name) <= _LONGEST else f"{one.oil.name[: _LONGEST - 1]}…"
    parts = [
        svg.text(_LEFT, top + 13, name, size=14, bold=fits, fill=svg.INK, class_="band-name"),
        svg.text(_RIGHT, top + 13, says, size=14, bold=fits, fill=svg.INK, text_anchor="end", class_="band-name"),
    ]
    for start, end, fill, class_ in zip(edges, edges[1:], fills, classes, strict=False):
        width = span.x(end) - span.x(start)
        if width > 0.5:
            parts.append(
                svg.rect(
                    span.x(start), top + 19, width, _BAR, fill=fill, stroke=svg.INK, stroke_width=1.2, class_=class_
                )
            )
    return "".join(parts)


def _told(t_c: float, words: str, span: _Span, y: float, rows: int, units: UnitSystem) -> str:
    """Draw one of the two temperatures that the oils are held against: its name, and a line across every bar."""
    x = span.x(t_c)
    end = x > (_LEFT + _RIGHT) / 2
    label = f"{words} {quantity(t_c, 'c', units=units)}"
    anchor, at = ("end", x - 5) if end else ("start", x + 5)
    parts = [
        svg.text(at, y + 7, label, size=14, bold=True, fill=svg.INK, text_anchor=anchor, class_="edge-label"),
        svg.line(x, y - 5, x, y + 10, stroke=svg.INK, stroke_width=2.4, class_="edge-tick"),
    ]
    # Not over the names between the bars: a line through a word makes both hard to read.
    for place in range(rows):
        top = _TOP + _ROW * place
        parts.append(svg.line(x, top + 17, x, top + 22 + _BAR, stroke=svg.INK, stroke_width=2.4, class_="edge-tick"))
    return "".join(parts)


def _key(y: float) -> str:
    """Draw what the three kinds of stretch mean."""
    parts, x = [], _LEFT
    for message, fill, class_ in (
        ("picture.choice.key_idle", svg.PAPER, "band band-idle-only"),
        ("picture.choice.key_work", svg.INK_PALE, "band band-cool"),
        ("picture.choice.key_best", svg.AMBER, "band band-best"),
    ):
        words = sentence(message)
        parts.append(svg.rect(x, y, 18, 12, fill=fill, stroke=svg.INK, stroke_width=1.2, class_=class_))
        parts.append(svg.text(x + 23, y + 11, words, size=13, fill=svg.INK, class_="band-name"))
        x += 23 + 7.2 * len(words) + 18
    return "".join(parts)


def oil_choice(choice: Choice, *, units: UnitSystem = "metric") -> str:
    """Draw the windows of several oils below each other, against the coldest start and the hottest work.

    Parameters
    ----------
    choice : what :func:`coldmark.bench.oil.choose` found.
    units : the reader's units.

    Returns
    -------
    str
        SVG.

    Valid for
    ---------
    Every choice.

    Raises
    ------
    Nothing.

    Source
    ------
    ASTM D341.

    Examples
    --------
    >>> from coldmark.bench.oil import choose
    >>> "VG 32, high index" in oil_choice(choose(coldest_c=-15, hottest_c=75))
    True
    """
    span, rows = _span(choice), choice.candidates
    foot = _TOP + _ROW * len(rows)
    body = [_row(one, choice, span, _TOP + _ROW * place) for place, one in enumerate(rows)]
    # The two names stand on lines of their own, so that they never run into each other.
    cold_words, hot_words = sentence("picture.choice.coldest"), sentence("picture.choice.hottest")
    fitting = [one.oil.name for one in rows if one.fits]
    says = sentence(
        "picture.choice.says" if fitting else "picture.choice.none",
        units=units,
        coldest_c=choice.coldest_c,
        hottest_c=choice.hottest_c,
        oils="; ".join(fitting),
    )
    return svg.drawing(
        _WIDTH,
        foot + 34,
        sentence("picture.choice.title"),
        says,
        *body,
        _told(choice.coldest_c, cold_words, span, 12, len(rows), units),
        _told(choice.hottest_c, hot_words, span, 34, len(rows), units),
        _key(foot + 12),
        class_="picture window",
    )


def oil_left(changes: Changes, share: float, limit_share: float) -> str:
    """Draw how much of the old oil is inside now and after each change, against what may be left.

    Parameters
    ----------
    changes : what :func:`coldmark.bench.oilhistory.changes_until` found.
    share : share of the old oil now, from 0 to 1.
    limit_share : share that may be left, from 0 to 1.

    Returns
    -------
    str
        SVG. Of many changes the first twelve are drawn.

    Valid for
    ---------
    Every number of changes.

    Raises
    ------
    Nothing.

    Source
    ------
    Conservation of volume.

    Examples
    --------
    >>> from coldmark.bench.oilhistory import changes_until
    >>> "after 5" in oil_left(changes_until(1, 0.02, 48, 78), 1, 0.02)
    True
    """
    shares = [share, *changes.left][: MOST_BARS + 1]
    left, full = 84.0, 176.0
    parts = []
    for place, one in enumerate(shares):
        y = 12 + 30.0 * place
        name = sentence("picture.left.now") if place == 0 else sentence("picture.left.after", number=place)
        good = one <= limit_share * (1 + 1e-9)
        width = max(1.5, one * full)
        parts.append(
            svg.text(left - 8, y + 15, name, size=14, bold=good, fill=svg.INK, text_anchor="end", class_="band-name")
        )
        parts.append(svg.rect(left, y, full, 20, fill=svg.PAPER, stroke=svg.INK, stroke_width=1.2, class_="band"))
        parts.append(svg.rect(left, y, width, 20, fill=svg.AMBER, class_="band-best"))
        told = quantity(one, "pct", digits=0 if one >= 0.1 else 1)
        words = f"{told} {sentence('picture.left.enough')}" if good else told
        parts.append(svg.text(left + full + 8, y + 15, words, size=14, bold=good, fill=svg.INK, class_="band-name"))
    says = sentence("picture.left.says", shares=_listed(shares), limit_share=limit_share)
    title = sentence("picture.left.title")
    return svg.drawing(_WIDTH, 16 + 30.0 * len(shares), title, says, *parts, class_="picture window")


def _listed(shares: Sequence[float]) -> str:
    return ", ".join(quantity(one, "pct", digits=0 if one >= 0.1 else 1) for one in shares)
