"""The pages that say why there is no page. They ask nothing of the database, which may be what went wrong."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string

from coldmark.bench import words

__all__ = ["not_from_here", "not_here", "not_open", "not_readable", "went_wrong"]


def _page(status: int, title: str, says: str = "") -> HttpResponse:
    content = {"title": words.sentence(title), "says": words.sentence(says) if says else ""}
    return HttpResponse(render_to_string("web/told.html", content), status=status)


def not_readable(_request: HttpRequest, *_told: object, **_named: object) -> HttpResponse:
    """A request that could not be read."""
    return _page(400, "web.error.400")


def not_open(_request: HttpRequest, *_told: object, **_named: object) -> HttpResponse:
    """Not open to this person."""
    return _page(403, "web.error.403")


def not_here(_request: HttpRequest, *_told: object, **_named: object) -> HttpResponse:
    """Nothing here, or nothing that this person may know of."""
    return _page(404, "web.error.404", "web.error.404_says")


def not_from_here(_request: HttpRequest, *_told: object, **_named: object) -> HttpResponse:
    """A form that did not come from a page of ours, or from one that had been open too long."""
    return _page(403, "web.error.403", "web.error.csrf")


def went_wrong(_request: HttpRequest) -> HttpResponse:
    """A mistake of the program."""
    return _page(500, "web.error.500", "web.error.500_says")
