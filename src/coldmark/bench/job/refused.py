"""Parts that were refused on a machine, or found to be the wrong ones: what nobody should bring again."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from coldmark.bench import words
from coldmark.bench.element import Reject
from coldmark.bench.facts import KINDS
from coldmark.bench.job.names import name_of
from coldmark.bench.sheet import Sheet

__all__ = ["places_asked", "places_of", "refusals", "refused_says"]


def refused_says(found: Sequence[Reject], sheet: Sheet | None) -> tuple[str, ...]:
    """Parts that do not belong here in sentences, the latest first."""
    return tuple(_says(one, sheet) for one in reversed(found))


def _says(one: Reject, sheet: Sheet | None) -> str:
    number, place, day = one.number, name_of(sheet, one.place), words.day(date.fromisoformat(one.day))
    if not one.why:
        return words.sentence("element.refused.bare", number=number, place=place, day=day)
    why = words.sentence(f"refused.{one.why}")
    return words.sentence("element.refused", number=number, place=place, day=day, why=why)


def places_of(sheet: Sheet) -> dict[str, str]:
    """Places of the sheet's housings that a part belongs in, by key."""
    return {
        f"{key}.{item.key}": name_of(sheet, f"{key}.{item.key}")
        for key, housing in sheet.housings.items()
        for item in housing.stack
        if item.part is not None
    }


def places_asked(sheet: Sheet | None) -> list[dict[str, str]]:
    """The same places as a phone asks for them."""
    return [] if sheet is None else [{"key": key, "says": name} for key, name in places_of(sheet).items()]


def refusals() -> list[dict[str, str]]:
    """What may be wrong with a part."""
    choices = KINDS["part_refused"].fields["why"].choices
    return [{"key": key, "says": words.sentence(f"refused.{key}")} for key in choices]
