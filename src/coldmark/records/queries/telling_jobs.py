"""What a job did, in a few lines: the level, the oil, the new parts, what was left out or found, the papers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from coldmark.bench import words
from coldmark.bench.facts import quantity
from coldmark.bench.job import name_of
from coldmark.bench.sheet import Sheet
from coldmark.records.queries.chapters import Chapter
from coldmark.records.queries.story import Entry
from coldmark.records.queries.telling import Names, tell_entry

__all__ = ["JobTold", "LineTold", "lab_says", "tell_job"]

OUT = frozenset({"attachment_off", "drained", "held_by_element", "sampled", "spilt"})
IN = frozenset({"attachment_on", "fill", "top_up"})
_SUMMED = frozenset({"job_opened", "lab_value", "level_read", "photo", "task_done"})
"""What the lines of the whole say; the rest is told entry by entry."""
_DESK = frozenset({"consent", "document_issued", "finding_settled", "job_closed", "job_opened", "lab_value"})
"""What the office does as well: it makes nobody the job's mechanic."""


@dataclass(frozen=True, slots=True)
class LineTold:
    """A line of a job: what it says, and where it tells of one entry, that entry."""

    says: str
    entry: Entry | None = None


@dataclass(frozen=True, slots=True)
class JobTold:
    """A job in a few lines; ``hours`` as the meter showed, empty where nobody read it."""

    tasks: tuple[str, ...]
    hours: str
    mechanics: tuple[str, ...]
    lines: tuple[LineTold, ...]
    photos: tuple[str, ...]


def tell_job(chapter: Chapter, names: Names) -> JobTold:
    """Tell a job of a story. What was withdrawn is left out; it stays among all its entries."""
    entries = [one for one in chapter.entries if one.now is not None]
    tasks = _tasks(chapter, entries)
    lines = [LineTold(says) for says in (*_undone(chapter, names), *_levels(entries, names), *_oil(entries, names))]
    lines += [LineTold(says) for says in (*_fresh(entries, names), *_laboratory(entries))]
    lines += [LineTold(tell_entry(one, replace(names, texts=one.texts)), one) for one in entries if _alone(one)]
    read = [one for one in entries if one.kind == "meter_read"]
    hours = _amount(read[0], "reading", "hours") if read else None
    return JobTold(
        tasks=tuple(name_of(names.sheet, task) for task in tasks),
        hours="" if hours is None else words.quantity(hours, "h", units=names.units, digits=0),
        mechanics=tuple(dict.fromkeys(one.person_name for one in entries if one.person_name and one.kind not in _DESK)),
        lines=tuple(lines),
        photos=tuple(dict.fromkeys(photo for one in entries for photo in one.photos)),
    )


def _body(one: Entry) -> Mapping[str, Any]:
    return one.body if one.now is None else one.now


def _amount(one: Entry, name: str, measures: str) -> float:
    return quantity(_body(one)[name], measures)


def _alone(one: Entry) -> bool:
    """Whether an entry is told by itself, because no line of the whole says it."""
    body = _body(one)
    if not one.known:
        return True
    if one.kind == "meter_read":
        return body.get("doubt") is not None
    if one.kind == "oil_moved":
        return body["way"] not in OUT | IN
    if one.kind == "part_in":
        return body.get("reason") is not None
    return one.kind not in _SUMMED


def _known(entries: Iterable[Entry], kind: str) -> list[Entry]:
    return [one for one in entries if one.known and one.kind == kind]


def _tasks(chapter: Chapter, entries: Sequence[Entry]) -> Sequence[str]:
    if chapter.line is not None and chapter.line.tasks:
        return chapter.line.tasks
    return [task for one in _known(entries, "job_opened") for task in _body(one)["tasks"]]


def _undone(chapter: Chapter, names: Names) -> list[str]:
    line = chapter.line
    if line is None or line.closed_at is None:
        return []
    undone = "; ".join(name_of(names.sheet, task) for task in line.tasks if task not in line.tasks_done)
    return [words.sentence("story.job.undone", tasks=undone)] if undone else []


