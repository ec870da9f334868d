"""Django's entry for the API."""

from __future__ import annotations

from django.apps import AppConfig


class ApiConfig(AppConfig):
    """The app whose label is ``api``; it has no tables."""

    name = "coldmark.api"
    label = "api"
