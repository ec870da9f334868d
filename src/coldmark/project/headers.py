"""The headers every answer carries: what a page may load, and from where (nowhere but here)."""

from __future__ import annotations

import re
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

_SOURCES = (
    "default-src 'none'",
    "style-src 'self'",
    "img-src 'self' data: blob:",
    "font-src 'self'",
    "connect-src 'self'",
    "manifest-src 'self'",
    "form-action 'self'",
    "frame-ancestors 'none'",
    "base-uri 'none'",
)
POLICY = "; ".join((*_SOURCES, "script-src 'self'"))
# The card works sums in the browser's own Python, which is WebAssembly; no other page may compile any.
CARD_POLICY = "; ".join((*_SOURCES, "script-src 'self' 'wasm-unsafe-eval'", "worker-src 'self'"))
CARD_PATH = re.compile(r"^/jobs/[^/]+/card/$")
# What people have sent in is shown as a picture or a text, and does nothing when somebody opens it by itself.
SENT_POLICY = "default-src 'none'; frame-ancestors 'none'; sandbox"
SENT_PATH = re.compile(r"^/api/attachments/")


class StrictHeaders:
    """Set the Content-Security-Policy of every answer, static files and errors included."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer the request and put the policy on the answer."""
        response = self.get_response(request)
        response["Content-Security-Policy"] = _policy(request.path)
        response.headers.setdefault("Permissions-Policy", "camera=(self), geolocation=(), microphone=(self)")
        response.headers.setdefault("X-Content-Type-Options", "nosniff")
        response.headers.setdefault("Referrer-Policy", "same-origin")
        if response.headers.get("Content-Type", "").startswith("text/html"):
            # A page stays on no phone that goes from hand to hand: *back* after signing out shows none.
            response.headers.setdefault("Cache-Control", "no-store")
        return response


def _policy(path: str) -> str:
    if SENT_PATH.match(path):
        return SENT_POLICY
    return CARD_POLICY if CARD_PATH.match(path) else POLICY
