"""The kit of a job in the reader's words: the same groups and lines for the page and for the paper."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from datetime import datetime
from typing import Literal

from django.utils import timezone

from coldmark.bench import words
from coldmark.bench.oil import Oil
from coldmark.fleet.kit import Kit, OilNeed, PartNeed
from coldmark.papers import data as paper
from coldmark.papers.render import pdf
from coldmark.records.errors import NotFound
from coldmark.records.models import Person
from coldmark.records.paperwork.common import business, machine_name, sheet_size, units_of
from coldmark.records.queries.jobs import JobKit, job_kit
from coldmark.records.sheets import oils_by_key

__all__ = ["hours_said", "kit_along", "kit_groups", "kit_notes", "kit_paper", "kit_pdf", "kit_short", "kit_time"]

_COLUMNS = ("what", "detail", "amount")


def kit_groups(kit: Kit, units: words.UnitSystem, oils: Mapping[str, Oil] | None = None) -> tuple[paper.KitGroup, ...]:
    """What to bring, in groups: elements, seals, other parts, oil, tools by hex, what is used up, waste."""
    names = {key: oil.name for key, oil in (oils_by_key() if oils is None else oils).items()} if kit.oils else {}
    groups = [
        _group("elements", map(_part, kit.elements)),
        _group("seals", map(_part, kit.seals)),
        _group("others", map(_part, kit.other_parts)),
        _group("oils", (_oil(need, names, units) for need in kit.oils)),
        _group("tools", _tools(kit, units)),
        _group("consumables", (paper.KitRow(one.name, "", " + ".join(one.amounts)) for one in kit.consumables)),
        _group("waste", _waste(kit, units)),
    ]
    # What a shelf is searched for is named even when there is nothing of it; what is only sometimes there is left out.
    always = {words.sentence(f"kit.group.{key}") for key in ("elements", "seals", "oils", "tools")}
    return tuple(group for group in groups if group.rows or group.title in always)


def _group(key: str, rows: Iterable[paper.KitRow]) -> paper.KitGroup:
    heads = [f"kit.head.{key}.{column}" for column in _COLUMNS]
    head = tuple(words.sentence(one) if words.has(one) else "" for one in heads)
    return paper.KitGroup(words.sentence(f"kit.group.{key}"), (head[0], head[1], head[2]), tuple(rows))


def _part(need: PartNeed) -> paper.KitRow:
    detail = need.number
    if need.serial_from or need.serial_to:
        serials = words.sentence("kit.serials", first=need.serial_from or "…", last=need.serial_to or "…")
        detail = f"{detail} ({serials})" if detail else serials
    return paper.KitRow(need.name, detail, str(need.count))


def _oil(need: OilNeed, names: dict[str, str], units: words.UnitSystem) -> paper.KitRow:
    allowed = " ".join(filter(None, (" / ".join(need.families), " / ".join(need.grades)))) or need.fluid
    inside = names.get(need.oil or "", "")
    detail = words.sentence("kit.oil_inside", inside=inside, allowed=allowed) if inside else allowed
    litres = words.sentence(
        "kit.oil_amount", units=units, bring_l=need.bring_l, litres_l=need.litres_l, reserve_l=need.reserve_l
    )
    return paper.KitRow(need.name, detail, litres)


def _tools(kit: Kit, units: words.UnitSystem) -> Iterable[paper.KitRow]:
    wrench, torques = words.sentence("kit.torque_wrench"), _torques(kit, units)
    for tool in kit.tools:
        if torques and tool.name == wrench:
            continue  # it stands below, with the torques that it must reach
        hex_says = "" if tool.hex_mm is None else words.with_symbol(words.figures(tool.hex_mm), "mm")
        yield paper.KitRow(tool.name, hex_says, "1")
    if torques:
        yield paper.KitRow(wrench, torques, "1")


def _torques(kit: Kit, units: words.UnitSystem) -> str:
    low_nm, high_nm = kit.torque_low_nm, kit.torque_high_nm
    if low_nm is None or high_nm is None:
        return ""
    low, high = (words.quantity(one, "nm", units=units) for one in (low_nm, high_nm))
    return low if low == high else words.sentence("kit.torques", units=units, low_nm=low_nm, high_nm=high_nm)


def _waste(kit: Kit, units: words.UnitSystem) -> Iterable[paper.KitRow]:
    for need in kit.waste:
        yield paper.KitRow(
            words.sentence("kit.old", fluid=need.fluid), "", words.quantity(need.litres_l, "l", units=units)
        )
    if kit.waste and kit.waste_room_l is not None:
        which: Literal["fits", "over"] = "fits" if kit.waste_fits else "over"
        room = words.sentence(f"kit.room.{which}", units=units, room_l=kit.waste_room_l)
        yield paper.KitRow(words.sentence("kit.room"), room, words.quantity(kit.waste_l, "l", units=units))


def kit_notes(kit: Kit, units: words.UnitSystem) -> tuple[str, ...]:
    """What the packer should know, one sentence each."""
    return tuple(words.sentence(note.message, units=units, **note.values) for note in kit.notes)


def kit_time(kit: Kit) -> str:
    """How long the job takes by its sheet, and how much of it is waiting."""
    if kit.wait_min:
        return words.sentence("kit.time.waiting", work=hours_said(kit.minutes), wait=hours_said(kit.wait_min))
    return words.sentence("kit.time", work=hours_said(kit.minutes))


def hours_said(minutes: float) -> str:
    """Minutes as hours and minutes."""
    whole = round(minutes)
    if whole < 60:
        return f"{whole} min"
    return f"{whole // 60} h {whole % 60} min" if whole % 60 else f"{whole // 60} h"


def kit_short(kit: Kit, units: words.UnitSystem) -> str:
    """What to bring on one line: how many elements and seals, and the oils."""
    counts = [
        words.sentence(f"kit.short.{key}.{'one' if count == 1 else 'more'}", count=count)
        for key, needs in (("elements", kit.elements), ("seals", kit.seals), ("others", kit.other_parts))
        if (count := sum(need.count for need in needs))
    ]
    oils = [
        words.sentence("kit.short.oil", units=units, what=need.name, bring_l=need.bring_l)
        for need in kit.oils
        if need.litres_l > 0
    ]
    return ", ".join([*counts, *oils]) or words.sentence("kit.short.tools")


def kit_along(kit: Kit, units: words.UnitSystem, oils: Mapping[str, Oil]) -> dict[str, object]:
    """What to bring, as a phone takes it along: the time it takes, groups of lines, and what the packer should know."""
    groups = [asdict(group) for group in kit_groups(kit, units, oils) if group.rows]
    return {"time": kit_time(kit), "groups": groups, "notes": list(kit_notes(kit, units))}


def kit_paper(person: Person, told: JobKit, at: datetime) -> paper.KitPaper:
    """The kit of a job for the shelf; without a visit it is of the day on which it is printed.

    Raises
    ------
    NotFound
        When the machine has no data sheet to work a kit out from.
    """
    if told.kit is None:
        raise NotFound("kit", told.job.job)
    units = units_of(person)
    return paper.KitPaper(
        business=business(),
        day=words.day(told.day or timezone.localtime(at).date()),
        machine=machine_name(told.machine),
        site=told.machine.site_name,
        tasks=told.task_names,
        time=kit_time(told.kit),
        groups=kit_groups(told.kit, units),
        notes=(*kit_notes(told.kit, units), *told.refused),
        sheet_size=sheet_size(person),
    )


def kit_pdf(person: Person, job: str, *, now: datetime | None = None) -> bytes:
    """The kit of a job as PDF, for staff."""
    at = now or timezone.now()
    content = kit_paper(person, job_kit(person, job), at)
    return pdf("kit", content, labels=words.labels("paper.kit."), issued=at)
