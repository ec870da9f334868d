"""A machine at a glance: the level as last left, what is inside, and how it can stand to be read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from coldmark.bench import level, oilhistory, words
from coldmark.bench.card.lists import postures
from coldmark.bench.errors import ColdmarkError
from coldmark.bench.job.due import due_lines, due_says
from coldmark.bench.job.refused import refused_says
from coldmark.bench.job.standing import LevelAsk, level_of
from coldmark.bench.job.timing import timing_glances, timings_plain
from coldmark.bench.ledger import LevelSeen, State
from coldmark.bench.oil import Oil
from coldmark.bench.pictures import glass, oil_window
from coldmark.bench.shapes import dataclass
from coldmark.bench.sheet import Sheet, tank_of

__all__ = ["LevelGlance", "OilGlance", "ask_of", "level_glance", "machine_answer", "oil_glances"]


@dataclass(frozen=True, slots=True)
class LevelGlance:
    """A level as it was read last: the drawing, when, in which posture and how warm, and what that means.

    ``moment`` is *left* when a job ended with it. ``says`` is empty where it cannot be judged, ``why`` then says so.
    """

    at: datetime
    moment: str
    glass: str
    posture: str
    oil_c: float | None
    says: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True)
class OilGlance:
    """What is inside a compartment: oils by share, greatest first; grade and family of the first; its window.

    ``says``: how thick the mixture is, how much of another oil is in it, and how many changes that asks for. The window
    is the mixture's where all of it is known, else that of its greatest part.
    """

    compartment: str
    name: str
    parts: tuple[tuple[str, float], ...]
    grade: str
    says: tuple[str, ...]
    window: str


def ask_of(seen: LevelSeen) -> LevelAsk:
    """A level that was read, as the question what it means."""
    return LevelAsk(
        reading=seen.reading,
        posture=seen.posture,
        rods=seen.rods,
        oil_c=seen.oil_c,
        warmth=None,
        air_c=seen.air_c,
        engine=seen.engine,
        settled_min=None if seen.settled_min is None else float(seen.settled_min),
        foam=seen.foam,
        oil_spread_k=seen.oil_spread_k,
    )


def level_glance(
    state: State, sheet: Sheet | None, units: words.UnitSystem, oils: Mapping[str, Oil], coldest_c: float | None
) -> LevelGlance | None:
    """The hydraulic level as last left, else as last read.

    ``None`` when nobody has read it yet, or no sheet says which compartment the hydraulic tank is. ``coldest_c`` is the
    place's coldest start.
    """
    seen = _last(state.levels.get(tank_of(sheet), ()))
    if seen is None or sheet is None:
        return None
    drawn, says, why = _judged(state, sheet, seen, units, oils, coldest_c)
    return LevelGlance(
        at=datetime.fromisoformat(seen.at),
        moment=seen.moment,
        glass=drawn,
        posture=_posture(sheet, seen),
        oil_c=seen.oil_c,
        says=says,
        why=why,
    )


def _last(levels: Sequence[LevelSeen]) -> LevelSeen | None:
    left = [one for one in levels if one.moment == "left"]
    last = levels[-1] if levels else None
    # A later level of an unfinished job tells more of the machine as it stands than an older one as left.
    return last if not left or last is None or last.moment == "found" else left[-1]


def _judged(
    state: State,
    sheet: Sheet,
    seen: LevelSeen,
    units: words.UnitSystem,
    oils: Mapping[str, Oil],
    coldest_c: float | None,
) -> tuple[str, tuple[str, ...], str]:
    kind = sheet.hydraulic.gauge.kind
    reading: level.Reading | None = None
    if isinstance(seen.reading, float):
        reading = seen.reading
    elif seen.reading in {"below", "above"}:
        reading = "below" if seen.reading == "below" else "above"
    try:
        answer = level_of(sheet, state, ask_of(seen), oils, coldest_c=coldest_c)
    except ColdmarkError as error:
        return glass(reading, kind=kind), (), error.say(units)
    return answer.glass, tuple(level.says(answer.verdict, units)), ""


def _posture(sheet: Sheet, seen: LevelSeen) -> str:
    if seen.posture is None:
        return words.sentence("glance.rods") if seen.rods else ""
    known = sheet.hydraulic.postures.get(seen.posture)
    return seen.posture.replace("_", " ") if known is None else known.says


def oil_glances(
    state: State, sheet: Sheet | None, units: words.UnitSystem, oils: Mapping[str, Oil]
) -> tuple[OilGlance, ...]:
    """What is inside the compartments, as far as it was ever told; the sheet's order, the unknown ones last."""
    if not state.oils:
        return ()
    order = list(state.oils) if sheet is None else [*sheet.compartments, *state.oils]
    return tuple(_oil_glance(key, state, sheet, oils, units) for key in dict.fromkeys(order) if state.oils.get(key))


