"""The records as a Django app."""

from __future__ import annotations

from django.apps import AppConfig


class RecordsConfig(AppConfig):
    """Facts, rows, attachments and the projections made from them."""

    name = "coldmark.records"
    label = "records"
    verbose_name = "Records"
