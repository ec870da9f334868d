"""Which letters the papers' typeface has; what it lacks is printed as a stand-in, so that no text stops a paper."""

from __future__ import annotations

import struct
import unicodedata
from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from coldmark.bench.words import together

__all__ = ["printable", "typeface"]

FONT = Path(__file__).parent / "fonts" / "AtkinsonHyperlegibleNext_400Regular.ttf"
STAND_IN = "?"
# Line ends and blanks are set, not drawn.
_SET = frozenset("\n\t ")


@lru_cache(maxsize=1)
def typeface() -> frozenset[int]:
    """The code points that the typeface has, from its character map (OpenType ``cmap``, formats 4 and 12)."""
    data = FONT.read_bytes()
    (tables,) = struct.unpack_from(">H", data, 4)
    offsets = {data[12 + 16 * n : 16 + 16 * n]: struct.unpack_from(">I", data, 20 + 16 * n)[0] for n in range(tables)}
    cmap = offsets[b"cmap"]
    (count,) = struct.unpack_from(">H", data, cmap + 2)
    found: set[int] = set()
    for n in range(count):
        (at,) = struct.unpack_from(">I", data, cmap + 8 + 8 * n)
        (form,) = struct.unpack_from(">H", data, cmap + at)
        if form == 4:
            found.update(_form_4(data, cmap + at))
        elif form == 12:
            found.update(_form_12(data, cmap + at))
    return frozenset(found)


def _form_4(data: bytes, at: int) -> Iterator[int]:
    (twice,) = struct.unpack_from(">H", data, at + 6)
    ends, starts, deltas, ranges = (at + 14 + twice * n + (2 if n else 0) for n in range(4))
    for step in range(0, twice, 2):
        (end,), (start,) = struct.unpack_from(">H", data, ends + step), struct.unpack_from(">H", data, starts + step)
        (delta,), (far,) = struct.unpack_from(">H", data, deltas + step), struct.unpack_from(">H", data, ranges + step)
        for point in range(start, min(end, 0xFFFE) + 1):
            glyph = point
            if far:
                (glyph,) = struct.unpack_from(">H", data, ranges + step + far + 2 * (point - start))
                if glyph == 0:
                    continue
            if (glyph + delta) & 0xFFFF:
                yield point


def _form_12(data: bytes, at: int) -> Iterator[int]:
    (groups,) = struct.unpack_from(">I", data, at + 12)
    for n in range(groups):
        start, end, _glyph = struct.unpack_from(">III", data, at + 16 + 12 * n)
        yield from range(start, end + 1)


def printable(value: Any) -> Any:
    """Plain data with every letter that the typeface lacks replaced, and numbers kept with their units where lines end.

    Drawings are left as they are.

    >>> printable({"name": "Jürgen 漢", "lines": ("a", 1), "svg": "2 L"})
    {'name': 'Jürgen ?', 'lines': ['a', 1], 'svg': '2 L'}
    """
    if isinstance(value, str):
        return _printable(together(value))
    if isinstance(value, Mapping):
        return {key: one if key == "svg" else printable(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [printable(one) for one in value]
    return value


def _printable(text: str) -> str:
    known = typeface()
    if all(letter in _SET or ord(letter) in known for letter in text):
        return text
    composed = unicodedata.normalize("NFC", text)
    return "".join(letter if letter in _SET or ord(letter) in known else _stand_in(letter) for letter in composed)


def _stand_in(letter: str) -> str:
    """What stands for a letter: nothing for what has no width of its own, such as joiners and accents."""
    return "" if unicodedata.category(letter) in {"Mn", "Me", "Cf", "Cc"} else STAND_IN
