"""What every page is given: the ways at the top, and the look the reader chose."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.urls import reverse

from coldmark.bench import words
from coldmark.records.models import Person, Role

__all__ = ["frame"]

_STAFF_WAYS = ("today", "machines", "due", "visits", "more")
_OWNER_WAYS = ("machines", "due")


@dataclass(frozen=True, slots=True)
class Way:
    """One of the main ways through the pages."""

    name: str
    href: str
    here: bool


def frame(request: HttpRequest) -> dict[str, Any]:
    """Return the frame's values: ``ways`` and ``look``."""
    person = getattr(request, "user", None)
    if not isinstance(person, Person):
        return {"ways": (), "look": "day"}
    ways = _OWNER_WAYS if person.role == Role.OWNER else _STAFF_WAYS
    path = request.path
    return {
        "look": person.look,
        "units": person.units,
        "is_office": person.role == Role.OFFICE,
        "is_staff": person.is_staff,
        "ways": tuple(_way(name, path) for name in ways),
    }


def _way(name: str, path: str) -> Way:
    href = reverse(name)
    here = path == href if href == "/" else path.startswith(href)
    return Way(words.sentence(f"web.way.{name}"), href, here)
