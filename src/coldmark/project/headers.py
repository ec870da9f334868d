"""The headers every answer carries: what a page may load, and from where (nowhere but here)."""

from __future__ import annotations

import re
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

_SOURCES = (
    "default-src 'none'",
    "style-src 'self'",
    "img-src 'self' data: blob:",
    "media-src 'self' blob:",
    "font-src 'self'",
    "connect-src 'self'",
    "manifest-src 'self'",
    "form-action 'self'",
    "frame-ancestors 'none'",
    "base-uri 'none'",
)
POLICY = "; ".join((*_SOURCES, "script-src 'self'"))
# The app at the machine works sums in the browser's own Python, which is WebAssembly; no other page may compile any.
# A worker is bound by the policy that its own file came with, so the app's files have it as well as its page.
APP_POLICY = "; ".join((*_SOURCES, "script-src 'self' 'wasm-unsafe-eval'", "worker-src 'self'"))
APP_PATH = re.compile(r"^(/static)?/phone/")
# Where somebody is, the app asks for on its emergency page alone.
PERMISSIONS = "camera=(self), geolocation=(), microphone=(self)"
APP_PERMISSIONS = "camera=(self), geolocation=(self), microphone=(self)"
# What people have sent in is shown as a picture or a text, and does nothing when somebody opens it by itself.
SENT_POLICY = "default-src 'none'; frame-ancestors 'none'; sandbox"
SENT_PATH = re.compile(r"^/api/(attachments|photos)/")


class StrictHeaders:
    """Set the Content-Security-Policy of every answer, static files and errors included."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer the request and put the policy on the answer."""
        response = self.get_response(request)
        response["Content-Security-Policy"] = _policy(request.path)
        at_the_machine = APP_PATH.match(request.path) is not None
        response.headers.setdefault("Permissions-Policy", APP_PERMISSIONS if at_the_machine else PERMISSIONS)
        response.headers.setdefault("X-Content-Type-Options", "nosniff")
        response.headers.setdefault("Referrer-Policy", "same-origin")
        if response.headers.get("Content-Type", "").startswith("text/html"):
            # A page stays on no phone that goes from hand to hand: *back* after signing out shows none.
            response.headers.setdefault("Cache-Control", "no-store")
        return response


def _policy(path: str) -> str:
    if SENT_PATH.match(path):
        return SENT_POLICY
    return APP_POLICY if APP_PATH.match(path) else POLICY
