"""The closing code: what was recorded of a job, said in seventeen characters that anybody can check later.

When a job is closed, its facts are named: the id and the SHA-256 of the stored text of each, sorted. The code is made
of that list's own SHA-256. It is short enough to be written on a sticker, and one wrong or two swapped characters are
found before anything is looked up.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable

from coldmark.bench.errors import Contradiction, Refused
from coldmark.bench.shapes import dataclass

__all__ = ["FINISH", "Closing", "closing", "read_code"]

FINISH = "finish"
"""The step at which a job is closed, and its sticker written and photographed: the last screen of every card."""

_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Thirty-two signs without I, L, O and U, which a pen and an eye mistake for others."""

_TAKEN_AS = str.maketrans({"I": "1", "L": "1", "O": "0"})
_BITS, _SIGNS = 80, 16
_POLYNOMIAL = 0b100101  # x⁵ + x² + 1: its root runs through all 31 values that are not nought
_PAIR = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}|[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Closing:
    """A job's closing code as it is written down, in groups, and the whole hash that it is the beginning of."""

    code: str
    sha256: str

    @property
    def bare(self) -> str:
        """The code without the strokes between its groups."""
        return self.code.replace("-", "")


def _times(one: int, other: int) -> int:
    """Multiply in the field of 32 elements."""
    product = 0
    while other:
        if other & 1:
            product ^= one
        other >>= 1
        one <<= 1
        if one & 32:
            one ^= _POLYNOMIAL
    return product


def _check_sign(signs: Iterable[int]) -> int:
    """Weigh each sign with another power of the root, so that no swap of two and no wrong one leaves the sum alike."""
    power, total = 2, 0
    for sign in signs:
        total ^= _times(sign, power)
        power = _times(power, 2)
    return total


def _in_groups(text: str) -> str:
    return "-".join((text[:4], text[4:8], text[8:12], text[12:]))


def closing(pairs: Iterable[tuple[str, str]]) -> Closing:
    """Return the closing code of a job's facts.

    Parameters
    ----------
    pairs
        Id and SHA-256 of the stored text of each fact, in any order.

    Returns
    -------
    Closing
        The code, and the hash of the whole list.

    Valid for
        Any number of facts, none named twice.

    Raises
    ------
    Contradiction
        When a fact is named twice, or an id or a hash is not written as one.

    Source
        SHA-256 as in FIPS 180-4, by the standard library; the check sign is a weighted sum in the field of 32 elements.

    Examples
    --------
    >>> fact = ("01920000-0000-7000-8000-000000000001", "a" * 64)
    >>> closing([fact]).code
    '0VJH-8CXV-W39R-F0ERZ'
    """
    listed = sorted((id.lower(), sha.lower()) for id, sha in pairs)
    for place, (id, sha) in enumerate(listed):
        if len(id) != 36 or len(sha) != 64 or not _PAIR.fullmatch(id) or not _PAIR.fullmatch(sha):
            raise Contradiction(name="facts", value=f"{id} {sha}"[:60], why="closing.cannot.pair")
        if place and listed[place - 1][0] == id:
            raise Contradiction(name="facts", value=id, why="closing.cannot.twice")
    digest = hashlib.sha256("".join(f"{id} {sha}\n" for id, sha in listed).encode("ascii"))
    number = int.from_bytes(digest.digest()[: _BITS // 8], "big")
    signs = [(number >> (5 * (_SIGNS - 1 - place))) & 31 for place in range(_SIGNS)]
    text = "".join(_LETTERS[sign] for sign in (*signs, _check_sign(signs)))
    return Closing(_in_groups(text), digest.hexdigest())


def read_code(text: str) -> str:
    """Return a closing code as it was typed off a sticker, in groups, once its check sign agrees.

    Parameters
    ----------
    text
        The code, in small letters or large, with or without blanks and strokes.

    Returns
    -------
    str
        The code in groups, as :func:`closing` writes it; I and L are read as 1, O as 0.

    Valid for
        Codes of 17 signs.

    Raises
    ------
    Refused
        When it is no code, or its check sign does not agree: one sign is wrong, or two are swapped.

    Source
        As :func:`closing`.

    Examples
    --------
    >>> read_code("0vjh 8cxv w39r f0erz")
    '0VJH-8CXV-W39R-F0ERZ'
    """
    bare = re.sub(r"[\s\-–—.]", "", text).upper().translate(_TAKEN_AS)
    if len(bare) != _SIGNS + 1 or any(sign not in _LETTERS for sign in bare):
        raise Refused("closing.no_code", name="code", value=text.strip()[:40])
    signs = [_LETTERS.index(sign) for sign in bare]
    if _check_sign(signs[:_SIGNS]) != signs[_SIGNS]:
        raise Refused("closing.mistyped", name="code", value=text.strip()[:40])
    return _in_groups(bare)
