"""A program that asks the API in somebody's name, or in nobody's."""

from __future__ import annotations

import json
from typing import Any

from django.http import HttpResponse
from django.test import Client

from coldmark.records.models import Person

__all__ = ["Asking", "told"]


class Asking:
    """Sends and gets JSON."""

    def __init__(self, person: Person | None = None) -> None:
        self.client = Client()
        if person is not None:
            self.client.force_login(person)

    def get(self, path: str, **headers: str) -> HttpResponse:
        """Ask for something."""
        return self.client.get(f"/api/{path}", headers=headers)  # type: ignore[return-value]

    def post(self, path: str, body: object, **headers: str) -> HttpResponse:
        """Send a JSON body; a text is sent as it is."""
        content = body if isinstance(body, str) else json.dumps(body)
        return self.client.post(  # type: ignore[return-value]
            f"/api/{path}", content, content_type="application/json", headers=headers
        )

    def put(self, path: str, content: bytes, media_type: str, **headers: str) -> HttpResponse:
        """Send bytes."""
        # Django's client leaves the type out when there is no content.
        return self.client.generic(  # type: ignore[return-value]
            "PUT", f"/api/{path}", content, content_type=media_type, CONTENT_TYPE=media_type, headers=headers
        )


def told(response: HttpResponse, status: int = 200) -> Any:
    """What an answer tells, which must have this status and be JSON."""
    assert response.status_code == status, response.content[:500]
    assert response["Content-Type"] == "application/json"
    assert response["Cache-Control"] == "no-store"
    return json.loads(response.content)
