"""Fixtures of the pages' tests."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.test import Client

from coldmark.records.models import Person
from tests.records.house import House, build_house


@pytest.fixture
def house(db: None, data_folder: Path) -> House:
    """A small house in an empty data folder."""
    return build_house()


def signed_in(person: Person) -> Client:
    """A browser in which somebody is signed in."""
    client = Client(headers={"host": "localhost"})
    client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    return client
