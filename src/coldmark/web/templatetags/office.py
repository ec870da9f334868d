"""What the office's pages need beside :mod:`shown`."""

from __future__ import annotations

from django import template

register = template.Library()


@register.simple_tag
def photo_url(name: str) -> str:
    """Where a photo is handed out, under the access rule; papers call it by its hash with an ending."""
    return f"/api/attachments/{name.removesuffix('.jpg')}"
