"""What is to be told of a job's old parts: those that went back in, and seals that were looked for and not found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from coldmark.bench.card.gates import Indexed, body_of, evaluate, latest, refitted
from coldmark.bench.words import sentence

__all__ = ["CAUGHT", "old_element", "old_parts"]

Screen = Mapping[str, Any]

CAUGHT = ("element", "strainer")
"""What holds the dirt of its time: a task that is there to change it is not done while the old one is in."""


def old_parts(card: Mapping[str, Any], facts: Indexed) -> list[dict[str, Any]]:
    """Return what the report tells of old parts, by place: what became of each, and why."""
    found: dict[str, dict[str, Any]] = {}
    for screen in card["screens"]:
        if screen["kind"] == "tray_in" and screen["tray"] is not None:
            for item in screen["tray"]["items"]:
                for told in (*_put_back(item, facts), *_looked_for(item, facts)):
                    found[f"{told['what']} {item['place']}"] = told | _named(screen, item)
    return list(found.values())


def _named(screen: Screen, item: Mapping[str, Any]) -> dict[str, Any]:
    name = sentence("story.item", item=item["name"], housing=screen["tray"]["name"])
    return {"key": item["place"], "title": name[:1].upper() + name[1:]}


def old_element(screen: Screen, facts: Indexed) -> str | None:
    """Return why an old element or strainer went back in where a new one is due, or nothing where none did."""
    if screen["kind"] != "tray_in" or screen["tray"] is None:
        return None
    for item in screen["tray"]["items"]:
        put = latest(facts, "part_in", place=item["place"])
        if item["renew"] and item["kind"] in CAUGHT and put is not None and not body_of(put)["fresh"]:
            return str(body_of(put).get("reason") or "other")
    return None


def _put_back(item: Mapping[str, Any], facts: Indexed) -> Iterator[dict[str, Any]]:
    put = latest(facts, "part_in", place=item["place"])
    back = evaluate(refitted(item["place"], item["count"]), facts).met
    if put is None or not item["renew"] or not back or body_of(put)["fresh"]:
        return
    reason = body_of(put).get("reason")
    says = sentence("card.part.old_back_untold")
    if reason is not None:
        says = sentence("card.part.old_back", reason=sentence(f"reason.{reason}"))
    yield {"what": "old_back", "reason": reason, "reason_says": says, "note": body_of(put).get("note"), "photo": None}


def _looked_for(item: Mapping[str, Any], facts: Indexed) -> Iterator[dict[str, Any]]:
    sought = latest(facts, "seal_looked_for", place=item["place"], groove=True, bowl=True)
    out = latest(facts, "part_out", place=item["place"])
    in_hand = out is not None and body_of(out)["count"] >= item["count"]
    if item["kind"] != "seal" or sought is None or in_hand:
        return
    body = body_of(sought)
    says = sentence("card.part.looked_for")
    yield {
        "what": "looked_for",
        "reason": None,
        "reason_says": says,
        "note": body.get("note"),
        "photo": body.get("photo"),
    }
