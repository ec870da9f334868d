"""Keeping photos, voices, texts and strokes: checked for hash, type and size, and named by their hash."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from coldmark.bench.errors import OutOfRange, Refused, require_choice
from coldmark.bench.facts.checks import HASH
from coldmark.records import files, parts
from coldmark.records.access import require_attachment, require_staff
from coldmark.records.errors import NotFound, refused
from coldmark.records.files import JPEG, MP4, STROKES, TEXT, VOICES, WEBM
from coldmark.records.models import Attachment, Person
from coldmark.records.numbers import moment, read_store
from coldmark.records.voices import check_mp4, check_webm

__all__ = [
    "JPEG",
    "LIMITS",
    "MOST_ASKED",
    "STROKES",
    "TEXT",
    "AttachmentBegun",
    "AttachmentContent",
    "AttachmentHeld",
    "AttachmentKept",
    "AttachmentsHeld",
    "keep_attachment",
    "keep_piece",
    "lacking_attachments",
    "read_attachment",
]

LIMITS = {JPEG: 4_000_000, TEXT: 20_000, STROKES: 200_000, WEBM: 3_000_000, MP4: 3_000_000}
"""The most bytes of each type. A photo is redrawn on the phone to well under this; a voice goes on for two minutes."""

_IS_HASH = re.compile(HASH).fullmatch
MOST_POINTS = 20_000
LONGEST_SIDE = 4_000
"""Pixels; the phone redraws to 1600."""
MOST_ASKED = 200
"""The most attachments that are asked about at once."""


@dataclass(frozen=True, slots=True)
class AttachmentKept:
    """What became of an attachment: *kept* now, *known* before, or *erased* (its content is not wanted any more).

    ``arrival`` is the number that the next fact arrives under: a backup that reaches it has the attachment. ``epoch``
    and ``backed_up_to`` are those of an answer to facts.
    """

    sha256: str
    answer: Literal["kept", "known", "erased"]
    epoch: str
    arrival: int
    backed_up_to: int


@dataclass(frozen=True, slots=True)
class AttachmentBegun:
    """How much of an attachment ``has`` come in pieces [bytes]: the next piece begins there.

    The last piece *goes on* from where it was, or *does not fit* there and was not taken. Nothing of it is kept yet.
    """

    sha256: str
    answer: Literal["goes_on", "does_not_fit"]
    has: int


@dataclass(frozen=True, slots=True)
class AttachmentHeld:
    """Whether an attachment is *held* here, is *lacking*, or was *erased*.

    ``has`` is how much of a lacking one this device has sent in pieces [bytes].
    """

    sha256: str
    answer: Literal["held", "lacking", "erased"]
    has: int


@dataclass(frozen=True, slots=True)
class AttachmentsHeld:
    """Which of the attachments asked about are here; the rest is as in :class:`AttachmentKept`."""

    epoch: str
    answers: tuple[AttachmentHeld, ...]
    arrival: int
    backed_up_to: int


@dataclass(frozen=True, slots=True)
class AttachmentContent:
    """An attachment to hand out; ``content`` is ``None`` when it was erased."""

    sha256: str
    media_type: str
    content: bytes | None
    erased_at: datetime | None


def keep_attachment(
    person: Person,
    sha256: str,
    media_type: str,
    content: bytes,
    *,
    now: datetime | None = None,
    trusted: bool = True,
) -> AttachmentKept:
    """Keep an attachment under the hash it was sent with. Sending it again changes nothing.

    From who is not ``trusted`` any more it is taken as well: only facts lead to it, and those are held apart.

    Raises
    ------
    Refused
        When the type is not one of those kept, the content is not of that type, is too large, or has another hash.
    """
    if not content:
        raise refused("content", "nothing", "the bytes of the attachment")
    kind = _may_be_sent(person, trusted, sha256, media_type, len(content))
    if hashlib.sha256(content).hexdigest() != sha256:
        raise Refused("records.attachment_hash", name="sha256", value=sha256[:80])
    _CHECKS[kind](content)
    before = Attachment.objects.filter(sha256=sha256).first()
    if before is not None and before.erased_at is not None:
        return _kept(sha256, "erased")
    # The file first: a row that can be seen has its file.
    files.keep(files.ATTACHMENTS, content)
    row, made = Attachment.objects.get_or_create(
        sha256=sha256,
        defaults={"media_type": kind, "size": len(content), "made_by": person, "kept_at": moment(now)},
    )
    row.refresh_from_db()
    if row.erased_at is not None:  # meanwhile
        files.remove(files.ATTACHMENTS, sha256)
        return _kept(sha256, "erased")
    if row.given_up:
        Attachment.objects.filter(sha256=sha256).update(given_up=False)
    return _kept(sha256, "kept" if made else "known")


def keep_piece(
    person: Person,
    sha256: str,
    media_type: str,
    piece: bytes,
    *,
    first: int,
    total: int,
    device: str,
    now: datetime | None = None,
    trusted: bool = True,
) -> AttachmentKept | AttachmentBegun:
    """Take a piece of an attachment; the last one makes it whole, and it is kept as if it had come at once.

    Parameters
    ----------
    person, sha256, media_type, now, trusted
        As for :func:`keep_attachment`.
    piece
        The bytes from ``first`` on.
    first, total
        Where the piece begins, and how long the whole is [bytes].
    device
        The device that sends it: what another one has sent is not gone on with.

    Raises
    ------
    Refused
        As :func:`keep_attachment`, also when the piece is empty or goes beyond the whole. What the whole is refused
        for throws its beginning away.
    """
    _may_be_sent(person, trusted, sha256, media_type, total)
    if not piece or first + len(piece) > total:
        raise refused("content", f"{len(piece)} bytes from {first} on", f"a piece of the {total} bytes")
    part = parts.part_of(sha256, person, device)
    has = parts.size(part)
    if has >= total:  # of something else, whatever it is
        part.unlink(missing_ok=True)
        has = 0
    fits = first == has
    if fits and first + len(piece) == total:
        whole = parts.read(part) + piece
        try:
            return keep_attachment(person, sha256, media_type, whole, now=now, trusted=trusted)
        except Refused:
            part.unlink(missing_ok=True)
            raise
    if fits:
        has = parts.add(part, first, piece, moment(now))
    ((_sha256, stands),) = _stand([sha256])  # after writing: nothing is left of what was kept or erased meanwhile
    if stands != "lacking":
        return _kept(sha256, "erased" if stands == "erased" else "known")
    return AttachmentBegun(sha256, "goes_on" if fits else "does_not_fit", has)


def _may_be_sent(person: Person, trusted: bool, sha256: str, media_type: str, size: int) -> str:
    """Refuse an attachment by what is told of it before its bytes; return its type."""
    if trusted:
        require_staff(person, "keeping attachments")
    kind = _media_type(media_type)
    if not _IS_HASH(sha256):
        raise Refused("records.attachment_hash", name="sha256", value=sha256[:80])
    if not 1 <= size <= LIMITS[kind]:
        raise OutOfRange(name="size", value=size, low=1, high=LIMITS[kind], source=f"bytes of {kind}")
    return kind


def _kept(sha256: str, answer: Literal["kept", "known", "erased"]) -> AttachmentKept:
    parts.drop(sha256)
    store = read_store()  # after the attachment's own row: what arrives from here on lies behind it
    return AttachmentKept(sha256, answer, str(store.epoch), store.next_arrival, store.backed_up_to)


def lacking_attachments(
    person: Person, hashes: Sequence[str], *, device: str = "", trusted: bool = True
) -> AttachmentsHeld:
    """Say which of these attachments are not here, and how much there is of them, so that nothing is sent twice.

    Raises
    ------
    Refused
        When one of them is no SHA-256, or they are more than :data:`MOST_ASKED`.
    """
    if trusted:
        require_staff(person, "keeping attachments")
    if len(hashes) > MOST_ASKED:
        raise OutOfRange(name="sha256", value=len(hashes), low=0, high=MOST_ASKED, source="hashes at once")
    for sha256 in hashes:
        if not _IS_HASH(sha256):
            raise refused("sha256", sha256, "64 hex digits in lower case")
    answers = tuple(
        AttachmentHeld(sha256, one, parts.size(parts.part_of(sha256, person, device)) if one == "lacking" else 0)
        for sha256, one in _stand(hashes)
    )
    store = read_store()  # after the rows, as above
    return AttachmentsHeld(str(store.epoch), answers, store.next_arrival, store.backed_up_to)


def _stand(hashes: Sequence[str]) -> list[tuple[str, Literal["held", "lacking", "erased"]]]:
    rows = dict(Attachment.objects.filter(sha256__in=hashes).values_list("sha256", "erased_at"))

    def stands(sha256: str) -> Literal["held", "lacking", "erased"]:
        if sha256 not in rows:
            return "lacking"
        if rows[sha256] is not None:
            return "erased"
        # A database that was put back without its files has rows without content.
        return "held" if files.path_of(files.ATTACHMENTS, sha256).exists() else "lacking"

    return [(sha256, stands(sha256)) for sha256 in hashes]


def read_attachment(person: Person, sha256: str) -> AttachmentContent:
    """Return an attachment that the person may see, else *not found*."""
    row = require_attachment(person, sha256)
    if row.erased_at is not None:
        return AttachmentContent(sha256, row.media_type, None, row.erased_at)
    content = files.read(files.ATTACHMENTS, sha256)
    if content is None:
        raise NotFound("attachment", sha256)
    return AttachmentContent(sha256, row.media_type, content, None)


def _media_type(told: str) -> str:
    kind, *parameters = (part.strip().lower() for part in told.split(";"))
    if kind == "text/plain" and parameters in ([], ["charset=utf-8"]):
        return TEXT
    if kind in VOICES and all(one.startswith("codecs=") for one in parameters):
        return kind  # what it is coded with is looked up in it, and not believed
    return require_choice("media_type", kind if not parameters else told[:80], LIMITS)


def _check_jpeg(content: bytes) -> None:
    """JPEG by its first and last marks and the segments between, and none that tells place or serial number.

    The phone redraws a photo, which drops its Exif segment (APP1). One that still has it was not redrawn. Its frame is
    one that every reader knows, and small enough to be drawn: a few bytes may tell of a picture that fills a memory.
    """
    if not content.startswith(b"\xff\xd8\xff") or not content.rstrip(b"\x00").endswith(b"\xff\xd9"):
        raise refused("content", "these bytes", "a whole JPEG picture, from its first mark (FF D8) to its last (FF D9)")
    at, frame = 2, False
    while at + 4 <= len(content):
        if content[at] != 0xFF:
            break
        mark, length = content[at + 1], int.from_bytes(content[at + 2 : at + 4], "big")
        if mark == 0xFF:
            at += 1
            continue
        if mark == 0xDA:
            if frame:
                return
            break
        if mark == 0xE1:
            raise refused("content", "a photo with its camera's notes", "redrawn, without place and serial number")
        if mark in _FRAMES:
            _check_frame(mark, content[at + 4 : at + 10])
            frame = True
        at += 2 + max(length, 2)
    raise refused("content", "these bytes", "a JPEG picture with a frame and a scan")


def _check_frame(mark: int, told: bytes) -> None:
    """The frame's precision, height, width and number of colours (ITU-T T.81, B.2.2)."""
    right = f"a baseline or progressive JPEG in colour or grey, 1 to {LONGEST_SIDE} pixels a side"
    if len(told) < 6 or mark not in {0xC0, 0xC1, 0xC2} or told[0] != 8 or told[5] not in {1, 3}:
        raise refused("content", "a JPEG of a rare kind", right)
    height, width = int.from_bytes(told[1:3], "big"), int.from_bytes(told[3:5], "big")
    if not (1 <= height <= LONGEST_SIDE and 1 <= width <= LONGEST_SIDE):
        raise refused("content", f"a photo of {width} × {height} pixels", right)


