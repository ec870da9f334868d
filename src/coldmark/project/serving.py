"""The door of a server that stays: the same, and what an earlier one left undone is made up for meanwhile."""

from __future__ import annotations

from django.conf import settings

from coldmark.project.wsgi import application
from coldmark.records.services import catch_up
from coldmark.records.turns import serve_from

__all__ = ["application"]

# Each worker for itself too: not every way of starting one hands on what its server holds open.
serve_from(settings.COLDMARK_DATA)
catch_up()
