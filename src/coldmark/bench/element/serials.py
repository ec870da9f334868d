"""Serial numbers: elements change within a model, and the sheet says for which machines one is meant."""

from __future__ import annotations

import re

__all__ = ["in_range"]


def _parts(serial: str) -> list[str | int]:
    return [int(part) if part.isdigit() else part for part in re.findall(r"[0-9]+|[A-Z]+", serial.upper())]


def _shape(parts: list[str | int]) -> list[str]:
    """Return the letters, which must agree, and where numbers stand."""
    return [part if isinstance(part, str) else "0" for part in parts]


def in_range(serial: str, first: str, last: str) -> bool | None:
    """Say whether a serial number lies in a range, or ``None``: the numbers cannot be compared.

    Parameters
    ----------
    serial
        The machine's serial number.
    first, last
        Ends of the range, which belong to it; empty for an open end.

    Returns
    -------
    bool or None
        Numbers are compared part by part when their letters are the same; blanks and strokes do not count. ``None``
        when the letters differ from those of an end, or the number is not known.

    Valid for
        Serial numbers that count upwards within one row of letters.

    Raises
    ------
    Nothing: an unknown is an answer here.

    Source
        How serial ranges are printed in parts lists: common practice, no source.

    Examples
    --------
    >>> in_range("KT 1204", "KT1001", "KT1999"), in_range("KT2000", "", "KT1999"), in_range("B7", "KT1001", "")
    (True, False, None)
    """
    wanted = _parts(serial)
    ends = [_parts(end) for end in (first, last)]
    if not wanted or any(end and _shape(end) != _shape(wanted) for end in ends):
        return None
    numbers, low, high = ([part for part in parts if isinstance(part, int)] for parts in (wanted, *ends))
    return (not low or low <= numbers) and (not high or numbers <= high)