_FRAMES = frozenset({0xC0, 0xC1, 0xC2, 0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF})


def _check_text(content: bytes) -> None:
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        raise refused("content", f"byte {error.start} of the text", "UTF-8") from None
    odd = next((letter for letter in text if ord(letter) < 32 and letter not in "\n\r\t"), None)
    if odd is not None:
        raise refused("content", f"a text with the control character {ord(odd)}", "plain text")


def _check_strokes(content: bytes) -> None:
    """Strokes: ``{"width": w, "height": h, "strokes": [[[x, y], …], …]}`` in whole numbers inside the box.

    No stroke at all is right too: who cannot draw, or has no finger free, signs by name alone.
    """
    right = '{"width": w, "height": h, "strokes": [[[x, y], …], …]} in whole numbers, points inside the box'
    try:
        told: Any = json.loads(content.decode("utf-8"))
    except (ValueError, RecursionError):
        raise refused("content", "these bytes", right) from None
    if not isinstance(told, dict) or told.keys() != {"width", "height", "strokes"}:
        raise refused("content", "this JSON", right)
    width, height, strokes = told["width"], told["height"], told["strokes"]
    if not (_whole(width, 1, 10_000) and _whole(height, 1, 10_000) and isinstance(strokes, list)):
        raise refused("content", "this JSON", right)
    points = [point for stroke in strokes if isinstance(stroke, list) for point in stroke]
    if not all(isinstance(stroke, list) and stroke for stroke in strokes) or len(points) > MOST_POINTS:
        raise refused("content", f"{len(points)} points", f"{right}, at most {MOST_POINTS} points")
    for point in points:
        inside = isinstance(point, list) and len(point) == 2
        if not inside or not (_whole(point[0], 0, width) and _whole(point[1], 0, height)):
            raise refused("content", json.dumps(point)[:40], right)


def _whole(value: object, low: int, high: int) -> bool:
    return type(value) is int and low <= value <= high


_CHECKS = {JPEG: _check_jpeg, TEXT: _check_text, STROKES: _check_strokes, WEBM: check_webm, MP4: check_mp4}
