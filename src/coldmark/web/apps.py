"""Django's entry for the pages."""

from __future__ import annotations

from django.apps import AppConfig


class WebConfig(AppConfig):
    """The app whose label is ``web``; it has no tables."""

    name = "coldmark.web"
    label = "web"
