"""Numbers on pages do not part from their units where a line ends: the last thing that is done to a page."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase

from coldmark.bench import words

__all__ = ["UnitsStay", "kept_together"]

# What is typed, run or drawn stands as it is: a blank in a data sheet's text is part of the sheet.
_AS_IT_IS = re.compile(r"<(script|style|textarea|pre|svg)\b.*?</\1\s*>|<!--.*?-->", re.DOTALL | re.IGNORECASE)


def kept_together(page: str) -> str:
    """The page with no-break spaces between numbers and units in its running text, and all else as it was."""
    return "".join(_parts(page))


def _parts(page: str) -> Iterator[str]:
    at = 0
    for found in _AS_IT_IS.finditer(page):
        yield _running(page[at : found.start()])
        yield found[0]
        at = found.end()
    yield _running(page[at:])


def _running(text: str) -> str:
    # A place is inside a tag when one was begun before it and not ended; Django escapes both signs everywhere else.
    return words.together(text, may=lambda place: text.rfind("<", 0, place) <= text.rfind(">", 0, place))


class UnitsStay:
    """Keep numbers and units together on every page that is answered, parts of pages included."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer the request."""
        response = self.get_response(request)
        if isinstance(response, HttpResponse) and response.headers.get("Content-Type", "").startswith("text/html"):
            response.content = kept_together(response.content.decode(response.charset)).encode(response.charset)
        return response
