"""Photos at small size, for a phone that takes a machine's story along."""

from __future__ import annotations

import io

from coldmark.records import files
from coldmark.records.access import require_attachment
from coldmark.records.errors import NotFound, refused
from coldmark.records.models import Attachment, Person
from coldmark.records.services.attachments import LONGEST_SIDE, AttachmentContent

__all__ = ["SMALL_SIDE", "small_photo"]

SMALL_SIDE = 320
"""Pixels of the longer side, at most."""
_QUALITY = 70


def small_photo(person: Person, sha256: str) -> AttachmentContent:
    """Return a photo that the person may see at small size, else *not found*; without content when it was erased.

    Raises
    ------
    Refused
        When its bytes, though they had a photo's frame when they came, cannot be drawn.
    """
    row = require_attachment(person, sha256)
    if row.media_type != files.JPEG:
        raise NotFound("photo", sha256)
    if row.erased_at is not None:
        return AttachmentContent(sha256, files.JPEG, None, row.erased_at)
    content = files.read(files.SMALL, sha256)
    if content is None:
        whole = files.read(files.ATTACHMENTS, sha256)
        if whole is None:
            raise NotFound("photo", sha256)
        content = _drawn_small(whole)
        files.keep_as(files.SMALL, sha256, content)
        erased_at = Attachment.objects.filter(sha256=sha256).values_list("erased_at", flat=True).first()
        if erased_at is not None:  # meanwhile
            files.remove(files.SMALL, sha256)
            return AttachmentContent(sha256, files.JPEG, None, erased_at)
    return AttachmentContent(sha256, files.JPEG, content, None)


def _drawn_small(whole: bytes) -> bytes:
    from PIL import Image, UnidentifiedImageError  # heavy, and few requests draw anything

    try:
        with Image.open(io.BytesIO(whole), formats=("JPEG",)) as photo:
            if max(photo.size) > LONGEST_SIDE:  # looked at when it was kept; a file may have been put there otherwise
                raise refused("content", f"a photo of {photo.width} × {photo.height} pixels", "a smaller one")
            photo.draft("RGB", (2 * SMALL_SIDE, 2 * SMALL_SIDE))  # read at a half or an eighth: a tenth of the time
            small = photo.convert("L" if photo.mode == "L" else "RGB")
    except (OSError, SyntaxError, ValueError, UnidentifiedImageError) as error:
        raise refused("content", "these bytes", "a JPEG picture that can be drawn") from error
    small.thumbnail((SMALL_SIDE, SMALL_SIDE))
    made = io.BytesIO()
    small.save(made, "JPEG", quality=_QUALITY, optimize=True)
    return made.getvalue()
