"""Fixtures of the pages' tests."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client

from coldmark.records.models import Person
from tests.records.house import House, build_house


@pytest.fixture
def house(db: None, data_folder: Path) -> House:
    """A small house in an empty data folder."""
    return build_house()


class Reading(Client):
    """A browser whose pages are read as people read them: a no-break space is a blank."""

    def request(self, **request: Any) -> Any:
        """Ask, and take the answer's no-break spaces for blanks where it is a page."""
        answer = super().request(**request)
        if isinstance(answer, HttpResponse) and answer.headers.get("Content-Type", "").startswith("text/html"):
            answer.content = answer.content.replace("\u00a0".encode(), b" ")
        return answer


def signed_in(person: Person) -> Client:
    """A browser in which somebody is signed in."""
    client = Reading(headers={"host": "localhost"})
    client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    return client
