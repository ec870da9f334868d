"""The due strip: weeks ahead, with a soft-edged window for each task.

It is drawn whole, or in its parts for a page that says the words itself: the windows alone, and the weeks alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import Literal

from coldmark.bench.errors import Contradiction, require_between
from coldmark.bench.pictures import svg
from coldmark.bench.shapes import dataclass
from coldmark.bench.words import sentence

__all__ = ["DueRow", "due_strip"]

_ROW, _BARE_ROW, _HEAD, _SIDE = 56.0, 26.0, 30.0, 10.0
_MOST_WEEKS_BY_WEEK = 16
"""A longer strip is ruled by months: lines by the week would stand closer than they can be told apart."""


@dataclass(frozen=True, slots=True)
class DueRow:
    """One task on the strip: its name, what is said of it, and the days between which it falls due.

    ``likely`` is the middle of the window; ``None`` where no day is known. ``late`` may be ``None`` when the hours may
    never come: the window then fades out at the strip's end.
    """

    name: str
    says: str
    early: date | None
    likely: date | None
    late: date | None

    def __post_init__(self) -> None:
        days = [day for day in (self.early, self.likely, self.late) if day is not None]
        if days != sorted(days):
            raise Contradiction(name="window", value=self.name, why="picture.cannot.window")


@dataclass(frozen=True, slots=True)
class _Calendar:
    first: date
    weeks: int
    width: float

    @property
    def day(self) -> float:
        return (self.width - 2 * _SIDE) / (7 * self.weeks)

    def x(self, day: date) -> float:
        return _SIDE + (day - self.first).days * self.day

    def held(self, day: date) -> float:
        return min(max(self.x(day), _SIDE), self.width - _SIDE)


def _month_label(day: date) -> str:
    return sentence(f"month.short.{day.month}")


def _marks(calendar: _Calendar) -> Iterator[tuple[date, str]]:
    """The days at which the strip is ruled, and what they are called."""
    last = calendar.first + timedelta(weeks=calendar.weeks)
    if calendar.weeks <= _MOST_WEEKS_BY_WEEK:
        for week in range(calendar.weeks + 1):
            day = calendar.first + timedelta(weeks=week)
            yield day, f"{day.day} {_month_label(day)}"
        return
    day = calendar.first.replace(day=1)
    while (day := (day + timedelta(days=31)).replace(day=1)) <= last:
        yield day, _month_label(day)


def _rules(calendar: _Calendar, top: float, height: float) -> str:
    lines = [
        svg.line(x, top, x, height, stroke=svg.INK_PALE, stroke_width=1, class_="week")
        for x in (calendar.x(day) for day, _label in _marks(calendar))
    ]
    today = svg.line(_SIDE, max(top - 16, 0), _SIDE, height, stroke=svg.INK, stroke_width=2.4, class_="today")
    return "".join(lines) + today


def _labels(calendar: _Calendar, *, apart: float, size: float, y: float = 15) -> str:
    parts = []
    labelled = -100.0
    for day, words in _marks(calendar):
        x = calendar.x(day)
        if x - labelled >= apart and calendar.width - x > 46:
            parts.append(svg.text(x + 6, y, words, size=size, fill=svg.INK_MID, class_="week-label"))
            labelled = x
    return "".join(parts)


def _fade(index: int, left: float, peak: float, right: float, *, open_start: bool) -> str:
    share = (peak - left) / (right - left) if right > left else 0.5
    return svg.tag(
        "linearGradient",
        svg.tag("stop", offset=0, stop_color=svg.AMBER, stop_opacity=0.85 if open_start else 0.08, class_="due-edge"),
        svg.tag("stop", offset=round(share, 3), stop_color=svg.AMBER, stop_opacity=0.95, class_="due-middle"),
        svg.tag("stop", offset=1, stop_color=svg.AMBER, stop_opacity=0.08, class_="due-edge"),
        id=f"@id@fade{index}",
    )


def _window(row: DueRow, index: int, calendar: _Calendar, y: float) -> str:
    """Return a row's window on its line, or what tells that it lies before, behind or nowhere."""
    left_end, right_end = _SIDE, calendar.width - _SIDE
    base = svg.line(left_end, y + 10, right_end, y + 10, stroke=svg.INK_PALE, stroke_width=2, class_="due-line")
    if row.likely is None:
        return svg.line(
            left_end,
            y + 10,
            right_end,
            y + 10,
            stroke=svg.INK_MID,
            stroke_width=2,
            stroke_dasharray="2 7",
            stroke_linecap="round",
            class_="due-unknown",
        )
    if calendar.x(row.early or row.likely) >= right_end:
        tip = [(right_end - 9, y + 3), (right_end, y + 10), (right_end - 9, y + 17)]
        return base + svg.polyline(tip, stroke=svg.INK, stroke_width=2.4, class_="due-later")
    late_x = right_end if row.late is None else calendar.held(row.late)
    left = calendar.held(row.early or row.likely)
    peak = calendar.held(row.likely)
    right = min(max(late_x, left + 10), right_end)
    left = max(min(left, right - 10), left_end)
    parts = [
        base,
        svg.tag("defs", _fade(index, left, peak, right, open_start=calendar.x(row.early or row.likely) < left_end)),
        svg.rect(left, y, right - left, 20, rx=10, fill=f"url(#@id@fade{index})", class_="due-window"),
    ]
    if calendar.x(row.likely) < left_end:
        tip = [(left_end + 10, y + 2), (left_end + 1, y + 10), (left_end + 10, y + 18)]
        parts.append(svg.polyline(tip, stroke=svg.INK, stroke_width=3, class_="due-past"))
    elif calendar.x(row.likely) <= right_end:
        dot = [(peak, y + 1), (peak + 8, y + 10), (peak, y + 19), (peak - 8, y + 10)]
        parts.append(svg.polygon(dot, fill=svg.INK, stroke=svg.PAPER, stroke_width=1.6, class_="due-likely"))
    return "".join(parts)