def _oil_glance(
    key: str, state: State, sheet: Sheet | None, oils: Mapping[str, Oil], units: words.UnitSystem
) -> OilGlance:
    found = oilhistory.inside(state.oils[key], oils, unknown_mm2_s=oilhistory.unknown_between(sheet, key))
    parts, main = found.parts, oils.get(found.parts[0].oil or "")
    # What is left of an oil after many fills is no news below half a percent; the greatest part is always told.
    named = tuple((_oil_name(part.oil, oils), part.share) for part in parts if part.share >= 0.005 or part is parts[0])
    place = None if sheet is None else sheet.compartments.get(key)
    drawn = found.mixed if main is not None and found.unknown_share < 0.005 else main
    return OilGlance(
        compartment=key,
        name=key.replace("_", " ") if place is None else place.name,
        parts=named,
        grade="" if main is None else _grade(main),
        says=tuple(_oil_says(key, found, state, sheet, units)),
        window=_window(drawn, sheet, units) if drawn is not None and key == tank_of(sheet) else "",
    )


def _oil_says(
    key: str, found: oilhistory.Inside, state: State, sheet: Sheet | None, units: words.UnitSystem
) -> list[str]:
    poured = [pour for pour in state.pours.get(key, ()) if pour.way in oilhistory.IN_WAYS]
    return oilhistory.says(
        found,
        units,
        system_l=oilhistory.system_l(sheet, key, state.options),
        drained_l=oilhistory.tank_l(sheet, key),
        in_tank_alone=bool(state.unmixed.get(key)),
        circulated=poured[-1].circulated if poured else None,
    )


def _oil_name(key: str | None, oils: Mapping[str, Oil]) -> str:
    if key is None:
        return words.sentence("glance.oil_unknown")
    return oils[key].name if key in oils else key.replace("_", " ")


def _grade(oil: Oil) -> str:
    grade = oil.grade()
    return " ".join(filter(None, (oil.family, oil.sae or ("" if grade is None else f"VG {grade}"))))


def _window(oil: Oil, sheet: Sheet | None, units: words.UnitSystem) -> str:
    try:
        return oil_window(oil, sheet, units=units)
    except ColdmarkError:
        return ""  # the sheet asks for viscosities that this oil never has; its grade is shown all the same


def machine_answer(
    state: State, sheet: Sheet | None, units: words.UnitSystem, oils: Mapping[str, Oil], coldest_c: float | None
) -> dict[str, Any]:
    """A machine as its page on a phone shows it: level, oils, what is due, what was timed and refused, its postures."""
    glance = level_glance(state, sheet, units, oils, coldest_c)
    return {
        "level": None if glance is None else _level_plain(glance, units),
        "oils": [_oil_plain(one, units) for one in oil_glances(state, sheet, units, oils)],
        "due": []
        if sheet is None
        else [{"task": one.task, "name": one.name, "says": due_says(one, units)} for one in due_lines(sheet, state)],
        "timings": timings_plain(timing_glances(state, sheet, units, oils)),
        "refused": list(refused_says(state.remembered.found, sheet)),
        "postures": [] if sheet is None else postures(sheet),
    }


def _level_plain(glance: LevelGlance, units: words.UnitSystem) -> dict[str, Any]:
    warm = "" if glance.oil_c is None else words.sentence("glance.oil_warm", units=units, oil_c=glance.oil_c)
    return {
        "at": glance.at.isoformat(),
        "moment": glance.moment,
        "glass": glance.glass,
        "how": [part for part in (glance.posture, warm) if part],
        "says": [*glance.says, *filter(None, [glance.why])],
    }


def _oil_plain(one: OilGlance, units: words.UnitSystem) -> dict[str, Any]:
    shares = [
        name if len(one.parts) == 1 else f"{name} {words.quantity(share, 'share', units=units)}"
        for name, share in one.parts
    ]
    return {
        "compartment": one.compartment,
        "name": one.name,
        "parts": shares,
        "grade": one.grade,
        "says": list(one.says),
        "window": one.window,
    }
