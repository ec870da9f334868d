"""The job card on paper, for a day on which the phone stays in the van."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils import timezone

from coldmark.bench import words
from coldmark.bench.job import build_card
from coldmark.bench.pictures import glass
from coldmark.papers import data as paper
from coldmark.papers.render import pdf
from coldmark.records.models import Person
from coldmark.records.paperwork.common import business, day_of, machine_name, sheet_size, units_of
from coldmark.records.queries.card import material_of
from coldmark.records.queries.jobs import job_material

__all__ = ["card_paper", "card_pdf"]

_BLANKS = {
    "meter": ("blank_meter",),
    "level_found": ("blank_reading", "blank_oil", "blank_done"),
    "level_left": ("blank_reading", "blank_oil", "blank_done"),
    "add": ("blank_litres", "blank_done"),
    "sample": ("blank_bottle", "blank_done"),
    "tray_out": ("blank_count", "blank_done"),
    "tray_in": ("blank_count", "blank_done"),
    "finish": ("blank_sign", "blank_done"),
}


def card_pdf(person: Person, job: str) -> bytes:
    """Print a job's card as PDF, with lines to fill in by hand."""
    return pdf("card", card_paper(person, job), labels=words.labels("paper.card."), issued=timezone.now())


def card_paper(person: Person, job: str) -> paper.CardPaper:
    """Put together the card of a job for printing."""
    material = job_material(person, job)
    built = build_card(material_of(material, units_of(person)))
    line = material.machine
    # On paper the level is drawn in by hand, so the glass stands empty.
    empty = "" if material.sheet is None else glass("below", kind=material.sheet.hydraulic.gauge.kind)
    return paper.CardPaper(
        business=business(),
        day=day_of(material.job.opened_at or timezone.now()),
        machine=machine_name(line),
        owner=line.customer_name,
        site=line.site_name,
        tasks=tuple(task["name"] for task in built["tasks"]),
        screens=tuple(_screen(one, empty) for one in built["screens"]),
        sheet=line.sheet_title,
        sheet_size=sheet_size(person),
    )


def _word(key: str) -> str:
    return words.sentence(f"paper.card.{key}")


def _screen(screen: Mapping[str, Any], empty: str) -> paper.ScreenPaper:
    bolts = screen["bolts"]
    tray = screen["tray"] if screen["kind"] in {"tray_out", "tray_in"} else None
    items = [] if tray is None else list(tray["items"])
    if screen["kind"] == "tray_in":
        items.reverse()
    svg, alt = "", ""
    if bolts is not None:
        svg, alt = bolts["picture"], " ".join(bolts["says"])
    elif screen["glass"] is not None:
        svg, alt = empty, screen["title"]
    told = screen["kind"] == "caution"  # the sign below the title says it all
    return paper.ScreenPaper(
        title=screen["title"],
        says="" if told else screen["says"],
        why="" if told else screen["why"],
        cautions=tuple(_caution(one) for one in screen["cautions"]),
        lines=tuple(_lines(screen)),
        tray=tuple(_part(one) for one in items),
        svg=svg,
        alt=alt,
        blanks=tuple(_word(key) for key in _BLANKS.get(screen["kind"], ("blank_done",))),
    )


def _caution(told: Mapping[str, Any]) -> paper.Caution:
    signal = words.sentence(f"app.signal_{told['word']}")
    return paper.Caution(told["word"], signal, told["hazard"], told["consequence"], told["avoidance"])


def _part(item: Mapping[str, Any]) -> paper.PartLine:
    known = item["part"] or {}
    return paper.PartLine(item["name"], known.get("number", ""), str(item["count"]))


def _lines(screen: Mapping[str, Any]) -> list[paper.ValueLine]:
    found: list[paper.ValueLine] = []
    if screen["tools"]:
        found.append(paper.ValueLine(_word("tools"), ", ".join(screen["tools"])))
    if screen["consumables"]:
        found.append(paper.ValueLine(_word("consumables"), ", ".join(screen["consumables"])))
    if screen["parts"]:
        parts = ", ".join(f"{one['count']} × {one['name']} {one['number']}".strip() for one in screen["parts"])
        found.append(paper.ValueLine(_word("parts"), parts))
    if screen["torque"] is not None:
        shown = " ".join(text for text in (screen["torque"]["shown"], f"({screen['torque']['range']})") if text != "()")
        found.append(paper.ValueLine(_word("torque"), shown))
    if screen["bolts"] is not None:
        found.append(paper.ValueLine(_word("order"), " – ".join(str(one) for one in screen["bolts"]["order"])))
    litres = screen["litres"] or {}
    for side in ("in", "out"):
        if litres.get(f"{side}_shown"):
            found.append(paper.ValueLine(_word(f"litres_{side}"), litres[f"{side}_shown"]))
    if screen["wait_min"]:
        found.append(paper.ValueLine(_word("wait"), words.quantity(screen["wait_min"], "min")))
    return found
