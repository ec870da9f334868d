"""Ids: UUID version 7 by RFC 9562, with time and random bits handed in, and the hash that names a text."""

from __future__ import annotations

import hashlib

from coldmark.bench.errors import Refused

__all__ = ["ID_RANDOM_BITS", "id_time_ms", "new_id", "text_hash"]

ID_RANDOM_BITS = 74
_TIME_BITS = 48
_LOW_BITS = 62


def new_id(now_ms: int, random_bits: int) -> str:
    """Make an id that sorts by the time at which it was made.

    Parameters
    ----------
    now_ms
        Milliseconds since 1970-01-01 UTC.
    random_bits
        74 random bits as one whole number: the upper 12 follow the version, the lower 62 the variant.

    Returns
    -------
    str
        A UUID of version 7 in lower case.

    Valid for
        Times up to the year 10889.

    Raises
    ------
    Refused
        When a number does not fit its bits.

    Source
        RFC 9562, section 5.7.

    Examples
    --------
    >>> new_id(0x017F22E279B0, 0xCC3 << 62 | 0x18C4DC0C0C07398F)
    '017f22e2-79b0-7cc3-98c4-dc0c0c07398f'
    """
    _require_bits("now_ms", now_ms, _TIME_BITS)
    _require_bits("random_bits", random_bits, ID_RANDOM_BITS)
    upper = now_ms << 16 | 0x7000 | random_bits >> _LOW_BITS
    lower = 0b10 << _LOW_BITS | random_bits & ((1 << _LOW_BITS) - 1)
    digits = f"{upper:016x}{lower:016x}"
    return f"{digits[:8]}-{digits[8:12]}-{digits[12:16]}-{digits[16:20]}-{digits[20:]}"


def id_time_ms(made: str) -> int:
    """Return the time [ms since 1970-01-01 UTC] at which an id of version 7 was made.

    Parameters
    ----------
    made
        An id that :func:`new_id` made.

    Returns
    -------
    int
        Milliseconds.

    Valid for
        Ids of version 7.

    Raises
    ------
    ValueError
        When it is no hexadecimal id.

    Source
        RFC 9562, section 5.7.

    Examples
    --------
    >>> id_time_ms("017f22e2-79b0-7cc3-98c4-dc0c0c07398f")
    1645557742000
    """
    return int(made[:8] + made[9:13], 16)


def text_hash(text: str) -> str:
    """Return the SHA-256 of a text in UTF-8, as 64 hex digits: the name of a sheet, an attachment, a stored fact.

    Parameters
    ----------
    text
        The text, unchanged.

    Returns
    -------
    str
        64 hexadecimal digits.

    Valid for
        Every text.

    Raises
    ------
    Nothing.

    Source
        FIPS 180-4.

    Examples
    --------
    >>> text_hash("abc")[:16]
    'ba7816bf8f01cfea'
    """
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _require_bits(name: str, value: int, bits: int) -> None:
    if not 0 <= value < 1 << bits:
        raise Refused(
            "fact.field", name=name, field=name, value=str(value), right=f"a whole number from 0 to 2^{bits} - 1"
        )
