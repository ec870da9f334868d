"""Parts that were refused on a machine, or found to be the wrong ones: what nobody should bring again."""

from __future__ import annotations

from datetime import date

from coldmark.bench import element, words
from coldmark.bench.sheet import Sheet
from coldmark.records.models import Person
from coldmark.records.queries.samples import facts_of
from coldmark.records.queries.telling import name_of

__all__ = ["places_of", "refused_parts", "refused_says"]

_KINDS = ("part_in", "finding", "part_refused")


def refused_parts(person: Person, machine: str) -> tuple[element.Reject, ...]:
    """The parts that were refused on this machine, as far as the person may see it; the latest last."""
    return element.rejects(facts_of(person, machine, _KINDS))


def refused_says(found: tuple[element.Reject, ...], sheet: Sheet | None) -> tuple[str, ...]:
    """The same in sentences, the latest first."""
    return tuple(_says(one, sheet) for one in reversed(found))


def places_of(sheet: Sheet) -> dict[str, str]:
    """Places of the sheet's housings that a part belongs in, by key."""
    return {
        f"{key}.{item.key}": name_of(sheet, f"{key}.{item.key}")
        for key, housing in sheet.housings.items()
        for item in housing.stack
        if item.part is not None
    }


def _says(one: element.Reject, sheet: Sheet | None) -> str:
    number, place, day = one.number, name_of(sheet, one.place), words.day(date.fromisoformat(one.day))
    if not one.why:
        return words.sentence("element.refused.bare", number=number, place=place, day=day)
    why = words.sentence(f"refused.{one.why}")
    return words.sentence("element.refused", number=number, place=place, day=day, why=why)