def _levels(entries: Sequence[Entry], names: Names) -> Iterable[str]:
    """The level as found and as left, by compartment; of several readings the last."""
    read: dict[str, dict[str, str]] = {}
    for one in _known(entries, "level_read"):
        body = _body(one)
        if body["moment"] in {"found", "left"}:
            read.setdefault(body["compartment"], {})[body["moment"]] = body["reading"]
    for compartment, by_moment in read.items():
        readings = ", ".join(
            words.sentence(f"story.job.level.{moment}", stands=_stands(by_moment[moment]))
            for moment in ("found", "left")
            if moment in by_moment
        )
        yield words.sentence("story.job.level", where=name_of(names.sheet, compartment), readings=readings)


def _stands(reading: str) -> str:
    if reading in {"below", "above"}:
        return words.sentence(f"story.level.{reading}")
    return words.sentence("story.job.level.at", reading_share=float(reading))


def _oil(entries: Sequence[Entry], names: Names) -> Iterable[str]:
    """What went out of each compartment and into it."""
    moved: dict[str, tuple[float, float]] = {}
    oils: dict[str, dict[str, None]] = {}
    for one in _known(entries, "oil_moved"):
        body = _body(one)
        out, came = moved.get(body["compartment"], (0.0, 0.0))
        litres = _amount(one, "litres", "volume")
        if body["way"] in OUT:
            moved[body["compartment"]] = (out + litres, came)
        elif body["way"] in IN:
            moved[body["compartment"]] = (out, came + litres)
            if body.get("oil") is not None:
                oil = names.oils.get(body["oil"], body["oil"].replace("_", " "))
                oils.setdefault(body["compartment"], {})[oil] = None
    for compartment, (out, came) in moved.items():
        if out <= 0 and came <= 0:
            continue
        which = "out" if came <= 0 else "in" if out <= 0 else "both"
        where = name_of(names.sheet, compartment)
        named = ", ".join(oils.get(compartment, ())) if came > 0 else ""
        yield words.sentence(
            f"story.job.oil.{which}.named" if named else f"story.job.oil.{which}",
            units=names.units,
            where=where[:1].upper() + where[1:],
            out_l=out,
            in_l=came,
            oil=named,
        )


def _fresh(entries: Sequence[Entry], names: Names) -> list[str]:
    """The parts that went in new, on one line; of several times the last."""
    last = {_body(one)["place"]: _body(one) for one in _known(entries, "part_in")}
    counts: dict[str, int] = {}
    for place, body in last.items():
        if body["fresh"]:
            name = _item(names.sheet, place)
            counts[name] = counts.get(name, 0) + body["count"]
    parts = ", ".join(name if count == 1 else f"{count} {name}" for name, count in counts.items())
    return [words.sentence("story.job.fresh", parts=parts)] if parts else []


def _item(sheet: Sheet | None, place: str) -> str:
    """What lies at a place, without its housing, where the sheet knows it."""
    housing, _dot, item = place.partition(".")
    stack = sheet.housings[housing].stack if sheet is not None and housing in sheet.housings else ()
    return next((one.name for one in stack if one.key == item), name_of(sheet, place))


def _laboratory(entries: Sequence[Entry]) -> list[str]:
    values = ", ".join(map(lab_says, _known(entries, "lab_value")))
    return [words.sentence("story.job.lab", values=values)] if values else []


def lab_says(entry: Entry) -> str:
    """What a laboratory measured, as one of several values on a line."""
    body = _body(entry)
    measured = body["name"].replace("_", " ")
    if body.get("code") is not None:
        return words.sentence("story.job.lab.code", measured=measured, value=body["code"])
    return words.sentence("story.job.lab.value", measured=measured, value=body["value"], unit=body["unit"])
