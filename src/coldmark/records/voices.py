"""A voice as it was recorded on a phone: whether it is one, and nothing else, and how long it goes on.

Looked at are the container and what it says of its tracks; what is inside of them is left to who plays it.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from dataclasses import dataclass

from coldmark.records.errors import refused

__all__ = ["LONGEST_S", "check_mp4", "check_webm"]

LONGEST_S = 120
_SLACK_S = 5  # a recorder that is told to stop at the end of two minutes stops a little later
_MOST_ELEMENTS = 20_000

# WebM, which is Matroska (RFC 9559) in EBML (RFC 8794): the elements that are looked into, and those that are read.
_HEADER, _DOCTYPE = 0x1A45DFA3, 0x4282
_SEGMENT, _INFO, _TRACKS, _TRACK, _CLUSTER = 0x18538067, 0x1549A966, 0x1654AE6B, 0xAE, 0x1F43B675
_SCALE, _DURATION, _TRACK_TYPE, _CODEC, _TIME = 0x2AD7B1, 0x4489, 0x83, 0x86, 0xE7
_INTO = frozenset({_HEADER, _SEGMENT, _INFO, _TRACKS, _TRACK, _CLUSTER})
_READ = frozenset({_DOCTYPE, _SCALE, _DURATION, _TRACK_TYPE, _CODEC, _TIME})
_SOUND = 2

# MP4, which is the ISO base media file format (ISO/IEC 14496-12): the boxes that are looked into.
_BOXES = frozenset({b"moov", b"trak", b"mdia"})


@dataclass(frozen=True, slots=True)
class _Element:
    id: int
    content: bytes


def check_webm(content: bytes) -> None:
    """Refuse what is no WebM with Opus sound alone, or goes on for more than two minutes."""
    right = "a voice as WebM with Opus sound alone"
    if not content.startswith(_HEADER.to_bytes(4, "big")):
        raise refused("content", "these bytes", right)
    scale_ns, longest, doctype = 1_000_000, 0.0, b""
    tracks: list[int] = []
    codecs: list[bytes] = []
    for one in _elements(content):
        if one.id == _DOCTYPE:
            doctype = one.content.rstrip(b"\0")
        elif one.id == _TRACK_TYPE:
            tracks.append(int.from_bytes(one.content, "big"))
        elif one.id == _CODEC:
            codecs.append(one.content.rstrip(b"\0"))
        elif one.id == _SCALE:
            scale_ns = int.from_bytes(one.content, "big")
        elif one.id == _DURATION and len(one.content) in {4, 8}:
            longest = max(longest, struct.unpack(">f" if len(one.content) == 4 else ">d", one.content)[0])
        elif one.id == _TIME:
            longest = max(longest, float(int.from_bytes(one.content, "big")))
    if doctype != b"webm" or tracks != [_SOUND] or codecs != [b"A_OPUS"]:
        raise refused("content", "another recording", right)
    _require_short(longest * scale_ns / 1e9)


def _elements(content: bytes) -> Iterator[_Element]:
    """The elements that say something, in their order: a recorder on the way leaves the size of its outer ones open."""
    at = count = 0
    while at < len(content) and count < _MOST_ELEMENTS:
        count += 1
        id, at = _number(content, at, keep_mark=True)
        size, at = _number(content, at, keep_mark=False)
        if id in _INTO:
            continue  # what is inside comes next, whatever size it says it has
        if size is None or id is None:
            return
        if id in _READ:
            yield _Element(id, content[at : at + min(size, 64)])
        at += size


def _number(content: bytes, at: int, *, keep_mark: bool) -> tuple[int | None, int]:
    """A number of EBML, whose first bits say how long it is; ``None`` for a size that is left open, or no number."""
    first = content[at] if at < len(content) else 0
    length = 9 - first.bit_length()
    if first == 0 or at + length > len(content):
        return None, len(content)
    value = int.from_bytes(content[at : at + length], "big")
    bare = value & ((1 << 7 * length) - 1)
    if keep_mark:
        return value, at + length
    return (None if bare == (1 << 7 * length) - 1 else bare), at + length


def check_mp4(content: bytes) -> None:
    """Refuse what is no MP4 with one track of sound alone, or goes on for more than two minutes."""
    right = "a voice as MP4 with sound alone"
    if content[4:8] != b"ftyp":
        raise refused("content", "these bytes", right)
    handlers: list[bytes] = []
    length_s = 0.0
    for name, inside in _boxes(content):
        if name == b"hdlr":
            handlers.append(inside[8:12])
        elif name == b"mvhd":
            length_s = _length_of(inside)
    if handlers != [b"soun"]:
        raise refused("content", "another recording", right)
    _require_short(length_s)


def _boxes(content: bytes, depth: int = 0) -> Iterator[tuple[bytes, bytes]]:
    at = count = 0
    while at + 8 <= len(content) and count < _MOST_ELEMENTS:
        count += 1
        size, name, head = int.from_bytes(content[at : at + 4], "big"), content[at + 4 : at + 8], 8
        if size == 1:
            size, head = int.from_bytes(content[at + 8 : at + 16], "big"), 16
        elif size == 0:
            size = len(content) - at
        if size < head:
            return
        inside = content[at + head : at + size]
        if name in _BOXES and depth < 4:
            yield from _boxes(inside, depth + 1)
        else:
            yield name, inside
        at += size


def _length_of(inside: bytes) -> float:
    """The length that a movie's header tells [s]; nought where its recorder left it open."""
    if len(inside) < 20:
        return 0.0
    if inside[0] == 1:
        scale, length = int.from_bytes(inside[20:24], "big"), int.from_bytes(inside[24:32], "big")
        unknown = length == (1 << 64) - 1
    else:
        scale, length = int.from_bytes(inside[12:16], "big"), int.from_bytes(inside[16:20], "big")
        unknown = length == (1 << 32) - 1
    return 0.0 if unknown or scale == 0 else length / scale


def _require_short(length_s: float) -> None:
    if not length_s <= LONGEST_S + _SLACK_S:
        raise refused("content", f"a voice of {length_s:.0f} s", f"at most {LONGEST_S} s")
