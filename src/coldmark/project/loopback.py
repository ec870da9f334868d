"""The demo stays on the machine it was loaded on: its sign-in is printed, so nobody else may reach it."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.http.request import split_domain_port

REFUSED = (
    "This is Coldmark's demo. It answers only on the machine it runs on, and not through a proxy, "
    "because its sign-in is printed. Start a house of your own with an empty data folder."
)
# Any of these says that somebody passed the request on, and so does any that begins with X-Forwarded or X-Original.
PASSED_ON = (
    "HTTP_CLIENT_IP",
    "HTTP_FORWARDED",
    "HTTP_TRUE_CLIENT_IP",
    "HTTP_VIA",
    "HTTP_X_CLIENT_IP",
    "HTTP_X_CLUSTER_CLIENT_IP",
    "HTTP_X_FORWARDED_FOR",
    "HTTP_X_FORWARDED_HOST",
    "HTTP_X_FORWARDED_PROTO",
    "HTTP_X_ORIGINAL_HOST",
    "HTTP_X_REAL_IP",
)
BEGINNINGS = ("HTTP_X_FORWARDED", "HTTP_X_ORIGINAL")


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
    if any(header in PASSED_ON or header.startswith(BEGINNINGS) for header in request.META):
        return False
    # A tunnel may add no header at all, but it is called by another name.
    called = split_domain_port(request.META.get("HTTP_HOST", "localhost"))[0].strip("[]")
    return (called == "localhost" or _is_loopback(called)) and _is_loopback(request.META.get("REMOTE_ADDR", ""))


def _is_loopback(address: str) -> bool:
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False