def _fits(row: DueRow, width: float) -> bool:
    """Say whether name and words fit on one line, at about half their size a letter."""
    return 7.6 * len(row.name) + 6.6 * len(row.says) + 30 <= width - 2 * _SIDE


def _row(row: DueRow, index: int, calendar: _Calendar, y: float, *, beside: bool) -> str:
    name = svg.text(_SIDE + 6, y + 15, row.name, size=14.5, bold=True, fill=svg.INK, class_="due-name")
    x, says_y, anchor = (calendar.width - _SIDE, y + 15, "end") if beside else (_SIDE + 6, y + 32, "start")
    says = svg.text(x, says_y, row.says, size=13.5, fill=svg.INK, text_anchor=anchor, class_="due-says")
    window = _window(row, index, calendar, says_y + 7)
    return svg.group(name, says if row.says else "", window, class_="due-row")


def _bare(
    rows: Sequence[DueRow], calendar: _Calendar, what: Literal["windows", "weeks"]
) -> tuple[float, tuple[str, ...]]:
    """How high a part of the strip is, and what is drawn on it."""
    if what == "weeks":
        return _HEAD, (_rules(calendar, 0, 8), _labels(calendar, apart=76, size=16, y=24))
    height = max(len(rows), 1) * _BARE_ROW
    windows = (_window(row, at, calendar, at * _BARE_ROW + 3) for at, row in enumerate(rows))
    return height, (_rules(calendar, 0, height), *windows)


def _whole(rows: Sequence[DueRow], calendar: _Calendar) -> tuple[float, tuple[str, ...]]:
    beside = all(_fits(row, calendar.width) for row in rows)
    pitch = _ROW if beside else _ROW + 17
    height = _HEAD + max(len(rows), 1) * pitch
    drawn = (_row(row, at, calendar, _HEAD + at * pitch, beside=beside) for at, row in enumerate(rows))
    return height, (_rules(calendar, _HEAD - 6, height - 4), _labels(calendar, apart=52, size=12.5), *drawn)


def due_strip(
    rows: Sequence[DueRow],
    first_day: date,
    weeks: int,
    *,
    width: float = 360.0,
    title: str = "",
    what: Literal["all", "windows", "weeks"] = "all",
) -> str:
    """Draw what is due as a strip of weeks, one row a task.

    Parameters
    ----------
    rows : the tasks, in the order in which they are to stand.
    first_day : the day at the strip's left end.
    weeks : how many weeks the strip spans; a long strip is ruled by months.
    width : the drawing's width in its own units: 360 for a phone, 720 or more for a page.
    title : what the strip is of; else a plain name.
    what : the whole; or, for a page that says each task in words itself, the windows or the weeks' names alone.

    Returns
    -------
    str
        SVG. A window that began before the first day is full at the left end; one behind the last week is an arrow at
        the right end; a task without a day is a dotted line. The description says every row in words.

    Valid for
    ---------
    1 to 104 weeks.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
    ------
    Coldmark's own drawing.

    Examples
    --------
    >>> row = DueRow("500 h service", "likely 12 March", date(2026, 3, 2), date(2026, 3, 12), date(2026, 3, 30))
    >>> "500 h service: likely 12 March." in due_strip([row], date(2026, 2, 23), 8)
    True
    """
    require_between("weeks", weeks, 1, 104, "what a strip can show")
    calendar = _Calendar(first_day, weeks, width)
    said = [
        sentence("picture.strip.row", task=row.name, words=row.says or sentence("picture.strip.no_day")) for row in rows
    ]
    height, drawn = _whole(rows, calendar) if what == "all" else _bare(rows, calendar, what)
    return svg.drawing(
        width,
        height,
        title or sentence("picture.strip.title"),
        " ".join(said) or sentence("picture.strip.empty"),
        *drawn,
        class_="picture strip",
    )
