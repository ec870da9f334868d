"""Behind a proxy of one's own: who asks is whom the proxy names, and nobody else's word counts."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse


class WhoAsks:
    """Take the address of who asks from the proxy, where there is one of our own.

    Without it all the world would share one address there, and a stranger who guesses passwords would make the whole
    firm wait. The last address counts, which the proxy itself wrote: those before it are what it was told.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer the request in the name of whom the proxy names."""
        if settings.COLDMARK_PROXY:
            told = request.META.get("HTTP_X_FORWARDED_FOR", "").rpartition(",")[2].strip()
            if _is_address(told):
                request.META["REMOTE_ADDR"] = told
        return self.get_response(request)


def _is_address(text: str) -> bool:
    try:
        ipaddress.ip_address(text)
    except ValueError:
        return False
    return True
