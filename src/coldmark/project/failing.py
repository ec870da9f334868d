"""Why there is no answer: as a page to people, as JSON to programs that asked under /api/."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from coldmark.api.answers import said
from coldmark.web.views import errors

__all__ = ["not_from_here", "not_here", "not_open", "not_readable", "went_wrong"]

Page = Callable[..., HttpResponse]


def _either(page: Page, message: str) -> Page:
    """A view that says ``message`` to a program and shows ``page`` to people."""

    def answer(request: HttpRequest, *told: object, **named: object) -> HttpResponse:
        shown = page(request, *told, **named)
        return said(shown.status_code, message) if request.path.startswith("/api/") else shown

    return answer


not_readable = _either(errors.not_readable, "web.error.400")
not_open = _either(errors.not_open, "web.error.403")
not_here = _either(errors.not_here, "web.error.404")
not_from_here = _either(errors.not_from_here, "api.no_token")
went_wrong = _either(errors.went_wrong, "web.error.500")
