"""Real JPEG pictures, small, and each another."""

from __future__ import annotations

import hashlib
from io import BytesIO

from PIL import Image

from coldmark.records import services
from coldmark.records.models import Person
from coldmark.records.services.attachments import JPEG


def a_photo(shade: int, **saved: object) -> tuple[str, bytes]:
    """A picture of one shade, with its hash."""
    file = BytesIO()
    Image.new("RGB", (24, 16), (shade * 7 % 256, 90, 40)).save(file, "JPEG", **saved)
    return hashlib.sha256(file.getvalue()).hexdigest(), file.getvalue()


def keep_photo(person: Person, shade: int) -> str:
    """Keep such a picture and return its hash."""
    sha256, content = a_photo(shade)
    return services.keep_attachment(person, sha256, JPEG, content).sha256
