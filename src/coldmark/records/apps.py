"""Django's entry for the records."""

from __future__ import annotations

from django.apps import AppConfig


class RecordsConfig(AppConfig):
    """The app whose label is ``records``."""

    name = "coldmark.records"
    label = "records"
