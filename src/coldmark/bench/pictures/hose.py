"""A hose end cut open: the thread that is measured, and the seat by its angle or ring."""

from __future__ import annotations

from coldmark.bench.errors import require_above, require_choice
from coldmark.bench.hose import SEATS, SEXES
from coldmark.bench.pictures import svg
from coldmark.bench.words import UnitSystem, quantity, sentence

__all__ = ["hose_end"]

_WIDTH, _HEIGHT = 340.0, 200.0
_AXIS = 104.0
_FACE, _FOOT, _HEX, _TAIL = 84.0, 176.0, 210.0, 322.0
_THREAD, _BORE, _HEAD = 46.0, 17.0, 64.0  # half of thread, bore and hexagon, as drawn
_STEPS = 8

# How far the seat reaches into the end from its face, and where it begins and ends beside the middle line.
_FLARES = ("flare_37", "flare_45")
_SEAT_DEPTH = {"cone_24": 46.0, "cone_60": 26.0, "flare_37": 30.0, "flare_45": 22.0}


def _outline(sex: str, seat: str | None) -> list[tuple[float, float]]:
    """Return the upper half of the cut metal, from the face to the hexagon."""
    taper = 0.0 if seat != "taper" else 7.0 if sex == "male" else 4.0
    thread = []
    for step in range(_STEPS):
        left = _FACE + (_FOOT - _FACE) * step / _STEPS
        lift = taper * (1 - step / _STEPS)
        wide = (_FOOT - _FACE) / _STEPS
        thread += [(left, _THREAD - 7 - lift), (left + wide / 2, _THREAD - lift)]
    thread.append((_FOOT, _THREAD - 7))
    depth = _SEAT_DEPTH.get(seat or "", 0.0)
    if sex == "female":
        # The thread is inside: a nut. A flare is hollowed out below it; the noses of cones are drawn apart.
        inside = [(x, 98 - y) for x, y in thread]
        hollow = [(_FOOT, _BORE + 22), (_FOOT + depth, _BORE)] if seat in _FLARES else [(_FOOT, _BORE)]
        return [(_FACE, _HEAD), *inside, *hollow, (_TAIL, _BORE), (_TAIL, _HEAD - 26), (_HEX, _HEAD)]
    if seat in _FLARES:
        nose = [(_FACE - depth, _BORE + 4), (_FACE, _THREAD - 12)]
        return [
            (_FACE - depth, _BORE),
            *nose,
            *thread,
            (_FOOT, _HEAD),
            (_HEX, _HEAD),
            (_HEX, 38),
            (_TAIL, 38),
            (_TAIL, _BORE),
        ]
    mouth = [(_FACE + depth, _BORE), (_FACE, _THREAD - 18)] if depth else [(_FACE, _BORE)]
    return [*mouth, *thread, (_FOOT, _HEAD), (_HEX, _HEAD), (_HEX, 38), (_TAIL, 38), (_TAIL, _BORE)]


def _mirrored(points: list[tuple[float, float]]) -> tuple[str, str]:
    upper = [(x, _AXIS - y) for x, y in points]
    lower = [(x, _AXIS + y) for x, y in points]
    look = {"fill": svg.INK_PALE, "stroke": svg.INK, "stroke_width": 2.0, "class_": "end-metal"}
    return svg.polygon(upper, **look), svg.polygon(lower, **look)  # type: ignore[arg-type]


def _seat(sex: str, seat: str | None) -> list[str]:
    """Return what seals, drawn in amber over the metal: the cone's flanks, or the ring."""
    if seat is None:
        return []
    if seat == "taper":
        ends = [(_FACE, _THREAD - 3), (_FOOT, _THREAD + 5)] if sex == "male" else [(_FACE, 60.0), (_FOOT, 50.0)]
        return [_amber((x1, way * y1), (x2, way * y2)) for way in (-1, 1) for (x1, y1), (x2, y2) in [ends]]
    if seat == "face_ring":
        x, y = (_FACE + 4, 29.0) if sex == "male" else (_FOOT + 4, 29.0)
        return [_ring(x, way * y) for way in (-1, 1)]
    if seat == "foot_ring":
        x, y = (_FOOT - 7, _THREAD - 1) if sex == "male" else (_FACE + 7, 52.0)
        return [_ring(x, way * y) for way in (-1, 1)]
    depth = _SEAT_DEPTH[seat]
    if sex == "female" and seat in _FLARES:
        nose = [(_FOOT, _BORE + 22), (_FOOT + depth, _BORE)]
    elif sex == "female":
        nose = [(_FOOT - depth, _BORE + 3), (_FOOT, _BORE + 22)]
    elif seat in _FLARES:
        nose = [(_FACE - depth, _BORE + 4), (_FACE, _THREAD - 12)]
    else:
        nose = [(_FACE + depth, _BORE), (_FACE, _THREAD - 18)]
    (x1, y1), (x2, y2) = nose
    flanks = [_amber((x1, way * y1), (x2, way * y2)) for way in (-1, 1)]
    if sex == "male" or seat in _FLARES:
        return flanks
    return [*_mirrored([(x1, _BORE), (x1, y1), (x2, y2), (x2, _BORE)]), *flanks]


