"""The demo stays on the machine it was loaded on: its sign-in is printed, so nobody else may reach it."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse

REFUSED = (
    "This is Coldmark's demo. It answers only on the machine it runs on, and not through a proxy, "
    "because its sign-in is printed. Start a house of your own with an empty data folder."
)
# Any of these says that somebody passed the request on.
PASSED_ON = (
    "HTTP_FORWARDED",
    "HTTP_VIA",
    "HTTP_X_FORWARDED_FOR",
    "HTTP_X_FORWARDED_HOST",
    "HTTP_X_FORWARDED_PROTO",
    "HTTP_X_REAL_IP",
)


class DemoStaysHome:
    """Refuse, where the demo is loaded, every request that came from another machine or through a proxy."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, or refuse with the reason in one sentence."""
        if settings.COLDMARK_DEMO_MARK.exists() and not came_from_here(request):
            return HttpResponse(REFUSED, status=403, content_type="text/plain; charset=utf-8")
        return self.get_response(request)


def came_from_here(request: HttpRequest) -> bool:
    """Whether the request came straight from this machine."""
    if any(header in request.META for header in PASSED_ON):
        return False
    try:
        return ipaddress.ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:
        return False
