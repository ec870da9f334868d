"""The door of a server that stays: the same, and what an earlier one left undone is made up for meanwhile."""

from __future__ import annotations

from coldmark.project.wsgi import application
from coldmark.records.services import catch_up

__all__ = ["application"]

catch_up()