def _amber(start: tuple[float, float], end: tuple[float, float]) -> str:
    return svg.line(
        start[0],
        _AXIS + start[1],
        end[0],
        _AXIS + end[1],
        stroke=svg.AMBER,
        stroke_width=5,
        stroke_linecap="round",
        class_="seat",
    )


def _ring(x: float, y: float) -> str:
    return svg.circle(x, _AXIS + y, 6, fill=svg.AMBER, stroke=svg.INK, stroke_width=1.6, class_="seat")


def hose_end(
    thread_mm: float, sex: str, *, seat: str | None = None, name: str = "", units: UnitSystem = "metric"
) -> str:
    """Draw a hose end cut open, with the thread that was measured and what seals in amber.

    Parameters
    ----------
    thread_mm : across the thread's crests [mm].
    sex : *male* or *female*.
    seat : what seals, one of :data:`coldmark.bench.hose.SEATS`, or ``None`` where it was not looked at.
    name : what it is, written below.
    units : the reader's units.

    Returns
    -------
    str
        SVG, not to scale.

    Valid for
    ---------
    Every seat of the table.

    Raises
    ------
    OutOfRange
        For a thread of nothing.
    NotAChoice
        For another sex or seat.

    Source
    ------
    Coldmark's own drawing.

    Examples
    --------
    >>> hose_end(19, "male", seat="flare_37").count('class="seat"')
    2
    """
    require_above("thread_mm", thread_mm, 0, "a thread")
    require_choice("sex", sex, SEXES)
    if seat is not None:
        require_choice("seat", seat, SEATS)
    half = _THREAD if sex == "male" else 52.0
    shown = quantity(thread_mm, "mm", units=units)
    seals = sentence("picture.hose.no_seat")
    if seat is not None:
        seals = sentence("picture.hose.seat", seat=sentence(f"catalogue.choice.{seat}"))
    aid = [
        svg.line(
            34, _AXIS + way * half, _FACE + 8, _AXIS + way * half, stroke=svg.AMBER, stroke_width=1.2, class_="aid"
        )
        for way in (-1, 1)
    ]
    tips = [
        svg.polygon(
            [(40, _AXIS + way * half), (36, _AXIS + way * (half - 8)), (44, _AXIS + way * (half - 8))],
            fill=svg.AMBER,
            class_="measure-tip",
        )
        for way in (-1, 1)
    ]
    return svg.drawing(
        _WIDTH,
        _HEIGHT,
        sentence("picture.hose.title"),
        sentence("picture.hose.says", units=units, thread_mm=thread_mm, seat=seals),
        svg.line(
            20,
            _AXIS,
            _WIDTH - 8,
            _AXIS,
            stroke=svg.INK_MID,
            stroke_width=1.2,
            stroke_dasharray="12 4 3 4",
            class_="axis",
        ),
        *_mirrored(_outline(sex, seat)),
        *_seat(sex, seat),
        *aid,
        svg.line(40, _AXIS - half, 40, _AXIS + half, stroke=svg.AMBER, stroke_width=2.4, class_="measure-line"),
        *tips,
        svg.text(40, 22, shown, size=16, bold=True, fill=svg.INK, text_anchor="middle", class_="measure-label"),
        svg.text(
            _WIDTH / 2, _HEIGHT - 8, name, size=15, bold=True, fill=svg.AMBER, text_anchor="middle", class_="end-name"
        )
        if name
        else "",
        class_="picture hose-end",
    )
